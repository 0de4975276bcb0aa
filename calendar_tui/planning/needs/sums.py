"""What cohorts need together, against the season's stock, with what their lamps draw and where they are too many."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from calendar_tui.planning.capacity.space import Crowding, crowdings, most_at_once
from calendar_tui.planning.capacity.uses import fresh_kg_each
from calendar_tui.planning.lamps.loads import LampLoad, circuit_text, load_of, overloaded
from calendar_tui.planning.needs.quantities import Amount, Basis, CohortAmounts, Guess, amounts_of, basis_of
from calendar_tui.planning.plan import Plan
from calendar_tui.season.measures import figure
from calendar_tui.season.records import Season
from calendar_tui.season.supplies import Stock
from calendar_tui.season.wording import day_text, number_text

# What is summed, and whether by variety.
_SUMMED: Mapping[str, bool] = {
    "plants": True,
    "area": False,
    "seeds": True,
    "cuttings": True,
    "trays": False,
    "media": False,
    "bags": False,
    "labels": False,
    "fresh crop": True,
    "dry crop": True,
}
MOST_TRAYS = "trays at once"


@dataclass(frozen=True, slots=True)
class Sum:
    """A sum over cohorts. variety: "" for all; how: its parts; stock: the supply, None if it is not set."""

    item: str
    variety: str
    count: float
    unit: str
    how: str
    guesses: tuple[Guess, ...]
    stock: float | None = None

    @property
    def short(self) -> float | None:
        """How much is missing, in `unit`; None if the stock is not set."""
        return None if self.stock is None else max(self.count - self.stock, 0)


@dataclass(frozen=True, slots=True)
class Circuit:
    """What a place's lamps draw of what their circuits may carry, in a sentence; over: whether it is too much."""

    place: str
    text: str
    over: bool


@dataclass(frozen=True, slots=True)
class Quantities:
    """loads: of each light on the nights on which one or more of the cohorts ask for its lamps, each night once.

    left_out: cohorts without plants; unweighed: varieties of which no fresh weight is given; stock_aside: whether there
    is a stock that is not looked at, since these are only some of the season's cohorts.
    """

    cohorts: tuple[CohortAmounts, ...]
    sums: tuple[Sum, ...]
    loads: tuple[LampLoad, ...]
    circuits: tuple[Circuit, ...]
    crowdings: tuple[Crowding, ...]
    left_out: tuple[str, ...]
    unweighed: tuple[str, ...]
    stock_aside: bool

    @property
    def guesses(self) -> tuple[Guess, ...]:
        """The figures that are guesses and that something here rests on."""
        names = (name for c in self.cohorts for a in c.amounts for name in a.guesses)
        return tuple(dict.fromkeys(names))


def quantities(
    plan: Plan, data: Mapping[str, Any], names: Sequence[str] = (), acres: bool = False
) -> Quantities:
    """What the cohorts of these names need, all for none; data: of the season file. Not for the event loop.

    acres: plants to the acre, in place of to the hectare.
    """
    basis = basis_of(plan, data, acres)
    chosen = [amounts_of(basis, plan.timelines[name]) for name in names or plan.timelines]
    ids = {c.cohort.id for c in chosen}
    part = len(ids) < len(plan.timelines)
    lights = {name for c in chosen for name in c.cohort.lights}
    return Quantities(
        tuple(chosen),
        tuple(_sums(Stock() if part else plan.season.stock or Stock(), chosen)),
        tuple(_loads(basis, ids)),
        tuple(_circuits(plan.season, lights)),
        tuple(c for c in crowdings(plan.season, plan.timelines) if ids & set(c.cohorts)),
        tuple(c.cohort.id for c in chosen if c.cohort.plants is None),
        tuple(
            dict.fromkeys(
                c.cohort.variety for c in chosen if fresh_kg_each(plan.season, c.timeline.variety) is None
            )
        ),
        part and plan.season.stock is not None,
    )


def _sums(stock: Stock, chosen: Sequence[CohortAmounts]) -> Iterator[Sum]:
    for item, by_variety in _SUMMED.items():
        pairs = [(c, a) for c in chosen if (a := c.find(item)) is not None]
        groups = dict.fromkeys(c.cohort.variety if by_variety else "" for c, _ in pairs)
        for variety in groups:
            parts = [(c, a) for c, a in pairs if variety in ("", c.cohort.variety)]
            yield _sum(item, variety, parts, _held(stock, item, variety))
        if item == "trays":
            yield from _trays_at_once(stock, pairs)


def _sum(item: str, variety: str, parts: Sequence[tuple[CohortAmounts, Amount]], stock: float | None) -> Sum:
    guesses = dict.fromkeys(name for _, a in parts for name in a.guesses)
    how = " + ".join(f"{c.cohort.id} {figure(a.count, a.unit)}" for c, a in parts)
    return Sum(item, variety, sum(a.count for _, a in parts), parts[0][1].unit, how, tuple(guesses), stock)


def _held(stock: Stock, item: str, variety: str) -> float | None:
    """What there is of an item, of one variety where it is held by variety; trays are held against the most at once."""
    by_variety = {"seeds": stock.seeds, "cuttings": stock.cuttings}
    if item in by_variety:
        return by_variety[item].get(variety)
    held: Mapping[str, float | None] = {"media": stock.media_l, "bags": stock.bags, "labels": stock.labels}
    return held.get(item)


def _trays_at_once(stock: Stock, pairs: Sequence[tuple[CohortAmounts, Amount]]) -> Iterator[Sum]:
    """Trays come back at the transplant, so what is needed is the most that stand in nurseries on one day."""
    spans = [(c.cohort.id, a, *_in_nursery(c)) for c, a in pairs]
    most = most_at_once((first, end, int(a.count)) for _, a, first, end in spans)
    if most is None:
        return
    count, day = most
    there = [(name, a) for name, a, first, end in spans if first <= day < end]
    how = f"on {day_text(day)}: {' + '.join(f'{name} {number_text(a.count)}' for name, a in there)}"
    guesses = dict.fromkeys(name for _, a in there for name in a.guesses)
    yield Sum(MOST_TRAYS, "", count, "trays", how, tuple(guesses), stock.trays)


def _in_nursery(amounts: CohortAmounts) -> tuple[date, date]:
    """Its first day there, and the day of its transplant."""
    stages, first = amounts.timeline.stages, amounts.cohort.first_stage
    return stages[first].likely, stages["transplant"].likely


def _loads(basis: Basis, ids: set[str]) -> Iterator[LampLoad]:
    for name, runs in basis.runs.items():
        askings = [a for a, who in basis.plan.light.places[name].askers.items() if not ids.isdisjoint(who)]
        load = load_of(
            basis.season, name, [r for r in runs if any(a.first <= r.date < a.dark for a in askings)]
        )
        if load is not None:
            yield load


def _circuits(season: Season, lights: set[str]) -> Iterator[Circuit]:
    for place in season.places.values():
        if place.lamps is not None and lights & {place.id, *place.lights}:
            text = circuit_text(place.id, place.lamps)
            if text:
                yield Circuit(place.id, text, overloaded(place.lamps))
