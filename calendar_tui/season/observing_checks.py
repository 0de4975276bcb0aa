"""What must hold of a field book: each value once, of a variable, where it can be measured, and of its scale."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from operator import attrgetter

from calendar_tui.season.observing import (
    COHORT,
    PERCENT,
    PLANT,
    RIGHT_VALUES,
    SHARE,
    Variable,
    amount_of,
    fits_scale,
)
from calendar_tui.season.problems import Problem
from calendar_tui.season.readers import choices, shown
from calendar_tui.season.records import Season

_Wrong = tuple[str, str]
_KEY, _WHERE, _WHAT = (
    attrgetter("date", "at", "variable"),
    attrgetter("at", "variable"),
    attrgetter("variable", "value", "state"),
)


def _ranges(season: Season) -> Iterator[Problem]:
    for i, one in enumerate(season.variables.values()):
        if one.low is not None and one.high is not None and one.low > one.high:
            yield Problem(
                ("variable", i, "low"), f"variable {one.id}: low {one.low:g} is over high {one.high:g}"
            )


def _observations(season: Season) -> Iterator[Problem]:
    """They come in thousands, and the same places and values again and again: one by one only where something is wrong."""
    found = season.observations
    keys = list(map(_KEY, found))
    once = len(set(keys)) == len(keys)
    if once and _all_right(season, set(map(_WHERE, found)), set(map(_WHAT, found))):
        return
    seen: set[object] = set()
    for i, (key, one) in enumerate(zip(keys, found, strict=True)):
        twice = "date", "it stands twice for this day; take one of the two out"
        wrong = (
            twice if key in seen else _wrong_where(season, *_WHERE(one)) or _wrong_what(season, *_WHAT(one))
        )
        seen.add(key)
        if wrong:
            what = f"observation {one.date} {one.at} {one.variable}: {wrong[1]}"
            yield Problem(("observation", i, wrong[0]), what)


def _all_right(
    season: Season, places: Iterable[tuple[str, str]], values: Iterable[tuple[str, str, str]]
) -> bool:
    return not any(_wrong_where(season, *one) for one in places) and not any(
        _wrong_what(season, *one) for one in values
    )


def wrong_place(season: Season, at: str) -> str:
    """What is wrong with where something is observed, or ""."""
    unit = at.partition(" ")[0]
    plot = season.plots.get(unit)
    if plot is not None and unit in season.cohorts:
        return f"{unit} is a plot and a cohort; give one of them another id"
    if plot is not None and plot.is_guard:
        return f"plot {unit} is a guard, which is never measured"
    if plot is None and unit not in season.cohorts:
        known = [*season.plots, *season.cohorts]
        return f'"{unit}" is neither a plot nor a cohort of this season{choices(unit, known)}'
    return ""


def wrong_unit(season: Season, variable: Variable, at: str) -> str:
    """What is wrong with a variable there, or ""."""
    unit, _, plant = at.partition(" ")
    if variable.per == PLANT and not plant:
        return f"{variable.id} is of each plant; name the plant behind {unit}, such as {unit} 1"
    if variable.per != PLANT and plant:
        return f"{variable.id} is per {variable.per}; leave out plant {plant}"
    if variable.per == COHORT and unit in season.plots:
        return f"{variable.id} is per cohort, and {unit} is a plot; name its cohort {season.plots[unit].cohort}".rstrip()
    return ""


def wrong_value(variable: Variable, value: str) -> str:
    """What is wrong with a value of a variable, or ""."""
    if fits_scale(value, variable.scale):
        share = amount_of(value, variable.unit) if variable.scale == SHARE else None
        whole = 100 if variable.unit == PERCENT else 1
        if share is None or 0 <= share <= whole:
            return ""
        return f"{shown(value)} is no share; a share is from 0 to {whole} {variable.unit_text}".rstrip()
    return f"{shown(value)} is no {variable.scale}; {RIGHT_VALUES[variable.scale]}"


def _wrong_where(season: Season, at: str, name: str) -> _Wrong | None:
    """The key and the sentence of what is wrong first with a variable there, or None."""
    if wrong := wrong_place(season, at):
        return "at", wrong
    variable = season.variables.get(name)
    if variable is None:
        right = choices(name, season.variables) if season.variables else "; add a [[variable]]"
        return "variable", f'"{name}" is not a variable of this season{right}'
    wrong = wrong_unit(season, variable, at)
    return ("at", wrong) if wrong else None


def _wrong_what(season: Season, name: str, value: str, state: str) -> _Wrong | None:
    """The same of a value of a variable that is there."""
    if bool(value) == bool(state):
        return (
            "value",
            f"it has {'a value and' if value else 'neither a value nor'} a state; give one of the two",
        )
    variable = season.variables.get(name)
    wrong = wrong_value(variable, value) if value and variable else ""
    return ("value", wrong) if wrong else None


OBSERVING_CHECKS: tuple[Callable[[Season], Iterator[Problem]], ...] = (_ranges, _observations)
