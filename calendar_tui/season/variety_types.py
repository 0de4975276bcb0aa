"""The types that a variety starts from, as the records keep their figures, and how a variety takes them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from calendar_tui.season.fitted_sets import loses_sets
from calendar_tui.season.readers import Reader, choices, clock_hours, span_days
from calendar_tui.season.records import Span, Variety
from calendar_tui.season.refusal import Refusal
from calendar_tui.starter.variety_types import TYPES

_READERS: Mapping[str, Reader] = {
    "critical_day": clock_hours,
    "full_response_day": clock_hours,
    "juvenile_d": span_days,
    "inductive_days": span_days,
    "emergence_to_flowering_d": span_days,
    "flowering_to_harvest_d": span_days,
}
DEFAULT = next(iter(TYPES))
# Typed behind a type: its figures hold alone, those that the record gives in their place are taken away.
ALONE = "alone"


@dataclass(frozen=True, slots=True)
class VarietyType:
    """name, about: in words; response: as of a variety; source: where its figures come from; marks: of each figure."""

    id: str
    name: str
    about: str
    response: str
    source: str
    figures: Mapping[str, Span]
    marks: Mapping[str, str]

    @property
    def width_h(self) -> Span:
        """How far the full-response day lies below the critical day, h."""
        critical, full = self.figures["critical_day"], self.figures["full_response_day"]
        return Span(*(critical.likely - figure for figure in reversed(full)))

    def full_response_day(self, critical: Span) -> Span:
        """The full-response day that goes with another critical day, h: the type knows how wide the two are apart."""
        return Span(*(critical.likely - width for width in reversed(self.width_h)))

    def spread(self, key: str) -> Span:
        """What to add to a figure of which one number is known for its early, likely and late value, in its unit."""
        figure = self.figures[key]
        return Span(figure.early - figure.likely, 0.0, figure.late - figure.likely)


@cache
def variety_types() -> Mapping[str, VarietyType]:
    """Every type by its id; the default first."""
    return {name: _read(name, table) for name, table in TYPES.items()}


def find_type(typed: str) -> VarietyType:
    """The type of this id, in any case of letters, with spaces or dashes. Raises Refusal."""
    types, name = variety_types(), "-".join(typed.strip().casefold().replace("_", " ").split())
    if name not in types:
        raise Refusal(f'"{typed}" is not a type of variety{choices(name, types, "Types")}')
    return types[name]


def _read(name: str, table: Mapping[str, Any]) -> VarietyType:
    figures = {key: read(table[key]) for key, read in _READERS.items() if key in table}
    words = {key: table[key] for key in ("name", "about", "response", "source", "marks")}
    return VarietyType(id=name, figures=figures, **words)


def type_of(variety: Variety) -> VarietyType | None:
    """The type that a variety starts from; None where its record names none."""
    return None if variety.type is None else variety_types()[variety.type]


def from_type(variety: Variety) -> frozenset[str]:
    """The figures that a variety has from its type, for its record gives none of its own."""
    kind = type_of(variety)
    return frozenset() if kind is None else frozenset(kind.figures) - variety.written


def filled(values: Mapping[str, Any]) -> dict[str, Any]:
    """The values of a variety's record with those of its type for the figures that are not written."""
    kind = variety_types().get(values.get("type", ""))
    whole = {**values, "written": frozenset(values) - {"marks"}}
    if kind is None:
        return whole
    figures = dict(kind.figures)
    if "critical_day" in values and "full_response_day" in figures:
        figures["full_response_day"] = kind.full_response_day(values["critical_day"])
    return {**figures, **whole}


def with_figures(variety: Variety, **figures: Any) -> Variety:
    """The variety with these figures of its own; a full-response day of its type keeps its width below the critical day.

    Sets that hold one of these figures are left out, but for sets that are given: they would contradict it.
    """
    if "sets" not in figures and loses_sets(variety, figures):
        figures["sets"] = ()
    written = variety.written | frozenset(figures) - {"marks"}
    if variety.type is None:
        return replace(variety, **figures, written=written)
    return Variety(**filled(own_values(variety) | figures))


def own_values(variety: Variety) -> dict[str, Any]:
    """The values that a variety's record gives, by key, its marks among them."""
    return {key: getattr(variety, key) for key in (*variety.written, "marks")}


def type_problem(variety: Variety) -> str:
    """Why a variety with a type cannot be of it, and what would be right; or ""."""
    kind = type_of(variety)
    if kind is None or kind.response == variety.response:
        return ""
    known = ", ".join(t.id for t in variety_types().values() if t.response == variety.response)
    return (
        f"type {kind.id} is {kind.response}, and response is {variety.response}; write "
        f'response = "{kind.response}", or a type that is {variety.response}: {known}'
    )
