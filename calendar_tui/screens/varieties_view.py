"""The varieties: each figure with its mark, and a line to type another; what it would move is shown before a save."""

from __future__ import annotations

from collections.abc import Iterable
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.widgets import Input

from calendar_tui.handing_on.varieties_text import GUESSES, figure_columns, figure_text, variety_text
from calendar_tui.planning.variety_change import Figure, figures_of, value_text
from calendar_tui.screens.answers import NewFigure
from calendar_tui.screens.drawing import (
    BOLD,
    DIM,
    HEADING,
    PLAIN,
    Bar,
    Row,
    fitted,
    keys_row,
    names_row,
    row,
    wrapped,
)
from calendar_tui.screens.form import Form
from calendar_tui.screens.host import host
from calendar_tui.season.fields import MARKS
from calendar_tui.season.marks import UNTOLD

KEYS = "left/right variety  up/down figure  enter change it  u undo  esc back"
ASKED_KEYS = "tab value or mark  enter see what moves  esc leave it"
MARK_FORMS = f"Mark: {', '.join(m for m in MARKS if m != UNTOLD)}; left empty: {UNTOLD}, a guess."
TITLE = "Varieties"
DETAIL_LINES, LABEL_WIDTH = 2, 9


class VarietiesView(Form):
    """One variety at a time. Stays open when a change is saved, for the next figure."""

    CSS = f"""
    {Form.CSS}
    #heading, #detail {{ height: 2; }}
    #typed {{ height: 1; visibility: hidden; }}
    #typed.asked {{ visibility: visible; }}
    #typed Bar {{ width: {LABEL_WIDTH}; }}
    #typed Input {{ width: 1fr; padding: 0 1; }}
    """
    UNDOES = True
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left,left_square_bracket", "variety(-1)", show=False),
        Binding("right,right_square_bracket", "variety(1)", show=False),
        Binding("enter", "change", show=False),
    ]

    def __init__(self, variety: str = "", key: str = "") -> None:
        """variety: shown first, else the season's first; key: the figure under the cursor."""
        self._variety = variety
        self._figures: dict[str, Figure] = {}
        self._detail = Bar(id="detail")
        self._value, self._mark = Input(id="value"), Input(id="mark")
        labels = (Bar(row(("  value:", BOLD))), Bar(row(("   mark:", BOLD))))
        self._line = Horizontal(labels[0], self._value, labels[1], self._mark, id="typed")
        super().__init__(self._rows, (self._detail, self._line), KEYS, key)

    def on_mount(self) -> None:
        self._close()

    def _rows(self, width: int) -> Iterable[Row]:
        plan = host(self).plan
        varieties = {} if plan is None else plan.season.varieties
        if plan is None or not varieties:
            return wrapped("This season has no variety yet: add a [[variety]] to its file.", width)
        if self._variety not in varieties:
            if self._asking:
                return wrapped(f"{self._variety} is not in this season any more. Esc goes back.", width)
            self._variety = next(iter(varieties))
        variety = varieties[self._variety]
        about = fitted(f"  {variety_text(plan.season, variety)}", width - len(TITLE))
        names = names_row(list(varieties), variety.id, width)
        self._heading.say(row((TITLE, HEADING), about), names)
        self._figures = {f.key: f for f in figures_of(variety, host(self).opened.data)}
        lines = figure_columns(tuple(self._figures.values()))
        return [
            row((line, PLAIN if f.used else DIM), key=f.key)
            for line, f in zip(lines, self._figures.values(), strict=True)
        ]

    def on_picker_moved(self) -> None:
        """Say in full what the figure under the cursor is."""
        figure = self._figures.get(self._list.key)
        said = f"{figure.key}  {figure_text(figure)}" if figure else ""
        self._detail.say(*wrapped(said, self.size.width - 1)[:DETAIL_LINES])

    def action_variety(self, by: int) -> None:
        """The next variety, or the one before; round at the ends."""
        plan = host(self).plan
        names = [] if plan is None else list(plan.season.varieties)
        if names and not self._asking:
            self._variety = names[(names.index(self._variety) + by) % len(names)]
            self._list.redraw()

    @property
    def _asking(self) -> bool:
        return self._line.has_class("asked")

    def action_change(self) -> None:
        """Ask for the figure under the cursor. The mark is left empty: a new figure does not inherit the old one's."""
        figure = self._figures.get(self._list.key)
        if figure is None:
            return
        self._value.value, self._mark.value = value_text(figure.value), ""
        self._line.add_class("asked")
        self._value.focus()
        self._error.say(*wrapped(MARK_FORMS, self.size.width - 1, style=DIM))
        self._keys.say(keys_row(ASKED_KEYS))

    def on_input_submitted(self) -> None:
        asked = NewFigure(self._variety, self._list.key, self._value.value, self._mark.value)
        self.ask(lambda _: asked)

    def after_save(self) -> None:
        self._close()

    def action_back(self) -> None:
        if self._asking:
            self._close()
            self._list.redraw()
        else:
            self.dismiss(False)

    def _close(self) -> None:
        self._line.remove_class("asked")
        self._list.focus()
        self._error.say(*wrapped(GUESSES, self.size.width - 1, style=DIM))
        self._keys.say(keys_row(KEYS))
