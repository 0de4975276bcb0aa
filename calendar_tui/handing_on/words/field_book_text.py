"""The field book in words: what is due this week and missing from before, how stages rise, counts beside what was planned."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from calendar_tui.handing_on.words.plain_text import hanging, wrapped
from calendar_tui.nature.rises import Share
from calendar_tui.planning.field_book.due import Round
from calendar_tui.planning.field_book.findings import Rise, Stand
from calendar_tui.season.records import Season
from calendar_tui.season.wording import day_text, some_text, stage_text

NONE_YET = (
    "There is no variable yet. Add one with its unit, such as: calendar-tui add variable height unit cm; and let a chore "
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
    recorded = season.cohorts[one.cohort].recorded.get(one.stage)
    stage = stage_text(one.stage)
    if one.half is not None:
        half = one.half
        sure = "95 %" if half.counted else "between the two looks"
        text = (
            f"{one.cohort} {stage}: {day_text(half.likely)}, {_days(half.first, half.last)} ({sure}), from "
            f"{_share(half.before)} and {_share(half.after)}"
        )
        offer = "" if recorded else f"record {one.cohort} {one.stage} {half.likely}"
    elif one.not_yet is not None:
        text = f"{one.cohort} {stage}: not yet on {_share(one.shares[-1])}"
        seen = season.cohorts[one.cohort].not_yet.get(one.stage)
        known = recorded or (seen is not None and seen >= one.not_yet)
        offer = "" if known else f"record {one.cohort} {one.stage} {one.not_yet} --not-yet"
    else:
        text = f"{one.cohort} {stage}: over a half at the first look, {_share(one.shares[0])}; the day is not known"
        offer = ""
    yield from wrapped(text, "    ", first="  ")
    if recorded:
        yield f"    recorded on {day_text(recorded)}"
    if offer:
        yield f"    to record it: calendar-tui {offer}"


def _days(first: date, last: date) -> str:
    return f"{day_text(first)} to {day_text(last)}"


def _share(one: Share) -> str:
    """ "3 of 10 on 12 Jan", "30 % on 12 Jan"."""
    share = (
        f"{one.share:.0%}".replace("%", " %")
        if one.of is None
        else f"{round(one.share * one.of)} of {one.of}"
    )
    return f"{day_text(one.day)} {share}"
