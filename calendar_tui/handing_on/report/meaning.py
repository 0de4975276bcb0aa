"""What went wrong in a growers' page, what its findings mean and do not, and whose they are."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from calendar_tui import __version__
from calendar_tui.handing_on.report.parts import Listed, Section, Text, section
from calendar_tui.handing_on.report.subject import Subject
from calendar_tui.handing_on.words.analysis_notes import ONE_SITE, does_not_show
from calendar_tui.handing_on.words.cautions import cautions
from calendar_tui.handing_on.words.openness import LICENCES, left_out, people_of
from calendar_tui.handing_on.words.plain_text import count_text
from calendar_tui.planning.trial_analysis.analysed import Analysed
from calendar_tui.season.lots import lots_of_cohort, rules_for
from calendar_tui.season.records import Cohort
from calendar_tui.season.stages import DECIDED
from calendar_tui.season.wording import delay_text, some_text, stage_text, year_day_text

# A slip of fewer days is no trouble (common practice, no source).
_LEAST_SLIP_D = 3
_CAUTION = cautions("aid", "rules")


def trouble_section(subject: Subject) -> Section:
    """Nights without lamps, plots that were lost, dates that slipped, results that do not count."""
    return section(
        "What went wrong",
        [Listed(found)] if (found := tuple(_troubles(subject))) else (),
        "Nothing is recorded that went wrong.",
    )


def _troubles(subject: Subject) -> Iterator[str]:
    season = subject.plan.season
    places = {name for one in subject.timelines for stay in one.stays for name in (stay.light, stay.place)}
    for outage in season.outages:
        if outage.place in places:
            nights = (outage.last - outage.first).days + 1
            yield f"Lamps of {outage.place} did not burn on {count_text(nights, 'night')}, from {year_day_text(outage.first)}."
    for trial in subject.trials:
        for plot in season.plots.values():
            if plot.trial == trial.id and plot.lost is not None:
                yield f"Plot {plot.number} of {trial.id} was lost on {year_day_text(plot.lost)}: {plot.why or 'why is not set'}."
    for one in subject.timelines:
        slips = [text for stage in DECIDED if (text := _slip(one.cohort, stage))]
        if slips:
            yield f"{one.cohort.id}: {some_text(slips)}."
    if small := sum(
        0 < abs(_slip_d(one.cohort, stage)) < _LEAST_SLIP_D for one in subject.timelines for stage in DECIDED
    ):
        yield (
            f"{count_text(small, 'other date', 'other dates')} came on another day than planned, by less than {_LEAST_SLIP_D} days each: "
            "the review has them."
        )
    own = {one.cohort.id for one in subject.timelines}
    aside = [one for one in subject.plan.results.aside if one.sample is None or one.sample.cohort in own]
    if aside:
        yield f"{count_text(len(aside), 'result of a laboratory does', 'results of laboratories do')} not count; why stands with the results."


def _slip_d(cohort: Cohort, stage: str) -> int:
    """Days by which it came later than planned; below 0: sooner. 0 where either is not known."""
    planned, recorded = cohort.planned.get(stage), cohort.recorded.get(stage)
    return 0 if planned is None or recorded is None else (recorded - planned).days


def _slip(cohort: Cohort, stage: str) -> str:
    """ "transplant 5 d late (rain)"; "" where it came near the day that was planned."""
    days = _slip_d(cohort, stage)
    if abs(days) < _LEAST_SLIP_D:
        return ""
    cause = cohort.causes.get(stage)
    late = delay_text(days)
    return f"{stage_text(stage)} {late}{f' ({cause})' if cause else ''}"


def meaning_section(subject: Subject, analyses: Sequence[Analysed]) -> Section:
    return section(
        "What it means, and what it does not", [Listed(tuple(dict.fromkeys(_meaning(subject, analyses))))]
    )


def _meaning(subject: Subject, analyses: Sequence[Analysed]) -> Iterator[str]:
    yield ONE_SITE if subject.trials else "One season at one site. Another may answer otherwise."
    for one in analyses:
        if one.analysis is not None:
            yield from does_not_show(one.analysis)
    yield "Repeat it, in another year and on other ground, before much hangs on it."
    if not subject.trials:
        yield "Cohorts that were not drawn at random differ by place, day and care as well as by what is compared."
    yield "Expected dates are ranges: 8 of 10 lie inside, by the figures of the varieties, many of which are guesses until records replace them."
    for citation in _citations(subject):
        yield f"Rules used: {citation}."
    yield _CAUTION


def _citations(subject: Subject) -> Iterator[str]:
    """The rules in force for the lots, each with its date."""
    plan = subject.plan
    lots = (lot for one in subject.timelines for lot in lots_of_cohort(plan.season, one.cohort.id))
    rules = (rules_for(plan.season, lot, plan.today) for lot in lots)
    yield from dict.fromkeys(one.citation for one in rules if one is not None)


def data_section(subject: Subject) -> Section:
    openness, season = subject.openness, subject.plan.season
    licence = "No licence is named: ask before you use it further."
    if openness.licence:
        title, path = LICENCES[openness.licence]
        licence = f"Licence: {title}, {path}"
    out = "; ".join(left_out(openness))
    people = people_of(season)
    thanks = (
        f"Thanks to {some_text(people)}."
        if openness.names and people
        else "Thanks to all who measured, cut and wrote down."
    )
    return section(
        "Data, licence and thanks",
        [
            Text(
                f"Worked out by calendar-tui {__version__} from the season as it stood on {year_day_text(subject.plan.today)}. The plots and "
                "values behind this page come as tables with export --folder."
            ),
            Text(licence),
            *([Text(f"Left out: {out}.")] if out else []),
            Text(thanks),
        ],
    )
