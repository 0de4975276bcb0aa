"""A variety's figures as they stand, and one of them changed: read as in the file, checked, and proposed."""

from __future__ import annotations

import copy

import pytest

from calendar_tui.planning.changes.variety_change import (
    FIGURE_NAMES,
    FIGURES,
    figures_of,
    unused,
    value_text,
)
from calendar_tui.season.edits import apply_edits
from calendar_tui.season.field_names import field_words
from calendar_tui.season.fields import FIELDS, MARKS
from calendar_tui.season.finders import find_variety
from calendar_tui.season.reading import read_season
from calendar_tui.season.refusal import Refusal
from tests.planning.farm import farm_data, season_of
from tests.planning.typed_changes import typed_change


def proposed(key, typed, mark="", variety="amber", data=None):
    return typed_change(data or farm_data(), "variety", variety, {key: typed}, mark)


def saved(proposal, data=None):
    """The variety's table in the file after the change."""
    return apply_edits(data or farm_data(), proposal.change.edits)["variety"][0]


def figure(key, **own):
    data = farm_data()
    data["variety"][0].update(own)
    return next(f for f in figures_of(season_of(data).varieties["amber"], data) if f.key == key)


def test_every_figure_of_the_reference_is_told_in_its_order():
    keys = [f.key for f in figures_of(season_of(farm_data()).varieties["amber"], farm_data())]
    assert keys == [
        f.key
        for f in FIELDS["variety"]
        if f.key not in ("id", "response", "type", "seed_kind", "sets", "before_fit", "marks")
    ]


def test_own_and_default_are_told_apart_even_where_they_are_equal():
    assert not figure("drying_d").own
    assert figure("drying_d", drying_d=[7, 10, 14]).own
    assert figure("drying_d").value == figure("drying_d", drying_d=[7, 10, 14]).value == [7, 10, 14]


def test_an_own_figure_has_the_mark_given_or_none_and_a_default_has_the_programs():
    assert figure("drying_d").marks == ("read", "placeholder")
    assert figure("drying_d", drying_d=9).marks == ()
    assert figure("drying_d", drying_d=9, marks={"drying_d": "own"}).marks == ("own",)
    assert [figure(k).guess for k in ("drying_d", "juvenile_d", "cutting_spread")] == [True, False, True]


@pytest.mark.parametrize(
    ("key", "file", "value"),
    [
        ("critical_day", "13:50", "13:50"),
        ("critical_day", "9:05", "9:05"),
        ("inductive_days", [6, 8, 10], [6, 8, 10]),
        ("inductive_days", [8, 8, 8], 8),
        ("inductive_days", 7.5, 7.5),
        ("cutting_spread", 0.25, 0.25),
        ("juvenile_cd", [220, 270, 350.5], [220, 270, 350.5]),
    ],
)
def test_values_are_told_as_a_file_has_them(key, file, value):
    own = {key: file, **({"full_response_day": "8:00"} if key == "critical_day" else {})}
    assert figure(key, **own).value == value


def test_a_sum_that_nobody_gave_has_no_value():
    assert figure("juvenile_cd").value is None
    assert value_text(None) == ""
    figures = figures_of(season_of(warm()).varieties["amber"], warm())
    empty = {f.key: f.used for f in figures if f.value is None}
    assert empty == {
        "juvenile_cd": True,
        "emergence_to_flowering_cd": False,
        "induced_to_flowering_cd": True,
        "female_share": True,
        "fresh_kg_per_plant": True,
    }


def warm(**own):
    """The farm on heat, from invented monthly means; own: figures of its first variety."""
    data = farm_data()
    data["site"] |= {"monthly_low_c": [14.0] * 12, "monthly_high_c": [26.0] * 12}
    data["heat"] = {}
    data["variety"][0].update(own)
    return data


