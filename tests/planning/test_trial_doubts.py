"""Where plots disagree with their trial or with the plants that stand in them, it is told."""

from __future__ import annotations

from copy import deepcopy
from datetime import date

import pytest

from calendar_tui.planning.trials.doubts import trial_doubts
from calendar_tui.planning.trials.drawing import draw_trial
from tests.planning.farm import season_of
from tests.planning.trial_farm import TRIAL, held, saved, without

SOIL = without("factors") | {
    "design": "blocks",
    "factors": {"soil": ["bare", "mulch", "straw"]},
    "variety": "amber",
    "date": date(2027, 1, 4),
}


def data_of_drawn(trial=SOIL):
    was = held(trial)
    return deepcopy(saved(was, draw_trial(was, "K1")).data)


def doubts(data):
    return list(trial_doubts(season_of(data)))


@pytest.mark.parametrize(
    "trial",
    [
        SOIL,
        TRIAL,
        SOIL | {"design": "completely randomised"},
        SOIL | {"design": "latin square"},
        SOIL | {"design": "augmented", "checks": ["bare"]},
        SOIL | {"border": 1},
    ],
)
def test_a_trial_as_it_was_drawn_leaves_no_doubt(trial):
    assert doubts(data_of_drawn(trial)) == []


def test_a_block_short_of_a_treatment_is_told():
    data = data_of_drawn()
    gone = next(plot for plot in data["plot"] if plot["block"] == 2 and plot["treatment"]["soil"] == "mulch")
    data["plot"].remove(gone)
    assert doubts(data) == ["trial K1: mulch stands in no plot in block 2, and should stand once"]


def test_a_treatment_twice_in_a_block_is_told_with_the_one_that_it_took_the_place_of():
    data = data_of_drawn()
    changed = next(
        plot for plot in data["plot"] if plot["block"] == 1 and plot["treatment"]["soil"] == "mulch"
    )
    changed["treatment"]["soil"] = "bare"
    assert doubts(data) == [
        "trial K1: bare stands twice in block 1, and should stand once",
        "trial K1: mulch stands in no plot in block 1, and should stand once",
    ]


def test_a_level_that_the_trial_does_not_have_is_told():
    data = data_of_drawn()
    data["plot"][0]["treatment"]["soil"] = "peat"
    assert 'plot K1-101: soil "peat" is not a level of trial K1' in doubts(data)


def test_a_check_missing_in_a_block_of_an_augmented_trial_is_told_and_a_new_one_missing_is_not():
    trial = SOIL | {"design": "augmented", "checks": ["bare"]}
    data = data_of_drawn(trial)
    new = next(plot for plot in data["plot"] if plot.get("entry", "test") == "test")
    data["plot"].remove(new)
    assert doubts(data) == []
    data = data_of_drawn(trial)
    known = next(p for p in data["plot"] if p.get("entry") == "check" and p["block"] == new["block"])
    data["plot"].remove(known)
    assert doubts(data) == [
        f"trial K1: bare stands in no plot in block {new['block']}, and should stand once"
    ]


def test_a_cohort_planted_on_another_day_than_its_treatment_is_told_once_with_its_plots():
    data = data_of_drawn(TRIAL)
    late = next(cohort for cohort in data["cohort"] if cohort["id"] == "K1-1")
    late["recorded"] = {"seeding": date(2026, 12, 1), "transplant": date(2027, 1, 9)}
    (text,) = doubts(data)
    assert text.startswith("trial K1: plots ")
    assert text.endswith("it is to be planted on Mon 4 Jan 2027, but K1-1 was planted on Sat 9 Jan 2027")


def test_a_plot_in_the_plants_of_another_variety_is_told():
    data = data_of_drawn()
    data["cohort"].append({**data["cohort"][-1], "id": "Z1", "variety": "plain"})
    data["plot"][0]["cohort"] = "Z1"
    assert doubts(data) == ["trial K1: plot 101: the treatment is amber, but Z1 is of plain"]


def test_a_plot_that_lies_where_its_plants_do_not_grow_is_told():
    data = data_of_drawn()
    data["plot"][0]["place"] = "H1"
    assert doubts(data) == ["trial K1: plot 101: it lies in H1, but K1-1 grows in F1"]


def test_a_lost_plot_was_planted_all_the_same():
    data = data_of_drawn()
    data["plot"][0]["lost"] = date(2027, 2, 1)
    assert doubts(data) == []
