"""What lamps and covers leave that a cohort did not ask for: dark enough for a short day, or no lamps at all."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import timedelta

from calendar_tui.planning.laying_out.light import Light, PlaceLight
from calendar_tui.planning.laying_out.programmes import clock_text
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.season.records import Programme
from calendar_tui.season.wording import day_text, hours_against, hours_text, night_count_text


def nothing_burns_text(name: str, light: Light) -> str:
    """On how many of the nights asked for the natural day is as long as the lamps' target, or ""."""
    own = light.places[name]
    nights = [
        n for p in own.programmes for n in _nights(light, p) if own.lit[n] and _past_target(light, p, n)
    ]
    if not nights:
        return ""
    return (
        f"on {night_count_text(len(nights))} from {_day(light, nights[0])} to {_day(light, nights[-1])} for which lamps are "
        f"asked, the natural day is as long as their target or longer: nothing burns"
    )


def too_dark_texts(timeline: Timeline, light: Light, names: Iterable[str] = ()) -> Iterator[str]:
    """Where lamps that a short-day cohort asks for leave a felt day under its critical day, a sentence a programme.

    names: of the lights to look at; its own where none are given.
    """
    if timeline.variety.response == "day-neutral":
        return
    for name in tuple(names) or timeline.cohort.lights:
        own = light.places[name]
        for programme in own.programmes:
            if nights := _dark_nights(timeline, light, name, programme):
                yield _too_dark_text(timeline, light, name, programme, nights)


def _dark_nights(timeline: Timeline, light: Light, name: str, programme: Programme) -> list[int]:
    """The day numbers on which a programme's lamps, asked for and burning, leave a day under the critical one."""
    own, critical_h = light.places[name], timeline.variety.critical_day.likely
    if programme.method == "extend" and (programme.target_h or 0.0) >= critical_h:
        return []
    nights = _asked_nights(timeline, light, name, programme)
    return [n for n in nights if own.felt_h[n] < critical_h and _burns_through(own, programme, n)]


def _too_dark_text(
    timeline: Timeline, light: Light, name: str, programme: Programme, nights: list[int]
) -> str:
    felt_h, critical_h = (
        min(light.places[name].felt_h[n] for n in nights),
        timeline.variety.critical_day.likely,
    )
    idle = sum(_past_target(light, programme, n) for n in nights)
    burns = (
        f"; on {'all' if idle == len(nights) else idle} of them nothing burns, since the natural day is past the "
        f"target of {hours_text(programme.target_h or 0)}"
        if idle
        else ""
    )
    return (
        f"{timeline.cohort.id} asks for the lamps of {name}, which on {len(nights)} of its nights from "
        f"{_day(light, nights[0])} leave up to {hours_against(24 - felt_h, 24 - critical_h)} of unbroken dark: a day of "
        f"{hours_against(felt_h, critical_h)}, under its critical day of {hours_text(critical_h)}{burns}; light longer, or break the night "
        f"nearer its middle"
    )


def under_covers_texts(timeline: Timeline, light: Light, names: Iterable[str] = ()) -> Iterator[str]:
    """Where a cohort asks for lamps on evenings of a blackout, a sentence a programme."""
    for name in tuple(names) or timeline.cohort.lights:
        own = light.places[name]
        for programme in own.programmes:
            nights = _asked_nights(timeline, light, name, programme) if programme.method == "blackout" else []
            if nights:
                felt_h = min(own.felt_h[n] for n in nights)
                yield (
                    f"{timeline.cohort.id} asks for the lamps of {name} on {night_count_text(len(nights))} from "
                    f"{_day(light, nights[0])} of a blackout: covers lie from {clock_text(programme)}, no lamps burn, and the "
                    f"day is {hours_text(felt_h)}; begin the blackout at its lights off, or move it to another place"
                )


def _asked_nights(timeline: Timeline, light: Light, name: str, programme: Programme) -> list[int]:
    """The day numbers of a programme on which the cohort asks for the lamps of this light."""
    nights = _nights(light, programme)
    asks = light.places[name].by_cohort.get(timeline.cohort.id, ())
    spans = [range(light.index(a.first), light.index(a.dark)) for a in asks]
    shared = (range(max(s.start, nights.start), min(s.stop, nights.stop)) for s in spans)
    return sorted({n for span in shared for n in span})


def _burns_through(own: PlaceLight, programme: Programme, n: int) -> bool:
    """Whether a night has all its programme's lamps: by the clock, those of the next date's morning too."""
    return own.lit[n] and (programme.method != "clock" or own.lit[min(n + 1, len(own.lit) - 1)])


def _nights(light: Light, programme: Programme) -> range:
    return range(light.index(programme.first), light.index(programme.last + timedelta(days=1)))


def _past_target(light: Light, programme: Programme, n: int) -> bool:
    return programme.method == "extend" and light.natural_h[n] >= (programme.target_h or 0.0)


def _day(light: Light, n: int) -> str:
    return day_text(light.first + timedelta(days=n))
