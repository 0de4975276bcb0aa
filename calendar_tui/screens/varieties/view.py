"""The varieties: each figure with its mark, and a line to type another; what it would move is shown before a save."""

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
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.variety_change import (
    FIGURES,
    Figure,
    change_figure,
    figures_of,
    value_text,
)
from calendar_tui.planning.changes.variety_type import (
    ALONE,
    add_variety,
    change_type,
    typed_variety,
)
from calendar_tui.planning.plan import Plan
from calendar_tui.screens.asking.answers import OneChange
from calendar_tui.screens.asking.value_form import TYPED_FOOT, ValueForm, Values
from calendar_tui.screens.kit.actions import bindings, shown_key
from calendar_tui.screens.kit.drawing import DIM, HEADING, PLAIN, ListRow, fitted, names_row, row, wrapped
from calendar_tui.screens.kit.host import host
from calendar_tui.season.fields import MARKS
from calendar_tui.season.finders import find_variety
from calendar_tui.season.marks import GUESS_MARK
from calendar_tui.season.records import Variety
from calendar_tui.season.variety_types import DEFAULT, variety_types

TYPE = "type"
FOOT = ("value", "varieties", "undo", "redo", "help", "view")
MARK_FORMS = f"Mark: {', '.join(m for m in MARKS if m != GUESS_MARK)}; left empty: {GUESS_MARK}, a guess."
TYPE_FORMS = f"Types: {', '.join(variety_types())}. With the word {ALONE} behind it, figures in the file are taken away."
ADD_FORM = f"Its id and its type, such as: cedar {DEFAULT}. Types: {', '.join(variety_types())}. t compares them later."
TITLE = "Varieties"


def _hint(key: str) -> str:
    """What to know while a figure, or the type, is typed."""
    return TYPE_FORMS if key == TYPE else MARK_FORMS


def _proposed(plan: Plan, variety: Variety, key: str, typed: str, mark: str) -> Proposal:
    return (
        change_type(plan, variety, typed, mark)
        if key == TYPE
        else change_figure(plan, variety, key, typed, mark)
    )


class VarietiesView(ValueForm):
    """One variety at a time."""

    HELP_FIRST = "varieties"
    BINDINGS: ClassVar[list[BindingType]] = bindings("varieties")

    def __init__(self, variety: str = "", key: str = "") -> None:
        """variety: shown first, else the season's first; key: the figure under the cursor."""
        self._variety = variety
        self._figures: dict[str, Figure] = {}
        self._adding = False
        self._noted: tuple[Plan | None, Variety | None, str] = (None, None, GUESSES)
        values = Values(self._rows, self._sentence, self._typed, self._change, _hint, self._note)
        super().__init__(values, FOOT, key or next(iter(FIGURES)))

    def _rows(self, width: int) -> Iterable[ListRow]:
        plan = host(self).plan
        varieties = {} if plan is None else plan.season.varieties
        if plan is None or not varieties:
            return wrapped(
                f"No variety yet: press {shown_key(self, 'varieties.a')} to add one, with a type to start from.",
                width,
            )
        if self._variety not in varieties:
            if self._line.asked:
                return wrapped(
                    f"{self._variety} is not in this season any more. {shown_key(self, 'view.escape')} goes back.",
                    width,
                )
            self._variety = next(iter(varieties))
        variety = varieties[self._variety]
        about = fitted(f"  {variety_text(plan.season, variety)}", width - len(TITLE))
        names = names_row(list(varieties), variety.id, width)
        self._heading.say(row((TITLE, HEADING), about), names)
        self._figures = {f.key: f for f in figures_of(variety, host(self).opened.data)}
        if not self._line.asked:
            self.show_note()
        lines = figure_columns(tuple(self._figures.values()))
        return [
            row(type_text(variety), key=TYPE),
            *(
                row((line, PLAIN if f.used else DIM), key=f.key)
                for line, f in zip(lines, self._figures.values(), strict=True)
            ),
        ]

    def _note(self) -> str:
        """What another type would give, while nothing is recorded; else what a guess is."""
        plan, variety = host(self).plan, self._shown
        if plan is None or variety is None:
            return GUESSES
        if self._noted[:2] != (plan, variety):
            self._noted = plan, variety, f"{contrast_text(plan, variety)} {GUESSES}".strip()
        return self._noted[2]

    @property
    def _shown(self) -> Variety | None:
        """The variety that is shown; None where it is not in the season any more."""
        plan = host(self).plan
        return None if plan is None else plan.season.varieties.get(self._variety)

    def _sentence(self, key: str) -> str:
        if key == TYPE and (variety := self._shown) is not None:
            return type_about(variety)
        return f"{key_words(key)}  {figure_text(self._figures[key])}" if key in self._figures else ""

    def _typed(self, key: str) -> str | None:
        if key == TYPE and (variety := self._shown) is not None:
            return variety.type or ""
        return value_text(self._figures[key].value) if key in self._figures else None

    def _change(self, key: str, typed: str, mark: str) -> OneChange:
        name = self._variety
        return OneChange(
            f"{name} {key_words(key)} {typed}",
            lambda plan: _proposed(plan, find_variety(plan.season, name), key, typed, mark),
        )

    async def action_open_types(self) -> None:
        """What each type would give the variety here."""
        if self._shown is not None and not self._line.asked:
            await host(self).open_view("types", self._variety)

    async def action_open_fit(self) -> None:
        """What the records of the variety's cohorts teach of its figures."""
        if self._shown is not None and not self._line.asked:
            await host(self).open_view("fit", self._variety)

    def action_add_variety(self) -> None:
        """Ask for a new variety, its id and its type, in one line."""
        if self._line.asked:
            return
        self._adding = True
        self._line.ask("", "")
        self._error.say(*wrapped(ADD_FORM, self.size.width - 1, style=DIM))
        self._keys.name_keys(TYPED_FOOT)

    def submit(self) -> None:
        """Show what would move with the figure that is typed, or the variety that is added."""
        plan, line = host(self).plan, self._value.value
        if not self._adding or plan is None:
            super().submit()
            return
        change = OneChange(line, lambda now: add_variety(now, *typed_variety(line)))
        self._work_out(plan, lambda _: change)

    def after_save(self) -> None:
        if self._adding:
            self._variety, _ = typed_variety(self._value.value)
        super().after_save()

    def _close(self) -> None:
        self._adding = False
        super()._close()

    def action_variety(self, by: int) -> None:
        """The next variety, or the one before; round at the ends."""
        plan = host(self).plan
        names = [] if plan is None else list(plan.season.varieties)
        if names and not self._line.asked:
            self._variety = names[(names.index(self._variety) + by) % len(names)]
            self._list.redraw()
