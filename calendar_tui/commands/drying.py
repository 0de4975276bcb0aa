"""The command batch: what dries, and a batch begun, filled, read or taken out."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING

from calendar_tui.commands.changing import confirm_and_save, require_yes_or_dry_run_with_json
from calendar_tui.commands.command_input import date_order, emit, planned_season, print_json
from calendar_tui.commands.field_words import fields_begin, typed_fields
from calendar_tui.commands.record_words import find_name
from calendar_tui.season.readers import choices
from calendar_tui.season.refusal import Refusal

if TYPE_CHECKING:
    from calendar_tui.planning.changes.held_season import HeldSeason
    from calendar_tui.planning.changes.proposal import Proposal
    from calendar_tui.planning.plan import Plan

IN, READING, OUT = "in", "reading", "out"
# Short words for fields: what stands for what.
_SHORT = {
    READING: {"air": "air temperature", "humidity": "air humidity", "kg": "weight"},
    "batch": {"dry": "dry weight", "m2": "area"},
}


def batch(args: argparse.Namespace) -> int:
    """Words: none for all batches; ID for one; ID in PASS ...; ID reading ...; ID out ..., or fields and their values."""
    from calendar_tui.planning.changes.batches import batch_id
    from calendar_tui.planning.changes.held_season import HeldSeason

    opened, plan, words = planned_season(args)
    if len(words) < 2:
        _show(args, plan, words)
        return 0
    held = HeldSeason(plan, opened.data, date_order(), opened.reading)
    require_yes_or_dry_run_with_json(args)
    name, rest = batch_id(plan.season, words[0]), words[1:]
    if rest[0].casefold() == IN:
        return confirm_and_save(args, opened, {None: _filled(args, held, name or words[0], rest[1:])})
    if name is None:
        right = choices(words[0], plan.season.batches) if plan.season.batches else ""
        raise Refusal(
            f'"{words[0]}" is no batch of this season{right}; a new one begins with: {words[0]} in PASS'
        )
    return confirm_and_save(args, opened, {None: _changed(args, held, name, rest)})


def _filled(args: argparse.Namespace, held: HeldSeason, name: str, words: Sequence[str]) -> Proposal:
    from calendar_tui.planning.changes.batches import fill_batch

    words = _long(words, "batch")
    count = fields_begin("batch", words)
    passes = [find_name(held, "pass", word) for word in words[:count]]
    if not passes:
        raise Refusal(f"name the passes that go in, such as: {name} in A1-1")
    return fill_batch(held, name, passes, typed_fields(args, "batch", words[count:]))


def _changed(args: argparse.Namespace, held: HeldSeason, name: str, words: Sequence[str]) -> Proposal:
    from calendar_tui.planning.changes.batches import read_batch, set_batch

    if words[0].casefold() == READING:
        rest = _long(words[1:], READING)
        begin = fields_begin(READING, rest)
        dated = ["date", " ".join(rest[:begin])] if begin else []
        return read_batch(held, name, typed_fields(args, READING, [*dated, *rest[begin:]]))
    rest = _long(words, "batch")
    if rest[0].casefold() == OUT and fields_begin("batch", rest[1:]) == 0:
        rest = [OUT, held.plan.today.isoformat(), *rest[1:]]
    return set_batch(held, name, typed_fields(args, "batch", rest))


def _long(words: Sequence[str], kind: str) -> list[str]:
    """The words with short names of fields written out; one that is whole stays."""
    out: list[str] = []
    for at, word in enumerate(words):
        long = _SHORT[kind].get(word.casefold())
        following = words[at + 1].casefold() if at + 1 < len(words) else ""
        whole = long is None or following in ("temperature", "humidity", "weight")
        unit = at > 0 and words[at - 1][-1:].isdigit() and word.casefold() in ("kg", "m2")
        out += [word] if whole or unit or out[-1:] == ["air"] else str(long).split()
    return out


def _show(args: argparse.Namespace, plan: Plan, words: Sequence[str]) -> None:
    from calendar_tui.planning.changes.batches import batch_id
    from calendar_tui.planning.drying.batches import dryings

    name = batch_id(plan.season, words[0]) if words else ""
    if name is None:
        raise Refusal(f'"{words[0]}" is no batch of this season{choices(words[0], plan.season.batches)}')
    shown = [one for one in dryings(plan.season) if name in ("", one.batch.id)]
    if args.json:
        from calendar_tui.handing_on.tables.drying_rows import batch_row, weighed_row
        from calendar_tui.planning.drying.weighed import weighed_of

        weighed = (weighed_of(plan.season, variety) for variety in plan.season.varieties.values())
        print_json(
            {
                "batches": [batch_row(plan.season, one) for one in shown],
                "weighed": [weighed_row(one) for one in weighed if one is not None],
            }
        )
    else:
        from calendar_tui.handing_on.words.drying_text import batches_text

        emit(batches_text(plan.season, shown, plan.today, name))
