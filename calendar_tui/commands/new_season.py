"""The command that makes a new season file, by flags and by questions."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from datetime import date
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from calendar_tui.commands.command_input import ask, date_order, emit, save, today_of
from calendar_tui.season.refusal import Refusal

if TYPE_CHECKING:
    from calendar_tui.commands.starting import Started


def new(args: argparse.Namespace) -> int:
    if len(args.words) != 1:
        raise Refusal("name one new file, such as mine.toml")
    given = {
        key: getattr(args, key)
        for key in ("name", "latitude", "longitude", "timezone", "first_day", "last_day", "type")
    }
    try:
        _make_season(args, _new_file(args.words[0]), given)
    except EOFError:
        raise Refusal(
            "no answer: give --name, --latitude, --longitude, --timezone, --first-day and --last-day"
        ) from None
    return 0


def season_by_answers(args: argparse.Namespace) -> Path:
    """Make a new season in a file whose name is asked for too; gives the file. Raises EOFError where nobody answers."""
    while True:
        try:
            path = _new_file(ask("Name of its file, such as mine.toml: ").strip())
        except Refusal as wrong:
            emit([str(wrong)])
        else:
            _make_season(args, path, {})
            return path


def _new_file(word: str) -> Path:
    """The path of a season file that can be made there. Raises Refusal."""
    path = Path(word)
    try:
        if word and path.exists():
            raise Refusal(f"{path} is there already; give the name of a new file")
        if not path.parent.is_dir():
            raise Refusal(f"there is no folder {path.parent}; make it first, or give another name")
    except OSError as error:  # longer than a file's name can be
        raise Refusal(f"{path}: {error.strerror}; give another name") from error
    if not path.name:
        raise Refusal("a season needs a file; give its name, such as mine.toml")
    if path.suffix != ".toml":
        raise Refusal(f"{path}: the name of a season file ends in .toml; write {path.with_suffix('.toml')}")
    return path


def _make_season(args: argparse.Namespace, path: Path, given: Mapping[str, str | None]) -> None:
    """Make a new season with its tasks. given: the answers there are, by the keys of QUESTIONS; the rest is asked.

    Raises Refusal, and EOFError where nobody answers.
    """
    from calendar_tui.commands.season_answers import Questions
    from calendar_tui.commands.starting import start_season

    questions = Questions(lambda zone: today_of(args, zone), date_order(), ask)
    try:
        values = questions.answers(given)
        values["type"] = questions.type(given, partial(_show_types, values))
        today = today_of(args, values["timezone"])
        started = start_season(path, values, today)
    except ValueError as wrong:
        raise Refusal(str(wrong)) from wrong
    if started.made.change.edits:
        save(path, started.made.change)
    _show_new(path, values, today, started)


def _show_types(values: Mapping[str, Any]) -> None:
    """A line a type that a new season may start with, with what it would give its first cohort."""
    from calendar_tui.commands.starting import first_comparison
    from calendar_tui.handing_on.words.types_text import choice_text

    emit(choice_text(first_comparison(values)))


def _show_new(path: Path, values: Mapping[str, Any], today: date, started: Started) -> None:
    from calendar_tui.handing_on.words.plain_text import count_text, hanging
    from calendar_tui.season.wording import full_day_text

    span = f"{full_day_text(values['first_day'])} to {full_day_text(values['last_day'])}"
    emit([f"Made {path} with {count_text(len(started.made.tasks), 'task')}, {span}."])
    emit([f"Change it in an editor, then: calendar-tui check {path}"])
    if started.past:
        left_out = f"Tasks due before today, {full_day_text(today)}, are left out: {started.past}."
        emit(hanging(f"{left_out} To add them, delete the line since = {today} from the file, then:"))
        emit([f"  calendar-tui tasks {path}"])
    emit(line for text in (started.lacks, started.longest_day) if text for line in hanging(text))
