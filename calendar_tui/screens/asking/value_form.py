"""A form of values: a list of them, and a line in which the one under the cursor is typed anew, with its mark."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import ClassVar, NamedTuple

from textual.binding import BindingType
from textual.widgets import Input

from calendar_tui.screens.asking.answers import OneChange
from calendar_tui.screens.asking.form import Form
from calendar_tui.screens.kit.actions import bindings
from calendar_tui.screens.kit.drawing import DIM, Bar, ListRow, wrapped
from calendar_tui.screens.kit.typed import TypedLine

TYPED_FOOT = ("typed value", "view")
DETAIL_LINES = 2


class Values(NamedTuple):
    """What a form of values needs, each by the key of its row.

    rows: of the list, for a width; sentence: on a value in full; value: as it is typed, None where there is
    none to change; change: from key, value and mark as typed; hint: what to know while typing; note: what stands there
    else.
    """

    rows: Callable[[int], Iterable[ListRow]]
    sentence: Callable[[str], str]
    value: Callable[[str], str | None]
    change: Callable[[str, str, str], OneChange]
    hint: Callable[[str], str]
    note: Callable[[], str]


class ValueForm(Form):
    """Stays open when a change is saved, for the next value."""

    CSS = f"""
    {Form.CSS}
    #heading, #detail {{ height: 2; }}
    """
    BINDINGS: ClassVar[list[BindingType]] = bindings("value", "undo", "redo")

    def __init__(self, values: Values, foot: Sequence[str], key: str = "") -> None:
        """foot: the keys below where nothing is typed; key: the row under the cursor at first."""
        self._values, self._idle_foot = values, foot
        self._detail = Bar(id="detail")
        self._value, self._mark = Input(id="value"), Input(id="mark")
        self._line = TypedLine({"value": self._value, "mark": self._mark})
        super().__init__(values.rows, (self._detail, self._line), foot, key)

    def on_mount(self) -> None:
        self._close()

    def on_picker_moved(self) -> None:
        """Say in full what is under the cursor."""
        sentence = self._values.sentence(self._list.key)
        self._detail.say(*wrapped(sentence, self.size.width - 1)[:DETAIL_LINES])

    def action_change(self) -> None:
        """Ask for the value under the cursor. The mark is left empty: a new value does not inherit the old one's."""
        key = self._list.key
        value = self._values.value(key)
        if value is None:
            return
        self._line.ask(value, "")
        self._error.say(*wrapped(self._values.hint(key), self.size.width - 1, style=DIM))
        self._keys.name_keys(TYPED_FOOT)

    def on_input_submitted(self) -> None:
        self.submit()

    def submit(self) -> None:
        """Show what would move with what is typed."""
        change = self._values.change(self._list.key, self._value.value, self._mark.value)
        self.ask(lambda _: change)

    def after_save(self) -> None:
        self._close()

    def action_back(self) -> None:
        if self._line.asked:
            self._close()
            self._list.redraw()
        else:
            self.dismiss(False)

    def _close(self) -> None:
        self._line.close()
        self._list.focus()
        self.show_note()
        self._keys.name_keys(self._idle_foot)

    def show_note(self) -> None:
        """What stands where nothing is typed or wrong."""
        self._error.say(*wrapped(self._values.note(), self.size.width - 1, style=DIM))
