"""The plot of a trend in cells: two bands, the likely curve, the limit, the results, today. For paper of text and the screen alike."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from itertools import pairwise
from typing import NamedTuple

from calendar_tui.nature.cannabinoid_trend.results import Result
from calendar_tui.nature.cannabinoid_trend.trend import DayBand, PositionTrend
from calendar_tui.planning.results.trend import CohortTrend

# What a cell shows: for terminals with Unicode, for those without, and in words for the legend.
SIGNS: dict[str, tuple[str, str, str]] = {
    "result": ("░", ".", "new result"),
    "curve": ("▓", "#", "crop"),
    "likely": ("─", "-", "likely"),
    "today": ("│", "|", "today"),
    "step": ("┊", ":", "another laboratory"),
    "limit": ("═", "=", "limit"),
    "reached": ("▲", "^", "limit reached"),
    "other": ("·", ",", "other positions"),
    "interval": ("┃", "!", "between two ends"),
    "point": ("●", "o", "result"),
    "dip": ("▼", "v", "lower than before"),
    "odd": ("◆", "X", "odd"),
}
BLANK, AXIS, LABEL = "", "axis", "label"
LEFT = 7  # cells of the labels, in %
_BEFORE_D, _HEADROOM = 3, 1.15
_TICK_CELLS = 12


class Cell(NamedTuple):
    """One cell: what it shows, a key of SIGNS or BLANK, AXIS, LABEL, and its sign."""

    kind: str
    sign: str


Grid = list[list[Cell]]


class Scale(NamedTuple):
    """From days and % to cells. first: the day at the left; per_day: cells; top: % at the upper edge of the top row."""

    first: float
    last: float
    width: int
    height: int
    top: float

    def column(self, day: float) -> int | None:
        """The column of a day; None beside the plot."""
        at = round((day - self.first) / (self.last - self.first) * (self.width - 1))
        return at if 0 <= at < self.width else None

    def day(self, column: int) -> float:
        return self.first + column * (self.last - self.first) / (self.width - 1)

    def row(self, value: float) -> int:
        """The row of a value (%), 0 at the top; the top row for what is above."""
        at = int((1 - value / self.top) * self.height)
        return min(max(at, 0), self.height - 1)


def scale_of(shown: CohortTrend, own: PositionTrend, width: int, height: int) -> Scale:
    """So that the limit, all results and the likely curve are in it; a band that goes further is cut off at the top."""
    points = [row for one in shown.thc.positions for row in one.points]
    days = [band.day for band in own.days] or [row.day for row in points]
    tops = [row.high for row in points] + [band.likely for band in own.days]
    tops += [min(band.high, 2 * band.likely) for band in own.days]
    top = max([*tops, shown.limit or 0]) * _HEADROOM
    today = [] if shown.today_day is None else [float(shown.today_day)]
    last = max([*days, *[day for day in today if day <= max(days) + 14]])
    return Scale(min(days) - _BEFORE_D, max(last, min(days) + 28), width, height, top)


def plot(shown: CohortTrend, own: PositionTrend, width: int, height: int, ascii_only: bool = False) -> Grid:
    """The plot with its labels, `width` cells and `height` rows with the two of the axis. Takes a position with results."""
    scale = scale_of(shown, own, width - LEFT, height - 2)
    kinds = [[BLANK] * scale.width for _ in range(scale.height)]
    for column in range(scale.width):
        _draw_bands(kinds, scale, column, own.days)
    _draw_lines(kinds, scale, shown, own)
    _draw_likely(kinds, scale, own.days)
    _draw_points(kinds, scale, shown, own)
    rows = [[*_label(scale, at, shown.limit), *_cells(row, ascii_only)] for at, row in enumerate(kinds)]
    return [*rows, _axis(scale, shown, own, ascii_only), _dates(scale, shown)]


def _draw_bands(kinds: list[list[str]], scale: Scale, column: int, days: Sequence[DayBand]) -> None:
    band = _nearest(days, scale.day(column))
    if band is None:
        return
    for row in range(scale.row(band.result_high), scale.row(band.result_low) + 1):
        kinds[row][column] = "result"
    for row in range(scale.row(band.high), scale.row(band.low) + 1):
        kinds[row][column] = "curve"


def _nearest(days: Sequence[DayBand], day: float) -> DayBand | None:
    if not days or not days[0].day - 0.5 <= day <= days[-1].day + 0.5:
        return None
    return min(days, key=lambda band: abs(band.day - day))


def _draw_lines(kinds: list[list[str]], scale: Scale, shown: CohortTrend, own: PositionTrend) -> None:
    for day in step_days(own):
        at = scale.column(day)
        for row in kinds if at is not None else ():
            row[at or 0] = "step"
    today = None if shown.today_day is None else scale.column(shown.today_day)
    if today is not None:
        for row in kinds:
            row[today] = "today"
    if shown.limit is not None:
        kinds[scale.row(shown.limit)] = ["limit"] * scale.width


def _draw_likely(kinds: list[list[str]], scale: Scale, days: Sequence[DayBand]) -> None:
    for column in range(scale.width):
        band = _nearest(days, scale.day(column))
        if band is None:
            continue
        row = kinds[scale.row(band.likely)]
        if row[column] != "limit" or column % 2:  # where it runs along the limit, both are seen
            row[column] = "likely"


def _draw_points(kinds: list[list[str]], scale: Scale, shown: CohortTrend, own: PositionTrend) -> None:
    def put(day: float, value: float, kind: str) -> None:
        column = scale.column(day)
        if column is not None:
            kinds[scale.row(value)][column] = kind

    for one in shown.thc.positions:
        for point in one.points if one.position != own.position else ():
            put(point.day, (point.low + point.high) / 2, "other")
    dips = dips_of(own.points)
    odd = {one.result for one in own.odd}
    for point in own.points:
        _draw_interval(put, point, scale)
        kind = "odd" if point in odd else "dip" if point in dips else "point"
        put(point.day, (point.low + point.high) / 2, kind)


def _draw_interval(put: Callable[[float, float, str], None], point: Result, scale: Scale) -> None:
    step = scale.top / scale.height / 2
    value = point.low
    while value < point.high:
        put(point.day, value, "interval")
        value += step
    if point.low < point.high:
        put(point.day, point.high, "interval")


def step_days(own: PositionTrend) -> dict[float, str]:
    """Where another laboratory begins: half-way to its first bag, by its name."""
    return {
        (before.day + after.day) / 2: after.laboratory
        for before, after in pairwise(own.points)
        if after.laboratory != before.laboratory and after.laboratory in own.stepped
    }


def dips_of(points: Sequence[Result]) -> frozenset[Result]:
    """The results that lie under the one of the day before it on which that position was sampled, ends and all."""
    return frozenset(
        later
        for at, later in enumerate(points)
        if any(later.high < before.low for before in _of_the_day_before(points[:at], later.day))
    )


def _of_the_day_before(points: Sequence[Result], day: float) -> list[Result]:
    days = [point.day for point in points if point.day < day]
    return [point for point in points if days and point.day == max(days)]


def _cells(kinds: Sequence[str], ascii_only: bool) -> list[Cell]:
    return [Cell(kind, SIGNS[kind][ascii_only] if kind else " ") for kind in kinds]


def _label(scale: Scale, row: int, limit: float | None) -> list[Cell]:
    """The limit at its row, and every third row's middle."""
    value = (1 - (row + 0.5) / scale.height) * scale.top
    limit_row = None if limit is None else scale.row(limit)
    if limit is not None and row == limit_row:
        text = f"{limit:.2f} %"
    elif row % 3 == 0 and (limit_row is None or abs(row - limit_row) > 1):
        text = f"{value:.2f}  "
    else:
        text = ""
    return [Cell(LABEL, sign) for sign in f"{text:>{LEFT - 1}} "]


