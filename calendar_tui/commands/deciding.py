"""The command that lists what is to be decided; nothing is written."""

from __future__ import annotations

import argparse

from calendar_tui.commands.command_input import planned_season, print_json, refuse_extra_words
from calendar_tui.commands.crew_language import crew_speaks
from calendar_tui.commands.week import show_lines, width_asked


def decide(args: argparse.Namespace) -> int:
    from calendar_tui.handing_on.tables.decision_rows import decisions_row
    from calendar_tui.handing_on.words.decisions_text import decisions_text

    _, plan, words = planned_season(args)
    refuse_extra_words(words)
    if args.json:
        print_json(decisions_row(plan.decisions, plan.today))
        return 0
    with crew_speaks(args, plan.season):
        lines = decisions_text(plan.season.name, plan.decisions, plan.today, width_asked(args))
        show_lines(lines, colour=True)
    return 0
