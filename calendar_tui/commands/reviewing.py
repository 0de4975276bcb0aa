"""The command that reviews a season, and takes what it proposes into the season from which the next is made."""

from __future__ import annotations

import argparse

from calendar_tui.commands.command_input import (
    date_order,
    emit,
    planned_season,
    print_json,
    refuse_extra_words,
)


def review(args: argparse.Namespace) -> int:
    from calendar_tui.commands.changing import require_yes_or_dry_run_with_json, show_and_save

    opened, plan, words = planned_season(args)
    refuse_extra_words(words)
    if args.take is not None:
        from calendar_tui.planning.changes.held_season import HeldSeason
        from calendar_tui.planning.review.carried import take

        require_yes_or_dry_run_with_json(args)
        held = HeldSeason(plan, opened.data, date_order(), opened.reading)
        show_and_save(args, opened, {None: take(held, args.take)})
        return 0
    from calendar_tui.planning.review.review import review_of

    found = review_of(plan)
    if args.json:
        from calendar_tui.handing_on.tables.review_rows import review_row

        print_json(review_row(found))
        return 0
    from calendar_tui.handing_on.words.review_text import review_text

    emit(review_text(found))
    return 0
