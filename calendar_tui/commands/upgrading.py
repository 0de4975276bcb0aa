"""Upgrade a season file to the form that this program writes, once that is agreed to."""

from __future__ import annotations

import argparse
from pathlib import Path

from calendar_tui.commands.command_input import (
    confirmed,
    emit,
    now,
    picked_season,
    refuse_extra_words,
    tell,
    who,
)
from calendar_tui.commands.output import note_saved

_MOST_SHOWN = 20  # lines: an upgrade may change most of a file


def upgrade(args: argparse.Namespace) -> int:
    from calendar_tui.handing_on.words.plain_text import count_text
    from calendar_tui.season.upgrades import FORMAT
    from calendar_tui.storage.upgrading import upgrade_of, upgrade_season

    path, rest = picked_season(args)
    refuse_extra_words(rest)
    step = upgrade_of(path)
    if step is None:
        emit([f"{path} is format {FORMAT} already."])
        return 0
    lines = count_text(sum(max(len(s.old), len(s.new)) for s in step.made.splices), "line")
    emit([f"{path}: {lines} would change, to format {FORMAT}:"])
    emit(f"  {line}" for splice in step.made.splices for line in _shown(splice.old, splice.new))
    emit([f"The file as it is would be kept as {step.kept}; calendar-tui undo takes the upgrade back."])
    if not args.yes and not confirmed("Upgrade?"):
        emit(["Nothing saved."])
        return 0
    saved, kept = upgrade_season(path, who=who(), when=now())
    tell(saved.warnings)
    done = f"Upgraded to format {FORMAT}; the old file is {kept}"
    if kept:
        note_saved(done)
    emit([done if kept else _already(path)])
    return 0


def _shown(old: tuple[str, ...], new: tuple[str, ...]) -> list[str]:
    return [*_beginning("-", old), *_beginning("+", new)]


def _beginning(mark: str, lines: tuple[str, ...]) -> list[str]:
    """The first lines of a side, each with its mark, and how many more there are."""
    more = len(lines) - _MOST_SHOWN
    first = [f"{mark} {line}" for line in lines[:_MOST_SHOWN]]
    return [*first, f"{mark} ... and {more} more lines"] if more > 0 else first


def _already(path: Path) -> str:
    return f"Another program has upgraded {path} meanwhile."
