"""Figures of a variety from recorded dates: equal to the engine's dates, and to posteriors worked out apart."""

from __future__ import annotations

from datetime import date
from math import inf
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from posteriors import posterior, starts_of

from calendar_tui.nature import refit
from calendar_tui.nature.looks import NEVER, Between, meet, not_yet, seen_on
from calendar_tui.nature.plant import Response, induction
from calendar_tui.nature.refit import (
    FIGURES,
    GRID,
    TAUGHT,
    Belief,
    Cohort,
    Grid,
    Margin,
    Type,
    Weights,
    correlations,
    grid_of,
    induction_days,
    learnt,
    margin,
    prior,
    representatives,
    ties,
)
from calendar_tui.nature.sky import day_lengths_h
from tests.counting import lines_run

FIRST, LAST = date(2027, 5, 20), date(2027, 11, 15)
NATURAL = day_lengths_h(35.8, -78.7, ZoneInfo("America/New_York"), FIRST, LAST)  # sunrise to sunset


def day(month: int, of_month: int) -> int:
    return (date(2027, month, of_month) - FIRST).days


MAY, JULY = day(5, 20), day(7, 1)
COVERED = tuple([felt if n < JULY else 12.0 for n, felt in enumerate(NATURAL)])

UNKNOWN = Belief(0.0, inf)
FLAT = Type(UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN)
# Types to start from, "oil, unknown": placeholder round the published figures.
OIL = Type(Belief(14.1, 0.5), Belief(1.3, 0.6), Belief(25.0, 7.0), Belief(8.0, 2.5))
BEFORE = prior(OIL)

SMALL = Grid((13.5, 14.0, 14.5), (1.0, 1.5), (20, 30), (6.0, 8.0, 10.0))
ONE_SCALE = {2.5: 1.0}


def shares(weights: Weights, figure: int) -> np.ndarray:
    return weights.share.sum(axis=tuple(other for other in range(4) if other != figure))


# --- dates


def induced(felt, emergence, grid=GRID, *, ripe=False):
    return induction_days(felt, [emergence] if ripe else starts_of(emergence, grid), grid)


# Computed apart, by a day-by-day count of this place's day lengths.
@pytest.mark.parametrize(
    ("critical", "width", "may", "july"),
    [
        (14.0, 1.5, (8, 27), (8, 27)),
        (14.0, 1.0, (8, 22), (8, 22)),
        (13.5, 1.0, (9, 6), (9, 6)),
        (14.5, 1.0, (8, 4), (8, 11)),
        (14.5, 1.5, (8, 9), (8, 16)),
    ],
)
def test_induction_at_35_8_n_of_plants_up_on_20_may_and_on_1_july(critical, width, may, july):
    grid = Grid((critical,), (width,), (30,), (8.0,))
    assert induced(NATURAL, MAY, grid).item() == day(*may)
    assert induced(NATURAL, JULY, grid).item() == day(*july)


def test_covers_of_12_h_from_1_july_induce_on_8_july_whatever_the_critical_day():
    """Ready on 9 June, 8 inductive days: 1 July is the first of them. Critical day over 12 h, full response 12 h or more."""
    grid = Grid((13.0, 13.5, 14.0, 14.4), (0.1, 0.5, 1.0), (day(6, 9),), (8.0,))
    assert set(induced(COVERED, MAY, grid).ravel()) == {day(7, 8)}


def lengths(longest):
    return st.lists(st.floats(10.0, 16.5) | st.sampled_from([12.0, 13.0, 13.5, 14.0, 16.0]), max_size=longest)


grids = st.builds(
    Grid,
    st.lists(
        st.floats(12.0, 15.5) | st.sampled_from([13.0, 13.5, 14.0]), min_size=1, max_size=4, unique=True
    ).map(sorted),
    st.lists(st.floats(0.1, 3.0) | st.sampled_from([0.5, 1.0]), min_size=1, max_size=3, unique=True).map(
        sorted
    ),
    st.lists(st.integers(0, 50), min_size=1, max_size=3, unique=True).map(sorted),
    st.lists(st.floats(0.2, 12.0) | st.integers(1, 14).map(float), min_size=1, max_size=4, unique=True).map(
        sorted
    ),
)


