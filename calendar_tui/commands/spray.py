"""The command spray: what is closed after sprays, and the sprays themselves; one recorded, or its condition for entry."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING

from calendar_tui.commands.changing import confirm_and_save, require_yes_or_dry_run_with_json
from calendar_tui.commands.command_input import date_order, emit, planned_season, print_json
from calendar_tui.commands.field_words import fields_begin, typed_fields
from calendar_tui.season.readers import choices
from calendar_tui.season.refusal import Refusal

if TYPE_CHECKING:
    from calendar_tui.planning.changes.held_season import HeldSeason
    from calendar_tui.planning.changes.proposal import Proposal
    from calendar_tui.planning.plan import Plan
    from calendar_tui.season.records import Season

KIND, MET = "spray", "met"


def spray(args: argparse.Namespace) -> int:
    """Words: none; or places, a product and fields; or a spray's id, and fields or "met" with a date and a time."""
    from calendar_tui.planning.changes.held_season import HeldSeason

    opened, plan, words = planned_season(args)
    if not words:
        _show(args, plan, tuple(plan.season.sprays))
        return 0
    held = HeldSeason(plan, opened.data, date_order(), opened.reading)
    named = next((name for name in plan.season.sprays if name.casefold() == words[0].casefold()), "")
    if named and len(words) == 1:
        _show(args, plan, (named,))
        return 0
    require_yes_or_dry_run_with_json(args)
    proposal = _changed(held, named, words[1:]) if named else _recorded(held, words)
    return confirm_and_save(args, opened, {None: proposal})


def _recorded(held: HeldSeason, words: Sequence[str]) -> Proposal:
    """A new spray: its places, its product in one word or several, and its fields."""
    from calendar_tui.planning.changes.sprays import record_sprays
    from calendar_tui.season.wording import year_day_text

    places, rest = _places_or_sprays(held.plan.season, words)
    begin = fields_begin(KIND, rest)
    if begin == 0:
        raise Refusal(
            f"name the product behind its place, such as: spray {' '.join(places)} 'insecticidal soap' end 17:15 re-entry '12 h'"
        )
    typed = {"date": year_day_text(held.plan.today), "place": "", "product": " ".join(rest[:begin])}
    typed |= typed_fields(argparse.Namespace(), KIND, rest[begin:])
    return record_sprays(held, places, typed)


def _places_or_sprays(season: Season, words: Sequence[str]) -> tuple[list[str], Sequence[str]]:
    """As `_places`; where the first word is none, the sprays are named too, as it may be one's id."""
    try:
        return _places(season, words)
    except Refusal as wrong:
        sprays = choices(words[0], season.sprays, "Sprays") if season.sprays else ""
        raise Refusal(f"{wrong}{sprays}") from wrong


def _places(season: Season, words: Sequence[str]) -> tuple[list[str], Sequence[str]]:
    """The places that the first words name, with or without commas, and the words behind them. Raises Refusal.

    A screened part is a second word behind its place.
    """
    from calendar_tui.planning.changes.sprays import places_of
    from calendar_tui.season.finders import find_light

    known = {name.casefold() for p in season.places.values() for name in (p.id, *p.lights)}
    places: list[str] = []
    while words:
        pair = " ".join(words[:2])
        count = 2 if pair.casefold() in known else 1
        typed = " ".join(words[:count]).strip(",")
        if places and not all(name.strip().casefold() in known for name in typed.split(",")):
            break
        places += places_of(season, typed) or [find_light(season, typed)]
        words = words[count:]
    return [*dict.fromkeys(places)], words


def _changed(held: HeldSeason, name: str, words: Sequence[str]) -> Proposal:
    from calendar_tui.planning.changes.record_change import set_fields

    if words[0].casefold() == MET:
        return set_fields(held, KIND, (name,), _met(held, name, words[1:]))
    return set_fields(held, KIND, (name,), typed_fields(argparse.Namespace(), KIND, words))


def _met(held: HeldSeason, name: str, words: Sequence[str]) -> dict[str, str]:
    """The fields of a condition that is met: its date, else today, and its time. Raises Refusal."""
    from calendar_tui.season.wording import year_day_text

    if not held.plan.season.sprays[name].condition:
        raise Refusal(f"{name} waits for no condition; its label gives hours or days")
    if not words:
        raise Refusal(
            f"say when it was met, such as: spray {name} {MET} '9 dec' 08:10; without a date it is today"
        )
    *day, time = words
    return {"cleared date": " ".join(day) or year_day_text(held.plan.today), "cleared": time}


def _show(args: argparse.Namespace, plan: Plan, names: Sequence[str]) -> None:
    if args.json:
        from calendar_tui.handing_on.tables.spray_rows import sprays_data

        print_json(sprays_data(plan, names))
    else:
        from calendar_tui.handing_on.words.sprays_text import sprays_text

        emit(sprays_text(plan, names))
