"""A trial drawn into plots and cohorts: one change, written into the season, with what it can find told before."""

from __future__ import annotations

from datetime import date

import pytest

from calendar_tui.planning.trials.drawing import draw_trial, plots_of_trial
from calendar_tui.planning.trials.power import finding_texts, light_units
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.sample_ids import check_sign
from tests.planning.trial_farm import TRIAL, cohort, held, opened, saved, without


def drawn(trial=TRIAL, **more):
    was = held(trial, **more)
    proposal = draw_trial(was, "K1")
    return proposal, saved(was, proposal).plan.season


def test_a_trial_brings_its_plots_and_the_cohorts_that_it_lacks():
    proposal, season = drawn()
    plots = plots_of_trial(season, "K1")
    assert [plot.number for plot in plots][:5] == [101, 102, 103, 104, 201]
    assert len(plots) == 12
    made = [season.cohorts[name] for name in proposal.cohorts]
    assert [(c.id, c.variety, c.place, c.planned["transplant"]) for c in made] == [
        ("K1-1", "amber", "F1", date(2027, 1, 4)),
        ("K1-2", "plain", "F1", date(2027, 1, 4)),
        ("K1-3", "amber", "F1", date(2027, 1, 18)),
        ("K1-4", "plain", "F1", date(2027, 1, 18)),
    ]
    assert {c.plants for c in made} == {3 * 36}
    assert {c.spacing_m for c in made} == {(1.5, 0.6)}
    assert all(c.planned["seeding"] < c.planned["transplant"] for c in made)


def test_every_plot_stands_in_the_plants_of_its_treatment():
    _, season = drawn()
    for plot in plots_of_trial(season, "K1"):
        own = season.cohorts[plot.cohort]
        assert own.variety == plot.treatment["variety"]
        assert own.planned["transplant"].isoformat() == plot.treatment["date"]
        assert (plot.place, plot.plants, plot.main) == ("F1", 36, plot.main or 0)


def test_the_same_seed_draws_the_same_plots_and_another_others():
    treatments = [
        [(p.number, p.treatment) for p in plots_of_trial(drawn(trial)[1], "K1")]
        for trial in (TRIAL, TRIAL, TRIAL | {"seed": 2})
    ]
    assert treatments[0] == treatments[1] != treatments[2]


def test_a_cohort_that_is_planted_so_is_used():
    proposal, season = drawn(cohort=[cohort("A1", plants=40)])
    assert [c for c in season.cohorts if c.startswith("A")] == ["A1"]
    assert len(proposal.cohorts) == 3
    assert sum(plot.cohort == "A1" for plot in plots_of_trial(season, "K1")) == 3
    assert "trial K1: A1 has 40 plants, and its plots take 108; set its plants" in proposal.doubts


@pytest.mark.parametrize("other", [{"place": "H1"}, {"variety": "plain"}, {"planted": date(2027, 1, 5)}])
def test_a_cohort_of_another_place_variety_or_day_is_not_used(other):
    own = {"variety": "amber", "planted": date(2027, 1, 4)} | other
    moved = cohort("A1", **own)
    if moved["place"] == "H1":  # under its lamps
        moved["planned"]["lights_off"] = date(2027, 1, 6)
    trial = TRIAL | {"design": "blocks", "factors": {"soil": ["bare", "mulch"]}, "variety": "amber"}
    proposal, season = drawn(trial | {"date": date(2027, 1, 4)}, cohort=[moved])
    assert proposal.cohorts == ("K1-1",)
    assert {plot.cohort for plot in plots_of_trial(season, "K1")} == {"K1-1"}


def test_a_cohort_without_a_number_of_plants_gets_that_of_its_plots():
    _, season = drawn(cohort=[cohort("A1")])
    assert season.cohorts["A1"].plants == 108


