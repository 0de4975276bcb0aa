"""Which season file is meant, where a command does not name one."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path
from shlex import quote

from calendar_tui.storage.problems import FileProblem, SeasonFileError

EXAMPLES = (Path(__file__).parents[1] / "starter" / "seasons", Path(__file__).parents[2] / "seasons")
# What an upgrade keeps beside the season: farm.format1.toml, farm.format1-2.toml.
_KEPT_COPY = re.compile(r"\.format\d+(-\d+)?\.toml$")
_SEASON_TABLE = re.compile(rb"^\s*\[\s*season\s*\]", re.MULTILINE)


def season_files(folder: Path) -> list[Path]:
    """The season files in a folder or, where it has none, in its `seasons` folder; sorted by name.

    The copies that an upgrade has kept are none.
    """
    for place in (folder, folder / "seasons"):
        if files := sorted(filter(is_season, place.glob("*.toml"))):
            return files
    return []


def is_season(path: Path) -> bool:
    """Whether there is a file that has the table of a season, and is no copy that an upgrade has kept. Raises OSError."""
    if _KEPT_COPY.search(path.name) or not path.is_file():
        return False
    return _SEASON_TABLE.search(path.read_bytes()) is not None


def example_files() -> list[Path]:
    """The seasons that come with the program."""
    return next((files for files in map(season_files, EXAMPLES) if files), [])


def names_file(word: str) -> bool:
    """Whether a word on the command line means a file."""
    return word.endswith(".toml") or "/" in word or "\\" in word or Path(word).is_file()


def pick_season(words: Sequence[str], folder: Path) -> tuple[Path, list[str]]:
    """The season file, and the words that are left. Raises SeasonFileError where it is not clear which."""
    if words and names_file(words[0]):
        return Path(words[0]), list(words[1:])
    files = season_files(folder)
    if len(files) == 1:
        return files[0], list(words)
    # As a shell takes them, from this folder: they may stand in its folder `seasons`.
    named = [quote(path.relative_to(folder).as_posix()) for path in files]
    here = f"holds {len(named)}: {', '.join(named)}" if named else "holds no season file"
    mine = named[-1] if named else "seasons/mine.toml"
    right = f"name the season file first, such as {mine}"
    if named:
        right += f"; or once for all: calendar-tui settings season {mine}"
    new = "" if named else ", or make one: calendar-tui new mine.toml"
    raise SeasonFileError([FileProblem(str(folder), None, f"this folder {here}; {right}{new}")])
