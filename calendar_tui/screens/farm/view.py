"""The farm: places with their lamps and programmes, varieties, crew, capacities; added to, changed and taken out here."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import TYPE_CHECKING, Any, ClassVar, NamedTuple

from textual.binding import BindingType

from calendar_tui.handing_on.words.farm_text import (
    place_columns,
    place_occupancy_text,
    place_text,
    programme_text,
    table_text,
    variety_line,
)
from calendar_tui.planning.changes.held_season import Ident
from calendar_tui.planning.plan import Plan
from calendar_tui.screens.farm.weather_form import WeatherView
from calendar_tui.screens.forms.records_view import Chosen, RecordsView
from calendar_tui.screens.kit.actions import bindings, shown_key
from calendar_tui.screens.kit.drawing import (
    BOLD,
    DIM,
    HEADING,
    Bar,
    ListRow,
    first_rows,
    fitted,
    row,
    wrapped,
)
from calendar_tui.screens.kit.host import host
from calendar_tui.season.kinds import identity
from calendar_tui.season.records import Season
from calendar_tui.season.upgrades import upgraded

if TYPE_CHECKING:
    from calendar_tui.handing_on.next_file import NextFile

FOOT = ("records", "next season", "weather", "undo", "redo", "help", "view")
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


# What stands below the varieties, by kind.
OF_CROP: Mapping[str, str] = {
    "profile": "rules",
    "laboratory": "laboratory",
    "sampling": "sampling plan",
    "lot": "lot",
    "spray": "spray",
}


class FarmRow(NamedTuple):
    """One line. kind, ident: the record; () of a table that stands once, and where there is none. name, text, holds: what stands in the line.

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


def farm_rows(
    plan: Plan, data: Mapping[str, Any], setting: str, adding: str
) -> Iterator[tuple[str, list[FarmRow]]]:
    """The headings with their rows, in order. setting: the key that sets a table which is not there; adding: that adds a record."""
    season = plan.season
    yield "Places", [r for place in season.places for r in _place_rows(plan, place)]
    yield (
        "Varieties",
        [FarmRow("variety", (v.id,), v.id, variety_line(season, v)) for v in season.varieties.values()],
    )
    yield (
        "Rules, laboratories, sampling plans, lots, sprays",
        [r for kind in OF_CROP for r in _crop_rows(kind, data, adding)],
    )
    yield "Crew, capacities and the rest", [_table_row(kind, data, setting) for kind in TABLES]


def _place_rows(plan: Plan, name: str) -> Iterator[FarmRow]:
    """A place, and its programmes below it."""
    place = plan.season.places[name]
    holds = place_occupancy_text(plan, name, plan.today)
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


def _crop_rows(kind: str, data: Mapping[str, Any], adding: str) -> Iterator[FarmRow]:
    """The records of a kind with what is set of each, or that there is none."""
    records, what = upgraded(data).get(kind, ()), OF_CROP[kind]
    for record in records:
        name = str(record["id"])
        yield FarmRow(kind, (name,), name, f"{what}: {table_text(kind, record) or 'as it is by itself'}")
    if not records:
        yield FarmRow(kind, (), what, f"none yet; {adding} adds one")


def _table_row(kind: str, data: Mapping[str, Any], setting: str) -> FarmRow:
    text = table_text(kind, data.get(kind, {})) or f"not set; {setting} sets it"
    return FarmRow(kind, (), TABLES[kind], text)


class FarmView(RecordsView):
    """Every record but cohorts and chores."""

    HELP_FIRST = "farm"
    CSS = f"#detail {{ height: {DETAIL_LINES}; }}"
    LISTED = ("place", "programme", "variety", *OF_CROP)
    BINDINGS: ClassVar[list[BindingType]] = bindings("next season", "weather")

    def __init__(self, key: str = "") -> None:
        """key: the row under the cursor at first."""
        self._detail = Bar(id="detail")
        self._records: dict[str, FarmRow] = {}
        super().__init__("place", self._rows, FOOT, self._detail, key=key)

    def _rows(self, width: int) -> Iterable[ListRow]:
        plan = host(self).plan
        if plan is None:
            return
        places, varieties = len(plan.season.places), len(plan.season.varieties)
        self._heading.say(row((TITLE, HEADING), f"  {places} places, {varieties} varieties"))
        self._records = {}
        keys = shown_key(self, "records.enter,e"), shown_key(self, "records.a")
        for title, rows in farm_rows(plan, host(self).opened.data, *keys):
            yield row((title, HEADING))
            yield from (self._row(at, width) for at in rows)
            if not rows:
                yield row((f"  none yet: {shown_key(self, 'records.a')} adds one", DIM))

    def _row(self, at: FarmRow, width: int) -> ListRow:
        self._records[at.key] = at
        wide = width >= ROOMY or not at.holds
        text = at.text if wide else at.text.partition("  ")[0] + "  "
        room = max(width - NAME_WIDTH, 0)
        return row((fitted(at.name, NAME_WIDTH - 1) + " ", BOLD), fitted(text + at.holds, room), key=at.key)

    @property
    def selected(self) -> FarmRow | None:
        """The record under the cursor."""
        return self._records.get(self._list.key)

    @property
    def chosen(self) -> Chosen | None:
        at = self.selected
        return None if at is None else Chosen(at.kind, at.ident)

    @property
    def _is_none_yet(self) -> bool:
        """Whether the cursor is on the line of a kind of which there is no record."""
        at = self.chosen
        return at is not None and not at.ident and at.kind in OF_CROP

    def action_change(self) -> None:
        """Open the form of the record under the cursor, or that of a first one."""
        if self._is_none_yet:
            self.action_add()
        else:
            super().action_change()

    def action_take_out(self) -> None:
        """Show what goes with the record under the cursor; nothing where there is none yet."""
        if not self._is_none_yet:
            super().action_take_out()

    def action_take_weather_in(self) -> None:
        """Ask for a weather file, and show what it brings."""
        folder = host(self).opened.path.absolute().parent
        self.app.push_screen(WeatherView(folder))

    def action_next_season(self) -> None:
        """Show next year's season, to be made beside this one."""
        from calendar_tui.handing_on.next_file import next_file
        from calendar_tui.planning.next_season.making import Wish
        from calendar_tui.screens.asking.next_season_view import show_next_season

        at = host(self)
        if (plan := at.plan) is None:
            return
        opened, today = at.opened, at.today
        show_next_season(self, lambda: next_file(opened, (plan,), Wish(), today), self._made)

    def _made(self, file: NextFile) -> None:
        self.notify(f"Made {file.path.name}, beside this season.", markup=False)

    def on_picker_moved(self) -> None:
        """Say in full what there was no room for."""
        at, width = self.selected, self.size.width - 1
        texts = [] if at is None else [f"{at.name} {at.full or at.text}".strip(), at.holds]
        rows = [r for text in texts if text for r in wrapped(text, width)]
        self._detail.say(*first_rows(rows, DETAIL_LINES, width))

    def select_record(self, kind: str, ident: Ident) -> None:
        """Put the cursor on this record."""
        self._list.stand_on(FarmRow(kind, ident, "", "").key)
