"""A season file opened: its text, its data, the season in it, and its problems with their lines."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from calendar_tui.season.problems import Problem
from calendar_tui.season.reading import Reading, read_season
from calendar_tui.season.records import Season
from calendar_tui.season.upgrades import is_older, unwritten_form
from calendar_tui.storage.problems import FileProblem, SeasonFileError
from calendar_tui.storage.season_file import Loaded, load, parse, read_text, real_path

if TYPE_CHECKING:
    from calendar_tui.season.edits import Data


# Kinds that come in thousands and move no work.
_NO_WORK = ("observation",)


class Opened(NamedTuple):
    """season is None where there are problems; reading is None where the text is not TOML."""

    path: Path
    text: str
    data: Data
    season: Season | None
    problems: tuple[FileProblem, ...]
    reading: Reading | None = None


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


def opened_from(
    path: Path, text: str, data: Data, *, weather: bool = True, reading: Reading | None = None
) -> Opened:
    """A season file whose text and data are at hand, and where it reads well, the days of its station.

    reading: what the data say, where that is known.
    """
    reading = reading or read_season(data)
    opened = Opened(path, text, data, reading.season, _located(path, text, reading.problems), reading)
    return _with_weather(opened, reading) if weather else opened


def _located(path: Path, text: str, problems: tuple[Problem, ...]) -> tuple[FileProblem, ...]:
    if not problems:  # and then nothing needs to know where things stand
        return ()
    from calendar_tui.storage.toml.located import located

    return located(path, text, problems)


def _with_weather(opened: Opened, reading: Reading) -> Opened:
    """With the days of its station, or with their problems besides its own."""
    if (station := reading.station) is None:
        return opened
    from calendar_tui.storage.station.file import read_station

    read = read_station(real_path(opened.path).parent, station)
    if read.days is None:
        return opened._replace(season=None, problems=(*opened.problems, *read.problems))
    if opened.season is None:
        return opened
    return opened._replace(season=replace(opened.season, weather=read.days))


def need_season(path: Path, loaded: Loaded | None = None, *, weather: bool = True) -> tuple[Opened, Season]:
    """A season file without problems. Raises SeasonFileError with all of them. loaded, weather: as for `open_season`."""
    opened = open_season(path, loaded, weather=weather)
    return opened, sound_season(opened)


def sound_season(opened: Opened) -> Season:
    """The season of a file without problems. Raises SeasonFileError with all of them."""
    if opened.season is None:
        raise SeasonFileError(opened.problems)
    return opened.season


def need_tasks(path: Path, loaded: Loaded | None = None) -> tuple[Opened, Season]:
    """A season file of which the tasks read well, and the season as far as it reads, without weather and observations.

    So a problem elsewhere in the file does not keep the crew from its work. Raises SeasonFileError with the problems of the tasks.
    """
    loaded = loaded or load(path)
    reading = read_season(loaded.data, without=_NO_WORK)
    if problems := reading.task_problems:
        raise SeasonFileError(_located(path, loaded.text, problems))
    located = _located(path, loaded.text, reading.problems)
    return Opened(path, loaded.text, loaded.data, reading.season, located, reading), reading.readable


def with_weather(opened: Opened) -> Opened:
    """A season file that was read without the days of its station, with them or their problems."""
    return opened if opened.reading is None else _with_weather(opened, opened.reading)


def season_problems(data: Data, earlier: Reading | None = None) -> tuple[Problem, ...]:
    """The problems that a save must not bring into a file, an older or a newer form among them.

    earlier: as for `read_season`.
    """
    return _brought(data, read_season(data, earlier))


def _brought(data: Data, reading: Reading) -> tuple[Problem, ...]:
    form = unwritten_form(data)
    return (*form, *(problem for problem in reading.problems if problem not in form))


class SaveCheck:
    """`season_problems` for the save of one change, and the file after it, of which that has read what the data say.

    earlier: the file as it was before.
    """

    def __init__(self, earlier: Opened) -> None:
        self._earlier = earlier
        self._read: tuple[Data, Reading] | None = None

    def __call__(self, data: Data) -> tuple[Problem, ...]:
        """The problems that the save must not bring into the file."""
        reading = read_season(data, self._earlier.reading)
        self._read = data, reading
        return _brought(data, reading)

    def saved(self, text: str, data: Data) -> Opened:
        """The file as saved; what was not checked, where nothing was written, is read."""
        known = self._read[1] if self._read and self._read[0] is data else None
        reading = known or read_season(data, self._earlier.reading)
        return opened_from(self._earlier.path, text, data, reading=reading)


def returning_problems(data: Data, earlier: Reading | None = None) -> tuple[Problem, ...]:
    """The problems that an undo or redo must not bring into a file: the older form that it once had may come back."""
    return read_season(data, earlier).problems if is_older(data) else season_problems(data, earlier)
