"""Which passes may not dry together: lots that are never mixed, and passes whose verdicts or results differ."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from calendar_tui.nature.legal_limits import UNCLEAR
from calendar_tui.planning.drying.batches import cohort_of
from calendar_tui.planning.results.used import Results, Used
from calendar_tui.planning.results.verdicts import verdict_of
from calendar_tui.season.cutting import Pass
from calendar_tui.season.lots import lot_within, officials_of, rules_for
from calendar_tui.season.records import Season
from calendar_tui.season.rules import NEVER, Lot
from calendar_tui.season.wording import day_text

# The +- of a result whose report gives none, % of it: twice the usual spread of one result, which the trend begins with (8 %).
USUAL_ERROR_PERCENT = Decimal(16)
FAILED, PENDING = "failed", "has no outcome yet"


def why_apart(season: Season, results: Results, there: Sequence[Pass], new: Pass) -> str:
    """Why a pass may not dry with those that are in a batch, as a sentence; "" where it may."""
    whys = (why for one in there if one.id != new.id for why in _whys(season, results, one, new))
    return next(whys, "")


def whether_mixed(season: Season, there: Sequence[Pass], new: Pass) -> str:
    """That the rules of two lots in a batch do not set whether they may be mixed, as a sentence; "" where they do, or it is one lot."""
    own = _lot(season, new)
    for one in there:
        lot = _lot(season, one)
        unset = [
            p for p in (rules_for(season, lot, one.date), rules_for(season, own, new.date)) if p is not None
        ]
        if lot.id != own.id and unset:
            return (
                f"{one.id} is of lot {lot.id} and {new.id} of {own.id}; whether lots may be mixed is not set in "
                f"{unset[0].citation}"
            )
    return ""


def _whys(season: Season, results: Results, one: Pass, new: Pass) -> Iterator[str]:
    lots = [_lot(season, p) for p in (one, new)]
    if lots[0].id != lots[1].id:
        for lot, cut in zip(lots, (one, new), strict=True):
            profile = rules_for(season, lot, cut.date)
            if profile is not None and profile.commingled == NEVER:
                yield f"{one.id} is of lot {lots[0].id} and {new.id} of {lots[1].id}: lots are never mixed under {profile.citation}"
    verdicts = [_outcome(season, lot) for lot in lots]
    if verdicts[0] != verdicts[1] and (all(verdicts) or FAILED in verdicts):
        yield (
            f"the official sample of {lots[0].id} {_outcome_text(verdicts[0])} and that of {lots[1].id} "
            f"{_outcome_text(verdicts[1])}"
        )
    first, second = (_newest(season, results, p) for p in (one, new))
    if first is None or second is None:
        return
    judged = [_verdict(season, used, p) for used, p in ((first, one), (second, new))]
    if all(judged) and judged[0] != judged[1]:
        yield f"by their own results {one.id} is {judged[0]} the limit and {new.id} {judged[1]}"
    if text := _differ(one, first, new, second):
        yield text


def _lot(season: Season, one: Pass) -> Lot:
    return lot_within(season, cohort_of(season, one), one.lot)


def _outcome(season: Season, lot: Lot) -> str:
    """What the authority last wrote of a lot, or that it has not yet; "" where it has no sample of it."""
    taken = [one for one in officials_of(season, lot) if one.state == "taken"]
    return taken[-1].outcome or PENDING if taken else ""


def _outcome_text(outcome: str) -> str:
    return outcome or "was not taken"


def _newest(season: Season, results: Results, one: Pass) -> Used | None:
    """The result that speaks for a pass: of its lot and part where there is one, the newest bag cut by then."""
    cut = [
        used
        for used in results.of_cohort(cohort_of(season, one))
        if used.sample.date <= one.date and used.sample.lot in ("", one.lot)
    ]
    own = [used for used in cut if one.part and used.sample.position == one.part]
    return max(
        own or cut,
        key=lambda used: (used.sample.date, used.figures.thc.high if used.figures.thc else 0),
        default=None,
    )


def _verdict(season: Season, used: Used, one: Pass) -> str:
    """Within or over the limit by a result, under the rules of the day of a pass; "" where that is not settled."""
    found = verdict_of(season, used, one.date)
    return "" if found is None or found.verdict == UNCLEAR else found.verdict


def _differ(one: Pass, first: Used, new: Pass, second: Used) -> str:
    """That two results differ by more than both may be off together (root of the squares); "" where they do not."""
    a, b = first.figures, second.figures
    if a.thc is None or b.thc is None or a.basis != b.basis:
        return ""
    gap = max(a.thc.low - b.thc.high, b.thc.low - a.thc.high, Decimal(0))
    off = (_error(first) ** 2 + _error(second) ** 2).sqrt()
    if gap <= off:
        return ""
    return (
        f"total THC of {one.id} is {a.thc_text} (bag of {day_text(first.sample.date)}) and of {new.id} {b.thc_text} "
        f"(bag of {day_text(second.sample.date)}): more apart than both may be off, {off:.3f} %"
    )


def _error(used: Used) -> Decimal:
    thc, uncertainty = used.figures.thc, used.figures.uncertainty
    assert thc is not None
    return thc.high * USUAL_ERROR_PERCENT / 100 if uncertainty is None else uncertainty.around(thc.high)
