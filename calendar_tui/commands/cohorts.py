"""The command that lists cohorts, and changes a key of one or several after showing what it moves."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING

from calendar_tui.commands.chosen import cohorts_and_rest, is_choice
from calendar_tui.commands.command_input import emit, load_as_of, picked_season, print_json, today_of
from calendar_tui.season.field_names import field_words
from calendar_tui.season.records import Cohort, Season
from calendar_tui.season.refusal import Refusal

if TYPE_CHECKING:
    from calendar_tui.storage.opening import Opened


def cohort(args: argparse.Namespace) -> int:
    """Words: none for all cohorts; COHORT ... for some; COHORT ... FIELD VALUE to change them."""
    from calendar_tui.planning.changes.cohort_change import COHORT_KEYS, KEYS
    from calendar_tui.storage.opening import need_season

    path, words = picked_season(args)
    opened, season = need_season(path, load_as_of(args, path))
    if not words and not is_choice(args):
        return _list(args, tuple(season.cohorts.values()))
    cohorts, rest = cohorts_and_rest(args, season, words, (*KEYS, "spacing"))
    if not rest:
        return _list(args, cohorts)
    return _change(args, opened, season, cohorts, COHORT_KEYS.find(rest[0]), " ".join(rest[1:]))


def _list(args: argparse.Namespace, cohorts: Sequence[Cohort]) -> int:
    from calendar_tui.handing_on.tables.season_rows import cohort_rows
    from calendar_tui.handing_on.words.cohorts_text import cohorts_lines

    if args.json:
        print_json(cohort_rows(cohorts))
    else:
        emit(cohorts_lines(cohorts))
    return 0


def _change(
    args: argparse.Namespace, opened: Opened, season: Season, cohorts: Sequence[Cohort], key: str, typed: str
) -> int:
    from calendar_tui.commands.changing import confirm_and_save, require_yes_or_dry_run_with_json
    from calendar_tui.planning.changes.cohort_change import change_cohorts
    from calendar_tui.planning.plan import make_plan

    if not typed:
        name = field_words("cohort", key)
        raise Refusal(f"give the new {name}, such as: {cohorts[0].id} {name} 120, or none to take it out")
    require_yes_or_dry_run_with_json(args)
    plan = make_plan(season, today_of(args, season.site.timezone))
    return confirm_and_save(args, opened, {None: change_cohorts(plan, cohorts, key, typed)})
