"""Sheets of labels: where each label stands, in mm from the left upper corner of the paper.

Sizes of labels and their pitches: open label definitions, or memory; margins are those of labels that stand centred (computed). A
printer is never quite true: the offsets are a setting, to be found with a page on plain paper at a scale of 100 %.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from calendar_tui.season.measures import as_written, figure, unit_shown


class Sheet(NamedTuple):
    """All in mm. pitch_x: from the left edge of one label to that of the next; rows touch one another."""

    id: str
    paper: str
    paper_w: float
    paper_h: float
    label_w: float
    label_h: float
    columns: int
    rows: int
    pitch_x: float

    @property
    def labels(self) -> int:
        return self.columns * self.rows

    @property
    def left(self) -> float:
        """The margin left of the first column."""
        return (self.paper_w - (self.columns - 1) * self.pitch_x - self.label_w) / 2

    @property
    def top(self) -> float:
        """The margin above the first row."""
        return (self.paper_h - self.rows * self.label_h) / 2

    @property
    def name(self) -> str:
        """ "A4, 63.5 x 38.1 mm, 3 x 7"."""
        return f"{self.paper}, {figure(self.label_w, 'mm', as_written)} x {figure(self.label_h, 'mm', as_written)} {unit_shown('mm')}, {self.columns} x {self.rows}"


_A4, _LETTER = ("A4", 210.0, 297.0), ("Letter", 215.9, 279.4)
_TABLE = (
    Sheet("a4-21", *_A4, 63.5, 38.1, 3, 7, 66.0),
    Sheet("a4-24", *_A4, 63.5, 33.9, 3, 8, 66.0),
    Sheet("a4-27", *_A4, 63.5, 29.6, 3, 9, 66.0),
    Sheet("a4-21-whole", *_A4, 70.0, 42.3, 3, 7, 70.0),
    Sheet("a4-40-whole", *_A4, 52.5, 29.7, 4, 10, 52.5),
    Sheet("letter-30", *_LETTER, 66.675, 25.4, 3, 10, 69.85),
    Sheet("letter-10", *_LETTER, 101.6, 50.8, 2, 5, 105.57),
)
SHEETS: Mapping[str, Sheet] = {sheet.id: sheet for sheet in _TABLE}


class Place(NamedTuple):
    """Where a label stands. page: from 1; left, top: mm on its page."""

    page: int
    left: float
    top: float


def label_places(
    sheet: Sheet, labels: int, *, first: int = 1, offset_x: float = 0.0, offset_y: float = 0.0
) -> Iterator[Place]:
    """The places of so many labels, row by row.

    first: the label of the first page to begin at, from 1, for a sheet of which some are used; offsets: mm right and down. Raises
    ValueError for a first label that the sheet has not, and for offsets that move a label off the paper.
    """
    if not 1 <= first <= sheet.labels:
        raise ValueError(f"the first label is {first}; {sheet.name} has 1 to {sheet.labels}")
    _refuse_off_paper(sheet, offset_x, offset_y)
    for n in range(first - 1, first - 1 + labels):
        page, on_page = divmod(n, sheet.labels)
        row, column = divmod(on_page, sheet.columns)
        yield Place(
            page + 1,
            sheet.left + column * sheet.pitch_x + offset_x,
            sheet.top + row * sheet.label_h + offset_y,
        )


def _refuse_off_paper(sheet: Sheet, offset_x: float, offset_y: float) -> None:
    """Half a label off the paper is a slip of the sign or the unit; a little is what sheets without margins need."""
    for offset, size, way in ((offset_x, sheet.label_w, "right"), (offset_y, sheet.label_h, "down")):
        if not abs(offset) <= size / 2:
            raise ValueError(
                f"an offset of {offset:g} mm {way}; it must be at most half a label, {size / 2:g} mm"
            )
