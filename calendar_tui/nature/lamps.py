"""Lamps: when they burn in a night, the dark that is left, and the day a plant feels where it is joined with them.

A night runs from the end of one natural day to the start of the next, two instants in UTC. A plant reads the longest
unbroken dark span of it, not the hours of light: that is why a few hours in the middle of a night do so much.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from typing import NamedTuple

# The part of the hours that burns in the evening; the rest burns before the morning.
EVENING_PART = {"after sunset": 1.0, "both": 0.5, "before sunrise": 0.0}
_NOON = time(12)


class Burning(NamedTuple):
    """Lamps burning without a break: two instants in UTC."""

    on: datetime
    off: datetime


def extension_h(natural_h: float, target_h: float) -> float:
    """Hours that lamps burn to extend a natural day (h) to the target (h); 0 where it is as long."""
    return max(0.0, target_h - natural_h)


def extension_runs(evening: datetime, morning: datetime, target_h: float, side: str) -> tuple[Burning, ...]:
    """The runs that extend a night's day to `target_h`, leaving 24 h - target_h of dark; none where none is needed.

    evening and morning are the night's ends in UTC; side is a key of EVENING_PART (KeyError for another).
    """
    needed = extension_h(24 - _hours(evening, morning), target_h)
    after = timedelta(hours=needed * EVENING_PART[side])
    before = timedelta(hours=needed) - after
    if after + before >= morning - evening:
        return (Burning(evening, morning),)
    runs = Burning(evening, evening + after), Burning(morning - before, morning)
    return tuple(run for run in runs if run.off > run.on)


def clock_run(
    evening: date, on: time, off: time, zone: tzinfo, follows: bool = True, by_day: bool = False
) -> Burning:
    """A run set by the local clock in the night that begins on the date `evening`.

    on, off: local times. From noon on they are of that evening, earlier ones of the next morning; `off` is the next such
      time after `on`. A time that comes twice is the first of the two; one that does not exist is taken by the clock
      before the change.
    follows: whether the timer follows the clock. It then switches off by the changed clock; else it burns the hours set.
    by_day: the run of a date, such as 05:00 to 21:00. It begins on the date itself, unless it is over by noon.
    """
    starts, ends = _local_times(evening, on, off, by_day)
    begun = instant_of(starts, zone)
    return Burning(begun, instant_of(ends, zone) if follows else begun + (ends - starts))


def _local_times(evening: date, on: time, off: time, by_day: bool) -> tuple[datetime, datetime]:
    """The clock's readings at both ends, without a zone."""
    next_morning = on < off <= _NOON if by_day else on < _NOON
    starts = datetime.combine(evening + timedelta(days=next_morning), on)
    return starts, datetime.combine(starts.date() + timedelta(days=off <= on), off)


def instant_of(reading: datetime, zone: tzinfo) -> datetime:
    """The instant (UTC) of a clock's reading, the first where it comes twice."""
    return reading.replace(tzinfo=zone).astimezone(UTC)


def doubtful_times(
    evening: date, on: time, off: time, zone: tzinfo, by_day: bool = False
) -> tuple[tuple[datetime, int], ...]:
    """The readings among a run's two ends that the clock does not show just once, with how often it shows them (0, 2)."""
    shown = ((reading, _times_shown(reading, zone)) for reading in _local_times(evening, on, off, by_day))
    return tuple((reading, times) for reading, times in shown if times != 1)


def _times_shown(reading: datetime, zone: tzinfo) -> int:
    first, second = (reading.replace(tzinfo=zone, fold=fold).astimezone(UTC) for fold in (0, 1))
    if first == second:
        return 1
    return 2 if first < second else 0


def clock_change_h(evening: date, zone: tzinfo) -> float:
    """Hours by which the clock goes forward (back is negative) from noon of a date to noon of the next; mostly 0."""
    noons = (datetime.combine(evening + timedelta(days=n), _NOON, zone).utcoffset() for n in (0, 1))
    before, after = (offset or timedelta() for offset in noons)
    return (after - before) / timedelta(hours=1)


def lamp_h(runs: Iterable[Burning]) -> float:
    """Hours of real time that lamps burn."""
    return sum(_hours(on, off) for on, off in runs)


def dark_span_h(evening: datetime, morning: datetime, runs: Iterable[Burning]) -> float:
    """The longest unbroken dark span (h) of a night with these runs, which are in order of time."""
    longest, dark_from = 0.0, evening
    for on, off in runs:
        longest = max(longest, _hours(dark_from, min(on, morning)))
        dark_from = max(dark_from, off)
    return max(longest, _hours(dark_from, morning))


def felt_by_dark_h(natural_h: float, span_h: float) -> float:
    """The day (h) felt after a night whose longest dark span is `span_h`; lamps never shorten the natural day."""
    return max(natural_h, 24 - span_h)


def burning_part(cyclic_min: tuple[float, float] | None) -> float:
    """The part of a run's time for which lamps burn that are on and off in turn (min); 1 where they burn throughout."""
    return 1.0 if cyclic_min is None else cyclic_min[0] / sum(cyclic_min)


def covered_span_h(evening: datetime | None, morning: datetime | None, covers: Burning) -> float:
    """The longest unbroken dark (h) that a night and covers make together; covers: drawn and opened, in UTC.

    Without an evening or a morning the sun does not set and rise again, and the covers alone are dark.
    """
    if evening is None or morning is None:
        return _hours(*covers)
    if covers.on > morning or covers.off < evening:
        return max(_hours(*covers), _hours(evening, morning))
    return _hours(min(evening, covers.on), max(morning, covers.off))


def felt_under_covers_h(natural_h: float, span_h: float) -> float:
    """The day (h) felt with `span_h` of night and covers; covers never lengthen the natural day."""
    return max(0.0, min(natural_h, 24 - span_h))


def _hours(start: datetime, end: datetime) -> float:
    return (end - start) / timedelta(hours=1)
