"""The varieties: each figure with its mark, changed in a form; types and fits are a key away."""

from __future__ import annotations

from collections.abc import Iterable
from typing import ClassVar

from textual.binding import BindingType

from calendar_tui.handing_on.words.types_text import contrast_text, type_about, type_text
from calendar_tui.handing_on.words.varieties_text import (
    GUESSES,
    figure_columns,
    figure_text,
    key_words,
    variety_text,
)
from calendar_tui.handing_on.words.weighed_text import weighed_text
from calendar_tui.planning.changes.held_season import Ident
from calendar_tui.planning.changes.variety_change import FIGURES, Figure, figures_of
from calendar_tui.planning.plan import Plan
from calendar_tui.screens.forms.records_view import Chosen, RecordsView
from calendar_tui.screens.kit.actions import bindings, shown_key
from calendar_tui.screens.kit.drawing import (
    DIM,
    HEADING,
    PLAIN,
    Bar,
    ListRow,
    first_rows,
    fitted,
    names_row,
    row,
    wrapped,
)
from calendar_tui.screens.kit.host import host
from calendar_tui.season.records import Variety

TYPE = "type"
FOOT = ("records", "varieties", "undo", "redo", "help", "view")
TITLE = "Varieties"
DETAIL_LINES, NOTE_LINES = 2, 3


class VarietiesView(RecordsView):
    """One variety at a time."""

    HELP_FIRST = "varieties"
    CSS = f"""
    #heading, #detail {{ height: {DETAIL_LINES}; }}
    #note {{ height: {NOTE_LINES}; }}
    """
    BINDINGS: ClassVar[list[BindingType]] = bindings("varieties")
    LISTED = ("variety",)

    def __init__(self, variety: str = "", key: str = "") -> None:
        """variety: shown first, else the season's first; key: the figure under the cursor."""
        self._variety = variety
        self._figures: dict[str, Figure] = {}
        self._noted: tuple[Plan | None, Variety | None, str] = (None, None, GUESSES)
        self._detail, self._note_bar = Bar(id="detail"), Bar(id="note")
        bars = (self._detail, self._note_bar)
        super().__init__("variety", self._rows, FOOT, *bars, key=key or next(iter(FIGURES)))

    def _rows(self, width: int) -> Iterable[ListRow]:
        plan = host(self).plan
        varieties = {} if plan is None else plan.season.varieties
        if plan is None or not varieties:
            self._heading.say(row((TITLE, HEADING)))
            return wrapped(
                f"No variety yet: press {shown_key(self, 'records.a')} to add one, with a type to start from.",
                width,
            )
        if self._variety not in varieties:
            self._variety = next(iter(varieties))
        variety = varieties[self._variety]
        about = fitted(f"  {variety_text(plan.season, variety)}", width - len(TITLE))
        self._heading.say(row((TITLE, HEADING), about), names_row(list(varieties), variety.id, width))
        self._figures = {f.key: f for f in figures_of(variety, host(self).opened.data)}
        self._note_bar.say(
            *first_rows(wrapped(self._note(plan, variety), width, style=DIM), NOTE_LINES, width)
        )
        lines = figure_columns(tuple(self._figures.values()))
        return [
            row(fitted(type_text(variety), width).rstrip(), key=TYPE),
            *(
                row((fitted(line, width).rstrip(), PLAIN if f.used else DIM), key=f.key)
                for line, f in zip(lines, self._figures.values(), strict=True)
            ),
        ]

    def _note(self, plan: Plan, variety: Variety) -> str:
        """What was weighed of it; else what another type would give, while nothing is recorded, or what a guess is."""
        if self._noted[:2] != (plan, variety):
            weighed = weighed_text(plan.season, variety)
            self._noted = plan, variety, weighed or f"{contrast_text(plan, variety)} {GUESSES}".strip()
        return self._noted[2]

    @property
    def _shown(self) -> Variety | None:
        """The variety that is shown; None where there is none."""
        plan = host(self).plan
        return None if plan is None else plan.season.varieties.get(self._variety)

    @property
    def chosen(self) -> Chosen | None:
        """The variety that is shown, and its figure under the cursor."""
        if self._shown is None:
            return None
        return Chosen("variety", (self._variety,), key_words(self._list.key))

    def on_picker_moved(self) -> None:
        """Say in full what is under the cursor."""
        key, variety, text = self._list.key, self._shown, ""
        if key == TYPE and variety is not None:
            text = type_about(variety)
        elif key in self._figures:
            text = f"{key_words(key)}  {figure_text(self._figures[key])}"
        self._detail.say(*first_rows(wrapped(text, self.size.width - 1), DETAIL_LINES, self.size.width - 1))

    def select_record(self, kind: str, ident: Ident) -> None:
        """Show this variety."""
        self._variety = str(ident[0])
        self._list.redraw()

    async def action_open_types(self) -> None:
        """What each type would give the variety here."""
        if self._shown is not None:
            await host(self).open_view("types", self._variety)

    async def action_open_fit(self) -> None:
        """What the records of the variety's cohorts teach of its figures."""
        if self._shown is not None:
            await host(self).open_view("fit", self._variety)

    def action_variety(self, by: int) -> None:
        """The next variety, or the one before; round at the ends."""
        plan = host(self).plan
        names = [] if plan is None else list(plan.season.varieties)
        if names:
            self._variety = names[(names.index(self._variety) + by) % len(names)]
            self._list.redraw()
