"""What the cohorts' dates and the lamps ask of the grower: to relight, to look at, to decide and to record."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from typing import NamedTuple

from calendar_tui.language.speaking import phrase, phrase_form
from calendar_tui.planning.clash import Clash
from calendar_tui.planning.deciding.decision import LOOK, RECORD, RELIGHT, STAGE, Decision, is_soon
from calendar_tui.planning.lamps.broken_count import broken_run, is_told, last_lights_off
from calendar_tui.planning.lamps.tip_looks import TipLook, tip_looks
from calendar_tui.planning.lamps.to_relight import ToRelight, to_relight
from calendar_tui.planning.laying_out.light import Light
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.tasks.week import RECENT_D, recent_outages
from calendar_tui.season.records import Outage, Season
from calendar_tui.season.stages import BY_NAME, DECIDED
from calendar_tui.season.wording import cohorts_text, day_text, days_text, stage_text


def relight_of(
    season: Season, timelines: Mapping[str, Timeline], light: Light, today: date
) -> tuple[ToRelight, ...]:
    """What is to be done after recent nights without lamps, those recorded up to tonight or beyond it too."""
    late: Iterable[Outage] = (o for o in season.outages if (today - o.last).days <= RECENT_D)
    return tuple(to_relight(season, late, timelines.values(), light, today))


def looks_of(
    season: Season,
    timelines: Mapping[str, Timeline],
    light: Light,
    today: date,
    relight: Iterable[ToRelight] = (),
) -> tuple[TipLook, ...]:
    """What is to be looked at after them. Where the same nights stand in `relight` for a cohort, that one is enough."""
    stands = {(waiting.outage, cohort) for waiting in relight for cohort in waiting.cohorts}
    recent = recent_outages(season, today)
    looks = tip_looks(season, recent, timelines.values(), light, today)
    return tuple(look for look in looks if (look.outage, look.cohort) not in stands)


def relight_decisions(relight: Iterable[ToRelight], today: date) -> Iterator[Decision]:
    for waiting in relight:
        by, names = waiting.verdict.by or today, waiting.cohorts
        what = phrase("{cohorts} lamps", cohorts=cohorts_text(names))
        yield Decision(RELIGHT, names[0], what, waiting.outage.place, by, waiting.verdict.text, cohorts=names)


def look_decisions(looks: Iterable[TipLook], today: date) -> Iterator[Decision]:
    alike: dict[tuple[str, date], list[str]] = {}
    for look in looks:
        alike.setdefault((look.outage.place, max(look.since, today)), []).append(look.cohort)
    for (place, by), names in alike.items():
        what = phrase("{cohorts} tips", cohorts=cohorts_text(names))
        why = phrase("look at them, and record induced, or that it is not there yet")
        yield Decision(LOOK, names[0], what, place, by, why, cohorts=tuple(names))


class _At(NamedTuple):
    """A stage of a cohort that is to be decided or recorded; `where` and the rest as of a Decision."""

    stage: str
    by: date
    where: str
    why: str


def stage_decisions(
    season: Season, timelines: Mapping[str, Timeline], light: Light, today: date
) -> Iterator[Decision]:
    """The dates that the grower decides on, which come within days."""
    coming = ((t.cohort.id, at) for t in timelines.values() for at in _coming(season, t, light, today))
    return _together(STAGE, coming)


def _coming(season: Season, timeline: Timeline, light: Light, today: date) -> Iterator[_At]:
    for stage in DECIDED:
        by = timeline.cohort.intended(stage)
        if by is None or stage in timeline.cohort.recorded:
            continue
        off = _last_lights_off(season, timeline, light, today) if stage == "lights_off" else None
        why = "" if off is None else phrase("later it does not bring flowering, as the days grow too long")
        day = off or by
        if today <= day and is_soon(day, today):
            yield _At(stage, day, timeline.stay_on(day).light, why)


def _last_lights_off(season: Season, timeline: Timeline, light: Light, today: date) -> date | None:
    """The last day that brings flowering, where the planned one is later and does not."""
    run = broken_run(timeline, light) if is_told(timeline, light, today) else None
    off = None if run is None else last_lights_off(season, timeline, light, run)
    return None if off is None or off < today else off


def record_decisions(
    timelines: Mapping[str, Timeline], clashes: Iterable[Clash], today: date
) -> Iterator[Decision]:
    """The dates that are past and not recorded."""
    asking = [clash for clash in clashes if clash.stage]
    return _together(RECORD, ((c.own, _past(timelines[c.own], c.stage, today)) for c in asking))


# What is asked of a projected harvest that has gone by.
_UNCUT = phrase_form(
    "record the cut, or plan it again: until then what stands has its work to the end of next week"
)


def _past(timeline: Timeline, stage: str, today: date) -> _At:
    """A stage that was planned for a day before today, or was to be seen by then."""
    where = timeline.stay_on(today).light
    planned = timeline.cohort.intended(stage) if stage in DECIDED else None
    if planned is not None:
        ago = days_text((today - planned).days)
        return _At(
            stage, planned, where, phrase("planned for {day}, {ago} ago", day=day_text(planned), ago=ago)
        )
    latest, look = timeline.stages[stage].latest, BY_NAME[stage].look.lower() or _UNCUT
    return _At(
        stage,
        latest,
        where,
        phrase("to come by {day} at the latest; {look}", day=day_text(latest), look=look),
    )


def _together(kind: str, each: Iterable[tuple[str, _At]]) -> Iterator[Decision]:
    """One row for the cohorts that are alike in all."""
    alike: dict[_At, list[str]] = {}
    for name, at in each:
        alike.setdefault(at, []).append(name)
    for at, names in alike.items():
        what = f"{cohorts_text(names)} {stage_text(at.stage)}"
        yield Decision(kind, names[0], what, at.where, at.by, at.why, at.stage, tuple(names))
