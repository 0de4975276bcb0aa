"""A season handed on as an open folder: what is asked, what may be replaced, what is told."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from calendar_tui.commands.command_input import confirmed, emit
from calendar_tui.commands.flags import OPENNESS
from calendar_tui.commands.openness import openness_of
from calendar_tui.commands.parsing import Flags
from calendar_tui.season.refusal import Refusal

if TYPE_CHECKING:
    from calendar_tui.handing_on.words.openness import Openness
    from calendar_tui.planning.plan import Plan

FLAGS: Flags = {
    "--folder": {
        "metavar": "FOLDER",
        "help": "the season as tables that anybody can read: CSV and datapackage.json, in a folder of their own",
    },
    **OPENNESS,
}
OWN_FLAGS = ("names", "exact_place", "licence", "at")


class Folder(NamedTuple):
    """A folder that is made, not yet written. known: the names of what it replaces."""

    path: Path
    files: Mapping[str, bytes]
    known: frozenset[str]
    notes: tuple[str, ...]


def make_folder(args: argparse.Namespace, plan: Plan) -> Folder:
    """The folder as it is asked for, where it may be written. Asks before changed files are replaced. Raises Refusal."""
    from calendar_tui.handing_on.folder.package import folder_files
    from calendar_tui.handing_on.words.openness import names_in_words
    from calendar_tui.handing_on.words.plain_text import hanging

    path = Path(args.folder)
    openness = openness_of(args)
    known = _replaced(path, args.yes)
    files = folder_files(plan, openness)
    named = names_in_words({name: content.decode() for name, content in files.items()}, plan.season, openness)
    notes = tuple(piece for note in (*_notes(plan, openness), *named) for piece in hanging(note))
    return Folder(path, files, known, notes)


def _replaced(path: Path, yes: bool) -> frozenset[str]:
    """The files that would be replaced: those of an earlier export alone."""
    from calendar_tui.handing_on.folder.package import DESCRIPTION, hash_of, listed
    from calendar_tui.storage.disk.handed_folder import folder_names, read_in

    names = folder_names(path)
    if not names:
        return frozenset()
    description = read_in(path, DESCRIPTION)
    own = None if description is None else listed(description)
    if own is None:
        raise Refusal(
            f'--folder "{path}" holds other files ({_some(names)}); name a folder that is empty, not there yet, or written by '
            "this command"
        )
    if strangers := names - own.keys() - {DESCRIPTION}:
        raise Refusal(
            f'--folder "{path}" holds more than this command wrote: {_some(strangers)}; take that out first'
        )
    changed = [
        name for name in sorted(names & own.keys()) if hash_of(read_in(path, name) or b"") != own[name]
    ]
    if changed and not yes:
        emit(
            [
                f"{_some(changed)} in {path} {'was' if len(changed) == 1 else 'were'} changed since it was written."
            ]
        )
        if not confirmed("Write over it?"):
            raise Refusal("nothing written; name another folder, or answer yes")
    return names


def _some(names: frozenset[str] | set[str] | list[str]) -> str:
    from calendar_tui.season.wording import some_text

    return some_text(sorted(names))


def write_folder(folder: Folder) -> str:
    """Write it; what was written, in words."""
    from calendar_tui.handing_on.words.plain_text import count_text
    from calendar_tui.storage.disk.handed_folder import hand_out_folder

    hand_out_folder(folder.path, folder.files, folder.known)
    size = sum(map(len, folder.files.values()))
    return f"{folder.path}: {count_text(len(folder.files), 'file')}, {count_text(size, 'byte')}"


def _notes(plan: Plan, openness: Openness) -> Iterator[str]:
    """What the folder says of people and places, to be known before it is handed on."""
    from calendar_tui.handing_on.words.openness import left_out

    out = list(left_out(openness))
    if out:
        yield f"Left out: {'; '.join(out)}."
    if not openness.place:
        yield "The position is rounded to half a degree."
        if plan.season.station is not None:
            yield "Days of a station may show where it stands: leave weather.csv out where nobody may know."
    if not openness.licence:
        yield "No licence is set, so that others may not use it: --licence CC-BY-4.0 names one."
    yield "Other words stand as you wrote them: read them before you hand the folder on."
