"""The growers' page put together, in the order in which a reader asks: what was found, why, where, how, and what it means."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from calendar_tui.handing_on.report.cannabinoids import cannabinoids_section
from calendar_tui.handing_on.report.course import dates_section, flowering_section, light_section
from calendar_tui.handing_on.report.design import design_section
from calendar_tui.handing_on.report.ground import ground_section
from calendar_tui.handing_on.report.labour import labour_section
from calendar_tui.handing_on.report.meaning import data_section, meaning_section, trouble_section
from calendar_tui.handing_on.report.means import headline, measure_sections
from calendar_tui.handing_on.report.parts import Page, Section, Text, section
from calendar_tui.handing_on.report.subject import Subject
from calendar_tui.handing_on.words.openness import years_text
from calendar_tui.planning.trial_analysis.analysed import Analysed
from calendar_tui.planning.trial_analysis.working_out import Settings, every_analysis
from calendar_tui.planning.trials.drawing import plots_of_trial
from calendar_tui.season.wording import year_day_text

_NO_ANSWER = "No difference can be told yet: see what was recorded below."


def report_of(subject: Subject, first: str = "") -> Page:
    """The page of a season, or of one trial. first: the id of the measure whose result stands on top, "" for the first dry weight.

    Not for the event loop: every measure is analysed.
    """
    season = subject.plan.season
    analyses = list(_analyses(subject))
    place = season.name if subject.openness.place else "a site that is not named"
    return Page(
        _title(subject),
        (f"{place}, {years_text(season)}; as it stood on {year_day_text(subject.plan.today)}",),
        tuple(_sections(subject, analyses, first)),
    )


def _sections(subject: Subject, analyses: Sequence[Analysed], first: str) -> Iterator[Section]:
    yield section("In a sentence", [Text(headline(analyses, first) or _NO_ANSWER)])
    why = [Text(one.question) for one in subject.trials if one.question]
    yield section("Why", why, "What it was to answer is not written down.")
    yield ground_section(subject)
    yield design_section(subject)
    yield dates_section(subject)
    yield light_section(subject)
    yield flowering_section(subject)
    if subject.trials:
        yield from measure_sections(analyses, len(subject.trials) > 1)
    yield cannabinoids_section(subject)
    yield labour_section(subject)
    yield trouble_section(subject)
    yield meaning_section(subject, analyses)
    yield data_section(subject)


def _analyses(subject: Subject) -> Iterator[Analysed]:
    """Of every trial that is drawn, by every measure."""
    season = subject.plan.season
    for trial in subject.trials:
        if any(not plot.is_guard for plot in plots_of_trial(season, trial.id)):
            yield from every_analysis(season, trial, Settings(used=subject.plan.results.used))


def _title(subject: Subject) -> str:
    names = [one.name or f"trial {one.id}" for one in subject.trials]
    years = years_text(subject.plan.season)
    if not names:
        return f"A season of hemp, {years}"
    return (
        f"{'; '.join(names)}: a hemp trial, {years}"
        if len(names) == 1
        else f"Hemp trials, {years}: {'; '.join(names)}"
    )
