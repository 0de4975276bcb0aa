"""A small app to stand views in: it holds a season in memory and saves changes to it one after another."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path
from types import SimpleNamespace
from typing import Any

from textual.app import App
from textual.screen import Screen

from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.screens.kit.glyphs import glyph_set
from calendar_tui.screens.kit.notices import Notices
from calendar_tui.screens.kit.preferences import AS_IT_COMES
from calendar_tui.screens.opening_views import open_view
from calendar_tui.season.edits import Change, apply_edits
from calendar_tui.season.reading import read_season
from tests.season_data import TWO_RIVERS, data_of

SEASON = (
    TWO_RIVERS
    + """\
[[place]]
id = "N1"
kind = "nursery"
lamps = { target_h = 18.0 }
[[place]]
id = "H2"
kind = "hoop house"
lamps = { target_h = 16.0 }
[[place]]
id = "F1"
kind = "field"
[[variety]]
id = "amber"
response = "short-day"
critical_day = "14:00"
full_response_day = "12:30"
[[chore]]
id = "lamps-off"
what = "Switch the lamps off"
stage = "lights_off"
who = "Ana"
hours = 1.0
caution = "Lamps in wet places: ground-fault protection; a licensed electrician decides"
[[chore]]
id = "survival"
what = "Survival count"
stage = "transplant"
offset_d = 7
[[cohort]]
id = "A1"
variety = "amber"
start = "seed"
nursery = "N1"
place = "H2"
planned = { seeding = 2026-10-05, transplant = 2026-10-30, lights_off = 2026-12-20 }
recorded = { seeding = 2026-10-05 }
[[cohort]]
id = "A3"
variety = "amber"
start = "seed"
nursery = "N1"
place = "F1"
planned = { seeding = 2026-10-05, transplant = 2026-10-30 }
[[task]]
id = "late"
date = 2026-10-30
what = "Stake the rows"
cohort = "A1"
place = "H2"
[[task]]
id = "mon1"
date = 2026-11-02
what = "Scout for pests"
cohort = "A1"
place = "H2"
who = "Ana"
hours = 0.5
[[task]]
id = "loff"
date = 2026-12-20
what = "Switch the lamps off"
cohort = "A1"
place = "H2"
chore = "lamps-off"
who = "Ana"
hours = 1.0
[[task]]
id = "mon2"
date = 2026-11-02
what = "Walk the lamps"
cohort = "A1"
place = "H2"
chore = "lamps-off"
n = 2
moved = true
[[task]]
id = "sun1"
date = 2026-11-08
what = "Water"
state = "skipped"
[[task]]
id = "next"
date = 2026-11-10
what = "Hoe"
[[task]]
id = "surv"
date = 2026-11-06
what = "Survival count"
cohort = "A1"
place = "H2"
chore = "survival"
"""
)


class SmallApp(App[None]):
    """Holds `first`, the view under test, over an empty screen."""

    def __init__(self, first: Screen[Any], today: date, text: str = SEASON) -> None:
        super().__init__()
        self.first, self.today, self.date_order, self.who = first, today, "", "ana"
        self.preferences = AS_IT_COMES
        self.data: dict[str, Any] = data_of(text)
        self.plan: Plan | None = None
        self.opened = SimpleNamespace(path=Path("season.toml"))
        self.glyphs, self.notices = glyph_set(False), Notices()
        self.saved: list[Change] = []
        self.messages: list[str] = []
        self.fails = self.works_on_file = False
        self._read()

    def on_mount(self) -> None:
        self.push_screen(self.first)

    def notify(self, message: str, **how: Any) -> None:
        self.messages.append(message)

    async def open_view(self, name: str, *needs: Any, then: Callable[[Any], None] | None = None) -> None:
        await open_view(self, name, *needs, then=then)

    def save(self, change: Change) -> None:
        self.call_later(self._save, change)

    def reload(self) -> None:
        self._read()
        for screen in self.screen_stack:
            if hasattr(screen, "show_plan"):
                screen.show_plan()

    def _save(self, change: Change) -> None:
        if self.fails:
            return
        self.data = apply_edits(self.data, change.edits)
        self.saved.append(change)
        self.reload()

    def _read(self) -> None:
        reading = read_season(self.data)
        assert reading.season is not None, reading.problems
        self.opened.data, self.opened.reading = self.data, reading
        self.plan = make_plan(reading.season, self.today, self.plan)


def states(app: SmallApp) -> dict[str, str]:
    """The saved state of each task, by id."""
    return {t["id"]: t.get("state", "open") for t in app.data["task"]}
