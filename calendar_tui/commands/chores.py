"""The command that tells a season's chores, and changes, adds or takes away one after showing which tasks move."""

from __future__ import annotations

import argparse
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from calendar_tui.commands.command_input import emit, planned_season, print_json
from calendar_tui.commands.field_words import one_field
from calendar_tui.commands.parsing import Flags
from calendar_tui.season.fields import FIELDS, MARKS
from calendar_tui.season.finders import find_chore
from calendar_tui.season.refusal import Refusal

if TYPE_CHECKING:
    from calendar_tui.planning.plan import Plan
    from calendar_tui.season.edits import Data
    from calendar_tui.storage.opening import Opened

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
    "--remove": {"metavar": "CHORE", "help": "take a chore away; to switch one off: ID active no"},
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
    _refuse_mixed(args, words, _given(args))
    if args.add is not None or args.remove is not None:
        return _add_or_remove(args, opened, plan)
    field, value = one_field("chore", words[1:]) if len(words) > 1 else (None, "")
    if field is None or not value:
        _tell(args, plan, opened.data, words[:1], "" if field is None else field.key)
        return 0
    from calendar_tui.commands.records import change_records

    chore = find_chore(plan.season, words[0])
    return change_records(args, opened, plan, "chore", [(chore.id,)], field.words, value)


def _add_or_remove(args: argparse.Namespace, opened: Opened, plan: Plan) -> int:
    from calendar_tui.commands.changing import confirm_and_save, require_yes_or_dry_run_with_json
    from calendar_tui.planning.changes.held_season import HeldSeason
    from calendar_tui.planning.changes.record_change import add_record
    from calendar_tui.planning.changes.removal import remove_records

    require_yes_or_dry_run_with_json(args)
    held = HeldSeason(plan, opened.data, reading=opened.reading)
    if args.remove is not None:
        proposal = remove_records(held, "chore", [(find_chore(plan.season, args.remove).id,)])
    else:
        proposal = add_record(held, "chore", args.add, _needed(args), args.mark or "")
    return confirm_and_save(args, opened, {None: proposal})


def _needed(args: argparse.Namespace) -> dict[str, str]:
    """The fields of a new chore, where none that it needs is missing. Raises Refusal with the flags."""
    from calendar_tui.planning.changes.chore_change import NEEDED

    given = _given(args)
    if missing := [key for key in NEEDED if not given.get(key)]:
        flags = " and ".join(f"{_flag(key)} {NEW[key]}, {_MEANINGS[key]}" for key in missing)
        raise Refusal(f"the new chore {args.add} has no {' and no '.join(missing)}; add {flags}")
    return given


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


def _tell(args: argparse.Namespace, plan: Plan, data: Data, words: Sequence[str], key: str) -> None:
    """All chores, one, or one field of it. words: its id; key: of the field."""
    from calendar_tui.handing_on.tables.season_rows import chore_rows, field_rows
    from calendar_tui.handing_on.words import chores_text as text
    from calendar_tui.handing_on.words.plain_text import wrapped
    from calendar_tui.handing_on.words.starter_text import reminder_for
    from calendar_tui.planning.changes.chore_change import fields_of, tasks_made

    made = tasks_made(plan)
    if not words:
        season = plan.season
        if args.json:
            print_json(chore_rows(season, season.chores.values(), made))
            return
        emit(text.chores_text(season, made))
        if reminder := reminder_for(season):
            emit(wrapped(f"note: {reminder}", "  "))
        return
    chore = find_chore(plan.season, words[0])
    fields = fields_of(chore, data)
    if not key:
        if args.json:
            print_json(chore_rows(plan.season, [chore], made))
        else:
            emit(text.chore_text(plan.season, chore, fields, made))
        return
    field = next(f for f in fields if f.key == key)
    print_json(field_rows([field])) if args.json else emit(text.one_field_text(field))
