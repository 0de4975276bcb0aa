"""The next pass of every lot, those near their day first."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import NamedTuple

from calendar_tui.planning.clash import Clash
from calendar_tui.planning.cutting.limits import Sight
from calendar_tui.planning.cutting.made_cuts import cut_clashes
from calendar_tui.planning.cutting.windows import LotCut, lot_cut, sight_of
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.season.lots import lots_of
from calendar_tui.season.records import Season


class LotCuts(NamedTuple):
    """sight: what they are worked out from, for what is tried. cuts: near their day first, what is cut last.

    made: what speaks against cuts that are made.
    """

    sight: Sight
    cuts: tuple[LotCut, ...]
    made: tuple[Clash, ...] = ()

    def of_lot(self, lot: str) -> LotCut | None:
        """The lot of this id, or the first of this cohort; None for neither."""
        own = (one for one in self.cuts if lot in (one.lot.id, one.lot.cohort))
        return next(own, None)


def lot_cuts(season: Season, timelines: Mapping[str, Timeline], today: date) -> LotCuts:
    """Of every lot. timelines: by ripeness alone. Not for the event loop: each trend takes some 20 ms."""
    sight = sight_of(season, timelines, today)
    cuts = [lot_cut(sight, lot) for lot in lots_of(season)]
    return LotCuts(sight, tuple(sorted(cuts, key=_near)), tuple(cut_clashes(season, timelines)))


def _near(cut: LotCut) -> tuple[bool, date]:
    """By the last day to begin, or ripeness where that comes before it."""
    ends = [cut.window.latest and cut.window.latest.day, cut.ripe and cut.ripe.likely]
    return cut.done, min((day for day in ends if day), default=date.max)
