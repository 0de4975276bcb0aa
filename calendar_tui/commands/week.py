"""The commands week and hours: the crew's work, from the saved tasks alone. `week` is run at every login."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from calendar_tui.commands.command_input import (
    emit,
    load_as_of,
    picked_season,
    planned_season,
    print_json,
    refuse_extra_words,
    refuse_two_forms,
    rows_of,
    table_of,
    today_of,
    zone_of,
)
from calendar_tui.season.readers import Unreadable, choices, plain
from calendar_tui.season.refusal import Refusal

if TYPE_CHECKING:
    from calendar_tui.handing_on.words.week_text import Line
    from calendar_tui.planning.tasks.week import Only, Week
    from calendar_tui.season.records import Task

# A phone held upright shows about 40 columns; less than 30 leave no room for words beside a box.
NARROWEST, WIDEST, PAPER = 30, 400, 80
MOST_DAYS = 366
# How a terminal is told to show a line, by what the line is (ECMA-48): bold, dim, yellow.
TONES: Mapping[str, str] = {
    "heading": "1",
    "today": "1",
    "overdue": "1;33",
    "caution": "33",
    "settled": "2",
}


def week(args: argparse.Namespace) -> int:
    if args.brief:
        print(_brief(args))
        return 0
    path, rest = picked_season(args)
    refuse_extra_words(rest)
    refuse_two_forms(args, "json", "print", "brief")
    tasks, data = _tasks(args, path)
    today = today_of(args, zone_of(data))
    only = _only(args, tasks, data)
    found = _asked_days(args, tuple(filter(only.fits, tasks)), today)
    if args.json:
        import json

        from calendar_tui.handing_on.tables.task_rows import week_row

        print(json.dumps(week_row(found), indent=2, ensure_ascii=False))
        return 0
    _show(_lines(args, found, data, today, only), colour=not args.print)
    if not tasks:
        print("No tasks are saved yet: calendar-tui tasks makes them from the chores.")
    _tell_problems(data, path)
    return 0


def _tasks(args: argparse.Namespace, path: Path) -> tuple[tuple[Task, ...], Mapping[str, Any]]:
    from calendar_tui.storage.opening import need_season, need_tasks

    asked = load_as_of(args, path)
    tasks, data = need_tasks(path, asked)
    if not tasks:  # so that a file with nothing in it is not taken for a week of rest
        need_season(path, asked, weather=False)
    return tasks, data


def _asked_days(args: argparse.Namespace, tasks: Sequence[Task], today: date) -> Week:
    """The week that holds today, or the days that --days asks for."""
    from calendar_tui.planning.tasks.week import days_of, week_of

    if args.days is None:
        return week_of(tasks, today)
    return days_of(tasks, today, number_asked(args.days, "--days", 1, MOST_DAYS))


def _lines(
    args: argparse.Namespace, found: Week, data: Mapping[str, Any], today: date, only: Only
) -> Iterable[Line]:
    from calendar_tui.handing_on.words.week_text import heading_text, sheet_text, week_text
    from calendar_tui.planning.tasks.week import chore_words

    heading = heading_text(found, _season_name(data), only.text)
    chores = chore_words(data.get("chore"))
    if args.print:
        return sheet_text(found, heading, chores, width_asked(args, PAPER))
    return week_text(found, heading, today, chores, width_asked(args))


def _season_name(data: Mapping[str, Any]) -> str:
    name = table_of(data, "season").get("name")
    return name if isinstance(name, str) else ""


def _only(args: argparse.Namespace, tasks: Sequence[Task], data: Mapping[str, Any]) -> Only:
    """Which tasks --role, --place and --cohort ask for. Raises Refusal for one that the season does not have."""
    from calendar_tui.planning.tasks.week import ANYONE, Only

    return Only(
        _one_of(args.role, "--role", "role", (t.who or ANYONE for t in tasks)),
        _one_of(args.place, "--place", "place", (*_ids(data, "place"), *(t.place for t in tasks))),
        _one_of(
            args.cohort, "--cohort", "cohort", (*_ids(data, "cohort"), *(n for t in tasks for n in t.about))
        ),
    )


def _one_of(word: str | None, flag: str, kind: str, known: Iterable[str]) -> str:
    """The known name that is meant, in any case of letters; "" where none is asked for."""
    if word is None:
        return ""
    names = sorted({name for name in known if name})
    meant = {name.casefold(): name for name in names}.get(" ".join(word.split()).casefold())
    if word in names or meant:
        return word if word in names else str(meant)
    raise Refusal(f'{flag} "{word}" is no {kind} of this season{choices(word, names, f"{kind.title()}s")}')


def _ids(data: Mapping[str, Any], kind: str) -> list[str]:
    """The ids of a kind of record; the data have not been checked."""
    return [name for row in rows_of(data, kind) if isinstance(name := row.get("id"), str)]


def number_asked(word: str, flag: str, low: int, high: int) -> int:
    """The whole number a flag was given; Refusal where it is none, or out of bounds."""
    if not word.isascii() or not word.isdigit() or not low <= int(word[:9]) <= high:
        raise Refusal(f'{flag} "{word}" is not a whole number from {low} to {high}')
    return int(word)


def width_asked(args: argparse.Namespace, otherwise: int = 0) -> int:
    """The columns there are: as told, else `otherwise`, else those of the terminal, else of a page."""
    if args.width is not None:
        return number_asked(args.width, "--width", NARROWEST, WIDEST)
    if otherwise or not sys.stdout.isatty():
        return otherwise or PAPER
    try:
        columns = os.get_terminal_size(sys.stdout.fileno()).columns
    except (OSError, ValueError):  # a terminal that does not tell
        return PAPER
    return min(max(columns, NARROWEST), WIDEST) if columns else PAPER


def _show(lines: Iterable[Line], colour: bool) -> None:
    """Print lines, nothing in them steering the terminal; what they are is told by colour besides, where there is one."""
    painted = (
        colour and sys.stdout.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"
    )
    for text, tone in lines:
        print(f"\x1b[{TONES[tone]}m{plain(text)}\x1b[m" if painted and tone else plain(text))


def _brief(args: argparse.Namespace) -> str:
    """One line for a login, whatever there is: a login must neither fail nor wait for an answer."""
    from calendar_tui.handing_on.words.week_text import brief_text
    from calendar_tui.planning.tasks.week import chore_words, week_of
    from calendar_tui.storage.opening import need_tasks

    try:
        refuse_two_forms(args, "json", "print", "brief")
        path, rest = picked_season(args)
        refuse_extra_words(rest)
        tasks, data = need_tasks(path, None if args.at is None else load_as_of(args, path))
        today = today_of(args, zone_of(data))
        only = _only(args, tasks, data)
    except (Refusal, Unreadable) as wrong:
        return _one_line(f"calendar-tui: {str(wrong).splitlines()[0]}")
    name = _season_name(data) + (f", {only.text}" if only.text else "")
    if not tasks:
        return _one_line(f"{name or path}: no tasks are saved yet")
    mine = tuple(filter(only.fits, tasks))
    return _one_line(brief_text(mine, week_of(mine, today), name, today, chore_words(data.get("chore"))))


def _one_line(text: str) -> str:
    """A text on one line, harmless and short; what is cut ends in three dots."""
    line = plain(" ".join(text.split()))
    longest = 2 * PAPER
    return line if len(line) <= longest else line[: longest - 3] + "..."


def _tell_problems(data: Mapping[str, Any], path: Path) -> None:
    """Say that the rest of the file has problems; chores and tasks take long to read, and are not looked at."""
    from calendar_tui.handing_on.words.plain_text import count_text
    from calendar_tui.season.reading import read_season

    rest = {key: value for key, value in data.items() if key not in ("chore", "task")}
    if problems := read_season(rest).problems:
        print(
            f"{plain(str(path))} has {count_text(len(problems), 'problem')}, and nothing can be saved before that is "
            f"mended: calendar-tui check",
            file=sys.stderr,
        )


def hours(args: argparse.Namespace) -> int:
    from calendar_tui.handing_on.words.load_text import load_rows, load_text
    from calendar_tui.planning.capacity.hours import loads

    _, now, rest = planned_season(args)
    refuse_extra_words(rest)
    found = loads(now.season)
    if args.json:
        print_json(load_rows(now.season, found))
    else:
        emit(load_text(now.season, found, now.today, width_asked(args)))
    return 0
