"""Problems with a season file, told as `file:line: what, and what would be right`."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from calendar_tui.season.refusal import Refusal


class FileProblem(NamedTuple):
    """line and column count from 1; None where they are not known, or the problem is the file's as a whole."""

    file: str
    line: int | None
    message: str
    column: int | None = None

    def __str__(self) -> str:
        place = self.file if self.line is None else f"{self.file}:{self.line}"
        return f"{place}: {self.message}"


class StorageError(Refusal):
    """What was asked for cannot be written by the program; `line`, from 1, is where to look."""

    def __init__(self, message: str, line: int | None = None) -> None:
        super().__init__(message)
        self.message = message
        self.line = line


class SeasonFileError(StorageError):
    """A season file that cannot be read or written; nothing has been written. Its text is one line a problem."""

    def __init__(self, problems: Sequence[FileProblem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(map(str, problems)), self.problems[0].line if self.problems else None)


class ChangedMeanwhile(SeasonFileError):
    """Another program changed the file between the reading and the writing of a save."""


class NothingToUndo(SeasonFileError):
    """There is no change in the history that is not undone."""
