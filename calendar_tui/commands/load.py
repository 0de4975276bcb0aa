"""The command load: what the season takes of the farm by week, against what there is; nothing is written."""

from __future__ import annotations

import argparse
from datetime import timedelta

from calendar_tui.commands.command_input import (
    emit,
    load_as_of,
    picked_season,
    print_json,
    refuse_extra_words,
    today_of,
)
from calendar_tui.commands.week import number_asked, width_asked

MOST_WEEKS = 530


def load(args: argparse.Namespace) -> int:
    from calendar_tui.handing_on.words.full_load_text import full_load_data, full_load_text
    from calendar_tui.planning.needs.by_week import week_uses
    from calendar_tui.planning.plan import make_plan
    from calendar_tui.season.weeks import monday_of
    from calendar_tui.storage.opening import need_season

    path, words = picked_season(args)
    refuse_extra_words(words)
    weeks = None if args.weeks is None else number_asked(args.weeks, "--weeks", 1, MOST_WEEKS)
    opened, season = need_season(path, load_as_of(args, path))
    plan = make_plan(season, today_of(args, season.site.timezone))
    uses = week_uses(plan, opened.data)
    if weeks is not None:
        first = monday_of(plan.today)
        uses = tuple(use for use in uses if first <= use.monday < first + timedelta(weeks=weeks))
    if args.json:
        print_json(full_load_data(season, plan.timelines, uses))
    else:
        emit(full_load_text(season, plan.timelines, uses, plan.today, width_asked(args)))
    return 0
