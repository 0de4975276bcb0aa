"""The immutable records of a field book: what is observed and in which unit, and what was found where."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass
from decimal import Decimal

NUMBER, COUNT, SHARE, SCORE, MARK = "number", "count", "share", "score", "mark"
SCALES = (NUMBER, COUNT, SHARE, SCORE, MARK)
PLOT, PLANT, COHORT = "plot", "plant", "cohort"
OBSERVED_PER = (PLOT, PLANT, COHORT)
# What a count is held against: the plants of its plot or cohort.
PLANNED = ("plants",)
NOT_LOOKED = "not looked"
PERCENT = "%"
# Units of what has none.
NO_UNITS = ("1", "none")
_NUMBER = re.compile(r"-?\d{1,9}(?:\.\d{1,9})?", re.ASCII)
_OF = re.compile(r"(\d{1,6}) of (\d{1,6})", re.ASCII)
_BELOW = re.compile(r"[<>] ?\d{1,9}(?:\.\d{1,9})?|<\w{1,5}", re.ASCII)


@dataclass(frozen=True, slots=True, kw_only=True)
class Variable:
    """What is observed. unit: "1" or "none" of counts and marks; scale: what its values are; low, high: in its unit, asked
    back beyond. definition: which of several meanings is used. per: what one value stands for; plants: how many of a plot,
    where each plant has its own. planned: what a count is held against. stage: that of which a share is the part of the plants that have come to it.
    """

    id: str
    unit: str
    name: str = ""
    scale: str = NUMBER
    low: float | None = None
    high: float | None = None
    method: str = ""
    definition: str = ""
    per: str = PLOT
    plants: int | None = None
    planned: str = ""
    stage: str = ""

    @property
    def unit_text(self) -> str:
        """The unit as it stands behind a value; "" where it has none."""
        return "" if self.unit in NO_UNITS else self.unit


@dataclass(frozen=True, slots=True, kw_only=True)
class Observation:
    """What was found. at: a plot or a cohort, a plant of it by its number behind a space.

    value: as it was written: a number, "4 of 10" of a share, "<0.05" below a limit, words of a mark; "" where `state` is
    "not looked".
    """

    date: dt.date
    at: str
    variable: str
    value: str = ""
    state: str = ""
    who: str = ""
    note: str = ""

    @property
    def unit(self) -> str:
        """The plot or cohort."""
        return self.at.partition(" ")[0]

    @property
    def plant(self) -> int | None:
        """The number of its plant."""
        number = self.at.partition(" ")[2]
        return int(number) if number else None


def number_in(value: str) -> Decimal | None:
    """The exact number of a value as it is written; None of text, and of what is under a limit."""
    return Decimal(value) if _NUMBER.fullmatch(value) else None


def counted_in(value: str) -> tuple[int, int] | None:
    """How many of how many, of "4 of 10"; None of other values and of more than all."""
    parts = _OF.fullmatch(value)
    if parts is None or not 0 < int(parts[2]) >= int(parts[1]):
        return None
    return int(parts[1]), int(parts[2])


def amount_of(value: str, unit: str) -> Decimal | None:
    """A value as a number in a unit, "4 of 10" too; None of what is no number."""
    counted = counted_in(value)
    if counted is None:
        return number_in(value)
    return Decimal(counted[0] * (100 if unit == PERCENT else 1)) / counted[1]


def is_below(value: str) -> bool:
    """Whether it is text of a limit, "<0.05", of which no number is made."""
    return _BELOW.fullmatch(value) is not None


def fits_scale(value: str, scale: str) -> bool:
    """Whether a value is one of a scale."""
    if scale == MARK or is_below(value):
        return True
    if scale == SHARE and counted_in(value) is not None:
        return True
    number = number_in(value)
    return number is not None and (scale != COUNT or (number >= 0 and number == number.to_integral_value()))


# What each scale takes, as a sentence ends.
RIGHT_VALUES = {
    NUMBER: 'write a number such as 84.5, or what is under a limit, such as "<0.05"',
    COUNT: "write a whole number, 0 for none",
    SHARE: "write a number, or how many of how many, such as 4 of 10",
    SCORE: "write a number",
    MARK: "write words",
}
