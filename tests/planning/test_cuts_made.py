"""Cuts that are recorded against the rules or the label stand as clashes, however they came into the file."""

from datetime import date, timedelta

import pytest

from calendar_tui.planning.changes.passes import record_pass
from calendar_tui.planning.changes.record_change import set_fields
from calendar_tui.planning.cutting.dryer_clashes import MIXED, NO_ROOM
from calendar_tui.planning.cutting.made_cuts import (
    ALREADY,
    FAILED_LOT,
    NO_PLOT,
    NO_SAMPLE,
    RUN_OUT,
    SPRAYED,
)
from calendar_tui.planning.today import today_of
from tests.planning.test_drying import batch_of, cohorts, official, sampled_passes, two
from tests.planning.test_passes import FIRST, RULES, held, pass_of

KINDS = (FAILED_LOT, NO_SAMPLE, RUN_OUT, SPRAYED, MIXED, NO_ROOM)


def kinds(there):
    return {kind for kind in KINDS for clash in there.plan.clashes if clash.kind.startswith(kind)}


def clashes(there, kind):
    return [clash for clash in there.plan.clashes if clash.kind.startswith(kind)]


def taken(days, outcome="", name="O1", **more):
    """An official sample of A1, so many days before the first pass."""
    made = official("A1", outcome, name) | {"date": FIRST - timedelta(days=days)} | more
    return {key: value for key, value in made.items() if value}


def sprayed(days, preharvest="7 d", **more):
    """H1 sprayed in the morning, so many days before the first pass."""
    spray = {
        "id": "s1",
        "date": FIRST - timedelta(days=days),
        "place": "H1",
        "product": "soap",
        "start": "08:00",
    }
    waits = {} if "condition" in more else {"reentry": "4 h"}
    return [spray | {"end": "09:00", "preharvest": preharvest} | waits | more]


@pytest.mark.parametrize(
    ("officials", "expected"),
    [
        ([], {NO_SAMPLE}),
        ([taken(-2)], {NO_SAMPLE}),
        ([taken(5, state="booked")], {NO_SAMPLE}),
        ([taken(30)], set()),
        ([taken(31)], {RUN_OUT}),
        ([taken(9, "failed")], {FAILED_LOT}),
        ([taken(40, "failed")], {FAILED_LOT, RUN_OUT}),
        ([taken(9, "failed"), taken(2, "passed", "O2")], set()),
        ([taken(9, "failed"), taken(-2, "passed", "O2")], {FAILED_LOT}),
        ([taken(9, "failed"), taken(-2, "", "O2")], {FAILED_LOT}),
        ([taken(9, "passed"), taken(2, "failed", "O2")], {FAILED_LOT}),
    ],
)
def test_a_pass_is_held_to_the_official_samples_of_its_lot(officials, expected):
    assert kinds(held(pass_of(), profile=[RULES], official=officials)) == expected


def test_rules_that_sample_nothing_hold_no_cut():
    assert kinds(held(pass_of(), profile=[RULES | {"sampling": "none"}])) == set()


def test_the_clash_names_the_pass_and_its_cohort_and_says_to_ask_the_authority():
    (clash,) = clashes(held(pass_of(), profile=[RULES]), NO_SAMPLE)
    assert clash.cohorts == ("A1",)
    assert clash.text.startswith(
        "pass A1-1 of A1 on Fri 9 Apr 2027: no official sample of A1 was taken by Fri 9 Apr 2027"
    )
    assert "check with your authority" in clash.text


def test_a_recorded_harvest_without_passes_is_a_cut_too():
    there = held(cohort=cohorts(harvest=FIRST), profile=[RULES], spray=sprayed(3))
    assert kinds(there) == {NO_SAMPLE, SPRAYED}
    (clash,) = clashes(there, NO_SAMPLE)
    assert clash.text.startswith("harvest of A1 on Fri 9 Apr 2027: ")


def test_a_pass_of_a_cohort_is_held_to_the_samples_of_each_of_its_lots():
    lots = [{"id": "A1-east", "cohort": "A1"}, {"id": "A1-west", "cohort": "A1"}]
    both = [taken(9, "passed", lot="A1-east"), taken(9, "failed", "O2", lot="A1-west")]
    there = held(pass_of(), lot=lots, profile=[RULES], official=both)
    (clash,) = clashes(there, FAILED_LOT)
    assert "O2 of A1-west" in clash.text


@pytest.mark.parametrize(
    ("spray", "clash"),
    [
        (sprayed(6), True),
        (sprayed(7), False),
        (sprayed(0, "0 d"), False),
        (sprayed(1, "0 d", reentry="48 h"), True),
        (sprayed(2, "0 d", reentry="48 h"), False),
        (sprayed(9, "0 d", condition="the air under 1 ppm"), True),
        # A spray after the cut closes what is left, and not what was cut.
        (sprayed(-1), False),
    ],
)
def test_a_pass_inside_an_interval_of_a_spray_stands_as_a_clash(spray, clash):
    assert (kinds(held(pass_of(), spray=spray)) == {SPRAYED}) == clash