@pytest.mark.quick(3)
@pytest.mark.parametrize("data", [farm_data(), warm(), warm(juvenile_cd=400, induced_to_flowering_cd=300)])
@pytest.mark.parametrize("name", ["amber", "plain", "byage"])
def test_the_figures_that_play_no_part_move_no_date(name, data):
    """Each is changed to something quite different; every date stays."""
    idle = unused(season_of(data).varieties[name], "heat" in data)
    assert idle
    for key, why in idle.items():
        typed = {"critical_day": "20:00", "full_response_day": "5:00"}.get(key, "61")
        proposal = proposed(key, typed, "own", variety=name, data=data)
        assert [m for m in proposal.stages if m.old.range != m.new.range] == [], key
        assert (
            proposal.notes[-1] == f"{field_words('variety', key)} plays no part in the dates of {name}: {why}"
        )


@pytest.mark.parametrize(
    ("key", "data"),
    [
        ("emergence_d", farm_data()),
        ("juvenile_d", farm_data()),
        ("germination_ch", warm()),
        ("germination_to_emergence_cd", warm()),
        ("juvenile_d", warm()),
        ("juvenile_cd", warm()),
        ("induced_to_flowering_d", warm()),
        ("induced_to_flowering_cd", warm()),
    ],
)
def test_a_figure_that_plays_a_part_moves_dates(key, data):
    assert key not in unused(season_of(data).varieties["amber"], "heat" in data)
    typed = {"germination_ch": "3000", "juvenile_cd": "1500", "induced_to_flowering_cd": "900"}.get(
        key, "120"
    )
    assert proposed(key, typed, "own", data=data).stages


@pytest.mark.parametrize(
    ("key", "typed", "value"),
    [
        ("critical_day", "13:50", "13:50"),
        ("critical_day", ' "13:50" ', "13:50"),
        ("flowering_to_harvest_d", "39,46,55", [39, 46, 55]),
        ("flowering_to_harvest_d", "[39, 46, 55]", [39, 46, 55]),
        ("flowering_to_harvest_d", "39 46 55", [39, 46, 55]),
        ("flowering_to_harvest_d", "44", 44),
        ("drying_d", "7.5", 7.5),
        ("cutting_spread", ".3", 0.3),
    ],
)
def test_a_value_may_be_typed_with_or_without_quotes_and_brackets(key, typed, value):
    assert saved(proposed(key, typed, "own"))[key] == value


def test_a_change_moves_every_cohort_of_the_variety_and_no_other():
    data = farm_data()
    second = copy.deepcopy(data["cohort"][0])
    second["id"] = "A2"
    data["cohort"].append(second)
    moved = proposed("flowering_to_harvest_d", "48,55,64", "own", data=data).stages
    assert {m.cohort for m in moved} == {"A1", "A2"}
    harvest = next(m for m in moved if (m.cohort, m.stage) == ("A2", "harvest"))
    assert (harvest.new.likely - harvest.old.likely).days == 10


def test_a_threshold_counts_to_the_minute():
    """Of the two figures of `plain`, a minute more on the critical day brings the trigger of F1 no later."""
    triggers = []
    for typed in ("13:30", "13:31", "13:50"):
        plan = proposed("critical_day", typed, "own", variety="plain").plan
        triggers.append(plan.timelines["F1"].stages["trigger"].likely)
        assert plan.season.varieties["plain"].critical_day.likely == pytest.approx(
            int(typed[:2]) + int(typed[3:]) / 60
        )
    assert triggers == sorted(triggers, reverse=True)
    assert triggers[0] > triggers[2]


def test_the_change_names_old_and_new_and_the_mark():
    proposal = proposed("critical_day", "13:50", "own")
    assert "must be shorter" not in proposal.change.what
    assert proposal.change.what == "amber critical day 14 h 45 -> 13 h 50, marked own"
    assert saved(proposal)["marks"] == {"critical_day": "own"}


