"""A staggering asked for in one form, then searched for with a bar that shows how far it is, and a way to stop."""

from __future__ import annotations

from collections.abc import Sequence
from threading import Event
from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.screen import Screen

from calendar_tui.planning.plan import Plan
from calendar_tui.planning.staggering.asking import (
    FIELDS,
    WishField,
    WishSetting,
    answered_wish,
    first_answers,
    place_fields,
    read_answers,
    understood,
)
from calendar_tui.planning.staggering.proposing import Stopped, Watch, stagger
from calendar_tui.planning.staggering.scheme import Scheme
from calendar_tui.planning.staggering.solve import missing_solver
from calendar_tui.planning.staggering.wish import Wish
from calendar_tui.screens.forms.blank import FormField
from calendar_tui.screens.forms.field_list import FieldList
from calendar_tui.screens.forms.line import picked
from calendar_tui.screens.kit.actions import bindings, shown_key
from calendar_tui.screens.kit.drawing import BOLD, DIM, HEADING, WARNING, Bar, first_rows, row, wrapped
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.keys import Keys
from calendar_tui.screens.staggering.blocked_view import BlockedView
from calendar_tui.screens.staggering.scheme_view import SchemeView
from calendar_tui.season.measures import as_written, measured, unit_shown
from calendar_tui.season.records import Place, Season

FOOT = ("stagger",)
BAR_CELLS = 24
PLACES = "places that may be used"
_HINT_ROWS = 3


def bar_text(step: str, part: float, cells: int = BAR_CELLS) -> str:
    """ "[######------]  50 %  search". part: how much is done, 0 to 1."""
    full = round(cells * part)
    return f"[{'#' * full}{'-' * (cells - full)}] {part:4.0%}  {step}"


def place_text(place: Place) -> str:
    """ "hoop house, 180 m2, with lamps"."""
    area = [] if place.area_m2 is None else [measured(place.area_m2, "m2", as_written)]
    return ", ".join([place.kind, *area, "with lamps" if place.lamps is not None else "no lamps"])


def form_fields(season: Season, first: dict[str, str]) -> Sequence[FormField]:
    """The fields of the form; first: what stands in them."""
    by_light = {light: place for place in season.places.values() for light in place.lights}
    fields = [_field(field, season, first) for field in FIELDS]
    places = [
        _field(field, season, first)._replace(unit=place_text(by_light[field.key]), above=PLACES)
        for field in place_fields(season)
    ]
    return [*fields, *places]


def _field(field: WishField, season: Season, first: dict[str, str]) -> FormField:
    names = tuple(field.names(season))
    return FormField(field.words, first[field.key], unit_shown(field.unit), field.meaning, names)


class WishFields(FieldList):
    """Left and Right pick among the names of a field; Enter in any field searches."""

    def action_edit(self, act: str) -> None:
        names, by = self.field.names, {"left": -1, "right": 1}.get(act)
        if by is not None and self.line.text in names:
            self._take(picked(self.line, names, by))
        else:
            super().action_edit(act)

    def action_enter(self) -> None:
        self._finish()


