"""The field book in words: what is due this week and missing from before, how stages rise, counts beside what was planned."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from calendar_tui.handing_on.words.plain_text import hanging, wrapped
from calendar_tui.language.speaking import marked, tr, translated
from calendar_tui.planning.field_book.due import Round
from calendar_tui.planning.field_book.findings import (
    Rise,
    Stand,
    offer_of,
    rise_text,
    stand_sum_text,
    stand_sums,
)
from calendar_tui.planning.field_book.grid import Grid, earlier_values
from calendar_tui.season.cells import cell_len
from calendar_tui.season.observing import Variable
from calendar_tui.season.records import Season
from calendar_tui.season.wording import cohorts_text, day_text, full_day_text, plant_count_text, some_text

_MOST_TO_OBSERVE = 5

NONE_YET = marked(
    "There is no variable yet. Take in some that come with the program: calendar-tui field-book --start height,stand; or add one with "
    "its unit: calendar-tui add variable height unit cm. Then let a chore "
    "observe it: calendar-tui set chore CHORE observe height"
)


def field_book_text(
    season: Season,
    due: Sequence[Round],
    late: Sequence[Round],
    rises: Sequence[Rise],
    counted: Sequence[Stand],
) -> list[str]:
    if not season.variables:
        return list(hanging(tr(NONE_YET)))
    lines = [tr("Due this week")]
    lines += [line for one in due for line in _round_lines(season, one)] or [f"  {tr('nothing')}"]
    if late:
        lines += ["", tr("Missing from before")]
        lines += [line for one in late for line in _round_lines(season, one)]
    if rises:
        lines += ["", tr("Half of the plants")]
        lines += [line for one in rises for line in _rise_lines(season, one)]
    if counted:
        lines += ["", tr("Counted, of planned")]
        lines += [f"  {stand_sum_text(one)}" for one in stand_sums(season, counted)]
        lines += [f"  {_stand_text(one)}" for one in counted]
    return lines


def _stand_text(one: Stand) -> str:
    """ "S1-102 stand: 16 of 16 on 5 Jun"."""
    return tr(
        "{at} {variable}: {counted} of {planned} on {day}",
        at=one.at,
        variable=one.variable,
        counted=f"{one.recorded:f}",
        planned=one.planned,
        day=day_text(one.day),
    )


def _round_lines(season: Season, one: Round) -> Iterator[str]:
    yield from wrapped(round_text(season, one), "    ", first="  ")


def round_text(season: Season, one: Round) -> str:
    """ "9 Jun  width (cm): 11 of 12; missing S1-402"."""
    variable = season.variables[one.variable]
    unit = f" ({variable.unit_text})" if variable.unit_text else ""
    there = len(one.places) - len(one.missing)
    what = tr(
        "{variable} {there} of {places}",
        variable=f"{one.variable}{unit}:",
        there=there,
        places=len(one.places),
    )
    text = f"{day_text(one.day)}  {what}"
    if not one.missing:
        return text
    return tr("{looked}; missing {places}", looked=text, places=some_text(_runs(one.missing)))


def task_observes_text(rounds: Sequence[Round]) -> str:
    """ "9 Jun  E2: height 11 of 12, width 10 of 12", of the rounds of one task."""
    whose = cohorts_text(rounds[0].task.about)
    return f"{day_text(rounds[0].day)}  {whose}: {observed_counts(rounds)}"


def observed_counts(rounds: Sequence[Round]) -> str:
    """ "height 11 of 12, width 10 of 12"."""
    return ", ".join(
        tr(
            "{variable} {there} of {places}",
            variable=translated(one.variable),
            there=len(one.places) - len(one.missing),
            places=len(one.places),
        )
        for one in rounds
    )


def to_observe_texts(by_task: Sequence[Sequence[Round]]) -> list[str]:
    """A line for each task of which something is missing, the newest first."""
    more = len(by_task) - _MOST_TO_OBSERVE
    rest = [tr("and {more} more before: see the field book", more=more)] if more > 0 else []
    return [*map(task_observes_text, by_task[:_MOST_TO_OBSERVE]), *rest]


def grid_title(season: Season, grid: Grid, who: str, unsaved: tuple[int, int], width: int) -> tuple[str, str]:
    """What is walked and on which day; who looks, how many of the due cells are there, and how many are not in the file.

    unsaved: on their way into it, and refused. Where there is no room for all, a trial stands by its id alone.
    """
    waits, failed = unsaved
    trial = season.trials.get(grid.walk)
    names = (
        ("Cohorts as a whole", "Cohorts")
        if trial is None
        else (f"{trial.id} {trial.name}".rstrip(), trial.id)
    )
    due = [cell for cell in grid.cells if cell in grid.due]
    there = sum(bool(grid.values.get(cell)) for cell in due)
    parts = [f"by {who}" if who else "", f"{there} of {len(due)}" if due else "nothing due"]
    parts += [f"{failed} NOT SAVED: enter again" if failed else "", f"{waits} to save" if waits else ""]
    day, rest = full_day_text(grid.day), "".join(f"  {part}" for part in parts if part)
    fits = cell_len(f"{names[0]}  {day}{rest}") <= width
    return f"{names[not fits]}  {day}", rest


def cell_texts(season: Season, at: str, name: str, day: date) -> Iterator[str]:
    """What a cell is for: its variable with unit and range, and what was found there before."""
    variable = season.variables[name]
    yield f"{at}  {name}{_range_text(variable)}"
    earlier = earlier_values(season, at, name, day)
    unit = season.plots.get(at.partition(" ")[0]) or season.cohorts[at.partition(" ")[0]]
    planned = f"; {unit.plants} planned" if variable.planned and unit.plants is not None else ""
    before = ", ".join(f"{one.value} on {day_text(one.date)}" for one in earlier)
    if before or planned:
        yield f"before: {before or 'nothing'}{planned}"
    if text := "; ".join(part for part in (variable.name, variable.definition, variable.method) if part):
        yield text


def _range_text(variable: Variable) -> str:
    """ ", cm, 1 to 450"."""
    low, high = variable.low, variable.high
    ends = [f"from {low:g}" if low is not None else "", f"to {high:g}" if high is not None else ""]
    unit = f", {variable.unit_text}" if variable.unit_text else ""
    return unit + (f", {' '.join(filter(None, ends))}" if any(ends) else "")


def _runs(places: Sequence[str]) -> list[str]:
    """Places by their plot or cohort, with how many plants of each are missing."""
    plants: dict[str, int] = {}
    for place in places:
        unit, _, plant = place.partition(" ")
        plants[unit] = plants.get(unit, 0) + bool(plant)
    return [f"{unit} ({plant_count_text(n)})" if n > 1 else unit for unit, n in plants.items()]


def _rise_lines(season: Season, one: Rise) -> Iterator[str]:
    yield from wrapped(rise_text(one), "    ", first="  ")
    if recorded := season.cohorts[one.cohort].recorded.get(one.stage):
        yield f"    {tr('recorded on {day}', day=day_text(recorded))}"
    if offer := offer_of(season, one):
        yield f"    {tr('to record it: {command}', command=f'calendar-tui record {offer.words}')}"
