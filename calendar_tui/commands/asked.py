"""What a command is asked: which season, what day it is, and who is at work. Here, and only here, is the clock."""

from __future__ import annotations

import argparse
import getpass
import os
from collections.abc import Iterable, Sequence
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from calendar_tui.storage.finding import pick_season

if TYPE_CHECKING:
    from calendar_tui.planning.plan import Plan
    from calendar_tui.season.edits import Change
    from calendar_tui.season.records import Cohort

TODAY = "CALENDAR_TUI_TODAY"


class Refusal(Exception):
    """A command that cannot be carried out; the message says why and what would be right."""


def emit(lines: Iterable[str]) -> None:
    for line in lines:
        print(line)


def print_json(value: Any) -> None:
    from calendar_tui.handing_on.json_rows import json_text

    print(json_text(value))


def today_of(args: argparse.Namespace, timezone: str) -> date:
    """Today as told by --today or the environment, else by the clock at the site."""
    told = args.today or os.environ.get(TODAY)
    if told:
        try:
            return date.fromisoformat(told)
        except ValueError:
            raise Refusal(f'--today "{told}" is not a date; write it as 2026-12-08') from None
    from zoneinfo import ZoneInfo

    return datetime.now(ZoneInfo(timezone)).date()


def now() -> datetime:
    return datetime.now().astimezone()


def who() -> str:
    try:
        return getpass.getuser()
    except (OSError, KeyError):  # a user id without a name, as in some containers
        return f"user {os.getuid()}"


def planned_season(args: argparse.Namespace) -> tuple[Path, Plan, list[str]]:
    """The season's plan, and the words left after the season's name."""
    from calendar_tui.planning.plan import make_plan
    from calendar_tui.storage.opening import need_season

    path, words = pick_season(args.words, Path.cwd())
    _, season = need_season(path)
    return path, make_plan(season, today_of(args, season.site.timezone)), words


def save(path: Path, change: Change) -> None:
    from calendar_tui.storage.opening import season_problems
    from calendar_tui.storage.season_file import save_change

    save_change(path, change, who=who(), when=now(), check=season_problems)


def no_more(words: Sequence[str]) -> None:
    if words:
        raise Refusal(f"not understood: {' '.join(words)}; see --help")


def one_cohort(plan: Plan, name: str) -> Cohort:
    from calendar_tui.planning.slips import SlipError, find_cohort

    try:
        return find_cohort(plan.season, name)
    except SlipError as refused:
        raise Refusal(str(refused)) from refused


def known_zone(zone: object) -> bool:
    from calendar_tui.season.readers import Unreadable, timezone

    try:
        return bool(timezone(zone))
    except Unreadable:  # the problem is shown, with its line, on the full screen
        return False


def iso_date(word: str | None, otherwise: date) -> date:
    if word is None:
        return otherwise
    try:
        return date.fromisoformat(word)
    except ValueError:
        raise Refusal(f'"{word}" is not a date; write it as 2026-12-08') from None
