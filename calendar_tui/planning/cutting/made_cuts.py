"""Cuts that are made, and what speaks against their day: no official sample, one that failed or has run out, sprays, what is cut already."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from typing import NamedTuple

from calendar_tui.language.speaking import phrase, translated
from calendar_tui.nature.cutting_days import earliest_sample, harvest_complete_by, needs_new_sample
from calendar_tui.planning.clash import Clash, Recorded
from calendar_tui.planning.cutting.official_state import FAILED, TAKEN, OfficialState, official_state
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.spraying.closures import first_cut
from calendar_tui.season.cutting import Pass
from calendar_tui.season.lots import lots_of_cohort, passes_of, rules_for
from calendar_tui.season.records import Season
from calendar_tui.season.rules import Lot, Profile
from calendar_tui.season.trials import TrialPlot
from calendar_tui.season.wording import full_day_text, hour_of, number_text, year_day_text

NO_SAMPLE, FAILED_LOT, RUN_OUT, SPRAYED, ALREADY, NO_PLOT = (
    "cut without a sample",
    "failed lot cut",
    "cut past its sample",
    "cut after sprays",
    "cut already",
    "cut of no plot",
)
# So many plots of a cohort are named where one is not known.
MOST_PLOTS = 12
# Sums of shares differ by less than this from what they are on paper.
_EQUAL = 1e-9


class Fault(NamedTuple):
    """kind: one of those above; text: a sentence with the day that would be right."""

    kind: str
    text: str


def cut_clashes(season: Season, timelines: Mapping[str, Timeline]) -> Iterator[Clash]:
    """Of every pass that is recorded, and of every recorded harvest of a cohort without passes."""
    for name, timeline in timelines.items():
        harvest = timeline.cohort.recorded.get("harvest")
        passes = passes_of(season, name)
        if not passes and harvest is not None:
            # What a pass of the whole cohort would be; it has no id.
            passes = (Pass(id="", date=harvest, lot=name),)
        for one in passes:
            what = f"pass {one.id}" if one.id else "harvest"
            recorded = Recorded("pass", one.id, one.date) if one.id else Recorded("cohort", name, one.date)
            for fault in cut_faults(season, timeline, one):
                text = f"{what} of {one.lot} on {full_day_text(one.date)}: {fault.text}"
                yield Clash(f"{fault.kind}: {what}", (name,), text, recorded=recorded)


def of_cuts(clashes: Iterable[Clash], lot: Lot) -> Iterator[Clash]:
    """Those among clashes that are of cuts of a lot's cohort, and of what dries of it."""
    return (clash for clash in clashes if clash.recorded is not None and lot.cohort in clash.cohorts)


def cut_faults(season: Season, timeline: Timeline, one: Pass) -> Iterator[Fault]:
    """What speaks against a pass on its day by the authority's samples of its lots, by sprays, and by what was cut before."""
    for lot in lots_of_cohort(season, timeline.cohort.id):
        if one.lot in (lot.id, lot.cohort):
            yield from official_faults(season, lot, one)
    yield from spray_faults(season, timeline, one)
    yield from (Fault(ALREADY, text) for text in _cut_already(season, timeline, one))
    yield from (Fault(NO_PLOT, text) for text in _no_plots(season, timeline.cohort.id, one))


def official_faults(season: Season, lot: Lot, one: Pass) -> Iterator[Fault]:
    """What the authority's samples of a lot say against a pass on its day."""
    profile, state = rules_for(season, lot, one.date), official_state(season, lot)
    if profile is None or profile.sampling == "none" or not _samples_first(profile):
        return
    sample = state.for_cut_on(one.date)
    if sample is None:
        text = _none_text(state, lot.id, one.date)
        text += "; " + phrase("nothing is cut before it under {citation}", citation=profile.citation)
        yield Fault(NO_SAMPLE, text)
        return
    if sample.outcome == FAILED:
        text = phrase(
            "the official sample {sample} of {lot} of {day} failed; a failed lot is cut, moved or mixed only as "
            "the authority allows. {citation}",
            sample=sample.id,
            lot=lot.id,
            day=full_day_text(sample.date),
            citation=profile.citation,
        )
        yield Fault(FAILED_LOT, text)
    within = profile.harvest_within_d
    if within is not None and needs_new_sample(one.date, sample.date, within):
        until, first = harvest_complete_by(sample.date, within), earliest_sample(one.date, within)
        text = phrase(
            "the official sample {sample} of {lot} was taken on {day}, and its {days} d end on {last}; a pass "
            "after it needs a new one, of {first} to {since}, under {citation}",
            sample=sample.id,
            lot=lot.id,
            day=full_day_text(sample.date),
            days=within,
            last=full_day_text(until),
            first=year_day_text(first),
            since=full_day_text(one.date),
            citation=profile.citation,
        )
        yield Fault(RUN_OUT, text)


