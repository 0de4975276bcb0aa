"""What is asked before a change is saved: the rows at the head of what would move."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from calendar_tui.handing_on.words.moves_text import verdict_texts
from calendar_tui.language.speaking import marked, tr, translated
from calendar_tui.planning.changes.outages import nights_text
from calendar_tui.planning.changes.slips import asks_for_lights_off, delay_d
from calendar_tui.planning.changes.task_edits import task_names
from calendar_tui.planning.plan import Plan
from calendar_tui.screens.asking.answers import Act, Answer, Nights, OneChange, Question, Ticks
from calendar_tui.screens.kit.drawing import BOLD, HEADING, WARNING, ListRow, row, wrapped
from calendar_tui.season.finders import find_cohort
from calendar_tui.season.records import Outage
from calendar_tui.season.wording import cohorts_text, day_text, delay_text, full_day_text, stage_text

# What is done with a stage's date, by the table of a cohort's record that it goes into.
DONE_WITH_DATE: Mapping[str, str] = {
    "recorded": marked("{cohort} {stage} recorded {day}"),
    "not_yet": marked("{cohort} {stage} not yet on {day}"),
    "planned": marked("{cohort} {stage} planned for {day}"),
}
_LATER = marked(
    "Lights off is planned for {day}. Hold: it stays; smaller plants, dryer slot kept. "
    "Shift: it goes {days} d later; about the same days of growth, the harvest moves. (common practice)"
)
_EARLIER = marked(
    "Lights off is planned for {day}. Hold: it stays; larger plants, dryer slot kept. "
    "Shift: it goes {days} d earlier; about the same days of growth, the harvest moves. (common practice)"
)


def question_rows(plan: Plan, act: Act, chosen: Answer, width: int) -> Iterator[ListRow]:
    """What is asked, and what each answer means."""
    if isinstance(act, Nights):
        yield from _nights_rows(act, chosen, width)
    elif isinstance(act, Question) and act.edited:
        yield from _date_rows(plan, act, width)
        yield from _found_rows(chosen, width)
    else:
        what = chosen.proposal.change.what if chosen.proposal else _asked_text(act)
        yield from wrapped(translated(what), width, style=HEADING)
        yield from wrapped(tr("Nothing is saved yet."), width, style=WARNING)
        for text in verdict_texts(chosen.proposal) if chosen.proposal else ():
            yield from wrapped(text, width, "", "  ")


def _nights_rows(act: Nights, chosen: Answer, width: int) -> Iterator[ListRow]:
    nights = nights_text(Outage(place=act.places[0], first=act.first, last=act.last), full_day_text)
    yield from wrapped(f"{' '.join(act.places)} outage recorded {nights}", width, style=HEADING)
    yield row((tr("Nothing is saved yet."), WARNING))
    for text in verdict_texts(chosen.proposal) if chosen.proposal else ():
        yield from wrapped(text, width, "", "  ", BOLD)


def _date_rows(plan: Plan, act: Question, width: int) -> Iterator[ListRow]:
    """The date of one cohort, how late it is, and what there is to choose for lights off."""
    cohort = find_cohort(plan.season, act.cohort)
    late = delay_d(cohort, act.stage, act.day)
    delay = f" ({delay_text(late)})" if cohort.intended(act.stage) and act.table != "not_yet" else ""
    what = tr(
        DONE_WITH_DATE[act.table], cohort=act.cohort, stage=stage_text(act.stage), day=full_day_text(act.day)
    )
    yield row((f"{what}{delay}", HEADING), (f"  {tr('nothing is saved yet')}", WARNING))
    meant = cohort.intended("lights_off")
    if act.table == "not_yet" or meant is None or not asks_for_lights_off(plan, cohort, act.stage, act.day):
        return
    yield from wrapped(
        tr(_LATER if late > 0 else _EARLIER, day=day_text(meant), days=abs(late)),
        width,
    )


def _found_rows(chosen: Answer, width: int) -> Iterator[ListRow]:
    """What is written down with the work that the date ticks."""
    edits = chosen.proposal.change.edits if chosen.proposal else ()
    for fact in dict.fromkeys(edit.value for edit in edits if edit.field == ("fact",)):
        yield from wrapped(fact, width, f"{tr('Found')}: ", "  ", BOLD)


def _asked_text(act: Question | OneChange | Ticks) -> str:
    """What is asked, where there is no proposal to say it."""
    if isinstance(act, OneChange):
        return act.typed
    if isinstance(act, Ticks):
        return task_names([t.task for t in act.ticks])
    return f"{cohorts_text((act.cohort, *act.others))} {stage_text(act.stage)} {full_day_text(act.day)}"
