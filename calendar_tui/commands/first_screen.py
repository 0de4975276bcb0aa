"""The full screen where no season is named: the only one here, else one that is chosen or made on the first screen."""

from __future__ import annotations

import argparse
import gc
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from calendar_tui.commands.command_input import date_order, tell, today_of
from calendar_tui.commands.examples import SeasonChoice, from_home, offers, opened_copy, own_seasons
from calendar_tui.commands.own_settings import default_season

if TYPE_CHECKING:
    from calendar_tui.handing_on.next_file import NextFile
    from calendar_tui.planning.starting.answers import Reader
    from calendar_tui.screens.kit.preferences import Preferences
    from calendar_tui.screens.starting.choice import Chosen
    from calendar_tui.storage.own.settings_file import Own


def chosen_season(
    args: argparse.Namespace, own: Own, preferences: Preferences, *, ascii_only: bool
) -> tuple[SeasonChoice | None, int]:
    """The season to open, None where the first screen was left, and the exit status then."""
    folder = Path.cwd()
    mine = own_seasons(folder)
    if len(mine) == 1:
        return SeasonChoice(mine[0]), 0
    if (default := default_season(own)) is not None:
        return SeasonChoice(default), 0
    from calendar_tui.planning.starting.answers import Reader
    from calendar_tui.screens.start import first
    from calendar_tui.screens.starting.choice import Start

    reader = Reader(lambda zone: today_of(args, zone), date_order(own))
    start = Start(
        from_home(folder),
        offers(folder),
        reader,
        lambda file, values: _make(args, file, values),
        {},
        lambda path: _next_of(args, path),
    )
    gc.enable()  # somebody may type for a while
    chosen, status = first(start, preferences, ascii_only=ascii_only)
    if chosen is None:
        tell(_not_saved(start.typed, reader))
        return None, status
    choice = opened_copy(chosen.path) if chosen.example else SeasonChoice(chosen.path)
    return choice._replace(first_message=chosen.first_message, theme=chosen.theme), 0


def _make(args: argparse.Namespace, file: str, values: Mapping[str, Any]) -> Chosen:
    from calendar_tui.commands.new_season import new_file, start_and_save
    from calendar_tui.handing_on.words.first_steps import left_out_text
    from calendar_tui.screens.starting.choice import Chosen

    path = new_file(file)
    started = start_and_save(args, path, values)
    return Chosen(path, False, left_out_text(started.past, today_of(args, values["timezone"])))


def _next_of(args: argparse.Namespace, path: Path) -> NextFile:
    from calendar_tui.handing_on.next_file import next_file
    from calendar_tui.planning.next_season.making import Wish
    from calendar_tui.planning.plan import make_plan
    from calendar_tui.storage.opening import need_season

    opened, season = need_season(path)
    today = today_of(args, season.site.timezone)
    return next_file(opened, (make_plan(season, today),), Wish(), today)


def _not_saved(typed: Mapping[str, str], reader: Reader) -> list[str]:
    """That what stands in the form is not saved, and the command that goes on from there; nothing where none does."""
    from calendar_tui.commands.new_season import flags_of, going_on
    from calendar_tui.planning.starting.form import FILE, filled, kind_of, proposed_file
    from calendar_tui.planning.starting.typed_lines import KINDS

    form = filled({row: text for row, text in typed.items() if row != FILE}, reader)
    lines = [(kind_of(row), text) for row, text in typed.items() if kind_of(row) in KINDS and text.strip()]
    flags = flags_of({k: v for k, v in form.values.items() if k != "records"}, lines)
    return going_on(Path(typed.get(FILE) or proposed_file(typed.get("name", ""))), flags) if flags else []
