"""What of a plan is in sight: the look at it, and with a layout, glyphs and what was drawn before, all that a row is drawn from."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple

from calendar_tui.planning.arranging import Row, found_in, groups_of, rows_of, texts_of
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan
from calendar_tui.screens.kit.glyphs import Glyphs
from calendar_tui.screens.kit.kept import Kept
from calendar_tui.screens.kit.preferences import AS_IT_COMES, Preferences
from calendar_tui.screens.kit.window import Window
from calendar_tui.screens.season.arrangement import AS_OPENED, Arrangement
from calendar_tui.screens.season.layout import Layout, lay


class Look(NamedTuple):
    """What of a plan is on screen.

    selected and top: numbers of rows. cursor: None on paper. clashes: whether they are told, or are still looked for.
    preferences: what the person in front has set.
    """

    window: Window
    zoom: str
    selected: int
    top: int
    cursor: date | None
    clashes: bool = True
    marked: frozenset[str] = frozenset()
    arrangement: Arrangement = AS_OPENED
    preferences: Preferences = AS_IT_COMES


class Sight(NamedTuple):
    """A look at a plan on a screen. kept: what was drawn of that plan with these glyphs. rows: all there are, in order."""

    plan: Plan
    look: Look
    layout: Layout
    glyphs: Glyphs
    kept: Kept
    rows: tuple[Row, ...]

    @property
    def timeline(self) -> Timeline | None:
        """The cohort pointed at; None where there is none, or a folded group."""
        at = self.look.selected
        row = self.rows[at] if 0 <= at < len(self.rows) else None
        return None if row is None else self.plan.timelines.get(row.cohort)


def sight_of(plan: Plan, look: Look, layout: Layout, glyphs: Glyphs, kept: Kept) -> Sight:
    """What is in sight with this look. kept: forgets what is of another plan or has other glyphs."""
    kept.on(plan, glyphs)
    return Sight(plan, look, layout, glyphs, kept, kept_rows(kept, plan, look.arrangement))


def kept_rows(kept: Kept, plan: Plan, arrangement: Arrangement) -> tuple[Row, ...]:
    """The rows of an arrangement. Letter by letter, words look only through texts that are there already."""

    def rows() -> tuple[Row, ...]:
        groups = kept.once("groups", arrangement.way, lambda: groups_of(plan, arrangement.way))
        if arrangement.words.strip():
            texts = kept.once("texts", arrangement.way, lambda: texts_of(plan, groups))
            groups = found_in(groups, texts, arrangement.words)
        return rows_of(groups, arrangement.folded)

    return kept.once("rows", arrangement, rows)


def kept_count(kept: Kept, plan: Plan, arrangement: Arrangement) -> int:
    """How many cohorts an arrangement shows, in rows of their own or folded."""
    rows = kept_rows(kept, plan, arrangement)
    return kept.once("count", arrangement, lambda: sum(len(row.group.cohorts) for row in rows if row.first))


def layout_of(kept: Kept, plan: Plan, arrangement: Arrangement, width: int, height: int) -> Layout:
    """The layout of a screen of this size, its footer not counted."""
    # While words are typed, and when a group is folded, all stays where it is.
    groups = kept.once("groups", arrangement.way, lambda: groups_of(plan, arrangement.way))
    source = (arrangement.way, width, height)
    return kept.once("layout", source, lambda: lay(plan, groups, len(plan.season.cohorts), width, height))
