"""Commands on the history of a season: tell it, undo, redo."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from calendar_tui.commands.command_input import (
    confirmed,
    data_now,
    emit,
    load_as_of,
    now,
    past_day,
    picked_season,
    print_json,
    refuse_extra_words,
    tell,
    warn_if_other_format,
    who,
)
from calendar_tui.commands.output import note_saved
from calendar_tui.commands.parsing import Flags
from calendar_tui.season.readers import plain
from calendar_tui.season.reading import zone_of
from calendar_tui.season.refusal import Refusal

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo

    from calendar_tui.storage.history.taking_back import Way
    from calendar_tui.storage.history.undo_choice import UndoChoice
    from calendar_tui.storage.journal.lines import Entry


# So much of a history is printed where nobody says how much: more would run out of sight over a slow line.
MOST_ROWS = 20
FLAGS: Flags = {
    "--full": {
        "action": "store_true",
        "help": "every field of every change; one change alone shows all",
    },
    "--last": {
        "metavar": "N",
        "help": f"the last N changes, else {MOST_ROWS}; all with --json",
    },
    "--at": {"metavar": "DATE", "help": "print the season file as it was at the end of this date"},
    "--shorten-before": {
        "metavar": "DATE",
        "help": "move what is older to a file of its own beside it; asks first",
    },
    "--yes": {"action": "store_true", "help": "shorten without asking"},
}
# Flags that ask for something else than the list, and those that may stand beside them.
_BESIDE = {"at": frozenset[str](), "shorten_before": frozenset({"yes"})}


def history(args: argparse.Namespace) -> int:
    from zoneinfo import ZoneInfo

    from calendar_tui.handing_on.tables.history_rows import history_row, rows_of
    from calendar_tui.handing_on.words import history_text
    from calendar_tui.storage.history.undo import at_least, read_history

    _refuse_mixed(args)
    path, words = picked_season(args)
    if args.shorten_before is not None:
        return _shorten(args, path, words)
    if args.at is not None:
        return _print_as_it_was(args, path, words)
    last = None if args.last is None else _whole(args.last, "--last ")
    # Words may name any entry, and then all are read.
    most = last or (None if args.json else MOST_ROWS)
    history_read = read_history(path, None if words or most is None else at_least(most))
    tell(history_read.warnings)
    data = data_now(path)
    about = history_text.about_tasks(data)
    rows = history_text.naming(rows_of(history_read), words, about)
    kept = rows if most is None else rows[-most:]
    if args.json:
        moved_to = None if history_read.shortened is None else history_read.shortened.moved_to
        print_json({"moved_to": moved_to, "entries": [history_row(row) for row in kept]})
        return 0
    older = history_read.older + len(rows) - len(kept)
    fields = None if args.full or len(rows) == 1 else history_text.MOST_FIELDS
    zone = ZoneInfo(zone_of(data))
    emit(history_text.history_text(kept, older, history_read.shortened, about, zone, fields))
    if not rows:
        named = f" that name {' and '.join(words)}" if words else ""
        emit([f"No changes{named} recorded yet for {path}."])
    return 0


def _print_as_it_was(args: argparse.Namespace, path: Path, words: Sequence[str]) -> int:
    """Print the season file as it was: just so into a file, and harmless on a terminal."""
    refuse_extra_words(words)
    earlier = load_as_of(args, path)
    sys.stdout.write(_harmless(earlier.text) if sys.stdout.isatty() else earlier.text)
    return 0


def _harmless(text: str) -> str:
    """A season file's text as a terminal may be sent it; tabs stay."""
    return "\t".join(map(plain, text.replace("\r\n", "\n").split("\t")))


def _refuse_mixed(args: argparse.Namespace) -> None:
    """Raise Refusal where flags are given that do not apply beside others."""
    given = {name for name in ("at", "shorten_before", "json", "last", "full", "yes") if getattr(args, name)}
    for name, beside in _BESIDE.items():
        if name in given and (mute := sorted(given - beside - {name})):
            flags = " and ".join(f"--{flag.replace('_', '-')}" for flag in (name, *mute))
            raise Refusal(f"{flags} do not go together; see --help")
    if "yes" in given and "shorten_before" not in given:
        raise Refusal("--yes does not apply: it goes with --shorten-before")


