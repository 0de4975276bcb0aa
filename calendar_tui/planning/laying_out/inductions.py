"""Trigger and induction of a cohort in each future, by its own figures and its own light."""

from __future__ import annotations

from typing import NamedTuple

from calendar_tui.nature.plant import Induction, Response, induction
from calendar_tui.planning.laying_out.figures import Figures
from calendar_tui.planning.laying_out.light import Light
from calendar_tui.planning.laying_out.own_light import felt_in_futures
from calendar_tui.planning.laying_out.stages import Days, Stages
from calendar_tui.season.records import Cohort, Season


class Growth(NamedTuple):
    """What the count of short days of a cohort rests on: its early stages, and in each future its figures and the day it can count from."""

    cohort: Cohort
    early: Stages
    ready: Days
    figures: Figures


def inductions(season: Season, light: Light, growth: Growth) -> list[Induction | None]:
    """The trigger and induction in each future, as day numbers of the season; None where they do not come within it."""
    figures, zero, last = growth.figures, light.first.toordinal(), len(light.natural_h)
    columns = zip(
        felt_in_futures(light, season, growth.cohort, growth.early),
        growth.ready,
        figures.critical_h,
        figures.full_h,
        figures.inductive_d,
        strict=True,
    )
    return [
        induction(felt, int(min(max(begin - zero, 0), last)), Response(critical, full, needed))
        for felt, begin, critical, full, needed in columns
    ]
