"""The figures of one result: totals in % of the dry matter, as exact decimals, with both ends where a part is under its limit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from typing import NamedTuple

from calendar_tui.nature.analytes import ANALYTES
from calendar_tui.nature.legal_limits import Uncertainty
from calendar_tui.nature.measured import (
    ABSOLUTELY_DRY,
    AS_RECEIVED,
    AS_TESTED,
    DRY,
    Amount,
    Interval,
    Water,
    in_percent,
    on_dry_matter,
    total,
    totals_disagree,
    without_noughts,
)
from calendar_tui.season.analyte_names import analyte_named
from calendar_tui.season.judging import rule_total
from calendar_tui.season.measured_texts import POINT, Limits, NoLimit, read_measured
from calendar_tui.season.readers import shown
from calendar_tui.season.rules import Profile
from calendar_tui.season.sampling import Result

# By which an acid is counted where no rule profile sets it: 0.877, as in 7 CFR 990 (read).
USUAL_FACTOR = Decimal("0.877")
_DECIMALS = 4


class Figures(NamedTuple):
    """thc, cbd: totals, % of `basis`, None where a part was not tested. uncertainty: of the total THC, None where none is given.

    parts: what is reported of each analyte, in % as reported; None where it was not tested. gap: that the report's own total
    is another, as a sentence; "" where it is not. factor: by which the acid of the THC is counted. limit: of the rules, %.
    """

    thc: Interval | None
    cbd: Interval | None
    basis: str
    uncertainty: Uncertainty | None
    parts: Mapping[str, Interval | None]
    gap: str
    factor: Decimal
    limit: Decimal | None = None

    @property
    def thc_text(self) -> str:
        """The total THC to four decimals, never rounded onto or over the limit; "" where it is not known."""
        return "" if self.thc is None else percent_text(self.thc, self.limit)

    @property
    def ratio(self) -> Decimal | None:
        """Total CBD for one of total THC; None where either is not exact."""
        if (
            self.thc is None
            or self.cbd is None
            or not (self.thc.is_exact and self.cbd.is_exact)
            or not self.thc.low
        ):
            return None
        return self.cbd.low / self.thc.low


def figures_of(result: Result, rules: Profile | None = None) -> Figures:
    """The figures of a result. rules: by which its total is made, if any. Raises ValueError where they cannot be, with why."""
    if misspelt := next((name for name in result.found if analyte_named(name) not in ("", name)), ""):
        raise ValueError(f"{shown(misspelt)} is {analyte_named(misspelt)} here: write that")
    factor = factor_of(rules)
    parts = {analyte: _part(result, analyte) for analyte in result.found}
    thc, cbd = (_total(parts, neutral, factor) for neutral in ("THC", "CBD"))
    if rules is not None and thc is not None:
        thc = rule_total(parts, replace(rules, acid_factor=factor))
    uncertainty = (
        Uncertainty(Decimal(result.uncertainty), result.uncertainty_is) if result.uncertainty else None
    )
    if uncertainty is not None and thc is not None:
        uncertainty.refuse_beyond(thc.high)
    for name, whole in (("THC", thc), ("CBD", cbd)):
        if whole is not None and whole.low > _MOST:
            total_text = f"its total {name} of {percent_text(whole)}"
            raise ValueError(f"{total_text} is over 100 %; look at the figures and at their unit")
    basis = result.basis
    gap = _gap(result, thc)
    to = ABSOLUTELY_DRY if rules is not None and rules.basis == ABSOLUTELY_DRY else DRY
    if result.water and result.basis in _WITH_WATER[to]:
        water = Water(Decimal(result.water), result.water_is)
        thc, cbd = (
            one if one is None else on_dry_matter(Amount(one, result.basis), water, to).percent
            for one in (thc, cbd)
        )
        basis = to
    return Figures(thc, cbd, basis, uncertainty, parts, gap, factor, None if rules is None else rules.limit)


def factor_of(rules: Profile | None) -> Decimal:
    """By which an acid is counted under these rules; the usual one where they set none, which `factor_doubt` tells."""
    return USUAL_FACTOR if rules is None or rules.acid_factor is None else rules.acid_factor


def factor_doubt(rules: Profile) -> str:
    """That rules set no factor, as a part of a sentence; "" where they do."""
    if rules.acid_factor is not None:
        return ""
    return f"the acid factor of {rules.name} is not set, and {USUAL_FACTOR} is taken: enter the authority's"


def percent_text(found: Interval, limit: Decimal | None = None) -> str:
    """ "0.3131 %" or both ends, to four decimals, without noughts behind.

    Every digit where fewer would hide on which side of the limit it is.
    """
    short = Interval(*(round(end, _DECIMALS) for end in (found.low, found.high)))
    hides = limit is not None and any(
        end.compare(limit) != exact.compare(limit)
        for end, exact in ((short.low, found.low), (short.high, found.high))
    )
    told = found if hides else short
    return Interval(without_noughts(told.low), without_noughts(told.high)).text


# From which bases the water is taken out, once, by the basis that the rules judge. What is reported as dry has none to take out.
_WITH_WATER = {DRY: (AS_RECEIVED,), ABSOLUTELY_DRY: (AS_RECEIVED, AS_TESTED)}


def _part(result: Result, analyte: str) -> Interval | None:
    told = result.loq.get(analyte, result.limits.get(analyte))
    limits = Limits(*(_limit(one, result.unit) for one in (result.lod.get(analyte), told)))
    try:
        return read_measured(result.found[analyte], result.unit, POINT, limits).percent
    except NoLimit as wrong:
        # Nothing is judged by the others, whose totals are then not known.
        if "THC" not in analyte:
            return None
        raise ValueError(f"{analyte} {wrong}") from wrong
    except ValueError as wrong:
        raise ValueError(f"{analyte} {wrong}") from wrong


def _limit(figure: str | None, unit: str) -> Decimal | None:
    return None if figure is None else in_percent(Decimal(figure), unit)


def _total(parts: Mapping[str, Interval | None], neutral: str, factor: Decimal) -> Interval | None:
    own, acid = parts.get(neutral), parts.get(ANALYTES[neutral].acid)
    return None if own is None or acid is None else total(own, acid, factor)


# A result keeps no limit of its total: one that is only under it may be as high as 100 %, and contradicts no other.
_MOST = Decimal(100)
_OF_TOTAL = Limits(loq=_MOST)


def _gap(result: Result, ours: Interval | None) -> str:
    """That the total in the report is another than ours, both as reported; "" where they agree or one is missing."""
    if not result.total or ours is None:
        return ""
    reported = read_measured(result.total, result.unit, POINT, _OF_TOTAL).percent
    if reported is None or not totals_disagree(reported, ours):
        return ""
    return f"the report's total THC is {reported.text}, and by its parts it is {percent_text(ours)}"