def test_a_new_figure_without_a_mark_does_not_keep_the_old_one():
    data = farm_data()
    data["variety"][0]["marks"] = {"critical_day": "practice"}
    proposal = proposed("critical_day", "13:50", data=data)
    assert saved(proposal, data)["marks"] == {"critical_day": "placeholder"}
    assert "marked placeholder, a guess (it was practice)" in proposal.notes[0]


def test_a_placeholder_by_ones_own_word_is_not_questioned():
    assert "no mark is given" not in " ".join(proposed("critical_day", "13:50", "placeholder").notes)


def test_the_same_figure_may_be_given_another_mark_and_keeps_the_one_it_has():
    data = farm_data()
    data["variety"][0]["marks"] = {"critical_day": "practice"}
    marked = proposed("critical_day", "14:45", "read", data=data)
    assert (marked.stages, marked.tasks) == ((), ())
    assert marked.change.what == "amber critical day marked read"
    assert saved(marked, data)["marks"] == {"critical_day": "read"}
    same = proposed("critical_day", "14:45", data=data)
    assert saved(same, data) == data["variety"][0]


@pytest.mark.parametrize(
    ("key", "typed", "mark", "said"),
    [
        ("critical_day", "25:00", "", 'critical day "25:00": write hours and minutes up to 24 h'),
        ("critical_day", "1350", "", "write hours and minutes"),
        ("critical_day", "13:45", "", "full response day must be shorter than critical day"),
        ("full_response_day", "14:45", "", "full response day must be shorter than critical day"),
        ("drying_d", "14,10,7", "", "in rising order"),
        ("drying_d", "7,10", "", "early, likely and late days"),
        ("drying_d", "soon", "", 'drying "soon": write a number from 0 to 400'),
        ("drying_d", "nan", "", "write a number from 0 to 400"),
        ("drying_d", "401", "", "it must be from 0 to 400"),
        ("inductive_days", "0", "", "inductive days must be over 0"),
        ("cutting_spread", "1.5", "", "it must be from 0 to 1"),
        ("cutting_spread", "0.1,0.2", "", "write a number from 0 to 1"),
        ("drying_d", "8", "guess", "it must be one of: read, memory"),
    ],
)
def test_a_value_that_cannot_be_is_refused_with_the_sentence_of_the_file(key, typed, mark, said):
    with pytest.raises(Refusal) as refused:
        proposed(key, typed, mark)
    assert said in str(refused.value)


@pytest.mark.parametrize("key", FIGURES)
def test_any_figure_as_it_is_told_can_be_typed_again(key):
    """What `value_text` shows is what may be typed, and it leaves the season as it was."""
    told = figure(key)
    typed = value_text(told.value) or ("300" if key.endswith("_cd") else "0.4")
    after = read_season(apply_edits(farm_data(), proposed(key, typed, "own").change.edits))
    assert after.problems == ()
    if told.value is not None:
        assert getattr(after.season.varieties["amber"], key) == getattr(
            season_of(farm_data()).varieties["amber"], key
        )


def test_names_are_found_in_any_case_and_others_refused_with_what_is_there():
    season = season_of(farm_data())
    assert find_variety(season, "AMBER").id == "amber"
    assert FIGURE_NAMES.find("Critical day") == "critical_day"
    with pytest.raises(Refusal, match='did you mean "amber"'):
        find_variety(season, "ambr")
    for word in ("id", "response", "marks", "critical_days"):
        with pytest.raises(Refusal, match="is not a figure of a variety"):
            FIGURE_NAMES.find(word)


def test_a_variety_without_a_cohort_is_said_to_move_nothing():
    data = farm_data()
    data["variety"].append({"id": "spare", "response": "short-day"})
    assert "no cohort of this season is of spare" in proposed("drying_d", "9", "own", "spare", data).notes[0]


def test_every_mark_can_be_given():
    for mark in MARKS:
        assert saved(proposed("drying_d", "9", mark.upper()))["marks"] == {"drying_d": mark}
