"""The lamp programme of a place: when its timer switches on and off each night, and what that burns and leaves dark."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import NamedTuple
from zoneinfo import ZoneInfo

from calendar_tui.language.speaking import phrase
from calendar_tui.nature.lamps import (
    Burning,
    burning_part,
    clock_change_h,
    covered_span_h,
    dark_span_h,
    doubtful_times,
    lamp_h,
)
from calendar_tui.nature.rounding import sum_of_known
from calendar_tui.planning.lamps.by_day import by_day_texts
from calendar_tui.planning.lamps.warnings import nothing_burns_text, too_dark_texts, under_covers_texts
from calendar_tui.planning.laying_out.light import Light, PlaceLight
from calendar_tui.planning.laying_out.nights import Night, Timer, covers_of, lamp_runs_of, nights_of
from calendar_tui.planning.laying_out.programmes import place_of, timer_follows
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.season.records import Place, Programme, Season
from calendar_tui.season.units_in_use import clock
from calendar_tui.season.wording import hours_text

_MINUTE = timedelta(minutes=1)


@dataclass(frozen=True, slots=True)
class LampRun:
    """One run of a light's lamps in the night named by its evening, or one drawing of its covers.

    A night lit at both ends has two. place: the name of the light. on, off: the local clock at whole minutes, on rounded
    earlier and off later; what follows is of the run so rounded. set_on, set_off: the same in standard time, which is what
    a timer that does not follow the clock is set to. lamp_h: hours this run burns, 0 for covers; dark_span_h: the
    night's longest unbroken dark; kwh: None where no power is given; note: what the grower should know of this night, or
    "". programme: the one in force; follows: whether the timer changes with the clock.
    """

    date: date
    place: str
    on: datetime
    off: datetime
    set_on: datetime
    set_off: datetime
    lamp_h: float
    dark_span_h: float
    kwh: float | None
    note: str
    programme: Programme
    follows: bool

    @property
    def timer(self) -> tuple[datetime, datetime]:
        """On and off by the timer's own clock: the local one where it follows that, else standard time."""
        if self.follows:
            return self.on.replace(tzinfo=None), self.off.replace(tzinfo=None)
        return self.set_on, self.set_off


@dataclass(frozen=True, slots=True)
class LampSheet:
    """All there is to tell of a light's lamps and covers in a season.

    name: of the light; kw: of its lamps, a part's share of its place's; unknown_nights: nights with lamps on which the sun does
    not set and rise again, so that no times can be told; failed: nights on which they failed and would have burnt; idle: a sentence on nights on which nothing burns, or "";
    notes: sentences on what is wrong. weekday: with which its weeks begin, counted from Monday as 0.
    """

    name: str
    place: Place
    kw: float | None
    programmes: tuple[Programme, ...]
    runs: tuple[LampRun, ...]
    unknown_nights: int
    failed: tuple[date, ...]
    idle: str
    notes: tuple[str, ...]
    weekday: int = 0


class _Bank(NamedTuple):
    """The lamps of one light."""

    name: str
    timer: Timer
    kw: float | None


def lamp_sheet(
    season: Season, name: str, light: Light, timelines: Mapping[str, Timeline], weekday: int = 0
) -> LampSheet:
    """The sheet of a light; KeyError for an unknown one. weekday: with which its weeks begin, counted from Monday as 0."""
    own, place = light.places[name], place_of(season, name)
    warnings = [*by_day_texts(season, name)]
    for cohort in own.by_cohort:
        warnings += too_dark_texts(timelines[cohort], light, (name,))
        warnings += under_covers_texts(timelines[cohort], light, (name,))
    return LampSheet(
        name,
        place,
        kw_of(place),
        own.programmes,
        tuple(lamp_runs(season, name, light)),
        nights_without_times(season, name, light),
        failed_nights(name, light),
        nothing_burns_text(name, light),
        tuple(warnings),
        weekday,
    )


def lights_with_lamps(season: Season) -> tuple[str, ...]:
    """The names of the lights with lamps or covers, in file order."""
    covered = {p.place for p in season.programmes}
    return tuple(
        name
        for place in season.places.values()
        for name in place.lights
        if place.lamps is not None or not covered.isdisjoint((place.id, name))
    )


def kw_of(place: Place) -> float | None:
    """The power of the lamps over one light of a place: an equal share for each screened part."""
    if place.lamps is None or place.lamps.kw is None:
        return None
    return place.lamps.kw / len(place.lights)


def lamp_runs(season: Season, name: str, light: Light) -> Iterator[LampRun]:
    """Each run of a light's lamps on the nights they burn, and each drawing of its covers, in order of time.

    KeyError for an unknown light.
    """
    place, own = place_of(season, name), light.places[name]
    bank = _Bank(name, Timer(ZoneInfo(season.site.timezone), timer_follows(place)), kw_of(place))
    nights = nights_of(season)
    for programme in own.programmes:
        for n in range(light.index(programme.first), light.index(programme.last + timedelta(days=1))):
            if programme.method == "blackout":
                yield _covers_of_night(bank, programme, nights[n])
            elif own.lit[n]:
                yield from _runs_of_night(bank, programme, nights[n], _run_of_morrow(bank, own, nights, n))


