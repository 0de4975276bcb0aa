"""A season file with problems, opened read-only: what is wrong, where, and what would be right."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import partial
from pathlib import Path
from typing import ClassVar

from textual.binding import BindingType

from calendar_tui.handing_on.words.first_steps import KeyName
from calendar_tui.screens.kit.actions import bindings, shown_key
from calendar_tui.screens.kit.drawing import BOLD, WARNING, ListRow, row, wrapped
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.page import Page
from calendar_tui.season.readers import plain

FOOT = ("problems", "page", "help", "quit")


def problem_rows(problems: Sequence[object], width: int, key: KeyName) -> Iterator[ListRow]:
    """A sentence, then every problem, wrapped. key: how the key of a binding is written, by its id."""
    count = f"{len(problems)} problem{'' if len(problems) == 1 else 's'}"
    yield row((f"This season has {count}", WARNING))
    yield from wrapped(
        "It is opened read-only and nothing is written to it. Put right what is named below in a text editor "
        f"({key('problems.E,e')}): the list follows by itself, and the season opens once nothing is wrong. "
        f"{key('problems.R,r')} reads the file at once.",
        width,
    )
    for problem in problems:
        yield row()
        place, mark, message = plain(str(problem)).partition(": ")
        yield from wrapped(Path(place).name + mark.rstrip(), width, style=BOLD)
        yield from wrapped(message, width, "  ")


class ProblemsView(Page[None]):
    """The problems of the file that the app holds."""

    HELP_FIRST = "problems"
    BINDINGS: ClassVar[list[BindingType]] = bindings("problems", "quit")

    def __init__(self) -> None:
        super().__init__(FOOT)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """There is nothing to go back to."""
        return action != "back"

    def rows(self, width: int) -> Iterable[ListRow]:
        return problem_rows(host(self).opened.problems, width, partial(shown_key, self))

    def action_reload(self) -> None:
        host(self).reload()

    async def action_open_editor(self) -> None:
        """Open the file at its first problem."""
        lines = (problem.line for problem in host(self).opened.problems if problem.line)
        await host(self).open_view("editor", "", next(lines, 0))

    def action_quit(self) -> None:
        self.app.exit()
