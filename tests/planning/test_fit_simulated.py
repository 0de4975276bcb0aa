"""Simulated varieties at five latitudes: what a fit to their records projects for the next season, held against the truth.

Truths are drawn round the type's figures (critical day 14.1 +- 0.4 h); records and what is observed next have an error of
2 or 4 d. The same cases at every run: the seeds are fixed.
"""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise
from statistics import median
from typing import NamedTuple

import pytest

from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.refit.fit import fit
from tests.planning.farm import season_of
from tests.planning.fields import UP_D, field_data, field_plan, true_day, true_days

LATITUDES = (25.5, 30.0, 35.8, 40.0, 45.0)
FOUR = [(5, 1), (5, 20), (6, 10), (7, 1)]
NEXT_MAY = [(5, 10), (5, 17), (5, 25), (6, 1)]
NEXT_FOUR = [(5, 10), (6, 1), (6, 20), (7, 10)]


class Met(NamedTuple):
    """A cohort of the next season: days between what was observed and the likely date; whether within the range; its width, d."""

    off_d: int
    inside: bool
    width_d: int


def truth(rng):
    return (
        rng.gauss(14.1, 0.4),
        max(0.2, rng.gauss(1.3, 0.5)),
        max(8.0, rng.gauss(25, 6)),
        max(2.0, rng.gauss(8, 2)),
    )


def seen(day, sown, error_d, rng):
    return max(day + timedelta(days=round(rng.gauss(0, error_d))), sown + timedelta(days=UP_D + 1))


def next_season(variety, sowings, figures, error_d, rng, site):
    season = season_of(field_data(sowings, year=2028, site=site))
    plan = make_plan(replace(season, varieties={"v": variety}), date(2028, 5, 1))
    for name, timeline in plan.timelines.items():
        day, induced = true_day(plan, name, figures), timeline.stages.get("induced")
        if day is not None and induced is not None:
            observed = day + timedelta(days=round(rng.gauss(0, error_d)))
            within = induced.earliest <= observed <= induced.latest
            yield Met(abs((observed - induced.likely).days), within, (induced.latest - induced.earliest).days)


def simulated(fits, sowings, next_sowings, error_d):
    rng = random.Random(7)
    for n in range(fits):
        site = {"latitude": LATITUDES[n % 5], "longitude": -78.7, "timezone": "America/New_York"}
        figures = truth(rng)
        days = true_days(sowings, figures, site=site)
        if None in days:
            continue
        records = [
            seen(day, date(2027, *sown), error_d, rng) for day, sown in zip(days, sowings, strict=True)
        ]
        fitted = fit([field_plan(sowings, records, site=site)], "v").fitted
        yield from next_season(fitted, next_sowings, figures, error_d, rng, site)


@pytest.mark.parametrize(
    ("fits", "sowings", "next_sowings", "error_d", "most_off_d", "least", "most"),
    [
        pytest.param(100, [(5, 15)], NEXT_MAY, 2, 3, 0.75, 0.97, id="one record, 2 d"),
        pytest.param(100, FOUR, NEXT_FOUR, 2, 2.5, 0.75, 0.97, id="four records, 2 d"),
        pytest.param(100, [(5, 15)], NEXT_MAY, 4, 5, 0.68, 0.9, id="one record, 4 d"),
        pytest.param(100, FOUR, NEXT_FOUR, 4, 4, 0.68, 0.9, id="four records, 4 d"),
    ],
)
def test_next_season_is_met_as_often_as_its_range_promises(
    fits, sowings, next_sowings, error_d, most_off_d, least, most
):
    met = list(simulated(fits, sowings, next_sowings, error_d))
    assert len(met) >= 390
    assert median(one.off_d for one in met) < most_off_d
    assert least <= sum(one.inside for one in met) / len(met) <= most
    assert min(one.width_d for one in met) >= 5


def test_figures_before_any_record_miss_by_far_more():
    """What the check above is worth: without the fit, half of the same cohorts are missed by over 6 d."""
    rng = random.Random(7)
    met = []
    for n in range(100):
        site = {"latitude": LATITUDES[n % 5], "longitude": -78.7, "timezone": "America/New_York"}
        variety = season_of(field_data(FOUR, site=site)).varieties["v"]
        met += next_season(variety, NEXT_FOUR, truth(rng), 2, rng, site)
    assert median(one.off_d for one in met) > 5


@pytest.mark.parametrize("latitude", LATITUDES)
def test_a_record_that_agrees_never_widens(latitude):
    """Each further record lies on the very day that the figures give: no figure is known less for it, nor is the next date."""
    site = {"latitude": latitude, "longitude": -78.7, "timezone": "America/New_York"}
    days = true_days(FOUR, (14.0, 1.5, 25, 8), site=site)
    spreads, widths = [], []
    for count in (1, 2, 3, 4):
        found = fit([field_plan(FOUR[:count], days[:count], site=site)], "v")
        spreads.append([one.after.sd for one in found.figures])
        (next_one,) = next_season(found.fitted, [(5, 25)], (14.0, 1.5, 25, 8), 0, random.Random(7), site)
        widths.append(next_one.width_d)
    for fewer, more in pairwise(spreads):
        assert all(after <= before * 1.02 for before, after in zip(fewer, more, strict=True))
    assert all(after <= before + 1 for before, after in pairwise(widths))


@pytest.mark.parametrize("latitude", LATITUDES)
def test_a_record_that_contradicts_widens_beside_one_and_hardly_narrows_beside_more(latitude):
    """A further record 14 or 21 d off beside one, two or three that agree.

    Beside one, the next date is known less well; beside two or three the fit believes these, and narrows by 2 d at most: that it
    never narrows does not hold, as docs/how-dates-are-worked-out.md tells with how much. Of 21 d off all are named as odd.
    """
    site = {"latitude": latitude, "longitude": -78.7, "timezone": "America/New_York"}
    days = true_days(FOUR, (14.0, 1.5, 25, 8), site=site)
    for count in (1, 2, 3):
        agreeing, width = _after(FOUR[:count], days[:count], site)
        for off in (-21, -14, 14, 21):
            records = [*days[:count], days[count] + timedelta(days=off)]
            found, other = _after(FOUR[: count + 1], records, site)
            assert other >= (width if count == 1 else width - 2)
            left = [
                after.after.sd / before.after.sd
                for before, after in zip(agreeing.figures, found.figures, strict=True)
            ]
            assert left[0] >= 0.9
            assert min(left) >= 0.84
            if abs(off) == 21:
                assert any(record.odd for record in found.records)


def _after(sowings, records, site):
    """The fit to these records, and how wide the next date of a May sowing is, d."""
    found = fit([field_plan(sowings, records, site=site)], "v")
    (met,) = next_season(found.fitted, [(5, 25)], (14.0, 1.5, 25, 8), 0, random.Random(7), site)
    return found, met.width_d