def _run_of_morrow(bank: _Bank, own: PlaceLight, nights: tuple[Night, ...], n: int) -> tuple[Burning, ...]:
    """The run of the next date, which lamps by the clock may begin before a night is over."""
    if n + 1 == len(nights) or not own.lit[n + 1]:
        return ()
    then = own.programme_on(nights[n + 1].date)
    if then is None or then.method != "clock":
        return ()
    return lamp_runs_of(nights[n + 1], then, bank.timer)


def nights_without_times(season: Season, name: str, light: Light) -> int:
    """Nights with lamps on which the sun does not set and rise again, so that no times can be told."""
    lit = light.places[name].lit
    return sum(
        burning and None in (night.evening, night.morning)
        for night, burning in zip(nights_of(season), lit, strict=True)
    )


def failed_nights(name: str, light: Light) -> tuple[date, ...]:
    """The nights on which a light's lamps were asked for and failed, those left out on which nothing was to burn."""
    own, nights = light.places[name], []
    for n, lit in enumerate(own.lit):
        day = light.first + timedelta(days=n)
        if lit or not own.lit_for(day) or own.covered(day):
            continue
        programme = own.programme_on(day)
        needed_h = programme.target_h if programme is not None and programme.method == "extend" else None
        if needed_h is None or light.natural_h[n] < needed_h:
            nights.append(day)
    return tuple(nights)


def kwh_of(runs: Iterable[LampRun]) -> float | None:
    """The kWh of these runs, None where no power is given; 0 for no runs."""
    return sum_of_known(run.kwh for run in runs)


def _runs_of_night(
    bank: _Bank, programme: Programme, night: Night, morrow: tuple[Burning, ...]
) -> Iterator[LampRun]:
    if night.evening is None or night.morning is None:
        return
    runs = tuple(map(_whole_minutes, lamp_runs_of(night, programme, bank.timer)))
    dark_h = dark_span_h(night.evening, night.morning, sorted((*runs, *map(_whole_minutes, morrow))))
    for run in runs:
        hours = lamp_h((run,)) * burning_part(programme.cyclic_min)
        yield _lamp_run(bank, programme, night, run, hours, dark_h)


def _covers_of_night(bank: _Bank, programme: Programme, night: Night) -> LampRun:
    covers = covers_of(night, programme, bank.timer)
    return _lamp_run(
        bank, programme, night, covers, 0.0, covered_span_h(night.evening, night.morning, covers)
    )


def _lamp_run(
    bank: _Bank, programme: Programme, night: Night, run: Burning, hours: float, dark_h: float
) -> LampRun:
    zone = bank.timer.zone
    return LampRun(
        night.date,
        bank.name,
        run.on.astimezone(zone),
        run.off.astimezone(zone),
        _standard(run.on, zone),
        _standard(run.off, zone),
        hours,
        dark_h,
        0.0 if programme.method == "blackout" else None if bank.kw is None else bank.kw * hours,
        _note(programme, bank.timer, night.date, lamp_h((run,))),
        programme,
        bank.timer.follows,
    )


def _whole_minutes(run: Burning) -> Burning:
    """On rounded earlier, off rounded later, so that no light is lost."""
    on = run.on.replace(second=0, microsecond=0)
    off = run.off.replace(second=0, microsecond=0)
    return Burning(on, off if off == run.off else off + _MINUTE)


def _standard(instant: datetime, zone: ZoneInfo) -> datetime:
    """The reading of a clock that stays on the zone's standard time; without a zone of its own."""
    local = instant.astimezone(zone)
    offset, summer = local.utcoffset() or timedelta(), local.dst() or timedelta()
    return instant.astimezone(UTC).replace(tzinfo=None) + offset - summer


def _note(programme: Programme, timer: Timer, evening: date, hours: float) -> str:
    """The clock change of this night and what it does to the run, or ""."""
    change = clock_change_h(evening, timer.zone)
    if not change:
        return ""
    h = f"{abs(change):g}"
    text = phrase("the clock goes forward {h} h this night", h=h)
    if change < 0:
        text = phrase("the clock goes back {h} h this night", h=h)
    if _set_h(programme) not in (None, hours):
        lasts = hours_text(hours)
        if programme.method == "blackout":
            text = phrase("{change} and the covers lie for {hours}", change=text, hours=lasts)
        else:
            text = phrase("{change} and the run lasts {hours}", change=text, hours=lasts)
    texts = [text, *_doubts(programme, timer, evening)]
    if not timer.follows:
        texts.append(phrase("the timer stays on standard time"))
    return "; ".join(texts)


def _set_h(programme: Programme) -> float | None:
    """The hours between two times of the clock; None where the sun sets them."""
    if programme.on is None or programme.off is None:
        return None
    apart = datetime.combine(date.min, programme.off) - datetime.combine(date.min, programme.on)
    return apart % timedelta(days=1) / timedelta(hours=1)


def _doubts(programme: Programme, timer: Timer, evening: date) -> Iterator[str]:
    """Settings by the clock that it does not show just once this night."""
    if programme.on is None or programme.off is None or not timer.follows:
        return
    by_day, zone = programme.method == "clock", timer.zone
    for reading, times in doubtful_times(evening, programme.on, programme.off, zone, by_day):
        if times:
            yield phrase(
                "{time} comes twice and the first is taken: see that the timer does so", time=clock(reading)
            )
        else:
            moved = reading.replace(tzinfo=zone).astimezone(UTC).astimezone(zone)
            yield phrase(
                "{time} does not exist and is taken as {off_time}: see that the timer switches",
                time=clock(reading),
                off_time=clock(moved),
            )
