"""The commands week and hours: the crew's work, from the saved tasks alone. `week` is run at every login."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING

from calendar_tui.commands.command_input import (
    drawn,
    emit,
    first_weekday,
    load_as_of,
    picked_season,
    print_json,
    refuse_extra_words,
    refuse_two_forms,
    tell,
    today_of,
)
from calendar_tui.commands.crew_language import crew_speaks
from calendar_tui.language.speaking import marked, phrase_form, tr, tr_n, translated
from calendar_tui.season.cells import cut_text
from calendar_tui.season.readers import choices, plain
from calendar_tui.season.refusal import Refusal
from calendar_tui.storage.problems import SeasonFileError

if TYPE_CHECKING:
    from calendar_tui.handing_on.words.week_text import WeekLine
    from calendar_tui.planning.cutting.holds import Hold
    from calendar_tui.planning.lamps.tip_looks import TipLook
    from calendar_tui.planning.spraying.closures import Closure
    from calendar_tui.planning.tasks.running_out import RunningOut
    from calendar_tui.planning.tasks.week import Only, Week
    from calendar_tui.season.records import Outage, Season, Task
    from calendar_tui.storage.opening import Opened

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
        emit([_brief(args)])
        return 0
    path, rest = picked_season(args)
    refuse_extra_words(rest)
    refuse_two_forms(args, "json", "print", "brief")
    opened, season = _opened(args, path)
    today = today_of(args, season.site.timezone)
    with crew_speaks(args, season):
        only = _only(args, season)
        if not args.json:
            _show(args, opened, season, today, only)
            return 0
    _print_rows(args, opened, season, today, only)
    return 0


def _show(args: argparse.Namespace, opened: Opened, season: Season, today: date, only: Only) -> None:
    show_lines(_lines(args, opened, season, today, only), colour=not args.print)
    if not season.tasks:
        emit([tr("No tasks are saved yet: calendar-tui tasks makes them from the chores.")])
    _tell_problems(opened)


def _print_rows(args: argparse.Namespace, opened: Opened, season: Season, today: date, only: Only) -> None:
    from calendar_tui.handing_on.tables.spray_rows import closure_row
    from calendar_tui.handing_on.tables.task_rows import tip_look_rows, week_row

    days = _asked_days(args, only.of(season.tasks), today)
    closed = [closure_row(one) for one in _closed(season, today, only)]
    ends = [one._asdict() for one in _running_out(season, today, only)]
    looks = tip_look_rows(_looks(opened, season, today, only))
    rows = {"closed": closed, "looks": looks, "work_ends": ends}
    print_json({**week_row(days, _holds(opened, season, days, today)), **rows})


def _holds(opened: Opened, season: Season, days: Week, today: date) -> Mapping[str, Hold]:
    """The tasks that must not be done on their day; nothing is loaded for a season without sprays, rules and official samples."""
    if not (season.sprays or season.officials or season.profiles):
        return {}
    from calendar_tui.commands.holding import holds_shown
    from calendar_tui.planning.tasks.week import all_tasks

    return holds_shown(opened, season, all_tasks(days), today)


def _opened(args: argparse.Namespace, path: Path) -> tuple[Opened, Season]:
    from calendar_tui.storage.opening import need_tasks

    opened, season = need_tasks(path, load_as_of(args, path, work=True))
    # A file with nothing in it must not be taken for a week of rest.
    if not season.tasks and opened.problems:
        raise SeasonFileError(opened.problems)
    return opened, season


def _asked_days(args: argparse.Namespace, tasks: Sequence[Task], today: date) -> Week:
    """The week that holds today, or the days that --days asks for. As JSON a week is always that of ISO 8601."""
    from calendar_tui.planning.tasks.week import days_of, week_of

    if args.days is None:
        return week_of(tasks, today, begins=0 if args.json else first_weekday())
    return days_of(tasks, today, number_asked(args.days, "--days", 1, MOST_DAYS))


def _lines(
    args: argparse.Namespace, opened: Opened, season: Season, today: date, only: Only
) -> Iterable[WeekLine]:
    from calendar_tui.handing_on.words.week_text import Head, heading_text, sheet_text, week_text

    days = _asked_days(args, only.of(season.tasks), today)
    closed = _closed_texts(_closed(season, today, only))
    looks = _look_texts(_looks(opened, season, today, only))
    notes = (*looks, *_running_out_texts(_running_out(season, today, only)))
    holds = _holds(opened, season, days, today)
    head = Head(heading_text(days, season.name, only.text), closed, notes, holds)
    if args.print:
        return sheet_text(days, head, season.chores, width_asked(args, PAPER))
    return week_text(days, head, today, season.chores, width_asked(args))


def _closed_texts(closed: Sequence[Closure]) -> Sequence[str]:
    if not closed:
        return ()
    from calendar_tui.planning.spraying.closed_work import entry_texts

    return entry_texts(closed)


def _closed(season: Season, today: date, only: Only) -> Sequence[Closure]:
    """The places that nobody enters from today on, of the one that is asked for."""
    if not season.sprays:
        return ()
    from calendar_tui.planning.spraying.closures import closures

    here = None if not only.place else season.place_of(only.place)
    wanted = None if here is None else {only.place, *(here.lights if only.place == here.id else ())}
    return [one for one in closures(season, today) if wanted is None or one.light in wanted]


def _looks(opened: Opened, season: Season, today: date, only: Only) -> Sequence[TipLook]:
    """The cohorts of which recent nights without lamps may have started flowering.

    Only then is the season laid out. A season with problems has none: not all of it reads.
    """
    from calendar_tui.planning.tasks.week import recent_outages

    recent = [outage for outage in recent_outages(season, today) if _fits(outage, season, only)]
    if not recent or opened.problems:
        return ()
    from calendar_tui.planning.lamps.tip_looks import tip_looks
    from calendar_tui.planning.plan import make_plan
    from calendar_tui.storage.opening import with_weather

    whole = with_weather(opened).season
    if whole is None:
        return ()
    plan = make_plan(whole, today)
    shown = [t for name, t in plan.timelines.items() if only.cohort in ("", name)]
    return tuple(tip_looks(whole, recent, shown, plan.light, today))


def _fits(outage: Outage, season: Season, only: Only) -> bool:
    place = season.place_of(outage.place)
    return only.place in ("", outage.place, "" if place is None else place.id)


def _look_texts(looks: Sequence[TipLook]) -> Sequence[str]:
    if not looks:
        return ()
    from calendar_tui.planning.lamps.tip_looks import tip_look_texts

    return tuple(tip_look_texts(looks))


def _running_out(season: Season, today: date, only: Only) -> Sequence[RunningOut]:
    """The cohorts that wait behind their harvest with no saved work for next week, of the one that is asked for.

    Nothing is loaded for a season in which nothing has flowered.
    """
    if not any("flowering" in cohort.recorded for cohort in season.cohorts.values()):
        return ()
    from calendar_tui.planning.tasks.running_out import running_out

    return [one for one in running_out(season, today) if only.cohort in ("", one.cohort)]


def _running_out_texts(crops: Sequence[RunningOut]) -> Sequence[str]:
    if not crops:
        return ()
    from calendar_tui.planning.tasks.running_out import running_out_texts

    return tuple(running_out_texts(crops))


def _only(args: argparse.Namespace, season: Season) -> Only:
    """Which tasks --role, --place and --cohort ask for. Raises Refusal for one that the season does not have."""
    from calendar_tui.planning.tasks.week import ANYONE, Only

    tasks = season.tasks
    return Only(
        role_asked(args.role, (t.who or ANYONE for t in tasks)),
        _one_of(args.place, "place", chain(season.places, (t.place for t in tasks))),
        _one_of(args.cohort, "cohort", chain(season.cohorts, (n for t in tasks for n in t.about))),
    )


def role_asked(word: str | None, roles: Iterable[str]) -> str:
    """Which of these roles --role means, in English or the crew's language; "" where none is asked for. Raises Refusal."""
    return _one_of(word, "role", roles, translated)


