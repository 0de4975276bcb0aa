"""Which programme of lamps or covers is in force in a place on which evenings."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta

from calendar_tui.language.speaking import phrase, phrase_form, translated
from calendar_tui.season.records import Place, Programme, Season
from calendar_tui.season.units_in_use import clock
from calendar_tui.season.wording import hours_text

_DAY = timedelta(days=1)


def programmes_of(season: Season, place: Place, light: str = "") -> tuple[Programme, ...]:
    """The programmes of a place in order of time, none over another; its own lamps stand where no other is in force.

    light: the name of a screened part, which has its own programmes and those of the whole place.
    A place without lamps has evenings in none. They come without the place's name: places under the same programmes
    feel the same days, and share what is worked out.
    """
    own = (replace(p, place="") for p in season.programmes if p.place in (place.id, light))
    given = sorted(own, key=lambda p: p.first)
    out: list[Programme] = []
    free = season.first_day
    for programme in given:
        out += own_lamps(place, free, programme.first - _DAY)
        out.append(programme)
        free = programme.last + _DAY
    return (*out, *own_lamps(place, free, season.last_day))


def own_lamps(place: Place, first: date, last: date) -> Iterator[Programme]:
    """What the place's lamps say, as the programme of these evenings."""
    lamps = place.lamps
    if lamps is not None and first <= last:
        yield Programme(
            place="",
            first=first,
            last=last,
            method=lamps.method,
            target_h=lamps.target_h,
            side=lamps.side,
            on=lamps.on,
            off=lamps.off,
            cyclic_min=lamps.cyclic_min,
        )


def timer_follows(place: Place) -> bool:
    """Whether the place's timer changes with the clock; covers without lamps beside them are drawn by the clock."""
    return place.lamps is None or place.lamps.timer_follows_clock


def place_of(season: Season, light: str) -> Place:
    """The place of a light: of a screened part, the whole place. KeyError for an unknown one."""
    place = season.place_of(light)
    if place is None or light not in place.lights:
        raise KeyError(light)
    return place


# What is done at times of the clock, by method.
_BY_THE_CLOCK = {
    "night-break": phrase_form("night break {times}"),
    "clock": phrase_form("lamps by the clock {times}"),
    "blackout": phrase_form("blackout, covers {times}"),
}


def programme_text(programme: Programme) -> str:
    """ "day extension to 16 h 00, after sunset", "night break 22:00 to 02:00, 6 min on and 24 off in turn"."""
    if programme.method == "extend":
        where = phrase("half at each end") if programme.side == "both" else translated(programme.side)
        return phrase(
            "day extension to {hours}, {where}", hours=hours_text(programme.target_h or 0), where=where
        )
    text = phrase(_BY_THE_CLOCK[programme.method], times=clock_text(programme))
    if programme.cyclic_min is None:
        return text
    burning, resting = programme.cyclic_min
    return phrase(
        "{programme}, {burning} min on and {resting} off in turn",
        programme=text,
        burning=f"{burning:g}",
        resting=f"{resting:g}",
    )


def clock_text(programme: Programme) -> str:
    """ "22:00 to 02:00", the times of a programme that has them."""
    assert programme.on is not None
    assert programme.off is not None
    return phrase("{time} to {off_time}", time=clock(programme.on), off_time=clock(programme.off))
