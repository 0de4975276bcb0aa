"""A record that agrees with the others never widens what is known of the next dates; one that contradicts them never narrows it.

Simulated varieties at five latitudes; the same cases at every run: the seed is fixed. Widths are those of the whole of what
is known, in parts of a day; through fifty sets and whole days `test_fit_simulated.py` has them.
"""

from __future__ import annotations

import random
from datetime import date
from itertools import permutations
from statistics import NormalDist
from types import SimpleNamespace
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from calendar_tui.nature import refit
from calendar_tui.nature.looks import seen_on
from calendar_tui.nature.plant import Response, induction
from calendar_tui.nature.refit import GRID, Belief, Cohort, Type
from calendar_tui.nature.sky import day_lengths_h
from calendar_tui.nature.teaching import tail
from calendar_tui.planning.refit.doubts import (
    CONTRADICTED,
    Tried,
    _is_contradicted,
    sorted_records,
    uncontradicted,
)
from calendar_tui.planning.refit.records import InductionRecord, Light, Named
from tests.planning.fields import UP_D

FIRST, LAST = date(2027, 3, 1), date(2027, 12, 20)
LATITUDES = (25.5, 30.0, 35.8, 40.0, 45.0)
SOWINGS = [(4, 15), (5, 1), (5, 20), (6, 10), (7, 1), (7, 20)]
NEXT = [(5, 1), (5, 25), (6, 20), (7, 10)]
OIL = Type(Belief(14.1, 0.5), Belief(1.3, 0.6), Belief(25.0, 7.0), Belief(8.0, 2.5))
BEFORE = refit.prior(OIL)
# The error of the count, as dates of a fitted variety have it: 4 d to either side, by a normal curve.
ERROR = NormalDist(0, 4 / NormalDist().inv_cdf(0.9))


class Field:
    """The natural light of a latitude, and the day on which each set of figures induces the plants of a sowing."""

    def __init__(self, latitude):
        self.felt_h = day_lengths_h(latitude, -78.7, ZoneInfo("America/New_York"), FIRST, LAST)
        self.days = {sown: self._days(sown) for sown in {*SOWINGS, *NEXT}}

    def up(self, sown):
        return (date(2027, *sown) - FIRST).days + UP_D

    def starts(self, sown):
        return tuple([self.up(sown) + juvenile for juvenile in GRID.juvenile_d])

    def _days(self, sown):
        days = refit.induction_days(self.felt_h, self.starts(sown))
        return np.where(days < 0, len(self.felt_h), days).ravel()

    def true_day(self, sown, figures):
        critical, width, juvenile, needed = figures
        start = self.up(sown) + round(juvenile)
        run = induction(self.felt_h, start, Response(critical, critical - width, needed))
        return None if run is None else run.induced

    def record(self, sown, day):
        light = Light(FIRST, self.felt_h, self.starts(sown))
        one = InductionRecord(Named(f"{sown}", "2027"), light, seen_on(day), "induced")
        cohort = Cohort(light.felt_h, light.starts, one.record)
        return Tried(one, refit.grid_likelihood(cohort))

    def ends(self, weights, sown):
        """The 10th, 50th and 90th percentile of the day of a sowing, error of the count included."""
        share = np.bincount(self.days[sown], weights.share.ravel(), len(self.felt_h) + 40)
        reach = np.arange(-15, 16)
        error = np.array([ERROR.pdf(n) for n in reach])
        heaped = np.cumsum(np.convolve(share, error / error.sum(), "same"))
        return np.interp([0.1, 0.5, 0.9], heaped, np.arange(len(heaped)))

    def widths(self, weights):
        return [late - early for early, _, late in (self.ends(weights, sown) for sown in NEXT)]


@pytest.fixture(scope="module")
def fields():
    return [Field(latitude) for latitude in LATITUDES]


def truth(rng):
    return (
        rng.gauss(14.1, 0.4),
        max(0.2, rng.gauss(1.3, 0.5)),
        max(8.0, rng.gauss(25, 6)),
        max(2.0, rng.gauss(8, 2)),
    )


def known(records):
    kept = uncontradicted(BEFORE, records)
    return refit.after_all(BEFORE, [one.likelihood for one in kept])


