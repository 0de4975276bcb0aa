"""Means of a trial in cells: a line a mean with what it comes to, beside it the plots' own values, the mean and its standard error."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from calendar_tui.handing_on.words.analysis_tables import p_text, plain_number
from calendar_tui.planning.trial_analysis.analysed import Analysed, MeanRow, MeansTable
from calendar_tui.season.cells import cell_len, cut_text, filled, filled_before
from calendar_tui.season.wording import days_in_words

# What a cell shows: for terminals with Unicode, for those without, and in words for the legend.
# {0}, {1}: what a value is of, such as a plot, for one and for several.
SIGNS: dict[str, tuple[str, str, str]] = {
    "point": ("·", ".", "a {0}"),
    "points": ("2", "2", "several {1}, 9 for more"),
    "error": ("─", "-", "one SE on either side"),
    "mean": ("●", "O", "mean"),
}
HEAD, TEXT, AXIS = "head", "text", "axis"
_LONGEST, _LEAST_PLOT, _GAP = 26, 20, 2
_MOST = 9


class Part(NamedTuple):
    """A piece of a line: a key of SIGNS, or HEAD, TEXT, AXIS; and its text."""

    kind: str
    text: str


Line = list[Part]


class Axis(NamedTuple):
    """From values to cells, from low at the left to high at the right."""

    low: float
    high: float
    width: int

    def cell(self, value: float) -> int:
        share = (value - self.low) / (self.high - self.low)
        return min(max(round(share * (self.width - 1)), 0), self.width - 1)


def means_rows(one: Analysed, table: MeansTable, width: int, is_ascii: bool) -> Iterator[Line]:
    """The heads, a line a mean, the axis. Where there is little room the plot is left out."""
    columns = [_filled(head, is_left, cells) for head, is_left, cells in _columns(one, table) if any(cells)]
    taken = sum(cell_len(column[0]) + _GAP for column in columns)
    axis = _axis(one, width - taken - 1)
    lines = [
        "".join(cells) for cells in zip(*([text + " " * _GAP for text in c] for c in columns), strict=True)
    ]
    yield [Part(HEAD, lines[0].rstrip())]
    for line, mean in zip(lines[1:], table.rows, strict=True):
        yield [Part(TEXT, line), *(_strip(mean, axis, is_ascii) if axis else ())]
    if axis:
        yield [Part(AXIS, " " * taken + _axis_text(axis))]


def legend(one: Analysed, is_ascii: bool) -> str:
    """ "● mean  ─ one SE on either side  · a plot ..." """
    return "  ".join(f"{signs[is_ascii]} {signs[2].format(*one.units)}" for signs in reversed(SIGNS.values()))


def verdict_text(table: MeansTable) -> str:
    """In plain words whether the means of a factor, or of a combination of factors, differ."""
    name = " x ".join(table.factors)
    if table.p is None or table.f is None:
        return f"{name}: nothing tests its differences; these are means alone."
    test = f"F {plain_number(table.f)}, p {p_text(table.p)}"
    if len(table.factors) > 1:
        yes, no = (
            "the factors do not act alike everywhere",
            "no sign that one factor acts by the level of another",
        )
    else:
        yes, no = "the means differ", "no difference is shown"
    chance = _chance_text(table.p)
    if table.is_significant:
        return f"{name}: {yes} ({test}). By chance alone as much comes in {chance}."
    return f"{name}: {no} ({test}). By chance alone as much comes in {chance}; there may be one all the same."


def _chance_text(p: float) -> str:
    if p < 0.0001:
        return "fewer than 1 of 10,000 such trials"
    if p > 0.4:
        return f"{round(10 * p)} of 10 such trials"
    return f"1 of {round(1 / p):,} such trials"


def _columns(one: Analysed, table: MeansTable) -> Iterator[tuple[str, bool, list[str]]]:
    """Head, whether at the left, and cells."""
    rows = table.rows
    yield ", ".join(table.factors), True, [days_in_words(", ".join(row.level)) for row in rows]
    yield "n", False, [str(row.n) for row in rows]
    yield "mean", False, [plain_number(row.mean) for row in rows]
    if one.is_plain:
        yield "SE", False, ["" if row.se is None else f"{row.se:.3g}" for row in rows]
    yield "LSD", True, [row.lsd for row in rows]
    yield "Tukey", True, [row.tukey for row in rows]


def _filled(head: str, is_left: bool, cells: Sequence[str]) -> list[str]:
    texts = [cut_text(text, _LONGEST) for text in (head, *cells)]
    width = max(map(cell_len, texts))
    fill = filled if is_left else filled_before
    return [fill(text, width) for text in texts]


def _axis(one: Analysed, width: int) -> Axis | None:
    """One axis for all tables of an analysis; None without room, or where all values are alike."""
    ends = [
        end for table in one.tables for row in table.rows for end in (row.low, row.high) if end is not None
    ]
    values = [*one.points, *ends]
    if width < _LEAST_PLOT or not values or not min(values) < max(values):
        return None
    return Axis(min(values), max(values), width)


def _strip(mean: MeanRow, axis: Axis, is_ascii: bool) -> Iterator[Part]:
    """The plots of a mean, over them its standard error, over that the mean."""
    cells: list[tuple[str, str]] = [(TEXT, " ")] * axis.width
    spots = [axis.cell(point) for point in mean.points]
    if mean.low is not None and mean.high is not None:
        for at in range(axis.cell(mean.low), axis.cell(mean.high) + 1):
            cells[at] = ("error", SIGNS["error"][is_ascii])
    for at in set(spots):
        count = spots.count(at)
        kind = "point" if count == 1 else "points"
        cells[at] = (kind, SIGNS[kind][is_ascii] if count == 1 else str(min(count, _MOST)))
    cells[axis.cell(mean.mean)] = ("mean", SIGNS["mean"][is_ascii])
    kind, run = cells[0][0], ""
    for own, sign in cells:
        if own != kind:
            yield Part(kind, run)
            kind, run = own, ""
        run += sign
    yield Part(kind, run.rstrip())


def _axis_text(axis: Axis) -> str:
    low, high = plain_number(axis.low), plain_number(axis.high)
    return low + filled_before(high, axis.width - cell_len(low))
