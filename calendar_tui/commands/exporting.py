"""The command that writes files to hand on. All are made before the first is written, and none is written over unasked."""

from __future__ import annotations

import argparse
import os
import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import nullcontext
from functools import partial
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from calendar_tui.commands import open_folder
from calendar_tui.commands.alarms import call_of
from calendar_tui.commands.command_input import (
    confirm_overwrite,
    emit,
    first_weekday,
    flag_day,
    now,
    planned_season,
    refuse_extra_words,
)
from calendar_tui.commands.crew_language import crew_speaks
from calendar_tui.commands.flags import LANG
from calendar_tui.commands.output import note_saved
from calendar_tui.commands.parsing import Flags
from calendar_tui.commands.week import role_asked
from calendar_tui.language.speaking import speaking, tr
from calendar_tui.season.readers import choices
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.units_in_use import shown_in

if TYPE_CHECKING:
    from calendar_tui.handing_on.calendar.events import Happening
    from calendar_tui.planning.plan import Plan
    from calendar_tui.season.records import Season
    from calendar_tui.storage.opening import Opened

_PAPER = "iso"
# Tables that are taken in again: by the kind of their records, the help of their flags.
RECORD_TABLES: Mapping[str, str] = {
    "cohorts": "every cohort with its fields, to be changed in a spreadsheet and taken in again by take",
    **{
        name: f"the same of {name}"
        for name in ("places", "varieties", "chores", "plots", "observations", "samples", "results")
    },
}
FLAGS: Flags = {
    "--calendar": {"metavar": "FILE.ics", "help": "tasks, dates and lamps as a calendar file"},
    "--by-role": {"action": "store_true", "help": "a calendar file of its own for each role's tasks"},
    "--only": {"metavar": "KIND", "help": "of tasks,dates,lamps, only these into the calendar"},
    "--alarm": {
        "metavar": "TIME",
        "help": "an alarm for tasks and dates: 18:00-1d is 18:00 on the day before, 07:00 the day itself",
    },
    "--lamp-alarm": {
        "metavar": "MINUTES",
        "help": "an alarm for lamps, so many minutes before they go on",
    },
    "--table": {"metavar": "FILE.csv", "help": "every task, for a spreadsheet"},
    "--dates-table": {"metavar": "FILE.csv", "help": "every date of every cohort, for a spreadsheet"},
    "--lamps-table": {
        "metavar": "FILE.csv",
        "help": "what all lamps do night by night, local and in UTC, for who sets a controller",
    },
    **{f"--{name}": {"metavar": "FILE.csv", "help": what} for name, what in RECORD_TABLES.items()},
    "--wall": {"metavar": "FILE.html", "help": "the season as a page to print large, for the wall"},
    "--sheet": {
        "metavar": "FILE.html",
        "help": "a week's work as a page to print, tick and write on",
    },
    "--trend": {
        "metavar": "FILE.html",
        "help": "the trend of each lot with results, a page each, to print",
    },
    "--door": {
        "metavar": "FILE.html",
        "help": "a page to post at the door of each place that is closed after a spray",
    },
    "--week": {"metavar": "DATE", "help": "the week that holds this date, else this week"},
    "--codes": {
        "action": "store_true",
        "help": "with --sheet: beside each task its id as a square code, for `calendar-tui scan` (extra [labels])",
    },
    "--role": {"metavar": "ROLE", "help": "only the work of this role"},
    "--place": {"metavar": "PLACE", "help": "only the work at this place"},
    "--paper": {
        "choices": ("iso", "us"),
        "help": "iso: A3 for the wall, A4 for the week (the default); us: tabloid and letter",
    },
    **open_folder.FLAGS,
    **LANG,
    "--yes": {"action": "store_true", "help": "write over files that are there without asking"},
}


class _Request(NamedTuple):
    """What an export is made from: the words of the command, the season's file, its plan, and the file to write."""

    args: argparse.Namespace
    opened: Opened
    plan: Plan
    target: Path

    @property
    def season(self) -> Path:
        return self.opened.path


def export(args: argparse.Namespace) -> int:
    opened, plan, rest = planned_season(args)
    refuse_extra_words(rest)
    targets = _targets(args, opened.path, plan)
    files: dict[Path, bytes] = {}
    of_crew = any(_EXPORTS[name].crew for name in targets)
    with crew_speaks(args, plan.season) if of_crew else nullcontext():
        for name, target in targets.items():
            files |= _made(name, _Request(args, opened, plan, target))
    with shown_in():
        folder = None if args.folder is None else open_folder.make_folder(args, plan)
    _write(files, folder, args.yes)
    return 0


def _made(name: str, request: _Request) -> dict[Path, bytes]:
    """The files of one export, in the language that is spoken where they are for the crew, else in English."""
    export = _EXPORTS[name]
    spoken = nullcontext() if export.crew else speaking(None)
    with spoken, shown_in() if export.ending == ".csv" else nullcontext():
        return export.make(request)


