"""The response of the date as rows of runs: every planting an upright on the axis of dates, and its days of growth below."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import takewhile
from typing import NamedTuple

from calendar_tui.planning.response.outcomes import Curve, Outcome
from calendar_tui.planning.why.phases import PHASES
from calendar_tui.screens.kit.axis import draw_dates
from calendar_tui.screens.kit.canvas import Canvas, Runs, joined, text_of
from calendar_tui.screens.kit.glyphs import Glyphs, glyph_set
from calendar_tui.screens.kit.window import Window
from calendar_tui.season.cells import cell_len
from calendar_tui.season.stages import LETTERS
from calendar_tui.season.wording import MONTHS, year_day_text

LABEL = 12
WIDEST, NARROWEST = 200, 40
# Rows below the uprights: the dates of planting, and the cohorts that are planted.
FOOT_ROWS = 2
_PAPER_ROWS = 18
_GROWTH_SHARE, _GROWTH_MOST = 4, 8
_DAY = timedelta(days=1)


class Cursor(NamedTuple):
    """The planting date under the cursor, and the harvest that it comes to or that is wished for."""

    planted: date
    harvest: date | None = None


@dataclass(frozen=True, slots=True)
class _Dates:
    """Dates from `low`, at the foot, in `rows` rows of `step` days."""

    low: date
    step: float
    rows: int

    def row(self, day: date) -> int | None:
        """The row that a day lies in; None outside them."""
        return next((y for y in range(self.rows) if self.between(y)[0] <= day < self.between(y)[1]), None)

    def between(self, row: int) -> tuple[date, date]:
        """The first day of a row, 0 on top, and that of the row above it."""
        up = self.rows - 1 - row
        return self.low + timedelta(days=int(up * self.step)), self.low + timedelta(
            days=int((up + 1) * self.step)
        )


def plot_rows(
    curve: Curve,
    width: int,
    height: int,
    glyphs: Glyphs,
    cursor: Cursor | None = None,
    planted: Mapping[str, date] | None = None,
) -> list[Runs]:
    """Exactly `height` rows of `width` cells: uprights, growth, dates, and the cohorts planted on a date, by name."""
    window = window_of(curve, width)
    growth = min(max((height - FOOT_ROWS) // _GROWTH_SHARE, 2), _GROWTH_MOST)
    rows = height - FOOT_ROWS - growth
    canvas = Canvas(window.width, height)
    dates, most = _dates_of(curve.outcomes, rows), _most_grown(curve.outcomes)
    for x in range(window.width):
        outcome = curve.outcomes[(window.day(x) - window.first).days]
        _draw_upright(canvas, x, outcome, dates, glyphs)
        _draw_growth(canvas, x, outcome, (rows, growth), most, glyphs)
    draw_dates(canvas, rows + growth, window, first_year=True)
    _mark_cohorts(canvas, height - 1, window, planted or {}, glyphs)
    labels = [
        *(
            (label, "hours")
            for label in (*_date_labels(dates, glyphs), *_growth_labels(growth, most, glyphs))
        ),
        ("planted".ljust(LABEL), "hours"),
        (" " * LABEL, "hours"),
    ]
    if cursor is not None:
        _draw_planted(canvas, rows + growth, window, cursor.planted)
        y = None if cursor.harvest is None else dates.row(cursor.harvest)
        if cursor.harvest is not None and y is not None:
            labels[y] = (year_day_text(cursor.harvest).rjust(LABEL - 1) + glyphs.tick, "cursor")
    return [joined((label, *row)) for label, row in zip(labels, canvas.rows(), strict=True)]


def _draw_planted(canvas: Canvas, y: int, window: Window, day: date) -> None:
    """The planting date in full over the axis, from its column on, or up to it where there is no room."""
    text, x = year_day_text(day), window.column(day)
    first = x if x + len(text) <= canvas.width else x + 1 - len(text)
    canvas.put(first, y, text, "cursor")
    _blank_word(canvas, y, range(first - 1, -1, -1))
    _blank_word(canvas, y, range(first + len(text), canvas.width))


def _blank_word(canvas: Canvas, y: int, columns: Iterable[int]) -> None:
    """Blank the cells up to the first empty one, so that no half of a month's name is left."""
    for x in takewhile(lambda x: not canvas.blank(x, y), columns):
        canvas.put(x, y, " ")


def plot_lines(curve: Curve, width: int, ascii_only: bool) -> Iterator[str]:
    """The plot and its legend, in lines of at most `width` characters."""
    width, glyphs = min(max(width, NARROWEST), WIDEST), glyph_set(ascii_only)
    rows = plot_rows(curve, width, _PAPER_ROWS, glyphs)[:-1]
    return (text_of(row).rstrip() for row in (*rows, legend_row(glyphs)))


