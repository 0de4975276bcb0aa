"""What goes when records are taken out, shown before it is saved."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from calendar_tui.planning.changes.held_season import HeldSeason, Ident
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.removal import remove_records
from calendar_tui.planning.plan import Plan
from calendar_tui.screens.asking.answers import Answer, OneChange
from calendar_tui.screens.asking.moves_view import MovesView
from calendar_tui.screens.forms.form_view import held_season
from calendar_tui.screens.kit.host import host


def taken_out(plan: Plan, data: Mapping[str, Any], kind: str, idents: Sequence[Ident]) -> Proposal:
    """What taking these records out would change. Raises Refusal where something stands on them."""
    return remove_records(HeldSeason(plan, dict(data)), kind, idents)


class TakeOutView(MovesView):
    """Asks whether to take records out, with all that goes with them."""

    def __init__(self, proposal: Proposal, kind: str, idents: Sequence[Ident]) -> None:
        """proposal: what it would change, by the season as it is now."""
        self._kind, self._idents = kind, tuple(idents)
        act = OneChange(proposal.change.what, self._again)
        super().__init__(act, (Answer("", "", proposal),))

    def _again(self, plan: Plan) -> Proposal:
        return remove_records(held_season(host(self), plan), self._kind, self._idents)
