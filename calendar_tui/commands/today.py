"""The command that shows what a day asks of the grower; nothing is written."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from datetime import datetime, time, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from calendar_tui.commands.command_input import (
    planned_season,
    print_json,
    refuse_extra_words,
    tell,
)
from calendar_tui.commands.week import show_lines, width_asked
from calendar_tui.planning.plan import Plan
from calendar_tui.storage.journal.lines import Entry


def today(args: argparse.Namespace) -> int:
    from calendar_tui.handing_on.tables.today_rows import today_row
    from calendar_tui.handing_on.words.today_text import today_text
    from calendar_tui.planning.today import today_of

    opened, plan, words = planned_season(args)
    refuse_extra_words(words)
    asks = today_of(plan)
    changed = tuple(_changed(opened.path, plan))
    if args.json:
        print_json(today_row(asks, changed))
        return 0
    zone = ZoneInfo(plan.season.site.timezone)
    texts = [f"{e.when.astimezone(zone):%a %H:%M} {e.who}: {e.what}" for e in changed]
    show_lines(today_text(plan.season, asks, texts, width_asked(args)), colour=True)
    return 0


def _changed(path: Path, plan: Plan) -> Iterator[Entry]:
    """The changes that stand of the plan's day and the day before, by the site's clock, oldest first."""
    from calendar_tui.handing_on.tables.history_rows import rows_of
    from calendar_tui.storage.history.undo import read_history

    zone = ZoneInfo(plan.season.site.timezone)
    begin = datetime.combine(plan.today - timedelta(days=1), time(), zone)
    history = read_history(path, lambda read: bool(read.entries) and read.entries[0].when < begin)
    tell(history.warnings)
    end = begin + timedelta(days=2)
    for row in rows_of(history):
        if row.entry.is_change and row.state == "stands" and begin <= row.entry.when < end:
            yield row.entry
