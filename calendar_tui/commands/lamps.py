"""The command that tells the lamp programme of a place; nothing is written."""

from __future__ import annotations

import argparse
from datetime import date
from typing import TYPE_CHECKING

from calendar_tui.commands.command_input import (
    emit,
    first_weekday,
    planned_season,
    print_csv,
    print_json,
    refuse_two_forms,
)
from calendar_tui.season.refusal import Refusal

if TYPE_CHECKING:
    from calendar_tui.planning.plan import Plan
    from calendar_tui.season.records import Season


def lamps(args: argparse.Namespace) -> int:
    from calendar_tui.commands.telling import asked_days
    from calendar_tui.handing_on.tables.lamp_rows import lamp_rows
    from calendar_tui.handing_on.words.lamp_nights_text import nights_text
    from calendar_tui.handing_on.words.lamps_text import CAUTIONS, sheet_text
    from calendar_tui.handing_on.words.plain_text import wrapped
    from calendar_tui.planning.lamps.runs import lamp_runs, lamp_sheet

    refuse_two_forms(args, "csv", "json")
    if args.csv and not args.nights:
        raise Refusal("--csv is for --nights: add it, or leave --csv out")
    if (args.from_ or args.to) and not args.nights:
        raise Refusal("--from and --to are for --nights: add it, or leave them out")
    _, plan, words = planned_season(args)
    names = lit_places(plan.season, words)
    asked = asked_days(args, plan.season)
    if args.nights and (args.csv or args.json):
        _print_nights(plan, names, asked, as_json=args.json)
        return 0
    if args.json:
        print_json(lamp_rows(run for name in names for run in lamp_runs(plan.season, name, plan.light)))
        return 0
    weekday = first_weekday()
    for name in names:
        sheet = lamp_sheet(plan.season, name, plan.light, plan.timelines, weekday)
        emit(nights_text(sheet, asked) if args.nights else sheet_text(sheet))
        emit([""])
    for caution in CAUTIONS:
        emit(wrapped(caution, ""))
    return 0


def _print_nights(plan: Plan, names: tuple[str, ...], asked: tuple[date, date], *, as_json: bool) -> None:
    from calendar_tui.handing_on.tables.lamp_nights import NIGHT_COLUMNS, night_rows

    rows = [row for row in night_rows(plan, names) if asked[0] <= row["night"] <= asked[1]]
    if as_json:
        print_json(rows)
    else:
        print_csv(NIGHT_COLUMNS, rows)


def lit_places(season: Season, words: list[str]) -> tuple[str, ...]:
    """The lights with lamps or covers: all, those of the place that is named, or the part; Refusal where there are none."""
    from calendar_tui.planning.lamps.runs import lights_with_lamps
    from calendar_tui.season.finders import find_place

    lit = lights_with_lamps(season)
    if not lit:
        raise Refusal('no place of this season has lamps; set the "lit day" of one, such as 16 (h a day)')
    if not words:
        return lit
    part = next((name for name in lit if name.casefold() == " ".join(words).casefold()), None)
    if part is not None:
        return (part,)
    place = find_place(season, words[0])
    if len(words) > 1:
        parts = f"; {place.id} has the parts {', '.join(place.screened)}" if place.screened else ""
        raise Refusal(f"not understood: {' '.join(words[1:])}{parts}")
    if not set(place.lights) <= set(lit):
        raise Refusal(f"{place.id} has no lamps; places with lamps: {', '.join(lit)}")
    return place.lights
