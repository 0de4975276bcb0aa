"""Two outcomes of one stage, where its futures lie weeks apart."""

from __future__ import annotations

from datetime import date
from math import inf
from typing import NamedTuple

from calendar_tui.language.speaking import phrase
from calendar_tui.nature.futures import parted
from calendar_tui.planning.laying_out.stages import StageDate
from calendar_tui.season.wording import day_text

# So many days without a future in them part the outcomes of a stage (a choice).
APART_D = 14


class Outcome(NamedTuple):
    """day: the median of its futures (date.toordinal), infinite where it does not come within the season."""

    day: float
    futures: int

    @property
    def date(self) -> date | None:
        """The median date; None where it does not come within the season."""
        return None if self.day == inf else date.fromordinal(int(self.day))

    @property
    def text(self) -> str:
        """ "about 22 Oct"."""
        return (
            phrase("not within the season")
            if self.date is None
            else phrase("about {day}", day=day_text(self.date))
        )


def outcomes(stage: StageDate) -> tuple[Outcome, ...]:
    """The earlier and the later outcome; empty where they do not lie apart."""
    return tuple([Outcome(*part) for part in parted(stage.days, APART_D)])


def outcomes_text(stage: StageDate) -> str:
    """ "about 22 Oct in 12 of 50 futures, about 6 Dec in 38"; "" where they do not lie apart."""
    both = outcomes(stage)
    if not both:
        return ""
    early, late = both
    count = early.futures + late.futures
    return phrase(
        "{early} in {futures} of {count} futures, {late} in {others}",
        early=early.text,
        futures=early.futures,
        count=count,
        late=late.text,
        others=late.futures,
    )
