"""Where and when one writes down: what is walked, the day, the variables, and who looks; each set by what is typed."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import NamedTuple

from calendar_tui.planning.field_book.due import Round
from calendar_tui.planning.field_book.grid import Grid, day_of_entry, grid_of, walk_of, walks_of
from calendar_tui.planning.field_book.sheet import typed_day
from calendar_tui.planning.plan import Plan

DAY, WHO, VARIABLES, FILE = "day", "who", "variables", "file"
PROMPTS: Mapping[str, str] = {
    DAY: "date of what is written here:",
    WHO: "who looks:",
    VARIABLES: "variables, with commas; nothing for those that are due:",
    FILE: "file of a filled sheet:",
}


class Where(NamedTuple):
    """walk: a trial, "" for the cohorts as a whole, None for the first there is; day: None for today; names: of the variables,
    none for those that are due.
    """

    walk: str | None = None
    day: date | None = None
    names: tuple[str, ...] = ()
    who: str = ""

    def on(self, today: date) -> date:
        return self.day or today

    def text(self, what: str, today: date, folder: str) -> str:
        """What stands there to be typed over."""
        texts = {
            DAY: self.on(today).isoformat(),
            WHO: self.who,
            VARIABLES: ", ".join(self.names),
            FILE: f"{folder}/",
        }
        return texts[what]

    def answered(self, plan: Plan, what: str, text: str, order: str) -> Where:
        """With what was typed. Raises ValueError."""
        if what == WHO:
            return self._replace(who=text)
        if what == DAY:
            return self._replace(day=typed_day(plan, text, order=order), names=())
        names = tuple(name.strip() for name in text.split(",") if name.strip())
        grid_of(plan.season, self.walk or "", self.on(plan.today), names)
        return self._replace(names=names)

    def of_round(self, plan: Plan, one: Round) -> Where:
        """Where the round is written down."""
        return self._replace(
            walk=walk_of(plan.season, one), day=day_of_entry(one, plan.today), names=(one.variable,)
        )

    def beside(self, plan: Plan, by: int) -> Where:
        """The next trial, or the cohorts as a whole; round at the ends."""
        walks = walks_of(plan.season, self.on(plan.today))
        if self.walk not in walks:
            return self
        return self._replace(walk=walks[(walks.index(self.walk) + by) % len(walks)], names=())

    def there(self, plan: Plan) -> tuple[Where, Grid | None]:
        """Where one really is in the season as it is now, and its grid; None where there is nothing to write down."""
        day = self.on(plan.today)
        walks = walks_of(plan.season, day) if plan.season.variables else []
        if not walks:
            return self, None
        walk = self.walk if self.walk in walks else walks[0]
        names = tuple(name for name in self.names if name in plan.season.variables)
        grid = grid_of(plan.season, walk or "", day, names)
        found = self._replace(walk=walk, names=tuple(one.id for one in grid.variables))
        return found, grid if grid.rows else None
