"""The stages that do not depend on light: from seeding or sticking to lights on and lights off."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, NamedTuple

from calendar_tui.language.speaking import phrase
from calendar_tui.nature.futures import COUNT
from calendar_tui.planning.laying_out.figures import figures_of, shoot_span, transplant_span
from calendar_tui.planning.laying_out.heat import emergence, emergence_reason, heating, shoot_of
from calendar_tui.planning.laying_out.stages import Course, Laid, StageDate, Stages, point
from calendar_tui.planning.laying_out.stays import Stay, lamp_stays, stays_of
from calendar_tui.season.records import Cohort, Season, Span
from calendar_tui.season.stages import LAMP_STAGES
from calendar_tui.season.wording import span_text

if TYPE_CHECKING:
    from calendar_tui.planning.laying_out.warmth import Warmth


class Asking(NamedTuple):
    """The evenings on which a cohort asks for its place's lamps: from `first` up to, not including, `dark`."""

    first: date
    dark: date


def early_stages(season: Season, cohort: Cohort, warmth: Warmth | None = None, count: int = COUNT) -> Stages:
    """Seeding or sticking, emergence or rooted, transplant, lights on and lights off of a cohort.

    Where heat is switched on and seed does not get enough of it within the season, there is no emergence. count: of its
    futures.
    """
    variety = season.varieties[cohort.variety]
    figures = figures_of(variety, cohort.start, count)
    laid = Laid(cohort, season.last_day, count, {})
    start = cohort.fixed(cohort.first_stage)
    laid.set(cohort.first_stage, None if start is None else point(start, count), "planned")
    begin = laid.out[cohort.first_stage].course
    heat = heating(season, cohort, warmth, laid.out)
    if heat is not None and cohort.start == "seed":
        up = heat.over_years(emergence(heat, variety, laid.out))
        laid.set("emergence", up, emergence_reason(heat, variety))
    else:
        span, stage = shoot_span(variety, cohort.start), shoot_of(cohort)
        laid.set(stage, begin.plus(span.likely, figures.shoot_d), _from_stage(cohort.first_stage, span))
    if cohort.nursery:
        span = transplant_span(variety, cohort.start)
        later = begin.plus(span.likely, figures.transplant_d)
        laid.set("transplant", later, _from_stage(cohort.first_stage, span))
    if uses_lamps(season, cohort):
        laid.set("lights_on", *_arrival(season, cohort, laid.out))
        off = cohort.intended("lights_off")
        slipping = None if off is None else point(off, count).plus(0, figures.slip_d)
        laid.set("lights_off", None, "planned", slipping)
    return laid.out


def _arrival(season: Season, cohort: Cohort, out: Stages) -> tuple[Course, str]:
    """When the cohort comes into the first of its growing places that has lamps, and that in words."""
    grown = cohort.growing_stays
    here = next(stay for stay in grown if season.places[stay.place].lamps is not None)
    first = out[cohort.first_stage].course
    if here != grown[0] and isinstance(here.begins, date):
        return point(here.begins, len(first.days)), phrase("when it comes into {light}", light=here.light)
    if here != grown[0] and here.begins in out:
        return out[str(here.begins)].course, phrase("when it comes into {light}", light=here.light)
    if cohort.nursery:
        return out["transplant"].course, phrase("with the transplant")
    return first, phrase("from the start")


def uses_lamps(season: Season, cohort: Cohort) -> bool:
    """Whether the cohort asks for the lamps of a growing place: it has a date for lights on or lights off."""
    given = any(cohort.fixed(stage) is not None for stage in LAMP_STAGES)
    grown = cohort.growing_stays
    return given and any(season.places[stay.place].lamps is not None for stay in grown)


def own_askings(
    season: Season, stays: Sequence[Stay], stages: Mapping[str, StageDate]
) -> Iterator[tuple[str, Asking]]:
    """When a cohort asks for the lamps of each of the places where it grows, from lights on to lights off.

    With no lights-off date lamps burn past the season's last day.
    """
    if "lights_on" not in stages:
        return
    first = stages["lights_on"].likely
    dark = stages["lights_off"].likely if "lights_off" in stages else date.max
    for stay in lamp_stays(stays):
        span = Asking(max(first, stay.first), min(dark, stay.end))
        if _has_lamps(season, stay) and span.first < span.dark:
            yield stay.light, span


def askings(season: Season, cohort: Cohort, early: Stages) -> Iterator[tuple[str, Asking]]:
    """When the cohort asks for lamps, and for those of which light: where it grows, and in its nurseries.

    A nursery with lamps holds every short-day cohort vegetative from its first day there to its transplant.
    """
    stays = stays_of(cohort, early)
    yield from own_askings(season, stays, early)
    if season.varieties[cohort.variety].response == "short-day":
        begun = early[cohort.first_stage].likely
        for stay in stays:
            if stay.in_nursery and _has_lamps(season, stay):
                yield stay.light, Asking(max(begun, stay.first), stay.end)


def _from_stage(stage: str, span: Span) -> str:
    return phrase("{stage} + {span}", stage=stage, span=span_text(span))


def _has_lamps(season: Season, stay: Stay) -> bool:
    return season.places[stay.place].lamps is not None
