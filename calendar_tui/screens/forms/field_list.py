"""The fields of a form in a list: each is typed in where it stands, with its unit or what is wrong beside it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import ClassVar

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.binding import BindingType
from textual.geometry import Offset
from textual.message import Message

from calendar_tui.screens.forms.blank import FormField
from calendar_tui.screens.forms.line import (
    EDITING,
    Line,
    completed,
    completion,
    picked,
    proposed,
    typed,
)
from calendar_tui.screens.kit.actions import bindings
from calendar_tui.screens.kit.drawing import (
    BOLD,
    CURSOR,
    DIM,
    GUTTER,
    HEADING,
    PLAIN,
    WARNING,
    ListRow,
    Picker,
    fitted,
    row,
)
from calendar_tui.season.cells import cell_len
from calendar_tui.season.readers import plain

# Columns: of a name at most, of a value at least and at most.
LONGEST_NAME, LEAST_VALUE, MOST_VALUE = 28, 12, 26


class FieldList(Picker):
    """typed: what was typed, by the field's name. left: the fields that the cursor has been on and left."""

    BINDINGS: ClassVar[list[BindingType]] = bindings("form fields")

    class Typed(Message):
        """The value under the cursor is another."""

    class Finished(Message):
        """Enter was pressed in the last field."""

    def __init__(self, most_value: int = MOST_VALUE) -> None:
        """most_value: columns of a value at most; another from the next time it is drawn."""
        super().__init__(self._rows)
        self.most_value = most_value
        self.fields: tuple[FormField, ...] = ()
        self.typed: dict[str, str] = {}
        self.left: set[str] = set()
        self._notes: Mapping[str, str] = {}
        self._errors: Mapping[str, str] = {}
        self._line, self._line_of = Line(), ""

    # --- what it shows

    def show(self, fields: Sequence[FormField]) -> None:
        """These fields from now on; what is typed stays."""
        self.fields = tuple(fields)
        self.redraw()

    def clear(self) -> None:
        """Nothing is typed, and the cursor is on the first field."""
        self.typed, self.left = {}, set()
        self._notes, self._errors = {}, {}
        self.key, self._line_of, self._stop = "", "", 0

    def tell(self, notes: Mapping[str, str], errors: Mapping[str, str]) -> None:
        """What stands beside the fields: typed values as they are understood, and what is wrong."""
        self._notes, self._errors = notes, errors
        self.redraw()

    @property
    def field(self) -> FormField:
        """The field under the cursor."""
        return next((f for f in self.fields if f.words == self.key), FormField(""))

    @property
    def line(self) -> Line:
        """What is typed in the field under the cursor."""
        if self._line_of != self.key:
            self._line, self._line_of = proposed(self._value(self.field)), self.key
        return self._line

    def error_of(self, words: str) -> str:
        """What is wrong with a field that was typed or left; "" where nothing is."""
        touched = words in self.typed or words in self.left
        return self._errors.get(words, "") if touched else ""

    def _value(self, field: FormField) -> str:
        return self.typed.get(field.words, field.value)

    def _rows(self, width: int) -> Iterable[ListRow]:
        above = ""
        for field in self.fields:
            if field.above != above:
                above = field.above
                yield row((above, HEADING))
            name, value, note = self._columns(width)
            yield row(
                (fitted(field.words, name), BOLD if field.words in self.typed else PLAIN),
                fitted(self._value(field), value),
                *self._note(field, note),
                key=field.words,
            )

    def _columns(self, width: int) -> tuple[int, int, int]:
        longest = max((cell_len(f.words) for f in self.fields), default=0)
        name = min(longest + 2, LONGEST_NAME, max(width // 2, 1))
        value = min(max((width - name) // 2, LEAST_VALUE), self.most_value)
        return name, value, max(width - name - value - 2, 0)

    def _note(self, field: FormField, width: int) -> Sequence[tuple[str, Style]]:
        if error := self.error_of(field.words):
            style = DIM if field.words == self.key else WARNING
            return [("  ", PLAIN), (fitted(error, width), style)]
        note = self._notes.get(field.words) or field.unit
        return [("  ", PLAIN), (fitted(note, width), DIM)] if note else []

    def _segments(self, at: ListRow) -> Iterable[Segment]:
        if not at.key or at.key != self.key:
            return (Segment(" " * GUTTER), *at.segments)
        name, value, note = self._columns(self._room())
        beside = row(*self._note(self.field, note)).segments
        label = Segment(fitted(self.field.words, name), BOLD)
        return (Segment("> ", BOLD), label, *self._typed_segments(value), *beside)

    def _typed_segments(self, width: int) -> Iterable[Segment]:
        """The value under the cursor with the cursor in it, and what would complete it."""
        line = self.line
        text, before = plain(line.text), plain(line.text[: line.at])
        while cell_len(before) > width - 1:
            text, before = text[1:], before[1:]
        if line.fresh:
            yield Segment(fitted(text, width - 1) if cell_len(text) >= width else text, CURSOR)
            yield Segment(" " * max(width - cell_len(text), 1))
            return
        rest = text[len(before) :]
        ghost = completion(line, self.field.names)
        under = (rest or ghost or " ")[0]
        after = rest[1:] or ghost[1:]
        room = max(width - cell_len(before) - cell_len(under), 0)
        yield Segment(before, BOLD)
        yield Segment(under, CURSOR)
        yield Segment(fitted(after, room), DIM if ghost else BOLD)

    # --- what is typed

    def check_consume_key(self, key: str, character: str | None) -> bool:
        """A letter is typed, whatever it does elsewhere."""
        return character is not None and character.isprintable()

    def on_key(self, event: events.Key) -> None:
        """Type a letter; what other keys do is in the table of every key."""
        if event.is_printable and event.character is not None:
            event.stop()
            event.prevent_default()
            self._take(typed(self.line, event.character))

    def action_edit(self, act: str) -> None:
        """Move in what is typed, or take letters out; on at its end, take what completes it."""
        if act == "right" and completion(self.line, self.field.names):
            self._take(completed(self.line, self.field.names))
        else:
            self._take(EDITING[act](self.line))

    def action_jump(self, to: int) -> None:
        """To the first letter, or behind the last."""
        self.action_edit("end" if to else "home")

    def action_page(self, by: int) -> None:
        """Take the next of the names that the field may have, or the one before."""
        self._take(picked(self.line, self.field.names, by))

    def on_paste(self, event: events.Paste) -> None:
        """Type what is pasted, its first line."""
        event.stop()
        event.prevent_default()
        if lines := event.text.splitlines():
            self._take(typed(self.line, plain(lines[0])))

    def _take(self, line: Line) -> None:
        before = self.line.text
        self._line = line
        field = self.field
        if line.text != before:
            if line.text == field.value:
                self.typed.pop(field.words, None)
            else:
                self.typed[field.words] = line.text
            self.post_message(self.Typed())
        self._point()
        self._redraw_line()

    @property
    def cursor_at(self) -> None:
        """In the field, where `_point` has put it."""
        return None

    def _redraw_line(self) -> None:
        if self._stops:
            self.refresh_line(self._stops[self._stop])

    def _point(self) -> None:
        """Put the terminal's own cursor where letters go."""
        if self._stops:
            name, value, _ = self._columns(self._room())
            x = min(cell_len(self.line.text[: self.line.at]), value - 1)
            y = self._stops[self._stop] - self.scroll_offset.y
            self.app.cursor_position = self.region.offset + Offset(GUTTER + name + x, y)

    # --- from field to field

    def action_complete(self) -> None:
        """Take the completion, or else go on to the next field."""
        if completion(self.line, self.field.names):
            self._take(completed(self.line, self.field.names))
        else:
            self.action_step(1)

    def action_enter(self) -> None:
        """On to the next field; after the last, the form is filled in."""
        if completion(self.line, self.field.names):
            self._take(completed(self.line, self.field.names))
        if self._stop + 1 < len(self._stops):
            self.action_step(1)
        else:
            self._finish()

    def _finish(self) -> None:
        """What stands in the field is typed over from here on, as in a field that the cursor comes to."""
        self._take(proposed(self.line.text))
        self.post_message(self.Finished())

    def _go(self, stop: int) -> None:
        before = self.key
        super()._go(stop)
        if self.key != before:
            self.left.add(before)
            self.redraw()
            self._point()
