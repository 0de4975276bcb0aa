"""The pages of a season that are printed: what each is called, its file, and how it is made."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from functools import partial
from typing import NamedTuple

from calendar_tui.handing_on.paper.wall import wall_page
from calendar_tui.handing_on.paper.week_sheet import SheetChoice, sheet_page
from calendar_tui.planning.plan import Plan
from calendar_tui.season.weeks import first_of_week
from calendar_tui.season.wording import full_day_text

# By what paper is called that pages are made for.
PAPERS = {"iso": "A4 week, A3 wall", "us": "letter week, tabloid wall"}


class Printable(NamedTuple):
    """what: in words. file: the name of its file. make: the page, for a paper of PAPERS."""

    what: str
    file: str
    make: Callable[[str], bytes]


def printables(plan: Plan, day: date, stem: str, weekday: int = 0) -> dict[str, Printable]:
    """The week's work, where tasks are saved, the season for the wall, and what was found. day: of the week; stem: begins the files' names.

    weekday: with which the week begins, counted from Monday as 0.
    """
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
    from calendar_tui.handing_on.report.making import report_of
    from calendar_tui.handing_on.report.subject import Subject
    from calendar_tui.handing_on.words.openness import Asked

    return html_page(report_of(Subject(plan, tuple(plan.season.trials.values()), Asked())), paper)
