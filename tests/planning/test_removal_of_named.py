"""What a record of any kind rests on is not taken out from under it, whichever kind that is."""

import pytest

from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.removal import remove_records
from calendar_tui.planning.plan import make_plan
from calendar_tui.season.kinds import KINDS, STANDS
from calendar_tui.season.refusal import Refusal
from tests.planning.farm import season_of
from tests.planning.sampled_farm import TODAY, sampled_data


def held(**more):
    data = sampled_data(**more)
    return HeldSeason(make_plan(season_of(data), TODAY), data)


def test_a_cohort_whose_bags_are_recorded_stays_and_names_them():
    bag = {"id": "26A1TA", "date": TODAY, "cohort": "A1"}
    with pytest.raises(
        Refusal, match="sample 26A1TA names A1, so it stays; name another cohort there, or take it out"
    ):
        remove_records(held(sample=[bag]), "cohort", [("A1",)])


def test_a_laboratory_of_sampling_plans_stays_and_names_them():
    plans = ({"id": "weekly", "laboratory": "lab"}, {"id": "late", "laboratory": "lab"})
    with pytest.raises(
        Refusal, match="samplings weekly, late name lab, so it stays; name another laboratory there"
    ):
        remove_records(held(sampling=list(plans)), "laboratory", [("lab",)])


def test_a_cohort_with_plots_of_a_trial_stays():
    trial = {"id": "T1", "design": "blocks", "place": "F1"}
    plot = {"id": "T1-101", "trial": "T1", "number": 101, "row": 1, "column": 1, "cohort": "B1"}
    season = held(trial=[trial], plot=[plot])
    with pytest.raises(Refusal, match="plot T1-101 names B1, so it stays"):
        remove_records(season, "cohort", [("B1",)])
    proposal = remove_records(season, "trial", [("T1",)])
    assert [edit.ident for edit in proposal.change.edits] == [("T1",), ("T1-101",)]


def test_kinds_that_others_rest_on_are_more_than_places_and_varieties():
    assert {kind.name for kind in KINDS if any(n.when_gone == STANDS for n in kind.named_in)} > {
        "place",
        "variety",
    }
