"""The days of one lot side by side on one axis: when it may be cut, when it is ripe, when the limit is reached, how long the sample holds."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from math import ceil
from typing import NamedTuple

from calendar_tui.planning.cutting.windows import LotCut
from calendar_tui.season.wording import day_text

LABEL = 12
# Days before today and after it, at most.
BEFORE_D, AFTER_D = 35, 120
# Beyond the last of its days, so that the end of a bar shows as one.
MARGIN_D = 2
# A tick with its date needs so many columns.
TICK = 9


class Signs(NamedTuple):
    """full: may be cut; range: from earliest to latest; likely; conflict: not before and not after; today."""

    full: str
    range: str
    likely: str
    conflict: str
    today: str


UNICODE, ASCII = Signs("█", "░", "●", "×", "┊"), Signs("#", "-", "o", "x", ":")


class Bar(NamedTuple):
    """first, last: None where it is open at that end; likely: a day in it; sign: what it is filled with."""

    label: str
    first: date | None
    last: date | None
    likely: date | None
    sign: str


class Axis(NamedTuple):
    first: date
    days: int
    a_column: int

    def column(self, day: date) -> int:
        return (day - self.first).days // self.a_column

    @property
    def columns(self) -> int:
        return ceil(self.days / self.a_column)


def strip_lines(cut: LotCut, today: date, width: int, ascii_only: bool) -> Iterator[str]:
    """A line for the dates, and one for each bar; none where nothing of a lot is known or near today, or there is no room."""
    signs = ASCII if ascii_only else UNICODE
    bars = [*_bars(cut, signs)]
    room = width - LABEL
    if cut.done or not _near(bars, today) or room < 2 * TICK:
        return
    axis = _axis(bars, today, room)
    yield " " * LABEL + _dates(axis)
    for bar in bars:
        yield f"{bar.label:<{LABEL}}{_drawn(bar, axis, today, signs)}".rstrip()


def legend(ascii_only: bool) -> str:
    """What the signs stand for."""
    signs = ASCII if ascii_only else UNICODE
    return (
        f"{signs.full} may be cut  {signs.range} from earliest to latest  {signs.likely} likely  "
        f"{signs.conflict} not before and not after  {signs.today} today"
    )


def _bars(cut: LotCut, signs: Signs) -> Iterator[Bar]:
    window = cut.window
    if window.conflict:
        late, early = window.conflict
        yield Bar("conflict", early.day, late.day, None, signs.conflict)
    elif window.earliest and cut.latest:
        yield Bar("may be cut", window.earliest.day, cut.latest.day, None, signs.full)
    if cut.ripe is not None:
        yield Bar("ripe", cut.ripe.earliest, cut.ripe.latest, cut.ripe.likely, signs.range)
    limit = cut.limit
    if limit is not None and limit.earliest is not None:
        yield Bar("limit", limit.earliest, limit.latest, limit.likely, signs.range)
    sample = cut.official.bearing
    if sample is not None and cut.sample_until is not None:
        yield Bar("sample holds", sample.date, cut.sample_until, None, signs.range)


def _axis(bars: Sequence[Bar], today: date, room: int) -> Axis:
    """All bars, as far as they lie near today."""
    near = _near(bars, today)
    first = min([today, *near]) - timedelta(days=MARGIN_D)
    last = max([today, *near]) + timedelta(days=MARGIN_D)
    count = (last - first).days + 1
    return Axis(first, count, ceil(count / room))


def _near(bars: Sequence[Bar], today: date) -> list[date]:
    """The days of bars that lie near today."""
    days = (day for bar in bars for day in (bar.first, bar.last, bar.likely) if day is not None)
    return [day for day in days if -BEFORE_D <= (day - today).days <= AFTER_D]


def _dates(axis: Axis) -> str:
    line = ""
    for column in range(0, axis.columns - TICK + 1, TICK):
        line += f"{day_text(axis.first + timedelta(days=column * axis.a_column)):<{TICK}}"
    return line.rstrip()


def _drawn(bar: Bar, axis: Axis, today: date, signs: Signs) -> str:
    begin = 0 if bar.first is None else max(axis.column(bar.first), 0)
    end = axis.columns - 1 if bar.last is None else min(axis.column(bar.last), axis.columns - 1)
    cells = [bar.sign if begin <= n <= end else " " for n in range(axis.columns)]
    now = axis.column(today)
    if cells[now] == " ":
        cells[now] = signs.today
    if bar.likely is not None and 0 <= (at := axis.column(bar.likely)) < axis.columns:
        cells[at] = signs.likely
    return "".join(cells)
