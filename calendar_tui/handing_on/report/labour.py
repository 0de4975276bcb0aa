"""Labour and costs of a growers' page."""

from __future__ import annotations

from collections.abc import Iterator

from calendar_tui.handing_on.report.parts import Part, Section, Table, numbered, section
from calendar_tui.handing_on.report.subject import Subject
from calendar_tui.planning.review.lit import lamps_burnt
from calendar_tui.planning.review.worked import hours_by_chore
from calendar_tui.season.wording import number_text

_MOST_CHORES = 15


def labour_section(subject: Subject) -> Section:
    return section(
        "Labour and costs", [*_hours(subject), *_lamps(subject)], "No work is ticked, and no lamps burnt."
    )


def _hours(subject: Subject) -> Iterator[Part]:
    """Of the whole season: work is shared by cohorts, in a trial and outside it."""
    every = hours_by_chore(subject.plan.season)
    if not every:
        return
    rows = [
        (
            one.what,
            str(one.done),
            number_text(one.planned_h),
            str(one.timed),
            number_text(one.spent_h) if one.timed else "",
            "" if one.ratio is None else f"{one.ratio:.2f}",
        )
        for one in every[:_MOST_CHORES]
    ]
    done, planned = sum(one.done for one in every), sum(one.planned_h for one in every)
    timed, spent = sum(one.timed for one in every), sum(one.spent_h for one in every)
    rows.append(
        (
            "all work that was ticked",
            str(done),
            number_text(planned),
            str(timed),
            number_text(spent) if timed else "",
            "",
        )
    )
    more = (
        f" The {len(every) - _MOST_CHORES} chores with the fewest hours are in the sum alone."
        if len(every) > _MOST_CHORES
        else ""
    )
    yield Table(
        "Person-hours of the whole season",
        ("work", "done", "planned h", "timed", "spent h", "spent / planned"),
        tuple(rows),
        "done: tasks that were ticked; timed: how many of them have hours spent, of which the last two columns are; the ratio is the median "
        f"over these. What was not ticked is in none of it, and no wages are recorded.{more}",
        numbered(1, 2, 3, 4, 5),
    )


def _lamps(subject: Subject) -> Iterator[Part]:
    own = {stay.light for one in subject.timelines for stay in one.stays}
    rows = [
        (one.light, str(one.nights), number_text(one.h), _known(one.kwh), _known(one.cost))
        for one in lamps_burnt(subject.plan)
        if one.light in own
    ]
    if rows:
        yield Table(
            "Lamps",
            ("place", "nights", "hours", "kWh", "cost"),
            tuple(rows),
            "By the timers as they are worked out, nights on which lamps failed left out; nobody has read a meter. Empty: no power or no "
            "price is set. Cost is in the season's money.",
            numbered(1, 2, 3, 4),
        )


def _known(number: float | None) -> str:
    return "" if number is None else number_text(number)
