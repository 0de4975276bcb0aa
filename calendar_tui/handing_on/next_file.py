"""The next season of a file as a file of its own: its text, checked as any season is, and where it is to stand."""

from __future__ import annotations

import os
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import NamedTuple

from calendar_tui.planning.next_season.making import NextSeason, Wish, next_season
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.starting.form import proposed_file
from calendar_tui.season.refusal import Refusal
from calendar_tui.storage.new_season import text_after, write_new
from calendar_tui.storage.opening import Opened, opened_from, sound_season


class NextFile(NamedTuple):
    """A season to be written. source: the file that it is made of."""

    source: Path
    path: Path
    text: str
    new: NextSeason


def next_file(
    opened: Opened, plans: Sequence[Plan], wish: Wish, today: date, path: Path | None = None
) -> NextFile:
    """The next season of an opened file. plans, wish, today: as `next_season` takes them.

    path: where it is to stand; None for the name of the season, beside the file it is made of. Raises Refusal where it is
    there, and SeasonFileError where the season would not be sound there.
    """
    new = next_season(plans, opened.data, wish, today)
    path = path or opened.path.with_name(proposed_file(new.season.name))
    if path.exists():
        raise Refusal(f"{path} is there already; give the name of a new file")
    if not os.access(path.parent, os.W_OK):
        raise Refusal(f"nothing can be written in {path.parent}; name a file in another folder")
    text, data = text_after(opened.path, opened.text, opened.data, new.steps)
    sound_season(opened_from(path, text, data))
    return NextFile(opened.path, path, text, new)


def write_next(file: NextFile) -> None:
    """Write the new file. Raises SeasonFileError where it is there by now, or cannot be written."""
    write_new(file.path, file.text)
