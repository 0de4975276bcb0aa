"""One staggering as the command prints it: to keep, to accept, or to leave."""

from __future__ import annotations

from collections.abc import Iterable
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType

from calendar_tui.handing_on.words.stagger_text import scheme_lines
from calendar_tui.planning.staggering.drafts import draft_change
from calendar_tui.planning.staggering.scheme import Scheme
from calendar_tui.planning.staggering.taking import wish_of
from calendar_tui.planning.staggering.wish import Wish
from calendar_tui.screens.kit.actions import bindings
from calendar_tui.screens.kit.drawing import (
    WARNING,
    Bar,
    ListRow,
    wrapped,
)
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.page import FOOT, Page
from calendar_tui.screens.kit.typed import TypedField
from calendar_tui.screens.staggering.added_view import AddedView, lines_rows
from calendar_tui.screens.staggering.blocked_view import BlockedView

SCHEME_FOOT = ("scheme", *FOOT)
NAME_FOOT = ("typed",)


class MessageView(Page[None]):
    """A sentence that is too long for the form it belongs to."""

    def __init__(self, message: str) -> None:
        super().__init__()
        self._message = message

    def rows(self, width: int) -> Iterable[ListRow]:
        return [r for part in self._message.split("; ") for r in wrapped(part, width, "", "  ")]


class SchemeView(Page[bool]):
    """One staggering; gives True once it is saved or kept."""

    HELP_FIRST = "stagger"
    BINDINGS: ClassVar[list[BindingType]] = bindings("scheme")

    def __init__(self, scheme: Scheme, draft: str = "", wish: Wish | None = None) -> None:
        """draft: the name under which it is kept already; wish: what it is proposed for, None where that is not known."""
        super().__init__(SCHEME_FOOT)
        self._wish = wish
        self._scheme, self._draft = scheme, draft
        self._error = Bar(id="error")
        self._typed = TypedField(placeholder="a short name for the draft", id="name")

    def compose(self) -> ComposeResult:
        yield self._body
        yield self._error
        yield self._typed
        yield self._keys

    def on_mount(self) -> None:
        self._body.focus()

    @property
    def text(self) -> str:
        """All that the view shows, as plain text."""
        return f"{self._body.text}\n{self._error.text}"

    def rows(self, width: int) -> Iterable[ListRow]:
        return lines_rows(scheme_lines(self._scheme, width))

    def action_save(self) -> None:
        """List what is added, and ask; of what cannot be planted, why, and what can be."""
        scheme = self._scheme
        view = (
            BlockedView(scheme.hard_texts, self._wish or wish_of(scheme), scheme)
            if scheme.hard_texts
            else AddedView(scheme)
        )
        self.app.push_screen(view, self._after_added)

    def _after_added(self, saved: bool | None) -> None:
        if saved:
            self.dismiss(True)

    def action_keep(self) -> None:
        """Ask for the draft's name."""
        self._typed.ask(self._draft)
        self._keys.name_keys(NAME_FOOT)

    def on_input_submitted(self) -> None:
        plan = host(self).plan
        if plan is None:
            return
        try:
            change = draft_change(plan.season, self._typed.value.strip(), self._scheme)
        except ValueError as wrong:
            self._error.say(*wrapped(str(wrong), self.size.width - 1, style=WARNING)[:1])
            return
        host(self).save(change)
        self.dismiss(True)

    def action_back(self) -> None:
        if self._typed.asked:
            self._typed.close()
            self._keys.name_keys(SCHEME_FOOT)
            self._error.say()
            self._body.focus()
        else:
            self.dismiss(False)
