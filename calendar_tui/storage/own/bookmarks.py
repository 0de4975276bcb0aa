"""Where each season was left, in one small file of the person's own.

It spares a few keys and nothing depends on it: one that is broken, of another shape or too large counts as none.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from calendar_tui.storage.finding import is_season
from calendar_tui.storage.own.folders import STATE, make_folder, own_folder

# So many seasons, the ones left last; a text of more bytes was not written here.
MOST_SEASONS, MOST_BYTES = 40, 200_000

Kept = Mapping[str, Any]


def bookmarks_file() -> Path:
    """The file, which may not be there yet."""
    return own_folder(STATE) / "left.json"


def read_bookmark(file: Path, season: Path) -> Kept:
    """What was kept of where this season was left; nothing where nothing is known."""
    kept = _read(file).get(_name(season))
    return kept if isinstance(kept, dict) else {}


def seasons_left(file: Path) -> Iterator[Path]:
    """The seasons that were left and are still there, the one left last first."""
    return (path for path in map(Path, reversed(_read(file))) if _is_there(path))


def _is_there(path: Path) -> bool:
    try:
        return path.is_absolute() and is_season(path)
    except OSError:  # in a folder that is closed to the person by now
        return False


def write_bookmark(file: Path, season: Path, kept: Kept) -> None:
    """Keep where this season was left, whole or not at all, and where others were. Raises SeasonFileError."""
    from calendar_tui.storage.disk.handed_file import hand_out

    all_kept = {name: value for name, value in _read(file).items() if name != _name(season)}
    all_kept[_name(season)] = dict(kept)
    while len(all_kept) > MOST_SEASONS or len(_content(all_kept)) > MOST_BYTES:
        del all_kept[next(iter(all_kept))]
    make_folder(file.parent)
    hand_out({file: _content(all_kept)})


def _content(all_kept: Kept) -> bytes:
    return (json.dumps(all_kept, ensure_ascii=False, indent=1) + "\n").encode("utf-8", "surrogatepass")


def _name(season: Path) -> str:
    return os.path.realpath(season)


def _read(file: Path) -> dict[str, Any]:
    """What the file holds, by the seasons' paths; nothing where it is not as it is written here."""
    try:
        with file.open("rb") as stream:
            content = stream.read(MOST_BYTES + 1)
        kept = json.loads(content) if len(content) <= MOST_BYTES else {}
    except (OSError, ValueError, RecursionError):
        return {}
    return kept if isinstance(kept, dict) else {}
