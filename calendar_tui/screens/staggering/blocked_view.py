"""A proposal that cannot be planted: why, and as the next choices what would make it possible."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import ClassVar

from textual import work
from textual.binding import BindingType

from calendar_tui.handing_on.words.stagger_text import INSTEAD, NO_WAY
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.staggering.scheme import Scheme
from calendar_tui.planning.staggering.ways import Way, ways
from calendar_tui.planning.staggering.wish import Wish
from calendar_tui.screens.kit.actions import bindings
from calendar_tui.screens.kit.drawing import BOLD, DIM, HEADING, WARNING, ListRow, row, wrapped
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.list_view import ListView
from calendar_tui.screens.staggering.added_view import AddedView

FOOT = ("ways", "help", "view")
NOT_KNOWN = "Change the draft, or ask for a new one: s in the season view."


class BlockedView(ListView[bool]):
    """Gives True once another proposal is saved."""

    HELP_FIRST = "stagger"
    BINDINGS: ClassVar[list[BindingType]] = bindings("ways")

    def __init__(self, texts: Sequence[str], wish: Wish | None, scheme: Scheme | None) -> None:
        """texts: why it cannot be planted; wish: what was wished for, None where that is not known; scheme: what is over
        a hard limit, None where nothing could be proposed."""
        super().__init__(self._rows, FOOT)
        self._texts, self._wish, self._scheme = tuple(texts), wish, scheme
        self._ways: tuple[Way, ...] | None = None
        self._heading.say(row(("This cannot be planted", HEADING), "  nothing is saved"))

    def on_mount(self) -> None:
        self.show_plan()

    def show_plan(self) -> None:
        """Look for what can be planted in the season as it is now."""
        plan = host(self).plan
        if plan is not None and self._wish is not None:
            self._look(plan, self._wish)

    @work(thread=True, exclusive=True)
    def _look(self, plan: Plan, wish: Wish) -> None:
        possible = ways(plan, wish, self._scheme)
        self.app.call_from_thread(self._take, plan, possible)

    def _take(self, plan: Plan, possible: tuple[Way, ...]) -> None:
        if plan is host(self).plan:
            self._ways = possible
            self._list.redraw()

    def _rows(self, width: int) -> Iterator[ListRow]:
        for text in self._texts:
            yield from wrapped(text, width, "! ", "  ", WARNING)
        yield row()
        if self._wish is None:
            yield from wrapped(NOT_KNOWN, width)
        elif self._ways is None:
            yield row(("Looking for what can be planted...", DIM))
        elif not self._ways:
            yield from wrapped(NO_WAY, width)
        else:
            yield row((INSTEAD, HEADING))
            for n, way in enumerate(self._ways):
                first, *more = wrapped(way.text, width, "", "  ", BOLD)
                yield ListRow(first.segments, str(n))
                yield from more

    def action_open_way(self) -> None:
        if self._ways and self._list.key:
            self.app.push_screen(AddedView(self._ways[int(self._list.key)].scheme), self._after)

    def _after(self, saved: bool | None) -> None:
        if saved:
            self.dismiss(True)
