"""The lamp programme of a place: when its timer switches on and off each night, and what that burns and leaves dark."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from itertools import groupby
from zoneinfo import ZoneInfo

from calendar_tui.nature.lamps import Run, clock_change_h, dark_span_h, doubtful_times, lamp_h
from calendar_tui.planning.light import Light, Night, nights_of, runs_of
from calendar_tui.planning.timeline import Timeline
from calendar_tui.planning.wording import day_text, hours_text
from calendar_tui.season.records import Lamps, Season, Site

_MINUTE = timedelta(minutes=1)


@dataclass(frozen=True, slots=True)
class LampRun:
    """One run of a place's lamps in the night named by its evening; a night lit at both ends has two.

    on, off: the local clock at whole minutes, on rounded earlier and off later; what follows is of the run so rounded.
    set_on, set_off: the same in standard time, which is what a timer that does not follow the clock is set to.
    lamp_h: hours this run burns; dark_span_h: the night's longest unbroken dark; kwh: None where no power is given;
    note: what the grower should know of this night, or "".
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
    note: str = ""


@dataclass(frozen=True, slots=True)
class LampWeek:
    """The runs of one week: `first` are those of its first lit night; hours and kWh are sums of the week."""

    monday: date
    first: tuple[LampRun, ...]
    lamp_h: float
    kwh: float | None
    notes: tuple[LampRun, ...]


def lamp_runs(season: Season, place: str, light: Light) -> Iterator[LampRun]:
    """Each run of a place's lamps on the nights they burn, in order of time; KeyError for an unknown place."""
    lamps = season.places[place].lamps
    if lamps is None:
        return
    for night, lit in zip(nights_of(season), light.places[place].lit, strict=True):
        if lit:
            yield from _runs_of_night(season.site, place, lamps, night)


def nights_without_times(season: Season, place: str, light: Light) -> int:
    """Nights with lamps on which the sun does not set and rise again, so that no times can be told."""
    lit = light.places[place].lit
    return sum(
        burning and None in (night.evening, night.morning)
        for night, burning in zip(nights_of(season), lit, strict=True)
    )


def lamp_weeks(runs: Iterable[LampRun]) -> Iterator[LampWeek]:
    """Runs in order of time, by weeks that begin on Monday."""
    for monday, group in groupby(runs, key=lambda run: run.date - timedelta(days=run.date.weekday())):
        week = tuple(group)
        first = tuple(run for run in week if run.date == week[0].date)
        hours = sum(run.lamp_h for run in week)
        yield LampWeek(monday, first, hours, kwh_of(week), tuple(run for run in week if run.note))


def kwh_of(runs: Iterable[LampRun]) -> float | None:
    """The kWh of these runs, None where no power is given; 0 for no runs."""
    found = [run.kwh for run in runs]
    known = [kwh for kwh in found if kwh is not None]
    return sum(known) if len(known) == len(found) else None


def _runs_of_night(site: Site, place: str, lamps: Lamps, night: Night) -> Iterator[LampRun]:
    if night.evening is None or night.morning is None:
        return
    zone = ZoneInfo(site.timezone)
    runs = tuple(map(_whole_minutes, runs_of(night, lamps, site)))
    dark_h = dark_span_h(night.evening, night.morning, runs)
    for run in runs:
        hours = lamp_h((run,))
        yield LampRun(
            night.date,
            place,
            run.on.astimezone(zone),
            run.off.astimezone(zone),
            _standard(run.on, zone),
            _standard(run.off, zone),
            hours,
            dark_h,
            None if lamps.kw is None else lamps.kw * hours,
            _note(lamps, night.date, zone, hours),
        )


def _whole_minutes(run: Run) -> Run:
    """On rounded earlier, off rounded later, so that no light is lost."""
    on = run.on.replace(second=0, microsecond=0)
    off = run.off.replace(second=0, microsecond=0)
    return Run(on, off if off == run.off else off + _MINUTE)


def _standard(instant: datetime, zone: ZoneInfo) -> datetime:
    """The reading of a clock that stays on the zone's standard time; without a zone of its own."""
    local = instant.astimezone(zone)
    offset, summer = local.utcoffset() or timedelta(), local.dst() or timedelta()
    return instant.astimezone(UTC).replace(tzinfo=None) + offset - summer


def _note(lamps: Lamps, evening: date, zone: ZoneInfo, hours: float) -> str:
    """The clock change of this night and what it does to the run, or ""."""
    change = clock_change_h(evening, zone)
    if not change:
        return ""
    way = "forward" if change > 0 else "back"
    said = [
        f"the clock goes {way} {abs(change):g} h this night and the run lasts {hours_text(hours)}",
        *_doubts(lamps, evening, zone),
    ]
    if not lamps.timer_follows_clock:
        said.append("the timer stays on standard time")
    return "; ".join(said)


def _doubts(lamps: Lamps, evening: date, zone: ZoneInfo) -> Iterator[str]:
    """Settings of a night break that the clock does not show just once this night."""
    if lamps.break_from is None or lamps.break_to is None or not lamps.timer_follows_clock:
        return
    for reading, times in doubtful_times(evening, lamps.break_from, lamps.break_to, zone):
        if times:
            yield f"{reading:%H:%M} comes twice and the first is taken: see that the timer does so"
        else:
            taken = reading.replace(tzinfo=zone).astimezone(UTC).astimezone(zone)
            yield f"{reading:%H:%M} does not exist and is taken as {taken:%H:%M}: see that the timer switches"


def lamps_too_short_text(timeline: Timeline, light: Light, places: Iterable[str] = ()) -> str:
    """Where lamps a short-day cohort asks for leave a felt day under its critical day: a sentence, or "".

    It names the first such place of `places`, or of the cohort's own where none are given.
    """
    cohort, critical = timeline.cohort, timeline.variety.critical_day
    if timeline.variety.response == "day-neutral":
        return ""
    for place in filter(None, places or (cohort.nursery, cohort.place)):
        nights = _short_nights(cohort.id, place, light, critical)
        if nights:
            felt = min(light.places[place].felt_h[n] for n in nights)
            first = light.first + timedelta(days=nights[0])
            return (
                f"{cohort.id} asks for the lamps of {place}, which on {len(nights)} of its nights from {day_text(first)} "
                f"leave up to {hours_text(24 - felt)} of unbroken dark: a day of {hours_text(felt)}, under its critical "
                f"day of {hours_text(critical)}; light longer, or break the night nearer its middle"
            )
    return ""


def _short_nights(name: str, place: str, light: Light, critical_h: float) -> list[int]:
    own = light.places[place]
    asks = [asked for cohort, asked in own.asked if cohort == name]
    spans = [range(light.index(a.first), light.index(a.dark)) for a in asks]
    return [n for span in spans for n in span if own.lit[n] and own.felt_h[n] < critical_h]