def test_two_cohorts_that_may_be_meant_are_named():
    with pytest.raises(Refusal, match=r"trial K1: amber in F1, planted on .*4 Jan 2027, may be of A1, A2"):
        draw_trial(held(cohort=[cohort("A1"), cohort("A2")]), "K1")


def test_without_a_date_the_one_cohort_of_the_variety_there_is_used_or_a_date_asked_for():
    trial = TRIAL | {"design": "blocks", "factors": {"soil": ["bare", "mulch"]}, "variety": "amber"}
    proposal, season = drawn(trial, cohort=[cohort("A1")])
    assert proposal.cohorts == ()
    assert {plot.cohort for plot in plots_of_trial(season, "K1")} == {"A1"}
    with pytest.raises(
        Refusal, match="amber in F1 may be of A1, A2; set the planting date of the trial, or make it"
    ):
        draw_trial(held(trial, cohort=[cohort("A1"), cohort("A2")]), "K1")
    with pytest.raises(
        Refusal, match="amber in F1 has no cohort, and no planting date is set to make one; set it"
    ):
        draw_trial(held(trial, cohort=[]), "K1")


def test_plants_follow_from_the_spacing_of_a_plot():
    """A plot of 5.4 m holds 9 plants at 0.6 m and 6 at 0.9 m, of which 2 x 2 are measured."""
    spacings = {"spacing": ["1.5x0.6", "1.5x0.9"]}
    proposal, season = drawn(TRIAL | {"factors": TRIAL["factors"] | spacings})
    plants = {plot.treatment["spacing"]: plot.plants for plot in plots_of_trial(season, "K1")}
    assert plants == {"1.5x0.6": 36, "1.5x0.9": 24}
    assert {season.cohorts[name].plants for name in proposal.cohorts} == {3 * (36 + 24)}
    assert {season.cohorts[name].spacing_m for name in proposal.cohorts} == {None}
    assert "at 1.5x0.9 24 plants, 4 of them measured" in proposal.verdicts[0]


def test_a_layout_is_not_drawn_again_for_its_looks():
    was = held()
    there = saved(was, draw_trial(was, "K1"))
    with pytest.raises(Refusal, match="drawn already, 12 plots; a layout is not drawn again for its looks"):
        draw_trial(there, "K1")


def test_a_trial_that_was_changed_before_planting_is_drawn_anew_with_its_cohorts_and_asked_about():
    was = held()
    there = saved(was, draw_trial(was, "K1"))
    there.data["trial"][0]["blocks"] = 2
    there = opened(there.data)
    proposal = draw_trial(there, "K1", anew=True)
    season = saved(there, proposal).plan.season
    assert len(plots_of_trial(season, "K1")) == 8
    assert set(season.cohorts) == set(there.plan.season.cohorts)
    assert "its 12 plots go" in proposal.questions[0]


def test_a_trial_with_a_lost_plot_is_under_way():
    was = held()
    there = saved(was, draw_trial(was, "K1"))
    there.data["plot"][0]["lost"] = date(2026, 12, 1)
    with pytest.raises(Refusal, match="plot K1-101 is noted as lost, so trial K1 is under way"):
        draw_trial(opened(there.data), "K1", anew=True)


def test_a_trial_that_is_planted_is_under_way():
    was = held()
    there = saved(was, draw_trial(was, "K1"))
    grown = next(one for one in there.data["cohort"] if one["id"] == "K1-2")
    grown["recorded"] = {"seeding": grown["planned"]["seeding"]}
    again = draw_trial(opened(there.data), "K1", anew=True)
    assert "its 12 plots go" in again.questions[0]
    grown["recorded"]["transplant"] = date(2027, 1, 5)
    with pytest.raises(Refusal, match="K1-2 was planted on Tue 5 Jan 2027, so trial K1 is under way"):
        draw_trial(opened(there.data), "K1", anew=True)


