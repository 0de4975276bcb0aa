"""The type of a variety, given or changed: proposed with what it moves."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from calendar_tui.planning.changes.field_change import checked, read_as
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.replan import propose
from calendar_tui.planning.plan import Plan
from calendar_tui.season.edits import Edit
from calendar_tui.season.fields import FIELDS
from calendar_tui.season.fitted_sets import loses_sets
from calendar_tui.season.readers import choices
from calendar_tui.season.records import Season, Variety
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.variety_types import DEFAULT, VarietyType, filled, own_values, variety_types
from calendar_tui.season.wording import some_text

# Typed behind a type: its figures hold alone, those that the record gives in their place are taken away.
ALONE = "alone"


def find_type(typed: str) -> VarietyType:
    """The type of this id, in any case of letters, with spaces or dashes. Raises Refusal."""
    types, name = variety_types(), "-".join(typed.strip().casefold().replace("_", " ").split())
    if name not in types:
        raise Refusal(f'"{typed}" is not a type of variety{choices(name, types, "Types")}')
    return types[name]


def change_type(plan: Plan, variety: Variety, typed: str, mark: str = "") -> Proposal:
    """The proposal that gives a variety a type, and its response with it; what moves is told for each of its cohorts.

    typed: "oil-zhang", or "oil-zhang alone" to take the figures away that the record gives in place of the type's, and that
    else stand above it. mark: none, for a type has its own. Raises Refusal.
    """
    if mark:
        raise Refusal("a type has the marks of its own figures; leave the mark out")
    name, alone = _without_alone(typed)
    kind = find_type(name)
    above = [key for key in kind.figures if key in variety.written]
    taken = above if alone else []
    new = of_type(variety, kind, taken)
    season = checked(replace(plan.season, varieties={**plan.season.varieties, variety.id: new}))
    of_response = "" if kind.response == variety.response else f", response {kind.response}"
    fit = " and its fitted sets" if _of_fit(variety, taken) else ""
    away = f", without {some_text(taken)} of its own{fit}" if taken else ""
    what = f"{variety.id} type {variety.type or 'none'} -> {kind.id}{of_response}{away}"
    proposal = propose(plan, season, what, list(_edits(variety, kind, taken)))
    notes = () if taken or not above else tuple(_above_text(variety, kind, above))
    return replace(proposal, notes=notes)


def new_variety(season: Season, name: str, typed: str = "") -> Variety:
    """A variety that the season has not, of a type; "" for the default. Raises Refusal."""
    read = str(read_as(FIELDS["variety"][0], name.strip()))
    for known in season.varieties:
        if known.casefold() == read.casefold():
            raise Refusal(f'there is a variety "{known}" already; give the new one another id')
    kind = find_type(typed or DEFAULT)
    return Variety(**filled({"id": read, "response": kind.response, "type": kind.id}))


def add_variety(plan: Plan, name: str, typed: str = "") -> Proposal:
    """The proposal that adds a variety with a type, "" for the default, and nothing else in its record. Raises Refusal."""
    new = new_variety(plan.season, name, typed)
    season = checked(replace(plan.season, varieties={**plan.season.varieties, new.id: new}))
    table = {"id": new.id, "response": new.response, "type": new.type}
    edit = Edit("add", "variety", (new.id,), (), table)
    return propose(plan, season, f"variety {new.id} added, type {new.type}", [edit])


def typed_variety(line: str) -> tuple[str, str]:
    """The id and the type of a variety typed in one line: "cedar oil-zhang", or "cedar". Raises Refusal where there is none."""
    name, _, typed = line.strip().partition(" ")
    if not name:
        raise Refusal(f"give the new variety an id and a type, such as: cedar {DEFAULT}")
    return name, typed.strip()


def _without_alone(typed: str) -> tuple[str, bool]:
    """A typed type, and whether its figures are to hold alone."""
    words = typed.split()
    alone = len(words) > 1 and words[-1].casefold() == ALONE
    return " ".join(words[:-1] if alone else words), alone


def of_type(variety: Variety, kind: VarietyType, taken: Sequence[str] | None = None) -> Variety:
    """The variety with this type, without the figures `taken`: by default all that the type has of its own."""
    taken = tuple(kind.figures) if taken is None else taken
    gone = (*taken, *_of_fit(variety, taken))
    values = {key: value for key, value in own_values(variety).items() if key not in gone}
    marks = {key: mark for key, mark in variety.marks.items() if key not in taken}
    return Variety(**filled(values | {"marks": marks, "type": kind.id, "response": kind.response}))


def _edits(variety: Variety, kind: VarietyType, taken: list[str]) -> Iterator[Edit]:
    ident = (variety.id,)
    if variety.type != kind.id:
        yield Edit("set", "variety", ident, ("type",), kind.id)
    if variety.response != kind.response:
        yield Edit("set", "variety", ident, ("response",), kind.response)
    for key in taken:
        yield Edit("unset", "variety", ident, (key,))
        if key in variety.marks:
            yield Edit("unset", "variety", ident, ("marks", key))
    for key in _of_fit(variety, taken):
        yield Edit("unset", "variety", ident, (key,))


def _of_fit(variety: Variety, taken: Iterable[str]) -> tuple[str, ...]:
    """What a fit left that goes with the figures taken away."""
    if not loses_sets(variety, taken):
        return ()
    return ("sets", "before_fit") if variety.before_fit else ("sets",)


def _above_text(variety: Variety, kind: VarietyType, above: list[str]) -> Iterator[str]:
    one = len(above) == 1
    yield (
        f"{', '.join(above)} of {variety.id} {'is' if one else 'are'} written in the file, and {'stands' if one else 'stand'} "
        f"above the type; to have {'it' if one else 'them'} taken away, give: {kind.id} {ALONE}"
    )
