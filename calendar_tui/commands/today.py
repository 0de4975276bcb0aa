"""The command that shows what a day asks of the grower; nothing is written."""

from __future__ import annotations

import argparse
from zoneinfo import ZoneInfo

from calendar_tui.commands.command_input import (
    planned_season,
    print_json,
    refuse_extra_words,
    tell,
)
from calendar_tui.commands.crew_language import crew_speaks
from calendar_tui.commands.week import show_lines, width_asked


def today(args: argparse.Namespace) -> int:
    from calendar_tui.handing_on.tables.history_rows import since_yesterday
    from calendar_tui.handing_on.tables.today_rows import today_row
    from calendar_tui.handing_on.words.today_text import changed_text, today_text
    from calendar_tui.planning.today import today_of

    opened, plan, words = planned_season(args)
    refuse_extra_words(words)
    asks = today_of(plan)
    zone = ZoneInfo(plan.season.site.timezone)
    changed, warnings = since_yesterday(opened.path, plan.today, zone)
    tell(warnings)
    if args.json:
        print_json(today_row(asks, changed))
        return 0
    with crew_speaks(args, plan.season):
        texts = [changed_text(entry, zone) for entry in changed]
        show_lines(today_text(plan.season, asks, texts, width_asked(args)), colour=True)
    return 0
