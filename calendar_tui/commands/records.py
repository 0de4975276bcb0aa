"""The commands that add, copy, change, rename and take out whatever a season holds, by the names of its fields."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from calendar_tui.commands.changing import confirm_and_save, require_yes_or_dry_run_with_json
from calendar_tui.commands.chosen import choice_of, is_choice
from calendar_tui.commands.command_input import date_order, emit, planned_season, print_json, who
from calendar_tui.commands.field_words import fields_begin, flag_name, interval_days, typed_fields
from calendar_tui.commands.record_words import find_name, known_names, named_records
from calendar_tui.season.choosing import chosen
from calendar_tui.season.field_errors import FieldErrors
from calendar_tui.season.field_names import STAY, a_kind, near_field
from calendar_tui.season.finders import find_cohort
from calendar_tui.season.kind_words import ALL, find_kind, has_names
from calendar_tui.season.kinds import identity_keys
from calendar_tui.season.refusal import Refusal

if TYPE_CHECKING:
    from calendar_tui.planning.changes.copying import Copies
    from calendar_tui.planning.changes.held_season import HeldSeason, Ident
    from calendar_tui.planning.changes.proposal import Proposal
    from calendar_tui.planning.plan import Plan
    from calendar_tui.storage.opening import Opened

MOST_COPIES = 200
# Fields of a cohort by whose flags cohorts are chosen too, where none is named.
CHOOSING = ("place", "part", "variety")


def add(args: argparse.Namespace) -> int:
    """Words: KIND NAME FIELD VALUE ...; with --like the other fields are those of the record named there."""
    opened, held, kind, words = _opened(args)
    require_yes_or_dry_run_with_json(args)
    return confirm_and_save(args, opened, {None: _with_hints(kind, lambda: _added(args, held, kind, words))})


def set_fields(args: argparse.Namespace) -> int:
    """Words: KIND NAME FIELD VALUE ...; without a field the record is shown as it stands."""
    opened, held, kind, words = _opened(args)
    idents, rest = _chosen(args, held, kind, words) or named_records(held, kind, words)
    typed = typed_fields(args, kind, rest)
    if not typed:
        _show(args, held, kind, idents)
        return 0
    require_yes_or_dry_run_with_json(args)
    proposal = _with_hints(kind, lambda: _changed(held, kind, idents, typed, args.mark or ""))
    return confirm_and_save(args, opened, {None: proposal})


def change_records(
    args: argparse.Namespace,
    opened: Opened,
    plan: Plan,
    kind: str,
    idents: Sequence[Ident],
    field: str,
    value: str,
) -> int:
    """The same as `set` with one field, for commands that name their records in their own way. value: "" refuses."""
    from calendar_tui.planning.changes.held_season import HeldSeason

    if not value:
        names = " ".join(str(ident[0]) for ident in idents[:1])
        raise Refusal(
            f"{field} has no value; give one behind it, such as: {names} {field} VALUE, or none to take it out"
        )
    require_yes_or_dry_run_with_json(args)
    held = HeldSeason(plan, opened.data, date_order(), opened.reading, who())
    mark = getattr(args, "mark", None) or ""
    proposal = _with_hints(kind, lambda: _changed(held, kind, idents, {field: value}, mark))
    return confirm_and_save(args, opened, {None: proposal})


def rename(args: argparse.Namespace) -> int:
    """Words: KIND OLD NEW."""
    from calendar_tui.planning.changes.renaming import RENAMED_KINDS, rename_record

    opened, held, kind, words = _opened(args, RENAMED_KINDS)
    if len(words) != 2:
        raise Refusal(
            f"give the {kind}'s name as it is and the new one, such as: {kind} {_example(held, kind)}"
        )
    require_yes_or_dry_run_with_json(args)
    old, new = find_name(held, kind, words[0]), words[1]
    return confirm_and_save(args, opened, {None: rename_record(held, kind, old, new)})


def remove(args: argparse.Namespace) -> int:
    """Words: KIND NAME ..."""
    from calendar_tui.planning.changes.removal import remove_records
    from calendar_tui.planning.changes.stay_change import remove_stay

    opened, held, kind, words = _opened(args)
    idents, rest = named_records(held, kind, words)
    require_yes_or_dry_run_with_json(args)
    if kind == STAY:
        proposal = remove_stay(held, *_one_stay(idents))
    elif rest:
        if has_names(kind):
            find_name(held, kind, rest[0])  # says which there are
        raise Refusal(f"{' '.join(rest)} is more than the name of {a_kind(kind)}; give names alone")
    else:
        proposal = remove_records(held, kind, idents)
    return confirm_and_save(args, opened, {None: proposal})


def _opened(
    args: argparse.Namespace, kinds: tuple[str, ...] = ALL
) -> tuple[Opened, HeldSeason, str, Sequence[str]]:
    """The season, the kind that the first word names, and the words behind it."""
    from calendar_tui.planning.changes.held_season import HeldSeason

    opened, plan, words = planned_season(args)
    if not words:
        raise Refusal(f"name what it is: {', '.join(kinds)}")
    held = HeldSeason(plan, opened.data, date_order(), opened.reading, who())
    return opened, held, find_kind(words[0], kinds), words[1:]


def _chosen(
    args: argparse.Namespace, held: HeldSeason, kind: str, words: Sequence[str]
) -> tuple[list[Ident], Sequence[str]] | None:
    """The cohorts of a place, part, variety or planting date, where flags choose them and none is named.

    A flag such as --place is else the field of this name. Raises Refusal.
    """
    if kind != "cohort" or fields_begin(kind, words):
        if args.planted is not None:
            raise Refusal("--planted chooses cohorts that are not named; leave it out, or the names")
        return None
    for name in CHOOSING:
        setattr(args, name, getattr(args, flag_name(name)))
    if not is_choice(args):
        return None
    for name in CHOOSING:
        setattr(args, flag_name(name), None)
    choice = choice_of(args, held.plan.season)
    assert choice is not None
    return [(cohort.id,) for cohort in chosen(held.plan.season, choice)], words


def _with_hints(kind: str, make: Callable[[], Proposal]) -> Proposal:
    """What is made; where a wrong value holds a word that is nearly a field's name, that is told."""
    try:
        return make()
    except FieldErrors as wrong:
        hints = ((e, near_field(kind, e.typed.split()[1:])) for e in wrong.errors)
        raise FieldErrors([e._replace(right=f"{e.right}{hint}") for e, hint in hints]) from wrong


