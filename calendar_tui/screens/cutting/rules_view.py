"""The rules: the profiles of the season with their dates and sources, for which lots they hold, and those that can be taken in."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import ClassVar

from textual.binding import BindingType

from calendar_tui.handing_on.words.cautions import cautions
from calendar_tui.handing_on.words.rules_text import profile_texts
from calendar_tui.planning.changes.held_season import Ident
from calendar_tui.planning.changes.profiles import take_in
from calendar_tui.planning.plan import Plan
from calendar_tui.screens.forms.form_view import held_season
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
from calendar_tui.season.lots import lots_of, rules_for, rules_reason
from calendar_tui.season.rules import Profile

FOOT = ("rules", "records", "undo", "redo", "help", "view")
TITLE, DETAIL_LINES, NAME_WIDTH = "Rules", 9, 12
OWN, SHIPPED, LOT = "profile", "shipped", "lot"


def shipped_profiles() -> Mapping[str, Profile]:
    """Those that come with the program."""
    from calendar_tui.season.reading import read_starter
    from calendar_tui.storage.starter_lists import starter_profiles

    profiles: Mapping[str, Profile] = read_starter(OWN, [*starter_profiles().values()])
    return profiles


class RulesView(RecordsView):
    """The season's own, the lots with those that hold for them, and what comes with the program. Stays open when a change is saved."""

    HELP_FIRST = "rules"
    CSS = f"#detail {{ height: {DETAIL_LINES}; }}"
    BINDINGS: ClassVar[list[BindingType]] = bindings("rules")
    LISTED = (OWN,)

    def __init__(self, shipped: Mapping[str, Profile]) -> None:
        self._shipped, self._detail = shipped, Bar(id="detail")
        super().__init__(OWN, self._rows, FOOT, self._detail)

    def _rows(self, width: int) -> Iterable[ListRow]:
        plan = host(self).plan
        if plan is None:
            return
        self._heading.say(row((TITLE, HEADING), fitted(f"  {cautions('aid', 'rules')}", width - len(TITLE))))
        yield row(("In this season", HEADING))
        own = plan.season.profiles
        yield from (self._row(OWN, name, one.citation, width) for name, one in own.items())
        if not own:
            yield row((f"  none yet: {shown_key(self, 'rules.t')} takes one of those below in", DIM))
        yield row((f"Lots today, {len(lots_of(plan.season))}", HEADING))
        yield from (self._row(LOT, name, text, width) for name, text in _lot_texts(plan))
        yield row(("Coming with the program", HEADING))
        for name, one in self._shipped.items():
            has = "the season has its own: " if name in own else ""
            yield self._row(SHIPPED, name, f"{has}{one.citation}", width)

    def _row(self, kind: str, name: str, text: str, width: int) -> ListRow:
        room = max(width - NAME_WIDTH, 0)
        return row((fitted(name, NAME_WIDTH), BOLD), fitted(text, room), key=f"{kind} {name}")

    @property
    def _at(self) -> tuple[str, str]:
        kind, _, name = self._list.key.partition(" ")
        return kind, name

    @property
    def chosen(self) -> Chosen | None:
        """The season's own profile under the cursor, or that of the lot there."""
        (kind, name), plan = self._at, host(self).plan
        if plan is None:
            return None
        if kind == LOT:
            held = next(
                (rules_for(plan.season, lot, plan.today) for lot in lots_of(plan.season) if lot.id == name),
                None,
            )
            kind, name = OWN, "" if held is None else held.id
        return Chosen(OWN, (name,)) if kind == OWN and name in plan.season.profiles else None

    def on_picker_moved(self) -> None:
        """Say in full what is under the cursor: of a profile all that it sets and does not."""
        plan, width = host(self).plan, self.size.width - 1
        if plan is None:
            return
        texts = self._full(plan)
        rows = [r for text in texts for r in wrapped(text, width, rest="  ")]
        self._detail.say(*first_rows(rows, DETAIL_LINES, width))

    def _full(self, plan: Plan) -> Sequence[str]:
        kind, name = self._at
        if kind == LOT:
            return [f"{name}: {text}" for lot, text in _lot_texts(plan) if lot == name]
        profile = (plan.season.profiles if kind == OWN else self._shipped).get(name)
        if profile is None:
            return []
        citation, *rest = profile_texts(profile)
        return [citation, "; ".join(rest)]

    def select_record(self, kind: str, ident: Ident) -> None:
        """Put the cursor on this profile."""
        self._list.stand_on(f"{kind} {ident[0]}")

    def action_take_in(self) -> None:
        """Show what taking the profile in changes, to be saved there."""
        (kind, name), plan = self._at, host(self).plan
        if plan is None:
            return
        if kind != SHIPPED:
            self.notify("Put the cursor on a profile that comes with the program.")
        elif name in plan.season.profiles:
            self.notify(
                f"The season has its own {name}: {shown_key(self, 'records.enter,e')} changes it there."
            )
        else:
            self._take_in(name)

    def _take_in(self, name: str) -> None:
        from calendar_tui.storage.starter_lists import starter_profiles

        at, profile, table = host(self), self._shipped[name], starter_profiles()[name]
        self.show_moves(lambda plan: take_in(held_season(at, plan), table, profile))


def _lot_texts(plan: Plan) -> Iterator[tuple[str, str]]:
    """Each lot with the profile that holds for it today, and why."""
    for lot in lots_of(plan.season):
        held = rules_for(plan.season, lot, plan.today)
        by, citation = ("no rules", "") if held is None else (held.id, f"; {held.citation}")
        yield lot.id, f"{by}, {rules_reason(plan.season, lot, plan.today)}{citation}"