def _shorten(args: argparse.Namespace, path: Path, words: Sequence[str]) -> int:
    """Move the older lines of the history to a file of their own, once that is agreed to."""
    from zoneinfo import ZoneInfo

    from calendar_tui.handing_on.words.plain_text import count_text
    from calendar_tui.season.wording import full_day_text
    from calendar_tui.storage.history.shortening import older_lines, shorten_history

    refuse_extra_words(words)
    day = past_day(args.shorten_before, "--shorten-before")
    zone = ZoneInfo(zone_of(data_now(path)))
    older = older_lines(path, day, zone)
    if older is None:
        emit([f"Nothing to move: the history holds no change from before {full_day_text(day)}."])
        return 0
    span = f"{older.first.n} to {older.last.n}, {full_day_text(_day(older.first, zone))} to {full_day_text(_day(older.last, zone))}"
    emit(
        [
            f"{count_text(older.count, 'entry', 'entries')} ({span})",
            f"would move to {older.to}",
            "They can then no longer be undone, nor the season be shown as it was before them.",
        ]
    )
    if not args.yes and not confirmed("Move them?"):
        emit(["Nothing moved."])
        return 0
    moved = shorten_history(path, day, zone, who=who(), when=now())
    done = f"Moved {count_text(0 if moved is None else moved.count, 'entry', 'entries')} to {older.to}"
    note_saved(done)
    emit([done])
    return 0


def _day(entry: Entry, zone: ZoneInfo) -> date:
    return entry.when.astimezone(zone).date()


def undo(args: argparse.Namespace) -> int:
    return _take_back(args, "undo")


def redo(args: argparse.Namespace) -> int:
    return _take_back(args, "redo")


def _take_back(args: argparse.Namespace, way: Way) -> int:
    """Undo or redo, once it is agreed to where that is another person's to do."""
    from calendar_tui.handing_on.words.history_text import of_others_lines, question_text, undone_lines
    from calendar_tui.handing_on.words.plain_text import hanging
    from calendar_tui.storage.history.undo import read_history, take_back
    from calendar_tui.storage.history.undo_choice import numbered
    from calendar_tui.storage.opening import returning_problems

    path, choice = _choice(args, way)
    chosen = choice.pick(path, read_history(path, choice.enough))
    others = of_others_lines(chosen, way, who(), now())
    if others and not args.yes:
        emit(others)
        if not confirmed(question_text(way, len(others))):
            emit([f"Nothing is {'undone' if way == 'undo' else 'redone'}."])
            return 0
    agreed = numbered(way, [s.n for s in chosen], [s.what for s in chosen])
    undone = take_back(path, way, agreed, who=who(), when=now(), check=returning_problems)
    tell(undone.warnings)
    warn_if_other_format(path, undone.data)
    lines = list(undone_lines(undone, way, who()))
    note_saved(" ".join(lines))
    emit(piece for line in lines for piece in hanging(line))
    if not undone.exact and not undone.over:
        emit(
            ["The file was edited by hand since: the fields have their values back, the rest stays as it is."]
        )
    return 0


def _choice(args: argparse.Namespace, way: Way) -> tuple[Path, UndoChoice]:
    """Of which season which changes are meant: so many, one's own first, or the one of a number."""
    from calendar_tui.storage.history.undo_choice import numbered, own_first

    path, words = picked_season(args)
    if args.change is not None:
        refuse_extra_words(words)
        return path, numbered(way, [_whole(args.change, "--change ")])
    refuse_extra_words(words[1:])
    return path, own_first(way, _whole(words[0]) if words else 1, who(), now())


def _whole(word: str, flag: str = "") -> int:
    if not (word.isascii() and word.isdigit()) or not 0 < len(word) < 7 or not int(word):
        raise Refusal(f'{flag}"{word}" is not a number of changes; write 1 or more, such as 3')
    return int(word)