def test_what_is_asked_of_a_new_pass_is_not_told_a_second_time_as_a_clash():
    proposal = record_pass(held(profile=[RULES]), "A1", {"date": "18 apr", "why": "ripe"})
    assert len([text for text in proposal.questions if "no official sample" in text]) == 1
    assert not [text for text in proposal.new_clashes if "no official sample" in text]


def test_passes_of_a_failed_lot_in_a_hand_written_batch_are_a_clash():
    there = held(
        pass_of(batch="D1"),
        pass_of("B1-1", lot="B1", batch="D1"),
        batch=[batch_of()],
        official=[official("A1", "passed", "O1"), official("B1", "failed", "O2")],
    )
    (clash,) = clashes(there, MIXED)
    assert clash.cohorts == ("A1", "B1")
    assert "failed" in clash.text
    assert clash.text.endswith("they never dry together: give B1-1 a batch of its own")


def test_a_pass_that_is_set_into_a_batch_of_another_lot_shows_the_clash_first():
    there = two(profile=[RULES | {"commingled": "never", "sampling": "none"}])
    proposal = set_fields(there, "pass", ("B1-1",), {"batch": "D1"})
    assert any("never dry together: give B1-1 a batch of its own" in text for text in proposal.new_clashes)


def test_results_that_come_in_later_and_differ_make_a_clash_of_what_dries_together():
    there = sampled_passes("0.300", "0.400")
    assert kinds(there) == set()
    passes = [dict(one, batch="D1") for one in there.data["pass"]]
    more = {key: there.data[key] for key in ("batch", "sample", "result")}
    (clash,) = clashes(held(*passes, **more), MIXED)
    assert "more apart than both may be off" in clash.text
    del more["result"]
    assert kinds(held(*passes, **more)) == set()


def test_a_batch_over_the_area_of_the_dryer_is_a_clash_until_it_is_out():
    more = {"capacity": {"dryer_m2": 10, "dryer_kg_per_m2": 8}}
    (clash,) = clashes(held(pass_of(batch="D1"), batch=[batch_of(area_m2=12)], **more), NO_ROOM)
    assert clash.text.startswith("batch D1: the dryer holds 10 m2; on 9 Apr: 10 m2 fit, and D1 has 12")
    out = batch_of(area_m2=12, out=FIRST + timedelta(days=9))
    assert kinds(held(pass_of(batch="D1"), batch=[out], **more)) == set()


def test_two_batches_that_are_together_over_the_area_are_one_clash_of_the_one_that_came_last():
    two = [batch_of(area_m2=6), batch_of("D2", FIRST + timedelta(days=1), area_m2=5)]
    passes = [pass_of(batch="D1"), pass_of("A1-2", FIRST + timedelta(days=1), batch="D2")]
    (clash,) = clashes(held(*passes, batch=two, capacity={"dryer_m2": 10, "dryer_kg_per_m2": 8}), NO_ROOM)
    assert clash.text.startswith("batch D2: the dryer holds 10 m2; on 10 Apr, D1 has 6 m2 up to ")
    assert clash.text.endswith(": 4 m2 fit, and D2 has 5")


def test_a_batch_over_the_weight_of_the_dryer_is_a_clash_of_the_dryer():
    there = held(
        pass_of(day=date(2027, 4, 19), fresh_kg={"top": 42}, batch="D1"),
        batch=[batch_of(day=date(2027, 4, 19))],
        capacity={"dryer_kg": 40, "dryer_d": 10},
    )
    (text,) = [clash.text for clash in there.plan.clashes if clash.kind.startswith("dryer 2027")]
    assert "42 of 40 kg" in text


def test_a_batch_that_is_not_out_holds_its_room_past_its_drying_time():
    passes = (
        pass_of(fresh_kg={"top": 30}, batch="D1"),
        pass_of("A1-2", date(2027, 4, 20), fresh_kg={"rest": 20}),
    )
    there = held(*passes, batch=[batch_of()], capacity={"dryer_kg": 40, "dryer_d": 5})
    proposal = record_pass(there, "A1", {"fresh weight of rest": "20", "batch": "D2"})
    assert any("10 kg fit, and D2 has 20" in text for text in proposal.questions), proposal.questions


def test_what_was_cut_against_the_rules_is_to_be_decided_for_thirty_days():
    def rows(today):
        there = held(pass_of(), profile=[RULES], today=today)
        return [row for row in there.plan.decisions if row.record == "A1-1"]

    (row,) = rows(FIRST + timedelta(days=30))
    assert (row.kind, row.about, row.where) == ("cut", "A1", "H1")
    assert row.what == "cut without a sample: pass A1-1"
    assert "no official sample of A1 was taken" in row.why
    assert rows(FIRST + timedelta(days=31)) == []


