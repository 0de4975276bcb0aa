"""The commands observe and field-book: one value typed, a trial's sheet written and taken in, what is due and missing."""

from __future__ import annotations

import argparse
import os
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from calendar_tui.commands.changing import require_yes_or_dry_run_with_json, show_and_save
from calendar_tui.commands.command_input import (
    confirm_overwrite,
    date_order,
    emit,
    first_weekday,
    flag_day,
    planned_season,
    print_json,
    refuse_extra_words,
)
from calendar_tui.commands.crew_language import crew_speaks
from calendar_tui.commands.flags import LANG
from calendar_tui.commands.output import note_saved
from calendar_tui.commands.parsing import Flags
from calendar_tui.season.refusal import Refusal

if TYPE_CHECKING:
    from calendar_tui.planning.changes.proposal import Proposal
    from calendar_tui.planning.field_book.entry import Compared, Entry
    from calendar_tui.planning.plan import Plan
    from calendar_tui.season.records import Season
    from calendar_tui.season.trials import Trial
    from calendar_tui.storage.opening import Opened

FLAGS: Flags = {
    "--start": {
        "metavar": "A,B",
        "help": "take in variables that come with the program: their names, or all; list prints them",
    },
    "--csv": {
        "metavar": "FILE.csv",
        "help": "write a sheet of the trial in walking order, to be filled in a spreadsheet",
    },
    "--html": {"metavar": "FILE.html", "help": "write the sheet to print"},
    "--take": {"metavar": "FILE.csv", "help": "take a filled sheet in by the ids of its plots; shown first"},
    "--variables": {"metavar": "A,B", "help": "the variables of a sheet, else those that chores observe"},
    "--paper": {
        "choices": ("iso", "us"),
        "default": "iso",
        "help": "of the printed sheet: A4 (the default) or letter",
    },
    **LANG,
}
MISSING, LIST = "missing", "list"
_FORM = "K1-101 height 84.5, K1-101 3 height 84.5 of its plant 3, or A1 flowering 4 of 10"


def observe(args: argparse.Namespace) -> int:
    """Words: a plot or cohort, a plant of it, a variable and its value."""
    opened, plan, words = planned_season(args)
    if len(words) < 3:
        raise Refusal(f"give a plot or cohort, a variable and its value, such as: {_FORM}")
    day = _day(args, plan)
    return _save(args, opened, plan, [_typed(plan.season, day, words)])


def _typed(season: Season, day: date, words: Sequence[str]) -> Entry:
    from calendar_tui.planning.field_book.entries import entry_of
    from calendar_tui.planning.field_book.entry import Entry
    from calendar_tui.season.finders import find_record

    at, rest = _unit(season, words[0]), list(words[1:])
    if rest[0].isascii() and rest[0].isdigit() and rest[0] not in season.variables:
        at = f"{at} {int(rest.pop(0))}"
    if len(rest) < 2:
        raise Refusal(f"give a variable and its value behind {at}, such as: {_FORM}")
    variable = season.variables[find_record("variable", season, rest[0])]
    typed = " ".join(rest[1:])
    if typed.casefold() == MISSING:
        return Entry(day, at, variable.id)
    return entry_of(season, day, at, variable, typed)


def _unit(season: Season, word: str) -> str:
    """The plot or cohort of this id in any case of letters, or the one plot that has this number on its stake."""
    known = {name.casefold(): name for name in (*season.cohorts, *season.plots)}
    numbered = [plot.id for plot in season.plots.values() if str(plot.number) == word]
    if word.casefold() not in known and len(numbered) == 1:
        return numbered[0]
    return known.get(word.casefold(), word)


def _save(args: argparse.Namespace, opened: Opened, plan: Plan, entries: Sequence[Entry]) -> int:
    from calendar_tui.planning.field_book.entries import observe as observed

    return _show_compared(args, opened, *observed(plan, entries, args.who or ""))


def _show_compared(
    args: argparse.Namespace, opened: Opened, proposal: Proposal, compared: Sequence[Compared]
) -> int:
    from calendar_tui.handing_on.tables.field_book_rows import taken_row

    require_yes_or_dry_run_with_json(args)
    show_and_save(args, opened, {None: proposal}, {"observations": [taken_row(one) for one in compared]})
    return 0


def field_book(args: argparse.Namespace) -> int:
    """Words: none, or a trial."""
    from calendar_tui.season.finders import find_record

    if args.start == LIST:
        return _list(args)
    opened, plan, words = planned_season(args)
    refuse_extra_words(words[1:])
    if args.start is not None:
        refuse_extra_words(words)
        return _start(args, opened, plan)
    sheets = [flag for flag in ("csv", "html", "take") if getattr(args, flag) is not None]
    if not sheets:
        _refuse_without_sheet(args)
        refuse_extra_words(words)
        _show(args, plan)
        return 0
    if not words:
        names = ", ".join(plan.season.trials)
        raise Refusal(
            f"--{sheets[0]} is of a trial; name it{f': {names}' if names else '; there is none yet'}"
        )
    trial = plan.season.trials[find_record("trial", plan.season, words[0])]
    if args.take is None:
        return _write(args, opened, plan, trial)
    if len(sheets) > 1 or args.variables is not None:
        raise Refusal("--take goes by itself: which variables a sheet has stands in its heads")
    return _take(args, opened, plan, trial)


