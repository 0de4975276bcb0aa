"""In how many futures the nights of an outage have induced the plants, and in how many more they would."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from enum import IntEnum
from math import ceil, inf

from calendar_tui.planning.laying_out.inductions import Growth, inductions
from calendar_tui.planning.laying_out.light import Light, place_light
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.season.records import Outage, Season
from calendar_tui.season.stages import AFTER, EARLY

# The shares of futures from which flowering may have started, and has probably; over the last one it has. The ends are those
# of every range: from MAY on the earliest date, and up to STARTED the latest, is one of the other outcome.
MAY, PROBABLY, STARTED = 0.1, 0.5, 0.9
# Once one of these is recorded, nothing is left to ask.
SETTLED = ("induced", *AFTER["induced"])
_DAY = timedelta(days=1)


class Level(IntEnum):
    """How sure it is that flowering has started."""

    NONE, MAY, PROBABLY, STARTED = range(4)


@dataclass(frozen=True, slots=True)
class Onset:
    """When a cohort would be induced in each future by a run of short days, and how far the run has come.

    days: day numbers of the season, in order; inf in a future in which the run does not bring it. last: the day number of
    the run's last day, such as an outage's last night. first: the season's first day.
    """

    days: tuple[float, ...]
    last: int
    first: date

    @property
    def begun(self) -> int:
        """In how many futures the plants are induced by the last night."""
        return sum(day <= self.last for day in self.days)

    @property
    def level(self) -> Level:
        begun, count = self.begun, len(self.days)
        return Level((begun >= MAY * count) + (begun >= PROBABLY * count) + (begun > STARTED * count))

    @property
    def look(self) -> date | None:
        """From when to look at the tips; None while it is too soon."""
        day = self._reached(MAY)
        return self.first + timedelta(days=int(day)) if day <= self.last else None

    def nights_to(self, share: float) -> int | None:
        """How many further dark nights bring flowering in this share of the futures; None where none do."""
        left = self._reached(share) - self.last
        return None if left == inf else max(int(left), 0)

    def _reached(self, share: float) -> float:
        return self.days[ceil(share * len(self.days) - 1e-9) - 1]


def onset(season: Season, timeline: Timeline, light: Light, outage: Outage) -> Onset | None:
    """What the nights of an outage of the season do to a cohort: as if its place stayed dark from the first of them on.

    Not counted is a future in which it would be induced as soon without the outage.
    None for a day-neutral cohort, one that never stands there, one whose induction is recorded, or a later stage, and
    one without futures.
    """
    names = {stay.light for stay in timeline.stays if outage.place in (stay.place, stay.light)}
    growth = _growth(timeline)
    if growth is None or not names:
        return None
    others = tuple(o for o in season.outages if o != outage)
    dark_on = (*others, replace(outage, last=season.last_day))
    dark, lit = (
        _induced(season, _with_outages(season, light, names, outages), growth)
        for outages in (dark_on, others)
    )
    days = sorted(there if there < without else inf for there, without in zip(dark, lit, strict=True))
    return Onset(tuple(days), light.index(outage.last), light.first)


def onsets(season: Season, timeline: Timeline, light: Light) -> Iterator[tuple[Outage, Onset]]:
    """The outages that may have started a cohort's flowering, in file order."""
    for outage in season.outages:
        begun = onset(season, timeline, light, outage)
        if begun is not None and begun.level is not Level.NONE:
            yield outage, begun


def onset_by(season: Season, timeline: Timeline, light: Light, last: int) -> Onset | None:
    """When a cohort is induced in each future under its light as it is, and how many are by day number `last`.

    None as of `onset`.
    """
    growth = _growth(timeline)
    if growth is None:
        return None
    return Onset(tuple(sorted(_induced(season, light, growth))), last, light.first)


def _growth(timeline: Timeline) -> Growth | None:
    """What the count rests on in each future; None where none is made, or its end is recorded."""
    cohort, ready, futures = timeline.cohort, timeline.ready, timeline.futures
    if ready is None or futures is None or not ready.days or any(s in cohort.recorded for s in SETTLED):
        return None
    early = {name: stage for name, stage in timeline.stages.items() if name in EARLY}
    return Growth(cohort, early, ready.days, futures.figures)


def _induced(season: Season, light: Light, growth: Growth) -> list[float]:
    """The day number of induction in each future, infinite where it does not come within the season."""
    return [inf if run is None else run.induced for run in inductions(season, light, growth)]


def outage_behind(season: Season, timeline: Timeline) -> Outage | None:
    """The outage with which the likely trigger comes, where it is not recorded."""
    trigger = timeline.likely("trigger")
    if trigger is None or "trigger" in timeline.cohort.recorded:
        return None
    lights = {name for stay in timeline.stays for name in (stay.place, stay.light)}
    # With lamps by the clock the evening before is short as well.
    return next(
        (o for o in season.outages if o.place in lights and o.first - _DAY <= trigger <= o.last), None
    )


def is_in_question(season: Season, timeline: Timeline, light: Light) -> bool:
    """Whether the likely plants are induced by an outage, and in a tenth of the futures or more they are not."""
    outage = outage_behind(season, timeline)
    begun = None if outage is None else onset(season, timeline, light, outage)
    return begun is not None and begun.level is not Level.STARTED


def _with_outages(season: Season, light: Light, names: Iterable[str], outages: tuple[Outage, ...]) -> Light:
    """The light of a season, were these places, or parts of them, to have these outages."""
    season = replace(season, outages=outages)
    lights = dict(light.places)
    for name in names:
        place = season.place_of(name)
        assert place is not None
        lights[name] = place_light(season, place, name, light.natural_h, light.places[name].asked)
    return replace(light, places=lights)
