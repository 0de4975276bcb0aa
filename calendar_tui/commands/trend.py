"""The command trend: what a cohort's results say of the days to come."""

from __future__ import annotations

import argparse
import sys
from typing import TYPE_CHECKING

from calendar_tui.commands.command_input import emit, planned_season, print_json, refuse_extra_words
from calendar_tui.season.refusal import Refusal

if TYPE_CHECKING:
    from calendar_tui.planning.results.trend import CohortTrend


def trend(args: argparse.Namespace) -> int:
    from calendar_tui.handing_on.tables.trend_rows import trend_row
    from calendar_tui.handing_on.words.plain_text import WIDTH
    from calendar_tui.handing_on.words.trend_text import trend_text
    from calendar_tui.planning.results.trend import limit_dates, trend_of
    from calendar_tui.season.finders import find_lot

    _, plan, words = planned_season(args)
    if not words:
        raise Refusal("give a COHORT or a lot, such as: " + next(iter(plan.season.cohorts), "A1"))
    lot = find_lot(plan.season, words[0])
    refuse_extra_words(words[1:])
    shown = trend_of(plan, lot)
    position = _position(shown, args.position)
    if args.json:
        print_json(trend_row(shown, position, limit_dates(plan, lot)))
        return 0
    ascii_only = args.ascii or "utf" not in (sys.stdout.encoding or "").lower()
    emit(trend_text(shown, position, ascii_only, WIDTH))
    return 0


def _position(shown: CohortTrend, asked: str | None) -> str:
    """The position that is asked for, else the one that decides, else the top."""
    positions = [one.position for one in shown.thc.positions]
    if asked is None:
        return shown.thc.deciding or "top"
    found = next((name for name in positions if name.casefold() == asked.strip().casefold()), None)
    if found is None:
        have = f"it has: {', '.join(positions)}" if positions else "it has no results yet"
        raise Refusal(f'{shown.lot} has no results of "{asked}"; {have}')
    return found
