"""A sheet of character cells and the rows of runs it is read off as. A run is a text and a style name."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby

StyledRun = tuple[str, str]
Runs = tuple[StyledRun, ...]


class Canvas:
    """Cells of one character and one style name each, blank at first. What falls outside is left out."""

    def __init__(self, width: int, height: int) -> None:
        self.width, self.height = width, height
        self._texts = [[" "] * width for _ in range(height)]
        self._styles = [[""] * width for _ in range(height)]

    def copy(self) -> Canvas:
        """A sheet of its own with the same cells."""
        other = Canvas(self.width, 0)
        other.height = self.height
        other._texts = [row.copy() for row in self._texts]
        other._styles = [row.copy() for row in self._styles]
        return other

    def put(self, x: int, y: int, text: str, style: str = "") -> None:
        """Write a text from a cell on."""
        first, end = max(x, 0), min(x + len(text), self.width)
        if first < end and 0 <= y < self.height:
            self._texts[y][first:end] = text[first - x : end - x]
            self._styles[y][first:end] = [style] * (end - first)

    def blank(self, x: int, y: int) -> bool:
        """Whether the cell lies on the sheet and holds nothing."""
        return 0 <= x < self.width and self._texts[y][x] == " "

    def free(self, x: int, y: int, length: int, styles: Sequence[str]) -> bool:
        """Whether these cells lie on the sheet and are all in one of these styles."""
        return (
            x >= 0 and x + length <= self.width and all(s in styles for s in self._styles[y][x : x + length])
        )

    def style(self, x: int, y: int) -> str:
        """The style names of a cell; "" outside the sheet."""
        return self._styles[y][x] if 0 <= x < self.width and 0 <= y < self.height else ""

    def ground(self, y: int, texts: Sequence[str], style: str) -> None:
        """Give a row's cells that hold one of these texts a style."""
        cells = zip(self._texts[y], self._styles[y], strict=True)
        self._styles[y] = [style if text in texts else own for text, own in cells]

    def restyle(self, x: int, y: int, style: str) -> None:
        """Add a style name to a cell, keeping its text."""
        if 0 <= x < self.width and 0 <= y < self.height:
            self._styles[y][x] = f"{self._styles[y][x]} {style}".strip()

    def rows(self) -> list[Runs]:
        """The sheet line by line, neighbouring cells of one style joined."""
        return [tuple(_runs(*line)) for line in zip(self._texts, self._styles, strict=True)]


def _runs(texts: Sequence[str], styles: Sequence[str]) -> Iterator[StyledRun]:
    x = 0
    for style, alike in groupby(styles):
        end = x + sum(1 for _ in alike)
        yield "".join(texts[x:end]), style
        x = end


def joined(runs: Iterable[StyledRun]) -> Runs:
    """The runs with neighbours of one style joined and empty ones left out."""
    groups = groupby((run for run in runs if run[0]), key=lambda run: run[1])
    return tuple(("".join(text for text, _ in group), style) for style, group in groups)


def text_of(row: Runs) -> str:
    """The characters of a row."""
    return "".join(text for text, _ in row)


def words_alone(text: str, width: int, height: int, ellipsis: str) -> list[Runs]:
    """A sentence in the place of a drawing: exactly `height` rows of exactly `width` cells."""
    rows: list[Runs] = [((line, ""),) for line in textwrap.wrap(text, width)]
    rows += [()] * (height - len(rows))
    return [fitted(row, width, ellipsis) for row in rows[:height]]


def fitted(row: Runs, width: int, ellipsis: str) -> Runs:
    """The row made exactly `width` cells wide: filled with blanks, or cut and ended with the ellipsis."""
    length = sum(len(text) for text, _ in row)
    if length <= width:
        return joined((*row, (" " * (width - length), "")))
    left = width - len(ellipsis)
    out: list[StyledRun] = []
    for text, style in row:
        out.append((text[:left], style))
        left = max(left - len(text), 0)
    return joined((*out, (ellipsis, "")))


def crop(row: Runs, first: int, last: int) -> Runs:
    """The cells from `first`, 0 at the least, up to, not including, `last`."""
    out: list[StyledRun] = []
    x = 0
    for text, style in row:
        end = x + len(text)
        if x >= last:
            break
        if end > first:
            out.append((text[max(first - x, 0) : last - x], style))
        x = end
    return tuple(out)


def restyled(row: Runs, x: int, style: str) -> Runs:
    """The row with a style name added to one cell; as it is where the cell is not in it."""
    cell = crop(row, x, x + 1) if x >= 0 else ()
    if not cell:
        return row
    ((text, before),) = cell
    width = sum(len(text) for text, _ in row)
    return joined((*crop(row, 0, x), (text, f"{before} {style}".strip()), *crop(row, x + 1, width)))
