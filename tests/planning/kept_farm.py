"""An example season as a text that is changed: held open, and written with a proposal's change as saving writes it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import cache
from pathlib import Path

from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.replan import differing_tasks
from calendar_tui.planning.plan import make_plan
from calendar_tui.season.reading import read_season
from calendar_tui.storage.toml.splice import spliced
from tests.season_data import data_of

TODAY = date(2026, 12, 8)
TEXT = (Path(__file__).parents[2] / "seasons" / "two-rivers.toml").read_text(encoding="utf-8")


@dataclass(frozen=True)
class Kept:
    """A season file's text, and the season in it held open."""

    text: str
    held: HeldSeason

    def saved(self, proposal: Proposal) -> Kept:
        """The file with the change of a proposal; what the proposal says of the season is what the file then says."""
        made = kept(spliced(self.text, self.held.data, proposal.change.edits).text)
        season, planned = made.held.plan.season, proposal.plan.season
        for of in (
            "cohorts",
            "places",
            "varieties",
            "outages",
            "programmes",
            "crew",
            "capacity",
            "stock",
            "drafts",
        ):
            assert getattr(season, of) == getattr(planned, of), of
        assert {t.id: t for t in season.tasks} == {t.id: t for t in planned.tasks}
        return made

    @property
    def in_step(self) -> bool:
        """Whether its saved tasks are those of its plan."""
        return not differing_tasks(self.held.plan)


@cache
def kept(text: str = TEXT) -> Kept:
    reading = read_season(data := data_of(text))
    assert reading.season is not None, reading.problems
    return Kept(text, HeldSeason(make_plan(reading.season, TODAY), data, "", reading))