class StaggerForm(Screen[bool]):
    """Asks for a wish, all of it at once, and searches for it. Gives True once something is saved or kept."""

    CSS = f"#hint {{ height: {_HINT_ROWS}; }} WishFields {{ height: 1fr; }}"
    HELP_FIRST = "stagger"
    BINDINGS: ClassVar[list[BindingType]] = bindings("stagger")

    def __init__(self, cohort_id: str = "") -> None:
        """cohort_id: the cohort that a new one is like, "" for none."""
        super().__init__()
        self._cohort_id = cohort_id
        self._first: dict[str, str] = {}
        # What is wrong with each field, by its words.
        self._wrong: dict[str, str] = {}
        self._stop: Event | None = None
        self._heading, self._list, self._hint = Bar(id="heading"), WishFields(), Bar(id="hint")
        self._keys = Keys(FOOT)

    def compose(self) -> ComposeResult:
        # The fields stand there before the first paint, so that no empty page is sent ahead of them.
        like = (
            f"  one more like {self._cohort_id}"
            if self._cohort_id
            else "  planned backwards from their harvests"
        )
        self._heading.say(row(("Stagger cohorts", HEADING), like))
        yield self._heading
        yield self._list
        yield self._hint
        yield self._keys

    def on_mount(self) -> None:
        self.show_plan()
        self._list.focus()

    @property
    def text(self) -> str:
        """All that the view shows but its keys, as plain text."""
        return "\n".join(part.text for part in (self._heading, self._list, self._hint))

    # --- the fields

    def show_plan(self) -> None:
        """The season may have changed: what is typed stays."""
        plan = host(self).plan
        if plan is not None:
            self._first = first_answers(plan, self._cohort_id)
            self._list.show(form_fields(plan.season, self._first))
            self._read(plan)

    def _setting(self, plan: Plan) -> WishSetting:
        return WishSetting(plan.season, plan.today, host(self).date_order)

    def _answers(self, plan: Plan) -> dict[str, str]:
        typed, fields = self._list.typed, (*FIELDS, *place_fields(plan.season))
        return {field.key: typed.get(field.words, self._first[field.key]) for field in fields}

    def _read(self, plan: Plan) -> None:
        """Set beside each field what is wrong with it."""
        answers = self._answers(plan)
        values, wrong = read_answers(self._setting(plan), answers)
        if values.get("count") != 1 and "count" not in wrong and (missing := missing_solver()):
            wrong["count"] = missing
        words = {field.key: field.words for field in (*FIELDS, *place_fields(plan.season))}
        texts = {words[key]: understood(answers[key], value) for key, value in values.items()}
        self._wrong = {words[key]: text for key, text in wrong.items()}
        self._list.tell(texts, self._wrong)
        self._say_hint()

    def on_field_list_typed(self) -> None:
        plan = host(self).plan
        if plan is not None:
            self._read(plan)

    def on_picker_moved(self) -> None:
        self._say_hint()

    def _say_hint(self) -> None:
        """What is wrong with the field under the cursor, else what it means."""
        field = self._list.field
        error = self._list.error_of(field.words)
        text = error or f"{field.words}: {field.meaning}"
        pick = [row(("Left and Right choose: ", DIM), ("  ".join(field.names), BOLD))] if field.names else []
        rows = wrapped(text, self.size.width - 1, style=WARNING if error else DIM)
        self._hint.say(*[*rows[: _HINT_ROWS - len(pick)], *pick])

    # --- the search

    def on_field_list_finished(self) -> None:
        plan = host(self).plan
        if plan is None or self._stop is not None:
            return
        if self._wrong:
            self._list.left.update(self._wrong)
            self._list.stand_on(next(iter(self._wrong)))
            self._say_hint()
            return
        try:
            wish = answered_wish(self._setting(plan), self._answers(plan))
        except ValueError as wrong:
            self._warn(str(wrong))
            return
        self._stop = Event()
        self._search(plan, wish, self._stop)

    @work(thread=True, exclusive=True)
    def _search(self, plan: Plan, wish: Wish, stop: Event) -> None:
        def show_step(step: str, part: float) -> None:
            self.app.call_from_thread(self._show_step, step, part)

        try:
            scheme = stagger(plan, wish, watch=Watch(show_step, stop.is_set))
        except Stopped:
            self.app.call_from_thread(self._ended, "Stopped before there was anything to show.")
        except ValueError as refused:
            self.app.call_from_thread(self._refuse, str(refused), wish)
        else:
            self.app.call_from_thread(self._show, scheme, wish)

    def _show_step(self, step: str, part: float) -> None:
        if self._stop is not None:
            self._hint.say(
                row((bar_text(step, part), BOLD)), row((f"{shown_key(self, 'stagger.escape')} stops", DIM))
            )

    def _ended(self, message: str) -> None:
        self._stop = None
        self._warn(message)

    def _warn(self, message: str) -> None:
        width = self.size.width - 1
        self._hint.say(*first_rows(wrapped(message, width, style=WARNING), _HINT_ROWS, width))

    def _refuse(self, message: str, wish: Wish) -> None:
        """Why it cannot be, and what can."""
        self._stop = None
        self._say_hint()
        self.app.push_screen(BlockedView(message.split("; "), wish, None), self._after)

    def _show(self, scheme: Scheme, wish: Wish) -> None:
        self._stop = None
        self._say_hint()
        hard = scheme.hard_texts
        view = BlockedView(hard, wish, scheme) if hard else SchemeView(scheme, wish=wish)
        self.app.push_screen(view, self._after)

    def _after(self, saved: bool | None) -> None:
        if saved:
            self.dismiss(True)

    def action_back(self) -> None:
        if self._stop is not None:
            self._stop.set()
        else:
            self.dismiss(False)
