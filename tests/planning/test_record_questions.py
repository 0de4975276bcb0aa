"""What is asked before a change of a record is saved, whichever way it is made: its own command, set, remove or a form."""

from datetime import date, timedelta

import pytest

from calendar_tui.planning.changes.bags import Cutting, record_bags, set_bags
from calendar_tui.planning.changes.batches import read_batch, set_batch
from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.new_bags import NewBag
from calendar_tui.planning.changes.passes import record_pass
from calendar_tui.planning.changes.record_change import add_record, set_fields
from calendar_tui.planning.changes.removal import remove_records
from calendar_tui.planning.changes.trip_cut import bags_of_tasks, cut_bags_of_tasks
from calendar_tui.planning.plan import make_plan
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.units_in_use import shown_in
from tests.planning import test_trip_cut
from tests.planning.farm import season_of
from tests.planning.sampled_farm import sampled_data
from tests.planning.test_passes import FIRST, RULES, TODAY, held, pass_of

SPRAY = {
    "id": "s1",
    "date": TODAY,
    "place": "H1",
    "product": "soap",
    "start": "06:00",
    "end": "07:00",
    "reentry": "24 h",
    "preharvest": "7 d",
}
FAILED = {
    "id": "A1-o1",
    "date": FIRST,
    "lot": "A1",
    "state": "taken",
    "who": "agent North",
    "outcome": "failed",
    "total": "0.45",
    "uncertainty": "0.02",
}


def asked(proposal):
    """The questions; each is a doubt too, so that it is shown wherever doubts are."""
    assert set(proposal.questions) <= set(proposal.doubts)
    return "; ".join(proposal.questions)


def sprayed(**more):
    return held(spray=[SPRAY | more])


# --- sprays


def test_a_re_entry_that_is_set_shorter_is_asked_about():
    text = asked(set_fields(sprayed(), "spray", ("s1",), {"re-entry": "13 h"}))
    assert "H1 is closed from Tue 20 Apr 06:00 until Wed 21 Apr 07:00 after soap" in text
    assert "with this it would be open from Tue 20 Apr 20:00" in text


@pytest.mark.parametrize("typed", [{"place": "F1"}, {"date": "2027-04-01"}])
def test_a_closure_that_a_changed_spray_ends_is_asked_about(typed):
    assert "with this it would be open" in asked(set_fields(sprayed(), "spray", ("s1",), typed))


@pytest.mark.parametrize("clock", ["24", "12"])
def test_a_pre_harvest_interval_that_is_set_shorter_is_asked_about(clock):
    with shown_in(clock=clock):
        text = asked(set_fields(sprayed(), "spray", ("s1",), {"pre-harvest": "2 d"}))
    assert "s1 holds the cut back until Tue 27 Apr; with this until Thu 22 Apr" in text


@pytest.mark.parametrize("typed", [{"re-entry": "48 h"}, {"pre-harvest": "9 d"}, {"note": "calm, dry"}])
def test_a_spray_that_closes_longer_or_as_long_is_no_question(typed):
    assert asked(set_fields(sprayed(), "spray", ("s1",), typed)) == ""


def test_a_spray_taken_out_while_its_pre_harvest_interval_runs_is_asked_about():
    before = sprayed(date=TODAY - timedelta(days=3))
    text = asked(remove_records(before, "spray", [("s1",)]))
    assert "s1 holds the cut back until Sat 24 Apr" in text


def test_a_spray_of_a_day_to_come_is_asked_about_by_set_too():
    text = asked(set_fields(sprayed(), "spray", ("s1",), {"date": "2027-05-20"}))
    assert "a spray is recorded once it was put on" in text


# --- official samples


def failed():
    return held(profile=[RULES | {"uncertainty": "taken off"}], official=[FAILED])


def test_a_failed_sample_that_is_set_to_passed_is_asked_about():
    text = asked(set_fields(failed(), "official", ("A1-o1",), {"outcome": "passed"}))
    assert "failed already, and this makes it passed" in text
    assert "passed, though its total of 0.45 % is over by the rules' arithmetic" in text


@pytest.mark.parametrize(
    "typed", [{"outcome": "none"}, {"state": "booked", "outcome": "none"}, {"lot": "B1"}]
)
def test_a_failure_that_set_takes_off_its_lot_is_asked_about(typed):
    assert "A1-o1 of A1 of Fri 9 Apr 2027 failed" in asked(
        set_fields(failed(), "official", ("A1-o1",), typed)
    )


def test_a_failed_sample_that_is_taken_out_is_asked_about():
    assert "A1-o1 of A1 of Fri 9 Apr 2027 failed" in asked(remove_records(failed(), "official", [("A1-o1",)]))


def test_a_note_on_a_failed_sample_is_no_question():
    assert asked(set_fields(failed(), "official", ("A1-o1",), {"note": "by post"})) == ""


