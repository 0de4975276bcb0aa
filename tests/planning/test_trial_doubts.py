"""Where plots disagree with their trial or with the plants that stand in them, it is told."""

from __future__ import annotations

from copy import deepcopy
from datetime import date

import pytest

from calendar_tui.planning.changes.record_change import set_fields
from calendar_tui.planning.trial_doubts import trial_doubts
from calendar_tui.planning.trials.drawing import draw_trial
from tests.planning.farm import season_of
from tests.planning.trial_farm import TRIAL, held, opened, saved, without

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
    assert doubts(data) == [
        'trial K1: plot 101 has soil "peat", which is no level of it (levels of soil: bare, mulch, straw); where a level was '
        "renamed, give it the old name back, or these plots the new one"
    ]


def test_a_level_renamed_after_the_draw_is_told_once_with_its_plots_and_the_ways_out():
    data = data_of_drawn()
    data["trial"][0]["factors"]["soil"] = ["bare", "bark", "straw"]
    plots = [str(one["number"]) for one in data["plot"] if one["treatment"]["soil"] == "mulch"]
    assert doubts(data) == [
        f'trial K1: plots {", ".join(plots)} have soil "mulch", which is no level of it (levels of soil: bare, bark, straw); '
        "where a level was renamed, give it the old name back, or these plots the new one"
    ]


def test_a_factor_taken_out_after_the_draw_is_told():
    data = data_of_drawn(SOIL | {"factors": {"soil": ["bare", "mulch"], "cover": ["net", "none"]}})
    del data["trial"][0]["factors"]["cover"]
    assert any(
        'cover "net", which is no level of it (cover is no factor of it)' in one for one in doubts(data)
    )


def test_a_level_of_light_renamed_after_the_draw_is_told():
    lit = {key: value for key, value in SOIL.items() if key != "place"}
    data = data_of_drawn(lit | {"places": {"lit": ["H1"], "dark": ["F1"]}})
    assert doubts(data) == []
    data["trial"][0]["places"] = {"long": ["H1"], "dark": ["F1"]}
    (text,) = doubts(data)
    assert 'have light "lit", which is no level of it (levels of light: long, dark)' in text


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


def test_one_block_planted_late_is_told_with_its_plots_and_nothing_is_moved():
    """Its plants are a cohort of their own, as they are of another day."""
    data = data_of_drawn()
    grown = next(one for one in data["cohort"] if one["id"] == "K1-1")
    late = {"seeding": date(2026, 12, 1), "transplant": date(2027, 1, 11)}
    data["cohort"].append({**grown, "id": "K1-2", "plants": 108, "recorded": late})
    third = [plot for plot in data["plot"] if plot["block"] == 3]
    for plot in third:
        plot["cohort"] = "K1-2"
    numbers = ", ".join(str(plot["number"]) for plot in third)
    assert doubts(data) == [
        f"trial K1: plots {numbers}: it is to be planted on Mon 4 Jan 2027, but K1-2 was planted on Mon 11 Jan 2027"
    ]
    assert {plot["treatment"]["soil"] for plot in third} == {"bare", "mulch", "straw"}


def test_a_cohort_moved_to_another_place_after_the_draw_is_told_when_it_is_moved():
    was = opened(data_of_drawn())
    proposal = set_fields(was, "cohort", ("K1-1",), {"place": "H1"})
    (text,) = [one for one in proposal.doubts if one.startswith("trial K1")]
    assert text.endswith("it lies in F1, but K1-1 grows in H1")
    assert [edit for edit in proposal.change.edits if edit.kind == "plot"] == []


def test_what_was_told_before_is_not_told_again_with_another_change():
    data = data_of_drawn()
    data["plot"][0]["place"] = "H1"
    proposal = set_fields(opened(data), "cohort", ("K1-1",), {"note": "sown by hand"})
    assert [one for one in proposal.doubts if one.startswith("trial")] == []


def test_a_slip_of_the_transplant_is_told_and_its_plots_stay():
    was = opened(data_of_drawn(TRIAL))
    proposal = set_fields(was, "cohort", ("K1-1",), {"transplant": "2027-01-12"})
    (text,) = [one for one in proposal.doubts if one.startswith("trial K1")]
    assert "it is to be planted on Mon 4 Jan 2027, but K1-1 is to be planted on Tue 12 Jan 2027" in text


def test_fewer_plants_than_the_plots_take_are_told():
    data = data_of_drawn()
    next(one for one in data["cohort"] if one["id"] == "K1-1")["plants"] = 300
    assert doubts(data) == ["trial K1: K1-1 has 300 plants, and its plots take 324; set its plants"]


def test_two_trials_of_one_cohort_take_its_plants_together():
    data = data_of_drawn()
    second = {**data["trial"][0], "id": "K2"}
    plots = [{**one, "id": one["id"].replace("K1", "K2"), "trial": "K2"} for one in data["plot"]]
    data["trial"].append(second)
    data["plot"] += plots
    assert [one for one in doubts(data) if "K1-1 has" in one] == [
        "trial K1: K1-1 has 324 plants, and its plots take 648, those of K2 counted too; set its plants",
        "trial K2: K1-1 has 324 plants, and its plots take 648, those of K1 counted too; set its plants",
    ]


def test_a_place_that_is_too_small_for_the_plots_of_two_trials_is_told():
    data = data_of_drawn()
    place = next(one for one in data["place"] if one["id"] == "F1")
    place["area_m2"] = 300
    assert doubts(data) == []
    was = opened({**data, "trial": [*data["trial"], {**SOIL, "id": "K2", "date": date(2027, 1, 18)}]})
    proposal = draw_trial(was, "K2")
    assert proposal.doubts[0].startswith("F1 holds plots of K1 already; rows and columns of each trial")
    right = "make plots, blocks or border smaller, or lay one elsewhere"
    assert f"trial K2: F1 has 300 m2, and plots take K1 292 m2 and K2 292 m2; {right}" in proposal.doubts
