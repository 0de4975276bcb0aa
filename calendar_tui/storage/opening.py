"""A season file opened: its text, its data, the season in it, and its problems with their lines."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from calendar_tui.season.edits import Data
from calendar_tui.season.problems import Problem
from calendar_tui.season.reading import read_season, read_tasks
from calendar_tui.season.records import Season, Task
from calendar_tui.storage.problems import FileProblem, SeasonFileError
from calendar_tui.storage.season_file import load
from calendar_tui.storage.toml_lines import locate


@dataclass(frozen=True, slots=True)
class Opened:
    """season is None where there are problems."""

    path: Path
    text: str
    data: Data
    season: Season | None
    problems: tuple[FileProblem, ...]


def open_season(path: Path) -> Opened:
    """Read a season file. Raises SeasonFileError where it cannot be read or is not TOML."""
    loaded = load(path)
    return opened_from(path, loaded.text, loaded.data)


def opened_from(path: Path, text: str, data: Data) -> Opened:
    """A season file whose text and data are at hand."""
    reading = read_season(data)
    return Opened(path, text, data, reading.season, located(path, text, reading.problems))


def need_season(path: Path) -> tuple[Opened, Season]:
    """A season file without problems. Raises SeasonFileError with all of them."""
    opened = open_season(path)
    if opened.season is None:
        raise SeasonFileError(opened.problems)
    return opened, opened.season


def need_tasks(path: Path) -> tuple[tuple[Task, ...], Mapping[str, Any]]:
    """Only the tasks of a season file, and its data: quick, for the week's work. Raises SeasonFileError."""
    loaded = load(path)
    tasks, problems = read_tasks(loaded.data)
    if problems:
        raise SeasonFileError(located(path, loaded.text, problems))
    return tasks, loaded.data


def located(path: Path, text: str, problems: tuple[Problem, ...]) -> tuple[FileProblem, ...]:
    """The problems with the line each stands on."""
    if not problems:
        return ()
    lines = locate(text)
    return tuple(FileProblem(str(path), lines.line(p.path), p.message) for p in problems)


def season_problems(data: dict[str, Any]) -> tuple[Problem, ...]:
    """The problems that a save must not bring into a file."""
    return read_season(data).problems
