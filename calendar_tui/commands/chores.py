"""The command that tells a season's chores, and changes, adds or takes away one after showing which tasks move."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING

from calendar_tui.commands.command_input import emit, planned_season, print_json
from calendar_tui.commands.parsing import Flags
from calendar_tui.season.fields import FIELDS, MARKS
from calendar_tui.season.refusal import Refusal

if TYPE_CHECKING:
    from calendar_tui.planning.changes.proposal import Proposal
    from calendar_tui.planning.plan import Plan
    from calendar_tui.season.edits import Data

# The fields of a new chore that have a flag, and what each flag takes; the others are changed once it is there.
NEW: Mapping[str, str] = {
    "what": "TEXT",
    "stage": "STAGE",
    "offset_d": "DAYS",
    "repeat": "RULE",
    "until": "STAGE",
    "who": "ROLE",
    "hours": "HOURS",
    "per": "WHAT",
    "together": "WHAT",
    "once": "WHICH",
    "caution": "TEXT",
}


def _flag(key: str) -> str:
    return f"--{key.replace('_', '-')}"


_MEANINGS = {field.key: field.meaning for field in FIELDS["chore"]}
FLAGS: Flags = {
    "--add": {"metavar": "ID", "help": "add a chore of one's own; needs --what and --stage"},
    **{_flag(key): {"metavar": takes, "help": f"with --add: {_MEANINGS[key]}"} for key, takes in NEW.items()},
    "--remove": {"metavar": "ID", "help": "take a chore away; to switch one off: ID active false"},
    "--starter": {
        "action": "store_true",
        "help": "what the latest starter list changes; with ID ... or all: take that over; with keep: leave it",
    },
    "--mark": {"metavar": "MARK", "help": f"where new dates or hours come from: {', '.join(MARKS)}"},
}


def chores(args: argparse.Namespace) -> int:
    """Words: none for all chores; ID for one in full; ID FIELD for one field; ID FIELD VALUE to change it.

    With --starter: as `starter` has them.
    """
    opened, plan, words = planned_season(args)
    if args.starter:
        from calendar_tui.commands.starter import starter

        _refuse_mixed(args, (), _given(args))
        return starter(args, opened, plan, words)
    make = _asked_change(args, words)
    if make is None:
        _tell(args, plan, opened.data, words)
        return 0
    proposal = make(plan)
    from calendar_tui.commands.changing import confirm_and_save

    return confirm_and_save(args, opened, {None: proposal})


def _asked_change(args: argparse.Namespace, words: Sequence[str]) -> Callable[[Plan], Proposal] | None:
    """What makes the proposal that is asked for; None where nothing is to be changed. Raises Refusal."""
    from calendar_tui.commands.changing import require_yes_or_dry_run_with_json
    from calendar_tui.planning.changes import chore_change as change
    from calendar_tui.season.finders import find_chore

    given = _given(args)
    _refuse_mixed(args, words, given)
    mark = args.mark or ""
    key, typed = change.CHORE_KEYS.split(words[1:]) if len(words) > 1 else ("", ())
    if args.add is None and args.remove is None and not typed:
        return None
    require_yes_or_dry_run_with_json(args)
    if args.add is not None:
        name = args.add
        if missing := [key for key in change.NEEDED if not given.get(key)]:
            flags = " and ".join(f"{_flag(key)} {NEW[key]}, {_MEANINGS[key]}" for key in missing)
            raise Refusal(f"the new chore {name} has no {' and no '.join(missing)}; add {flags}")
        return lambda plan: change.add_chore(plan, name, given, mark)
    if args.remove is not None:
        name = args.remove
        return lambda plan: change.remove_chore(plan, find_chore(plan.season, name))
    return lambda plan: change.change_chore(
        plan,
        find_chore(plan.season, words[0]),
        key,
        " ".join(typed),
        mark,
    )


def _given(args: argparse.Namespace) -> dict[str, str]:
    """The fields of a new chore that have a flag, as they were typed."""
    return {key: value for key in NEW if (value := getattr(args, key)) is not None}


def _refuse_mixed(args: argparse.Namespace, words: Sequence[str], given: Mapping[str, str]) -> None:
    """Refuse flags and words that do not go together, before anything is read for them."""
    if (args.add is not None) + (args.remove is not None) + bool(words) + args.starter > 1:
        raise Refusal("one at a time: ID FIELD VALUE to change a chore, --add ID, --remove ID, or --starter")
    if given and args.add is None:
        key = next(iter(given))
        raise Refusal(f"{_flag(key)} goes with --add; to change a chore that is there: ID {key} VALUE")
    if args.mark is not None and args.add is None and len(words) < 3:
        raise Refusal("--mark says where new dates or hours come from; give ID FIELD VALUE, or --add")


def _tell(args: argparse.Namespace, plan: Plan, data: Data, words: Sequence[str]) -> None:
    from calendar_tui.handing_on.tables.season_rows import chore_rows, field_rows
    from calendar_tui.handing_on.words import chores_text as text
    from calendar_tui.handing_on.words.plain_text import wrapped
    from calendar_tui.handing_on.words.starter_text import reminder_for
    from calendar_tui.planning.changes.chore_change import CHORE_KEYS, fields_of, tasks_made
    from calendar_tui.season.finders import find_chore

    made = tasks_made(plan)
    if not words:
        season = plan.season
        if args.json:
            print_json(chore_rows(season.chores.values(), made))
            return
        emit(text.chores_text(season, made))
        if reminder := reminder_for(season):
            emit(wrapped(f"note: {reminder}", "  "))
        return
    chore = find_chore(plan.season, words[0])
    fields = fields_of(chore, data)
    if len(words) == 1:
        print_json(chore_rows([chore], made)) if args.json else emit(text.chore_text(chore, fields, made))
        return
    key = CHORE_KEYS.find(" ".join(words[1:]))
    field = next(f for f in fields if f.key == key)
    print_json(field_rows([field])) if args.json else emit(text.one_field_text(field))