def _added(args: argparse.Namespace, held: HeldSeason, kind: str, words: Sequence[str]) -> Proposal:
    from calendar_tui.planning.changes.record_change import add_record, copy_record
    from calendar_tui.planning.changes.stay_change import add_stay

    if args.like is None and (args.later or args.times or args.every):
        raise Refusal("--later, --times and --every go with --like, which names what is copied")
    if kind == STAY:
        if not words:
            raise Refusal("name the cohort whose stay it is, such as: stay A1 place F1 from '26 dec'")
        cohort = find_cohort(held.plan.season, words[0])
        return add_stay(held, cohort.id, typed_fields(args, kind, words[1:]))
    name, rest = _new_name(kind, words)
    typed, mark = typed_fields(args, kind, rest), args.mark or ""
    if name and not has_names(kind):
        typed, name = {"place": name, **typed}, ""
    if args.like is not None:
        (like, *_), behind = named_records(held, kind, args.like.split())
        if behind:
            raise Refusal(f"--like names one {kind}, and {' '.join(behind)} is more")
        return copy_record(held, kind, like, typed, _copies(args, name), mark)
    if has_names(kind) and not name:
        raise Refusal(f"give the new {kind} a name, such as: {kind} {_next_name(held, kind)}")
    return add_record(held, kind, name, typed, mark)


def _new_name(kind: str, words: Sequence[str]) -> tuple[str, Sequence[str]]:
    """The name of a new record, or the place of one that is told apart by place and night, "" for none; the words behind."""
    count = fields_begin(kind, words)
    if not count or not identity_keys(kind):
        return "", words
    count = 1 if has_names(kind) else count
    return " ".join(words[:count]), words[count:]


def _next_name(held: HeldSeason, kind: str) -> str:
    from calendar_tui.season.new_name import names_behind

    known = known_names(held, kind)
    return names_behind(kind, known[-1] if known else f"{kind[0].upper()}0", known, maker=held.maker)[0]


def _example(held: HeldSeason, kind: str) -> str:
    known = known_names(held, kind)
    return f"{known[-1]} {_next_name(held, kind)}" if known else "OLD NEW"


def _copies(args: argparse.Namespace, name: str) -> Copies:
    from calendar_tui.planning.changes.copying import Copies

    times = args.times or "1"
    if not (times.isascii() and times.isdigit() and 1 <= int(times) <= MOST_COPIES):
        raise Refusal(f'--times "{times}" is no number of copies; write one from 1 to {MOST_COPIES}')
    later, every = (None if days is None else interval_days(days, flag) for days, flag in _intervals(args))
    return Copies(every if later is None else later, int(times), every, name)


def _intervals(args: argparse.Namespace) -> tuple[tuple[str | None, str], ...]:
    return (args.later, "--later"), (args.every, "--every")


def _changed(
    held: HeldSeason, kind: str, idents: Sequence[Ident], typed: dict[str, str], mark: str
) -> Proposal:
    from calendar_tui.planning.changes.record_change import set_fields_of_several
    from calendar_tui.planning.changes.stay_change import set_stay

    if kind == STAY:
        name, number = _one_stay(idents)
        return set_stay(held, name, number, typed)
    return set_fields_of_several(held, kind, idents, typed, mark)


def _one_stay(idents: Sequence[Ident]) -> tuple[str, int]:
    if len(idents) > 1:
        raise Refusal(f"{idents[0][0]} has {len(idents)} stays; name one by its place or number")
    name, number = idents[0]
    return str(name), int(number)


def _show(args: argparse.Namespace, held: HeldSeason, kind: str, idents: Sequence[Ident]) -> None:
    from calendar_tui.handing_on.tables.record_rows import record_rows
    from calendar_tui.handing_on.words.records_text import records_text

    if args.json:
        print_json(record_rows(held, kind, idents))
    else:
        emit(records_text(held, kind, idents))