def by_the_engine(felt, emergence, grid, *, ripe=False):
    """The engine's day for every point, one after another."""
    out = np.full(grid.shape, NEVER)
    for at in np.ndindex(*grid.shape):
        critical, width, juvenile, needed = (values[n] for values, n in zip(grid, at, strict=True))
        start = emergence if ripe else emergence + juvenile
        run = induction(felt, start, Response(critical, critical - width, needed))
        out[at] = NEVER if run is None else run.induced
    return out


@pytest.mark.slow
@given(lengths(90), st.integers(0, 40), grids, st.booleans())
def test_every_point_of_a_grid_is_induced_on_the_engine_s_day(felt, emergence, grid, ripe):
    found = induced(felt, emergence, grid, ripe=ripe)
    assert np.array_equal(found, by_the_engine(felt, emergence, grid, ripe=ripe))


def test_ten_tenths_of_a_day_are_one():
    """Added up they are less than 1 by the last digit, and the engine lets them pass."""
    grid = Grid((14.0,), (1.0,), (0,), (1.0,))
    assert sum([14.0 - 13.9] * 10) < 1.0
    assert induced([13.9] * 12, 0, grid).item() == 9 == by_the_engine([13.9] * 12, 0, grid).item()


@pytest.mark.slow
@given(st.floats(-60, 60), st.integers(0, 100), st.sampled_from([0, 40, 79]))
def test_the_whole_grid_under_natural_days_is_the_engine_s(latitude, emergence, juvenile_from):
    felt = day_lengths_h(latitude, 0.0, ZoneInfo("UTC"), FIRST, LAST)
    some = Grid(GRID.critical_h[::5], GRID.width_h[::4], (7 + juvenile_from,), GRID.inductive_d[::3])
    assert np.array_equal(induced(felt, emergence, some), by_the_engine(felt, emergence, some))


def test_the_grid_holds_37_674_points_and_one_pass_over_the_days_serves_them_all():
    days = induced(NATURAL, MAY)
    assert days.shape == GRID.shape == (23, 9, 14, 13)
    assert days.size == 37_674
    few = Grid(GRID.critical_h[::11], GRID.width_h[::4], GRID.juvenile_d, GRID.inductive_d[::6])
    lines, lines_of_few = (lines_run(lambda grid=grid: induced(NATURAL, MAY, grid)) for grid in (GRID, few))
    assert lines < 2 * lines_of_few  # of 378 points: a loop over points would take a hundred times as many
    assert days[5, 4, 6, 6] == by_the_engine(NATURAL, MAY, GRID)[5, 4, 6, 6]


def test_another_number_of_starts_than_of_juvenile_times_is_refused():
    with pytest.raises(ValueError, match="2 starts for 14 juvenile times"):
        induction_days(NATURAL, [MAY, MAY + 7])


# --- what is believed


def at_one_instant(day_number: int) -> Between:
    """A record of so short a time that its share is as its density."""
    return Between(day_number - 0.5 - 1e-4, day_number - 0.5 + 1e-4)


# Computed apart with scipy's density of t at the recorded day, flat prior, scale 2.5 d, records of 16 and 19 August.
CRITICAL, WIDTH, JUVENILE, INDUCTIVE = (
    [0, 0.6438, 0.3562],
    [0.6223, 0.3777],
    [0.4048, 0.5952],
    [0.5804, 0.0808, 0.3387],
)


