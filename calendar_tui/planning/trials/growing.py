"""Whose plants stand in the plots of a trial: cohorts that are there, or new ones with planned dates, by what is planted together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import Any, NamedTuple

from calendar_tui.planning.trials.layout import DrawnPlot
from calendar_tui.season.naming import next_names
from calendar_tui.season.records import Cohort, Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.stages import FIRST
from calendar_tui.season.trials import DATE, VARIETY, Trial, level_date
from calendar_tui.season.wording import full_day_text


class Together(NamedTuple):
    """What one cohort shares: its variety, its date of planting, None where none is set, and the light under which it grows."""

    variety: str
    planted: date | None
    light: str


class NewCohort(NamedTuple):
    """A cohort that is not there yet. table: as the file has it."""

    id: str
    table: Mapping[str, Any]


def together(trial: Trial, plot: DrawnPlot) -> Together:
    """Which plants a plot gets. Raises Refusal where no variety is set."""
    variety = plot.grown.get(VARIETY, trial.variety)
    if not variety:
        raise Refusal(f"trial {trial.id}: variety is not set and is no factor; set one of the two")
    level = plot.grown.get(DATE, "")
    return Together(variety, level_date(level) if level else trial.date, plot.of.light)


def cohort_there(season: Season, trial: Trial, wanted: Together) -> Cohort | None:
    """The cohort of the season that is planted so; None where there is none. Raises Refusal where several are."""
    alike = [
        cohort
        for cohort in season.cohorts.values()
        if cohort.variety == wanted.variety
        and wanted.light in cohort.growing_lights
        and (wanted.planted is None or cohort.fixed(cohort.planting) == wanted.planted)
    ]
    if len(alike) > 1:
        names = ", ".join(cohort.id for cohort in alike)
        right = "" if wanted.planted else "; set the planting date of the trial, or make it a factor"
        raise Refusal(f"trial {trial.id}: {_text(wanted)} may be of {names}{right}")
    if not alike and wanted.planted is None:
        raise Refusal(
            f"trial {trial.id}: {_text(wanted)} has no cohort, and no planting date is set to make one; set it"
        )
    return alike[0] if alike else None


def _text(wanted: Together) -> str:
    planted = f", planted on {full_day_text(wanted.planted)}," if wanted.planted else ""
    return f"{wanted.variety} in {wanted.light}{planted}"


def new_cohorts(
    season: Season, trial: Trial, missing: Mapping[Together, Sequence[DrawnPlot]]
) -> list[NewCohort]:
    """The cohorts to be made, in the order of their planting."""
    names = next_names(f"{trial.id}-0", list(season.cohorts), len(missing))
    in_turn = sorted(missing, key=lambda wanted: (wanted.planted or date.max, wanted.light, wanted.variety))
    return [
        NewCohort(name, {"id": name, **_table(season, trial, wanted, missing[wanted])})
        for name, wanted in zip(names, in_turn, strict=True)
    ]


def _table(season: Season, trial: Trial, wanted: Together, plots: Sequence[DrawnPlot]) -> dict[str, Any]:
    place, _, part = wanted.light.partition(" ")
    spacings = {plot.ground.spacing_m for plot in plots}
    values = {
        "variety": wanted.variety,
        "start": trial.start,
        "nursery": trial.nursery,
        "place": place,
        "part": part,
        "plants": plants_of(plots),
        "spacing_m": list(spacings.pop()) if len(spacings) == 1 else None,
        "planned": _planned(season, trial, wanted),
    }
    return {key: value for key, value in values.items() if value not in ("", None)}


def plants_of(plots: Sequence[DrawnPlot]) -> int:
    """Plants of these plots, guards within them included."""
    return sum(plot.ground.planted for plot in plots)


def _planned(season: Season, trial: Trial, wanted: Together) -> dict[str, date]:
    """Its start and its transplant: from a nursery the start is so much earlier as its variety takes until then."""
    assert wanted.planted is not None
    first = FIRST[trial.start][0]
    if not trial.nursery:
        return {first: wanted.planted}
    days = season.varieties[wanted.variety].to_transplant_d(trial.start).likely
    return {first: wanted.planted - timedelta(days=round(days)), "transplant": wanted.planted}
