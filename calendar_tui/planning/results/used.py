"""Which results count, and which are kept aside and why: none is dropped."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from typing import NamedTuple

from calendar_tui.nature.measured import AS_RECEIVED
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.results.figures import Figures, figures_of
from calendar_tui.season.lots import lot_within, rules_for
from calendar_tui.season.records import Season
from calendar_tui.season.rules import Profile
from calendar_tui.season.sample_ids import grouped, nearest_ids, plain_id
from calendar_tui.season.sampling import Result, Sample
from calendar_tui.season.wording import day_text


class Used(NamedTuple):
    """A result that counts. day: days after 50 % flowering on which its bag was cut."""

    result: Result
    sample: Sample
    day: int
    figures: Figures


class Aside(NamedTuple):
    """A result that does not count, and why, as a part of a sentence. sample: None where its bag is not known."""

    result: Result
    sample: Sample | None
    why: str


class Results(NamedTuple):
    """used: in the order of the days on which the bags were cut."""

    used: tuple[Used, ...]
    aside: tuple[Aside, ...]

    def of_cohort(self, cohort: str) -> tuple[Used, ...]:
        """What counts of one cohort, by day."""
        return tuple(one for one in self.used if one.sample.cohort == cohort)


def results_of(season: Season, timelines: Mapping[str, Timeline], today: date) -> Results:
    """Every result of a season, sorted into those that count and those that do not."""
    used: list[Used] = []
    aside: list[Aside] = []
    first_of: dict[str, Result] = {}
    for result in sorted(season.results.values(), key=lambda one: (one.date, one.id)):
        sample = season.samples.get(result.sample)
        why = next(_whys(season, timelines, today, result, first_of), "")
        if why or sample is None:
            aside.append(Aside(result, sample, why))
            continue
        try:
            figures = figures_of(result, rules_of(season, sample, today))
        except ValueError as wrong:
            aside.append(Aside(result, sample, str(wrong)))
            continue
        if figures.thc is None:
            aside.append(
                Aside(
                    result,
                    sample,
                    "THC or THCA was not tested, so that its total is not known: enter what is missing",
                )
            )
        elif figures.basis == AS_RECEIVED:
            # Held against the limit as they are, they would be lower than the crop is.
            why = "its figures are as received, and the water of the sample is not set: enter its water"
            aside.append(Aside(result, sample, why))
        else:
            first_of[result.sample] = result
            used.append(Used(result, sample, _day(timelines, sample), figures))
    in_order = sorted(used, key=lambda one: (one.day, one.sample.position, one.result.id))
    return Results(tuple(in_order), tuple(aside))


def rules_of(season: Season, sample: Sample, day: date) -> Profile | None:
    """The rules by which a bag's total is made and judged on a day: those of its lot, or of the first lot of its cohort."""
    return rules_for(season, lot_within(season, sample.cohort, sample.lot), day)


def _whys(
    season: Season,
    timelines: Mapping[str, Timeline],
    today: date,
    result: Result,
    first_of: Mapping[str, Result],
) -> Iterator[str]:
    """Every reason for which a result does not count, the first of which is told."""
    if result.aside:
        yield result.aside
    sample = season.samples.get(result.sample)
    if sample is None:
        plain = plain_id(result.sample)
        if plain in season.samples:
            yield f'its bag is written "{result.sample}", and an id has capitals and no dashes: write {plain}'
            return
        near = nearest_ids(plain, season.samples)
        meant = f"; near it: {', '.join(map(grouped, near))}" if near else ""
        yield f"there is no bag {grouped(plain)}{meant or '; look at the label again'}"
        return
    if result.sample in first_of:
        first = first_of[result.sample].id
        yield (
            f"a second report of this bag; {first} counts: where this one is right, write under aside of {first} why "
            f"that is not used: set result {first} aside WHY"
        )
    if result.date > today:
        yield f"its report is of {day_text(result.date)}, which is to come: look at its date"
    if result.date < sample.date:
        yield (
            f"its report is of {day_text(result.date)}, before its bag was cut on {day_text(sample.date)}: look at the "
            "date, and whether it is this bag"
        )
    lost = season.plots[sample.plot].lost_by(sample.date) if sample.plot in season.plots else None
    if lost is not None:
        yield f"plot {sample.plot} is lost from {day_text(lost)} on, and its bag was cut on {day_text(sample.date)}"
    flowering = timelines[sample.cohort].likely("flowering")
    if flowering is None or sample.date < flowering:
        when = "has no day" if flowering is None else f"is on {day_text(flowering)}"
        yield (
            f"its bag was cut before 50 % flowering of {sample.cohort}, which {when}: where it flowered sooner, record that"
        )


def _day(timelines: Mapping[str, Timeline], sample: Sample) -> int:
    flowering = timelines[sample.cohort].likely("flowering")
    assert flowering is not None, sample.cohort
    return (sample.date - flowering).days