def test_a_trial_with_a_bag_of_a_plot_is_under_way():
    was = held()
    there = saved(was, draw_trial(was, "K1"))
    plot = next(one for one in there.data["plot"] if one["id"] == "K1-101")
    name = "K7Q2R" + check_sign("K7Q2R")
    bag = {"id": name, "date": date(2027, 2, 1), "cohort": plot["cohort"], "plot": "K1-101"}
    with pytest.raises(Refusal, match="plot K1-101 has a bag of Mon 1 Feb 2027, so trial K1 is under way"):
        draw_trial(opened(there.data | {"sample": [bag]}), "K1", anew=True)


@pytest.mark.parametrize(
    ("trial", "message"),
    [
        (
            without("seed"),
            "trial K1: seed is not set; set any whole number before the draw, such as 20261208",
        ),
        (without("place"), "trial K1: place is not set; set where it grows, such as F1"),
        (without("spacing_m"), "trial K1: spacing is not set; set metres between rows and in the row"),
        (
            TRIAL | {"factors": {"date": ["2027-01-04", "2027-01-18"], "soil": ["bare", "mulch"]}},
            "variety is not set",
        ),
        (
            TRIAL | {"factors": {"variety": ["amber", "plain"]}},
            "trial K1: a split plot design has 2 factors or more",
        ),
        (TRIAL | {"plot_rows": 2}, "trial K1: a plot of 2 rows of 9 plants leaves no plant to measure"),
        (
            TRIAL | {"factors": TRIAL["factors"] | {"spacing": ["1.5x0.6", "1.5x1.2"]}},
            "trial K1 at 1.5x1.2: a plot of 4 rows of 4 plants leaves no plant to measure",
        ),
        (TRIAL | {"columns": 3}, "lines of 3 plots tear main plot or incomplete block 2 of block 1 apart"),
        (
            TRIAL
            | {"blocks": 50, "factors": TRIAL["factors"] | {"soil": list("abcdefghijklmnopqrstuvwxyz")}},
            "2000 is",
        ),
    ],
)
def test_what_a_draw_lacks_is_told_with_what_would_be_right(trial, message):
    with pytest.raises(Refusal, match=message):
        draw_trial(held(trial), "K1")


def test_plots_that_do_not_fit_their_place_are_told():
    places = [{"id": "N1", "kind": "nursery"}, {"id": "H1", "kind": "hoop house"}]
    more = {"cohort": [], "place": [*places, {"id": "F1", "kind": "field", "area_m2": 300}]}
    right = "make plots, blocks or border smaller"
    assert f"trial K1: F1 has 300 m2, and plots take K1 389 m2; {right}" in drawn(**more)[0].doubts
    bordered = drawn(TRIAL | {"border": 1}, **more)[0]
    assert f"trial K1: F1 has 300 m2, and plots take K1 972 m2; {right}" in bordered.doubts


# --- light


def lit(**places):
    return (
        without("place")
        | {"design": "blocks", "factors": {"variety": ["amber", "plain"]}, "places": places}
        | {"date": date(2027, 1, 4)}
    )


def test_each_place_of_a_light_has_blocks_of_its_own_and_numbers_go_on():
    _, season = drawn(lit(lit=["H1"], dark=["F1"]))
    plots = plots_of_trial(season, "K1")
    assert {(p.place, p.block, p.treatment["light"]) for p in plots} == {
        *(("H1", block, "lit") for block in (1, 2, 3)),
        *(("F1", block, "dark") for block in (4, 5, 6)),
    }
    assert {season.cohorts[p.cohort].place for p in plots if p.treatment["light"] == "dark"} == {"F1"}


def test_one_place_a_light_is_means_and_no_test_and_told_before_it_is_drawn():
    proposal, season = drawn(lit(lit=["H1"], dark=["F1"]))
    text = next(text for text in proposal.verdicts if text.startswith("light: "))
    assert "lit in 1 place, dark in 1 place; lamps light a whole place, so the place is its unit" in text
    assert "0 degrees of freedom, so there will be means and no test" in text
    assert light_units(season.trials["K1"]).error_df == 0


