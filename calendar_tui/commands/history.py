"""Commands on the history of a season: undo and redo."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from calendar_tui.commands.asked import Refusal, emit, no_more, now, picked_season, who
from calendar_tui.season.readers import plain

if TYPE_CHECKING:
    from calendar_tui.storage.history import Undone


def undo(args: argparse.Namespace) -> int:
    from calendar_tui.storage.history import undo_last
    from calendar_tui.storage.opening import season_problems

    path, steps = _asked_steps(args)
    return _told("Undone", undo_last(path, steps, who=who(), when=now(), check=season_problems))


def redo(args: argparse.Namespace) -> int:
    from calendar_tui.storage.history import redo_last
    from calendar_tui.storage.opening import season_problems

    path, steps = _asked_steps(args)
    return _told("Redone", redo_last(path, steps, who=who(), when=now(), check=season_problems))


def _asked_steps(args: argparse.Namespace) -> tuple[Path, int]:
    path, words = picked_season(args)
    if not words:
        return path, 1
    no_more(words[1:])
    if not (words[0].isascii() and words[0].isdigit()) or not 0 < len(words[0]) < 7 or not int(words[0]):
        raise Refusal(f'"{words[0]}" is not a number of changes; write 1 or more, such as 3')
    return path, int(words[0])


def _told(done: str, undone: Undone) -> int:
    _tell(undone.warnings)
    emit(f"{done}: {change.what}" for change in undone.changes)
    if not undone.exact:
        emit(
            ["The file was edited by hand since: the fields have their values back, the rest stays as it is."]
        )
    return 0


def _tell(warnings: Sequence[str]) -> None:
    for warning in warnings:
        print(plain(warning), file=sys.stderr)
