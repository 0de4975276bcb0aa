"""What the latest list of starter chores has for a season: told, taken over after showing what moves, or left as it is."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING

from calendar_tui.commands.command_input import emit, print_json
from calendar_tui.season.refusal import Refusal

if TYPE_CHECKING:
    from calendar_tui.planning.changes.proposal import Proposal
    from calendar_tui.planning.changes.starter_list import StarterChange
    from calendar_tui.planning.plan import Plan
    from calendar_tui.storage.opening import Opened

ALL, KEEP = "all", "keep"


def starter(args: argparse.Namespace, opened: Opened, plan: Plan, words: Sequence[str]) -> int:
    """Words: none to list the changes; the ids of chores, or "all", to take them over; "keep" to leave them."""
    from calendar_tui.commands.changing import confirm_and_save, require_yes_or_dry_run_with_json
    from calendar_tui.handing_on.tables.season_rows import starter_rows
    from calendar_tui.handing_on.words import starter_text as text

    changes = text.changes_for(plan.season)
    if not words:
        print_json(starter_rows(changes)) if args.json else emit(text.starter_text(plan.season, changes))
        return 0
    require_yes_or_dry_run_with_json(args)
    return confirm_and_save(args, opened, {None: _proposal(plan, changes, words)})


def _proposal(plan: Plan, changes: tuple[StarterChange, ...], words: Sequence[str]) -> Proposal:
    from calendar_tui.planning.changes.starter_list import keep_own, take_over
    from calendar_tui.storage.starter_lists import LATEST, starter_chores

    if list(words) == [KEEP]:
        return keep_own(plan, LATEST)
    if not changes:
        raise Refusal(f"starter list {LATEST}, the latest, has nothing that this season has not seen")
    wanted = changes if list(words) == [ALL] else _named(changes, words)
    return take_over(plan, wanted, starter_chores(LATEST), LATEST, whole=len(wanted) == len(changes))


def _named(changes: tuple[StarterChange, ...], words: Sequence[str]) -> tuple[StarterChange, ...]:
    """The changes of the chores of these ids, in any case of letters. Raises Refusal."""
    from calendar_tui.season.readers import choices

    ids = [change.id for change in changes]
    if alone := {ALL, KEEP} & set(words):
        raise Refusal(f"{alone.pop()} stands alone after --starter; leave the other words out")
    wanted = {word.casefold() for word in words}
    for word in words:
        if word.casefold() not in ids:
            raise Refusal(f'the starter list changes no chore "{word}"{choices(word, (*ids, ALL, KEEP))}')
    return tuple(change for change in changes if change.id in wanted)
