"""What the forms share: a list to choose from, fields to type in, and what the typed would move, shown before a save."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from textual import work
from textual.widget import Widget

from calendar_tui.language.speaking import translated
from calendar_tui.planning.plan import Plan
from calendar_tui.screens.asking.answers import Act, Answer, answers
from calendar_tui.screens.asking.moves_view import MovesView
from calendar_tui.screens.kit.crew_words import crew_words
from calendar_tui.screens.kit.drawing import WARNING, Bar, ListRow, first_rows, wrapped
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.list_view import ListView

ERROR_LINES = 3


class Form(ListView[bool]):
    """A heading, a list, fields, what is wrong, and the keys. Gives True once a change is handed on to be saved."""

    # Textual puts the class of the screen itself before each selector of a screen's own CSS.
    CSS = "Input { border: none; height: 1; padding: 0 2; } #error { height: 3; }"

    def __init__(
        self,
        rows: Callable[[int], Iterable[ListRow]],
        fields: Sequence[Widget],
        foot: Sequence[str],
        key: str = "",
    ) -> None:
        """rows: of the list, for a width; foot: the keys below; key: the row on which its cursor stands at first."""
        self._error = Bar(id="error")
        super().__init__(rows, foot, *fields, self._error, key=key)

    def ask(self, question: Callable[[Plan], Act]) -> None:
        """Show what would move with what `question` asks; where it or that raises ValueError, say why it cannot be."""
        plan = host(self).plan
        if plan is None or not self._list.key:
            return
        self._error.say()
        self._work_out(plan, question)

    @work(thread=True, exclusive=True)
    def _work_out(self, plan: Plan, question: Callable[[Plan], Act]) -> None:
        try:
            act = question(plan)
            choices = answers(plan, act)
        except ValueError as error:
            self.app.call_from_thread(self._say_error, str(error))
            return
        self.app.call_from_thread(self._show_moves, act, choices)

    def _say_error(self, message: str) -> None:
        width = self.size.width - 1
        with crew_words(self):
            told = map(translated, message.splitlines())
            lines = [part for line in told for part in wrapped(line, width, style=WARNING)]
        self._error.say(*first_rows(lines, ERROR_LINES, width))

    def _show_moves(self, act: Act, choices: tuple[Answer, ...]) -> None:
        self.app.push_screen(MovesView(act, choices), self._after_moves)

    def _after_moves(self, saved: bool | None) -> None:
        if saved:
            self.after_save()

    def after_save(self) -> None:
        """Leave, once the change is handed on."""
        self.dismiss(True)

    def action_back(self) -> None:
        self.dismiss(False)
