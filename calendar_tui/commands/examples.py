"""A first look: the example seasons, opened as copies on a day inside them."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import NamedTuple

from calendar_tui.commands.command_input import Refusal
from calendar_tui.season.records import Season
from calendar_tui.storage.finding import example_files, season_files
from calendar_tui.storage.opening import need_season


class Choice(NamedTuple):
    """The file to open; for an example a notice, and the day it takes as today."""

    path: Path
    notice: str = ""
    today: date | None = None


def choose(folder: Path, ask: Callable[[str], str]) -> Choice:
    """The season to open where none is named: the only one here, else an example.

    ask: puts a question to the person. Raises Refusal where the folder holds several seasons of its own, or where
    the answer is none of the examples.
    """
    here, examples = season_files(folder), example_files()
    own = [p for p in here if not any(p.samefile(e) for e in examples)]
    if len(own) == 1:
        return Choice(own[0])
    if own:
        raise Refusal(
            f"{folder} holds {len(own)} seasons: {', '.join(p.name for p in own)}; name one of them"
        )
    if not examples:
        raise Refusal("no season file here; make one with: calendar-tui new FILE")
    # The one that shows most comes first.
    offered = sorted((need_season(path) for path in examples), key=lambda one: -len(one[1].cohorts))
    opened, season = offered[_ask_which([season for _, season in offered], ask)]
    return Choice(_copied(opened.path), "example copy", season.example_today)


def _ask_which(seasons: list[Season], ask: Callable[[str], str]) -> int:
    print("No season of your own here. Examples, opened as copies:")
    for number, season in enumerate(seasons, 1):
        north = f"{abs(season.site.latitude):.1f} {'N' if season.site.latitude >= 0 else 'S'}"
        print(f"  {number}  {season.name}, {north}, {len(season.cohorts)} cohorts")
    print("Your own: calendar-tui new FILE")
    try:
        said = ask(f"Which one (1-{len(seasons)}, Enter for 1)? ").strip() or "1"
    except EOFError:
        raise Refusal("no answer; name a season file, or make one with: calendar-tui new FILE") from None
    if said not in {str(n) for n in range(1, len(seasons) + 1)}:
        raise Refusal(f'"{said}" is not one of 1 to {len(seasons)}')
    return int(said) - 1


def _copied(example: Path) -> Path:
    """A copy in a folder of its own, so that nothing done to it touches the example."""
    path = Path(tempfile.mkdtemp(prefix="calendar-tui-")) / example.name
    shutil.copyfile(example, path)
    return path
