"""What a season hands on by the full screen, pages to print and tables for a spreadsheet: what each is called, its file, how it is made."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from functools import partial
from typing import NamedTuple

from calendar_tui.handing_on.paper.wall import wall_page
from calendar_tui.handing_on.paper.week_sheet import SheetChoice, sheet_page
from calendar_tui.handing_on.tables.record_tables import record_table_bytes
from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.spreadsheets.sheets import SHEETS, Sheet
from calendar_tui.season.weeks import first_of_week
from calendar_tui.season.wording import full_day_text

# By what paper is called that pages are made for.
PAPERS = {"iso": "A4 week, A3 wall", "us": "letter week, tabloid wall"}


class Printable(NamedTuple):
    """what: in words. file: the name of its file. make: the page, for a paper of PAPERS."""

    what: str
    file: str
    make: Callable[[str], bytes]


def printables(held: HeldSeason, day: date, stem: str, weekday: int = 0) -> dict[str, Printable]:
    """The pages, and behind them a table of each kind of record that the season has. day: of the week; stem: begins the files' names.

    weekday: with which the week begins, counted from Monday as 0.
    """
    return {**_pages(held.plan, day, stem, weekday), **_tables(held, stem)}


def _tables(held: HeldSeason, stem: str) -> dict[str, Printable]:
    return {
        name: Printable(
            f"{name.capitalize()}, for a spreadsheet", f"{stem}-{name}.csv", partial(_table, held, sheet)
        )
        for name, sheet in SHEETS.items()
        if held.records(sheet.kind)
    }


def _table(held: HeldSeason, sheet: Sheet, paper: str) -> bytes:
    return record_table_bytes(held, sheet)


def _pages(plan: Plan, day: date, stem: str, weekday: int) -> dict[str, Printable]:
    """The week's work, where tasks are saved, the season for the wall, and what was found."""
    first = first_of_week(day, weekday)
    wall = Printable("The season, for the wall", f"{stem}-wall.html", partial(wall_page, plan))
    report = Printable("What was found, for other growers", f"{stem}-report.html", partial(_report, plan))
    if not plan.season.tasks:
        return {"wall": wall, "report": report}
    what = f"Work of the week from {full_day_text(first)}, to tick"
    sheet = partial(sheet_page, plan, SheetChoice(day, weekday=weekday))
    return {"week": Printable(what, f"{stem}-week-{first}.html", sheet), "wall": wall, "report": report}


def _report(plan: Plan, paper: str) -> bytes:
    """The growers' page, without persons and exact place: trials are analysed only where it is made."""
    from calendar_tui.handing_on.report.html import html_page
    from calendar_tui.handing_on.report.page import report_of
    from calendar_tui.handing_on.report.subject import Subject
    from calendar_tui.handing_on.words.openness import Openness

    return html_page(report_of(Subject(plan, tuple(plan.season.trials.values()), Openness())), paper)
