"""One staggering as the command prints it: to keep, to accept, or to leave."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType

from calendar_tui.handing_on.words.stagger_text import added_lines, hard_lines, scheme_lines
from calendar_tui.planning.staggering.drafts import draft_change
from calendar_tui.planning.staggering.scheme import Scheme
from calendar_tui.screens.kit.actions import bindings
from calendar_tui.screens.kit.drawing import (
    BOLD,
    HEADING,
    PLAIN,
    WARNING,
    Bar,
    ListRow,
    row,
    wrapped,
)
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.page import FOOT, Page
from calendar_tui.screens.kit.typed import TypedField

SCHEME_FOOT = ("scheme", *FOOT)
NAME_FOOT = ("typed",)
ADDED_FOOT = ("added", *FOOT)
OVER_FOOT = ("over", *FOOT)


class MessageView(Page[None]):
    """A sentence that is too long for the form it belongs to."""

    def __init__(self, message: str) -> None:
        super().__init__()
        self._message = message

    def rows(self, width: int) -> Iterable[ListRow]:
        return [r for part in self._message.split("; ") for r in wrapped(part, width, "", "  ")]


def lines_rows(lines: Iterable[str]) -> Iterator[ListRow]:
    """Lines of plain text as rows: the wish and the heads of columns stand out, and what is wrong."""
    warns = False
    for line in lines:
        warns = line.startswith("  ! ") or (warns and line.startswith("    "))
        style = WARNING if warns else BOLD if line.startswith("cohort ") else PLAIN
        yield row((line, style))


class AddedView(Page[bool]):
    """What accepting a staggering adds; Enter or y saves it. Over a hard limit that has to be confirmed first."""

    HELP_FIRST = "stagger"
    BINDINGS: ClassVar[list[BindingType]] = bindings("added", "over")

    def __init__(self, scheme: Scheme) -> None:
        super().__init__(OVER_FOOT if scheme.hard_texts else ADDED_FOOT)
        self._scheme = scheme
        self._free = not scheme.hard_texts

    @property
    def text(self) -> str:
        """All that the view shows, as plain text."""
        return f"{self._body.text}\n{self._keys.text}"

    def rows(self, width: int) -> Iterator[ListRow]:
        yield row(("Make this the plan?", HEADING), ("  nothing is saved yet", WARNING))
        if self._scheme.hard_texts and not self._free:
            text = "! Over a hard limit (below): change the wish or the draft, or press o to accept it all the same."
            yield from wrapped(text, width, style=WARNING)
        yield from lines_rows(added_lines(self._scheme, width))
        yield from lines_rows(hard_lines(self._scheme, width))

    def action_confirm(self) -> None:
        """Accept it over its limits; it is still to be saved."""
        self._free = True
        self._keys.name_keys(ADDED_FOOT)
        self._body.redraw()

    def action_save(self) -> None:
        """Make its cohorts and their tasks, as one change."""
        if self._free:
            host(self).save(self._scheme.proposal.change)
            self.dismiss(True)
        else:
            self.notify("Over a hard limit: press o to accept it all the same.", severity="error")


class SchemeView(Page[bool]):
    """One staggering; gives True once it is saved or kept."""

    HELP_FIRST = "stagger"
    BINDINGS: ClassVar[list[BindingType]] = bindings("scheme")

    def __init__(self, scheme: Scheme, draft: str = "") -> None:
        """draft: the name under which it is kept already."""
        super().__init__(SCHEME_FOOT)
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
        """List what is added, and ask."""
        self.app.push_screen(AddedView(self._scheme), self._after_added)

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
