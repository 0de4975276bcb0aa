"""The timer of a light week by week: one setting a row, and what it burns and leaves dark if it is left alone."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from functools import partial
from itertools import chain, groupby
from operator import attrgetter
from typing import NamedTuple

from calendar_tui.planning.lamps.runs import LampRun
from calendar_tui.season.weeks import first_of_week

_Night = tuple[LampRun, ...]
_HOUR = timedelta(hours=1)
_flat = chain.from_iterable
# A timer is set anew within a week where its setting moves by this, by its own clock.
_ANEW = timedelta(minutes=30)


class Setting(NamedTuple):
    """One switching on and off of a timer, by the local clock and by one that stays on standard time.

    Readings of these clocks, on its row's first night.
    """

    on: datetime
    off: datetime
    set_on: datetime
    set_off: datetime


class _Slack(NamedTuple):
    """How much earlier than a run its row's setting is on, and how much later off."""

    early: timedelta
    late: timedelta


@dataclass(frozen=True, slots=True)
class LampWeek:
    """One row: nights of one week under one programme, by one clock.

    begins: the week's first day, or the programme's first evening where that comes later, or the evening on which the clock differs.
    settings: one for each run of a night, on early enough and off late enough for every night of the row. nights: how many
    have runs; lamp_h, kwh: what they burn so set; dark_span_h: the longest dark so left. notes: runs with one.
    failed: nights of it on which lamps failed. anew: whether the timer must be set anew within its week, for the clock.
    weekday: with which its week begins, counted from Monday as 0.
    """

    begins: date
    first: _Night
    settings: tuple[Setting, ...]
    nights: int
    lamp_h: float
    dark_span_h: float
    kwh: float | None
    notes: _Night
    failed: tuple[date, ...]
    anew: bool
    weekday: int = 0

    def holds(self, day: date) -> bool:
        """Whether the day is in its calendar week."""
        return first_of_week(self.begins, self.weekday) == first_of_week(day, self.weekday)


def lamp_weeks(runs: Iterable[LampRun], failed: Iterable[date] = (), weekday: int = 0) -> Iterator[LampWeek]:
    """Runs in order of time, by rows.

    failed: nights on which lamps failed, each told with the row it would be of. weekday: with which a week begins, counted
    from Monday as 0.
    """
    nights = [tuple(group) for _, group in groupby(runs, key=attrgetter("date"))]
    rows = [(week, tuple(group)) for (week, _), group in groupby(nights, key=partial(_row_of, weekday))]
    dark = tuple(failed)
    before: tuple[date, tuple[Setting, ...]] | None = None
    for n, (week, row) in enumerate(rows):
        slacks = _slacks(row)
        settings = tuple(map(_setting, row[0], slacks[0]))
        # Within a week rows part where the clock is changed.
        parted = before is not None and before[0] == week
        begins = row[0][0].date if parted else week
        end = first_of_week(week, weekday) + timedelta(days=7)
        if n + 1 < len(rows):
            end = min(end, rows[n + 1][1][0][0].date)
        yield LampWeek(
            begins,
            row[0],
            settings,
            len(row),
            sum(map(_burnt_h, _flat(row), _flat(slacks))),
            max(map(_dark_h, row, slacks)),
            _kwh(row, slacks),
            tuple(run for run in _flat(row) if run.note),
            tuple(day for day in dark if begins <= day < end),
            before is not None and parted and _moved(row[0][0].follows, before[1], settings),
            weekday,
        )
        before = week, settings


def _row_of(weekday: int, night: _Night) -> tuple[date, tuple[timedelta | None, ...]]:
    """The week of a night, or where its programme begins, and how the clock stands then, as far as the timer cares.

    Times by the local clock are others on standard time as it is changed, and on the night whose reading it skips.
    """
    first = night[0]
    begins = max(first_of_week(first.date, weekday), first.programme.first)
    if first.programme.on is not None and first.follows:
        return begins, ()
    if first.programme.on is not None:
        return begins, tuple([at(run) for run in night for at in (_timer_on, _timer_off)])
    if not first.follows:
        return begins, tuple([run.on.utcoffset() for run in night])
    return begins, tuple([at.utcoffset() for run in night for at in (run.on, run.off)])


def _slacks(row: Sequence[_Night]) -> list[tuple[_Slack, ...]]:
    """A slack for each run of each night. Times set by the clock are the same on every night."""
    if row[0][0].programme.on is not None:
        return [(_Slack(timedelta(), timedelta()),) * len(night) for night in row]
    earliest = [min(map(_timer_on, column)) for column in zip(*row, strict=True)]
    latest = [max(map(_timer_off, column)) for column in zip(*row, strict=True)]
    return [
        tuple(
            _Slack(_timer_on(run) - on, off - _timer_off(run))
            for run, on, off in zip(night, earliest, latest, strict=True)
        )
        for night in row
    ]


def _timer_on(run: LampRun) -> timedelta:
    """When a run begins by its timer's own clock, counted from the midnight before its evening."""
    return run.timer[0] - datetime.combine(run.date, time())


def _timer_off(run: LampRun) -> timedelta:
    return run.timer[1] - datetime.combine(run.date, time())


def _setting(run: LampRun, slack: _Slack) -> Setting:
    """The setting of a row, from its first night."""
    on, off = run.on.replace(tzinfo=None), run.off.replace(tzinfo=None)
    own = run.programme
    if own.on is not None and own.off is not None:
        # On the night of a change a reading may not exist, and the run has another.
        on, off = datetime.combine(on, own.on), datetime.combine(off, own.off)
    early, late = slack
    return Setting(on - early, off + late, run.set_on - early, run.set_off + late)


def _burnt_h(run: LampRun, slack: _Slack) -> float:
    return run.lamp_h + (slack.early + slack.late) / _HOUR


def _dark_h(night: _Night, slacks: tuple[_Slack, ...]) -> float:
    """The longest dark of a night whose lamps are on sooner and off later than they need be.

    The dark of a night whose day is extended lies between the lamps of its evening and those of its morning.
    """
    first = night[0]
    closer = timedelta()
    if first.programme.method == "extend":
        closer += slacks[0].late if first.programme.side != "before sunrise" else timedelta()
        closer += slacks[-1].early if first.programme.side != "after sunset" else timedelta()
    return max(0.0, first.dark_span_h - closer / _HOUR)


def _kwh(row: Sequence[_Night], slacks: Sequence[tuple[_Slack, ...]]) -> float | None:
    """What a row burns, in proportion to its hours; None where no power is given."""
    total = 0.0
    for run, slack in zip(_flat(row), _flat(slacks), strict=True):
        if run.kwh is None:
            return None
        total += run.kwh * _burnt_h(run, slack) / run.lamp_h if run.lamp_h else run.kwh
    return total


def _moved(follows: bool, before: Sequence[Setting], settings: Sequence[Setting]) -> bool:
    """Whether a timer's own clock is to switch at other times than it was set to."""
    ends = (0, 1) if follows else (2, 3)
    return len(before) != len(settings) or any(
        _apart(old[end], new[end]) >= _ANEW for old, new in zip(before, settings, strict=True) for end in ends
    )


def _apart(one: datetime, other: datetime) -> timedelta:
    """Between two readings of the clock, whatever their days."""
    gap = (other - one) % timedelta(days=1)
    return min(gap, timedelta(days=1) - gap)
