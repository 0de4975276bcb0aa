"""What planting on the date under the cursor comes to, in lines."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from calendar_tui.handing_on.words.plain_text import hanging
from calendar_tui.handing_on.words.wished_text import (
    any_day_text,
    missed_text,
    nearest_text,
    planted_too_text,
)
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.response.outcomes import Outcome
from calendar_tui.planning.response.wished import Wished
from calendar_tui.planning.response.worked import day_off, day_off_text
from calendar_tui.screens.response.opening import planting_dates
from calendar_tui.season.records import Crew
from calendar_tui.season.wording import day_text, full_day_text, year_day_text

_HALF_YEAR_D = 182


def read_out(
    outcome: Outcome, taken: Outcome, plan: Plan, variety: str, width: int, wish: Wished | None = None
) -> list[str]:
    """What planting on one date comes to, in four lines: growth, dates, why, and which cohorts are planted on it.

    taken: the planting that Enter takes. wish: the harvest that is wished for, whose planting this is; what there is to know of it comes before the reason.
    """
    texts = _texts(outcome, taken, plan, variety, wish)
    lines = [line for text in texts for line in hanging(text, width, "")]
    # What is too long for two lines is cut, with the mark for that, where it is drawn.
    two = [*lines[:1], " ".join(lines[1:])]
    return [_planted_text(outcome), _dates_text(outcome), *two, *[""] * (2 - len(two))]


def whole_read_out(
    outcome: Outcome, taken: Outcome, plan: Plan, variety: str, width: int, wish: Wished | None = None
) -> list[str]:
    """The same in as many lines as it takes, each of at most `width` cells: for a screen without room for the plot."""
    texts = _planted_text(outcome), _dates_text(outcome), *_texts(outcome, taken, plan, variety, wish)
    return [line for text in texts if text for line in hanging(text, width)]


def _texts(outcome: Outcome, taken: Outcome, plan: Plan, variety: str, wish: Wished | None) -> Iterator[str]:
    """What there is to know beside the dates, what matters most first."""
    there = [n for n, day in planting_dates(plan, variety).items() if day == outcome.planted]
    yield from _wish_texts(wish)
    yield from _taken_texts(plan, outcome, taken)
    yield from _planned_texts(plan, there)
    yield outcome.never or _why(outcome)


def _planted_text(outcome: Outcome) -> str:
    day = outcome.planted
    begun = "" if outcome.begun == day else f"  started {_dated(outcome.begun, day)}"
    off = f"  lights off {_dated(outcome.lights_off, day)}" if outcome.lights_off else ""
    grows = "" if outcome.growth_d is None else f"  {outcome.growth_d} d of growth"
    return f"Planted {full_day_text(day)}{begun}{off}{grows}"


def _dates_text(outcome: Outcome) -> str:
    stages = (("flowering", outcome.flowering), ("harvest", outcome.harvest))
    return "  ".join(
        f"{name} {year_day_text(r.likely)} ({_near(r.earliest, r.likely)}-{_near(r.latest, r.likely)})"
        for name, r in stages
        if r is not None
    )


def _dated(day: date, other: date) -> str:
    """ "5 Oct", with its year where that is not the other's."""
    return day_text(day) if day.year == other.year else year_day_text(day)


def _near(day: date, other: date) -> str:
    """ "5 Oct", with its year where that of the other, which stands before it, would not tell it."""
    return day_text(day) if abs((day - other).days) < _HALF_YEAR_D else year_day_text(day)


def _why(outcome: Outcome) -> str:
    trigger = outcome.trigger
    return f"trigger {year_day_text(trigger.likely)}: {outcome.reason}" if trigger else outcome.reason


def _wish_texts(wish: Wished | None) -> Iterator[str]:
    """What there is to know of the wish beside the planting itself."""
    if wish is None:
        return
    if wish.off_d:
        yield f"{nearest_text(wish)}."
    if text := any_day_text(wish):
        yield f"{text}."
    if wish.missed is not None:
        yield missed_text(wish.missed)
    if text := planted_too_text(wish):
        yield f"{text}."


def _taken_texts(plan: Plan, outcome: Outcome, taken: Outcome) -> Iterator[str]:
    """Which date is taken where the farm does not work on this one."""
    day = day_off(outcome, plan.season.crew or Crew())
    if day is not None and taken != outcome:
        yield f"{full_day_text(taken.planted)} is planted instead: {day_off_text(outcome, day)}."


def _planned_texts(plan: Plan, cohorts: Sequence[str]) -> list[str]:
    """What the season's calendar, with all who share the light, says of cohorts planted on the date; nothing for none."""
    flowering = ((n, plan.timelines[n].likely("flowering")) for n in cohorts)
    texts = (f"{n} flowers {day_text(day) if day else 'not at all'}" for n, day in flowering)
    return [f"planted then in the season: {', '.join(texts)}"] if cohorts else []
