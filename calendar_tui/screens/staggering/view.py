"""The drafts of the season side by side, and a new one to ask for."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from typing import ClassVar

from rich.style import Style
from textual import work
from textual.binding import BindingType

from calendar_tui.handing_on.words.first_steps import next_step
from calendar_tui.handing_on.words.stagger_text import compared
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.staggering.drafts import accepted, drop_change, laid_out
from calendar_tui.planning.staggering.scheme import Scheme
from calendar_tui.screens.kit.actions import bindings, shown_key
from calendar_tui.screens.kit.drawing import (
    BOLD,
    HEADING,
    WARNING,
    ListRow,
    row,
    wrapped,
)
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.list_view import ListView
from calendar_tui.screens.staggering.form import StaggerForm
from calendar_tui.screens.staggering.scheme_view import MessageView, SchemeView
from calendar_tui.season.cells import filled

NEW = "+"
FOOT = ("drafts", "help", "view")


def _draft_parts(scheme: Scheme | str, wish: str) -> list[str | tuple[str, Style]]:
    """A draft's wish, behind a mark where it no longer fits or is over a hard limit."""
    if isinstance(scheme, str):
        return [("! it no longer fits", WARNING)]
    return [("! over a hard limit  ", WARNING), wish] if scheme.hard_texts else [wish]


class DraftsView(ListView[None]):
    """The drafts of the season, laid out in it as it is now, and a new one to ask for."""

    HELP_FIRST = "stagger"
    BINDINGS: ClassVar[list[BindingType]] = bindings("drafts")

    def __init__(self, cohort_id: str = "") -> None:
        """cohort_id: the cohort that a new one is like, "" for none."""
        super().__init__(self._rows, FOOT)
        self._cohort_id = cohort_id
        self._heading.say(row(("Staggering", HEADING), "  cohorts planned backwards from their harvests"))
        self._schemes: dict[str, Scheme | str] | None = None

    def on_mount(self) -> None:
        self.show_plan()

    def show_plan(self) -> None:
        """Lay the drafts out anew: the season may have changed."""
        plan = host(self).plan
        if plan is None:
            return
        if plan.season.drafts:
            self._work_out(plan)
        else:
            self._take(plan, {})

    @work(thread=True, exclusive=True)
    def _work_out(self, plan: Plan) -> None:
        schemes = laid_out(plan)
        self.app.call_from_thread(self._take, plan, schemes)

    def _take(self, plan: Plan, schemes: dict[str, Scheme | str]) -> None:
        if plan is host(self).plan:
            self._schemes = schemes
            self._list.redraw()

    def _rows(self, width: int) -> Iterable[ListRow]:
        plan = host(self).plan
        if plan is not None and not (plan.season.places and plan.season.varieties):
            yield from wrapped(next_step(plan.season, partial(shown_key, self)), width)
            return
        yield row(("New: one form for all that is needed", BOLD), key=NEW)
        if plan is None or self._schemes is None:
            return
        for name, scheme in self._schemes.items():
            yield row(
                (filled(name, 12), BOLD), *_draft_parts(scheme, plan.season.drafts[name].wish), key=name
            )
        if self._schemes:
            yield row()
            yield from map(row, compared(self._schemes, width))
        else:
            yield row()
            yield from wrapped(
                "No draft is kept yet. What you keep stands in the season file, beside the plan.", width
            )

    def action_open(self) -> None:
        plan, name = host(self).plan, self._list.key
        if name == NEW:
            self.app.push_screen(StaggerForm(self._cohort_id))
        elif plan is not None and name in plan.season.drafts:
            self._lay_out(plan, name)

    @work(thread=True, exclusive=True, group="open")
    def _lay_out(self, plan: Plan, name: str) -> None:
        view: SchemeView | MessageView
        try:
            view = SchemeView(accepted(plan, plan.season.drafts[name]), name)
        except ValueError as wrong:
            view = MessageView(str(wrong))
        self.app.call_from_thread(self.app.push_screen, view)

    def action_drop(self) -> None:
        """Take the draft out; undo brings it back."""
        plan = host(self).plan
        if plan is not None and self._list.key in plan.season.drafts:
            host(self).save(drop_change(plan.season.drafts[self._list.key]))
