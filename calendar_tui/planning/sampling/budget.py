"""Which of the bags that are asked for to keep where the laboratory or the money is short, and what is given up.

What decides a cut comes first. In each week: the top of lots that have fewer than three dates so far, without which there is no
trend; then the top, then the other positions in the order of the plans, each nearest first to the day of the lot's limit or harvest.
The first bag that is too much closes the week. Of what the weeks hold the same order holds for the season, and the first bag that
is too much closes it.

Where bags differ in price, a larger week could so let in a dear bag that takes the season's money from several cheap ones. So
money is then counted first and by itself, over all that is asked for, in that order: the first bag that is too much for the
money of its week closes the week, the first that is too much for the season closes the season, and the numbers of bags hold for
what is left. Either way a larger budget of any kind never keeps fewer bags, and one of the season alone keeps all that a smaller
one kept.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from itertools import groupby
from typing import NamedTuple

from calendar_tui.nature.canopy import LEAST_DATES, TOP
from calendar_tui.planning.sampling.planned import PlannedBag, plans_of
from calendar_tui.season.capacity import Capacity
from calendar_tui.season.records import Season
from calendar_tui.season.sampling import BagOf, Sample, Sampling
from calendar_tui.season.weeks import monday_of

_Lot = tuple[str, str]


class GivenUp(NamedTuple):
    """A bag that the budget leaves out, and by which key of `[capacity]`."""

    bag: PlannedBag
    by: str


class Kept(NamedTuple):
    """kept, given_up: of the bags that are to be cut, by day. short: dates of its top that a lot comes to, under three."""

    kept: tuple[PlannedBag, ...]
    given_up: tuple[GivenUp, ...]
    short: Mapping[_Lot, int]


class _Purse:
    """How many bags and how much money are left; None where there is no end to them."""

    def __init__(self, bags: tuple[str, int | None], money: tuple[str, float | None]) -> None:
        self.bags_key, self.bags = bags
        self.money_key, self.money = money
        self.closed_by = ""

    def spend(self, price: float) -> None:
        """Take what is spent already, be it too much."""
        self.bags = None if self.bags is None else self.bags - 1
        self.money = None if self.money is None else self.money - price

    def why_not(self, price: float) -> str:
        """The key under which a bag is too much, which ends it for all behind it; "" where it is paid for."""
        if not self.closed_by and self.bags is not None and self.bags < 1:
            self.closed_by = self.bags_key
        # Money is told to the cent, and sums of it are rounded.
        elif not self.closed_by and self.money is not None and price > round(self.money, 6):
            self.closed_by = self.money_key
        if not self.closed_by:
            self.spend(price)
        return self.closed_by


def within_budget(season: Season, bags: Iterable[PlannedBag], cut_by: Mapping[_Lot, date]) -> Kept:
    """Which of these bags, all still to be cut, to keep under `[capacity]`, next to the bags that are recorded.

    cut_by: by cohort and lot ("" for all of a cohort), the day of its limit or its harvest, whichever is earlier.
    """
    asked = tuple(bags)
    ranked = _Ranked(season, cut_by)
    mixed = len({price_of(season, bag.laboratory) for bag in asked}) > 1
    out = dict(_over_money(season, asked, ranked)) if mixed else {}
    limits = _limits(season, bags=True, money=not mixed)
    out |= _over_weeks(season, limits, [bag for bag in asked if bag not in out], ranked)
    held = [bag for bag in asked if bag not in out]
    purse = _season_purse(season, limits)
    for bag in sorted(held, key=ranked.by(ranked.needed(held))):
        if by := purse.why_not(price_of(season, bag.laboratory)):
            out[bag] = by
    kept = tuple(bag for bag in asked if bag not in out)
    short = ranked.short(asked, kept)
    return Kept(kept, tuple(GivenUp(bag, out[bag]) for bag in asked if bag in out), short)


def _limits(season: Season, *, bags: bool, money: bool) -> Capacity:
    """The limits of numbers of bags, of money, or of both."""
    limits = season.capacity or Capacity()
    if not bags:
        limits = replace(limits, samples_per_week=None, samples=None)
    return limits if money else replace(limits, sample_money_per_week=None, sample_money=None)


def _over_money(
    season: Season, asked: Sequence[PlannedBag], ranked: _Ranked
) -> Iterator[tuple[PlannedBag, str]]:
    """The bags that are too much for the money of the season or of their weeks, each counted over all that is asked for."""
    limits = _limits(season, bags=False, money=True)
    whole = _season_purse(season, limits)
    weeks = {monday: _week_purse(season, limits, monday) for monday in {monday_of(bag.day) for bag in asked}}
    for bag in sorted(asked, key=ranked.by(ranked.needed(asked))):
        price = price_of(season, bag.laboratory)
        of_week, of_season = weeks[monday_of(bag.day)].why_not(price), whole.why_not(price)
        if by := of_week or of_season:
            yield bag, by


def _over_weeks(
    season: Season, limits: Capacity, asked: Sequence[PlannedBag], ranked: _Ranked
) -> Iterator[tuple[PlannedBag, str]]:
    """The bags that are too many for their weeks, each with the key that says so; one week after the other."""
    kept: list[PlannedBag] = []
    by_day = sorted(asked, key=lambda bag: bag.day)
    for monday, of_week in groupby(by_day, key=lambda bag: monday_of(bag.day)):
        purse = _week_purse(season, limits, monday)
        bags = list(of_week)
        for bag in sorted(bags, key=ranked.by(ranked.needed([*kept, *bags]))):
            if by := purse.why_not(price_of(season, bag.laboratory)):
                yield bag, by
            else:
                kept.append(bag)


def price_of(season: Season, laboratory: str) -> float:
    """Money for a bag; 0 where no price is set."""
    known = season.laboratories.get(laboratory)
    return 0.0 if known is None or known.price is None else known.price


def unpriced(season: Season, bags: Iterable[PlannedBag]) -> tuple[str, ...]:
    """Where bags go for which money is set and no price: laboratories, "" for none named."""
    capacity = season.capacity
    if capacity is None or (capacity.sample_money is None and capacity.sample_money_per_week is None):
        return ()
    names = dict.fromkeys(bag.laboratory for bag in bags)
    return tuple(n for n in names if n not in season.laboratories or season.laboratories[n].price is None)


def _cut(season: Season) -> Iterator[Sample]:
    """The bags that a laboratory has tested or will: neither lost nor planned ones."""
    return (s for s in season.samples.values() if s.is_cut)


def spent(season: Season) -> tuple[int, float]:
    """How many bags the season has taken so far, and the money for them."""
    prices = [price_of(season, sample.laboratory) for sample in _cut(season)]
    return len(prices), sum(prices)


def _week_purse(season: Season, limits: Capacity, monday: date) -> _Purse:
    purse = _Purse(
        ("samples_per_week", limits.samples_per_week),
        ("sample_money_per_week", limits.sample_money_per_week),
    )
    for sample in _cut(season):
        if monday_of(sample.date) == monday:
            purse.spend(price_of(season, sample.laboratory))
    return purse


def _season_purse(season: Season, limits: Capacity) -> _Purse:
    purse = _Purse(("samples", limits.samples), ("sample_money", limits.sample_money))
    for sample in _cut(season):
        purse.spend(price_of(season, sample.laboratory))
    return purse


def _in_turn(plans: Iterable[Sampling]) -> list[str]:
    """The positions of these plans, each once: the top first, then as they come."""
    names = dict.fromkeys(name for plan in plans for name in plan.positions)
    return sorted(names, key=lambda name: name != TOP)


class _Rank(NamedTuple):
    tier: int
    away_d: int
    position: int
    day: date
    of: BagOf


class _Ranked:
    """The order in which bags are kept. cut_by: as `within_budget` has it."""

    def __init__(self, season: Season, cut_by: Mapping[_Lot, date]) -> None:
        self.cut_by = cut_by
        # By cohort and position, its place in turn: the top first, then as the cohort's plans have them.
        self.places = {
            (cohort, name): n
            for cohort in season.cohorts
            for n, name in enumerate(_in_turn(plans_of(season, cohort)))
        }
        self.dates_cut: dict[_Lot, frozenset[date]] = {}
        for sample in _cut(season):
            if self.places.get((sample.cohort, sample.position)) == 0:
                lot = sample.cohort, sample.lot
                self.dates_cut[lot] = self.dates_cut.get(lot, frozenset()) | {sample.date}

    def by(self, needed: Collection[PlannedBag]) -> Callable[[PlannedBag], _Rank]:
        """What bags are put in order by. needed: those without which there is no trend."""

        def rank(bag: PlannedBag) -> _Rank:
            place = self.places.get((bag.cohort, bag.position), 0)
            end = self.cut_by.get((bag.cohort, bag.lot), self.cut_by.get((bag.cohort, ""), date.max))
            tier = 0 if bag in needed else 1 if place == 0 else 2
            return _Rank(tier, abs((end - bag.day).days), place, bag.day, bag.of)

        return rank

    def needed(self, bags: Iterable[PlannedBag]) -> frozenset[PlannedBag]:
        """The first of these bags, of each lot's first position, that bring it to three dates."""
        dates, needed = dict(self.dates_cut), set[PlannedBag]()
        for bag in sorted(filter(self._decides, bags), key=lambda one: one.day):
            lot = bag.cohort, bag.lot
            days = dates.get(lot, frozenset())
            if len(days) < LEAST_DATES or bag.day in days:
                dates[lot] = days | {bag.day}
                needed.add(bag)
        return frozenset(needed)

    def short(self, asked: Iterable[PlannedBag], kept: Iterable[PlannedBag]) -> dict[_Lot, int]:
        """The lots that come to fewer dates of the top than were asked for, and to fewer than three: how many."""
        could, do = self._dates(asked), self._dates(kept)
        return {lot: do.get(lot, 0) for lot, n in could.items() if do.get(lot, 0) < min(n, LEAST_DATES)}

    def _dates(self, bags: Iterable[PlannedBag]) -> dict[_Lot, int]:
        dates = dict(self.dates_cut)
        for bag in filter(self._decides, bags):
            lot = bag.cohort, bag.lot
            dates[lot] = dates.get(lot, frozenset()) | {bag.day}
        return {lot: len(days) for lot, days in dates.items()}

    def _decides(self, bag: PlannedBag) -> bool:
        return self.places.get((bag.cohort, bag.position), 0) == 0
