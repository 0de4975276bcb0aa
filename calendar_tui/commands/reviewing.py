"""The command that reviews a season, and takes what it proposes into the season from which the next is made."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING

from calendar_tui.commands.command_input import (
    date_order,
    emit,
    planned_season,
    print_json,
    refuse_extra_words,
    tell,
)
from calendar_tui.season.refusal import Refusal

if TYPE_CHECKING:
    from calendar_tui.planning.plan import Plan
    from calendar_tui.planning.review.outcomes import Outcome
    from calendar_tui.storage.opening import Opened

_MOST_AHEAD = 400


def review(args: argparse.Namespace) -> int:
    from calendar_tui.commands.changing import require_yes_or_dry_run_with_json, show_and_save

    if args.at is not None and (args.take is not None or args.ahead is not None):
        raise Refusal(
            "--at does not go with --take or --ahead: the season as it was is read-only, and is compared as it is now"
        )
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

    found = review_of(plan, _before(args, opened, plan))
    if args.json:
        from calendar_tui.handing_on.tables.review_rows import review_row

        print_json(review_row(found))
        return 0
    from calendar_tui.handing_on.words.review_text import review_text

    emit(review_text(found))
    return 0


def _before(args: argparse.Namespace, opened: Opened, plan: Plan) -> Sequence[Outcome]:
    """What was projected so many days before each record, as far as the history knows the file of that day to the byte."""
    if args.ahead is None:
        return ()
    from zoneinfo import ZoneInfo

    from calendar_tui.planning.review.earlier import days_before, earlier_projections
    from calendar_tui.season.reading import read_season
    from calendar_tui.storage.history.as_it_was import as_it_was_on
    from calendar_tui.storage.problems import StorageError

    ahead, zone, then, unknown = _days(args.ahead), ZoneInfo(plan.season.site.timezone), {}, 0
    for day in days_before(plan.season, ahead):
        try:
            was = as_it_was_on(opened.path, day, zone)
        except StorageError as why:
            raise Refusal(f"--ahead: {why}") from why
        season = None if was.notes else read_season(was.data).season
        if season is None:
            unknown += 1
        else:
            then[day] = season
    if unknown:
        tell(
            [
                f"--ahead {ahead}: of {unknown} of {unknown + len(then)} days the history beside the file does not know the "
                "season as it was; nothing is said of those records"
            ]
        )
    return tuple(earlier_projections(plan.season, ahead, then))


def _days(typed: str) -> int:
    if not typed.strip().isdecimal() or not 0 < int(typed) <= _MOST_AHEAD:
        raise Refusal(f'--ahead "{typed}": give days before each record, from 1 to {_MOST_AHEAD}, such as 14')
    return int(typed)
