"""Hours and quantities of chores that go by the plots of trials, or by the plant."""

from datetime import date

import pytest

from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.record_change import set_fields
from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.sampling.planned import bags_at_once, planned_bags
from calendar_tui.planning.tasks.amounts import amount_for, hours_for, plots_of
from tests.planning.farm import FARM, TODAY, season_of

SCORE = {
    "id": "score",
    "what": "Score flowering",
    "stage": "flowering",
    "hours": 0.02,
    "per": "plot",
    "shows": ["plots"],
}
TRIAL = {"id": "T1", "design": "blocks", "place": "F1"}


def plot(number, **more):
    return {
        "id": f"T1-{number}",
        "trial": "T1",
        "number": number,
        "row": 1,
        "column": number,
        "cohort": "A1",
    } | more


def season(*plots, **chore):
    return season_of({**FARM, "chore": [SCORE | chore], "trial": [TRIAL], "plot": list(plots)})


GUARD = {"id": "T1-g", "trial": "T1", "row": 2, "column": 1, "cohort": "A1", "entry": "guard"}


def test_a_chore_per_plot_takes_its_hours_for_each_plot_that_is_looked_at():
    """A guard is not, nor is a plot that is lost."""
    farm = season(plot(101), plot(102), plot(103), plot(104, lost=TODAY, why="hail"), GUARD)
    cohort, chore = farm.cohorts["A1"], farm.chores["score"]
    assert plots_of(farm, cohort) == 3
    assert hours_for(farm, chore, [cohort], "H1") == pytest.approx(0.06)
    assert amount_for(farm, chore, [make_plan(farm, TODAY).timelines["A1"]]) == "3 plots"


def test_a_cohort_without_plots_takes_the_hours_once():
    farm = season()
    assert plots_of(farm, farm.cohorts["A1"]) is None
    assert hours_for(farm, farm.chores["score"], [farm.cohorts["A1"]], "H1") == pytest.approx(0.02)


def test_a_chore_per_plant_takes_its_hours_for_each_plant():
    farm = season(per="plant", hours=0.01)
    assert hours_for(farm, farm.chores["score"], [farm.cohorts["A1"]], "H1") == pytest.approx(1.2)


def test_bags_by_block_go_by_the_blocks_in_which_plots_have_plants_of_the_cohort():
    """A plot that is lost has none to cut."""
    plan = {"id": "weekly", "cohorts": ["A1"], "by": "block", "positions": ["top"]}
    plots = [plot(101, block=1), plot(102, block=1), plot(201, block=2), plot(301, block=3, lost=TODAY)]
    farm = season_of({**FARM, "sampling": [plan], "trial": [TRIAL], "plot": plots})
    assert bags_at_once(farm, "A1") == 2
    bags = planned_bags(farm, make_plan(farm, TODAY).timelines)
    assert {bag.block for bag in bags} == {"1", "2"}
    assert bags_at_once(season_of({**FARM, "sampling": [plan]}), "A1") == 1


def test_a_plot_that_is_lost_takes_its_hours_off_the_tasks_to_come():
    data = {**FARM, "format": 3, "chore": [SCORE], "trial": [TRIAL], "plot": [plot(101), plot(102)]}
    plan = make_plan(season_of(data), TODAY)
    proposal = set_fields(HeldSeason(plan, data), "plot", ("T1-101",), {"lost": "2026-12-01"})
    hours = {move.new.hours for move in proposal.tasks if move.new and "A1" in move.new.about}
    assert hours == {0.02}
    assert date(2026, 12, 1) in [edit.value for edit in proposal.change.edits]