@pytest.mark.parametrize(
    ("record", "within"),
    [
        pytest.param(at_one_instant, 6e-5, id="by density"),
        pytest.param(seen_on, 3e-3, id="by the day: a day is wide beside 2.5 d"),
    ],
)
def test_the_posterior_of_two_records_at_35_8_n(record, within):
    cohorts = [
        Cohort(NATURAL, starts_of(MAY, SMALL), record(day(8, 16))),
        Cohort(NATURAL, starts_of(JULY, SMALL), record(day(8, 19))),
    ]
    after = posterior(prior(FLAT, SMALL), cohorts, ONE_SCALE)
    for figure, expected in enumerate([CRITICAL, WIDTH, JUVENILE, INDUCTIVE]):
        assert shares(after, figure) == pytest.approx(expected, abs=within)
    assert margin(after, "critical_h").mean == pytest.approx(14.178, abs=1e-3)
    best = np.unravel_index(after.share.argmax(), after.share.shape)
    assert [values[n] for values, n in zip(SMALL, best, strict=True)] == [14.0, 1.0, 20, 6.0]
    assert after.share.max() == pytest.approx(0.2783, abs=within)


def test_what_is_believed_before_has_the_means_and_spreads_of_its_type():
    """The bells are cut at the ends of the grid, the width's by most."""
    for figure, (mean, sd) in zip(FIGURES, OIL, strict=True):
        believed = margin(BEFORE, figure)
        assert believed.mean == pytest.approx(mean, abs=0.15 * sd)
        assert believed.sd == pytest.approx(sd, rel=0.12)
    assert BEFORE.share.sum() == pytest.approx(1)
    assert abs(correlations(BEFORE) - np.eye(4)).max() < 1e-9


def test_a_belief_well_inside_the_grid_keeps_its_spread_and_its_percentiles():
    """A normal curve's percentiles, 1.2816 standard deviations to either side; to a sixth of the grid's step of 0.125 h."""
    believed = margin(prior(OIL._replace(critical_h=Belief(14.1, 0.25))), "critical_h")
    assert believed[:2] == pytest.approx((14.1, 0.25), abs=1e-3)
    assert believed[2:] == pytest.approx((14.1 - 0.3204, 14.1, 14.1 + 0.3204), abs=0.021)


def test_a_type_far_off_the_grid_is_still_believed_at_its_edge():
    far = prior(OIL._replace(critical_h=Belief(30.0, 0.1)))
    assert margin(far, "critical_h").likely == 15.5


def test_a_standard_deviation_of_0_is_refused():
    with pytest.raises(ValueError, match="deviation of 0"):
        prior(OIL._replace(juvenile_d=Belief(25.0, 0.0)))


def test_no_records_teach_nothing():
    assert posterior(BEFORE, []).share == pytest.approx(BEFORE.share)
    assert posterior(BEFORE, [Cohort(NATURAL, starts_of(MAY), meet([]))]).share == pytest.approx(BEFORE.share)


def seen_by_the_engine(felt, emergences, figures=(14.0, 12.5, 25, 8)):
    """Cohorts that were seen on the very day that these figures give."""
    critical, full, juvenile, needed = figures
    runs = [
        (start, induction(felt, start + juvenile, Response(critical, full, needed))) for start in emergences
    ]
    return [Cohort(felt, starts_of(start), seen_on(run.induced)) for start, run in runs]


def test_one_record_of_a_may_sowing_teaches_the_critical_day_and_not_the_juvenile_time():
    """Simulated seasons at 35.8 N gave .46 .57 1.0 .97 on the average of many truths; one truth is near them."""
    left = learnt(BEFORE, posterior(BEFORE, seen_by_the_engine(NATURAL, [MAY])))
    assert tuple(left) == TAUGHT
    assert list(left.values()) == pytest.approx([0.46, 0.57, 1.0, 0.97], abs=0.07)


def test_not_yet_on_5_august_teaches_a_part_of_it():
    """Simulated: .73 .81 1.0 .99."""
    left = learnt(BEFORE, posterior(BEFORE, [Cohort(NATURAL, starts_of(MAY), not_yet(day(8, 5)))]))
    assert list(left.values()) == pytest.approx([0.73, 0.81, 1.0, 0.99], abs=0.07)


