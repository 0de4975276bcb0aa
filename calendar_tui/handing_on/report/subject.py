"""What a growers' page is about: a season, its trials or one of them, and what of persons and places may be told."""

from __future__ import annotations

from typing import NamedTuple

from calendar_tui.handing_on.words.openness import Openness, shown_position
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.trials.drawing import plots_of_trial
from calendar_tui.season.records import Variety
from calendar_tui.season.trials import Trial


class Subject(NamedTuple):
    """trials: those told; is_one: whether one was named, whose cohorts alone are then told."""

    plan: Plan
    trials: tuple[Trial, ...]
    openness: Openness
    is_one: bool = False

    @property
    def position(self) -> tuple[float, float]:
        """Latitude and longitude, degrees, as they are told."""
        return shown_position(self.plan.season.site, self.openness)

    @property
    def timelines(self) -> tuple[Timeline, ...]:
        """The cohorts that are told, laid out."""
        every = self.plan.timelines
        if not self.is_one:
            return tuple(every.values())
        season = self.plan.season
        own = {plot.cohort for one in self.trials for plot in plots_of_trial(season, one.id)}
        return tuple(timeline for name, timeline in every.items() if name in own)

    @property
    def varieties(self) -> tuple[Variety, ...]:
        """Theirs, in the order of the season."""
        grown = {one.cohort.variety for one in self.timelines}
        return tuple(one for one in self.plan.season.varieties.values() if one.id in grown)
