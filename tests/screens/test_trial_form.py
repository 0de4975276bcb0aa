"""The form of a trial: factors and levels of light of one's own, each with a line, in the order in which they are named."""

from __future__ import annotations

import pytest

from calendar_tui.screens.forms.blank import filled
from calendar_tui.screens.forms.record_forms import adding, changing, like
from calendar_tui.season.edits import apply_edits
from tests.planning.trial_farm import TRIAL, held, without

BASE = {"id": "K2", "design": "split plot", "place": "F1", "variety": "amber", "spacing": "1.5x0.6"}
OWN = {"factors": "watering, soil", "levels of watering": "daily, weekly", "levels of soil": "bare, mulch"}


def lines(blank, was, typed=None):
    return {field.words: field.value for field in blank.fields(was, typed or {})}


def made(typed, blank=None, was=None):
    was = was or held(without("cv"))
    form = filled(blank or adding("trial"), was, typed)
    assert form.errors == {}, form.errors
    return apply_edits(was.data, form.proposal.change.edits)["trial"]


def errors(typed, blank=None, was=None):
    return dict(filled(blank or adding("trial"), was or held(), typed).errors)


def test_a_new_trial_asks_for_its_factors_and_for_the_levels_of_each():
    shown = lines(adding("trial"), held())
    names = [*shown]
    at = names.index("factors")
    assert shown["factors"] == "date, variety, spacing"
    assert names[at + 1 : at + 4] == ["levels of date", "levels of variety", "levels of spacing"]
    at = names.index("light levels")
    assert names[at + 1 : at + 3] == ["places of lit", "places of dark"]


def test_a_factor_of_ones_own_has_a_line_as_soon_as_it_is_named():
    shown = [*lines(adding("trial"), held(), {"factors": "soil  cover, variety"})]
    at = shown.index("factors")
    assert shown[at + 1 : at + 3] == ["levels of soil cover", "levels of variety"]
    assert "levels of date" not in shown


@pytest.mark.parametrize("turn", [1, -1])
def test_factors_are_saved_in_the_order_of_their_names_whatever_was_typed_first(turn):
    typed = dict([*(BASE | OWN).items()][::turn])
    trial = made(typed)[-1]
    assert [*trial["factors"].items()] == [("watering", ["daily", "weekly"]), ("soil", ["bare", "mulch"])]


def test_the_usual_factors_are_saved_in_their_order_too():
    typed = {**BASE, "levels of spacing": "1.5x0.6, 1.5x0.9", "levels of date": "2027-01-04, 2027-01-18"}
    del typed["spacing"]
    assert [*made({**typed, "spacing": "1.5x0.6"})[-1]["factors"]] == ["date", "spacing"]


def test_levels_of_a_factor_that_is_not_named_any_more_are_not_saved():
    typed = {**BASE, "levels of date": "2027-01-04, 2027-01-18", **OWN}
    assert [*made(typed)[-1]["factors"]] == ["watering", "soil"]


def test_levels_of_light_have_names_of_their_own():
    typed = {
        **{key: value for key, value in BASE.items() if key != "place"},
        **OWN,
        "light levels": "16 h, natural",
        "places of 16 h": "H1",
        "places of natural": "F1",
    }
    assert made(typed)[-1]["places"] == {"16 h": ["H1"], "natural": ["F1"]}


def test_levels_of_a_date_are_typed_as_dates_are_elsewhere_and_of_other_factors_as_they_are():
    typed = {
        **BASE,
        "factors": "date, nitrogen",
        "levels of date": "4 jan, 18 jan 2027",
        "levels of nitrogen": "0, 50, 100",
    }
    trial = made(typed)[-1]
    assert trial["factors"] == {"date": ["2027-01-04", "2027-01-18"], "nitrogen": ["0", "50", "100"]}
    assert "write" in errors({**typed, "levels of date": "4 jan, someday"})["levels of date"]


def test_all_of_the_design_can_be_typed():
    typed = {
        **BASE,
        "design": "augmented",
        "factors": "line",
        "levels of line": "a, b, c, d",
        "checks": "a, b",
        "restriction": "",
        "guard rows": "2",
        "guard plants": "1",
        "border": "1",
        "corner": "back right",
        "direction": "away",
        "columns": "6",
        "north": "left",
        "scatter": "18",
        "plot rows": "6",
        "row plants": "12",
        "seed": "11",
        "block size": "",
    }
    trial = made(typed)[-1]
    assert (trial["checks"], trial["corner"], trial["direction"], trial["cv"], trial["guard_rows"]) == (
        ["a", "b"],
        "back right",
        "away",
        18,
        2,
    )


@pytest.mark.parametrize(
    ("typed", "line", "message"),
    [
        ({"factors": "soil"}, "levels of soil", "its levels are needed, two or more, such as: bare, mulch"),
        (
            {"factors": "soil", "levels of soil": " "},
            "levels of soil",
            "its levels are needed, two or more, such as: bare, mulch",
        ),
        ({"factors": "soil, Soil"}, "factors", '"soil" stands there twice; name each once'),
        ({"light levels": "lit"}, "places of lit", "its places are needed, such as: H1, H3"),
        ({"design": "checkers"}, "design", "it must be one of: completely randomised"),
    ],
)
def test_what_is_missing_or_twice_is_told_in_its_line(typed, line, message):
    assert message in errors({**BASE, **typed})[line]


def test_a_factor_is_added_to_a_trial_and_another_taken_out():
    was = held(without("cv"))
    typed = {"factors": "date, soil", "levels of soil": "bare, mulch"}
    trial = made(typed, changing("trial", ("K1",)), was)[0]
    assert [*trial["factors"].items()] == [
        ("date", TRIAL["factors"]["date"]),
        ("soil", ["bare", "mulch"]),
    ]


def test_factors_that_stand_keep_their_order_and_the_way_out_is_named():
    wrong = errors({"factors": "variety, date"}, changing("trial", ("K1",)))["factors"]
    assert wrong.startswith("what stands keeps its order and what is new comes behind: date, variety")


def test_a_trial_like_another_has_its_factors_and_takes_a_further_one():
    typed = {"id": "K2", "factors": "date, variety, soil", "levels of soil": "bare, mulch"}
    trials = made(typed, like("trial", ("K1",)))
    assert [*trials[1]["factors"]] == ["date", "variety", "soil"]
    assert [*trials[0]["factors"]] == ["date", "variety"]


def test_the_form_of_a_trial_shows_the_factors_that_it_has():
    own = {**without("factors"), "factors": {"soil": ["bare", "mulch"]}}
    shown = lines(changing("trial", ("K1",)), held({**own, "design": "blocks"}))
    assert (shown["factors"], shown["levels of soil"]) == ("soil", "bare, mulch")
    assert "levels of date" not in shown
