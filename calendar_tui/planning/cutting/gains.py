"""What another official sample, more hands, or the tops first would win: days, and the chance to be over the limit."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple

from calendar_tui.nature.canopy import TOP
from calendar_tui.planning.cutting.limits import Sight
from calendar_tui.planning.cutting.windows import LotCut, WhatIf, lot_cut
from calendar_tui.season.lots import passes_in
from calendar_tui.season.refusal import Refusal


class Gain(NamedTuple):
    """tried: what it would be; days: how much later the cutting may begin, negative for earlier, None where that is not known.

    over_before, over_after: the chance to be over the limit on the last day to begin, as it is and as tried; None: not known.
    """

    tried: LotCut
    days: int | None
    over_before: float | None
    over_after: float | None


def gain_of(sight: Sight, now: LotCut, what_if: WhatIf) -> Gain:
    """What is tried for one lot. Raises Refusal for tops that are cut already."""
    if what_if.tops_first and any(one.part == TOP for one in passes_in(sight.season, now.lot, sight.today)):
        raise Refusal(f"the tops of {now.lot.id} are cut already; leave --tops-first out")
    tried = lot_cut(sight, now.lot, what_if)
    before, after = now.latest, tried.latest
    return Gain(
        tried,
        None if before is None or after is None else (after.day - before.day).days,
        None if before is None else chance_over(now, before.day),
        None if after is None else chance_over(tried, after.day),
    )


def chance_over(cut: LotCut, day: date) -> float | None:
    """The chance that a new result is over the limit on a day, 0 to 1; None where the trend does not reach that day."""
    return None if cut.limit is None else cut.limit.over.get(day)
