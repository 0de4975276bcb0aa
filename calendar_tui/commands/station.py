"""The command station: the temperatures that a season has; takes a weather file in, or what a person read off a thermometer."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from shlex import quote
from typing import TYPE_CHECKING

from calendar_tui.commands.changing import confirm_and_save, require_yes_or_dry_run_with_json, show_and_save
from calendar_tui.commands.command_input import (
    date_order,
    emit,
    load_as_of,
    named_file,
    picked_season,
    print_json,
    tell,
    today_of,
    typed_day,
)
from calendar_tui.commands.parsing import Flags
from calendar_tui.season.field import FILE_ORDERS, HEADING_ROLES
from calendar_tui.season.readers import choices
from calendar_tui.season.refusal import Refusal

if TYPE_CHECKING:
    from calendar_tui.planning.changes.held_season import HeldSeason
    from calendar_tui.planning.plan import Plan
    from calendar_tui.season.weather_files.reading import Answers, Question
    from calendar_tui.storage.opening import Opened

ADD = "add"
FLAGS: Flags = {
    "--unit": {
        "metavar": "UNIT",
        "choices": ("C", "F"),
        "help": "C or F: the unit of the temperatures, where neither the file nor its form says it; kept for the next one. Of add: else the one in which temperatures are shown",
    },
    "--station": {"metavar": "ID", "help": "which station, of a file with several; kept for the next one"},
    "--dates": {
        "metavar": "ORDER",
        "choices": FILE_ORDERS,
        "help": f"what comes first in dates of numbers: {', '.join(FILE_ORDERS)}; kept for the next file",
    },
    "--column": {
        "metavar": "HEADING=WHAT",
        "action": "append",
        "help": f"what a column of an unknown form holds: {', '.join(HEADING_ROLES)}; may be given several times, and is kept",
    },
    "--date": {
        "metavar": "DATE",
        "help": "of add: the day whose temperatures they are, else yesterday, whose afternoon the thermometer holds",
    },
}


def station(args: argparse.Namespace) -> int:
    """Words: none; a file; or add, a low and a high."""
    from calendar_tui.planning.changes.held_season import HeldSeason

    args.words, files = _season_words(args.words)
    opened, plan, words = _planned(args)
    words = [*files, *words]
    held = HeldSeason(plan, opened.data, date_order(), opened.reading)
    if not words:
        return _show(args, held)
    require_yes_or_dry_run_with_json(args)
    if words[0].casefold() == ADD:
        return _add(args, opened, held, words[1:])
    if len(words) > 1:
        raise Refusal(f"{' '.join(words[1:])} is more than one file; take one in after the other")
    return _take_in(args, opened, held, words[0])


def _planned(args: argparse.Namespace) -> tuple[Opened, Plan, list[str]]:
    """The season and its plan; without the days of a station's file that does not read, so that another can be taken in."""
    from calendar_tui.planning.plan import make_plan
    from calendar_tui.storage.opening import open_season, sound_season

    path, words = picked_season(args)
    opened = open_season(path, load_as_of(args, path))
    bare = opened if opened.season else open_season(path, weather=False)
    if bare.season and bare.season.station and bare is not opened:
        tell([f"{bare.season.station.file} does not read, and its days are left out: {opened.problems[0]}"])
    season = sound_season(bare)
    return bare, make_plan(season, today_of(args, season.site.timezone)), words


def _season_words(words: Sequence[str]) -> tuple[list[str], list[str]]:
    """The words for the season, and a weather file that is named in its place."""
    first = next(iter(words), "")
    if first and not first.endswith(".toml") and len(words) == 1 and named_file(first):
        return [], [first]
    return list(words), []


def _show(args: argparse.Namespace, held: HeldSeason) -> int:
    from calendar_tui.planning.weather_held import weather_held
    from calendar_tui.planning.weather_moves import moved_by_weather

    shown, moves = weather_held(held.plan.season), moved_by_weather(held.plan)
    if args.json:
        from calendar_tui.handing_on.tables.weather_rows import weather_row

        print_json(weather_row(shown, moves))
    else:
        from calendar_tui.handing_on.words.weather_text import weather_text

        emit(weather_text(shown, moves))
    return 0


def _add(args: argparse.Namespace, opened: Opened, held: HeldSeason, words: Sequence[str]) -> int:
    from calendar_tui.planning.changes.thermometer import day_before, read_off, typed_degrees
    from calendar_tui.season.measures import unit_shown

    if len(words) != 2:
        raise Refusal("give the low and the high, such as: station add 12.1 27.3")
    today, season = held.plan.today, held.plan.season
    day = day_before(today)
    if args.date:
        day = typed_day(
            args.date,
            today=today,
            planned=None,
            first_day=season.first_day,
            last_day=season.last_day,
            past=True,
            flag="--date ",
        )
    low_c, high_c = (typed_degrees(word, args.unit or unit_shown("C")) for word in words)
    return confirm_and_save(args, opened, {None: read_off(held, day, low_c, high_c)})


def _take_in(args: argparse.Namespace, opened: Opened, held: HeldSeason, file: str) -> int:
    from calendar_tui.handing_on.tables.weather_rows import weather_in_row
    from calendar_tui.planning.changes.weather_in import take_weather
    from calendar_tui.season.weather_files.reading import Unanswered
    from calendar_tui.season.weather_files.table import NoForm
    from calendar_tui.storage.table_file import weather_file_text

    path = Path(file)
    text = weather_file_text(path)
    try:
        taken = take_weather(held, path.name, text, _said(args))
    except Unanswered as asked:
        lines = [f"  {one.text}: {_flags(one)}" for one in asked.questions]
        raise Refusal("\n".join([f"{path} does not say, and nothing is guessed:", *lines])) from asked
    except NoForm as wrong:
        raise Refusal(f"{path}: {wrong}, such as --column 'HEADING=low'") from wrong
    except Refusal as wrong:
        raise Refusal(f"{path}: {wrong}") from wrong
    more = {"weather": weather_in_row(taken)}
    show_and_save(args, opened, {None: taken.proposal}, more)
    return 0


def _said(args: argparse.Namespace) -> Answers:
    from calendar_tui.season.weather_files.reading import Answers

    columns: Mapping[str, str] = dict(_pairs(args.column or ()))
    return Answers(args.unit or "", args.station or "", args.dates or "", columns)


def _pairs(typed: Sequence[str]) -> Iterator[tuple[str, str]]:
    for one in typed:
        heading, equals, what = one.rpartition("=")
        if not equals or not heading:
            raise Refusal(f'--column "{one}" has no =; write HEADING=WHAT, such as "Temp out=temperature"')
        if what not in HEADING_ROLES:
            raise Refusal(f'--column "{one}": {what} is nothing a column holds{choices(what, HEADING_ROLES)}')
        yield heading, what


def _flags(question: Question) -> str:
    """The flags that answer a question."""
    return " or ".join(f"--{question.key} {quote(answer)}" for answer in question.answers[:3])
