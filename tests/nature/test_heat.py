"""Temperature sums, germination, normals and percentiles against published figures and real temperature records."""

import csv
import math
import statistics
from datetime import date, timedelta
from itertools import pairwise

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.nature import heat
from calendar_tui.nature.heat import degree_day_series, degree_days, median_day, reached, running_sums
from calendar_tui.season.weather_fields import HEAT_METHODS
from tests.counting import lines_run
from tests.packaged import packaged

# --- one day


@pytest.mark.parametrize(
    ("low", "high", "base", "upper", "method", "expected"),
    [
        # US extension examples, degrees F.
        (48, 71, 50, math.inf, "average", 9.5),
        (60, 90, 50, math.inf, "average", 25.0),
        (65, 90, 50, 86, "modified", 25.5),
        (46, 72, 50, 86, "modified", 11),
        (63, 87, 50, 86, "modified", 24.5),
        # As given for the UC Davis single sine with a horizontal cutoff, degrees F.
        (30, 45, 40, 90, "single-sine", 1.2712244),
        (38, 100, 40, 90, "single-sine", 27.419432),
        (47, 80, 40, 90, "single-sine", 23.5),
        (63, 95, 40, 90, "single-sine", 38.1473627),
        (90, 95, 40, 80, "single-sine", 40),
    ],
)
def test_published_degree_days(low, high, base, upper, method, expected):
    assert degree_days(low, high, base, upper, method) == pytest.approx(expected, abs=5e-7)


@pytest.mark.parametrize("method", heat.METHODS)
def test_a_day_below_the_base_adds_nothing_and_one_above_the_upper_threshold_adds_the_whole_width(method):
    assert degree_days(-5, 10, 10, 30, method) == 0
    assert degree_days(30, 41, 10, 30, method) == pytest.approx(20)
    assert degree_days(20, 20, 10, 30, method) == pytest.approx(10)


def test_thresholds_that_cross_and_series_that_do_not_match_are_refused():
    with pytest.raises(ValueError, match="30, must be below its upper threshold, 10"):
        degree_day_series([1], [2], 30, 10, "average")
    with pytest.raises(ValueError, match="shorter"):
        degree_day_series([1, 2], [2], 10, 30, "average")
    with pytest.raises(KeyError):
        degree_days(1, 2, 10, 30, "double-triangle")


def test_every_method_that_a_season_can_name_is_there():
    assert tuple(heat.METHODS) == HEAT_METHODS


temperatures = st.floats(-40, 60)


@given(temperatures, st.floats(0, 30), st.floats(0, 20), st.floats(0, 20), st.sampled_from([*heat.METHODS]))
def test_warmer_never_adds_less_with_a_horizontal_cutoff(low, spread, warmer_low, warmer_high, method):
    high = low + spread
    cool = degree_days(low, high, 10, 30, method)
    warm = degree_days(low + min(warmer_low, warmer_high), high + warmer_high, 10, 30, method)
    assert -1e-9 <= cool <= 20 + 1e-9
    assert warm >= cool - 1e-9


@given(st.floats(10, 30), st.floats(10, 30))
def test_between_the_thresholds_all_methods_agree(one, other):
    low, high = sorted((one, other))
    sums = [degree_days(low, high, 10, 30, method) for method in heat.METHODS]
    assert sums == pytest.approx([(low + high) / 2 - 10] * 3, abs=1e-9)


# --- seasons on real records