def window_of(curve: Curve, width: int) -> Window:
    """The planting dates over the columns beside the labels."""
    return Window(curve.outcomes[0].planted, len(curve.outcomes), width - LABEL)


def legend_row(glyphs: Glyphs) -> Runs:
    """What an upright's fills mean, from its foot."""
    names = {"nursery": "nursery", "natural": "growing", "lamps": "lamps", "run": "short days"}
    shown = [f"{glyphs.phases[key] * 2} {name}" for key, name in names.items()]
    letters = [f"{LETTERS[stage]} {stage}" for stage in ("flowering", "harvest")]
    return ((" ".join(("up:", "  ".join((*shown, *letters)))), "legend"),)


def phase_between(outcome: Outcome, first: date, end: date) -> str:
    """The last phase, or the stage flowering or harvest, that a planting is in from `first` to before `end`; "" for none."""
    for name, begin, done in _phases(outcome):
        if begin is not None and begin < end and (done is None or done > first):
            return name
    return ""


def _phases(outcome: Outcome) -> Iterator[tuple[str, date | None, date | None]]:
    """The phases of a planting, last first: name, first day and the day after the last, None where it goes on."""
    trigger, induced, flowering, harvest = (
        None if dates is None else dates.likely
        for dates in (outcome.trigger, outcome.induced, outcome.flowering, outcome.harvest)
    )
    off = outcome.lights_off
    if harvest is not None:
        yield "harvest", harvest, harvest + _DAY
    if flowering is not None:
        yield "flowering", flowering, flowering + _DAY
        yield "flower", flowering, harvest
    yield "induced", induced, flowering
    yield "run", trigger, induced
    begun = outcome.transplant or outcome.begun
    end = trigger or flowering
    if off is not None:
        yield "natural", max(off, begun), end
        yield "lamps", begun, off if end is None else min(off, end)
    else:
        yield "natural", begun, end
    yield "nursery", outcome.begun, begun


def _draw_upright(canvas: Canvas, x: int, outcome: Outcome, dates: _Dates, glyphs: Glyphs) -> None:
    for y in range(dates.rows):
        name = phase_between(outcome, *dates.between(y))
        if name in PHASES:
            canvas.put(x, y, glyphs.phases[name], name)
        elif name:
            canvas.put(x, y, LETTERS[name], "stage")


def _draw_growth(
    canvas: Canvas, x: int, outcome: Outcome, place: tuple[int, int], most: int, glyphs: Glyphs
) -> None:
    """The days of growth as a level line in the rows of `place`, the first and how many."""
    if outcome.growth_d is None:
        return
    top, rows = place
    steps = rows * len(glyphs.curve)
    up, part = divmod(min(outcome.growth_d * steps // most, steps - 1), len(glyphs.curve))
    canvas.put(x, top + rows - 1 - up, glyphs.curve[part], "curve")


def _dates_of(outcomes: Sequence[Outcome], rows: int) -> _Dates:
    """From the first start to the last harvest, or the last planting where none is harvested."""
    low = min(o.begun for o in outcomes)
    high = max(o.harvest.likely if o.harvest else o.planted for o in outcomes) + _DAY
    return _Dates(low, max((high - low).days / rows, 1.0), rows)


def _most_grown(outcomes: Sequence[Outcome]) -> int:
    return max((o.growth_d for o in outcomes if o.growth_d), default=1) + 1


def _date_labels(dates: _Dates, glyphs: Glyphs) -> list[str]:
    """The month that a row begins in, where it is another than that of the row below."""
    out, before = [], ""
    for y in reversed(range(dates.rows)):
        day, _ = dates.between(y)
        text = f"{MONTHS[day.month - 1]} {day.year}"
        out.append((text if text != before else "").rjust(LABEL - 1) + glyphs.tick)
        before = text
    return out[::-1]


def _growth_labels(rows: int, most: int, glyphs: Glyphs) -> list[str]:
    figures = {1: "growth", 0: f"{most - 1} d", rows - 1: "0 d"}
    return [figures.get(y, "").rjust(LABEL - 1) + glyphs.upright for y in range(rows)]


def _mark_cohorts(
    canvas: Canvas, y: int, window: Window, planted: Mapping[str, date], glyphs: Glyphs
) -> None:
    """A mark under each planting date of the season's cohorts, and the name where there is room."""
    free = 0
    for name, day in sorted(planted.items(), key=lambda pair: pair[1]):
        if not window.first <= day <= window.last:
            continue
        x = window.column(day)
        canvas.put(x, y, glyphs.up, "stage")
        if x + 1 >= free and x + 1 + cell_len(name) <= canvas.width:
            canvas.put(x + 1, y, name, "label")
            free = x + 2 + cell_len(name)
