"""Plants, area, seeds, stakes and hours of a trial follow from its plots, guard plots too."""

from __future__ import annotations

from collections import Counter

import pytest

from calendar_tui.nature.quantities import seeds_needed
from calendar_tui.planning.capacity.space import crowdings
from calendar_tui.planning.needs.quantities import amounts_of, basis_of
from calendar_tui.planning.tasks.amounts import area_of_cohort_m2, hours_for, planted_plots
from calendar_tui.planning.trials.drawing import draw_trial, plots_of_trial
from tests.planning.trial_farm import TRIAL, held, opened, saved

SPACINGS = {**TRIAL, "factors": {**TRIAL["factors"], "spacing": ["1.5x0.6", "1.5x0.9"]}, "border": 1}


def drawn(trial=SPACINGS, **more):
    was = held(trial, **more)
    return saved(was, draw_trial(was, "K1"))


@pytest.fixture(scope="module")
def grown():
    return drawn()


def amounts(grown, name):
    return amounts_of(basis_of(grown.plan, grown.data), grown.plan.timelines[name])


def test_the_plants_of_each_cohort_are_those_of_its_plots_with_the_guards_around(grown):
    season = grown.plan.season
    plots = plots_of_trial(season, "K1")
    assert sum(plot.is_guard for plot in plots) == 2 * (8 + 3) + 4
    for cohort in season.cohorts.values():
        own = [plot for plot in plots if plot.cohort == cohort.id]
        if own:
            assert cohort.plants == sum(plot.plants for plot in own)
            assert amounts(grown, cohort.id).find("plants").count == cohort.plants
    assert all(plot.cohort and plot.plants for plot in plots)


def test_a_guard_plot_is_planted_like_the_nearest_plot(grown):
    plots = plots_of_trial(grown.plan.season, "K1")
    numbered = [plot for plot in plots if not plot.is_guard]
    for guard in (plot for plot in plots if plot.is_guard):
        away = {p.id: abs(p.row - guard.row) + abs(p.column - guard.column) for p in numbered}
        near = [p for p in numbered if away[p.id] == min(away.values())]
        assert (guard.cohort, guard.plants) in [(p.cohort, p.plants) for p in near]
        assert guard.treatment == {}


def test_the_area_of_plots_of_several_spacings_is_that_of_the_plots(grown):
    season = grown.plan.season
    cohort = season.cohorts["K1-1"]
    assert cohort.spacing_m is None
    count = len(planted_plots(season, cohort))
    assert area_of_cohort_m2(season, cohort) == pytest.approx(count * 6.0 * 5.4)
    found = amounts(grown, "K1-1")
    assert found.find("area").count == pytest.approx(count * 32.4)
    assert found.find("area").how == f"{count} plots x 32.4 m2 = {count * 32.4:.0f} m2"
    assert not any("has no spacing" in note for note in found.notes)


def test_plants_beyond_the_plots_take_the_area_of_their_own_spacing():
    grown = drawn({**TRIAL, "border": 0})
    data = grown.data
    next(one for one in data["cohort"] if one["id"] == "K1-1")["plants"] = 3 * 36 + 10
    more = opened(data)
    found = amounts(more, "K1-1")
    assert found.find("plants").how == "108 in 3 plots, 10 besides"
    assert found.find("area").how == "3 plots x 32.4 m2 + 10 x 1.5 m x 0.6 m = 106 m2"
    assert found.find("area").count == pytest.approx(3 * 32.4 + 9)


def test_seeds_follow_from_the_plants_of_the_plots(grown):
    cohort = grown.plan.season.cohorts["K1-2"]
    variety = grown.plan.season.varieties[cohort.variety]
    needed = seeds_needed(cohort.plants, variety.germination, variety.usable, variety.survival, 1.0)
    assert amounts(grown, "K1-2").find("seeds").count == needed


def test_a_stake_is_needed_for_each_plot_with_a_number_and_none_for_a_guard():
    grown = drawn(SPACINGS)
    stakes = Counter(plot.cohort for plot in plots_of_trial(grown.plan.season, "K1") if not plot.is_guard)
    assert stakes == dict.fromkeys(("K1-1", "K1-2", "K1-3", "K1-4"), 6)
    data = grown.data | {"supplies": {"tray_cells": 72, "labels_per_cohort": 2, "labels_per_tray": 1}}
    assert " + 6 stakes + " in amounts(opened(data), "K1-1").find("labels").how


@pytest.mark.parametrize(("per", "times"), [("plot", 6), ("plant", None), ("cohort", 1)])
def test_hours_follow_from_plots_and_plants(per, times):
    chore = {"id": "score", "what": "Score", "stage": "flowering", "hours": 0.5, "per": per}
    grown = drawn(SPACINGS, chore=[chore])
    season = grown.plan.season
    cohort = season.cohorts["K1-1"]
    expected = 0.5 * (cohort.plants if times is None else times)
    assert hours_for(season, season.chores["score"], [cohort], "F1") == pytest.approx(expected)


def test_a_lost_plot_is_no_work_and_stands_on_its_ground_all_the_same(grown):
    data = {**grown.data, "plot": [dict(plot) for plot in grown.data["plot"]]}
    lost = next(plot for plot in data["plot"] if plot.get("number") and plot["cohort"] == "K1-1")
    lost["lost"] = grown.plan.today
    season = opened(data).plan.season
    cohort = season.cohorts["K1-1"]
    assert area_of_cohort_m2(season, cohort) == area_of_cohort_m2(grown.plan.season, cohort)
    chore = {"id": "score", "what": "Score", "stage": "flowering", "hours": 1, "per": "plot"}
    season = opened({**data, "chore": [chore]}).plan.season
    assert hours_for(season, season.chores["score"], [cohort], "F1") == 5


def test_a_place_too_small_for_plots_of_several_spacings_is_a_clash():
    """Its cohorts have no spacing of their own, and yet take their ground."""
    places = [{"id": "N1", "kind": "nursery"}, {"id": "F1", "kind": "field", "area_m2": 500}]
    grown = drawn({**SPACINGS, "border": 0}, place=places, cohort=[])
    (over,) = [one for one in crowdings(grown.plan.season, grown.plan.timelines) if len(one.taken) == 4]
    assert over.needed_m2 == pytest.approx(24 * 32.4)
