"""What a proposal adds, before it is saved."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import ClassVar

from textual.binding import BindingType

from calendar_tui.handing_on.words.stagger_text import added_lines, warning_lines
from calendar_tui.planning.staggering.scheme import Scheme
from calendar_tui.screens.kit.actions import bindings
from calendar_tui.screens.kit.drawing import BOLD, HEADING, PLAIN, WARNING, ListRow, row
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.page import FOOT, Page

ADDED_FOOT = ("added", *FOOT)


def lines_rows(lines: Iterable[str]) -> Iterator[ListRow]:
    """Lines of plain text as rows: the wish and the heads of columns stand out, and what is wrong."""
    warns = False
    for line in lines:
        warns = line.startswith("  ! ") or (warns and line.startswith("    "))
        style = WARNING if warns else BOLD if line.startswith("cohort ") else PLAIN
        yield row((line, style))


class AddedView(Page[bool]):
    """What accepting a staggering adds; Enter or y saves it. Only for what can be planted."""

    HELP_FIRST = "stagger"
    BINDINGS: ClassVar[list[BindingType]] = bindings("added")

    def __init__(self, scheme: Scheme) -> None:
        super().__init__(ADDED_FOOT)
        self._scheme = scheme

    @property
    def text(self) -> str:
        """All that the view shows, as plain text."""
        return f"{self._body.text}\n{self._keys.text}"

    def rows(self, width: int) -> Iterator[ListRow]:
        yield row(("Make this the plan?", HEADING), ("  nothing is saved yet", WARNING))
        yield from lines_rows(added_lines(self._scheme, width))
        warnings = list(warning_lines(self._scheme, width))
        yield from lines_rows(["", *warnings] if warnings else ["No new clash."])

    def action_save(self) -> None:
        """Make its cohorts and their tasks, as one change."""
        host(self).save(self._scheme.proposal.change)
        self.dismiss(True)
