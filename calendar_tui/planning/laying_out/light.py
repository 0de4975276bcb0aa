"""The light of each place, day by day: the natural day joined with the lamps that any cohort there asks for."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property
from itertools import accumulate
from operator import and_, getitem
from typing import TypeVar

from calendar_tui.planning.laying_out.early import Asking, askings, uses_lamps
from calendar_tui.planning.laying_out.nights import Felt, felt_days, natural_days_h
from calendar_tui.planning.laying_out.programmes import programmes_of, timer_follows
from calendar_tui.planning.laying_out.stages import Stages
from calendar_tui.planning.laying_out.stays import stays_of
from calendar_tui.season.records import Cohort, Place, Programme, Season

_DAY = timedelta(days=1)
_Key = TypeVar("_Key")
_Value = TypeVar("_Value")


@dataclass(frozen=True)
class PlaceLight:
    """One value a day of the season from `first`: whether lamps burn that evening, and the felt day (h).

    dark_h: the felt day were no lamps on; unfailed_h: were none of them to fail. asked: who asks for the lamps and
    when, in file order. programmes: of lamps and covers, in order of time. table: the felt days as lamps burn or not, and
    may_burn: 0 for each night on which they cannot, else 1; both empty where no cohort may ask for them.
    """

    first: date
    lit: tuple[bool, ...]
    felt_h: tuple[float, ...]
    dark_h: tuple[float, ...]
    unfailed_h: tuple[float, ...]
    asked: tuple[tuple[str, Asking], ...] = ()
    programmes: tuple[Programme, ...] = ()
    table: tuple[Felt, ...] = ()
    may_burn: bytes = b""

    @cached_property
    def by_cohort(self) -> dict[str, tuple[Asking, ...]]:
        """When each cohort asks for the lamps; several times where it comes back."""
        return {name: tuple(spans) for name, spans in _grouped(self.asked).items()}

    @cached_property
    def askers(self) -> dict[Asking, tuple[str, ...]]:
        """Who asks for each span of nights, in file order; thousands may ask for the same."""
        return {span: tuple(names) for span, names in _grouped((a, name) for name, a in self.asked).items()}

    @property
    def by_clock(self) -> bool:
        """Whether lamps are set by the clock here, which may burn on into the night before."""
        return any(p.method == "clock" for p in self.programmes)

    @cached_property
    def askers_by_night(self) -> tuple[int, ...]:
        """How many ask for the lamps on each evening."""
        changes = [0] * (len(self.lit) + 1)
        for span, names in self.askers.items():
            for day, more in ((span.first, len(names)), (span.dark, -len(names))):
                changes[min(max((day - self.first).days, 0), len(self.lit))] += more
        return tuple(accumulate(changes[:-1]))

    def lit_for(self, day: date) -> tuple[str, ...]:
        """The cohorts that ask for the lamps on this evening."""
        return tuple(name for name, a in self.asked if a.first <= day < a.dark)

    def programme_on(self, day: date) -> Programme | None:
        """The programme in force on this evening."""
        return next((p for p in self.programmes if p.first <= day <= p.last), None)

    def covered(self, day: date) -> bool:
        """Whether covers are drawn on this evening."""
        programme = self.programme_on(day)
        return programme is not None and programme.method == "blackout"


def _grouped(pairs: Iterable[tuple[_Key, _Value]]) -> dict[_Key, list[_Value]]:
    groups: dict[_Key, list[_Value]] = {}
    for key, value in pairs:
        groups.setdefault(key, []).append(value)
    return groups


@dataclass(frozen=True, slots=True)
class Light:
    """The light of a season from `first`: the natural day (h) by the site's definition, and each place's light.

    places: by the name of the light, a place's id or that of a screened part ("H2 east").
    """

    first: date
    natural_h: tuple[float, ...]
    places: Mapping[str, PlaceLight]

    def index(self, day: date) -> int:
        """The day's number, held inside the season."""
        return min(max((day - self.first).days, 0), len(self.natural_h))


