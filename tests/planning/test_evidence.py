"""What the records of a variety say about it, and about the cohorts that have not got there."""

from copy import deepcopy
from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.planning.evidence.figures import present, rounded, with_figure
from calendar_tui.planning.evidence.words import evidence_text
from calendar_tui.planning.plan import make_plan
from calendar_tui.season.field_names import field_words
from calendar_tui.season.records import Span, Variety
from calendar_tui.season.stages import SHOWING_VARIETY
from tests.counting import lines_run
from tests.planning.ambers import (
    LATER,
    ambers_data,
    days,
    likely,
    planned,
    shift_by,
    three_ambers,
    warm_ambers,
)
from tests.planning.farm import farm_data, season_of

# --- one record


@pytest.mark.parametrize(
    ("cohort", "stage", "by", "key"),
    [
        ("A1", "emergence", 3, "emergence_d"),
        ("A4", "rooted", -2, "rooting_d"),
        ("A1", "trigger", 5, "critical_day"),
        ("A1", "induced", 3, "inductive_days"),
        ("A1", "induced", -4, "inductive_days"),
        ("A4", "flowering", -3, "induced_to_flowering_d"),
        ("D1", "flowering", 6, "emergence_to_flowering_d"),
    ],
)
def test_taking_the_figure_over_brings_the_projection_onto_the_record(cohort, stage, by, key):
    """The variety command would leave nothing to say, and the others where they were said to go."""
    season = three_ambers()
    base = {"seeding": season.cohorts["A1"].recorded["seeding"]} if cohort == "A1" else {}
    record = shift_by(make_plan(season, LATER), cohort, **{stage: by})
    plan = planned(**{cohort: {**base, **record}})
    (found,) = plan.evidence
    assert (found.key, found.seen[0].days) == (key, by)
    taken = replace(plan.season, varieties={**plan.season.varieties, found.changed.id: found.changed})
    after = make_plan(taken, LATER)
    assert after.evidence == ()
    for meaning in found.others:
        assert after.timelines[meaning.cohort].likely(stage) == meaning.new
        assert after.timelines[meaning.cohort].likely("harvest") == meaning.new_harvest


def test_a_trigger_late_after_lights_off_speaks_to_the_critical_day_and_not_to_later_cohorts_triggers():
    """Days that are short enough by a lower threshold trigger a later cohort on its lights off all the same."""
    off = likely("trigger")
    plan = planned(A1={"trigger": off + days(5)})
    (found,) = plan.evidence
    felt = plan.timelines["A1"].felt_h
    day = plan.light.index(off + days(5))
    assert felt[day] < found.changed.critical_day.likely <= felt[day - 1]
    last = found.others[-1]
    assert last.new == last.old == plan.timelines[last.cohort].likely("lights_off")


@pytest.mark.parametrize("by", [-12, 9])
def test_a_trigger_in_natural_days_gives_the_nearest_critical_day_that_allows_it(by):
    free = make_plan(three_ambers(), LATER)
    plan = planned(F1=shift_by(free, "F1", trigger=by))
    (found,) = plan.evidence
    felt, day = plan.timelines["F1"].felt_h, plan.light.index(plan.timelines["F1"].likely("trigger"))
    new, old = found.changed.critical_day.likely, 14.0
    assert felt[day] < new <= felt[day - 1]
    assert (new > old) is (by < 0)
    nearer = new + (1 if by > 0 else -1) / 60
    assert not felt[day] < nearer <= felt[day - 1], "a minute nearer to 14 h would give another day"


def test_later_records_of_the_cohort_play_no_part_in_its_projection():
    """A flowering that is recorded holds earlier projections back; here it would hide how early the trigger was."""
    free = make_plan(three_ambers(), LATER)
    trigger = free.timelines["F1"].likely("trigger")
    plan = planned(F1={"trigger": trigger - days(12), "flowering": trigger - days(8)})
    (found,) = (e for e in plan.evidence if e.stage == "trigger")
    assert (found.seen[0].projected.likely, found.seen[0].days) == (trigger, -12)


