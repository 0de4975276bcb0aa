"""What the dryer is filled with: what dries, what is left to cut, and by which weights."""

from datetime import date, timedelta

import pytest

from calendar_tui.planning.capacity.over_full import not_counted
from calendar_tui.planning.capacity.uses import dryer_uses
from calendar_tui.planning.needs.by_week import week_uses
from calendar_tui.planning.needs.quantities import amounts_of, basis_of
from tests.planning.test_drying import WEIGHED, batch_of, dried
from tests.planning.test_passes import FIRST, held, pass_of


def test_the_dryer_is_filled_by_the_batches_and_by_what_is_left_to_cut():
    variety = [{"id": "amber", "response": "short-day", "fresh_kg_per_plant": 0.5, "drying_d": [8, 10, 12]}]
    there = held(pass_of(fresh_kg=WEIGHED, batch="D1"), batch=[batch_of()], variety=variety)
    harvest = there.plan.timelines["A1"].likely("harvest")
    uses = [(u.first, u.end, u.amount) for u in dryer_uses(there.plan.season, there.plan.timelines["A1"])]
    # 10 d of drying and 1 d of cleaning; 120 plants of 0.5 kg less the 42 kg that are cut.
    assert uses == [
        (FIRST, FIRST + timedelta(days=11), 42.0),
        (harvest, harvest + timedelta(days=11), pytest.approx(18.0)),
    ]


def test_a_cohort_without_passes_fills_the_dryer_as_before():
    variety = [{"id": "amber", "response": "short-day", "fresh_kg_per_plant": 0.5, "drying_d": [8, 10, 12]}]
    there = held(variety=variety)
    (use,) = dryer_uses(there.plan.season, there.plan.timelines["A1"])
    assert use.amount == 60.0


def test_a_batch_that_is_not_out_by_its_time_fills_the_dryer_until_it_is():
    there = held(pass_of(fresh_kg=WEIGHED, batch="D1"), batch=[batch_of()])
    late = FIRST + timedelta(days=20)
    (use,) = dryer_uses(there.plan.season, there.plan.timelines["A1"], late)
    # 10 d of drying are over; it is in there today, and the dryer is cleaned for a day once it is out.
    assert (use.first, use.end, use.amount) == (FIRST, late + timedelta(days=1), 42.0)


def test_the_load_of_a_week_counts_a_batch_that_is_not_out():
    passes = pass_of(fresh_kg=WEIGHED, batch="D1")
    there = held(passes, batch=[batch_of()], capacity={"dryer_kg": 60, "dryer_d": 5}, today=date(2027, 4, 28))
    weeks = {use.monday: use.amount for use in week_uses(there.plan, there.data, ("dryer",))}
    assert weeks == {date(2027, 4, day): 42.0 for day in (5, 12, 19, 26)}


def test_the_dryer_counts_a_crop_by_what_was_weighed_of_its_variety_where_none_is_set():
    both = [{**one, "variety": "amber", "plants": 120} for one in dried().data["cohort"]]
    there = held(*dried().data["pass"], batch=dried().data["batch"], cohort=both)
    (use,) = dryer_uses(there.plan.season, there.plan.timelines["B1"])
    assert use.amount == pytest.approx(120 * 0.42)
    assert not any("not set for amber" in text for text in not_counted_of(there))
    fresh = amounts_of(basis_of(there.plan, there.data), there.plan.timelines["B1"]).find("fresh crop")
    assert fresh.how == "120 x 0.42 kg, as weighed = 50.4 kg"


def not_counted_of(there):
    return list(not_counted(there.plan.season, there.plan.timelines, "dryer"))