def _targets(args: argparse.Namespace, season: Path, plan: Plan) -> dict[str, Path]:
    """The file each flag names, of the kind it is for. Raises Refusal."""
    named = {name: Path(word) for name in _EXPORTS if (word := getattr(args, name)) is not None}
    if not named and args.folder is None:
        flags = ", ".join(f"{_flag(name)} FILE{one.ending}" for name, one in _EXPORTS.items())
        raise Refusal(f"name what to export, and its file: {flags}, --folder FOLDER")
    _refuse_idle_flags(args, named)
    if args.at is not None and named:
        raise Refusal(f"--at is for --folder alone; leave {_flag(next(iter(named)))} out")
    taken = {os.path.realpath(season): "the season file"}
    if plan.season.station is not None:
        taken[os.path.realpath(season.parent / plan.season.station.file)] = (
            "the season's weather station file"
        )
    for name, target in named.items():
        ending = _EXPORTS[name].ending
        if target.suffix.casefold() != ending or not target.stem.strip("."):
            raise Refusal(
                f'{_flag(name)} "{target}": name a file that ends in {ending}, such as season{ending}'
            )
        real = os.path.realpath(target)
        if real in taken:
            raise Refusal(f'{_flag(name)} "{target}" is {taken[real]}; name another file')
        taken[real] = f"also the file of {_flag(name)}"
    return named


def _refuse_idle_flags(args: argparse.Namespace, named: Mapping[str, Path]) -> None:
    """A flag for a file that is not asked for would change nothing."""
    flags_of = {name: one.flags for name, one in _EXPORTS.items()} | {"folder": open_folder.OWN_FLAGS}
    asked = [*named, *([] if args.folder is None else ["folder"])]
    used = {flag for name in asked for flag in flags_of[name]}
    for flag in dict.fromkeys(flag for flags in flags_of.values() for flag in flags):
        if getattr(args, flag) and flag not in used:
            owners = " or ".join(_flag(name) for name, flags in flags_of.items() if flag in flags)
            raise Refusal(f"{_flag(flag)} is for {owners}; give that too, or leave it out")


def _flag(name: str) -> str:
    return f"--{name.replace('_', '-')}"


def _write(files: Mapping[Path, bytes], folder: open_folder.Folder | None, yes: bool) -> None:
    from calendar_tui.handing_on.words.plain_text import count_text
    from calendar_tui.storage.disk.handed_file import hand_out

    confirm_overwrite(files, yes)
    hand_out(files)
    lines = [f"{path}: {count_text(len(content), 'byte')}" for path, content in files.items()]
    if folder is not None:
        lines.append(open_folder.write_folder(folder))
    note_saved("; ".join(lines))
    emit([*lines, *(folder.notes if folder else ())])


# --- the calendar


def _calendar(request: _Request) -> dict[Path, bytes]:
    from calendar_tui.handing_on.calendar.file import calendar_bytes
    from calendar_tui.handing_on.calendar.revisions import revisions
    from calendar_tui.storage.disk.handed_file import read_if_exists
    from calendar_tui.storage.history.undo import history_and_text
    from calendar_tui.storage.journal.file import digest

    season, call = request.plan.season, call_of(request.args)
    history, text = history_and_text(request.season)
    noted, made_at = revisions(history, digest(text.encode())), now()
    parts = _parts(request)
    if not any(parts.values()):
        raise Refusal("there is nothing to put into a calendar: no tasks are saved, and no cohort has a date")
    names = _part_names(request.target, parts)
    return {
        names[role]: calendar_bytes(
            season, of_role, noted, made_at, part=role, call=call, earlier=read_if_exists(names[role])
        )
        for role, of_role in parts.items()
    }


def _parts(request: _Request) -> dict[str, list[Happening]]:
    """What goes into the calendar, by whose file it goes into: "" for the one that belongs to no role."""
    parts: dict[str, list[Happening]] = {}
    for happening in _happenings(request):
        role = happening.role if request.args.by_role else ""
        parts.setdefault(role, []).append(happening)
    return parts


def _happenings(request: _Request) -> Iterator[Happening]:
    from calendar_tui.handing_on.calendar.events import KINDS

    words = [word.strip() for word in (request.args.only or ",".join(KINDS)).split(",")]
    for word in words:
        if word not in KINDS:
            raise Refusal(f'--only "{word}" is unknown{choices(word, KINDS)}; several with a comma between')
    for kind, happenings in KINDS.items():
        if kind in words:
            yield from happenings(request.plan)


def _part_names(target: Path, parts: Mapping[str, object]) -> dict[str, Path]:
    """The file of each role: its name after the target's; a number where two roles would have one file."""
    names: dict[str, Path] = {}
    taken: set[str] = set()
    for role in parts:
        word = re.sub(r"[^\w-]+", "-", role).strip("-") or "role"
        stem_of_role = stem = f"{target.stem}-{word}" if role else target.stem
        n = 1
        while stem_of_role.casefold() in taken:
            n += 1
            stem_of_role = f"{stem}-{n}"
        taken.add(stem_of_role.casefold())
        names[role] = target.with_name(stem_of_role + target.suffix)
    return names