def _axis(scale: Scale, shown: CohortTrend, own: PositionTrend, ascii_only: bool) -> list[Cell]:
    line = [Cell(AXIS, "-" if ascii_only else "─")] * scale.width
    for day in own.limit_days[1:] if own.limit_days and shown.cut is None else ():
        column = None if day is None else scale.column(day)
        if column is not None:
            line[column] = _cells(["reached"], ascii_only)[0]
    return [*[Cell(LABEL, sign) for sign in " " * LEFT], *line]


def _dates(scale: Scale, shown: CohortTrend) -> list[Cell]:
    """Dates under the axis, as many as find room, each beginning at its day."""
    text = [" "] * (scale.width + LEFT)
    step = max(7, 7 * round(_TICK_CELLS * (scale.last - scale.first) / scale.width / 7))
    day = int(scale.first) + _BEFORE_D
    while day <= scale.last:
        column, on = scale.column(day), shown.on(day)
        if column is not None and on is not None:
            _write(text, LEFT + column, _tick_text(on))
        day += step
    return [Cell(LABEL, sign) for sign in text]


def _tick_text(on: date) -> str:
    return f"{on.day} {on:%b}"


def _write(text: list[str], at: int, words: str) -> None:
    if at + len(words) <= len(text):
        text[at : at + len(words)] = words


def kinds_in(grid: Grid) -> tuple[str, ...]:
    """What a plot shows, in the order of the legend."""
    seen = {cell.kind for row in grid for cell in row}
    return tuple(kind for kind in SIGNS if kind in seen)


def legend(grid: Grid, ascii_only: bool = False) -> str:
    """ "90 in 100: ░ new result  ▓ crop  ● result": what each sign of a plot is."""
    kinds = kinds_in(grid)
    signs = "  ".join(f"{SIGNS[kind][ascii_only]} {SIGNS[kind][2]}" for kind in kinds)
    return f"90 in 100: {signs}" if "curve" in kinds else signs


def plain_lines(grid: Grid) -> list[str]:
    """The plot as text."""
    return ["".join(cell.sign for cell in row).rstrip() for row in grid]
