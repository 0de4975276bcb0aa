"""The full screen: which season it opens, and on which day."""

from __future__ import annotations

import argparse
import gc
import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from calendar_tui.commands.command_input import (
    at_day,
    at_terminal,
    date_order,
    day_at_site,
    looked_back,
    named_file,
    now,
    refuse_extra_words,
    tell,
    today_of,
    who,
)
from calendar_tui.commands.examples import SeasonChoice
from calendar_tui.commands.own_settings import own_settings, preferences_of
from calendar_tui.commands.parsing import TODAY, nearest_command
from calendar_tui.commands.units_wanted import take_up_units
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.wording import full_day_text
from calendar_tui.storage.problems import SeasonFileError

if TYPE_CHECKING:
    from calendar_tui.screens.kit.preferences import Preferences
    from calendar_tui.screens.season.bookmark import Bookmark
    from calendar_tui.storage.own.settings_file import Own

# How textual-serve has a program draw for a browser.
WEB_DRIVER = "textual.drivers.web_driver:WebDriver"
_PLAIN = "calendar-tui week and chart print plain text"


def full_screen(args: argparse.Namespace) -> int:
    # Up to the first picture nothing becomes garbage, and looking for it takes a fifth of the time; the app turns it on.
    gc.disable()
    try:
        return _open(args)
    finally:
        gc.enable()


def _open(args: argparse.Namespace) -> int:
    own = own_settings()
    preferences = preferences_of(args, own)
    if args.words:
        return _show(args, own, preferences, SeasonChoice(_named(args.words, args.commands)))
    from calendar_tui.commands.first_screen import chosen_season

    _need_terminal()
    chosen, status = chosen_season(args, own, preferences, ascii_only=_ascii_only(args))
    if chosen is None:
        return status
    if chosen.theme:  # the first screen was shown
        preferences = preferences._replace(theme=chosen.theme, note="")
    return _show(args, own, preferences, chosen)


def _ascii_only(args: argparse.Namespace) -> bool:
    return args.ascii or "utf" not in (sys.stdout.encoding or "").lower()


def _named(words: list[str], commands: tuple[str, ...]) -> Path:
    if not named_file(words[0]):
        if words[0] in commands:
            raise Refusal(f"write the command first: calendar-tui {words[0]} ...")
        nearest = nearest_command(words[0], commands)
        raise Refusal(f'"{words[0]}" is neither a season file nor a command{nearest}')
    refuse_extra_words(words[1:])
    return Path(words[0])


def _need_terminal() -> None:
    if os.environ.get("TEXTUAL_DRIVER") == WEB_DRIVER:
        return  # what is drawn goes to a browser
    if not at_terminal():
        raise Refusal(f"the full screen needs a terminal; {_PLAIN}")
    if os.name != "posix":
        return
    if not (kind := os.environ.get("TERM", "")):
        raise Refusal(f"the full screen needs to know the terminal, and TERM is not set; {_PLAIN}")
    if not _moves_cursor(kind):
        raise Refusal(
            f"the full screen needs a terminal that moves its cursor, and TERM={kind} does not; {_PLAIN}"
        )


def _moves_cursor(kind: str) -> bool:
    """Whether a kind of terminal can put its cursor anywhere; one that the system does not know is taken to."""
    if kind in ("dumb", "unknown"):
        return False
    try:
        import curses

        curses.setupterm(kind, sys.stdout.fileno())
    except (ImportError, curses.error):
        return True
    return curses.tigetstr("cup") is not None


def _show(args: argparse.Namespace, own: Own, preferences: Preferences, choice: SeasonChoice) -> int:
    from calendar_tui.storage.opening import open_to_show, opened_from

    path, notice, example_today = choice.path, choice.notice, choice.today
    earlier = looked_back(args, path)
    opened = open_to_show(path) if earlier is None else opened_from(path, earlier.text, earlier.data)
    take_up_units(args, opened.data)
    zone = opened.reading.readable.site.timezone if opened.reading else "UTC"
    today, order = today_of(args, zone), date_order(own)
    by_hand = args.today or (earlier is None and os.environ.get(TODAY))
    if example_today is not None and not by_hand and earlier is None:
        today = example_today
        notice += f", today set to {full_day_text(today)}"
    elif by_hand:
        notice = ", ".join(part for part in ("set by hand", notice) if part)
    if opened.season is None and not at_terminal():
        raise SeasonFileError(opened.problems)
    _need_terminal()
    from calendar_tui.screens.start import run

    began, keep = _left(args, own, path, earlier is None and example_today is None)
    past = None
    if earlier is not None:
        from calendar_tui.screens.kit.past import Past

        past = Past(f"as of {at_day(args)}, read-only", earlier.notes, returns=False)
    is_set = by_hand or earlier is not None or example_today is not None
    return run(
        opened,
        today,
        who(),
        now,
        day_at_site=None if is_set else day_at_site,
        notice=notice,
        ascii_only=_ascii_only(args),
        past=past,
        date_order=order,
        bookmark=began,
        keep=keep,
        preferences=preferences,
        first_message=choice.first_message,
    )


def _left(
    args: argparse.Namespace, own: Own, path: Path, stays: bool
) -> tuple[Bookmark, Callable[[Bookmark], None]]:
    """Where the season was left, or is to begin, and what keeps where it is left now.

    stays: whether one can come back to it: not to a season as it was, nor to an example's copy, which is made anew.
    """
    from calendar_tui.screens.season.bookmark import AT_FIRST, bookmark_of, plain_values
    from calendar_tui.storage.own.bookmarks import bookmarks_file, read_bookmark, write_bookmark

    file = bookmarks_file()
    left = AT_FIRST if args.fresh or not stays else bookmark_of(read_bookmark(file, path))

    def keep(bookmark: Bookmark) -> None:
        if not stays:
            return
        try:
            write_bookmark(file, path, plain_values(bookmark))
        except SeasonFileError as error:
            tell([f"Where you left is not kept: {error}"])

    opens = left.view if own.settings.view == "left" else own.settings.view
    return left._replace(view=args.view or opens), keep
