"""The command that tells what planting on each date of a year comes to; nothing is written."""

from __future__ import annotations

import argparse
import shutil
import sys
from datetime import date, timedelta
from typing import TYPE_CHECKING

from calendar_tui.commands.command_input import (
    emit,
    flag_day,
    load_as_of,
    picked_season,
    print_csv,
    print_json,
    refuse_extra_words,
    refuse_two_forms,
    tell,
    today_of,
    typed_day,
)
from calendar_tui.commands.parsing import Flags
from calendar_tui.season.refusal import Refusal

if TYPE_CHECKING:
    from calendar_tui.planning.response.outcomes import Curve, Planting
    from calendar_tui.season.records import Season

FLAGS: Flags = {
    "--start": {
        "choices": ("seed", "cutting"),
        "default": "seed",
        "help": "from seed (the default) or cuttings",
    },
    "--nursery": {
        "metavar": "PLACE",
        "help": "raised here first, or none for in place; else as most of the variety's cohorts",
    },
    "--nursery-days": {"metavar": "DAYS", "help": "days in the nursery, else the variety's own"},
    "--lamps-off": {
        "metavar": "DATE|+28d|+4w",
        "help": "lamps up to this date, or so long after planting; else natural days",
    },
    "--harvest": {
        "metavar": "DATE",
        "help": "which planting is harvested on this date, in place of all dates",
    },
    "--from": {"dest": "from_", "metavar": "DATE", "help": "first date, else the season's first day"},
    "--to": {"metavar": "DATE", "help": "last date, else a year of dates"},
    "--csv": {"action": "store_true", "help": "print a CSV table"},
}
MOST_DATES = 1098
# For --nursery: sown or stuck in place.
IN_PLACE = "none"


def response(args: argparse.Namespace) -> int:
    from calendar_tui.planning.response import outcomes as engine
    from calendar_tui.storage.opening import need_season

    refuse_two_forms(args, "csv", "json")
    path, words = picked_season(args)
    _, season = need_season(path, load_as_of(args, path))
    planting = _planting(args, season, words)
    wanted = None if args.harvest is None else _wanted(args, season)
    curve = engine.response(season, planting, *_span(args, season))
    if wanted is not None:
        return _print_wished(args, season, curve, wanted)
    if args.json or args.csv:
        tell(f"temperatures: {note}" for note in curve.notes)
    if args.json:
        from calendar_tui.handing_on.tables.response_rows import response_rows

        print_json(response_rows(curve.outcomes))
    elif args.csv:
        from calendar_tui.handing_on.tables.response_rows import COLUMNS, response_rows

        print_csv(COLUMNS, response_rows(curve.outcomes))
    else:
        _print(args, season, curve)
    return 0


def _print_wished(args: argparse.Namespace, season: Season, curve: Curve, wanted: date) -> int:
    """Print which planting is harvested on the date that is wished for."""
    from calendar_tui.handing_on.words.plain_text import wrapped
    from calendar_tui.handing_on.words.wished_text import wished_sentences
    from calendar_tui.planning.response.outcomes import planting_text
    from calendar_tui.planning.response.wished import wished
    from calendar_tui.planning.staggering.wish import GROWN_D

    today = today_of(args, season.site.timezone)
    wish = wished(curve.outcomes, wanted, today, GROWN_D, season.crew)
    if args.json:
        from calendar_tui.handing_on.tables.response_rows import wished_data

        tell(f"temperatures: {note}" for note in curve.notes)
        print_json(wished_data(wish))
        return 0
    text = planting_text(curve.planting, season.varieties[curve.planting.variety])
    emit(wrapped(f"{text}, at {season.name}", "  "))
    for sentence in (*wished_sentences(wish), *(f"temperatures: {note}" for note in curve.notes)):
        emit(wrapped(sentence, ""))
    return 0


def _wanted(args: argparse.Namespace, season: Season) -> date:
    if args.csv:
        raise Refusal("--csv does not apply: with --harvest there is one planting; leave out one of the two")
    return typed_day(
        args.harvest,
        today=today_of(args, season.site.timezone),
        planned=None,
        first_day=season.first_day,
        last_day=season.last_day,
        past=False,
        flag="--harvest ",
    )


def _print(args: argparse.Namespace, season: Season, curve: Curve) -> None:
    from calendar_tui.handing_on.words.plain_text import wrapped
    from calendar_tui.handing_on.words.response_text import response_text
    from calendar_tui.planning.response.outcomes import planting_text
    from calendar_tui.screens.response.plot import plot_lines

    text = planting_text(curve.planting, season.varieties[curve.planting.variety])
    emit(wrapped(f"{text}, at {season.name}", "  "))
    ascii_only = args.ascii or "utf" not in (sys.stdout.encoding or "").lower()
    emit(plot_lines(curve, shutil.get_terminal_size((80, 24)).columns, ascii_only))
    emit(response_text(curve))


def _planting(args: argparse.Namespace, season: Season, words: list[str]) -> Planting:
    from calendar_tui.commands.chosen import light_and_rest
    from calendar_tui.planning.response.outcomes import Planting, check_planting, placed, usual_nursery
    from calendar_tui.season.finders import find_place, find_variety

    if len(words) < 2:
        raise Refusal(
            f"give a VARIETY and a PLACE. Varieties: {', '.join(season.varieties)}; "
            f"places: {', '.join(season.places)}"
        )
    variety = find_variety(season, words[0])
    light, rest = light_and_rest(season, words[1:])
    place, part = placed(season, light)
    if args.nursery is None:
        nursery = usual_nursery(season, variety.id, args.start, place)
    else:
        nursery = None if args.nursery.casefold() == IN_PLACE else find_place(season, args.nursery).id
    planting = Planting(
        variety=variety.id,
        place=place,
        part=part,
        start=args.start,
        nursery=nursery,
        nursery_d=None if args.nursery_days is None else _whole_days(args.nursery_days),
        lights_off=None if args.lamps_off is None else _lamps_off(args, season),
    )
    check_planting(season, planting)
    refuse_extra_words(rest)
    return planting


def _lamps_off(args: argparse.Namespace, season: Season) -> date | int | None:
    from calendar_tui.season.plantings import lights_off
    from calendar_tui.season.readers import Unreadable

    try:
        return lights_off(args.lamps_off)
    except Unreadable as wrong:
        if args.lamps_off.strip().startswith(("+", "-")):
            raise Refusal(f"--lamps-off {wrong}") from wrong
        try:
            return flag_day(args, season, args.lamps_off, "--lamps-off")
        except Refusal:
            raise Refusal(f"--lamps-off {wrong}") from wrong


def _whole_days(word: str) -> int:
    if not (word.isascii() and word.isdigit() and len(word) < 5):
        raise Refusal(f'--nursery-days "{word}" is no number of days; write it as 25')
    return int(word)


def _span(args: argparse.Namespace, season: Season) -> tuple[date, date]:
    """From --from to --to; without them the year from the season's first day on."""
    first = flag_day(args, season, args.from_, "--from") if args.from_ else season.first_day
    last = flag_day(args, season, args.to, "--to") if args.to else first + timedelta(days=365)
    if last < first:
        raise Refusal(f"--to {last} is before --from {first}; give them in order")
    if (last - first).days >= MOST_DATES:
        raise Refusal(f"{first} to {last} is {(last - first).days + 1} dates; ask for at most {MOST_DATES}")
    return first, last
