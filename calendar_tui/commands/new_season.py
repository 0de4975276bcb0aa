"""The command that makes a new season file, by flags and by questions."""

from __future__ import annotations

import argparse
import signal
from collections.abc import Mapping, Sequence
from datetime import date
from functools import partial
from pathlib import Path
from shlex import quote
from typing import TYPE_CHECKING, Any

from calendar_tui.commands.command_input import ask, date_order, emit, save, tell, today_of
from calendar_tui.commands.next_season import NEXT_FLAGS, next_of, refuse_next_flags
from calendar_tui.commands.parsing import Flags
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.variety_types import DEFAULT

if TYPE_CHECKING:
    from calendar_tui.commands.season_questions import Questions
    from calendar_tui.commands.starting import Started
    from calendar_tui.planning.starting.answers import Reader

FLAGS: Flags = {
    "--name": {"help": "the season's name"},
    "--position": {
        "metavar": "TEXT",
        "help": 'as a GPS or a map shows it, such as "44.5 N 123.2 W", or 44.5,-123.2',
    },
    "--latitude": {"metavar": "DEGREES", "help": "in place of --position: degrees, north positive"},
    "--longitude": {"metavar": "DEGREES", "help": "degrees, east positive"},
    "--timezone": {
        "metavar": "ZONE",
        "help": "IANA name, such as America/Montevideo; that of the position is proposed",
    },
    "--first-day": {"metavar": "DATE", "help": "first day of the calendar, such as 2026-09-15, or 15 sep"},
    "--last-day": {"metavar": "DATE", "help": "last day of the calendar"},
    "--place": {
        "metavar": "LINE",
        "action": "append",
        "help": 'a place, such as "H1 hoop house 180 m2 lamps 16 h"; may be given several times',
    },
    "--variety": {
        "metavar": "LINE",
        "action": "append",
        "help": 'a variety and its type, such as "amber oil-unknown": oil-unknown where nothing is known of it (the '
        "default), oil-fitted, oil-zhang, fibre-subtropical, fibre-northern, day-neutral; may be given several times",
    },
    "--cohort": {
        "metavar": "LINE",
        "action": "append",
        "help": 'a cohort, such as "A1 amber H1 100 plants, seed 20 mar, lights off +60"; may be given several times',
    },
    "--example": {
        "action": "store_true",
        "help": "with the places, varieties and cohorts of an example, to be changed",
    },
    "--lang": {
        "metavar": "CODE",
        "help": "what its crew speaks, such as es: written into the file, so that their week, sheets and labels are in it",
    },
    "--type": {"metavar": "TYPE", "help": "of the example's first variety; oil-unknown by default"},
    "--yes": {
        "action": "store_true",
        "help": "ask nothing: take the time zone and the file's name as they are proposed; what is missing is named at once",
    },
    **NEXT_FLAGS,
}
ANSWERS = ("name", "position", "latitude", "longitude", "timezone", "first_day", "last_day")
RECORDS = ("place", "variety", "cohort")


def new(args: argparse.Namespace) -> int:
    if len(args.words) > 1:
        raise Refusal("name one new file, such as mine.toml")
    path = new_file(args.words[0]) if args.words else None
    if args.from_ is not None:
        _refuse_beside_from(args)
        return next_of(args, path)
    refuse_next_flags(args)
    _refuse_flags_of_the_other(args)
    _make_season(args, path)
    return 0


def _refuse_beside_from(args: argparse.Namespace) -> None:
    """A season made of another one has its site, days and records."""
    given = [
        f"--{key.replace('_', '-')}"
        for key in (*ANSWERS[1:], *RECORDS, "example", "lang", "type")
        if getattr(args, key)
    ]
    if given:
        raise Refusal(
            f"--from carries the site, the days, the language and the records over; leave out {' and '.join(given)}, and change the new file "
            "afterwards"
        )


def _refuse_flags_of_the_other(args: argparse.Namespace) -> None:
    """An example has records of its own; a season without it has no first variety to give a type."""
    lines = [f"--{kind}" for kind in RECORDS if getattr(args, kind)]
    if args.example and lines:
        raise Refusal(
            f"--example brings its own places, varieties and cohorts; leave out {' and '.join(lines)}"
        )
    if args.type and not args.example:
        raise Refusal(f'--type is of an example; give a variety with its type: --variety "amber {args.type}"')


def new_file(word: str) -> Path:
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


def _make_season(args: argparse.Namespace, path: Path | None) -> None:
    """Make a new season with its tasks: what the flags leave out is asked, or with --yes named. path: None to ask for it
    too. Raises Refusal.
    """
    from calendar_tui.commands.season_flags import flags_for, position_given
    from calendar_tui.commands.season_questions import Questions
    from calendar_tui.planning.starting.answers import Reader
    from calendar_tui.planning.starting.form import proposed_file

    language = _language(args)
    reader = Reader(lambda zone: today_of(args, zone), date_order())
    questions = Questions(reader, ask)
    try:
        if args.yes:
            values = _unasked(args, reader)
            path = path or new_file(proposed_file(values["name"]))
        else:
            position_given(args)
            values = _values(args, questions)
            path = path or _asked_file(questions)
    except ValueError as wrong:
        raise Refusal(str(wrong)) from wrong
    except EOFError:
        missing = questions.missing
        right = f"give {flags_for(missing)}" if missing else "name the file to make, such as mine.toml"
        raise Refusal("\n".join([f"no answer: {right}", *_not_saved(args, path, questions)])) from None
    except KeyboardInterrupt:
        before = signal.signal(signal.SIGINT, signal.SIG_IGN)  # a second one does not cut the sentence
        tell(["", *_not_saved(args, path, questions)])
        signal.signal(signal.SIGINT, before)
        raise
    try:
        started = start_and_save(args, path, {**values, **language})
    except ValueError as wrong:
        raise Refusal(str(wrong)) from wrong
    _show_new(path, values, today_of(args, values["timezone"]), started)


