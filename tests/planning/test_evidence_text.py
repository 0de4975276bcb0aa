"""The sentences that tell what records say."""

from copy import deepcopy
from datetime import date

import pytest

from calendar_tui.planning.changes.slips import record_date
from calendar_tui.planning.evidence.words import (
    evidence_brief,
    evidence_note,
    evidence_text,
    given_text,
    record_evidence,
)
from calendar_tui.planning.plan import make_plan
from calendar_tui.season.records import Span
from tests.planning.ambers import LATER, days, likely, planned, three_ambers
from tests.planning.farm import TODAY, farm_data, season_of
from tests.planning.typed_changes import typed_change


def test_a_cohort_that_has_not_got_there_is_told_of_itself_alone():
    induced = likely("induced")
    plan = planned(A1={"induced": induced, "flowering": induced + days(19)})
    text = evidence_note(plan.evidence_of("A2")[0], "A2")
    meaning = next(m for m in plan.evidence[0].others if m.cohort == "A2")
    assert meaning.old == plan.timelines["A2"].likely("flowering")
    assert f"If A2 does the same: flowering {meaning.new.day} Feb rather than {meaning.old.day} Feb" in text
    assert "A3" not in text
    assert "induced_to_flowering_d" not in text
    assert "calendar-tui" not in text


def test_a_date_outside_the_range_is_told_as_that():
    induced = likely("induced")
    plan = planned(A1={"induced": induced, "flowering": induced + days(21)})
    assert not plan.evidence[0].seen[0].within
    assert "12 Feb: outside the range)" in evidence_text(plan.evidence[0])


def test_where_the_stage_before_is_not_recorded_that_is_said():
    at = likely("flowering")
    latest = planned().timelines["A1"].stages["flowering"].latest
    near, far = (planned(A1={"flowering": day}).evidence[0] for day in (at + days(5), latest + days(3)))
    for found in (near, far):
        assert "Induced of A1 is not recorded, so the time before it may be what differs" in evidence_text(
            found
        )
    assert near.firm
    assert not far.firm, "too far off to lay it on one span of two"
    assert "take it over" not in evidence_note(far, "A1")


def test_a_flowering_that_was_not_to_be_is_told_with_its_reason():
    data = farm_data()
    data["variety"][1] |= {"critical_day": "09:00", "full_response_day": "08:30"}
    data["cohort"][1]["recorded"] = {"flowering": date(2027, 3, 1)}
    (found,) = make_plan(season_of(data), LATER).evidence
    assert "F1 (plain) flowered on 1 Mar, against what was worked out: does not flower by" in evidence_text(
        found
    )
    assert found.changed is None


@pytest.mark.parametrize(("by", "apart"), [(1, False), (-1, False), (2, True), (-2, True)])
def test_a_day_apart_lies_in_the_looking_and_is_not_taken_over(by, apart):
    induced = likely("induced")
    (found,) = planned(A1={"induced": induced, "flowering": induced + days(14 + by)}).evidence
    assert f"{abs(by)} d {'later' if by > 0 else 'earlier'}" in evidence_note(found)
    assert ("calendar-tui variety" in evidence_note(found)) is apart
    assert bool(evidence_brief(found, "A1")) is bool(evidence_brief(found, "A2")) is apart


def test_a_list_of_many_cohorts_has_a_line_of_it_for_each():
    induced = likely("induced")
    (found,) = planned(A1={"induced": induced, "flowering": induced + days(19)}).evidence
    line = evidence_brief(found, "A1")
    assert line.endswith("Induced to flowering: 19 d against 14 d (induced to flowering).")
    (meaning,) = (m for m in found.others if m.cohort == "A2")
    line = evidence_brief(found, "A2")
    moved = f"flowering {meaning.new.day} Feb rather than {meaning.old.day} Feb"
    assert line.startswith(f"If it does as A1 did: {moved}, harvest ")


def test_a_line_is_left_out_where_nothing_moves_for_a_cohort():
    (found,) = planned(A1={"trigger": likely("trigger") + days(5)}).evidence
    still = [m.cohort for m in found.others if (m.new, m.new_harvest) == (m.old, m.old_harvest)]
    assert still
    assert [evidence_brief(found, name) for name in still] == [""] * len(still)


def test_several_records_give_their_range_and_the_median():
    at = {name: likely("flowering", name) for name in ("A1", "A2", "A4")}
    recorded = {n: {"flowering": at[n] + days(d)} for n, d in (("A1", 5), ("A2", 0), ("A4", 2))}
    (found,) = planned(**recorded).evidence
    assert found.changed.induced_to_flowering_d == Span(11, 16, 23)
    text = evidence_text(found)
    assert f"A2 (amber) flowered as projected, {at['A2'].day} Feb." in text
    assert "Induced to flowering: 14 to 19 d in 3 cohorts, median 16 d, against 14 d" in text
    assert "By the median, A3: flowering " in text
    assert "One cohort is one record" not in evidence_note(found)