def test_a_cohort_that_is_past_a_stage_is_not_waited_for():
    free = make_plan(three_ambers(), LATER)
    late = shift_by(free, "A1", induced=4)
    plan = planned(A1=late, A2=shift_by(free, "A2", flowering=0))
    (found,) = (e for e in plan.evidence if e.stage == "induced")
    assert found.pending == ("A3", "A4")


def test_a_record_as_projected_counts_with_the_figure_as_it_is():
    free = make_plan(three_ambers(), LATER)
    plan = planned(A1=shift_by(free, "A1", induced=0), A2=shift_by(free, "A2", induced=3))
    (found,) = plan.evidence
    assert found.seen[0].figure.value == 8
    assert found.changed.inductive_days.early == 8


def test_a_figure_in_half_days_gives_the_days_it_took():
    data = ambers_data({})
    data["variety"][0]["induced_to_flowering_d"] = [10, 14.5, 20]
    free = make_plan(season_of(data), LATER)
    data["cohort"][0]["recorded"] = shift_by(free, "A1", flowering=5)
    (found,) = make_plan(season_of(data), LATER).evidence
    took = free.timelines["A1"].likely("flowering") - free.timelines["A1"].likely("induced") + days(5)
    assert found.changed.induced_to_flowering_d.likely == took.days


def test_plants_that_trigger_at_another_age_in_short_days_speak_to_the_juvenile_time_of_seed():
    data = farm_data()
    data["variety"][0] |= {"critical_day": "15:30", "full_response_day": "14:30"}
    data["cohort"][1] |= {"variety": "amber", "recorded": {"emergence": date(2026, 11, 6)}}
    data["cohort"][2]["variety"] = "amber"
    at = make_plan(season_of(data), LATER).timelines["F1"].likely("trigger")
    assert at == date(2026, 12, 1), "25 d after emergence, in days that are short enough"
    data["cohort"][1]["recorded"]["trigger"] = at + days(4)
    (found,) = make_plan(season_of(data), LATER).evidence
    assert (found.key, found.changed.juvenile_d) == ("juvenile_d", Span(29, 29, 29))
    assert "C1" not in found.pending, "cuttings have no juvenile time"


# --- on heat


@pytest.mark.parametrize(
    ("figures", "stage", "by", "key"),
    [
        ({}, "flowering", 6, "induced_to_flowering_d"),
        ({"induced_to_flowering_cd": [240, 300, 380]}, "flowering", 6, "induced_to_flowering_cd"),
        ({"induced_to_flowering_cd": [240, 300, 380]}, "flowering", -5, "induced_to_flowering_cd"),
        ({}, "emergence", 3, "germination_to_emergence_cd"),
        ({}, "emergence", -2, "germination_to_emergence_cd"),
    ],
)
def test_on_heat_a_record_speaks_to_the_figure_that_its_stage_runs_on(figures, stage, by, key):
    free = make_plan(warm_ambers(figures), LATER)
    record = shift_by(free, "A1", **{stage: by})
    induced = {} if stage == "emergence" else {"induced": free.timelines["A1"].likely("induced")}
    plan = make_plan(warm_ambers(figures, A1={**induced, **record}), LATER)
    (found,) = (e for e in plan.evidence if e.stage == stage)
    assert (found.key, found.seen[0].days) == (key, by)
    taken = replace(plan.season, varieties={**plan.season.varieties, found.changed.id: found.changed})
    after = make_plan(taken, LATER)
    # A figure in whole days of the reference temperature cannot give every date.
    left = [e.seen[0].days for e in after.evidence if e.stage == stage]
    assert all(abs(n) <= 1 for n in left)
    if key.endswith("_cd"):
        assert left == []
        assert (
            f" C d against {present(plan.season.varieties['amber'], key):g} C d ({field_words('variety', key)})"
            in evidence_text(found)
        )
    assert [after.timelines[m.cohort].likely(stage) for m in found.others] == [m.new for m in found.others]


# --- several records


