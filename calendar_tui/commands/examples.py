"""A first look: the example seasons, opened as copies on a day inside them."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import NamedTuple

from calendar_tui.commands.command_input import emit
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.storage.finding import example_files, season_files
from calendar_tui.storage.opening import need_season

# The answer for a new season.
_OWN = "n"


class ExampleChoice(NamedTuple):
    """The file to open; for an example a notice, and the day it takes as today."""

    path: Path
    notice: str = ""
    today: date | None = None


def choose(folder: Path, ask: Callable[[str], str], make_own: Callable[[], Path]) -> ExampleChoice:
    """The season to open where none is named: the only one here, else an example or one that is made now.

    ask: puts a question to the person; make_own: makes a new season by questions, and gives its file. Raises Refusal
    where the folder holds several seasons of its own, and where the answer is none of those offered.
    """
    here, examples = season_files(folder), example_files()
    own = [p for p in here if not any(p.samefile(e) for e in examples)]
    if len(own) == 1:
        return ExampleChoice(own[0])
    if own:
        raise Refusal(
            f"{folder} holds {len(own)} seasons: {', '.join(p.name for p in own)}; name one of them"
        )
    if not examples:
        raise Refusal("no season file here; make one with: calendar-tui new FILE")
    # The one that shows most comes first.
    offered = sorted((need_season(path) for path in examples), key=lambda example: -len(example[1].cohorts))
    try:
        number = _ask_which([season for _, season in offered], ask)
        if number is None:
            return ExampleChoice(make_own())
    except EOFError:
        raise Refusal("no answer; name a season file, or make one with: calendar-tui new FILE") from None
    opened, season = offered[number]
    return ExampleChoice(_copied(opened.path), "example copy", season.example_today)


def _ask_which(seasons: list[Season], ask: Callable[[str], str]) -> int | None:
    """The index of the example to open; None for a new season. Raises Refusal, and EOFError where nobody answers."""
    emit(["No season of your own here. Examples, opened as copies:"])
    for number, season in enumerate(seasons, 1):
        north = f"{abs(season.site.latitude):.1f} {'N' if season.site.latitude >= 0 else 'S'}"
        emit([f"  {number}  {season.name}, {north}, {len(season.cohorts)} cohorts"])
    emit([f"  {_OWN}  a new season of your own"])
    answer = (
        ask(f"Which one (1-{len(seasons)}, {_OWN} for your own, Enter for 1)? ").strip().casefold() or "1"
    )
    if answer == _OWN:
        return None
    if answer not in {str(n) for n in range(1, len(seasons) + 1)}:
        raise Refusal(f'"{answer}" is none of these; type 1 to {len(seasons)}, or {_OWN} for a new season')
    return int(answer) - 1


def _copied(example: Path) -> Path:
    """A copy in a folder of its own, so that nothing done to it touches the example."""
    path = Path(tempfile.mkdtemp(prefix="calendar-tui-")) / example.name
    shutil.copyfile(example, path)
    return path
