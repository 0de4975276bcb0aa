"""The command load: what the season takes of the farm by week, against what there is; nothing is written."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from datetime import timedelta

from calendar_tui.commands.command_input import emit, planned_season, print_json
from calendar_tui.commands.week import number_asked, width_asked
from calendar_tui.season.refusal import Refusal

MOST_WEEKS = 530


def load(args: argparse.Namespace) -> int:
    from calendar_tui.handing_on.tables.load_rows import load_data
    from calendar_tui.handing_on.words.load_text import load_text
    from calendar_tui.planning.needs.by_week import week_uses
    from calendar_tui.season.weeks import monday_of

    weeks = None if args.weeks is None else number_asked(args.weeks, "--weeks", 1, MOST_WEEKS)
    opened, plan, words = planned_season(args)
    kinds = _kinds(words)
    uses = week_uses(plan, opened.data, kinds)
    if weeks is not None:
        first = monday_of(plan.today)
        uses = tuple(use for use in uses if first <= use.monday < first + timedelta(weeks=weeks))
    if args.json:
        print_json(load_data(plan.season, plan.timelines, uses, kinds))
    else:
        emit(load_text(plan.season, plan.timelines, uses, plan.today, width_asked(args), kinds))
    return 0


def _kinds(words: Sequence[str]) -> tuple[str, ...]:
    """The kinds that are asked for, all without any. Raises Refusal for a word that is none."""
    from calendar_tui.planning.capacity.by_week import KINDS
    from calendar_tui.season.readers import choices

    for word in words:
        if word.casefold() not in KINDS:
            raise Refusal(f'"{word}" is not a kind of load{choices(word.casefold(), KINDS, "Kinds")}')
    asked_for = {word.casefold() for word in words}
    return tuple(kind for kind in KINDS if not asked_for or kind in asked_for)