def _asked_file(questions: Questions) -> Path:
    """The file to make, proposed from the season's name; asked again until it can be made. Raises EOFError."""
    from calendar_tui.planning.starting.form import proposed_file

    proposal = proposed_file(questions.values["name"])
    while True:
        try:
            return new_file(ask(f"Name of its file; Enter takes {proposal}: ").strip() or proposal)
        except Refusal as wrong:
            emit([str(wrong)])


def _unasked(args: argparse.Namespace, reader: Reader) -> dict[str, Any]:
    """As below, by the flags alone."""
    from calendar_tui.commands.season_flags import values_of_flags
    from calendar_tui.commands.season_questions import short_day_type

    values, proposed_zone = values_of_flags(args, reader)
    if proposed_zone:
        emit([f"time zone is {proposed_zone}, of the position"])
    if not args.example:
        return values
    site = {key: value for key, value in values.items() if key != "records"}
    return {**site, "type": short_day_type(args.type or DEFAULT)}


def _values(args: argparse.Namespace, questions: Questions) -> dict[str, Any]:
    """The answers, by the keys of QUESTIONS, and the records by kind or the example's type."""
    from calendar_tui.planning.starting.typed_lines import Lines

    given = {key: getattr(args, key) for key in (*ANSWERS, "type")}
    values = questions.answers(given)
    if args.example:
        return {**values, "type": questions.type(given, partial(_show_types, values))}
    questions.lines = Lines(values, today_of(args, values["timezone"]), date_order())
    questions.records({kind: getattr(args, kind) for kind in RECORDS})
    return {**values, "records": questions.lines.records}


def _not_saved(args: argparse.Namespace, path: Path | None, questions: Questions) -> list[str]:
    from calendar_tui.planning.starting.form import proposed_file

    path = path or Path(proposed_file(questions.values.get("name", "")))
    chosen = {key: value for key in ("example", "lang", "type") if (value := getattr(args, key))}
    return going_on(path, flags_of(questions.values, questions.typed), flags_of(chosen, ()))


def _language(args: argparse.Namespace) -> dict[str, str]:
    """The crew's language by its key in [season]; nothing where it is not given. Raises Refusal for one that is not here."""
    if args.lang is None:
        return {}
    from calendar_tui.season.language_code import language_code
    from calendar_tui.storage.languages import need_language

    need_language(args.lang, "--lang ")
    try:
        return {"language": language_code(args.lang)}
    except ValueError as wrong:
        raise Refusal(f"--lang {wrong}") from wrong


def flags_of(values: Mapping[str, Any], lines: Sequence[tuple[str, str]]) -> list[str]:
    """The flags that give these answers, by the keys of QUESTIONS, and the lines of records with their kinds; True is a flag alone."""
    answers = [(key.replace("_", "-"), value) for key, value in values.items()]
    return [
        f"--{name}" if value is True else f"--{name}={quote(str(value))}"
        for name, value in (*answers, *lines)
    ]


def going_on(path: Path, answers: Sequence[str], chosen: Sequence[str] = ()) -> list[str]:
    """That nothing is saved, and the command that goes on from what is answered so far. answers, chosen: flags."""
    if not answers:
        return [f"{path} is not made."]
    return [
        f"{path} is not made; what you answered is not saved. To go on from there:",
        f"  calendar-tui new {quote(str(path))} {' '.join((*answers, *chosen))}",
    ]


def start_and_save(args: argparse.Namespace, path: Path, values: Mapping[str, Any]) -> Started:
    """Make the season with its tasks. values: as `start_season` takes them. Raises ValueError with a sentence."""
    from calendar_tui.commands.starting import start_season

    started = start_season(path, values, today_of(args, values["timezone"]))
    if started.made.change.edits:
        save(path, started.made.change)
    return started


def _show_types(values: Mapping[str, Any]) -> None:
    """A line a type that a new season may start with, with what it would give its first cohort."""
    from calendar_tui.commands.starting import first_comparison
    from calendar_tui.handing_on.words.types_text import choice_text

    emit(choice_text(first_comparison(values)))


def _show_new(path: Path, values: Mapping[str, Any], today: date, started: Started) -> None:
    from calendar_tui.handing_on.words.first_steps import first_command, left_out_text
    from calendar_tui.handing_on.words.plain_text import count_text, hanging
    from calendar_tui.season.wording import full_day_text

    span = f"{full_day_text(values['first_day'])} to {full_day_text(values['last_day'])}"
    emit([f"Made {path} with {count_text(len(started.made.tasks), 'task')}, {span}."])
    emit([f"Open it: calendar-tui {path}", f"After a change in an editor: calendar-tui check {path}"])
    if not started.made.plan.season.cohorts:
        emit([first_command(started.made.plan.season, str(path))])
    if left_out := left_out_text(started.past, today):
        emit([*hanging(f"{left_out[:-1]}, then:"), f"  calendar-tui tasks {path}"])
    emit(line for text in (started.lacks, started.longest_day) if text for line in hanging(text))
