"""A variety with another type, and one that is new: as it would be, before anything is changed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from calendar_tui.planning.changes.field_change import read_as
from calendar_tui.season.fields import FIELDS
from calendar_tui.season.fitted_sets import loses_sets
from calendar_tui.season.records import Season, Variety
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.variety_types import DEFAULT, VarietyType, filled, find_type, own_values


def new_variety(season: Season, name: str, typed: str = "") -> Variety:
    """A variety that the season has not, of a type; "" for the default. Raises Refusal."""
    read = str(read_as(FIELDS["variety"][0], name.strip()))
    for known in season.varieties:
        if known.casefold() == read.casefold():
            raise Refusal(f'there is a variety "{known}" already; give the new one another id')
    kind = find_type(typed or DEFAULT)
    return Variety(**filled({"id": read, "response": kind.response, "type": kind.id}))


def typed_variety(line: str) -> tuple[str, str]:
    """The id and the type of a variety typed in one line: "cedar oil-zhang", or "cedar". Raises Refusal where there is none."""
    name, _, typed = line.strip().partition(" ")
    if not name:
        raise Refusal(f"give the new variety an id and a type, such as: cedar {DEFAULT}")
    return name, typed.strip()


def of_type(variety: Variety, kind: VarietyType, taken: Sequence[str] | None = None) -> Variety:
    """The variety with this type, without the figures `taken`: by default all that the type has of its own."""
    taken = tuple(kind.figures) if taken is None else taken
    gone = (*taken, *_of_fit(variety, taken))
    values = {key: value for key, value in own_values(variety).items() if key not in gone}
    marks = {key: mark for key, mark in variety.marks.items() if key not in taken}
    return Variety(**filled(values | {"marks": marks, "type": kind.id, "response": kind.response}))


def _of_fit(variety: Variety, taken: Iterable[str]) -> tuple[str, ...]:
    """What a fit left that goes with the figures taken away."""
    if not loses_sets(variety, taken):
        return ()
    return ("sets", "before_fit") if variety.before_fit else ("sets",)
