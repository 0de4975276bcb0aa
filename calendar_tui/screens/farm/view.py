"""The farm: places with their lamps and programmes, varieties, crew, capacities; added to, changed and taken out here."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any, ClassVar, NamedTuple

from textual import work
from textual.binding import BindingType

from calendar_tui.handing_on.words.farm_text import (
    place_columns,
    place_standing_text,
    place_text,
    programme_text,
    table_text,
    variety_line,
)
from calendar_tui.planning.changes.held_season import Ident
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.plan import Plan
from calendar_tui.screens.forms.add_view import AddView
from calendar_tui.screens.forms.form_view import FormView
from calendar_tui.screens.forms.record_forms import changing
from calendar_tui.screens.forms.taking_out import TakeOutView, taken_out
from calendar_tui.screens.kit.actions import bindings
from calendar_tui.screens.kit.drawing import BOLD, DIM, HEADING, Bar, ListRow, fitted, row, wrapped
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.list_view import ListView
from calendar_tui.season.kinds import identity, identity_keys
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal

FOOT = ("farm", "undo", "redo", "help", "view")
TITLE = "The farm"
# Columns from which a place's area and lamps have room before what it holds.
NAME_WIDTH, DETAIL_LINES, ROOMY = 11, 2, 66
# The tables that stand once, by what they are called here.
TABLES: Mapping[str, str] = {
    "crew": "crew",
    "capacity": "capacities",
    "stock": "stock",
    "supplies": "supplies",
    "season": "season",
    "site": "site",
    "heat": "heat",
    "station": "station",
}
# Without these a season is none.
_NEEDED = ("season", "site")


class FarmRow(NamedTuple):
    """One line. kind, ident: the record; () of a table that stands once. name, text, holds: what stands in the line.

    full: the same as a sentence, "" where the line is one.
    """

    kind: str
    ident: Ident
    name: str
    text: str
    holds: str = ""
    full: str = ""

    @property
    def key(self) -> str:
        return " ".join((self.kind, *map(str, self.ident)))


def farm_rows(plan: Plan, data: Mapping[str, Any]) -> Iterator[tuple[str, list[FarmRow]]]:
    """The headings with their rows, in order."""
    season = plan.season
    yield "Places", [r for place in season.places for r in _place_rows(plan, place)]
    yield (
        "Varieties",
        [FarmRow("variety", (v.id,), v.id, variety_line(season, v)) for v in season.varieties.values()],
    )
    yield "Crew, capacities and the rest", [_table_row(kind, data) for kind in TABLES]


def _place_rows(plan: Plan, name: str) -> Iterator[FarmRow]:
    """A place, and its programmes below it."""
    place = plan.season.places[name]
    holds = place_standing_text(plan, name, plan.today)
    yield FarmRow("place", (name,), name, place_columns(place), holds, place_text(place))
    for programme in _programmes(plan.season, name):
        light, first = identity("programme", {"place": programme.place, "from": programme.first})
        about = programme_text(programme)
        yield FarmRow("programme", (light, first), "", f"{_part(light)}{about}")


def _programmes(season: Season, place: str) -> list[Any]:
    of_place = [p for p in season.programmes if p.place.partition(" ")[0] == place]
    return sorted(of_place, key=lambda p: p.first)


def _part(light: str) -> str:
    part = light.partition(" ")[2]
    return f"{part}: " if part else ""


def _table_row(kind: str, data: Mapping[str, Any]) -> FarmRow:
    return FarmRow(kind, (), TABLES[kind], table_text(kind, data.get(kind, {})) or "not set; e sets it")


class FarmView(ListView[None]):
    """Stays open when a change is saved."""

    HELP_FIRST = "farm"
    CSS = f"#detail {{ height: {DETAIL_LINES}; }}"
    BINDINGS: ClassVar[list[BindingType]] = bindings("farm", "undo", "redo")
    LISTED = ("place", "programme", "variety")

    def __init__(self, key: str = "") -> None:
        """key: the row under the cursor at first."""
        self._detail = Bar(id="detail")
        self._records: dict[str, FarmRow] = {}
        super().__init__(self._rows, FOOT, self._detail, key=key)

    def _rows(self, width: int) -> Iterable[ListRow]:
        plan = host(self).plan
        if plan is None:
            return
        places, varieties = len(plan.season.places), len(plan.season.varieties)
        self._heading.say(row((TITLE, HEADING), f"  {places} places, {varieties} varieties"))
        self._records = {}
        for title, rows in farm_rows(plan, host(self).opened.data):
            yield row((title, HEADING))
            yield from (self._row(at, width) for at in rows)
            if not rows:
                yield row(("  none yet: a adds one", DIM))

    def _row(self, at: FarmRow, width: int) -> ListRow:
        self._records[at.key] = at
        wide = width >= ROOMY or not at.holds
        text = at.text if wide else at.text.partition("  ")[0] + "  "
        room = max(width - NAME_WIDTH, 0)
        return row((fitted(at.name, NAME_WIDTH), BOLD), fitted(text + at.holds, room), key=at.key)

    @property
    def selected(self) -> FarmRow | None:
        """The record under the cursor."""
        return self._records.get(self._list.key)

    def on_picker_moved(self) -> None:
        """Say in full what there was no room for."""
        at, width = self.selected, self.size.width - 1
        texts = [] if at is None else [f"{at.name} {at.full or at.text}".strip(), at.holds]
        self._detail.say(*[r for text in texts if text for r in wrapped(text, width)][:DETAIL_LINES])

    def select_record(self, kind: str, ident: Ident) -> None:
        """Put the cursor on this record."""
        self._list.stand_on(FarmRow(kind, ident, "", "").key)

    def action_change(self) -> None:
        """Open the form of the record under the cursor."""
        if (at := self.selected) is not None:
            self.app.push_screen(FormView(changing(at.kind, at.ident)))

    def action_add(self) -> None:
        """Add a record of the kind under the cursor; of a table that stands once, set its fields."""
        at = self.selected
        if at is not None and not identity_keys(at.kind):
            self.action_change()
        else:
            self.app.push_screen(AddView(kind=at.kind if at else "place"))

    def action_take_out(self) -> None:
        """Show what goes with the record under the cursor; or why it stays."""
        at, plan = self.selected, host(self).plan
        if at is None or plan is None:
            return
        if at.kind in _NEEDED:
            self.notify(f"No season is without its {at.kind}: e changes it.")
        else:
            self._work_out(plan, dict(host(self).opened.data), at)

    @work(thread=True, exclusive=True)
    def _work_out(self, plan: Plan, data: dict[str, Any], at: FarmRow) -> None:
        try:
            proposal = taken_out(plan, data, at.kind, [at.ident])
        except Refusal as wrong:
            self.app.call_from_thread(self._refuse, str(wrong))
            return
        self.app.call_from_thread(self._ask, proposal, at)

    def _ask(self, proposal: Proposal, at: FarmRow) -> None:
        self.app.push_screen(TakeOutView(proposal, at.kind, [at.ident]))

    def _refuse(self, why: str) -> None:
        self.notify(f"{why[:1].upper()}{why[1:]}.", severity="warning")
