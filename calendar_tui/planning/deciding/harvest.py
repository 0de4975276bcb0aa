"""What the harvest asks of the grower: lots to cut, and batches to take out of the dryer."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, timedelta

from calendar_tui.nature.rounding import whole
from calendar_tui.planning.cutting.windows import MEANT, lot_cut, sight_of
from calendar_tui.planning.deciding.decision import BATCH, CUT, Decision, is_soon
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.results.used import Results
from calendar_tui.season.cutting import Batch, DryingReading
from calendar_tui.season.lots import is_cut, lot_named, lots_of
from calendar_tui.season.records import Season, Variety
from calendar_tui.season.wording import day_text, span_text

# The last day to cut is listed from so many days before; a starting value, no source.
CUT_AHEAD_D = 30
# What ends every lot's days to cut, and is no decision by itself; a sample that is only meant may still be put off.
_FAR = ("season", "frost", MEANT)


def cut_decisions(
    season: Season, timelines: Mapping[str, Timeline], today: date, results: Results
) -> Iterator[Decision]:
    """The lots of which the cutting is to begin by a day near at hand, and the rule that sets it."""
    sight = sight_of(season, timelines, today, results)
    for lot in lots_of(season):
        if is_cut(season, lot, today):
            continue
        cut = lot_cut(sight, lot, guess=False)
        if cut.official.failed and cut.official.coming is None:
            # Nothing of it is cut before the authority allows it; what follows is a decision of its own.
            continue
        ends = [end for kind, end in cut.ends if kind not in _FAR]
        last = min(ends, key=lambda end: end.day, default=None)
        if last is not None and is_soon(last.day, today, CUT_AHEAD_D):
            where = timelines[lot.cohort].stay_on(today).light
            rules = "" if cut.profile is None else cut.profile.standing
            waits = [f"waits for {one}" for one in cut.window.waits_for]
            why = "; ".join((last.rule, *waits))
            yield Decision(
                CUT, lot.id, f"{lot.id} cut", where, last.day, why, cohorts=(lot.cohort,), rules=rules
            )


def batch_decisions(season: Season, today: date) -> Iterator[Decision]:
    """The batches that are dry enough, or have been in for as long as their variety dries."""
    for batch in season.batches.values():
        if batch.out is not None or batch.date > today:
            continue
        variety = _variety(season, batch)
        newest = _newest(season, batch, today)
        by, why = _out_by(batch, variety, newest)
        if is_soon(by, today):
            yield Decision(
                BATCH, batch.id, f"batch {batch.id} out of the dryer", "", by, why, record=batch.id
            )


def _newest(season: Season, batch: Batch, today: date) -> DryingReading | None:
    own = [r for r in season.readings.values() if r.batch == batch.id and r.date <= today]
    measured = [r for r in own if r.moisture is not None]
    return max(measured, key=lambda r: (r.date, str(r.time or "")), default=None)


def _variety(season: Season, batch: Batch) -> Variety | None:
    """Of the lot that dries there; passes of one batch are of one variety."""
    for one in season.passes.values():
        lot = lot_named(season, one.lot) if one.batch == batch.id else None
        if lot is not None:
            return season.varieties.get(season.cohorts[lot.cohort].variety)
    return None


def _out_by(batch: Batch, variety: Variety | None, newest: DryingReading | None) -> tuple[date, str]:
    """The last day for it in the dryer, and why."""
    shown = Variety(id="", response="short-day") if variety is None else variety
    wanted = shown.moisture_dry
    water = newest.moisture if newest is not None else None
    seen = (
        ""
        if newest is None or water is None
        else f"{water * 100:.0f} % water on {day_text(newest.date)}, {wanted * 100:.0f} % wanted"
    )
    if newest is not None and water is not None and water <= wanted:
        return newest.date, seen
    late = batch.date + timedelta(days=whole(shown.drying_d.late))
    went_in = f"in since {day_text(batch.date)}, drying takes {span_text(shown.drying_d)}"
    return late, f"{seen}; {went_in}" if seen else went_in