def test_covers_teach_the_inductive_days():
    """Simulated with 12 h covers from 20 July and natural days: the inductive days fall to .81, without covers .97."""
    natural = seen_by_the_engine(NATURAL, [MAY])
    covered = seen_by_the_engine(COVERED, [MAY])
    left = learnt(BEFORE, posterior(BEFORE, [*natural, *covered]))
    assert left["inductive_d"] < 0.85
    assert learnt(BEFORE, posterior(BEFORE, natural))["inductive_d"] > 0.93


def test_late_sowings_teach_the_juvenile_time():
    late = seen_by_the_engine(NATURAL, [MAY, MAY + 75, MAY + 90])
    assert learnt(BEFORE, posterior(BEFORE, late))["juvenile_d"] < 0.7


def test_cuttings_teach_nothing_of_the_juvenile_time():
    ripe = Cohort(NATURAL, [day(8, 10)], seen_on(day(8, 30)))
    after = posterior(BEFORE, [ripe])
    assert shares(after, FIGURES.index("juvenile_d")) == pytest.approx(
        shares(BEFORE, FIGURES.index("juvenile_d"))
    )
    assert margin(after, "critical_h").sd < margin(BEFORE, "critical_h").sd


def test_the_critical_day_of_may_sowings_is_known_only_together_with_the_width():
    closest, *_others = ties(
        posterior(BEFORE, seen_by_the_engine(NATURAL, [MAY, MAY + 10, MAY + 20, MAY + 30]))
    )
    assert closest[:2] == ("critical_h", "width_h")
    assert closest.correlation > 0.6
    assert ties(BEFORE) == ()


@pytest.mark.parametrize("figures", [(14.0, 12.5, 25, 8), (14.5, 13.0, 20, 6), (13.5, 12.5, 30, 10)])
def test_dates_of_a_cohort_not_recorded_come_nearer(figures):
    """The truth's own date for 20 June from records of 20 May and 10 June: the mean set's error falls, to under 3 d."""
    after = posterior(BEFORE, seen_by_the_engine(NATURAL, [MAY, MAY + 21], figures))
    (wanted,) = seen_by_the_engine(NATURAL, [MAY + 31], figures)

    def error(weights):
        days = [date_of(NATURAL, MAY + 31, one) for one in representatives(weights)]
        return abs(np.median(days) - wanted.record.until)

    assert error(after) <= min(3, error(BEFORE))


def date_of(felt, emergence, figures):
    critical, width, juvenile, needed = figures
    run = induction(felt, emergence + int(juvenile), Response(critical, critical - width, needed))
    return inf if run is None else run.induced


def test_records_that_no_plants_could_give_are_refused():
    held = (16.0,) * 120
    with pytest.raises(ValueError, match="never be induced"):
        posterior(BEFORE, [Cohort(held, starts_of(0), seen_on(90))])
    with pytest.raises(ValueError, match="on day 130: the felt days end on day 119"):
        posterior(BEFORE, [Cohort(held, starts_of(0), not_yet(130))])


def test_a_grid_stands_round_what_is_believed_and_that_of_an_unknown_oil_type_is_the_default():
    assert grid_of(OIL) == GRID
    fibre = Type(Belief(15.5, 0.8), Belief(1.0, 0.6), Belief(11.0, 4.0), Belief(6.0, 2.5))
    grid = grid_of(fibre)
    assert (grid.critical_h[0], grid.critical_h[-1]) == (14.125, 16.875)
    assert (grid.juvenile_d[0], grid.inductive_d[0], grid.width_h) == (1, 1.0, GRID.width_h)
    assert 20 in grid_of(OIL._replace(juvenile_d=Belief(20.0, 7.0))).juvenile_d
    assert margin(prior(fibre, grid), "critical_h").likely == pytest.approx(15.5, abs=0.02)


