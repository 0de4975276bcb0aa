"""The room of the dryer: what fits, and what a batch over it is told."""

from datetime import timedelta

import pytest

from calendar_tui.planning.changes.batches import set_batch
from calendar_tui.planning.changes.passes import record_pass
from calendar_tui.planning.cutting.dryer_clashes import NO_ROOM
from calendar_tui.planning.drying.room import over_room, room_text
from tests.planning.sampled_farm import sampled_data
from tests.planning.test_drying import WEIGHED, batch_of
from tests.planning.test_passes import FIRST, held, pass_of


@pytest.mark.parametrize(("holds", "fits"), [(60, ""), (50.4, ""), (50, "8 kg fit, and D2 has 8.4")])
def test_a_batch_over_the_room_of_the_dryer_is_told_with_what_fits(holds, fits):
    passes = (
        pass_of(fresh_kg=WEIGHED, batch="D1"),
        pass_of("A1-2", FIRST + timedelta(days=3), fresh_kg={"bottom": 8.4}, batch="D2"),
    )
    batches = [batch_of(), batch_of("D2", FIRST + timedelta(days=3))]
    there = held(*passes, batch=batches, capacity={"dryer_kg": holds, "dryer_d": 10})
    told = over_room(there.plan.season, "D2", FIRST)
    assert (fits in told) if fits else told == ""


def test_the_room_is_free_again_once_the_batch_is_out_and_the_dryer_clean():
    passes = (
        pass_of(fresh_kg=WEIGHED, batch="D1"),
        pass_of("A1-2", FIRST + timedelta(days=5), fresh_kg={"b": 40}, batch="D2"),
    )
    for out, free in ((4, True), (5, False)):
        batches = [batch_of(out=FIRST + timedelta(days=out)), batch_of("D2", FIRST + timedelta(days=5))]
        there = held(*passes, batch=batches, capacity={"dryer_kg": 50, "dryer_d": 10, "dryer_clean_d": 1})
        assert (over_room(there.plan.season, "D2", FIRST) == "") == free


def test_a_batch_that_is_in_before_the_next_one_fits_where_it_is_out_and_clean_by_then():
    passes = (
        pass_of(day=FIRST + timedelta(days=5), fresh_kg=WEIGHED, batch="D1"),
        pass_of("A1-2", FIRST, fresh_kg={"b": 40}, batch="D2"),
    )
    for out, fits in ((4, True), (5, False)):
        first = batch_of("D2", FIRST, out=FIRST + timedelta(days=out))
        batches = [batch_of(day=FIRST + timedelta(days=5)), first]
        there = held(*passes, batch=batches, capacity={"dryer_kg": 50, "dryer_d": 10, "dryer_clean_d": 1})
        assert (over_room(there.plan.season, "D2", FIRST) == "") == fits


def test_three_weights_that_fill_the_dryer_to_the_last_hundred_grams_fit():
    """0.1 + 0.2 is more than 0.3 in binary."""
    passes = [pass_of(f"A1-{n}", fresh_kg={"b": kg}, batch=f"D{n}") for n, kg in enumerate((0.1, 0.2))]
    there = held(*passes, batch=[batch_of("D0"), batch_of("D1")], capacity={"dryer_kg": 0.3, "dryer_d": 10})
    assert over_room(there.plan.season, "D1", FIRST) == ""


def test_a_batch_over_the_area_of_the_dryer_is_told():
    there = held(
        pass_of(fresh_kg=WEIGHED, batch="D1"),
        batch=[batch_of(area_m2=12)],
        capacity={"dryer_m2": 10, "dryer_kg_per_m2": 8},
    )
    assert "10 m2 fit, and D1 has 12" in over_room(there.plan.season, "D1", FIRST)
    assert "12 of 10 m2 taken, 0 fit" in room_text(there.plan.season, FIRST, FIRST)


