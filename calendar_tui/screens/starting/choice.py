"""What the first screen offers, and what comes of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from calendar_tui.planning.starting.answers import Reader

if TYPE_CHECKING:
    from calendar_tui.handing_on.next_file import NextFile


class Chosen(NamedTuple):
    """The season to open, as `Offer` has it. first_message: to be told once it is open; theme: the colours it is opened with."""

    path: Path
    example: bool
    first_message: str = ""
    theme: str = ""


# Makes a season of the file's name as typed, and the values of a form. Raises ValueError with a sentence.
Make = Callable[[str, Mapping[str, Any]], Chosen]
# Works out the next season of a file. Raises Refusal.
NextOf = Callable[[Path], "NextFile"]


# Where an offered season comes from: the folder at hand, another folder in which it was opened lately, or the program.
HERE, LATELY, EXAMPLE = "here", "lately", "example"


class Offer(NamedTuple):
    """A season that can be opened. about: what it is, in a few words; origin: HERE, LATELY or EXAMPLE.

    file: its path as a person knows it, "" for an example.
    """

    path: Path
    name: str
    about: str
    origin: str
    file: str = ""

    @property
    def example(self) -> bool:
        """Whether it is opened as a copy."""
        return self.origin == EXAMPLE


class Start(NamedTuple):
    """What the first screen needs. folder: where seasons were looked for; typed: what stands in the form for a new season,
    by row, kept while the app runs.
    """

    folder: str
    offers: tuple[Offer, ...]
    reader: Reader
    make: Make
    typed: dict[str, str]
    next_of: NextOf
