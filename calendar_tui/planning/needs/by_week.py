"""All that a season takes of the farm, week by week and kind by kind, with what of it rests on guesses."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from datetime import date
from typing import Any

from calendar_tui.planning.capacity.by_week import (
    DIGITS,
    KINDS,
    OF_COHORTS,
    Share,
    WeekUse,
    cohort_uses,
    hours_by_week,
    largest_first,
    most_by_week,
)
from calendar_tui.planning.capacity.futures import in_futures, with_futures
from calendar_tui.planning.lamps.loads import circuit_kw
from calendar_tui.planning.lamps.runs import LampRun
from calendar_tui.planning.laying_out.early import Asking
from calendar_tui.planning.laying_out.programmes import place_of
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.needs.quantities import Basis, amounts_of, basis_of
from calendar_tui.planning.plan import Plan
from calendar_tui.season.records import Place
from calendar_tui.season.weeks import monday_of


def week_uses(plan: Plan, data: Mapping[str, Any], kinds: Collection[str] = KINDS) -> tuple[WeekUse, ...]:
    """These kinds, in the order of KINDS, and each by week; data: of the season file. Not for the event loop: it takes a while."""
    basis = basis_of(plan, data)
    uses = [use for kind in kinds if kind in _LAMPS for use in _LAMPS[kind](plan, basis.runs)]
    season, ranged = plan.season, [kind for kind in ("hours", *OF_COHORTS) if kind in kinds]
    for kind, futures in in_futures(season, plan.timelines.values(), ranged, plan.today).items():
        uses += with_futures(season, _likely(basis, data, kind), futures)
    return tuple(sorted(uses, key=lambda use: (KINDS.index(use.kind), use.monday)))


def _likely(basis: Basis, data: Mapping[str, Any], kind: str) -> Iterator[WeekUse]:
    """The weeks of a kind by the likely dates."""
    season = basis.plan.season
    if kind == "hours":
        return hours_by_week(season)
    uses = cohort_uses(season, basis.plan.timelines.values(), kind, basis.plan.today)
    return most_by_week(season, uses, _guessed(basis, data, kind))


# --- guesses

# The item of the quantities that an amount is.
_ITEMS: Mapping[str, str] = {"dryer": "fresh crop", "trays": "trays", "samples": "bags"}


def _guessed(basis: Basis, data: Mapping[str, Any], kind: str) -> frozenset[str]:
    """The cohorts of which the amount, or how long it is taken, rests on a guess."""
    item = _ITEMS.get(kind)
    unlit = basis._replace(runs={})
    names = set()
    for name, timeline in basis.plan.timelines.items():
        amount = amounts_of(unlit, timeline).find(item) if item else None
        days = kind == "dryer" and _dryer_days_guessed(basis, data, timeline)
        if amount is not None and (amount.guesses or days):
            names.add(name)
    return frozenset(names)


def _dryer_days_guessed(basis: Basis, data: Mapping[str, Any], timeline: Timeline) -> bool:
    given = data.get("capacity", {})
    drying = "dryer_d" not in given and "drying_d" in basis.guesses[timeline.variety.id]
    return drying or "dryer_clean_d" not in given


# --- lamps and circuits


def _lamps(plan: Plan, runs: Mapping[str, Sequence[LampRun]]) -> Iterator[WeekUse]:
    """kWh of each light's lamps; their hours where no power is given."""
    for name, of_light in runs.items():
        askings = plan.light.places[name].by_cohort
        unit = "h" if any(run.kwh is None for run in of_light) else "kWh"
        for monday, of_week in _runs_by_week(of_light).items():
            amount = round(sum(map(_burnt, of_week)), DIGITS)
            shares = largest_first(_lamp_shares(askings, of_week))
            yield WeekUse("lamps", name, monday, amount, unit, None, False, monday, shares)


def _burnt(run: LampRun) -> float:
    return run.lamp_h if run.kwh is None else run.kwh


def _runs_by_week(runs: Iterable[LampRun]) -> dict[date, list[LampRun]]:
    weeks: dict[date, list[LampRun]] = defaultdict(list)
    for run in runs:
        weeks[monday_of(run.date)].append(run)
    return weeks


def _lamp_shares(askings: Mapping[str, Iterable[Asking]], runs: Sequence[LampRun]) -> Iterator[Share]:
    """What burns on the nights for which each cohort asks; a night that two ask for is told of both."""
    for who, spans in askings.items():
        own = [r for r in runs if any(span.first <= r.date < span.dark for span in spans)]
        if own:
            yield Share(who, round(sum(map(_burnt, own)), DIGITS), own[0].date, own[-1].date)


def _circuits(plan: Plan, runs: Mapping[str, Sequence[LampRun]]) -> Iterator[WeekUse]:
    """kW on each circuit of a place, in the weeks in which lamps of it burn, against what it may carry for hours on end."""
    by_place: dict[str, list[LampRun]] = defaultdict(list)
    for name, of_light in runs.items():
        by_place[place_of(plan.season, name).id] += of_light
    for place_id, of_place in by_place.items():
        yield from _circuits_of_place(plan, plan.season.places[place_id], of_place)


def _circuits_of_place(plan: Plan, place: Place, runs: Sequence[LampRun]) -> Iterator[WeekUse]:
    lamps = place.lamps
    most = None if lamps is None else circuit_kw(lamps)
    if lamps is None or lamps.kw is None or most is None:
        return
    kw = lamps.kw / lamps.circuits
    askings: dict[str, list[Asking]] = defaultdict(list)
    for name in place.lights:
        for who, spans in plan.light.places[name].by_cohort.items():
            askings[who] += spans
    for monday, of_week in _runs_by_week(runs).items():
        shares = tuple(share._replace(amount=kw) for share in _lamp_shares(askings, of_week))
        yield WeekUse("circuits", place.id, monday, kw, "kW", most, False, of_week[0].date, shares)


_LAMPS: Mapping[str, Callable[[Plan, Mapping[str, Sequence[LampRun]]], Iterator[WeekUse]]] = {
    "lamps": _lamps,
    "circuits": _circuits,
}