def season_light(season: Season, early: Mapping[str, Stages]) -> Light:
    """The light of every place of a season, and of every screened part, given each cohort's early stages."""
    natural = natural_days_h(season.site, season.first_day, season.last_day)
    askings_by_light: dict[str, list[tuple[str, Asking]]] = {
        n: [] for p in season.places.values() for n in p.lights
    }
    for cohort in season.cohorts.values():
        for name, span in askings(season, cohort, early[cohort.id]):
            askings_by_light[name].append((cohort.id, span))
    in_futures = {name for c in season.cohorts.values() if uses_lamps(season, c) for name in c.growing_lights}
    lights = {
        name: place_light(season, place, name, natural, tuple(askings_by_light[name]), name in in_futures)
        for place in season.places.values()
        for name in place.lights
    }
    return Light(season.first_day, natural, lights)


def place_light(
    season: Season,
    place: Place,
    name: str,
    natural: tuple[float, ...],
    asked: tuple[tuple[str, Asking], ...],
    in_futures: bool = False,
) -> PlaceLight:
    """The light of a place or a part for which these cohorts ask; natural: the natural day (h), one value a day.

    in_futures: whether a cohort may ask for its lamps where lights off slips.
    """
    programmes = programmes_of(season, place, name)
    covers = [p for p in programmes if p.method == "blackout"]
    if not asked and not covers and not (in_futures and place.lamps):
        nights = (False,) * len(natural)
        return PlaceLight(season.first_day, nights, natural, natural, natural, (), programmes)
    wanted = bytearray(len(natural))
    for first, dark in {span for _, span in asked}:  # thousands may ask for the same nights
        _fill(wanted, season, first, dark, 1)
    for p in covers:
        _fill(wanted, season, p.first, p.last + _DAY, 0)
    lit = bytearray(wanted)
    failed = [outage for outage in season.outages if outage.place in (place.id, name)]
    for outage in failed:
        _fill(lit, season, outage.first, outage.last + _DAY, 0)
    felt = felt_days(season.site, season.first_day, season.last_day, programmes, timer_follows(place))
    by_clock = any(p.method == "clock" for p in programmes)
    unfailed_h = _felt_h(felt, wanted, by_clock)
    felt_h = unfailed_h if lit == wanted else _felt_h(felt, lit, by_clock)
    dark_h = tuple([f.dark for f in felt]) if covers else natural
    may_burn = bytearray([1]) * len(natural)
    for p in covers:
        _fill(may_burn, season, p.first, p.last + _DAY, 0)
    for outage in failed:
        _fill(may_burn, season, outage.first, outage.last + _DAY, 0)
    lights = tuple(map(bool, lit))
    return PlaceLight(
        season.first_day, lights, felt_h, dark_h, unfailed_h, asked, programmes, felt, bytes(may_burn)
    )


def _fill(nights: bytearray, season: Season, first: date, end: date, value: int) -> None:
    """Set the nights from `first` up to, not including, `end`, as far as they are of the season."""
    a, b = (min(max((day - season.first_day).days, 0), len(nights)) for day in (first, end))
    nights[a:b] = bytes([value]) * max(b - a, 0)


def _felt_h(felt: Sequence[Sequence[float]], lit: bytes | bytearray, by_clock: bool) -> tuple[float, ...]:
    """The felt days as these nights are lit; by_clock: where the next date's lamps may burn on into a night.

    The lamps of the last date's morrow are not known, and off.
    """
    which: bytes | bytearray = lit
    if by_clock:
        which = bytearray([own + 2 * then for own, then in zip(lit, lit[1:] + b"\0", strict=True)])
    return tuple(map(getitem, felt, which))


def felt_h_of(place: PlaceLight, asked: bytes) -> tuple[float, ...]:
    """The felt day (h) of each date in a place with a table, were lamps asked for on the nights that have a 1."""
    return _felt_h(place.table, bytes(map(and_, asked, place.may_burn)), place.by_clock)


def felt_by(light: Light, cohort: Cohort, early: Stages) -> tuple[float, ...]:
    """The felt day (h) where the cohort stands, one value a day."""
    felt: tuple[float, ...] = ()
    for stay in stays_of(cohort, early):
        felt += light.places[stay.light].felt_h[light.index(stay.first) : light.index(stay.end)]
    return felt
