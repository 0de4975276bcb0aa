"""The chores: all by the stage they hang on, and one with its fields; what a change would move is shown before a save."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import ClassVar

from textual import work
from textual.binding import BindingType
from textual.widgets import Input

from calendar_tui.handing_on.words.chores_text import (
    GUESSES,
    chore_columns,
    field_lines,
    field_text,
    made_text,
    when_text,
    whom_text,
)
from calendar_tui.handing_on.words.starter_text import reminder_for
from calendar_tui.planning.changes.chore_change import (
    DATE_KEYS,
    HOURS_KEYS,
    ChoreField,
    add_chore,
    by_stage,
    change_chore,
    fields_of,
    remove_chore,
    right_value,
    switch_chore,
    tasks_made,
    typed_chore,
    typed_text,
)
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.plan import Plan
from calendar_tui.screens.asking.answers import OneChange
from calendar_tui.screens.asking.form import Form
from calendar_tui.screens.asking.value_form import ValueForm, Values
from calendar_tui.screens.kit.actions import bindings, shown_key
from calendar_tui.screens.kit.drawing import (
    BOLD,
    CUT,
    DIM,
    HEADING,
    PLAIN,
    Bar,
    ListRow,
    fitted,
    row,
    wrapped,
)
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.typed import TypedLine
from calendar_tui.season.fields import MARKS
from calendar_tui.season.finders import find_chore
from calendar_tui.season.marks import GUESS_MARK
from calendar_tui.season.records import Chore
from calendar_tui.season.wording import stage_text

TITLE = "Chores"
FOOT = ("chores", "undo", "redo", "help", "view")
ADD_FOOT = ("typed chore", "view")
FIELDS_FOOT = ("value", "fields", "undo", "redo", "help", "view")
ADD_FORM = "Its id, the stage it hangs on, days from there, and the work, such as: mulch transplant +10 Mulch the rows"
MARK_FORMS = f"Mark: {', '.join(m for m in MARKS if m != GUESS_MARK)}; left empty: a guess."
NO_MARK = "Left empty: none. A mark is for dates and hours only."
DETAIL_LINES = 3


class ChoresView(Form):
    """Every chore in a line. Stays open when a change is saved."""

    HELP_FIRST = "chores"
    CSS = f"""
    {Form.CSS}
    #detail {{ height: {DETAIL_LINES}; }}
    """
    BINDINGS: ClassVar[list[BindingType]] = bindings("chores", "undo", "redo")

    def __init__(self, made: Mapping[str, int] | None = None, key: str = "") -> None:
        """made: how many tasks each makes, where they are counted already; key: the chore under the cursor at first."""
        self._made = made
        self._detail, self._input = Bar(id="detail"), Input(id="new")
        self._line = TypedLine({"new chore": self._input})
        super().__init__(self._rows, (self._detail, self._line), FOOT, key)

    def on_mount(self) -> None:
        self._close()
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
        """Show these counts, here and over the fields of one, unless the season has changed meanwhile."""
        if plan is not host(self).plan:
            return
        self._made = made
        self._list.redraw()
        for screen in self.app.screen_stack:
            if isinstance(screen, ChoreView):
                screen.show_made(made)

    def _rows(self, width: int) -> Iterable[ListRow]:
        plan = host(self).plan
        if plan is None or not plan.season.chores:
            return wrapped(
                f"No chore yet: press {shown_key(self, 'chores.a')} to add one of your own.", width
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
        if chore is not None:
            when = f"{when_text(chore)}; {whom_text(chore)}"
            rows = [*wrapped(chore.what, width)[:1], *wrapped(when, width, "", "  ")]
        self._detail.say(*rows[:DETAIL_LINES])

    async def action_open_chore(self) -> None:
        """Open the fields of the chore under the cursor."""
        if self._chore() is not None:
            with self.app.batch_update():  # sent once it is whole
                await self.app.push_screen(ChoreView(self._list.key, self._made or {}))

    def action_switch_chore(self) -> None:
        self._ask_for(switch_chore)

    def action_remove_chore(self) -> None:
        self._ask_for(remove_chore)

    def _ask_for(self, make: Callable[[Plan, Chore], Proposal]) -> None:
        name = self._list.key
        act = OneChange(name, lambda plan: make(plan, find_chore(plan.season, name)))
        self.ask(lambda _: act)

    def action_add_chore(self) -> None:
        """Ask for a chore of one's own in one line."""
        self._line.ask("")
        self._error.say(*wrapped(ADD_FORM, self.size.width - 1, style=DIM))
        self._keys.name_keys(ADD_FOOT)

    def on_input_submitted(self) -> None:
        plan, line = host(self).plan, self._input.value
        if plan is not None:
            change = OneChange(line, lambda now: add_chore(now, *typed_chore(line)))
            self._work_out(plan, lambda _: change)

    def after_save(self) -> None:
        if self._line.asked:
            self._list.key = self._input.value.split()[0]
        self._close()

    def action_back(self) -> None:
        if self._line.asked:
            self._close()
        else:
            self.dismiss(False)

    def _close(self) -> None:
        self._line.close()
        self._list.focus()
        self._error.say(*self._foot(self.size.width - 1))
        self._keys.name_keys(FOOT)

    def _foot(self, width: int) -> list[ListRow]:
        """What a guess is, and in front what a later starter list has for the season."""
        plan = host(self).plan
        reminder = "" if plan is None else reminder_for(plan.season)
        return [
            *(wrapped(reminder, width, style=BOLD) if reminder else ()),
            *wrapped(GUESSES, width, style=DIM),
        ]


