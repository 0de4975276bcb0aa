"""A total, and what it comes to under a rule profile: of a lot, or of all samples of a variety.

What the profile does not set is never filled in: it is refused with what is to be entered, or the verdict is unclear.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

from calendar_tui.nature.analytes import acid_factor
from calendar_tui.nature.legal_limits import (
    UNCLEAR,
    Judgement,
    Uncertainty,
    judge_mean,
    judge_negligence,
    judge_result,
)
from calendar_tui.nature.measured import DRY, Amount, Interval, total
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.rules import MEAN_OF_VARIETY, NOT_SET, TAKEN_OFF, Profile


def rule_total(parts: Mapping[str, Interval | None], profile: Profile) -> Interval:
    """The total THC that the profile counts, %, of results by the ids of their analytes; all of one basis.

    Raises Refusal for a part that was not tested, which is not zero, and for a profile without a factor.
    """
    wanted = ("THC", "THCA", *profile.also_counted)
    missing = [name for name in wanted if parts.get(name) is None]
    if missing:
        raise Refusal(
            f"{' and '.join(missing)} {_was(missing)} not tested; the total under {profile.name} needs {_it(missing)}"
        )
    if profile.acid_factor is None:
        raise Refusal(
            f"the acid factor of {profile.name} is not set; enter the authority's (by the masses it is {acid_factor('THC')})"
        )
    neutral, acid, *also = (percent for name in wanted if (percent := parts[name]) is not None)
    return total(neutral, acid, profile.acid_factor, also)


def _was(names: Sequence[str]) -> str:
    return "was" if len(names) == 1 else "were"


def _it(names: Sequence[str]) -> str:
    return "it" if len(names) == 1 else "them"


def judge_lot(result: Amount, uncertainty: Uncertainty | None, profile: Profile) -> Judgement:
    """A lot's result under a profile. Where the profile does not set what becomes of the uncertainty and it matters, unclear.

    Raises Refusal for a basis that is not the profile's, a profile without a limit, one that judges a variety; ValueError for an
    uncertainty out of proportion.
    """
    limit = _ready(profile, [result])
    if profile.judged == MEAN_OF_VARIETY:
        raise Refusal(f"{profile.name} judges the mean of a variety's samples, and no lot by itself")
    if profile.uncertainty != NOT_SET:
        return judge_result(result.percent, limit, uncertainty, profile.uncertainty == TAKEN_OFF)
    off, on = (judge_result(result.percent, limit, uncertainty, taken_off) for taken_off in (True, False))
    if off.verdict == on.verdict:
        return on
    return Judgement(
        UNCLEAR,
        off.low,
        off.high,
        "whether the rule takes the measurement uncertainty off: ask the authority",
    )


def judge_variety(results: Sequence[Amount], profile: Profile) -> Judgement:
    """All samples of a variety under a profile that judges their mean. Raises Refusal as `judge_lot` does, and for no results."""
    limit = _ready(profile, results)
    if profile.judged != MEAN_OF_VARIETY:
        raise Refusal(f"{profile.name} judges each lot, and no mean of a variety")
    if not results:
        raise Refusal("the variety has no result yet; its mean needs one or more")
    return judge_mean([result.percent for result in results], limit, profile.decimals)


def is_negligent(result: Amount, profile: Profile) -> str:
    """WITHIN, OVER or UNCLEAR of the profile's negligence line; "" where it has none. Raises Refusal for another basis."""
    if profile.negligence is None:
        return ""
    _refuse_other_basis(profile, [result])
    return judge_negligence(result.percent, profile.negligence)


def _ready(profile: Profile, results: Sequence[Amount]) -> Decimal:
    if profile.limit is None:
        raise Refusal(f"the limit of {profile.name} is not set; enter it with the day on which it was read")
    _refuse_other_basis(profile, results)
    return profile.limit


def _refuse_other_basis(profile: Profile, results: Sequence[Amount]) -> None:
    other = next((result for result in results if result.basis != profile.basis), None)
    if other is not None:
        right = (
            "ask the laboratory whether any water was left in it, and enter the basis"
            if other.basis == DRY
            else "enter the water of the sample, so that it is brought to that basis"
        )
        raise Refusal(
            f"{other.percent.text} is {other.basis} and {profile.name} judges {profile.basis}; {right}"
        )
