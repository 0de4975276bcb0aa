"""A variety's figures as they stand: whose each is, where it comes from, and whether it plays a part."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from calendar_tui.planning.changes.field_change import (
    Keys,
    short,
)
from calendar_tui.planning.changes.figure_marks import FIGURE_KEYS
from calendar_tui.season.field import Field
from calendar_tui.season.field_names import field_words
from calendar_tui.season.fields import FIELDS
from calendar_tui.season.marks import DEFAULT_MARKS
from calendar_tui.season.readers import clock_hours
from calendar_tui.season.records import Span, Variety
from calendar_tui.season.variety_types import from_type, type_of
from calendar_tui.season.wording import clock_text

FIGURES: Mapping[str, Field] = {f.key: f for f in FIELDS["variety"] if f.key in FIGURE_KEYS}
FIGURE_NAMES = Keys("variety", FIGURES, "a figure of a variety", "Figures")
# Figures that play no part in the dates of a variety of this response.
_OTHERS: Mapping[str, tuple[str, ...]] = {
    "short-day": ("emergence_to_flowering_d", "emergence_to_flowering_cd"),
    "day-neutral": (
        "critical_day",
        "full_response_day",
        "inductive_days",
        "juvenile_d",
        "juvenile_cd",
        "induced_to_flowering_d",
        "induced_to_flowering_cd",
    ),
}
_HEAT = tuple(key for key in FIGURES if key.endswith(("_ch", "_cd")))
# The figure in days whose place a sum of heat takes where it is given.
_IN_DAYS: Mapping[str, str] = {
    "juvenile_cd": "juvenile_d",
    "emergence_to_flowering_cd": "emergence_to_flowering_d",
    "induced_to_flowering_cd": "induced_to_flowering_d",
}


def unused(variety: Variety, on_heat: bool) -> Mapping[str, str]:
    """The figures that play no part in the variety's dates, and why; on_heat: whether the season runs on heat."""
    idle = dict.fromkeys(_OTHERS[variety.response], f"it is {variety.response}")
    if not on_heat:
        return idle | dict.fromkeys(_HEAT, "the season runs on days")
    given = {
        days: f"its {field_words('variety', sums)} is given"
        for sums, days in _IN_DAYS.items()
        if getattr(variety, sums) is not None
    }
    return idle | given | {"emergence_d": "the season runs on heat"}


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of a variety as it stands.

    value: as a season file has it: "14:00" for hours, a list or one number for a span, None where it follows from the
    figure in days; own: whether the file gives it; of_type: the type that it is from, else ""; marks: where it comes from,
    none where nobody said; used: whether it plays a part in the variety's dates.
    """

    variety: str
    key: str
    unit: str
    meaning: str
    value: Any
    own: bool
    of_type: str
    marks: tuple[str, ...]
    used: bool

    @property
    def guess(self) -> bool:
        """Whether there is nothing behind it, or nothing behind a part of it."""
        return "placeholder" in self.marks


def figures_of(variety: Variety, data: Mapping[str, Any]) -> tuple[Figure, ...]:
    """Every figure of a variety, in the order of the reference; data: of the season file, which tells whose they are."""
    given: Mapping[str, Any] = next((v for v in data.get("variety", ()) if v["id"] == variety.id), {})
    idle = unused(variety, "heat" in data)
    return tuple(_figure(variety, field, given, field.key not in idle) for field in FIGURES.values())


def _figure(variety: Variety, field: Field, given: Mapping[str, Any], used: bool) -> Figure:
    own, mark, kind = field.key in given, variety.marks.get(field.key), type_of(variety)
    of_type = kind.id if kind is not None and field.key in from_type(variety) else ""
    start = (kind.marks[field.key],) if kind is not None and of_type else DEFAULT_MARKS.get(field.key, ())
    marks = (mark,) if mark else () if own else start
    value = written(field, getattr(variety, field.name))
    return Figure(variety.id, field.key, field.unit, field.meaning, value, own, of_type, marks, used)


def written(field: Field, value: Any) -> Any:
    """A record's value as a season file has it."""
    if value is None:
        return None
    if isinstance(value, Span):
        figures = [clock_text(n) if field.read is clock_hours else short(n) for n in value]
        return figures[0] if len(set(figures)) == 1 else figures
    return short(value)


def value_text(value: Any) -> str:
    """ "14 h 00", "[13 h 30, 14 h 00, 14 h 30]", "[10, 14, 20]", "8", "0.5"; "" for None."""
    if isinstance(value, list):
        return f"[{', '.join(map(value_text, value))}]"
    if isinstance(value, str):
        return value.replace(":", " h ")
    return "" if value is None else f"{value:g}"