class ChoreView(ValueForm):
    """The fields of one chore."""

    def __init__(self, chore: str, made: Mapping[str, int]) -> None:
        """made: how many tasks each chore makes."""
        self._chore_id, self._made = chore, made
        self._fields_by_key: dict[str, ChoreField] = {}
        values = Values(self._rows, self._sentence, self._typed, self._change, _hint, lambda: GUESSES)
        super().__init__(values, FIELDS_FOOT)

    def show_made(self, made: Mapping[str, int]) -> None:
        """Show how many tasks it makes now."""
        self._made = made
        self._list.redraw()

    def _rows(self, width: int) -> Iterable[ListRow]:
        plan = host(self).plan
        chore = None if plan is None else plan.season.chores.get(self._chore_id)
        if plan is None or chore is None:
            self._fields_by_key = {}
            return wrapped(
                f"{self._chore_id} is not in this season any more. {shown_key(self, 'view.escape')} goes back.",
                width,
            )
        title = f"Chore {chore.id}"
        about = fitted(f"  {made_text(chore, self._made)}; {chore.what}", width - len(title))
        self._heading.say(row((title, HEADING), about), *wrapped(when_text(chore), width, "  ")[:1])
        self._fields_by_key = {f.key: f for f in fields_of(chore, host(self).opened.data)}
        lines = field_lines(tuple(self._fields_by_key.values()), width, CUT)
        return [
            row((line, PLAIN if f.own else DIM), key=f.key)
            for line, f in zip(lines, self._fields_by_key.values(), strict=True)
        ]

    def _sentence(self, key: str) -> str:
        return f"{key}  {field_text(self._fields_by_key[key])}" if key in self._fields_by_key else ""

    def _typed(self, key: str) -> str | None:
        return typed_text(self._fields_by_key[key].value) if key in self._fields_by_key else None

    def _change(self, key: str, typed: str, mark: str) -> OneChange:
        name = self._chore_id
        return OneChange(
            f"{name} {key} {typed}",
            lambda plan: change_chore(plan, find_chore(plan.season, name), key, typed, mark),
        )


def _hint(key: str) -> str:
    if key == "repeat":
        return f"A rule and its end, such as: FREQ=WEEKLY until harvest. Left empty: once. {MARK_FORMS}"
    right = right_value(key)
    hint = f"{key}: {right}. " if right else ""
    return hint + (MARK_FORMS if key in (*DATE_KEYS, *HOURS_KEYS) else NO_MARK)