def test_the_chart_and_today_count_it():
    there = held(pass_of(), profile=[RULES])
    assert any(NO_SAMPLE in clash.kind for clash in there.plan.clashes_of("A1"))
    today = today_of(there.plan)
    assert any(row.record == "A1-1" for row in today.decisions)
    without = held(pass_of(), profile=[RULES], official=[taken(9)])
    assert today.clashes == today_of(without.plan).clashes + 1


LATER = FIRST + timedelta(days=4)


@pytest.mark.parametrize(
    ("first", "second", "told"),
    [
        ({}, {}, "A1-1 of Fri 9 Apr 2027 has all of the top of A1 already; give both their shares or plots"),
        ({}, {"part": "Top"}, "has all of the Top of A1 already"),
        ({}, {"part": "middle"}, ""),
        ({"part": ""}, {"part": ""}, ""),
        ({"part": "", "fresh_kg": {"top": 12}}, {"part": "top"}, "has all of the top of A1 already"),
        (
            {"part": "", "fresh_kg": {"top": 12, "middle": 4}},
            {"part": "middle"},
            "has all of the middle of A1",
        ),
        ({"part": "", "fresh_kg": {"top": 12}}, {"part": "bottom"}, ""),
        ({"part": "", "fresh_kg": {"top": 12}, "share": 0.5}, {"part": "top", "share": 0.5}, ""),
        ({"last": True}, {"part": "middle"}, "A1-1 of Fri 9 Apr 2027 is the last pass of A1 already"),
        ({"share": 0.7}, {"share": 0.3}, ""),
        ({"share": 0.7}, {"share": 0.5}, "with 120 % of top of A1, more is cut than there is; 30 % are left"),
        ({"plots": ["1", "2"]}, {"plots": ["3"]}, ""),
        ({"plots": ["1", "2"]}, {"plots": ["2", "3"]}, "plot 2 of the top of A1 is cut by A1-1"),
        ({"plots": ["1", "2"]}, {"plots": ["2", "3"], "part": "middle"}, ""),
    ],
)
def test_a_pass_of_what_is_cut_already_is_a_clash_and_is_asked_about(first, second, told):
    both = held(pass_of(**first), pass_of("A1-2", LATER, **second))
    assert [told in clash.text for clash in clashes(both, ALREADY)] == ([True] if told else [])
    typed = {"share": "share", "part": "part", "plots": "plots"}
    fields = {typed[key]: ",".join(v) if isinstance(v, list) else str(v) for key, v in second.items()}
    proposal = record_pass(
        held(pass_of(**first)), "A1", {"date": LATER.isoformat(), "part": "top", "why": "ripe"} | fields
    )
    assert any(told in text for text in proposal.questions) == bool(told)
    assert not proposal.new_clashes


def test_of_two_passes_of_one_part_the_earlier_one_is_not_told():
    (clash,) = clashes(held(pass_of(), pass_of("A1-2", LATER)), ALREADY)
    assert clash.recorded.id == "A1-2"


def drawn(*numbers, cohort="A1"):
    """Plots of a trial, all of one cohort."""
    trial = {"id": "K1", "design": "completely randomised", "factors": {"variety": ["amber"]}, "place": "H1"}
    plots = [
        {"id": f"K1-{n}", "trial": "K1", "number": n, "row": 1, "column": n - 100, "cohort": cohort}
        for n in numbers
    ]
    return {"trial": [trial], "plot": plots}


@pytest.mark.parametrize(
    ("plots", "told"),
    [
        (["101", "K1-102"], ""),
        (["101", "104"], "plot 104 is none of A1; of its trial it has 101, 102, 103"),
        (["101-103"], "plot 101-103 is none of A1; of its trial it has 101, 102, 103"),
        (["104", "7"], "plots 104, 7 are none of A1; of its trial it has 101, 102, 103"),
    ],
)
def test_plots_of_a_pass_that_its_cohort_does_not_have_are_told_and_asked_about(plots, told):
    trial = drawn(101, 102, 103)
    found = [clash.text for clash in clashes(held(pass_of(plots=plots), **trial), NO_PLOT)]
    assert [told in text for text in found] == ([True] if told else [])
    typed = {"part": "top", "why": "ripe", "date": FIRST.isoformat(), "plots": ",".join(plots)}
    questions = record_pass(held(**trial), "A1", typed).questions
    assert any(told in text for text in questions) == bool(told)


@pytest.mark.parametrize("trial", [{}, drawn(101, cohort="B1")])
def test_where_no_plot_is_drawn_for_the_cohort_any_name_of_a_plot_will_do(trial):
    assert clashes(held(pass_of(plots=["7"]), **trial), NO_PLOT) == []


def test_a_pass_of_a_trial_s_lot_that_names_a_plot_twice_by_its_number_and_its_id_is_told():
    second = pass_of("A1-2", LATER, plots=["K1-101"])
    there = held(pass_of(plots=["101"]), second, **drawn(101, 102))
    (clash,) = clashes(there, ALREADY)
    assert "plot K1-101 of the top of A1 is cut by A1-1" in clash.text