# --- the tables


def _dates_table(request: _Request) -> dict[Path, bytes]:
    from calendar_tui.handing_on.tables.csv_text import spreadsheet_bytes, table_text
    from calendar_tui.handing_on.tables.date_and_task_rows import DATE_COLUMNS, date_table_rows

    rows = date_table_rows(request.plan.timelines.values())
    return {request.target: spreadsheet_bytes(table_text(DATE_COLUMNS, rows))}


def _lamps_table(request: _Request) -> dict[Path, bytes]:
    from calendar_tui.commands.lamps import lit_places
    from calendar_tui.handing_on.tables.csv_text import spreadsheet_bytes, table_text
    from calendar_tui.handing_on.tables.lamp_nights import NIGHT_COLUMNS, night_rows

    rows = night_rows(request.plan, lit_places(request.plan.season, []))
    return {request.target: spreadsheet_bytes(table_text(NIGHT_COLUMNS, rows))}


def _record_table(name: str, request: _Request) -> dict[Path, bytes]:
    from calendar_tui.handing_on.tables.record_tables import record_table_bytes
    from calendar_tui.planning.changes.held_season import HeldSeason
    from calendar_tui.planning.spreadsheets.sheets import SHEETS

    held = HeldSeason(request.plan, request.opened.data)
    return {request.target: record_table_bytes(held, SHEETS[name])}


# --- the pages


def _wall(request: _Request) -> dict[Path, bytes]:
    from calendar_tui.handing_on.paper.wall import wall_page

    return {request.target: wall_page(request.plan, request.args.paper or _PAPER)}


def _sheet(request: _Request) -> dict[Path, bytes]:
    from calendar_tui.handing_on.paper.codes import NO_CODES, NoCodes
    from calendar_tui.handing_on.paper.week_sheet import SheetChoice, sheet_page

    args, season = request.args, request.plan.season
    if not season.tasks:
        raise Refusal(
            tr(
                "{name}: no tasks are saved yet; calendar-tui tasks makes them from the chores",
                name=request.season,
            )
        )
    day = request.plan.today if args.week is None else flag_day(args, season, args.week, "--week")
    choice = SheetChoice(
        day, _role(season, args.role), _place(season, args.place), first_weekday(), args.codes
    )
    try:
        return {request.target: sheet_page(request.plan, choice, args.paper or _PAPER)}
    except NoCodes as missing:
        raise Refusal(f"--codes: {NO_CODES}") from missing


def _trend(request: _Request) -> dict[Path, bytes]:
    from calendar_tui.handing_on.paper.trend_page import sampled_lots, trend_pages

    if not sampled_lots(request.plan):
        raise Refusal(f"{request.season}: no cohort has results yet")
    return {request.target: trend_pages(request.plan, request.args.paper or _PAPER)}


def _door(request: _Request) -> dict[Path, bytes]:
    from calendar_tui.handing_on.paper.door import door_pages
    from calendar_tui.planning.spraying.closures import closures

    season = request.plan.season
    place = season.place_of(_place(season, request.args.place))
    closed = [
        c for c in closures(season, request.plan.today) if place is None or season.place_of(c.light) == place
    ]
    if not closed:
        if place is None:
            raise Refusal(tr("no place is closed after a spray"))
        raise Refusal(tr("{place} is not closed after a spray", place=place.id))
    return {request.target: door_pages(request.plan, closed, request.args.paper or _PAPER)}


def _role(season: Season, word: str | None) -> str:
    return role_asked(word, chain((c.who for c in season.chores.values()), (t.who for t in season.tasks)))


def _place(season: Season, word: str | None) -> str:
    from calendar_tui.season.finders import find_place

    return "" if word is None else find_place(season, word).id


class _Export(NamedTuple):
    """How a file is named at its end, how it is made, and the flags that are for it alone; a calendar may be several.

    crew: whether it is in the crew's language.
    """

    ending: str
    make: Callable[[_Request], dict[Path, bytes]]
    flags: tuple[str, ...] = ()
    crew: bool = False


_EXPORTS: Mapping[str, _Export] = {
    "calendar": _Export(".ics", _calendar, ("by_role", "only", "alarm", "lamp_alarm"), crew=True),
    "table": _Export(".csv", partial(_record_table, "tasks")),
    "dates_table": _Export(".csv", _dates_table),
    "lamps_table": _Export(".csv", _lamps_table),
    **{name: _Export(".csv", partial(_record_table, name)) for name in RECORD_TABLES},
    "wall": _Export(".html", _wall, ("paper",), crew=True),
    "sheet": _Export(".html", _sheet, ("week", "role", "place", "codes", "paper"), crew=True),
    "trend": _Export(".html", _trend, ("paper",)),
    "door": _Export(".html", _door, ("place", "paper"), crew=True),
}
