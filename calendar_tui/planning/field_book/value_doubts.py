"""What of a value is asked back before it is saved: out of its range, over what was planted, a share that falls, stages out of turn."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from calendar_tui.planning.field_book.entry import GONE, SAME, Compared
from calendar_tui.season.observing import PERCENT, Observation, Variable, amount_of, counted_in
from calendar_tui.season.records import Cohort, Season
from calendar_tui.season.stages import BEFORE
from calendar_tui.season.wording import day_text, stage_text

# A part of plants that have come to a stage does not fall; so much of the whole is taken for counting other plants (a choice).
FALL = Decimal("0.25")
_HALF = Decimal("0.5")


class _Checked(NamedTuple):
    """A value with what it is held against. part: of the whole, of a share; there: all shares of stages, by place."""

    season: Season
    variable: Variable
    at: str
    day: date
    amount: Decimal
    text: str
    there: Mapping[str, Sequence[Observation]]

    @property
    def part(self) -> Decimal:
        return _part(self.amount, self.variable)

    @property
    def cohort(self) -> Cohort | None:
        unit = self.at.partition(" ")[0]
        plot = self.season.plots.get(unit)
        return self.season.cohorts.get(unit if plot is None else plot.cohort)


def value_doubts(after: Season, compared: Sequence[Compared]) -> list[str]:
    """after: the season with these. Nothing of what stands there already, nor of what is no number."""
    there = _shares(after, compared)
    return [text for one in compared if (checked := _checked(after, one, there)) for text in _doubts(checked)]


def _checked(after: Season, one: Compared, there: Mapping[str, Sequence[Observation]]) -> _Checked | None:
    entry, variable = one.entry, after.variables[one.entry.variable]
    amount = amount_of(entry.value, variable.unit) if entry.value else None
    if one.what in (SAME, GONE) or amount is None:
        return None
    return _Checked(after, variable, entry.at, entry.date, amount, _text(entry.value, variable), there)


def _shares(after: Season, compared: Sequence[Compared]) -> Mapping[str, Sequence[Observation]]:
    """The shares of stages at the places of these values, where any of them is one; they are few among thousands."""
    staged = {name for name, variable in after.variables.items() if variable.stage}
    places = {one.entry.at for one in compared if one.entry.variable in staged}
    shares: dict[str, list[Observation]] = {place: [] for place in places}
    for one in after.observations if places else ():
        if one.at in places and one.variable in staged and one.value:
            shares[one.at].append(one)
    return shares


def _doubts(checked: _Checked) -> Iterator[str]:
    return (
        f"{checked.at} {checked.variable.id}: {checked.text} {why}; is that right?"
        for check in _CHECKS
        for why in check(checked)
    )


def _beyond(checked: _Checked) -> Iterator[str]:
    low, high, unit = checked.variable.low, checked.variable.high, checked.variable.unit_text
    if low is not None and checked.amount < low:
        yield f"is under {low:g} {unit}".rstrip()
    if high is not None and checked.amount > high:
        yield f"is over {high:g} {unit}".rstrip()


def _over_planted(checked: _Checked) -> Iterator[str]:
    if not checked.variable.planned:
        return
    unit = checked.at.partition(" ")[0]
    planted = (checked.season.plots.get(unit) or checked.season.cohorts[unit]).plants
    if planted is not None and checked.amount > planted:
        yield f"is over the {planted} planted"


def _falls(checked: _Checked) -> Iterator[str]:
    """Against the look before it, and the one after."""
    if not checked.variable.stage:
        return
    own = [one for one in checked.there[checked.at] if one.variable == checked.variable.id]
    before = max((one for one in own if one.date < checked.day), key=lambda one: one.date, default=None)
    after = min((one for one in own if one.date > checked.day), key=lambda one: one.date, default=None)
    for other, sign, word in ((before, 1, "falls from"), (after, -1, "comes before")):
        part = None if other is None else _part_of(checked.season, other)
        if other is not None and part is not None and sign * (part - checked.part) > FALL:
            yield f"{word} {_value_text(checked.season, other)} on {day_text(other.date)}"


def _out_of_turn(checked: _Checked) -> Iterator[str]:
    """Against shares of stages that come before it or after, and the records of its cohort."""
    stage = checked.variable.stage
    if not stage:
        return
    for other in checked.there[checked.at]:
        others = checked.season.variables[other.variable].stage
        part = _part_of(checked.season, other)
        if part is None:
            continue
        too_soon = others in BEFORE[stage] and other.date >= checked.day and checked.part - part > FALL
        too_late = stage in BEFORE[others] and other.date <= checked.day and part - checked.part > FALL
        if too_soon or too_late:
            first, last = (others, stage) if too_soon else (stage, others)
            yield (
                f"stands against {other.variable} {_value_text(checked.season, other)} on {day_text(other.date)}, "
                f"as no plant comes to {stage_text(last)} before {stage_text(first)}"
            )
    yield from _against_records(checked, stage)


def _against_records(checked: _Checked, stage: str) -> Iterator[str]:
    if checked.part < _HALF or (cohort := checked.cohort) is None:
        return
    for name in sorted(BEFORE[stage] | {stage}):
        if (day := cohort.recorded.get(name)) is not None and day > checked.day and name != stage:
            yield f"comes before {cohort.id} {stage_text(name)}, recorded on {day_text(day)}"
        if (day := cohort.not_yet.get(name)) is not None and day > checked.day:
            yield f"comes before {day_text(day)}, when {cohort.id} was not yet {stage_text(name)}"


def _part(amount: Decimal, variable: Variable) -> Decimal:
    return amount / 100 if variable.unit == PERCENT else amount


def _part_of(season: Season, one: Observation) -> Decimal | None:
    variable = season.variables[one.variable]
    amount = amount_of(one.value, variable.unit)
    return None if amount is None else _part(amount, variable)


def _value_text(season: Season, one: Observation) -> str:
    return _text(one.value, season.variables[one.variable])


def _text(value: str, variable: Variable) -> str:
    """ "84.5 cm"; "4 of 10" needs no unit."""
    return value if counted_in(value) else f"{value} {variable.unit_text}".rstrip()


# In the order in which they are asked.
_CHECKS: tuple[Callable[[_Checked], Iterator[str]], ...] = (_beyond, _over_planted, _falls, _out_of_turn)
