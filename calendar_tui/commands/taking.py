"""The command that takes a table in again that was worked on in a spreadsheet."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from calendar_tui.commands.changing import require_yes_or_dry_run_with_json, show_and_save
from calendar_tui.commands.command_input import date_order, planned_season, refuse_extra_words, who
from calendar_tui.commands.parsing import Flags
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.typed_dates import ORDERS, is_of_numbers

if TYPE_CHECKING:
    from calendar_tui.season.trial_table import TrialTable

FLAGS: Flags = {
    "--kind": {
        "metavar": "KIND",
        "help": "what the table holds, such as cohorts, where its columns fit several",
    },
    "--dates": {
        "metavar": "ORDER",
        "choices": ORDERS,
        "help": "which comes first in a date of numbers, such as 12/8/2026: day-first or month-first",
    },
}

_SEASON = ".toml"


def take(args: argparse.Namespace) -> int:
    """Words: the table, a CSV file."""
    from calendar_tui.handing_on.tables.taken_rows import taken_data
    from calendar_tui.planning.changes.held_season import HeldSeason
    from calendar_tui.planning.spreadsheets.taking import take_table
    from calendar_tui.season.spreadsheet_text import read_spreadsheet
    from calendar_tui.storage.table_file import spreadsheet_text

    require_yes_or_dry_run_with_json(args)
    file = _table_file(args)
    opened, plan, words = planned_season(args)
    refuse_extra_words(words)
    held = HeldSeason(plan, opened.data, args.dates or date_order(), opened.reading, who())
    table = read_spreadsheet(spreadsheet_text(file), file.name)
    try:
        taken = take_table(held, table, args.kind or "")
    except Refusal as wrong:
        raise Refusal(f"{wrong}{_order_text(held.order, table, str(wrong))}") from wrong
    show_and_save(args, opened, {None: taken.proposal}, taken_data(taken))
    return 0


def _table_file(args: argparse.Namespace) -> Path:
    """The last word, which is taken off the words: a season file before it may be left out. Raises Refusal."""
    if not args.words or args.words[-1].casefold().endswith(_SEASON):
        raise Refusal("name the table, a CSV file, such as: cohorts.csv; export --cohorts writes one")
    *args.words, file = args.words
    return Path(file)


def _order_text(order: str, table: TrialTable, wrong: str) -> str:
    """How to set which of day and month comes first, where a date of numbers is refused; "" where that is set."""
    cells = {cell.strip() for line in table.lines for cell in line.cells}
    if order or not any(is_of_numbers(cell) and f'"{cell}"' in wrong for cell in cells):
        return ""
    return f"\nwhich of day and month comes first is not set; add --dates {' or --dates '.join(ORDERS)}"
