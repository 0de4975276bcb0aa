"""A season file opened: its text, its data, the season in it, and its problems with their lines."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from calendar_tui.season.edits import Data
from calendar_tui.season.problems import Problem
from calendar_tui.season.reading import read_season, read_tasks
from calendar_tui.season.records import Season, Station, Task
from calendar_tui.season.upgrades import is_older, unwritten_form
from calendar_tui.storage.problems import FileProblem, SeasonFileError
from calendar_tui.storage.season_file import Loaded, load, parse, read_text, real_path
from calendar_tui.storage.toml.located import located


@dataclass(frozen=True, slots=True)
class Opened:
    """season is None where there are problems."""

    path: Path
    text: str
    data: Data
    season: Season | None
    problems: tuple[FileProblem, ...]


def open_season(path: Path, loaded: Loaded | None = None, *, weather: bool = True) -> Opened:
    """Read a season file. Raises SeasonFileError where it cannot be read or is not TOML.

    loaded: what is taken for it; weather: whether its station's days are read too, which only those need who lay dates out.
    """
    loaded = loaded or load(path)
    return opened_from(path, loaded.text, loaded.data, weather=weather)


def open_to_show(path: Path) -> Opened:
    """Read a season file, also one that is not TOML: then it has no data, and that is its problem.

    Raises SeasonFileError where it cannot be read.
    """
    text = read_text(path)
    try:
        data = parse(path, text)
    except SeasonFileError as error:
        from calendar_tui.storage.toml_problems import problems_after

        return Opened(path, text, {}, None, problems_after(path, text, error) or error.problems)
    return opened_from(path, text, data)


def opened_from(path: Path, text: str, data: Data, *, weather: bool = True) -> Opened:
    """A season file whose text and data are at hand, and where it reads well, the days of its station."""
    reading = read_season(data)
    opened = Opened(path, text, data, reading.season, located(path, text, reading.problems))
    return _with_weather(opened, reading.station) if weather and reading.station is not None else opened


def _with_weather(opened: Opened, station: Station) -> Opened:
    """With the days of its station, or with their problems besides its own."""
    from calendar_tui.storage.station.file import read_station

    read = read_station(real_path(opened.path).parent, station)
    if read.days is None:
        return replace(opened, season=None, problems=(*opened.problems, *read.problems))
    if opened.season is None:
        return opened
    return replace(opened, season=replace(opened.season, weather=read.days))


def need_season(path: Path, loaded: Loaded | None = None, *, weather: bool = True) -> tuple[Opened, Season]:
    """A season file without problems. Raises SeasonFileError with all of them. loaded, weather: as for `open_season`."""
    opened = open_season(path, loaded, weather=weather)
    if opened.season is None:
        raise SeasonFileError(opened.problems)
    return opened, opened.season


def need_tasks(path: Path, loaded: Loaded | None = None) -> tuple[tuple[Task, ...], Mapping[str, Any]]:
    """Only the tasks of a season file, and its data: quick, for the week's work. Raises SeasonFileError."""
    loaded = loaded or load(path)
    tasks, problems = read_tasks(loaded.data)
    if problems:
        raise SeasonFileError(located(path, loaded.text, problems))
    return tasks, loaded.data


def season_problems(data: dict[str, Any]) -> tuple[Problem, ...]:
    """The problems that a save must not bring into a file, an older or a newer form among them."""
    form = unwritten_form(data)
    return (*form, *(problem for problem in read_season(data).problems if problem not in form))


def returning_problems(data: dict[str, Any]) -> tuple[Problem, ...]:
    """The problems that an undo or redo must not bring into a file: the older form that it once had may come back."""
    return read_season(data).problems if is_older(data) else season_problems(data)
