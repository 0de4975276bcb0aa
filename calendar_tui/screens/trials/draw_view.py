"""A trial drawn, before it is saved: what else it brings, what it takes and can find, and the map of its plots."""

from __future__ import annotations

from collections.abc import Iterable

from calendar_tui.handing_on.words.trial_map import map_lines
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.screens.asking.answers import Answer, OneChange
from calendar_tui.screens.asking.moves_view import MovesView
from calendar_tui.screens.kit.drawing import ListRow, row


class DrawView(MovesView):
    """Gives True once the draw is handed on to be saved."""

    def __init__(self, trial: str, act: OneChange, proposal: Proposal) -> None:
        super().__init__(act, (Answer("", "", proposal),))
        self._trial = trial

    def rows(self, width: int) -> Iterable[ListRow]:
        yield from super().rows(width)
        proposal = self.chosen.proposal
        if proposal is None:
            return
        yield row()
        after = proposal.plan.season
        yield from map(row, map_lines(after, after.trials[self._trial], width))
