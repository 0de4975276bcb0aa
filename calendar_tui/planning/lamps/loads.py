"""What the lamps of a season draw: kW, hours and kWh of each light and of each cohort, and the load on circuits."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from math import ceil

from calendar_tui.planning.lamps.runs import LampRun, kw_of, kwh_of, lamp_runs, lights_with_lamps
from calendar_tui.planning.laying_out.light import Light
from calendar_tui.planning.laying_out.programmes import place_of
from calendar_tui.season.records import Lamps, Season

# What burns for hours on end may draw this share of what a circuit is made for (value from memory; an electrician
# decides by the local code).
CONTINUOUS_SHARE = 0.8


@dataclass(frozen=True, slots=True)
class LampLoad:
    """The lamps of one light on some nights, all or those on which one cohort asks for them.

    kw: None where no power is given, and kwh then too; h: sum of their hours; first, last: the first and last night
    by their evenings; nights: how many; cost: None where no price is given.
    """

    light: str
    kw: float | None
    h: float
    kwh: float | None
    cost: float | None
    first: date
    last: date
    nights: int


def runs_by_light(season: Season, light: Light) -> dict[str, tuple[LampRun, ...]]:
    """Every run of lamps of each light that has some, covers left out. Some 20 ms a light: not for the event loop."""
    return {
        name: tuple(r for r in lamp_runs(season, name, light) if r.programme.method != "blackout")
        for name in lights_with_lamps(season)
        if place_of(season, name).lamps is not None
    }


def load_of(season: Season, name: str, runs: Sequence[LampRun]) -> LampLoad | None:
    """What these runs of a light's lamps come to; None for no runs."""
    if not runs:
        return None
    place, kwh = place_of(season, name), kwh_of(runs)
    price = place.lamps.cost_per_kwh if place.lamps else None
    nights = [run.date for run in runs]
    return LampLoad(
        name,
        kw_of(place),
        sum(run.lamp_h for run in runs),
        kwh,
        None if kwh is None or price is None else kwh * price,
        min(nights),
        max(nights),
        len(set(nights)),
    )


def loads_of_cohort(
    season: Season, light: Light, cohort_id: str, runs: Mapping[str, Sequence[LampRun]]
) -> Iterable[LampLoad]:
    """Of each light that a cohort asks for, on the nights on which it does; neighbours may ask for the same nights."""
    for name, of_light in runs.items():
        spans = light.places[name].by_cohort.get(cohort_id, ())
        if not spans:
            continue
        load = load_of(season, name, [r for r in of_light if any(a.first <= r.date < a.dark for a in spans)])
        if load is not None:
            yield load


def circuit_kw(lamps: Lamps) -> float | None:
    """What one of its circuits may carry for hours on end (kW, volts x amps of one phase); None if it is not set."""
    if lamps.circuit_v is None or lamps.circuit_a is None:
        return None
    return CONTINUOUS_SHARE * lamps.circuit_v * lamps.circuit_a / 1000


def circuit_text(place_id: str, lamps: Lamps) -> str:
    """What the lamps of a place draw of what their circuits may carry, in a sentence; "" without volts and amps."""
    most = circuit_kw(lamps)
    if most is None:
        return ""
    formula = (
        f"{CONTINUOUS_SHARE:.2f} x {lamps.circuit_v:g} V x {lamps.circuit_a:g} A = {round(most, 2):g} kW"
    )
    if lamps.kw is None:
        return (
            f"{place_id}: for continuous use a circuit carries at most {formula}; the lamp power is not set"
        )
    each = lamps.kw / lamps.circuits
    head = f"{place_id}: {lamps.kw:g} kW on {lamps.circuits} circuit{'' if lamps.circuits == 1 else 's'}"
    if lamps.circuits > 1:
        head += f", {round(each, 2):g} kW each"
    if each <= most * (1 + 1e-9):
        return f"{head}; for continuous use a circuit carries at most {formula}"
    need = ceil(lamps.kw / most * (1 - 1e-9))
    return (
        f"{head} is over {formula}, the most that a circuit carries for continuous use; {need} circuits of this kind, or "
        f"lamps of less power"
    )


def overloaded(lamps: Lamps) -> bool:
    """Whether the lamps draw more than their circuits may carry for hours on end."""
    most = circuit_kw(lamps)
    return most is not None and lamps.kw is not None and lamps.kw / lamps.circuits > most * (1 + 1e-9)
