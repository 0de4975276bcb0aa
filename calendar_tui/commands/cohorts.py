"""The command that lists cohorts; with a field and a value behind them it changes these, as `set cohort` does."""

from __future__ import annotations

import argparse
from collections.abc import Sequence

from calendar_tui.commands.chosen import cohorts_and_rest, is_choice
from calendar_tui.commands.command_input import emit, load_as_of, picked_season, print_json, today_of
from calendar_tui.season.field_names import fields_of
from calendar_tui.season.records import Cohort


def cohort(args: argparse.Namespace) -> int:
    """Words: none for all cohorts; COHORT ... for some; COHORT ... FIELD VALUE to change them."""
    from calendar_tui.commands.field_words import one_field
    from calendar_tui.commands.records import change_records
    from calendar_tui.planning.plan import make_plan
    from calendar_tui.storage.opening import need_season

    path, words = picked_season(args)
    opened, season = need_season(path, load_as_of(args, path))
    if not words and not is_choice(args):
        return _list(args, tuple(season.cohorts.values()))
    first_words = {field.words.split()[0] for field in fields_of("cohort")}
    cohorts, rest = cohorts_and_rest(args, season, words, (*first_words, "spacing_m"))
    if not rest:
        return _list(args, cohorts)
    field, value = one_field("cohort", rest)
    plan = make_plan(season, today_of(args, season.site.timezone))
    return change_records(args, opened, plan, "cohort", [(c.id,) for c in cohorts], field.words, value)


def _list(args: argparse.Namespace, cohorts: Sequence[Cohort]) -> int:
    from calendar_tui.handing_on.tables.season_rows import cohort_rows
    from calendar_tui.handing_on.words.cohorts_text import cohorts_lines

    if args.json:
        print_json(cohort_rows(cohorts))
    else:
        emit(cohorts_lines(cohorts))
    return 0
