"""The mean of the positions of one cut, weighted by what the parts of the variety weighed: information, since the top decides."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from calendar_tui.nature.canopy import POSITIONS
from calendar_tui.nature.measured import Interval
from calendar_tui.planning.results.used import Used
from calendar_tui.season.lots import passes_of
from calendar_tui.season.records import Season

_DECIMALS = 4


class WeightedMean(NamedTuple):
    """whose: lot or cohort; cut: the day of its bags; shares: of the weight, by position; mean: total THC, %."""

    whose: str
    cut: date
    shares: Mapping[str, Decimal]
    mean: Interval


def part_weights(season: Season, variety: str) -> dict[str, Decimal]:
    """What was weighed fresh of each part, kg, over all passes of a variety."""
    kg: dict[str, Decimal] = {}
    for cohort in season.cohorts.values():
        for one in passes_of(season, cohort.id) if cohort.variety == variety else ():
            for part, weight in one.fresh_kg.items():
                kg[part] = kg.get(part, Decimal(0)) + Decimal(str(weight))
    return kg


def weighted_means(season: Season, used: tuple[Used, ...]) -> Iterator[WeightedMean]:
    """Of each lot's newest cut of which several positions are in, where passes of the variety have weights of all of them."""
    cuts: dict[str, dict[date, dict[str, Used]]] = {}
    for one in used:
        whose = one.sample.lot or one.sample.cohort
        cuts.setdefault(whose, {}).setdefault(one.sample.date, {})[one.sample.position] = one
    for whose, by_day in cuts.items():
        days = [day for day, positions in by_day.items() if len(positions) > 1]
        if days and (mean := _mean(season, whose, max(days), by_day[max(days)])):
            yield mean


def _mean(season: Season, whose: str, cut: date, positions: Mapping[str, Used]) -> WeightedMean | None:
    """None where a part was not weighed, or the figures have no one basis."""
    first = next(iter(positions.values()))
    kg = part_weights(season, season.cohorts[first.sample.cohort].variety)
    weights = {position: kg.get(position, Decimal(0)) for position in positions}
    if not all(weights.values()) or len({one.figures.basis for one in positions.values()}) > 1:
        return None
    whole = sum(weights.values())
    low = high = Decimal(0)
    for position, one in positions.items():
        assert one.figures.thc is not None
        low += one.figures.thc.low * weights[position] / whole
        high += one.figures.thc.high * weights[position] / whole
    in_order = sorted(
        weights, key=lambda name: (POSITIONS.index(name) if name in POSITIONS else len(POSITIONS), name)
    )
    shares = {position: round(weights[position] / whole, 2) for position in in_order}
    return WeightedMean(whose, cut, shares, Interval(round(low, _DECIMALS), round(high, _DECIMALS)))
