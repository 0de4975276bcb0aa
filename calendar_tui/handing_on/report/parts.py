"""What a page is made of, before it is written as HTML or Markdown: sections of paragraphs, lists, tables and drawings."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple


class Text(NamedTuple):
    """A paragraph."""

    text: str


class Listed(NamedTuple):
    """A list, a sentence an item."""

    items: tuple[str, ...]


class Table(NamedTuple):
    """caption: what it shows; rows: a text a cell; note: its n and errors, and what it does not show.

    numbers: columns, from 0, that stand at the right.
    """

    caption: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""
    numbers: frozenset[int] = frozenset()


class Drawing(NamedTuple):
    """An SVG that stands alone. name: short, for the name of its file; caption: what it shows, in words for those who do not see it."""

    name: str
    svg: str
    caption: str


Part = Text | Listed | Table | Drawing


class Section(NamedTuple):
    heading: str
    parts: tuple[Part, ...]


class Page(NamedTuple):
    """under: the lines below the title."""

    title: str
    under: tuple[str, ...]
    sections: tuple[Section, ...]

    @property
    def drawings(self) -> tuple[Drawing, ...]:
        return tuple(part for one in self.sections for part in one.parts if isinstance(part, Drawing))


def section(heading: str, parts: Sequence[Part], otherwise: str = "") -> Section:
    """A section; where it has no parts, one line that says what was not recorded."""
    return Section(heading, tuple(parts) or (Text(otherwise),))


def numbered(*columns: int) -> frozenset[int]:
    """The columns of a table that stand at the right."""
    return frozenset(columns)
