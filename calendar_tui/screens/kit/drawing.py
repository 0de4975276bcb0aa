"""Rows of styled text, and the widgets that draw them: a scrolling body, a list with a cursor, a bar.

Everything is drawn line by line, and only the lines that change are sent: a terminal may be far away.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import ClassVar, cast

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.binding import BindingType
from textual.geometry import Offset, Region, Size
from textual.message import Message
from textual.scroll_view import ScrollView
from textual.strip import Strip
from textual.widget import Widget
from textual.widgets import Input

from calendar_tui.screens.kit.actions import bindings
from calendar_tui.screens.kit.crew_words import crew_words
from calendar_tui.screens.kit.glyphs import UNICODE, Glyphs
from calendar_tui.screens.kit.themes import colours_on, named, painted
from calendar_tui.season.cells import cell_len, cut_text, dotted, filled
from calendar_tui.season.readers import plain

PLAIN, BOLD, DIM = Style(), named("strong"), named("faint")
HEADING, WARNING, CURSOR = named("heading"), named("warning"), named("cursor")
# Columns for the cursor of a list, and for the marks of what is scrolled out of sight.
GUTTER, EDGE = 2, 2
CUT = UNICODE.ellipsis
# Rows that a list's cursor goes on by with one turn of the mouse's wheel.
WHEEL_ROWS = 3


@dataclass(frozen=True, slots=True)
class ListRow:
    """One line. key: what the cursor of a list stands on, "" where it passes over."""

    segments: tuple[Segment, ...] = ()
    key: str = ""


def row(*parts: str | tuple[str, Style], key: str = "") -> ListRow:
    """A row of plain texts and (text, style) pairs; nothing in them steers the terminal."""
    pairs = ((p, None) if isinstance(p, str) else p for p in parts if p)
    return ListRow(tuple(Segment(plain(text), style) for text, style in pairs if text), key)


def wrapped(
    text: str, width: int, first: str = "", rest: str | None = None, style: Style = PLAIN
) -> list[ListRow]:
    """The text as rows of at most `width` columns, led by `first` and then by `rest`."""
    from calendar_tui.handing_on.words.plain_text import broken  # after the first picture

    rest = " " * cell_len(first) if rest is None else rest
    lines = broken(text, max(width, cell_len(rest) + 8), rest, first)
    return [row((line, style)) for line in lines or [first]]


def evidence_rows(text: str, width: int) -> list[ListRow]:
    """What a record says; its further lines hold a command, to be copied."""
    sentence, *further = text.splitlines()
    return wrapped(sentence, width, "= ", "  ") + [r for line in further for r in wrapped(line, width, "  ")]


def fitted(text: str, width: int) -> str:
    """The text in exactly `width` columns; what is cut ends in the mark for that."""
    return filled(cut_text(text, width, CUT[:width]), width)


def drawable(segments: Iterable[Segment], glyphs: Glyphs, colours: str) -> Iterable[Segment]:
    """The segments in what the terminal has: without the mark for what is cut, as many dots in place of its last letters."""
    segments = [Segment(s.text, painted(s.style, colours)) for s in segments]
    if glyphs.ellipsis == CUT:
        return segments
    return [Segment(dotted(s.text), s.style) for s in segments]


def clipped(segments: Iterable[Segment], room: int) -> Sequence[Segment]:
    """The segments in `room` columns at the most; what is cut ends in the mark for that."""
    parts = list(segments)
    if cell_len("".join(part.text for part in parts).rstrip()) <= room:
        return parts
    kept: list[Segment] = []
    for part in parts:
        if (size := cell_len(part.text)) >= room:
            return [*kept, Segment(cut_text(part.text + CUT, room), part.style)]
        kept.append(part)
        room -= size
    return kept


def first_rows(rows: list[ListRow], most: int, width: int) -> list[ListRow]:
    """So many rows at the most; of more, the last begins with what is left over and ends in the mark for what is cut."""
    if len(rows) <= most or most < 1:
        return rows[: max(most, 0)]
    left = [segment for at in rows[most - 1 :] for segment in at.segments]
    words = " ".join(segment.text.strip() for segment in left)
    return [
        *rows[: most - 1],
        row((fitted(words, width).rstrip(), (left[0].style if left else None) or PLAIN)),
    ]


def names_row(names: Sequence[str], chosen: str, width: int) -> ListRow:
    """Names in one line, the chosen one in brackets; where there is no room for all, those around it."""
    at = names.index(chosen)
    shown = names[at : at + 1]
    before, after = list(names[:at]), list(names[at + 1 :])
    while before or after:
        more = [*before[-1:], *shown, *after[:1]]
        if cell_len("  ".join(more)) + 8 > width:
            break
        before, shown, after = before[:-1], more, after[1:]
    parts = [(f"[{n}]  ", BOLD) if n == chosen else (f"{n}  ", PLAIN) for n in shown]
    return row("< " if before else "", *parts, ">" if after else "")


class TextLines(ScrollView, can_focus=True):
    """Rows made by `build` for the width there is, scrolled with the arrow and page keys."""

    # Always scrolling and without a scrollbar: one that comes and goes would have the page sent twice.
    DEFAULT_CSS = "TextLines { overflow-x: hidden; overflow-y: scroll; scrollbar-size: 0 0; height: 1fr; }"

    def __init__(self, build: Callable[[int], Iterable[ListRow]], *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._build = build
        self.rows: Sequence[ListRow] = ()

    def redraw(self) -> None:
        """Make the rows anew, in the language of the view; only lines that differ are drawn again."""
        with crew_words(self.screen):
            before, self.rows = self.rows, tuple(self._build(self._room()))
        self.virtual_size = Size(self._room(), len(self.rows))
        if len(before) != len(self.rows):
            self.refresh()
            return
        for y, (old, new) in enumerate(zip(before, self.rows, strict=True)):
            if old != new:
                self.refresh_line(y)

    def watch_scroll_y(self, old_value: float, new_value: float) -> None:
        """Send the lines that differ, and of each no more than holds text: a page may be scrolled over a slow line."""
        before, now = round(old_value), round(new_value)
        if before == now:
            return
        height = self.size.height
        for y in range(height):
            old, new = self._row(y + before), self._row(y + now)
            if (
                new.key or old != new
            ):  # one with a key may have the cursor, and then differs in how it is drawn
                self.refresh(Region(0, y, max(self._cells(old), self._cells(new)), 1))
        for y in {0, height - 1}:
            if self._edge(y, before) != self._edge(y, now):
                self.refresh(Region(0, y, self.size.width, 1))

    def _row(self, index: int) -> ListRow:
        return self.rows[index] if 0 <= index < len(self.rows) else ListRow()

    def _cells(self, at: ListRow) -> int:
        """The cells of a row that hold text."""
        return sum(cell_len(segment.text) for segment in self._segments(at))

    def on_mount(self) -> None:
        """Have the rows ready before the first paint, so that no empty page is sent ahead of them."""
        self.redraw()

    def on_resize(self) -> None:
        self.redraw()

    @property
    def text(self) -> str:
        """What is drawn, line by line, without styles."""
        return "\n".join("".join(s.text for s in r.segments) for r in self.rows)

    def _room(self) -> int:
        """The columns for text; before the layout is known, by those of the terminal."""
        return (self.size.width or self.app.size.width) - EDGE

    def _segments(self, at: ListRow) -> Iterable[Segment]:
        return at.segments

    def render_line(self, y: int) -> Strip:
        index = y + self.scroll_offset.y
        if index >= len(self.rows):
            return Strip.blank(self.size.width)
        colours = colours_on(self)
        room = self.size.width - EDGE
        segments = drawable(clipped(self._segments(self.rows[index]), room), glyphs_of(self), colours)
        strip = Strip(segments).adjust_cell_length(room)
        return Strip(
            [*strip, Segment(self._edge(y, self.scroll_offset.y).rjust(EDGE), painted(BOLD, colours))],
            self.size.width,
        )

    def _edge(self, y: int, top: int) -> str:
        """In the last column: whether rows go on above the first line drawn, or below the last. top: the row drawn first."""
        height = self.size.height
        if y == 0 and top > 0:
            return "^"
        return "v" if y == height - 1 and top + height < len(self.rows) else " "


class Picker(TextLines):
    """Lines with a cursor that stands on rows with a key. Jumps half a page at the edges.

    The list scrolls only with its cursor: a key never acts on a row that is out of sight.
    """

    BINDINGS: ClassVar[list[BindingType]] = bindings("list")

    class Moved(Message):
        """The cursor stands on another key, or on none."""

    def __init__(
        self, build: Callable[[int], Iterable[ListRow]], *, key: str = "", id: str | None = None
    ) -> None:
        super().__init__(build, id=id)
        self.key = key
        self._stops: tuple[int, ...] = ()
        self._stop = 0
        # The key and the row that were clicked last.
        self._clicked = "", -1

    def redraw(self) -> None:
        """Make the rows anew; the cursor stays on its key, or else near where it was."""
        super().redraw()
        before = self._stops[self._stop] if self._stops else -1
        self._stops = tuple(i for i, r in enumerate(self.rows) if r.key)
        keys = [self.rows[i].key for i in self._stops]
        self._stop = keys.index(self.key) if self.key in keys else min(self._stop, max(len(keys) - 1, 0))
        self.key = keys[self._stop] if keys else ""
        for y in {before, self._stops[self._stop] if self._stops else -1} - {-1}:
            self.refresh_line(y)
        self._bring_into_view()
        self.post_message(self.Moved())

    @property
    def cursor_at(self) -> Offset | None:
        """Where on the terminal the row under the cursor begins; None where there is none."""
        if not self._stops:
            return None
        return self.region.offset + Offset(GUTTER, self._stops[self._stop] - self.scroll_offset.y)

    @property
    def row_text(self) -> str:
        """The row under the cursor, as plain text."""
        segments = self.rows[self._stops[self._stop]].segments if self._stops else ()
        return "".join(s.text for s in segments).strip()

    def stand_on(self, key: str) -> None:
        """Put the cursor on this key where it is drawn."""
        for stop, index in enumerate(self._stops):
            if self.rows[index].key == key:
                self._go(stop)

    def bring_to_top(self) -> None:
        """Scroll so that the cursor's row is the second drawn, and what belongs to it below is in view."""
        if self._stops:
            last = max(len(self.rows) - self.size.height, 0)
            self.scroll_to(y=min(max(self._stops[self._stop] - 1, 0), last), animate=False)

    def action_step(self, by: int) -> None:
        self._go(self._stop + by)

    def action_page(self, by: int) -> None:
        if not self._stops:
            return
        edge = self._stops[self._stop] + by * max(self.size.height // 2, 1)
        self._go(min(range(len(self._stops)), key=lambda stop: abs(self._stops[stop] - edge)))

    def action_jump(self, to: int) -> None:
        self._go(to % max(len(self._stops), 1))

    def on_mouse_scroll_down(self, event: events.MouseScrollDown) -> None:
        self._turn(event, WHEEL_ROWS)

    def on_mouse_scroll_up(self, event: events.MouseScrollUp) -> None:
        self._turn(event, -WHEEL_ROWS)

    def _turn(self, event: events.MouseEvent, by: int) -> None:
        """Move the cursor with the wheel, in place of the rows that Textual would scroll from under it."""
        event.prevent_default()
        event.stop()
        self._go(self._stop + by)

    def on_click(self, event: events.Click) -> None:
        """Stand on the row that was clicked, where the cursor can; a second click on it is Enter."""
        index = event.y + self.scroll_offset.y
        if index not in self._stops:
            return
        again = (self.key, index) == self._clicked
        self._go(self._stops.index(index))
        self._clicked = self.key, index
        if again and self._stops[self._stop] == index:
            self.app.simulate_key("enter")

    def focus_on_click(self) -> bool:
        """A field that is being typed in keeps the keys."""
        return not isinstance(self.screen.focused, Input)

    def _go(self, stop: int) -> None:
        stop = min(max(stop, 0), len(self._stops) - 1)
        if not self._stops or stop == self._stop:
            return
        before, self._stop = self._stops[self._stop], stop
        self.key = self.rows[self._stops[stop]].key
        self.refresh_line(before)
        self.refresh_line(self._stops[stop])
        self._bring_into_view()
        self.post_message(self.Moved())

    def _bring_into_view(self) -> None:
        if not self._stops:
            return
        at, height, top = self._stops[self._stop], self.size.height, self.scroll_offset.y
        first, last = self._stop == 0, self._stop == len(self._stops) - 1
        if last and len(self.rows) > top + height:
            self.scroll_to(y=len(self.rows) - height if len(self.rows) - at < height else at, animate=False)
        elif first and top:
            self.scroll_to(y=max(at - height + 1, 0), animate=False)
        elif not top <= at < top + height:
            self.scroll_to(y=max(at - height // 2, 0), animate=False)

    def _room(self) -> int:
        return super()._room() - GUTTER

    def _segments(self, at: ListRow) -> Iterable[Segment]:
        if not at.key or at.key != self.key:
            return (Segment(" " * GUTTER), *at.segments)
        return (Segment("> ", BOLD), *(Segment(s.text, (s.style or PLAIN) + CURSOR) for s in at.segments))


class Bar(Widget):
    """A few lines of text that stand still; sent again only where they change."""

    DEFAULT_CSS = "Bar { height: 1; }"

    def __init__(self, *rows: ListRow, id: str | None = None) -> None:
        super().__init__(id=id)
        self._rows = rows

    @property
    def text(self) -> str:
        return "\n".join("".join(s.text for s in r.segments) for r in self._rows)

    def say(self, *rows: ListRow) -> None:
        """Show these rows."""
        if rows == self._rows:
            return
        old, self._rows = self._rows, rows
        for y in range(self.size.height):
            if old[y : y + 1] != rows[y : y + 1]:
                self.refresh(Region(0, y, self.size.width, 1))

    def render_line(self, y: int) -> Strip:
        segments = clipped(self._rows[y].segments if y < len(self._rows) else (), self.size.width)
        return Strip(drawable(segments, glyphs_of(self), colours_on(self))).adjust_cell_length(
            self.size.width
        )


def glyphs_of(widget: Widget) -> Glyphs:
    """What the app draws with."""
    return cast("Glyphs", getattr(widget.app, "glyphs", UNICODE))
