"""A variety given a type: proposed as the file reads after it, with what stands above the type told or taken away."""

from __future__ import annotations

import pytest

from calendar_tui.nature.futures import tenths
from calendar_tui.planning.changes.type_comparison import compare_types
from calendar_tui.planning.changes.variety_change import figures_of
from calendar_tui.planning.laying_out.figures import figures_of as figures_in_futures
from calendar_tui.planning.plan import make_plan
from calendar_tui.season.edits import apply_edits
from calendar_tui.season.fitted_sets import figures_of_sets
from calendar_tui.season.records import FigureSet
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.variety_types import find_type, variety_types
from calendar_tui.season.wording import clock_text
from tests.planning.farm import TODAY, farm_data, season_of
from tests.planning.typed_changes import typed_change


def typed_farm(**keys):
    """The farm's data, its second variety of a type and with these keys."""
    data = farm_data()
    data["variety"][1].update(keys)
    return data


def proposed(data, variety, typed, alone=False):
    return typed_change(data, "variety", variety, {"type": f"{typed} alone" if alone else typed})


@pytest.mark.quick(12)
@pytest.mark.parametrize("typed", variety_types())
@pytest.mark.parametrize("alone", [False, True])
@pytest.mark.parametrize("variety", ["amber", "plain", "byage"])
def test_what_is_proposed_is_what_the_file_reads_as_after_it(typed, alone, variety):
    data = farm_data()
    data["variety"][0]["marks"] = {"critical_day": "practice", "flowering_to_harvest_d": "read"}
    proposal = proposed(data, variety, typed, alone)
    after = season_of(apply_edits(data, proposal.change.edits))
    assert after.varieties == proposal.plan.season.varieties
    assert after.varieties[variety].type == typed
    again = make_plan(after, TODAY)
    assert {n: t.stages for n, t in again.timelines.items()} == {
        n: t.stages for n, t in proposal.plan.timelines.items()
    }


def test_written_figures_stand_above_a_new_type_and_are_named():
    proposal = proposed(farm_data(), "amber", "oil-zhang")
    assert proposal.plan.season.varieties["amber"].critical_day.likely == 14.75
    assert proposal.notes == (
        "critical day, full response day of amber are written in the file, and stand above the type; to have them taken away, give: "
        "oil-zhang alone",
    )
    assert proposed(farm_data(), "plain", "oil-zhang").notes == ()


def test_a_type_taken_alone_takes_the_written_figures_and_their_marks_away():
    data = farm_data()
    data["variety"][0]["marks"] = {"critical_day": "practice", "flowering_to_harvest_d": "read"}
    proposal = proposed(data, "amber", "oil-zhang", alone=True)
    assert "critical day 14 h 45 -> none, full response day 13 h 45 -> none" in proposal.change.what
    amber = apply_edits(data, proposal.change.edits)["variety"][0]
    assert "critical_day" not in amber
    assert amber["marks"] == {"flowering_to_harvest_d": "read"}
    assert amber["type"] == "oil-zhang"


def test_a_variety_that_turns_out_day_neutral_gets_the_response_with_the_type():
    proposal = proposed(farm_data(), "plain", "day-neutral")
    assert proposal.change.what == "plain type none -> day-neutral, response short-day -> day-neutral"
    assert "induced" not in proposal.plan.timelines["F1"].stages


def test_the_same_type_again_is_nothing_to_save():
    assert proposed(typed_farm(type="oil-zhang"), "plain", "Oil Zhang").change.edits == ()


def test_a_new_critical_day_takes_the_full_response_day_of_the_type_along():
    data = typed_farm(type="oil-zhang")
    proposal = typed_change(data, "variety", "plain", {"critical day": "14:30"}, "own")
    assert season_of(apply_edits(data, proposal.change.edits)).varieties == proposal.plan.season.varieties
    assert proposal.plan.season.varieties["plain"].full_response_day.likely == pytest.approx(14.0)


def test_figures_are_told_as_of_their_type_with_its_marks():
    data = typed_farm(type="oil-zhang", juvenile_d=20)
    figures = {f.key: f for f in figures_of(season_of(data).varieties["plain"], data)}
    assert (figures["critical_day"].of_type, figures["critical_day"].marks) == ("oil-zhang", ("read",))
    assert (figures["juvenile_d"].of_type, figures["juvenile_d"].own) == ("", True)
    assert (figures["drying_d"].of_type, figures["drying_d"].own) == ("", False)


def test_a_type_that_there_is_not_is_refused_with_those_there_are():
    assert find_type("fibre northern").id == find_type("Fibre_Northern").id == "fibre-northern"
    with pytest.raises(Refusal, match='"oil-zang" is not a type of variety; did you mean "oil-zhang"'):
        find_type("oil-zang")


@pytest.mark.parametrize(
    ("kind", "minutes"), [(None, 38), ("oil-unknown", 38), ("oil-zhang", 23), ("fibre-northern", 62)]
)
def test_a_figure_that_is_one_number_has_the_spread_of_the_type_or_else_of_the_default(kind, minutes):
    keys = {"critical_day": "14:30"} | ({"type": kind} if kind else {})
    variety = season_of(typed_farm(**keys)).varieties["plain"]
    early, late = tenths([round(60 * hours) for hours in figures_in_futures(variety, "seed").critical_h])
    assert (870 - early, late - 870) == pytest.approx((minutes, minutes), abs=2)


def fitted_farm():
    """The farm, with the second variety's figures fitted to records: ten sets, and the figures that they leave."""
    sets = [[f"13:{20 + n}", f"12:{10 + n}", 20 + n, 7 + n / 10] for n in range(10)]
    keys = {
        "type": "oil-unknown",
        "sets": sets,
        "marks": {"critical_day": "own"},
    }
    kept = [FigureSet(13 + (20 + n) / 60, 12 + (10 + n) / 60, 20 + n, 7 + n / 10) for n in range(10)]
    return typed_farm(
        **keys | {key: written_figure(span, key) for key, span in figures_of_sets(kept).items()}
    )


def written_figure(span, key):
    return [clock_text(n) if key.endswith("_day") else n for n in span]


def test_a_type_alone_takes_the_sets_of_a_fit_away_with_its_figures():
    data = fitted_farm()
    proposal = proposed(data, "plain", "oil-zhang", alone=True)
    plain = apply_edits(data, proposal.change.edits)["variety"][1]
    assert plain == {"id": "plain", "response": "short-day", "type": "oil-zhang"}
    assert season_of(apply_edits(data, proposal.change.edits)).varieties == proposal.plan.season.varieties
    assert "the sets that were fitted to records have another figure" in " ".join(proposal.notes)


def test_figures_of_a_fit_stand_above_a_new_type_with_their_sets():
    data = fitted_farm()
    proposal = proposed(data, "plain", "oil-zhang")
    assert len(proposal.plan.season.varieties["plain"].sets) == 10
    assert season_of(apply_edits(data, proposal.change.edits)).varieties == proposal.plan.season.varieties


def test_types_are_compared_without_the_sets_of_a_fit():
    plan = make_plan(season_of(fitted_farm()), TODAY)
    first, *_ = compare_types(plan, plan.season.varieties["plain"])
    ranges = {d.stage("induced").range for d in first.by_type if d.kind.response == "short-day"}
    assert len(ranges) == 5
