"""The harvest as the earliest of ripeness, limit and window, where a season has results or official samples."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from functools import partial
from typing import NamedTuple

from calendar_tui.language.speaking import phrase, translated
from calendar_tui.nature.cutting_days import Bound
from calendar_tui.planning.cutting.limits import Sight
from calendar_tui.planning.cutting.windows import LIMIT, WINDOW, LotCut, lot_cut, sight_of
from calendar_tui.planning.laying_out.last_pass import standing_after
from calendar_tui.planning.laying_out.stages import Course, Days, StageDate, range_of
from calendar_tui.planning.laying_out.timeline import Timeline, with_weeks
from calendar_tui.season.lots import is_cut, lots_of_cohort
from calendar_tui.season.records import Season
from calendar_tui.season.rules import CHECK
from calendar_tui.season.wording import day_text, year_day_text

MOVING = (LIMIT, WINDOW)
PROJECTED = "projected"


def holding_by_rules(
    season: Season, timelines: Mapping[str, Timeline], today: date
) -> Callable[[Timeline], Timeline]:
    """What holds the projected harvest of a cohort's timeline to the limit and the window of its lots. Planned and recorded ones stand."""
    return partial(_held, sight_of(season, timelines, today))


class Cap(NamedTuple):
    """What holds the harvest of a lot: limit or window, its day and rule, and how the profile behind it stands."""

    lot: str
    kind: str
    end: Bound
    citation: str


def cap_of(lots: Iterable[LotCut]) -> Cap | None:
    """What holds the harvest of these lots: the earliest of them; None for none. One that may not be cut has no last day to cut."""
    caps = [
        Cap(cut.lot.id, kind, end, _citation(cut))
        for cut in lots
        if not cut.official.failed
        for kind, end in cut.ends
        if kind in MOVING
    ]
    return min(caps, key=lambda cap: cap.end.day, default=None)


def _citation(cut: LotCut) -> str:
    return CHECK if cut.profile is None else cut.profile.citation


def _held(sight: Sight, timeline: Timeline) -> Timeline:
    harvest, flowering = timeline.stages.get("harvest"), timeline.likely("flowering")
    if harvest is None or flowering is None or harvest.status != PROJECTED:
        return timeline
    uncut = (
        lot
        for lot in lots_of_cohort(sight.season, timeline.cohort.id)
        if not is_cut(sight.season, lot, sight.today)
    )
    lots = [lot_cut(sight, lot, guess=False) for lot in uncut]
    cap, last = cap_of(lots), sight.season.last_day
    if cap is None:
        failed = [cut for cut in lots if cut.official.failed]
        return _waiting(timeline, harvest, lots, failed, last) if failed else timeline
    cut = standing_after(sight.season, timeline.cohort.id)
    # Something is left to cut after the latest pass, whatever day it should have been cut by.
    day = max(cap.end.day, flowering, date.min if cut is None else cut + timedelta(days=1))
    stages = dict(timeline.stages)
    stages["harvest"] = earlier = _earlier(harvest, day, _reason(harvest, day, cap, lots), last)
    if (dried := stages.get("dried")) is not None and dried.status == PROJECTED:
        stages["dried"] = _along(dried, harvest, earlier, last)
    if "sampling" in stages:
        stages["sampling"] = with_weeks(stages["sampling"], earlier.likely)
    return replace(timeline, stages=stages)


def _waiting(
    timeline: Timeline, harvest: StageDate, lots: Sequence[LotCut], failed: Sequence[LotCut], last: date
) -> Timeline:
    """The harvest as it is by ripeness, which the authority has to allow first, on no known day."""
    ripe = phrase("ripe {day}: {why}", day=day_text(harvest.likely), why=harvest.reason)
    reason = "; ".join((*(_waits(cut, len(lots) > 1) for cut in failed), ripe, _citation(failed[0])))
    waits = _at(harvest, Course(harvest.likely, harvest.days), reason, last)
    return replace(timeline, stages={**timeline.stages, "harvest": waits})


def _waits(cut: LotCut, named: bool) -> str:
    """What a lot that failed waits for. named: whether its cohort has others, so that its name is needed."""
    taken = cut.official.taken
    assert taken is not None, cut.lot.id
    day = year_day_text(taken.date)
    if named:
        return phrase(
            "{lot} not before your authority allows it, as the official sample of {day} failed",
            lot=cut.lot.id,
            day=day,
        )
    return phrase("not before your authority allows it, as the official sample of {day} failed", day=day)


def _reason(harvest: StageDate, day: date, cap: Cap, lots: Sequence[LotCut]) -> str:
    """Which of them comes first, and what the other would be; of which lot, where those of a cohort differ."""
    waiting = [_waits(cut, True) for cut in lots if cut.official.failed]
    differ = bool(waiting) or len({one and one.end for one in (cap_of([cut]) for cut in lots)}) > 1
    end = f"{translated(cap.kind)} {day_text(cap.end.day)}"
    what = f"{phrase('{end} of {lot}', end=end, lot=cap.lot) if differ else end}: {cap.end.rule}"
    if harvest.likely <= day:
        parts = [phrase("ripe before {what}", what=what), *waiting, harvest.reason]
    else:
        held = "" if day == cap.end.day else f", not before {day_text(day)}"
        parts = [
            f"{what}{held}",
            *waiting,
            phrase("ripe {day}: {why}", day=day_text(harvest.likely), why=harvest.reason),
        ]
    return "; ".join((*parts, cap.citation))


def _earlier(harvest: StageDate, day: date, reason: str, last: date) -> StageDate:
    number = day.toordinal()
    days: Days = tuple([min(one, number) for one in harvest.days])
    return _at(harvest, Course(min(harvest.likely, day), days), reason, last)


def _along(stage: StageDate, was: StageDate, now: StageDate, last: date) -> StageDate:
    """What follows the harvest, earlier by as much in each future."""
    days: Days = tuple(
        [
            own if own == old else own - (old - new)
            for own, old, new in zip(stage.days, was.days, now.days, strict=True)
        ]
    )
    return _at(stage, Course(stage.likely - (was.likely - now.likely), days), stage.reason, last)


def _at(stage: StageDate, course: Course, reason: str, last: date) -> StageDate:
    return StageDate(
        stage.stage,
        *range_of(course, last),
        stage.status,
        reason,
        stage.intended,
        stage.dates,
        course.days,
    )