def _none_text(state: OfficialState, lot: str, day: date) -> str:
    """That a lot had no sample by a day, and what is known of its first."""
    by = full_day_text(day)
    if not state.all:
        return phrase("no official sample of {lot} was taken by {day}", lot=lot, day=by)
    first = full_day_text(state.all[0].date)
    if state.all[0].state == TAKEN:
        return phrase(
            "no official sample of {lot} was taken by {day}, the first is of {first}",
            lot=lot,
            day=by,
            first=first,
        )
    return phrase(
        "no official sample of {lot} was taken by {day}, {state} for {first}, and not recorded as taken",
        lot=lot,
        day=by,
        state=translated(state.all[0].state),
        first=first,
    )


def _samples_first(profile: Profile) -> bool:
    """Whether the authority's sample comes before the harvest under a profile."""
    return profile.harvest_within_d is not None or profile.sample_before_harvest_d is not None


def spray_faults(season: Season, timeline: Timeline, one: Pass) -> Iterator[Fault]:
    """That an interval of what its cohort was sprayed with is not over on the day of a pass."""
    name = timeline.cohort.id
    free = first_cut(season, timeline, one.date) if season.sprays else None
    if free is None:
        return
    if free.moment is None:
        yield Fault(
            SPRAYED,
            phrase(
                "{name} may not be cut after its sprays yet: {waits}",
                name=name,
                waits=translated("; ".join(free.waits_for)),
            ),
        )
    elif one.date < free.moment.date():
        text = phrase(
            "{name} may be cut from {time} on {day}, after {rule}; the label is the law",
            name=name,
            time=hour_of(free.moment),
            day=full_day_text(free.moment.date()),
            rule=free.rule,
        )
        yield Fault(SPRAYED, text)


def _cut_already(season: Season, timeline: Timeline, one: Pass) -> Iterator[str]:
    before = [
        other
        for other in season.passes.values()
        if other.lot == one.lot and (other.date, other.id) < (one.date, one.id)
    ]
    ended = next((other for other in before if other.last), None)
    if ended is not None:
        yield f"{ended.id} of {full_day_text(ended.date)} is the last pass of {one.lot} already; take last from it, or this pass out"
    harvest = timeline.cohort.recorded.get("harvest")
    if ended is None and harvest is not None and harvest < one.date:
        yield (
            f"the harvest of {timeline.cohort.id} is recorded on {full_day_text(harvest)}, before this pass; it is the day of the "
            "last pass, so record that one with last"
        )
    drawn = _drawn(season, timeline.cohort.id)
    for part in _parts(one):
        alike = [other for other in before if part.casefold() in (p.casefold() for p in _parts(other))]
        yield from _part_already(alike, one, part, drawn)


def _parts(one: Pass) -> tuple[str, ...]:
    """The parts of the plants that a pass cut: as it names one, else as it was weighed; "" where neither is known."""
    return (one.part,) if one.part else tuple(one.fresh_kg) or ("",)


def _drawn(season: Season, cohort: str) -> dict[str, TrialPlot]:
    """The plots that were drawn for a cohort, each by its id and by its number."""
    of_cohort = [plot for plot in season.plots.values() if plot.cohort == cohort]
    numbered = {str(plot.number): plot for plot in of_cohort if plot.number is not None}
    return numbered | {plot.id: plot for plot in of_cohort}


def _no_plots(season: Season, cohort: str, one: Pass) -> Iterator[str]:
    """Plots of a pass that are none of its cohort, where a trial was drawn into plots of it."""
    drawn = _drawn(season, cohort) if one.plots else {}
    unknown = [name for name in one.plots if drawn and name not in drawn]
    if unknown:
        names = dict.fromkeys(str(plot.number or plot.id) for plot in drawn.values())
        are = "plot {} is" if len(unknown) == 1 else "plots {} are"
        more = f" and {len(names) - MOST_PLOTS} more" if len(names) > MOST_PLOTS else ""
        yield (
            f"{are.format(', '.join(unknown))} none of {cohort}; of its trial it has "
            f"{', '.join(list(names)[:MOST_PLOTS])}{more}; name each plot of this pass"
        )


def _part_already(
    alike: Sequence[Pass], one: Pass, part: str, drawn: Mapping[str, TrialPlot]
) -> Iterator[str]:
    """Of the passes before it of the same part of the plants."""
    of_part = f"{part} of {one.lot}" if part else one.lot
    whole = next((p for p in alike if part and p.share is None and not p.plots), None)
    if whole is not None:
        yield (
            f"{whole.id} of {full_day_text(whole.date)} has all of the {of_part} already; give both their shares or plots, or this "
            "one another part"
        )
    plots = [(p, plot) for p in alike for plot in one.plots if _is_among(plot, p.plots, drawn)]
    for other, plot in plots[:1]:
        yield f"plot {plot} of the {of_part} is cut by {other.id} of {full_day_text(other.date)} already; name the plots of this pass"
    total = sum(p.share or 0.0 for p in alike) + (one.share or 0.0)
    if one.share is not None and total > 1 + _EQUAL:
        left = number_text(max(100 * (1 - total + one.share), 0))
        yield f"with {number_text(100 * total)} % of {of_part}, more is cut than there is; {left} % are left"


def _is_among(plot: str, plots: Sequence[str], drawn: Mapping[str, TrialPlot]) -> bool:
    """Whether a plot is one of these, whether they are named by number or by id."""
    return any(drawn.get(other, other) == drawn.get(plot, plot) for other in plots)