def some_records(fields, cases):
    """One to four records of a variety, 0, 2 or 4 d off, and a sowing that has none yet."""
    rng = random.Random(1)
    for n in range(cases):
        field, figures, error_d = fields[n % 5], truth(rng), rng.choice((0, 2, 4))
        *sowings, one_more = rng.sample(SOWINGS, 2 + n // 5 % 4)
        days = [field.true_day(sown, figures) for sown in sowings]
        if None not in days:
            records = [
                field.record(sown, day + round(rng.gauss(0, error_d)))
                for sown, day in zip(sowings, days, strict=True)
            ]
            yield field, records, one_more, rng


@pytest.mark.parametrize("cases", [10, pytest.param(100, marks=pytest.mark.slow)])
def test_agreeing_never_widens_and_contradicting_never_narrows(fields, cases):
    """It agrees: within 3 d of the likely date that the others foretell. It contradicts: 14 to 28 d outside of their range."""
    wider, narrower = [], []
    for field, records, sown, rng in some_records(fields, cases):
        early, likely, late = field.ends(before := known(records), sown)
        off = rng.randint(14, 28)
        for day in (likely + rng.randint(-3, 3), early - off, late + off):
            if field.up(sown) < day < len(field.felt_h) - 31:
                extra = field.record(sown, round(day))
                after = known([*records, extra])
                apart = np.subtract(field.widths(after), field.widths(before)).tolist()
                if early < day < late:
                    wider += apart
                else:
                    narrower += apart
    assert len(wider) >= 3.5 * cases
    assert len(narrower) >= 7 * cases
    assert max(wider) < 1.4
    assert min(narrower) > -1.5


@pytest.mark.parametrize(("day", "contradicted"), [(123, False), (124, True), (88, False), (87, True)])
def test_two_weeks_outside_contradict_though_the_share_is_not_small(day, contradicted):
    """Of all weight 88 % lies on the days 101 to 110, which hold both percentiles, and 6 % a month off on either side."""
    days = np.array([70, *range(101, 111), 140]).reshape(2, 3, 2, 1)
    share = np.array([0.06, *[0.088] * 10, 0.06]).reshape(2, 3, 2, 1)
    by_others = refit.by_scale(refit.Weights(refit.Grid((14, 15), (1, 2, 3), (20, 30), (8,)), share), ())
    one = SimpleNamespace(likelihood=SimpleNamespace(days=days), record=SimpleNamespace(record=seen_on(day)))
    assert tail(by_others, days, seen_on(day)) > 2 * CONTRADICTED
    assert _is_contradicted(by_others, one) is contradicted


def test_which_record_comes_first_changes_nothing(fields):
    field = fields[2]
    records = [field.record(sown, day) for sown, day in zip(SOWINGS[1:4], (170, 172, 214), strict=True)]
    kept = {
        frozenset(one.record.name for one in uncontradicted(BEFORE, order)) for order in permutations(records)
    }
    assert kept == {frozenset(one.record.name for one in records[:2])}


def test_records_that_agree_tell_more_and_one_that_contradicts_makes_a_large_error_likely(fields):
    """The scale of the error is shared: by agreeing records the smallest gains, by one that is off the largest."""
    field = fields[2]
    days = [field.true_day(sown, (14.0, 1.5, 25, 8)) for sown in SOWINGS[:4]]
    agreeing = [field.record(sown, day) for sown, day in zip(SOWINGS[:4], days, strict=True)]
    off = [*agreeing[:3], field.record(SOWINGS[3], days[3] + 14)]
    few, many, apart = (scales_after(records) for records in (agreeing[:1], agreeing, off))
    assert many[0] > few[0] + 0.1
    assert apart[-1] > 1.5 * few[-1]
    assert few.sum() == pytest.approx(1)


def scales_after(records):
    return refit.by_scale(BEFORE, [one.likelihood for one in records]).sum(axis=(1, 2, 3, 4))


def test_no_record_is_contradicted_where_there_is_no_other(fields):
    alone = [fields[0].record((5, 1), 280)]
    assert uncontradicted(BEFORE, alone) == alone
    assert sorted_records(BEFORE, []) == ((), (), ())
