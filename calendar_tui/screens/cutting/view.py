"""One lot at a time: from when to when it may be cut, its official sample, what another way would win; recorded from here."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import ClassVar

from textual import work
from textual.binding import BindingType

from calendar_tui.handing_on.words.lot_page import BESIDE, lot_parts
from calendar_tui.handing_on.words.lot_strip import legend, strip_lines
from calendar_tui.planning.cutting.gains import Gain, gain_of
from calendar_tui.planning.cutting.listing import LotCuts, lot_cuts
from calendar_tui.planning.cutting.windows import AS_IT_IS, LotCut, WhatIf
from calendar_tui.planning.plan import Plan
from calendar_tui.screens.cutting.official_form import official_step
from calendar_tui.screens.forms.form_view import FormView
from calendar_tui.screens.kit.actions import bindings, shown_key
from calendar_tui.screens.kit.drawing import (
    BOLD,
    DIM,
    HEADING,
    PLAIN,
    WARNING,
    ListRow,
    names_row,
    row,
    wrapped,
)
from calendar_tui.screens.kit.glyphs import ASCII
from calendar_tui.screens.kit.headed_page import HeadedPage
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.themes import named
from calendar_tui.season.lots import lots_of_cohort
from calendar_tui.season.refusal import Refusal

FOOT = ("lots", "undo", "redo", "page", "help", "view")
NO_LOT = "There are no cohorts yet, and so no lots to cut."
# What a sentence begins with that is drawn as a warning.
_WARNED = ("!", "CONFLICT", "waits for", "failed", "its latest day is")
MOST_HANDS = 1000
# Lines of a terminal from which on the heading has the rules too.
LEAST_HEIGHT = 20


@dataclass(frozen=True)
class Shown:
    """What the page shows. tried: what is tried; gain: what comes of it, or why it cannot be; None until it is worked out."""

    lots: LotCuts
    lot: str
    tried: WhatIf = AS_IT_IS
    gain: Gain | str | None = None

    @property
    def cut(self) -> LotCut | None:
        return self.lots.of_lot(self.lot)


def first_lots(plan: Plan) -> LotCuts:
    """What the view opens with. Not for the event loop."""
    return lot_cuts(plan.season, plan.ripe, plan.today)


def gain_or_why(lots: LotCuts, lot: str, what_if: WhatIf) -> Gain | str | None:
    """What comes of what is tried, or why it cannot be; None where nothing is."""
    cut = lots.of_lot(lot)
    if cut is None or what_if == AS_IT_IS:
        return None
    try:
        return gain_of(lots.sight, cut, what_if)
    except Refusal as wrong:
        return str(wrong)


def lot_rows(plan: Plan, shown: Shown, keys: str, width: int, ascii_only: bool) -> Iterator[ListRow]:
    """The page of a lot. keys: how another way is tried, where nothing is."""
    cut = shown.cut
    if cut is None:
        return
    for n, part in enumerate(lot_parts(plan, cut, shown.lots.made, shown.tried, shown.gain)):
        if n:
            yield row()
        yield row((part.title, HEADING))
        if part.title == BESIDE:
            yield from _strip(cut, plan.today, width, ascii_only)
        for text in part.texts:
            style = WARNING if text.startswith(_WARNED) else PLAIN
            yield from wrapped(text, width, "  ", "    ", style=style)
        if part.title == "What if" and shown.tried == AS_IT_IS:
            yield from wrapped(keys, width, "  ", "    ")


def _strip(cut: LotCut, today: date, width: int, ascii_only: bool) -> Iterator[ListRow]:
    """The days side by side, and what their signs stand for."""
    lines = [*strip_lines(cut, today, width - 2, ascii_only)]
    for line in lines:
        yield row(f"  {line}")
    if lines:
        yield from wrapped(legend(ascii_only), width, "  ", "  ", style=named("legend"))


class LotView(HeadedPage[None]):
    """Stays open when a change is saved."""

    HELP_FIRST = "lots"
    BINDINGS: ClassVar[list[BindingType]] = bindings("lots", "undo", "redo")

    def __init__(
        self, lots: LotCuts, name: str = "", itself: bool = False, marked: Sequence[str] = ()
    ) -> None:
        """name: the lot, or the cohort of which the first is shown; without one that which is nearest its day.

        itself: though it is cut; else that which is nearest its day is shown in its place. marked: cohorts of which a step is
        recorded together.
        """
        super().__init__(FOOT)
        self._marked = tuple(marked)
        own, nearest = lots.of_lot(name), next(iter(lots.cuts), None)
        first = nearest if own is None or (own.done and not itself) else own
        self._shown = Shown(lots, name if first is None else first.lot.id)

    def rows(self, width: int) -> Iterable[ListRow]:
        plan = host(self).plan
        if plan is None or self._shown.cut is None:
            return wrapped(NO_LOT, width)
        keys = (
            f"{shown_key(self, 'lots.greater_than_sign')} and {shown_key(self, 'lots.less_than_sign')}: the official sample a "
            f"day later or earlier; {shown_key(self, 'lots.plus,equals_sign')} and {shown_key(self, 'lots.minus')}: hands; "
            f"{shown_key(self, 'lots.f')}: the tops first"
        )
        return lot_rows(plan, self._shown, keys, width, host(self).glyphs == ASCII)

    def show_plan(self) -> None:
        """Work it out anew: the season may have changed."""
        if (plan := host(self).plan) is not None:
            self._work_out(plan, self._shown.lot, self._shown.tried)

    @work(thread=True, exclusive=True)
    def _work_out(self, plan: Plan, lot: str, tried: WhatIf) -> None:
        lots = first_lots(plan)
        name = next((one.lot.id for one in (lots.of_lot(lot), *lots.cuts) if one is not None), "")
        self.app.call_from_thread(self._take, plan, Shown(lots, name, tried, gain_or_why(lots, name, tried)))

    @work(thread=True, exclusive=True)
    def _try(self, plan: Plan, shown: Shown, tried: WhatIf) -> None:
        gain = gain_or_why(shown.lots, shown.lot, tried)
        self.app.call_from_thread(self._take, plan, Shown(shown.lots, shown.lot, tried, gain))

    def _take(self, plan: Plan, shown: Shown) -> None:
        """Show it, unless the season has changed meanwhile."""
        if plan is not host(self).plan or not self.is_attached:
            return
        self._shown = shown
        self.say_heading(self.size.width)
        self._body.redraw()

    def say_heading(self, width: int) -> None:
        cut = self._shown.cut
        plan = host(self).plan
        if cut is None or plan is None or cut.lot.cohort not in plan.season.cohorts:
            return
        variety = plan.season.cohorts[cut.lot.cohort].variety
        which = "cut" if cut.done else f"pass {cut.passes + 1}"
        names = [one.lot.id for one in self._shown.lots.cuts]
        part = f", {cut.lot.part}" if cut.lot.part else ""
        marked = f"  {len(self._marked)} marked" if self._marked else ""
        rows = [
            row((f"Day to cut: {cut.lot.id}", HEADING), f"  {variety}{part}, {which}", (marked, BOLD)),
            names_row(names, cut.lot.id, width - 1),
            *self._rules_rows(cut, width),
        ]
        self._heading.styles.height = len(rows)
        self._heading.say(*rows)

    def _rules_rows(self, cut: LotCut, width: int) -> list[ListRow]:
        """Whose rules these are and of when, in sight wherever the page is; a small terminal has them further down."""
        if cut.profile is None or self.app.size.height < LEAST_HEIGHT:
            return []
        return [*wrapped(cut.profile.citation, width - 1, "", "  ", style=DIM)]

    # --- other lots, and other ways

    def action_lot(self, by: int) -> None:
        """The next lot, those near their day first; round at the ends. What was tried was tried for the one before."""
        names = [one.lot.id for one in self._shown.lots.cuts]
        if self._shown.lot in names:
            name = names[(names.index(self._shown.lot) + by) % len(names)]
            self._body.scroll_home(animate=False)
            self._shown = Shown(self._shown.lots, name)
            self.say_heading(self.size.width)
            self._body.redraw()

    def _tried(self, tried: WhatIf) -> None:
        plan, shown = host(self).plan, self._shown
        if plan is not None and shown.cut is not None and not shown.cut.done:
            self._body.scroll_home(animate=False)
            self._try(plan, shown, tried)

    def action_official(self, by: int) -> None:
        """Try the official sample on another day: from the one that counts, or is to come, else from today."""
        cut = self._shown.cut
        if cut is None:
            return
        one = cut.official.coming or cut.official.taken
        day = self._shown.tried.official or (host(self).today if one is None else one.date)
        self._tried(self._shown.tried._replace(official=day + timedelta(days=by)))

    def action_hands(self, by: int) -> None:
        """Try more hands, or fewer; under one, the crew as it is."""
        hands = min((self._shown.tried.hands or 0) + by, MOST_HANDS)
        self._tried(self._shown.tried._replace(hands=hands if hands > 0 else None))

    def action_tops_first(self) -> None:
        """Try the tops first, or not."""
        tried = self._shown.tried
        self._tried(tried._replace(tops_first=not tried.tops_first))

    def action_as_it_is(self) -> None:
        """Nothing tried."""
        self._tried(AS_IT_IS)

    # --- what is opened and recorded

    def action_record_step(self) -> None:
        """Record a step of the official sample of this lot, or of all of the cohorts that are marked in the season."""
        plan, cut = host(self).plan, self._shown.cut
        if plan is not None and cut is not None:
            names = [name for name in self._marked if name in plan.season.cohorts]
            lots = [lot for name in names for lot in lots_of_cohort(plan.season, name)]
            self.app.push_screen(FormView(official_step(lots or [cut.lot])))

    async def action_trend(self) -> None:
        """The trend of this lot."""
        if (cut := self._shown.cut) is not None:
            await host(self).open_view("trend", cut.lot.id, True)

    async def action_drying(self) -> None:
        """Passes and the dryer, to record a pass of this lot."""
        if (cut := self._shown.cut) is not None:
            await host(self).open_view("drying", cut.lot.cohort)

    async def action_rules(self) -> None:
        """The rule profiles."""
        await host(self).open_view("rules")
