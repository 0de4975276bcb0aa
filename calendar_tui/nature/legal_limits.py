"""Whether a result keeps a legal limit: with its measurement uncertainty, by lot or by the mean of a variety. Exact decimals.

What cannot be decided is "unclear", with what is missing; it is never settled for the grower or against them. Which rule
holds where is data (a rule profile), to be checked with the authority.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal

from calendar_tui.nature.measured import Interval, without_noughts

WITHIN, OVER, UNCLEAR = "within", "over", "unclear"
ABSOLUTE, RELATIVE = UNCERTAINTY_KINDS = ("absolute", "relative")
# Sums of quotients are rounded here, so that 0.26, 0.27 and 0.28 at 10 % water have a mean of 0.30 and not a hair more.
_LAST_PLACE = Decimal("1e-12")
_WHOLE = Decimal(100)
# What is shown of an uncertainty that would be enough: to four decimals, upwards.
_SHOWN = Decimal("0.0001")


@dataclass(frozen=True, slots=True)
class Uncertainty:
    """The +- of a result, as its report gives it. ABSOLUTE: percentage points, %; RELATIVE: % of the result itself."""

    amount: Decimal
    kind: str

    def __post_init__(self) -> None:
        if self.kind not in UNCERTAINTY_KINDS:
            raise ValueError(f'uncertainty is "{self.kind}"; write one of: {", ".join(UNCERTAINTY_KINDS)}')
        if not self.amount.is_finite() or not 0 <= self.amount < _WHOLE:
            raise ValueError(f"uncertainty is {self.amount} % {self.kind}; it must be from 0 to under 100")

    def around(self, figure: Decimal) -> Decimal:
        """How far a result may be off, %."""
        return figure * self.amount / _WHOLE if self.kind == RELATIVE else self.amount

    def refuse_beyond(self, figure: Decimal) -> None:
        """Raises ValueError where an absolute one is out of proportion to the result, as a relative one read wrongly is."""
        if self.kind == ABSOLUTE and self.amount >= 1 and self.amount > figure:
            of_result = without_noughts(figure * self.amount / _WHOLE)
            raise ValueError(
                f"an absolute uncertainty of {self.amount} % is more than the result of {without_noughts(figure):f} % itself; "
                f"{self.amount} % of the result would be {of_result:f} %: look at the report, and set it as relative where "
                "it means that"
            )


def highest_acceptable(limit: Decimal, uncertainty: Uncertainty) -> Decimal | None:
    """The result (%) that less its uncertainty is just at the limit; None where an absolute one is as large as the limit itself."""
    if uncertainty.kind == RELATIVE:
        return limit / (1 - uncertainty.amount / _WHOLE)
    return limit + uncertainty.amount if uncertainty.amount < limit else None


@dataclass(frozen=True, slots=True)
class Judgement:
    """verdict: WITHIN, OVER or UNCLEAR; low, high: what was held against the limit, widened by its uncertainty, %.

    missing: what would decide it, a part of a sentence, "" where it is decided.
    """

    verdict: str
    low: Decimal
    high: Decimal
    missing: str = ""


def judge_result(
    result: Interval, limit: Decimal, uncertainty: Uncertainty | None, taken_off: bool
) -> Judgement:
    """A result against a limit, both %.

    uncertainty: None where the report gives none, which is not zero. taken_off: whether the rule takes it off before it
    compares, as 7 CFR 990 does: acceptable when result - uncertainty <= limit. Raises ValueError for an uncertainty out of
    proportion.
    """
    if uncertainty is None:
        return _without_uncertainty(result, limit, taken_off)
    uncertainty.refuse_beyond(result.high)
    low = max(Decimal(0), result.low - uncertainty.around(result.low))
    high = result.high + uncertainty.around(result.high)
    if not taken_off:
        return Judgement(*_compared(result.low, result.high, limit, low, high))
    return Judgement(*_compared(low, result.high - uncertainty.around(result.high), limit, low, high))


def _compared(
    least: Decimal, most: Decimal, limit: Decimal, low: Decimal, high: Decimal
) -> tuple[str, Decimal, Decimal, str]:
    if most <= limit:
        return WITHIN, low, high, ""
    if least > limit:
        return OVER, low, high, ""
    return UNCLEAR, low, high, "a value of the part that is below its limit"


def _without_uncertainty(result: Interval, limit: Decimal, taken_off: bool) -> Judgement:
    verdict, low, high, missing = _compared(result.low, result.high, limit, result.low, result.high)
    if verdict == WITHIN or not taken_off:
        return Judgement(verdict, low, high, missing)
    needed = without_noughts((result.high - limit).quantize(_SHOWN, ROUND_CEILING))
    return Judgement(
        UNCLEAR,
        low,
        high,
        f"its report has no measurement uncertainty: acceptable only if that is {needed:f} percentage points or more",
    )


def judge_mean(results: Sequence[Interval], limit: Decimal, decimals: int | None) -> Judgement:
    """The mean of a variety's samples against a limit, %, as in the EU.

    decimals: to how many each sample and the mean are written, halves up; None for no rounding. Where the mean is over and
    its written form is not, or the other way round, it is unclear, for which of them counts is not in the rule as it was read.
    Raises ValueError for no results.
    """
    if not results:
        raise ValueError("there is no result; the mean of a variety needs one or more")
    low, high = (
        _mean([written(figure, decimals) for figure in ends])
        for ends in zip(*((one.low, one.high) for one in results), strict=True)
    )
    exact = Judgement(*_compared(low, high, limit, low, high))
    shown = written(low, decimals), written(high, decimals)
    rounded = Judgement(*_compared(*shown, limit, *shown))
    if rounded.verdict != exact.verdict:
        return Judgement(
            UNCLEAR,
            low,
            high,
            f"whether the mean counts as worked out or as written with {decimals} decimals: ask the authority",
        )
    return Judgement(rounded.verdict, low, high, rounded.missing)


def _mean(figures: Sequence[Decimal]) -> Decimal:
    mean = sum(figures, Decimal(0)) / len(figures)
    return without_noughts(mean.quantize(_LAST_PLACE, ROUND_HALF_UP))


def written(figure: Decimal, decimals: int | None) -> Decimal:
    """A figure with so many decimals, halves up (common practice; the regulation as read names no rule for halves)."""
    return figure if decimals is None else figure.quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP)


def judge_negligence(result: Interval, line: Decimal) -> str:
    """WITHIN, OVER or UNCLEAR: whether a result is over the line from which growing it counts as negligent, %.

    The rule as read takes no uncertainty off here, so none is.
    """
    return _compared(result.low, result.high, line, result.low, result.high)[0]