# By flag, what is none of it, and what there are.
_NONE_OF: Mapping[str, tuple[str, str]] = {
    "role": (marked('{flag} "{word}" is no role of this season'), phrase_form("Roles")),
    "place": (marked('{flag} "{word}" is no place of this season'), phrase_form("Places")),
    "cohort": (marked('{flag} "{word}" is no cohort of this season'), phrase_form("Cohorts")),
}


def _one_of(word: str | None, kind: str, known: Iterable[str], shown: Callable[[str], str] = str) -> str:
    """The known name that is meant, in any case of letters, as it is or as it is shown; "" where none is asked for."""
    if word is None:
        return ""
    names = {shown(name): name for name in sorted(set(known)) if name}
    # A name just as it is typed goes before one in other letters.
    spelt = [(text, name) for crews, name in names.items() for text in (name, crews)]
    meant = {text.casefold(): name for text, name in spelt} | dict(spelt)
    name = meant.get(word) or meant.get(" ".join(word.split()).casefold())
    if name is None:
        none, there_are = _NONE_OF[kind]
        raise Refusal(tr(none, flag=f"--{kind}", word=word) + choices(word, sorted(names), there_are))
    return name


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


def show_lines(lines: Iterable[WeekLine], colour: bool) -> None:
    """Print lines, nothing in them steering the terminal; what they are is told by colour besides, where there is one."""
    painted = (
        colour and sys.stdout.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"
    )
    texts = (
        f"\x1b[{TONES[tone]}m{plain(text)}\x1b[m" if painted and tone else plain(text) for text, tone in lines
    )
    print("\n".join(map(drawn, texts)))