@pytest.mark.parametrize("count", [2, 9])
def test_many_cohorts_are_counted_in_a_sentence_and_told_one_by_one_of_themselves(count):
    data = farm_data()
    for n in range(count):
        data["cohort"].append(deepcopy(data["cohort"][3]) | {"id": f"E{n}"})
    at = make_plan(season_of(data), LATER).timelines["D1"].likely("flowering")
    data["cohort"][3]["recorded"] = {"flowering": at + days(3)}
    (found,) = make_plan(season_of(data), LATER).evidence
    assert len(found.others) == count
    assert (f"and {count - 4} more do the same" in evidence_text(found)) is (count > 4)
    assert f"If E{count - 1} does the same: flowering" in evidence_text(found, f"E{count - 1}")


def test_a_proposal_to_record_evidence_what_it_says_about_the_others():
    plan = make_plan(three_ambers(), LATER)
    cohort = plan.season.cohorts["A1"]
    day = plan.timelines["A1"].likely("flowering") + days(5)
    proposal = record_date(plan, cohort, "flowering", day)
    assert proposal.evidence[0].startswith(
        "says about A2, A3, A4: A1 (amber) flowered 5 d later than projected"
    )
    assert proposal.evidence == record_evidence(proposal.plan.evidence, "A1", "flowering")
    assert {m.cohort for m in proposal.stages} == {"A1"}, "no other cohort's date moves"


def test_a_decided_stage_says_nothing():
    plan = make_plan(three_ambers(), TODAY)
    assert record_date(plan, plan.season.cohorts["A1"], "transplant", date(2026, 12, 5)).evidence == ()


def test_a_late_flowering_tells_the_days_the_span_the_figure_and_the_others():
    induced = likely("induced")
    plan = planned(A1={"induced": induced, "flowering": induced + days(19)})
    (found,) = plan.evidence
    (seen,) = found.seen
    assert (seen.cohort, seen.days, seen.within, seen.sure) == ("A1", 5, True, True)
    assert (found.key, seen.figure.value) == ("induced_to_flowering_d", 19)
    for meaning in found.others:
        assert meaning.new - meaning.old == days(5)
        assert meaning.new_harvest - meaning.old_harvest == days(5)
    text = evidence_text(found)
    assert text.startswith(
        "A1 (amber) flowered 5 d later than projected (11 Feb, projected 6 Feb, 2 Feb to 12 Feb: within the range). "
        "Induced to flowering: 19 d against 14 d (induced to flowering). If A2, A3, A4 do the same: A2 flowering "
    )
    assert text.endswith("Nothing is changed.")
    assert evidence_note(found, "A1").splitlines() == [
        text,
        "One cohort is one record. To fit all figures to all records of amber:",
        "calendar-tui variety amber --fit",
    ]


def test_a_trigger_under_lamps_is_laid_on_no_figure():
    off = likely("lights_off")
    (found,) = planned(A1={"trigger": off - days(5)}).evidence
    assert (found.key, found.changed, found.others) == ("", None, ())
    text = evidence_text(found)
    assert "was triggered 5 d earlier than projected" in text
    assert "No one figure of the variety gives that date: look first at the light and lamps it had." in text
    assert "Nothing certain follows for A2, A3, A4. Nothing is changed." in text


@pytest.mark.parametrize(
    ("critical", "typed"),
    [("13:52", "13:52"), (["13:28", "14:06", "14:44"], "13:28,14:06,14:44")],
)
def test_a_critical_day_that_is_to_be_taken_over_is_given_as_the_command_takes_it(critical, typed):
    data = farm_data()
    data["variety"][0] |= {"critical_day": critical, "full_response_day": "12:30"}
    plan = make_plan(season_of(data), TODAY)
    variety = plan.season.varieties["amber"]
    assert given_text(variety, "critical_day") == typed
    change = typed_change(data, "variety", "amber", {"critical day": typed})
    assert change.plan.season.varieties["amber"] == variety


def test_a_figure_of_a_type_is_named_as_that_beside_what_a_record_gives():
    data = farm_data()
    data["variety"][1]["type"] = "oil-zhang"
    data["cohort"][1]["recorded"] = {"seeding": date(2026, 11, 1), "induced": date(2027, 2, 20)}
    (found,) = make_plan(season_of(data), TODAY).evidence
    assert "against 8 (inductive days of the type oil-zhang)" in evidence_text(found)
