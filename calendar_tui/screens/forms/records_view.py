"""A list of records that are added, copied, changed and taken out where they stand; what moves is shown before a save."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import ClassVar, NamedTuple

from textual import work
from textual.binding import BindingType
from textual.widget import Widget

from calendar_tui.planning.changes.held_season import Ident
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.removal import remove_records
from calendar_tui.planning.plan import Plan
from calendar_tui.screens.asking.answers import Answer, OneChange
from calendar_tui.screens.asking.moves_view import MovesView
from calendar_tui.screens.forms.add_view import AddView
from calendar_tui.screens.forms.form_view import FormView, held_season
from calendar_tui.screens.forms.record_forms import changing
from calendar_tui.screens.kit.actions import bindings, shown_key
from calendar_tui.screens.kit.drawing import ListRow
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.list_view import ListView
from calendar_tui.season.kinds import BY_NAME, identity_keys
from calendar_tui.season.refusal import Refusal


class Chosen(NamedTuple):
    """The record under the cursor; field: its field there, "" for the record as a whole."""

    kind: str
    ident: Ident
    field: str = ""


class RecordsView(ListView[None]):
    """Stays open when a change is saved."""

    BINDINGS: ClassVar[list[BindingType]] = bindings("records", "undo", "redo")

    def __init__(
        self,
        kind: str,
        rows: Callable[[int], Iterable[ListRow]],
        foot: Sequence[str],
        *below: Widget,
        key: str = "",
    ) -> None:
        """kind: what is added where the cursor is on nothing; else as a list."""
        self._kind = kind
        super().__init__(rows, foot, *below, key=key)

    @property
    def chosen(self) -> Chosen | None:
        """What the cursor is on; None where it is on nothing."""
        raise NotImplementedError

    def action_change(self) -> None:
        """Open the form of the record under the cursor, at the field there."""
        if (at := self.chosen) is not None:
            self.app.push_screen(FormView(changing(at.kind, at.ident), at=at.field))

    def action_add(self) -> None:
        """Add a record of the kind under the cursor; of a table that stands once, set its fields."""
        at = self.chosen
        if at is not None and not identity_keys(at.kind):
            self.action_change()
        else:
            self.app.push_screen(AddView(kind=at.kind if at else self._kind))

    def action_copy_record(self) -> None:
        """Add a record like the one under the cursor."""
        at = self.chosen
        if at is not None and identity_keys(at.kind):
            self.app.push_screen(AddView(kind=at.kind, source=at.ident))

    def action_take_out(self) -> None:
        """Show what goes with the record under the cursor; or why it stays."""
        at = self.chosen
        if at is None:
            return
        if BY_NAME[at.kind].needed:
            self.notify(
                f"No season is without its {at.kind}: {shown_key(self, 'records.enter,e')} changes it."
            )
            return
        season, kind, idents = host(self), at.kind, [at.ident]
        self.show_moves(lambda plan: remove_records(held_season(season, plan), kind, idents))

    def show_moves(self, make: Callable[[Plan], Proposal]) -> None:
        """Show what a change would move, to be saved there; or why it cannot be."""
        if (plan := host(self).plan) is not None:
            self._work_out(plan, make)

    @work(thread=True, exclusive=True, group="moves")
    def _work_out(self, plan: Plan, make: Callable[[Plan], Proposal]) -> None:
        try:
            proposal = make(plan)
        except Refusal as wrong:
            self.app.call_from_thread(self._refuse, str(wrong))
            return
        act = OneChange(proposal.change.what, make)
        self.app.call_from_thread(self._ask, act, proposal)

    def _ask(self, act: OneChange, proposal: Proposal) -> None:
        self.app.push_screen(MovesView(act, (Answer("", "", proposal),)))

    def _refuse(self, why: str) -> None:
        self.notify(f"{why[:1].upper()}{why[1:]}.", severity="warning")
