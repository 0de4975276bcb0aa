"""The chores: all by the stage they hang on, changed in a form; what a change would move is shown before a save."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import ClassVar

from textual import work
from textual.binding import BindingType

from calendar_tui.handing_on.words.chores_text import GUESSES, chore_columns, days_text_of, whom_text
from calendar_tui.handing_on.words.starter_text import reminder_for
from calendar_tui.planning.changes.chore_change import by_stage, tasks_made
from calendar_tui.planning.changes.held_season import Ident
from calendar_tui.planning.changes.record_change import set_fields
from calendar_tui.planning.plan import Plan
from calendar_tui.screens.forms.form_view import held_season
from calendar_tui.screens.forms.records_view import Chosen, RecordsView
from calendar_tui.screens.kit.actions import bindings, shown_key
from calendar_tui.screens.kit.drawing import (
    BOLD,
    CUT,
    DIM,
    HEADING,
    PLAIN,
    Bar,
    ListRow,
    first_rows,
    fitted,
    row,
    wrapped,
)
from calendar_tui.screens.kit.host import host
from calendar_tui.season.records import Chore
from calendar_tui.season.wording import stage_text

TITLE = "Chores"
FOOT = ("records", "chores", "undo", "redo", "help", "view")
DETAIL_LINES, NOTE_LINES = 3, 3


class ChoresView(RecordsView):
    """Every chore in a line. Stays open when a change is saved."""

    HELP_FIRST = "chores"
    CSS = f"""
    #detail {{ height: {DETAIL_LINES}; }}
    #note {{ height: {NOTE_LINES}; }}
    """
    BINDINGS: ClassVar[list[BindingType]] = bindings("chores")
    LISTED = ("chore",)

    def __init__(self, made: Mapping[str, int] | None = None, key: str = "") -> None:
        """made: how many tasks each makes, where they are counted already; key: the chore under the cursor at first."""
        self._made = made
        self._detail, self._note = Bar(id="detail"), Bar(id="note")
        super().__init__("chore", self._rows, FOOT, self._detail, self._note, key=key)

    def on_mount(self) -> None:
        if self._made is None:
            self.show_plan()

    def show_plan(self) -> None:
        """Draw the chores as the season has them now, and count their tasks anew."""
        super().show_plan()
        plan = host(self).plan
        if plan is not None:
            self._count(plan)

    @work(thread=True, exclusive=True, group="count")
    def _count(self, plan: Plan) -> None:
        made = tasks_made(plan)
        self.app.call_from_thread(self._take, plan, made)

    def _take(self, plan: Plan, made: Mapping[str, int]) -> None:
        """Show these counts, unless the season has changed meanwhile."""
        if plan is host(self).plan:
            self._made = made
            self._list.redraw()

    def _rows(self, width: int) -> Iterable[ListRow]:
        plan = host(self).plan
        self._note.say(*self._foot(width))
        if plan is None or not plan.season.chores:
            self._heading.say(row((TITLE, HEADING)))
            return wrapped(
                f"No chore yet: press {shown_key(self, 'records.a')} to add one of your own.", width
            )
        chores = plan.season.chores.values()
        off = sum(not c.active for c in chores)
        about = f"  {len(chores)}, {off} of them off; in order of their stages"
        self._heading.say(row((TITLE, HEADING), fitted(about, width - len(TITLE))))
        lines = chore_columns(tuple(chores), self._made or {}, width, CUT)
        rows: list[ListRow] = []
        for stage, of_stage in by_stage(plan.season):
            rows.append(row((stage_text(stage), HEADING)))
            rows += [row((lines[c.id], PLAIN if c.active else DIM), key=c.id) for c in of_stage]
        return rows

    def _chore(self) -> Chore | None:
        plan = host(self).plan
        return None if plan is None else plan.season.chores.get(self._list.key)

    def on_picker_moved(self) -> None:
        """Say in full when the chore under the cursor is done, and for whom."""
        chore, width = self._chore(), self.size.width - 1
        rows: list[ListRow] = []
        plan = host(self).plan
        if chore is not None and plan is not None:
            when = f"{days_text_of(plan.season, chore)}; {whom_text(chore)}"
            rows = [*first_rows(wrapped(chore.what, width), 1, width), *wrapped(when, width, "", "  ")]
        self._detail.say(*first_rows(rows, DETAIL_LINES, width))

    @property
    def chosen(self) -> Chosen | None:
        """The chore under the cursor."""
        return None if self._chore() is None else Chosen("chore", (self._list.key,))

    def select_record(self, kind: str, ident: Ident) -> None:
        """Put the cursor on this chore."""
        self._list.stand_on(str(ident[0]))

    def action_switch_chore(self) -> None:
        """Show what switching the chore off, or on again, would move."""
        chore, at = self._chore(), host(self)
        if chore is not None:
            ident, typed = (chore.id,), {"active": "no" if chore.active else "yes"}
            self.show_moves(lambda plan: set_fields(held_season(at, plan), "chore", ident, typed))

    def _foot(self, width: int) -> list[ListRow]:
        """What a guess is, and in front what a later starter list has for the season."""
        plan = host(self).plan
        reminder = "" if plan is None else reminder_for(plan.season)
        return [
            *(wrapped(reminder, width, style=BOLD) if reminder else ()),
            *wrapped(GUESSES, width, style=DIM),
        ]
