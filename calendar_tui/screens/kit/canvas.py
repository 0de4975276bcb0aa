"""A sheet of character cells and the rows of runs it is read off as. A run is a text and a style name."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby

from calendar_tui.season.cells import cell_len, cell_parts, is_single

StyledRun = tuple[str, str]
Runs = tuple[StyledRun, ...]


class Canvas:
    """Cells of one letter and one style name each, blank at first. What falls outside is left out.

    A letter that takes two cells stands in the first, and the second holds "".
    """

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
        parts = cell_parts(text)
        first, end = max(x, 0), min(x + len(parts), self.width)
        if first < end and 0 <= y < self.height:
            line = self._texts[y]
            # What is left of a letter of two cells, of which another takes one, is a blank.
            if first and not line[first]:
                line[first - 1] = " "
            if end < self.width and not line[end]:
                line[end] = " "
            line[first:end] = _whole(parts, first - x, end - x)
            self._styles[y][first:end] = [style] * (end - first)

    def blank(self, x: int, y: int) -> bool:
        """Whether the cell lies on the sheet and holds nothing."""
        return 0 <= x < self.width and self._texts[y][x] == " "

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
    from calendar_tui.handing_on.words.plain_text import hanging  # after the first picture

    rows: list[Runs] = [((line, ""),) for line in hanging(text, width, "")]
    rows += [()] * (height - len(rows))
    return [fitted(row, width, ellipsis) for row in rows[:height]]


def fitted(row: Runs, width: int, ellipsis: str) -> Runs:
    """The row made exactly `width` cells wide: filled with blanks, or cut and ended with the ellipsis."""
    length = width_of(row)
    if length <= width:
        return joined((*row, (" " * (width - length), "")))
    return joined((*crop(row, 0, max(width - len(ellipsis), 0)), (ellipsis, "")))


def crop(row: Runs, first: int, last: int) -> Runs:
    """The cells from `first`, 0 at the least, up to, not including, `last`."""
    out: list[StyledRun] = []
    x = 0
    for text, style in row:
        if x >= last:
            break
        end = x + cell_len(text)
        if end > first:
            out.append((_between(text, max(first - x, 0), min(last, end) - x), style))
        x = end
    return tuple(out)


def width_of(row: Runs) -> int:
    """The cells that a row takes."""
    return sum(cell_len(text) for text, _ in row)


def _between(text: str, first: int, last: int) -> str:
    """The cells of a text from `first` up to, not including, `last`; half a letter is a blank."""
    if is_single(text):
        return text[first:last]
    return "".join(_whole(cell_parts(text), first, last))


def _whole(parts: Sequence[str], first: int, last: int) -> list[str]:
    """The same of parts; a letter of which one cell falls outside is a blank in the other."""
    inside = list(parts[first:last])
    if first and inside and not inside[0]:
        inside[0] = " "
    if last < len(parts) and inside and not parts[last]:
        inside[-1] = " "
    return inside


def restyled(row: Runs, x: int, style: str) -> Runs:
    """The row with a style name added to one cell; as it is where the cell is not in it."""
    cell = crop(row, x, x + 1) if x >= 0 else ()
    if not cell:
        return row
    ((text, before),) = cell
    width = width_of(row)
    return joined((*crop(row, 0, x), (text, f"{before} {style}".strip()), *crop(row, x + 1, width)))
