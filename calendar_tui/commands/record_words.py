"""Which records the words behind a kind name: cohorts by their ids, a programme by its place and first night, a stay."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from calendar_tui.commands.chosen import light_and_rest
from calendar_tui.commands.command_input import typed_day
from calendar_tui.commands.field_words import fields_begin
from calendar_tui.season.field_names import STAY, a_kind
from calendar_tui.season.finders import find_cohort
from calendar_tui.season.kind_words import has_names
from calendar_tui.season.kinds import identity, identity_keys
from calendar_tui.season.readers import choices
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.wording import full_day_text, some_text

if TYPE_CHECKING:
    from calendar_tui.planning.changes.held_season import HeldSeason, Ident


def named_records(held: HeldSeason, kind: str, words: Sequence[str]) -> tuple[list[Ident], Sequence[str]]:
    """The records that the first words name, at least one, and the words behind them. Raises Refusal.

    A stay is named by its cohort and its number, all of a cohort by the cohort alone.
    """
    if kind == STAY:
        return _stay(held, words)
    if not identity_keys(kind):
        return [()], words
    return _by_names(held, kind, words) if has_names(kind) else _by_nights(held, kind, words)


def known_names(held: HeldSeason, kind: str) -> list[str]:
    """The ids of the records of a kind, as the season has them."""
    return [str(record["id"]) for record in held.records(kind)]


def find_name(held: HeldSeason, kind: str, typed: str) -> str:
    """The id of a record, typed in any case of letters; of a bag as its label is read. Raises Refusal with the nearest."""
    known = known_names(held, kind)
    by_folded = {_folded(kind, name): name for name in known}
    name = typed if typed in known else by_folded.get(_folded(kind, typed))
    if name is None:
        there = choices(typed, known) if known else "; there is none yet"
        raise Refusal(f'"{typed}" is not {a_kind(kind)} of this season{there}')
    return name


def _folded(kind: str, typed: str) -> str:
    """A name as others are compared with it."""
    if kind != "sample":
        return typed.casefold()
    from calendar_tui.season.sample_ids import plain_id

    return plain_id(typed)


def _by_names(held: HeldSeason, kind: str, words: Sequence[str]) -> tuple[list[Ident], Sequence[str]]:
    if not words:
        raise Refusal(f"name {a_kind(kind)}: {some_text(known_names(held, kind)) or 'there is none yet'}")
    idents: list[Ident] = [(find_name(held, kind, words[0]),)]
    known = {_folded(kind, name) for name in known_names(held, kind)}
    at = 1
    while at < len(words) and _folded(kind, words[at]) in known and fields_begin(kind, words[at:]) > 0:
        idents.append((find_name(held, kind, words[at]),))
        at += 1
    return list(dict.fromkeys(idents)), words[at:]


def _by_nights(held: HeldSeason, kind: str, words: Sequence[str]) -> tuple[list[Ident], Sequence[str]]:
    """A programme or an outage: its place, and its first night where the place has several."""
    idents = [identity(kind, record) for record in held.records(kind)]
    if not words or not idents:
        raise Refusal(f"name {a_kind(kind)} by its place and first night: {_names_of(idents)}")
    light, rest = light_and_rest(held.plan.season, words)
    count = fields_begin(kind, rest)
    there = [ident for ident in idents if ident[0] == light]
    if count:
        first = _night(held, " ".join(rest[:count]))
        there = [ident for ident in there if ident[1] == first]
    if len(there) == 1:
        return there, rest[count:]
    if there:
        raise Refusal(f"{light} has {len(there)} of them; give the first night too: {_names_of(there)}")
    raise Refusal(f"there is no {kind} {' '.join([light, *rest[:count]])}. Known: {_names_of(idents)}")


def _night(held: HeldSeason, typed: str) -> date:
    season = held.plan.season
    return typed_day(
        typed,
        today=held.plan.today,
        planned=None,
        first_day=season.first_day,
        last_day=season.last_day,
        past=False,
    )


def _names_of(idents: Sequence[tuple[Any, ...]]) -> str:
    return "; ".join(f"{place} {full_day_text(first)}" for place, first in idents) or "there is none yet"


def _stay(held: HeldSeason, words: Sequence[str]) -> tuple[list[Ident], Sequence[str]]:
    from calendar_tui.planning.changes.stay_change import find_stay

    if not words:
        raise Refusal("name the cohort whose stay it is, such as: stay A1 F1")
    cohort = find_cohort(held.plan.season, words[0])
    count = fields_begin(STAY, words[1:])
    if not count:
        return [(cohort.id, n) for n in range(1, len(cohort.stays) + 1)], words[1:]
    return [(cohort.id, find_stay(cohort, " ".join(words[1 : 1 + count])))], words[1 + count :]
