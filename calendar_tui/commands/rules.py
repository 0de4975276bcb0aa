"""The command rules: which rules hold for which lot, and taking one in that comes with the program."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from typing import TYPE_CHECKING

from calendar_tui.commands.changing import require_yes_or_dry_run_with_json, show_and_save
from calendar_tui.commands.command_input import (
    date_order,
    emit,
    planned_season,
    print_json,
    refuse_extra_words,
)
from calendar_tui.season.readers import choices
from calendar_tui.season.refusal import Refusal

if TYPE_CHECKING:
    from calendar_tui.season.rules import Profile


def rules(args: argparse.Namespace) -> int:
    """Words: none, to see all; or a profile: the season's own is shown, one of the program is taken in."""
    opened, plan, words = planned_season(args)
    shipped, season = _shipped(), plan.season
    if not words:
        from calendar_tui.handing_on.tables.rules_rows import rules_data
        from calendar_tui.handing_on.words.rules_text import rules_text

        if args.json:
            print_json(rules_data(season, plan.today, shipped))
        else:
            emit(rules_text(season, plan.today, shipped))
        return 0
    refuse_extra_words(words[1:])
    own = {name.casefold(): profile for name, profile in season.profiles.items()}
    typed = words[0].casefold()
    if typed in own:
        _show(args, own[typed])
        return 0
    if typed not in shipped:
        raise Refusal(
            f'"{words[0]}" is neither a profile of this season nor one that comes with the program'
            f"{choices(typed, {**season.profiles, **shipped})}"
        )
    from calendar_tui.planning.changes.held_season import HeldSeason
    from calendar_tui.planning.changes.profiles import take_in
    from calendar_tui.storage.starter_lists import starter_profiles

    require_yes_or_dry_run_with_json(args)
    held = HeldSeason(plan, opened.data, date_order(), opened.reading)
    if not args.json:
        from calendar_tui.handing_on.words.rules_text import profile_lines

        emit(profile_lines(shipped[typed]))
    show_and_save(args, opened, {None: take_in(held, starter_profiles()[typed], shipped[typed])})
    return 0


def _show(args: argparse.Namespace, profile: Profile) -> None:
    from calendar_tui.handing_on.tables.rules_rows import profile_row
    from calendar_tui.handing_on.words.rules_text import profile_lines

    if args.json:
        print_json(profile_row(profile))
    else:
        emit(profile_lines(profile))


def _shipped() -> Mapping[str, Profile]:
    from calendar_tui.season.reading import read_starter
    from calendar_tui.storage.starter_lists import starter_profiles

    profiles: Mapping[str, Profile] = read_starter("profile", [*starter_profiles().values()])
    return profiles