def _brief(args: argparse.Namespace) -> str:
    """One line for a login, whatever there is: a login must neither fail nor wait for an answer."""
    from calendar_tui.storage.opening import need_tasks
    from calendar_tui.storage.season_file import load_to_look

    try:
        refuse_two_forms(args, "json", "print", "brief")
        path, rest = picked_season(args)
        refuse_extra_words(rest)
        opened, season = need_tasks(path, load_to_look(path) if args.at is None else load_as_of(args, path))
        today = today_of(args, season.site.timezone)
        with crew_speaks(args, season):
            return _brief_line(opened, season, path, today, _only(args, season))
    except Refusal as wrong:
        return _one_line(f"calendar-tui: {str(wrong).splitlines()[0]}")


def _brief_line(opened: Opened, season: Season, path: Path, today: date, only: Only) -> str:
    from calendar_tui.handing_on.words.week_text import brief_text
    from calendar_tui.planning.tasks.week import week_of

    name = season.name + (f", {only.text}" if only.text else "")
    closed = _brief_closed(season, today, only)
    if not season.tasks:
        return _one_line(
            "; ".join(filter(None, (tr("{name}: no tasks are saved yet", name=name or path), closed)))
        )
    mine = only.of(season.tasks)
    line = brief_text(mine, week_of(mine, today, begins=first_weekday()), name, today, season.chores)
    decide = "" if any(only) else _to_decide(opened, season, today)
    weather = "" if any(only) else _moved_by_weather(opened, season, today)
    return _one_line("; ".join(filter(None, (line, closed, weather, decide))))


def _brief_closed(season: Season, today: date, only: Only) -> str:
    """Which places nobody enters today."""
    closed = _closed(season, today, only)
    if not closed:
        return ""
    from calendar_tui.planning.spraying.closed_work import brief_entry_text

    return brief_entry_text(closed, today)


def _to_decide(opened: Opened, season: Season, today: date) -> str:
    """How much is to be decided, and what first; "" where nothing is kept of the time from flowering on.

    Only where there is something is the season laid out. A season with problems is not: not all of it reads.
    """
    crop = season.sprays, season.samples, season.officials, season.passes, season.batches
    if not any(crop) or opened.problems:
        return ""
    from calendar_tui.handing_on.words.decisions_text import brief_decisions_text
    from calendar_tui.planning.plan import make_plan
    from calendar_tui.storage.opening import with_weather

    whole = with_weather(opened).season
    return "" if whole is None else brief_decisions_text(make_plan(whole, today).decisions, today)


def _moved_by_weather(opened: Opened, season: Season, today: date) -> str:
    """Which dates the newest temperatures have moved; "" where none did.

    Only a season that runs on heat and has days of yesterday or today is laid out, one with problems never.
    """
    if season.heat is None or (season.station is None and not season.thermometer) or opened.problems:
        return ""
    from calendar_tui.planning.plan import make_plan
    from calendar_tui.planning.weather_moves import has_new_days, moved_by_weather, moves_text
    from calendar_tui.storage.opening import with_weather

    whole = with_weather(opened).season
    if whole is None or not has_new_days(whole, today):
        return ""
    return moves_text(moved_by_weather(make_plan(whole, today)))


def _one_line(text: str) -> str:
    """A text on one line, harmless and short."""
    return cut_text(plain(" ".join(text.split())), 2 * PAPER)


def _tell_problems(opened: Opened) -> None:
    """Warn, beside the week, that the file has problems."""
    if opened.problems:
        text = tr_n(
            "{file} has {count} problem, and nothing can be saved before that is mended: calendar-tui check",
            "{file} has {count} problems, and nothing can be saved before that is mended: calendar-tui check",
            len(opened.problems),
            file=opened.path,
        )
        tell([text])