def test_an_official_sample_added_with_a_verdict_against_its_figure_is_asked_about():
    typed = {"lot": "A1", "date": "2027-04-18", "state": "taken", "who": "agent North", "outcome": "passed"}
    typed |= {"total": "0.45", "uncertainty": "0.02"}
    text = asked(add_record(held(profile=[RULES | {"uncertainty": "taken off"}]), "official", "o9", typed))
    assert "passed, though its total of 0.45 % is over" in text


# --- bags cut in a closed place


def test_bags_ticked_with_their_work_in_a_closed_place_are_asked_about():
    there = test_trip_cut.held_of(spray=[SPRAY | {"date": test_trip_cut.TODAY}])
    task = test_trip_cut.task_of(there)
    bags = bags_of_tasks(there, [task])
    cutting = Cutting(test_trip_cut.TODAY)
    assert "nobody enters H1 to cut bags of A1: it is closed after a spray until 07:00" in asked(
        cut_bags_of_tasks(there, [task], bags, bags, cutting)
    )
    outside = [one for one in bags if one.bag.cohort == "B1"]
    assert asked(cut_bags_of_tasks(there, [task], bags, outside, cutting)) == ""


def test_bags_cut_in_a_closed_place_are_asked_about_and_those_to_come_are_not():
    there = sprayed()
    bag = [NewBag("A1", "top")]
    assert "nobody enters H1 to cut bags of A1: it is closed after a spray" in asked(
        record_bags(there, bag, Cutting(TODAY))[0]
    )
    assert asked(record_bags(there, bag, Cutting(TODAY + timedelta(days=1)))[0]) == ""


def test_a_bag_with_its_id_ahead_that_is_cut_in_a_closed_place_is_asked_about():
    ahead = {"id": "26A1TA", "date": TODAY, "cohort": "A1", "position": "top", "state": "planned"}
    data = sampled_data(sample=[ahead], spray=[SPRAY])
    there = HeldSeason(make_plan(season_of(data), TODAY), data)
    assert "nobody enters H1 to cut bags of A1: it is closed after a spray" in asked(
        set_bags(there, ["26A1TA"], "taken")
    )
    assert asked(set_bags(there, ["26A1TA"], "lost")) == ""


# --- weights and water


def planted(*passes, **more):
    data = sampled_data()["cohort"]
    data[0]["plants"] = 65
    return held(*passes, cohort=data, **more)


def test_a_pass_typed_in_grams_is_asked_about():
    text = asked(
        record_pass(planted(), "A1", {"date": "2027-04-18", "fresh weight of top": "18500", "why": "ripe"})
    )
    assert "18500 kg of 65 plants is 284.6 kg a plant" in text
    assert "common practice, no source" in text
    assert "kg or g?" in text
    assert asked(record_pass(planted(), "A1", {"date": "2027-04-18", "fresh weight of top": "18.5"})) == ""


def test_the_last_pass_typed_in_grams_is_asked_about_as_any():
    typed = {"date": "2027-04-18", "fresh weight of top": "18500", "last": "yes"}
    assert "kg or g?" in asked(record_pass(planted(), "A1", typed))


def test_a_weight_of_a_pass_that_is_set_is_asked_about():
    there = planted(pass_of())
    assert "kg or g?" in asked(set_fields(there, "pass", ("A1-1",), {"fresh weight of top": "18500"}))
    assert asked(set_fields(there, "pass", ("A1-1",), {"why": "weather"})) == ""


def drying(*readings, **batch):
    return held(
        pass_of(fresh_kg={"top": 28.1}, batch="D1"),
        batch=[{"id": "D1", "date": FIRST, **batch}],
        reading=list(readings),
    )


def test_a_dry_weight_near_the_fresh_one_is_asked_about():
    text = asked(set_batch(drying(), "D1", {"out": "2027-04-19", "dry weight": "27"}))
    assert "27 kg dry of 28.1 kg fresh" in text
    assert asked(set_batch(drying(), "D1", {"out": "2027-04-19", "dry weight": "7"})) == ""


def test_a_batch_out_wet_is_asked_about():
    assert "50 % water" in asked(set_batch(drying(), "D1", {"out": "2027-04-19", "moisture": "0.5"}))
    assert asked(set_batch(drying(), "D1", {"out": "2027-04-19", "moisture": "0.1"})) == ""


def test_a_reading_that_rises_is_asked_about():
    there = drying({"id": "D1-1", "date": date(2027, 4, 12), "batch": "D1", "moisture": 0.3})
    text = asked(read_batch(there, "D1", {"moisture": "0.9"}))
    assert "90 % water, after 30 % on 12 Apr" in text
    assert asked(read_batch(there, "D1", {"moisture": "0.25"})) == ""


def test_a_reading_of_a_batch_that_is_out_is_refused():
    there = drying(out=date(2027, 4, 18))
    with pytest.raises(Refusal, match="D1 is out since Sun 18 Apr 2027"):
        read_batch(there, "D1", {"moisture": "0.2"})
    assert read_batch(there, "D1", {"date": "2027-04-17", "moisture": "0.2"}).change.edits