# --- margins and sets


def test_a_margin_worked_out_by_hand():
    """Weights .25 .50 .25 on 10, 20, 30 d: sd sqrt(50). Half lies below 20; .125 is the middle of the first weight."""
    share = np.array([0.25, 0.5, 0.25]).reshape(1, 1, 1, 3)
    weights = Weights(Grid((14.0,), (1.5,), (25,), (10.0, 20.0, 30.0)), share)
    assert margin(weights, "inductive_d") == pytest.approx(Margin(20.0, 50**0.5, 10.0, 20.0, 30.0))
    assert margin(weights, "full_h") == pytest.approx(Margin(12.5, 0.0, 12.5, 12.5, 12.5))
    assert learnt(weights, weights)["full_h"] == 1
    with pytest.raises(KeyError):
        margin(weights, "colour")


def test_full_response_is_critical_day_less_width():
    full, critical, width = (margin(BEFORE, figure) for figure in ("full_h", "critical_h", "width_h"))
    assert full.mean == pytest.approx(critical.mean - width.mean)
    assert full.sd == pytest.approx(np.hypot(critical.sd, width.sd))
    assert full.early < full.likely < full.late


def test_two_figures_that_go_wholly_together_have_a_correlation_of_1():
    share = np.diag([0.5, 0.5]).reshape(2, 2, 1, 1)
    weights = Weights(Grid((13.5, 14.0), (1.0, 1.5), (25,), (8.0,)), share)
    assert correlations(weights)[:2, :2] == pytest.approx(np.ones((2, 2)))
    assert correlations(weights)[0, 2:] == pytest.approx([0.0, 0.0])
    assert ties(weights) == (("critical_h", "width_h", pytest.approx(1.0)),)


ONE_MAY_RECORD = posterior(BEFORE, seen_by_the_engine(NATURAL, [MAY]))


@pytest.mark.parametrize("weights", [BEFORE, ONE_MAY_RECORD], ids=["before", "after"])
def test_fifty_sets_stand_for_the_whole(weights):
    sets = representatives(weights)
    assert sets.shape == (50, 4)
    assert np.array_equal(sets, representatives(weights))
    for n, figure in enumerate(FIGURES):
        whole = margin(weights, figure)
        assert sets[:, n].mean() == pytest.approx(whole.mean, abs=0.15 * whole.sd)
        assert sets[:, n].std() == pytest.approx(whole.sd, rel=0.15)
    drawn = np.corrcoef(sets.T)
    assert abs(drawn - correlations(weights)).max() < 0.2


def test_each_critical_day_is_drawn_as_often_as_its_weight_says_to_within_one_set():
    drawn = representatives(ONE_MAY_RECORD)[:, 0]
    for value, share in zip(GRID.critical_h, shares(ONE_MAY_RECORD, 0), strict=True):
        assert abs((drawn == value).sum() - 50 * share) < 1


def test_no_set_is_drawn_that_the_records_rule_out():
    share = np.zeros(SMALL.shape)
    share[1, 0, 1, 2], share[2, 1, 0, 0] = 0.7, 0.3
    sets = representatives(Weights(SMALL, share))
    assert {tuple(one) for one in sets} == {(14.0, 1.0, 30.0, 10.0), (14.5, 1.5, 20.0, 6.0)}
    assert (sets[:, 0] == 14.0).sum() == 35


def test_a_posterior_counts_the_days_of_each_cohort_once(monkeypatch):
    counted = []

    def count(felt_h, starts, grid):
        counted.append(starts)
        return induction_days(felt_h, starts, grid)

    monkeypatch.setattr(refit, "induction_days", count)
    posterior(BEFORE, seen_by_the_engine(NATURAL, [MAY, JULY]))
    assert counted == [starts_of(MAY), starts_of(JULY)]