def test_seed_and_cuttings_stand_apart_where_the_figure_counts_from_another_stage():
    data = farm_data()
    cutting = {"id": "D2", "variety": "byage", "start": "cutting", "place": "F1"}
    data["cohort"].append(cutting | {"planned": {"sticking": date(2026, 11, 1)}})
    plan = make_plan(season_of(data), LATER)
    data["cohort"][3]["recorded"] = shift_by(plan, "D1", flowering=4)
    (found,) = make_plan(season_of(data), LATER).evidence
    assert found.pending == ()
    data["cohort"][-1]["recorded"] = shift_by(plan, "D2", flowering=-4)
    assert [(e.base, e.seen[0].cohort) for e in make_plan(season_of(data), LATER).evidence] == [
        ("emergence", "D1"),
        ("rooted", "D2"),
    ]


# --- what holds whatever is recorded


@pytest.mark.slow
@given(
    st.sampled_from(["A1", "A4", "F1", "C1", "D1"]), st.sampled_from(SHOWING_VARIETY), st.integers(-40, 40)
)
def test_others_of_the_variety_alone_are_named_and_no_date_moves(name, stage, by):
    plan = make_plan(three_ambers(), LATER)
    expected = plan.timelines[name].likely(stage)
    if expected is None or expected + days(by) < plan.season.first_day:
        return
    cohort = plan.season.cohorts[name]
    new = replace(cohort, recorded={stage: expected + days(by)})
    season = replace(plan.season, cohorts={**plan.season.cohorts, name: new})
    after = make_plan(season, LATER)
    before = {n: dict(t.stages) for n, t in after.timelines.items()}
    for found in after.evidence:
        same = {c.id for c in season.cohorts.values() if c.variety == cohort.variety}
        assert set(found.cohorts) <= same
        assert name not in found.pending
    assert {n: dict(t.stages) for n, t in after.timelines.items()} == before
    assert {n: dict(t.stages) for n, t in make_plan(season, LATER).timelines.items()} == before
    if by == 0:
        assert after.evidence == ()
    else:
        assert [e.seen[0].days for e in after.evidence] == [by]


def test_a_plan_works_it_out_only_when_it_is_read():
    plan = planned(A1={"flowering": likely("flowering") + days(5)})
    assert "_evidence" not in plan.__dict__
    first = plan.evidence_of("A1")
    assert list(plan.__dict__["_evidence"]) == ["amber"], "of one variety alone"
    assert plan.evidence_of("A2")[0] is first[0] is plan.evidence[0]


def test_work_grows_with_the_number_of_cohorts():
    def work(count):
        data = farm_data()
        for n in range(count):
            data["cohort"].append(deepcopy(data["cohort"][1]) | {"id": f"G{n}"})
            if n % 2:
                data["cohort"][-1]["recorded"] = {"flowering": date(2027, 3, 1 + n % 28)}
        plan = make_plan(season_of(data), LATER)
        return lines_run(lambda: plan.evidence)

    small, large = work(6), work(24)
    assert large < 4.6 * small


# --- figures


def test_a_changed_figure_takes_early_and_late_along_and_holds_what_was_seen():
    variety = Variety(id="v", response="short-day")
    assert with_figure(variety, "induced_to_flowering_d", 19).induced_to_flowering_d == Span(14, 19, 27)
    wide = with_figure(variety, "induced_to_flowering_d", 19, (12, 19, 28)).induced_to_flowering_d
    assert wide == Span(12, 19, 28)
    assert with_figure(variety, "emergence_d", 1).emergence_d == Span(1, 1, 1)
    assert with_figure(variety, "inductive_days", 3.2).inductive_days == Span(3.2, 3.2, 3.2)
    assert with_figure(variety, "critical_day", 13.5).critical_day.likely == 13.5


@pytest.mark.parametrize(
    ("key", "value", "is_"),
    [("juvenile_d", 17.5, 18), ("inductive_days", 9.44, 9.4), ("critical_day", 13.7, 13.7)],
)
def test_figures_are_rounded_to_what_they_are_given_in(key, value, is_):
    assert rounded(key, value) == pytest.approx(is_)
