"""The command that tells the lamp programme of a place; nothing is written."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from typing import TYPE_CHECKING

from calendar_tui.commands.asked import Refusal, emit, no_more, planned_season, print_json

if TYPE_CHECKING:
    from calendar_tui.planning.plan import Plan
    from calendar_tui.season.records import Lamps, Season


def lamps(args: argparse.Namespace) -> int:
    from calendar_tui.handing_on.lamps_text import CAUTIONS, lamp_rows, programme_text
    from calendar_tui.handing_on.plain_text import wrapped
    from calendar_tui.planning.lamp_programme import lamp_runs, nights_without_times

    _, plan, words = planned_season(args)
    places = _lit_places(plan.season, words)
    runs = {place: tuple(lamp_runs(plan.season, place, plan.light)) for place in places}
    if args.json:
        print_json(lamp_rows(run for of_place in runs.values() for run in of_place))
        return 0
    for place, own in places.items():
        untold = nights_without_times(plan.season, place, plan.light)
        emit(programme_text(place, own, runs[place], untold))
        for text in _too_short(plan, place):
            emit(wrapped(text, "    ", first="  ! "))
        print()
    for caution in CAUTIONS:
        emit(wrapped(caution, ""))
    return 0


def _too_short(plan: Plan, place: str) -> Iterator[str]:
    """What the lamps of this place leave too dark, a sentence for each cohort that asks for them."""
    from calendar_tui.planning.lamp_programme import lamps_too_short_text

    for name in dict.fromkeys(name for name, _ in plan.light.places[place].asked):
        if text := lamps_too_short_text(plan.timelines[name], plan.light, (place,)):
            yield text


def _lit_places(season: Season, words: list[str]) -> dict[str, Lamps]:
    """The places with lamps, or the one that is named; raises Refusal where it has none."""
    from calendar_tui.planning.outages import find_place
    from calendar_tui.planning.slips import SlipError

    lit = {name: place.lamps for name, place in season.places.items() if place.lamps is not None}
    if not lit:
        raise Refusal("no place of this season has lamps; add lamps = { target_h = 16.0 } to one")
    if not words:
        return lit
    no_more(words[1:])
    try:
        name = find_place(season, words[0]).id
    except SlipError as refused:
        raise Refusal(str(refused)) from refused
    if name not in lit:
        raise Refusal(f"{name} has no lamps; places with lamps: {', '.join(lit)}")
    return {name: lit[name]}