def test_two_places_a_light_leave_degrees_of_freedom():
    trial = held(lit(lit=["H1", "F1"], dark=["N1", "H1"])).plan.season.trials["K1"]
    assert light_units(trial).error_df == 2
    assert finding_texts(trial)[-1].endswith("2 degrees of freedom for its test")


def drawn_light(*lights, **more):
    return without("place") | {
        "design": "blocks",
        "factors": {"variety": ["amber", "plain"]},
        "draw_light_among": list(lights),
        "date": date(2027, 1, 4),
        **more,
    }


@pytest.mark.slow
def test_which_place_gets_which_light_is_drawn_by_the_seed_and_written_into_the_trial():
    lit_in = set()
    for seed in range(12):
        proposal, season = drawn(drawn_light("H1", "F1", seed=seed))
        trial = season.trials["K1"]
        assert sorted(name for held in trial.places.values() for name in held) == ["F1", "H1"]
        lights = {plot.place: plot.treatment["light"] for plot in plots_of_trial(season, "K1")}
        assert {lights[name] for name in trial.places["lit"]} == {"lit"}
        assert f"lit {trial.places['lit'][0]}; dark {trial.places['dark'][0]}" in proposal.notes[0]
        lit_in.add(trial.places["lit"])
    assert lit_in == {("H1",), ("F1",)}


def test_one_place_a_light_is_no_test_before_its_light_is_drawn_too():
    trial = held(drawn_light("H1", "F1")).plan.season.trials["K1"]
    assert "0 degrees of freedom, so there will be means and no test" in finding_texts(trial)[-1]


def test_the_levels_among_which_light_is_drawn_may_have_names_of_their_own():
    _, season = drawn(drawn_light("H1", "F1", draw_light_levels=["16 h", "natural"]))
    assert set(season.trials["K1"].places) == {"16 h", "natural"}


def test_a_draw_of_light_that_is_drawn_anew_takes_the_levels_out_that_are_gone():
    was = held(drawn_light("H1", "F1"))
    there = saved(was, draw_trial(was, "K1"))
    there.data["trial"][0]["draw_light_levels"] = ["long", "short"]
    there = opened(there.data)
    season = saved(there, draw_trial(there, "K1", anew=True)).plan.season
    assert set(season.trials["K1"].places) == {"long", "short"}
    assert {plot.treatment["light"] for plot in plots_of_trial(season, "K1")} == {"long", "short"}


# --- what it can find


def test_what_a_trial_can_find_is_told_before_it_is_planted():
    trial = TRIAL | {"design": "blocks", "factors": {"soil": list("abcd")}, "variety": "amber", "blocks": 4}
    proposal, _ = drawn(trial | {"date": date(2027, 1, 4)})
    assert proposal.verdicts[1] == (
        "soil: at CV 10 % a difference of 22 % of the mean is found in 4 of 5 such trials (4 plots a mean, error df 9)"
    )


def test_without_a_scatter_three_are_supposed_and_one_is_asked_for():
    trial = without("cv") | {
        "design": "blocks",
        "factors": {"soil": list("abcd")},
        "variety": "amber",
        "blocks": 4,
    }
    texts = finding_texts(held(trial).plan.season.trials["K1"])
    assert "at CV 10, 20 and 30 % a difference of 22, 45 and 67 % of the mean" in texts[0]
    assert texts[1].startswith("scatter (CV, %) is not set")


def test_main_plots_find_that_much_or_more_and_one_block_nothing():
    texts = finding_texts(held().plan.season.trials["K1"])
    assert "% of the mean or more is found" in texts[0]
    assert "or more" not in texts[1]
    alone = finding_texts(held(TRIAL | {"blocks": 1}).plan.season.trials["K1"])
    assert alone[0].startswith("date: means and no test, for no degree of freedom is left for the error")
