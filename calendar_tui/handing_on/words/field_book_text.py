"""The field book in words: what is due this week and missing from before, how stages rise, counts beside what was planned."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from calendar_tui.handing_on.words.plain_text import hanging, wrapped
from calendar_tui.planning.field_book.due import Round
from calendar_tui.planning.field_book.findings import Rise, Stand, offer_of, rise_text
from calendar_tui.season.records import Season
from calendar_tui.season.wording import day_text, some_text

NONE_YET = (
    "There is no variable yet. Take in some that come with the program: calendar-tui field-book --start height,stand; or add one with "
    "its unit: calendar-tui add variable height unit cm. Then let a chore "
    "observe it: calendar-tui set chore CHORE observe height"
)


def field_book_text(
    season: Season,
    due: Sequence[Round],
    late: Sequence[Round],
    found: Sequence[Rise],
    counted: Sequence[Stand],
) -> list[str]:
    if not season.variables:
        return list(hanging(NONE_YET))
    lines = ["Due this week"]
    lines += [line for one in due for line in _round_lines(season, one)] or ["  nothing"]
    if late:
        lines += ["", "Missing from before"]
        lines += [line for one in late for line in _round_lines(season, one)]
    if found:
        lines += ["", "Half of the plants"]
        lines += [line for one in found for line in _rise_lines(season, one)]
    if counted:
        lines += ["", "Counted, of planned"]
        lines += [
            f"  {one.at} {one.variable}: {one.recorded:f} of {one.planned} on {day_text(one.day)}"
            for one in counted
        ]
    return lines


def _round_lines(season: Season, one: Round) -> Iterator[str]:
    variable = season.variables[one.variable]
    unit = f" ({variable.unit_text})" if variable.unit_text else ""
    there = len(one.places) - len(one.missing)
    text = f"{day_text(one.day)}  {one.variable}{unit}: {there} of {len(one.places)}"
    if one.missing:
        text += f"; missing {some_text(_runs(one.missing))}"
    yield from wrapped(text, "    ", first="  ")


def _runs(places: Sequence[str]) -> list[str]:
    """Places by their plot or cohort, with how many plants of each are missing."""
    plants: dict[str, int] = {}
    for place in places:
        unit, _, plant = place.partition(" ")
        plants[unit] = plants.get(unit, 0) + bool(plant)
    return [f"{unit} ({n} plants)" if n > 1 else unit for unit, n in plants.items()]


def _rise_lines(season: Season, one: Rise) -> Iterator[str]:
    yield from wrapped(rise_text(one), "    ", first="  ")
    if recorded := season.cohorts[one.cohort].recorded.get(one.stage):
        yield f"    recorded on {day_text(recorded)}"
    if offer := offer_of(season, one):
        yield f"    to record it: calendar-tui record {offer.words}"