@pytest.mark.parametrize(("beside", "fits"), [(22, "18 trays fit"), (39, "1 tray fits"), (20, "")])
def test_a_batch_on_more_trays_than_the_dryer_has_is_told_with_what_fits(beside, fits):
    """By weight both fit: the dryer holds 40 trays of 2 kg."""
    second = FIRST + timedelta(days=3)
    passes = (pass_of(fresh_kg=WEIGHED, batch="D1"), pass_of("A1-2", second, fresh_kg={"b": 8}, batch="D2"))
    there = held(
        *passes,
        batch=[batch_of(trays=beside), batch_of("D2", second)],
        capacity={"dryer_trays": 40, "dryer_kg_per_tray": 2, "dryer_d": 10},
        today=second,
    )
    proposal = set_batch(there, "D2", {"trays": "20"})
    asked = f"the dryer holds 40 trays; on 12 Apr, D1 has {beside} trays up to 20 Apr: {fits}, and D2 has 20"
    assert proposal.questions == ((asked,) if fits else ())
    assert proposal.new_clashes == ()
    season = proposal.plan.season
    assert f"{beside + 20} of 40 trays taken" in room_text(season, second, second)
    clashes = [one.text for one in proposal.plan.clashes if one.kind.startswith(NO_ROOM)]
    assert clashes == ([f"batch D2: {asked}"] if fits else [])


def test_a_batch_beside_whose_trays_were_not_counted_is_told():
    second = FIRST + timedelta(days=3)
    there = held(
        pass_of(fresh_kg=WEIGHED, batch="D1"),
        pass_of("A1-2", second, fresh_kg={"b": 8}, batch="D2"),
        batch=[batch_of(), batch_of("D2", second)],
        capacity={"dryer_trays": 40, "dryer_kg_per_tray": 2, "dryer_d": 10},
        today=second,
    )
    (asked,) = set_batch(there, "D2", {"trays": "41"}).questions
    assert (
        "on 12 Apr, D1, whose number of trays is not set, is in up to 20 Apr: 40 trays fit, and D2 has 41"
        in asked
    )


def test_a_pass_into_a_full_dryer_is_asked_about():
    there = held(capacity={"dryer_kg": 40, "dryer_d": 10})
    questions = record_pass(there, "A1", {"fresh weight of top": "42", "batch": "D1"}).questions
    assert any("40 kg fit, and D1 has 42" in q for q in questions), questions


def test_a_harvest_to_come_that_will_not_fit_is_told_beside_the_question_of_the_batch():
    data = sampled_data()
    a1, b1 = data["cohort"]
    figures = next(one for one in data["variety"] if one["id"] == "amber")
    heavy = figures | {"id": "heavy", "fresh_kg_per_plant": 0.25}  # B1: 30 kg on 10 Apr
    there = held(
        capacity={"dryer_kg": 40, "dryer_d": 10},
        variety=[*data["variety"], heavy],
        cohort=[a1, b1 | {"variety": "heavy"}],
        today=FIRST,
    )
    alone, over = ({"fresh weight of top": kg, "batch": "D1"} for kg in ("20", "42"))
    assert not record_pass(there, "A1", alone).questions
    proposal = record_pass(there, "A1", over)
    assert "on 9 Apr: 40 kg fit, and D1 has 42" in proposal.questions[-1]
    (clash,) = [text for text in proposal.new_clashes if "in the dryer" in text]
    assert "too much on 10 Apr: A1 42 + B1 30 = 72 of 40 kg" in clash


def test_a_clash_of_another_kind_is_told_beside_the_question_of_the_batch():
    chore = {"id": "log", "what": "Write the log", "stage": "harvest", "needed_for": "harvest"}
    task = {"id": "log-1", "date": FIRST, "what": "Write the log", "chore": "log", "cohort": "A1", "n": 1}
    there = held(capacity={"dryer_kg": 40, "dryer_d": 10}, chore=[chore], task=[task], today=FIRST)
    proposal = record_pass(there, "A1", {"fresh weight of top": "42", "batch": "D1", "last": "yes"})
    assert any("40 kg fit, and D1 has 42" in text for text in proposal.questions)
    (clash,) = proposal.new_clashes
    assert clash.startswith("A1 harvest must not come before: Write the log.")
