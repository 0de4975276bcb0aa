"""The varieties: each figure with its mark, and a line to type another; what it would move is shown before a save."""

from __future__ import annotations

from collections.abc import Iterable
from typing import ClassVar

from textual.binding import BindingType

from calendar_tui.handing_on.words.varieties_text import (
    GUESSES,
    figure_columns,
    figure_text,
    key_words,
    variety_text,
)
from calendar_tui.planning.changes.variety_change import (
    Figure,
    change_figure,
    figures_of,
    value_text,
)
from calendar_tui.screens.asking.answers import OneChange
from calendar_tui.screens.asking.value_form import ValueForm, Values
from calendar_tui.screens.kit.actions import bindings
from calendar_tui.screens.kit.drawing import DIM, HEADING, PLAIN, ListRow, fitted, names_row, row, wrapped
from calendar_tui.screens.kit.host import host
from calendar_tui.season.fields import MARKS
from calendar_tui.season.finders import find_variety
from calendar_tui.season.marks import GUESS_MARK

FOOT = ("value", "varieties", "undo", "redo", "help", "view")
MARK_FORMS = f"Mark: {', '.join(m for m in MARKS if m != GUESS_MARK)}; left empty: {GUESS_MARK}, a guess."
TITLE = "Varieties"


class VarietiesView(ValueForm):
    """One variety at a time."""

    HELP_FIRST = "varieties"
    BINDINGS: ClassVar[list[BindingType]] = bindings("varieties")

    def __init__(self, variety: str = "", key: str = "") -> None:
        """variety: shown first, else the season's first; key: the figure under the cursor."""
        self._variety = variety
        self._figures: dict[str, Figure] = {}
        values = Values(self._rows, self._sentence, self._typed, self._change, lambda _: MARK_FORMS, GUESSES)
        super().__init__(values, FOOT, key)

    def _rows(self, width: int) -> Iterable[ListRow]:
        plan = host(self).plan
        varieties = {} if plan is None else plan.season.varieties
        if plan is None or not varieties:
            return wrapped("This season has no variety yet: add a [[variety]] to its file.", width)
        if self._variety not in varieties:
            if self._line.asked:
                return wrapped(f"{self._variety} is not in this season any more. Esc goes back.", width)
            self._variety = next(iter(varieties))
        variety = varieties[self._variety]
        about = fitted(f"  {variety_text(plan.season, variety)}", width - len(TITLE))
        names = names_row(list(varieties), variety.id, width)
        self._heading.say(row((TITLE, HEADING), about), names)
        self._figures = {f.key: f for f in figures_of(variety, host(self).opened.data)}
        lines = figure_columns(tuple(self._figures.values()), key_words)
        return [
            row((line, PLAIN if f.used else DIM), key=f.key)
            for line, f in zip(lines, self._figures.values(), strict=True)
        ]

    def _sentence(self, key: str) -> str:
        return f"{key}  {figure_text(self._figures[key])}" if key in self._figures else ""

    def _typed(self, key: str) -> str | None:
        return value_text(self._figures[key].value) if key in self._figures else None

    def _change(self, key: str, typed: str, mark: str) -> OneChange:
        name = self._variety
        return OneChange(
            f"{name} {key} {typed}",
            lambda plan: change_figure(plan, find_variety(plan.season, name), key, typed, mark),
        )

    def action_variety(self, by: int) -> None:
        """The next variety, or the one before; round at the ends."""
        plan = host(self).plan
        names = [] if plan is None else list(plan.season.varieties)
        if names and not self._line.asked:
            self._variety = names[(names.index(self._variety) + by) % len(names)]
            self._list.redraw()
