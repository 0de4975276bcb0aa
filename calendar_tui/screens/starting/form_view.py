"""A new season as a form: every answer in sight, and beside it what it is read as, or what is wrong with it."""

from __future__ import annotations

from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.screen import Screen

from calendar_tui.planning.starting.form import (
    FILE,
    ZONE,
    Filled,
    Note,
    meaning,
    names_of,
    read_form,
    rows_of,
    sky_of,
)
from calendar_tui.screens.forms.blank import FormField
from calendar_tui.screens.forms.field_list import FieldList
from calendar_tui.screens.kit.actions import bindings
from calendar_tui.screens.kit.drawing import (
    DIM,
    HEADING,
    WARNING,
    Bar,
    first_rows,
    fitted,
    glyphs_of,
    row,
    wrapped,
)
from calendar_tui.screens.kit.keys import Keys
from calendar_tui.screens.starting.choice import Chosen, Start
from calendar_tui.screens.starting.sky import HILL_ROWS, sky_rows

FOOT = ("form fields", "view")
TITLE, NOT_SAVED = "A season of your own", "  nothing is saved before the last Enter"
# Columns of a value at most: a place in a line, and where there is room a cohort.
MOST_VALUE, WIDE_VALUE, WIDE = 36, 64, 130
ABOUT_LINES = 3
WIDEST_SKY = 100
# Letters of a note from which there may be no room for it beside its row.
LONG_NOTE = 30


class AnswerList(FieldList):
    """Stays on a row with something wrong at the first Enter there."""

    def action_enter(self) -> None:
        wrong = self.error_of(self.key)
        if wrong and self.key in self.typed and self.key not in self.left:
            self.left.add(self.key)
            self.redraw()
            self.post_message(self.Moved())
        else:
            super().action_enter()


class NewSeasonView(Screen[Chosen | None]):
    """Gives the season that was made; None where it is left, and then `start.typed` has what was typed."""

    HELP_FIRST = "form"
    CSS = f"#about {{ height: {ABOUT_LINES}; }} #sky {{ height: {HILL_ROWS + 2}; }}"
    BINDINGS: ClassVar[list[BindingType]] = bindings("view")

    def __init__(self, start: Start) -> None:
        super().__init__()
        self._start = start
        self._form, self._trouble = Filled(), ""
        self._heading = Bar()
        self._list, self._sky, self._about = AnswerList(MOST_VALUE), Bar(id="sky"), Bar(id="about")
        self._list.typed = start.typed
        self._list.left = set(start.typed)

    @property
    def text(self) -> str:
        """All that the view shows but its keys, as plain text."""
        return "\n".join(bar.text for bar in (self._heading, self._list, self._about))

    @property
    def here(self) -> str:
        """The row that is typed in."""
        return self._list.key

    def compose(self) -> ComposeResult:
        yield self._heading
        yield self._list
        yield self._sky
        yield self._about
        yield Keys(FOOT)

    def on_mount(self) -> None:
        self._list.focus()
        self._read()
        empty = (key for key in rows_of(self._list.typed) if key != ZONE and not self._list.typed.get(key))
        self._list.stand_on(next(empty))

    def on_resize(self) -> None:
        rest = fitted(NOT_SAVED, max(self.app.size.width - len(TITLE), 0)).rstrip()
        self._heading.say(row((TITLE, HEADING), (rest, DIM)))
        self._list.most_value = WIDE_VALUE if self.app.size.width >= WIDE else MOST_VALUE
        self._list.redraw()
        self._say_about()
        self._draw_sky()

    # --- what is read of it

    def on_field_list_typed(self) -> None:
        self._trouble = ""
        self._read()

    def _read(self) -> None:
        """Read all that is typed, and show what follows from it."""
        self._form, proposals = read_form(self._list.typed, self._start.reader)
        texts = {**proposals, **self._list.typed}
        fields = [self._field(key, texts, proposals) for key in rows_of(texts)]
        self._list.show(fields)
        notes, wrong = self._form.notes, {FILE: self._trouble} if self._trouble else {}
        beside = {key: note.text for key, note in notes.items() if not note.wrong}
        if ZONE in proposals and ZONE not in self._list.left | self._list.typed.keys():
            beside[ZONE] = f"proposed: {beside.get(ZONE, '')}"
        self._list.tell(beside, {key: note.text for key, note in notes.items() if note.wrong} | wrong)
        self._say_about()
        self._draw_sky()

    def _draw_sky(self) -> None:
        """The days of the season, where all rows have room above them."""
        width, height = self.size or self.app.size
        sky = sky_of(self._form, self._start.reader.today_at("UTC"))
        self._sky.display = height >= len(self._list.rows) + 1 + HILL_ROWS + 2 + ABOUT_LINES + 1
        if sky is not None:
            self._sky.say(*sky_rows(*sky, min(width - 1, WIDEST_SKY), glyphs_of(self._sky)))
        else:
            self._sky.say()

    def _field(self, key: str, texts: dict[str, str], proposals: dict[str, str]) -> FormField:
        names = names_of(key, texts.get(key, ""), self._form)
        about = meaning(key, self._form, self._start.reader)
        return FormField(key, proposals.get(key, ""), "", about, names)

    def on_picker_moved(self) -> None:
        self._say_about()

    def _say_about(self) -> None:
        """What is wrong with the row under the cursor, what it is read as where that is long, or what it means."""
        error, width = self._list.error_of(self.here), max(self.app.size.width - 2, 20)
        note = self._form.notes.get(self.here, Note(""))
        if error and self.here in self._list.left:
            text, style = error, WARNING
        elif not note.wrong and len(note.text) > LONG_NOTE:
            text, style = note.text, DIM
        else:
            text, style = self._list.field.meaning, DIM
        self._about.say(*first_rows(wrapped(text, width, " ", style=style), ABOUT_LINES, width))

    # --- making it

    def on_field_list_finished(self) -> None:
        """Make the season; where something is wrong or was not looked at, go there."""
        unseen = ZONE if ZONE not in self._list.left | self._list.typed.keys() else ""
        self._list.left |= {field.words for field in self._list.fields}
        if wrong := self._form.wrong or unseen:
            self._read()
            self._list.stand_on(wrong)
            return
        self._about.say(row((" Making it ...", DIM)))
        file = self._list.typed.get(FILE) or self._list.field.value
        self._make(file.strip(), self._form)

    @work(thread=True, exclusive=True)
    def _make(self, file: str, form: Filled) -> None:
        try:
            made = self._start.make(file, form.values)
        except ValueError as wrong:
            self.app.call_from_thread(self._refuse, str(wrong))
        else:
            self.app.call_from_thread(self.dismiss, made)

    def _refuse(self, why: str) -> None:
        self._trouble = why
        self._read()

    def action_back(self) -> None:
        self.dismiss(None)
