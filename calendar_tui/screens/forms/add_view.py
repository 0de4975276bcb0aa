"""Something is added: a cohort like the selected one first; from there any other kind of record."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import ClassVar

from textual.binding import BindingType

from calendar_tui.planning.changes.held_season import Ident
from calendar_tui.screens.forms.blank import Blank
from calendar_tui.screens.forms.copy_form import copying
from calendar_tui.screens.forms.form_view import FormView
from calendar_tui.screens.forms.record_forms import adding, like
from calendar_tui.screens.forms.result_form import KIND as RESULT
from calendar_tui.screens.forms.result_form import recording_result
from calendar_tui.screens.forms.spray_form import KIND as SPRAY
from calendar_tui.screens.forms.spray_form import spraying
from calendar_tui.screens.forms.stay_form import adding_stay
from calendar_tui.screens.kit.actions import bindings
from calendar_tui.screens.kit.drawing import BOLD, HEADING, ListRow, fitted, row
from calendar_tui.screens.kit.list_view import ListView
from calendar_tui.season.field_names import STAY

# What can be added, and what it is.
ADDED: Mapping[str, str] = {
    "cohort": "plants of one variety started together",
    "place": "a field block, house, greenhouse or nursery, with its lamps",
    "variety": "a seed lot or clone line, with a type to start from",
    "programme": "what the lamps or covers of a place do in one period",
    "stay": "where the plants of a cohort stand from a date or a stage on",
    "chore": "work that comes with a stage of every cohort, once or again and again",
    "outage": "nights on which the lamps of a place failed",
    "spray": "a product applied to a place, which closes it until an hour",
    "trial": "factors and levels, a design and its blocks, to be drawn into plots",
    "result": "what a laboratory found in a bag",
    "laboratory": "who finds the figures: the days on which it takes bags in, price",
    "sampling": "a plan of bags: which cohorts and positions, how often, to which laboratory",
    "lot": "one contiguous area of a cohort, which the authority judges by itself",
    "profile": "the rules of an authority: its limit and windows, with their date and source",
}
ADD_FOOT = ("form", "add form", "form fields", "view")
KINDS_FOOT = ("kinds", "view")


class AddView(FormView):
    """A form for a new record."""

    HELP_FIRST = "form"
    BINDINGS: ClassVar[list[BindingType]] = bindings("add form")

    def __init__(
        self,
        cohort: str = "",
        kind: str = "",
        source: Ident = (),
        place: str = "",
        bag: str = "",
        others: Sequence[str] = (),
    ) -> None:
        """cohort: the one that the new one is like; "" for a form with nothing in it. kind: another than a cohort;
        source: the record of that kind that the new one is like; place: where a spray is, "" for where the cohort stands;
        bag: which a result is of, "" for one that is typed; others: cohorts marked besides, whose places are sprayed too.
        """
        self._like, self._place, self._bag, self._others = cohort, place, bag, others
        super().__init__(
            like(kind, source) if source else self._blank_for(kind or "cohort", not kind), ADD_FOOT
        )

    def _blank_for(self, kind: str, as_cohort: bool) -> Blank:
        if kind == STAY:
            return adding_stay(self._like)
        if kind == SPRAY:
            return spraying((self._like, *self._others), self._place)
        if kind == RESULT:
            return recording_result(self._bag)
        return copying(self._like) if as_cohort and self._like else adding(kind)

    def action_other_kind(self) -> None:
        """Choose what else to add."""
        self.app.push_screen(KindsView(self._like), self._ask_anew)

    def _ask_anew(self, chosen: str | None) -> None:
        if chosen is not None:
            self.ask_for(self._blank_for(chosen or "cohort", not chosen))


class KindsView(ListView[str]):
    """What can be added. Gives the kind; "" for a cohort like the selected one."""

    HELP_FIRST = "form"
    BINDINGS: ClassVar[list[BindingType]] = bindings("kinds")

    def __init__(self, like: str) -> None:
        self._like = like
        super().__init__(self._rows, KINDS_FOOT)
        self._heading.say(row(("Add", HEADING), "  nothing is saved yet"))

    def _rows(self, width: int) -> Iterable[ListRow]:
        if self._like:
            yield row((fitted("like", 12), BOLD), f"a cohort like {self._like}, or several", key="like")
        for kind, about in ADDED.items():
            yield row((fitted(kind, 12), BOLD), about, key=kind)

    def action_choose(self) -> None:
        self.dismiss("" if self._list.key == "like" else self._list.key)
