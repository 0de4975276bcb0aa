"""What the harvest asks of the grower: lots to cut, and batches to take out of the dryer."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, timedelta

from calendar_tui.nature.rounding import whole
from calendar_tui.planning.deciding.crop import is_cut, last_official
from calendar_tui.planning.deciding.decision import BATCH, CUT, Decision, is_soon
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.season.cutting import Batch, DryingReading
from calendar_tui.season.lots import lot_named, lots_of, rules_for
from calendar_tui.season.records import Season, Variety
from calendar_tui.season.rules import Lot
from calendar_tui.season.wording import day_text, span_text

# The last day to cut is listed from so many days before; a starting value, no source.
CUT_AHEAD_D = 30


def cut_decisions(season: Season, timelines: Mapping[str, Timeline], today: date) -> Iterator[Decision]:
    """The lots that are to be cut by a day near at hand, and the rule that sets it."""
    limits = _limits(season, timelines, today)
    for lot in lots_of(season):
        if is_cut(season, lot):
            continue
        ends = [*_last_days(season, lot, today), *limits.get(lot.id, ())]
        last, why = min(ends, default=(None, ""))
        if last is not None and is_soon(last, today, CUT_AHEAD_D):
            where = timelines[lot.cohort].stay_on(today).light
            yield Decision(CUT, lot.id, f"{lot.id} cut", where, last, why, cohorts=(lot.cohort,))


def _limits(
    season: Season, timelines: Mapping[str, Timeline], today: date
) -> Mapping[str, tuple[tuple[date, str], ...]]:
    """By lot, the first day on which a new result may be over the limit, with how that is known."""
    if not season.results:
        return {}
    from calendar_tui.planning.cutting.windows import LIMIT, lot_cut, sight_of

    sight = sight_of(season, timelines, today)
    cuts = [lot_cut(sight, lot, guess=False) for lot in lots_of(season) if not is_cut(season, lot)]
    return {
        cut.lot.id: tuple(
            (end.day, f"{end.rule}; {cut.profile.standing}")
            for kind, end in cut.ends
            if kind == LIMIT and cut.profile is not None
        )
        for cut in cuts
    }


def _last_days(season: Season, lot: Lot, today: date) -> Iterator[tuple[date, str]]:
    """Each last day for a complete harvest, with the rule that sets it."""
    if lot.harvest_by is not None:
        yield lot.harvest_by, "your own last day"
    official, profile = last_official(season, lot), rules_for(season, lot, today)
    if official is None or profile is None or profile.harvest_within_d is None:
        return
    if official.state == "taken" and official.outcome != "failed":
        days = profile.harvest_within_d
        last = official.date + timedelta(days=days)
        yield (
            last,
            f"all of it, {days} d after the official sample of {day_text(official.date)}; {profile.standing}",
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