def _list(args: argparse.Namespace) -> int:
    """The variables that come with the program."""
    from calendar_tui.handing_on.words.plain_text import wrapped
    from calendar_tui.storage.starter_lists import starter_variables

    shipped = starter_variables()
    if args.json:
        print_json({"variables": list(shipped.values())})
        return 0
    keys = ("name", "definition", "method")
    for name, table in shipped.items():
        text = "; ".join(table[key] for key in keys if key in table)
        emit(wrapped(f"{name} ({table['unit']}): {text}", "  "))
    return 0


def _start(args: argparse.Namespace, opened: Opened, plan: Plan) -> int:
    from calendar_tui.planning.changes.held_season import HeldSeason
    from calendar_tui.planning.field_book.starting import start_with
    from calendar_tui.storage.starter_lists import starter_variables

    require_yes_or_dry_run_with_json(args)
    names = [name.strip() for name in args.start.split(",") if name.strip()]
    held = HeldSeason(plan, opened.data, date_order(), opened.reading)
    show_and_save(args, opened, {None: start_with(held, starter_variables(), names)})
    return 0


def _refuse_without_sheet(args: argparse.Namespace) -> None:
    given = [flag for flag in ("variables", "date", "who") if getattr(args, flag) is not None]
    if given:
        raise Refusal(f"--{given[0]} goes with --csv, --html or --take")


def _show(args: argparse.Namespace, plan: Plan) -> None:
    from calendar_tui.planning.field_book.due import rounds_of_week
    from calendar_tui.planning.field_book.findings import rises, stands

    season = plan.season
    due, late = rounds_of_week(season, plan.today, 0 if args.json else first_weekday())
    found, counted = rises(season), list(stands(season))
    if args.json:
        from calendar_tui.handing_on.tables.field_book_rows import field_book_data

        print_json(field_book_data(season, due, late, found, counted))
        return
    from calendar_tui.handing_on.words.field_book_text import field_book_text

    with crew_speaks(args, season):
        emit(field_book_text(season, due, late, found, counted))


def _write(args: argparse.Namespace, opened: Opened, plan: Plan, trial: Trial) -> int:
    from calendar_tui.handing_on.paper.field_sheet import field_sheet_page
    from calendar_tui.handing_on.tables.field_sheet import sheet_csv
    from calendar_tui.handing_on.words.plain_text import count_text
    from calendar_tui.planning.field_book.sheet import sheet_rows, sheet_table, variables_of
    from calendar_tui.planning.trials.ground_map import treatment_name
    from calendar_tui.storage.disk.handed_file import hand_out

    if args.who is not None:
        raise Refusal("--who goes with --take: a sheet that is written was filled by nobody yet")
    names = [name.strip() for name in (args.variables or "").split(",") if name.strip()]
    day = _day(args, plan, past=False)
    variables = variables_of(plan.season, trial, names)
    rows = sheet_rows(plan.season, trial, variables, day)
    files: dict[Path, bytes] = {}
    if args.csv is not None:
        files[_target(opened, args.csv, ".csv")] = sheet_csv(
            sheet_table(rows, variables, day, treatment_name)
        )
    if args.html is not None:
        with crew_speaks(args, plan.season):
            page = field_sheet_page(plan.season.name, trial, rows, variables, day, args.paper)
        files[_target(opened, args.html, ".html")] = page
    confirm_overwrite(files, args.yes)
    hand_out(files)
    lines = [f"{target}: {count_text(len(content), 'byte')}" for target, content in files.items()]
    for line in lines:
        note_saved(line)
    if args.json:
        print_json(
            {"files": [{"file": str(target), "bytes": len(content)} for target, content in files.items()]}
        )
    else:
        emit(lines)
    return 0


def _target(opened: Opened, word: str, ending: str) -> Path:
    target = Path(word)
    if target.suffix.casefold() != ending or not target.stem.strip("."):
        raise Refusal(f'"{target}": name a file that ends in {ending}, such as sheet{ending}')
    if os.path.realpath(target) == os.path.realpath(opened.path):
        raise Refusal(f'"{target}" is the season file; name another file')
    return target


def _take(args: argparse.Namespace, opened: Opened, plan: Plan, trial: Trial) -> int:
    from calendar_tui.planning.field_book.sheet import take_sheet
    from calendar_tui.season.trial_table import read_trial_table
    from calendar_tui.storage.table_file import table_text

    file = Path(args.take)
    table = read_trial_table(table_text(file, "a sheet of a field book"), file.name)
    proposal, compared = take_sheet(plan, trial, table, _day(args, plan), date_order(), args.who or "")
    return _show_compared(args, opened, proposal, compared)


def _day(args: argparse.Namespace, plan: Plan, *, past: bool = True) -> date:
    day = plan.today if args.date is None else flag_day(args, plan.season, args.date, "--date")
    if past and day > plan.today:
        raise Refusal(f"--date {day} is after today, {plan.today}; what is observed has been")
    return day
