"""The command cut: from when to when each lot may be cut, what binds, and what another way would win."""

from __future__ import annotations

import argparse
import sys
from datetime import date
from typing import TYPE_CHECKING

from calendar_tui.commands.command_input import emit, flag_day, planned_season, print_json
from calendar_tui.commands.parsing import Flags
from calendar_tui.season.refusal import Refusal

if TYPE_CHECKING:
    from calendar_tui.planning.cutting.windows import LotCut, WhatIf
    from calendar_tui.planning.plan import Plan
    from calendar_tui.season.records import Season
    from calendar_tui.season.rules import Lot

FLAGS: Flags = {
    "--official": {"metavar": "DATE", "help": "what if the official sample were taken on this date"},
    "--hands": {"metavar": "N", "help": "what if N people cut, 8 h a day each"},
    "--tops-first": {
        "action": "store_true",
        "help": "what if the tops are cut first: the window of the rest",
    },
}
MOST_HANDS = 1000


def cut(args: argparse.Namespace) -> int:
    """Words: none, for every lot; or lots and cohorts."""
    from calendar_tui.planning.cutting.gains import gain_of
    from calendar_tui.planning.cutting.windows import AS_IT_IS, lot_cut, sight_of

    _, plan, words = planned_season(args)
    lots = tuple(dict.fromkeys(lot for name in words or ("",) for lot in lots_named(plan.season, name)))
    what_if = _what_if(args, plan)
    sight = sight_of(plan.season, plan.ripe, plan.today)
    cuts = [lot_cut(sight, lot) for lot in lots]
    gains = [None if what_if == AS_IT_IS or one.done else gain_of(sight, one, what_if) for one in cuts]
    if args.json:
        from calendar_tui.handing_on.tables.cut_rows import cut_row
        from calendar_tui.planning.cutting.made_cuts import of_cuts

        rows = [
            cut_row(plan.season, one, plan.timelines[one.lot.cohort].likely("harvest"), gain)
            | {"clashes": [clash.text for clash in of_cuts(plan.clashes, one.lot)]}
            for one, gain in zip(cuts, gains, strict=True)
        ]
        print_json(rows[0] if words and len(rows) == 1 else {"lots": rows})
    else:
        from calendar_tui.handing_on.words.cut_text import cuts_text

        if len(cuts) == 1:
            _side_by_side(cuts[0], plan.today)
        emit(cuts_text(cuts, gains, plan.today, plan.clashes))
    return 0


def _side_by_side(cut: LotCut, today: date) -> None:
    """The days of one lot on one axis."""
    from calendar_tui.handing_on.words.lot_strip import legend, strip_lines
    from calendar_tui.handing_on.words.plain_text import WIDTH

    ascii_only = "utf" not in (sys.stdout.encoding or "").lower()
    lines = [*strip_lines(cut, today, WIDTH, ascii_only)]
    if lines:
        emit((*lines, legend(ascii_only), ""))


def lots_named(season: Season, name: str = "") -> tuple[Lot, ...]:
    """The lot of this name, or the lots of the cohort; all for "". Raises Refusal."""
    from calendar_tui.season.finders import find_lot
    from calendar_tui.season.lots import lots_of, lots_of_cohort

    if not name:
        return lots_of(season)
    found = find_lot(season, name)
    if found in season.cohorts:
        return lots_of_cohort(season, found)
    return (season.lots[found],)


def _what_if(args: argparse.Namespace, plan: Plan) -> WhatIf:
    from calendar_tui.planning.cutting.windows import WhatIf

    official = None if args.official is None else flag_day(args, plan.season, args.official, "--official")
    return WhatIf(official, _hands(args.hands), args.tops_first)


def _hands(typed: str | None) -> int | None:
    if typed is None:
        return None
    if not (typed.isascii() and typed.isdigit() and 1 <= int(typed) <= MOST_HANDS):
        raise Refusal(f'--hands "{typed}" is no number of people; write one from 1 to {MOST_HANDS}')
    return int(typed)