@pytest.mark.parametrize(
    ("method", "expected"),
    [
        ("average", [1133.40, 1369.25, 1490.20, 1541.05]),
        ("single-sine", [1198.00, 1433.50, 1555.33, 1606.94]),
    ],
)
def test_four_years_of_seattle(method, expected):
    """NOAA's daily record in vega_datasets' seattle-weather.csv, base 10, upper 30 C, computed elsewhere.

    Each sum is over a calendar year. By the average method the upper threshold holds the day's mean, which never
    gets there in Seattle; by the single sine it cuts the top off the wave.
    """
    with packaged("vega_datasets", "_data", "seattle-weather.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    sums = dict.fromkeys(("2012", "2013", "2014", "2015"), 0.0)
    for row in rows:
        low, high = float(row["temp_min"]), float(row["temp_max"])
        sums[row["date"][:4]] += degree_days(low, high, 10, 30, method)
    assert [round(total, 2) for total in sums.values()] == expected


@pytest.fixture(scope="module")
def greensboro():
    """Dry-bulb temperature, C, hour by hour, one row a day: TMY3 723170, Greensboro NC, in pvlib's data."""
    table = pd.read_csv(packaged("pvlib", "data", "723170TYA.CSV"), skiprows=1, usecols=["Dry-bulb (C)"])
    return table["Dry-bulb (C)"].to_numpy().reshape(365, 24)


def test_a_typical_year_of_greensboro(greensboro):
    """The year's sums against sums made another way: pandas for two methods, the sine integrated in small steps.

    The thermometer itself, hour by hour, is within 5 % of the single sine, which is what a daily record can give.
    """
    lows, highs = greensboro.min(axis=1), greensboro.max(axis=1)
    ours = {m: sum(degree_day_series(lows, highs, 10, 30, m)) for m in heat.METHODS}
    table = pd.DataFrame({"low": lows, "high": highs})
    assert ours["average"] == pytest.approx((table.mean(axis=1).clip(10, 30) - 10).sum())
    assert ours["modified"] == pytest.approx((table.clip(10, 30).mean(axis=1) - 10).sum())
    wave = np.sin((np.arange(4000) + 0.5) / 4000 * 2 * np.pi)
    curves = (lows + highs)[:, None] / 2 + (highs - lows)[:, None] / 2 * wave
    assert ours["single-sine"] == pytest.approx((curves.clip(10, 30) - 10).mean(axis=1).sum(), abs=0.01)
    assert ours["single-sine"] == pytest.approx((greensboro.clip(10, 30) - 10).mean(axis=1).sum(), rel=0.05)


# --- germination


@pytest.mark.parametrize(
    ("thermal_ch", "expected"),
    [(694, {10: 105.2, 15: 59.8, 20: 41.8, 25: 32.1}), (714, {10: 108.2, 15: 61.6, 20: 43.0, 25: 33.1})],
    ids=["Georgina", "Victoria"],
)
def test_hours_to_half_germination(thermal_ch, expected):
    """Crops 2022, 2:415, two cultivars."""
    for temperature, hours in expected.items():
        assert round(heat.germination_h(temperature, thermal_ch), 1) == hours


def test_germination_slows_above_the_optimum_and_stops_at_base_and_ceiling():
    """Base 3.4, optimum 29.6, ceiling 42.6 C: Crops 2022, 2:415. The straight fall between the last two is a choice."""
    at_best = heat.germination_h(29.6, 694)
    assert at_best == pytest.approx(694 / 26.2)
    assert heat.germination_h((29.6 + 42.6) / 2, 694) == pytest.approx(2 * at_best)
    for outside in (-10, 3.4, 42.6, 50):
        assert heat.germination_h(outside, 694) == math.inf


@given(temperatures, st.floats(0, 30))
def test_a_day_of_germination_is_the_hours_of_its_sine_added_up(low, spread):
    high = low + spread
    steps = 2400
    wave = [
        heat.germination_degrees(
            (low + high) / 2 + (high - low) / 2 * math.sin(2 * math.pi * (i + 0.5) / steps)
        )
        for i in range(steps)
    ]
    assert heat.germination_day_ch(low, high) == pytest.approx(24 * sum(wave) / steps, abs=0.02)


def test_a_steady_day_germinates_as_the_hours_say():
    """At 20 C half has germinated after 41.8 h (Crops 2022, 2:415), which is in the second day."""
    days = [heat.germination_day_ch(20, 20)] * 5
    assert 694 / days[0] * 24 == pytest.approx(heat.germination_h(20, 694))
    assert reached(running_sums(days), 1, 694) == pytest.approx(1 + 41.8 / 24, abs=0.01)


def test_germination_on_a_real_year(greensboro):
    """TMY3 723170, Greensboro NC: the sum over 15 April to 15 May from lows and highs, against the hours themselves."""
    spring = greensboro[104:135]
    ours = sum(heat.germination_day_ch(day.min(), day.max()) for day in spring)
    hours = sum(heat.germination_degrees(hour) for hour in spring.ravel())
    assert ours == pytest.approx(hours, rel=0.05)


# --- running sums


def test_a_sum_grows_evenly_within_a_day():
    sums = running_sums([1.0, 2.0, 3.0, 0.0, 4.0])
    assert sums == (0, 1, 3, 6, 6, 10)
    assert [reached(sums, 0, amount) for amount in (0, 1, 2, 3, 6, 7, 10)] == [0, 1, 1.5, 2, 3, 4.25, 5]
    assert reached(sums, 1.5, 2.0) == pytest.approx(2 + 1 / 3)
    assert reached(sums, 3.5, 1.0) == 4.25
    assert reached(sums, 0, 10.5) is None
    assert reached(sums, 9, 0.0) is None
    assert running_sums([]) == (0.0,)
    assert reached((0.0,), 0, 1.0) is None


def test_crumbs_of_adding_up_do_not_cost_a_day():
    assert reached(running_sums([0.1] * 20), 0, 1.0) == pytest.approx(10)


days = st.lists(st.floats(0, 30), min_size=1, max_size=80)


@given(days, st.floats(0, 80), st.floats(0, 500), st.floats(0, 500))
def test_reached_is_the_plain_count_and_later_for_more(adds, start, amount, more):
    found = reached(running_sums(adds), start, amount)
    parts = [max(0.0, min(1.0, day + 1 - start)) * add for day, add in enumerate(adds)]
    if found is None:
        assert start > len(adds) or sum(parts) < amount + 1e-6
    else:
        got = sum(max(0.0, min(found, day + 1) - max(start, day)) * adds[day] for day in range(len(adds)))
        assert got == pytest.approx(amount, abs=1e-5)
    later = reached(running_sums(adds), start, amount + more)
    assert later is None or (found is not None and later >= found)
    after = reached(running_sums(adds), start + 1, amount)
    assert after is None or (found is not None and after >= found)


def test_looking_up_does_not_grow_with_the_years():
    one, many = (running_sums([10.0] * (365 * years)) for years in (1, 30))
    assert lines_run(lambda: reached(many, 5, 900.0)) == lines_run(lambda: reached(one, 5, 900.0))


# --- normals

# Invented, with the shape of a mild climate south of the equator. Degrees C.
MONTHLY = (17.2, 17.0, 15.1, 11.6, 8.4, 5.9, 5.5, 6.6, 8.3, 11.0, 13.2, 15.6)


def test_each_month_keeps_its_mean():
    year = heat.normal_days(MONTHLY, date(2026, 1, 1), date(2026, 12, 31))
    table = pd.Series(year, pd.date_range("2026-01-01", "2026-12-31"))
    assert table.groupby(table.index.month).mean().tolist() == pytest.approx(MONTHLY, abs=1e-6)


def test_days_run_smoothly_through_the_turn_of_the_year_and_a_leap_day():
    span = heat.normal_days(MONTHLY, date(2023, 12, 1), date(2024, 3, 31))
    assert len(span) == 31 + 31 + 29 + 31
    assert max(abs(a - b) for a, b in pairwise(span)) < 0.2
    assert span[31 + 31 + 27] == span[31 + 31 + 28]
    assert heat.normal_days([9.0] * 12, date(2024, 2, 29), date(2024, 2, 29)) == (pytest.approx(9.0),)
    assert heat.normal_days(MONTHLY, date(2026, 3, 2), date(2026, 3, 1)) == ()


def test_twelve_means_are_needed():
    with pytest.raises(ValueError, match="11 monthly means; give twelve"):
        heat.normal_days(MONTHLY[1:], date(2026, 1, 1), date(2026, 1, 2))


@pytest.mark.slow
@given(
    st.lists(st.floats(-40, 40), min_size=12, max_size=12),
    st.lists(st.floats(0, 25), min_size=12, max_size=12),
)
def test_lows_never_stand_above_highs(lows, spreads):
    first = date(2025, 6, 1)
    highs = [low + spread for low, spread in zip(lows, spreads, strict=True)]
    daily = heat.normal_lows_and_highs(lows, highs, first, first + timedelta(days=364))
    assert all(low <= high for low, high in zip(*daily, strict=True))


# --- the median over years


def test_the_median_over_years():
    assert median_day(range(11)) == 5
    assert median_day([7]) == 7
    assert median_day([None]) is None
    assert median_day([1, 2]) == 2  # 1.5: a half goes up
    assert median_day([*range(10), None]) == 5
    assert median_day([None, 3, 1]) == 3
    assert median_day([None, None, 3, 1]) is None
    with pytest.raises(ValueError, match="no years"):
        median_day([])


@given(st.lists(st.integers(-400, 4000), min_size=1, max_size=40))
def test_the_median_is_that_of_the_standard_library(values):
    assert median_day(values) == math.floor(statistics.median(values) + 0.5)
    never = median_day([*values, None])
    assert never is None or never >= median_day(values)
