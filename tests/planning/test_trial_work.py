"""How much work a trial of 192 plots is, counted: the model is fitted once, by few steps, and each observation is looked at a few times."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from calendar_tui.nature.field_analysis import analysis, reml
from calendar_tui.planning.trial_analysis.working_out import every_analysis
from tests.counting import lines_run
from tests.planning.analysed_farm import plan_of
from tests.planning.large_trials import DESIGNS, FIRST, large_plan

# Plots without a value, so that sums do not serve.
GONE = (1, 20, 44, 80, 121, 150)


def analysed(plan):
    (one,) = every_analysis(plan.season, plan.season.trials["K1"])
    assert one.problem == ""
    return one


def counting(monkeypatch, where, name):
    """How often a function is called, by a list that grows with each."""
    calls, inner = [], getattr(where, name)

    def counted(*given, **named):
        calls.append(name)
        return inner(*given, **named)

    monkeypatch.setattr(where, name, counted)
    return calls


@pytest.mark.slow
@pytest.mark.parametrize("design", DESIGNS)
def test_a_design_is_gathered_and_fitted_once_by_few_steps(monkeypatch, design):
    gathered = counting(monkeypatch, analysis, "gather")
    tried = counting(monkeypatch, reml._Search, "at")
    one = analysed(large_plan(design, GONE))
    assert len(gathered) == 1
    assert len(one.values) >= 179
    # Each try turns a matrix of 192 rows over; Newton's steps are few, halved or not.
    assert len(tried) <= 40


def test_by_sums_no_matrix_of_plots_is_turned_over(monkeypatch):
    tried = counting(monkeypatch, reml._Search, "at")
    assert analysed(large_plan("split plot")).analysis.by_sums
    assert tried == []


@pytest.mark.slow
def test_the_work_grows_with_the_observations_and_no_faster():
    """6,000 observations: 31 rounds, of which one is analysed."""
    one_round, all_rounds = (large_plan("split plot", rounds=n) for n in (1, 31))
    assert len(all_rounds.season.observations) == 31 * 192
    few, many = (lines_run(lambda plan=plan: analysed(plan)) for plan in (one_round, all_rounds))
    assert (many - few) / (30 * 192) < 40


@pytest.mark.slow
def test_what_is_of_other_variables_costs_little():
    plan = large_plan("blocks")
    season = plan.season
    others = tuple(
        replace(one, variable="height", date=FIRST + timedelta(days=n), value="")
        for n in range(30)
        for one in season.observations
    )
    more = plan_of(replace(season, observations=(*season.observations, *others)))
    extra = lines_run(lambda: analysed(more)) - lines_run(lambda: analysed(plan))
    assert extra / len(others) < 16
