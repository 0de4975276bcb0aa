"""When a batch is to come out of the dryer: one last day in the list of decisions and in the dryer's own."""

from __future__ import annotations

import pytest

from calendar_tui.handing_on.words.drying_text import batch_text
from calendar_tui.planning.deciding.decision import BATCH
from calendar_tui.planning.drying.batches import dryings
from calendar_tui.season.wording import day_text
from tests.planning.sampled_farm import sampled_data
from tests.planning.test_deciding import day, plan, rows

BATCHED = {
    "batch": [{"id": "D1", "date": day(-5)}],
    "pass": [{"id": "p1", "date": day(-5), "lot": "A1", "batch": "D1"}],
}


def test_a_batch_comes_out_once_it_is_dry_and_at_the_latest_when_its_variety_is():
    (row,) = rows(BATCH, today=day(4), **BATCHED)
    assert row.by == day(9)
    assert row.why == "in since 11 Mar, drying takes 10 to 14 d"
    dry = [{"id": "m1", "date": day(3), "batch": "D1", "moisture": 0.1}]
    (out,) = rows(BATCH, today=day(4), reading=dry, **BATCHED)
    assert (out.by, out.why) == (day(3), "10 % water on 19 Mar, 10 % wanted")
    assert rows(BATCH, today=day(4), **(BATCHED | {"batch": [BATCHED["batch"][0] | {"out": day(3)}]})) == []


@pytest.mark.parametrize(
    "more",
    [
        {},
        {"capacity": {"dryer_d": 6}},
        {"reading": [{"id": "m1", "date": day(3), "batch": "D1", "moisture": 0.08}]},
        {"reading": [{"id": "m1", "date": day(3), "batch": "D1", "moisture": 0.3}]},
    ],
)
def test_the_last_day_of_a_batch_is_the_same_in_decide_and_in_the_dryer(more):
    there = plan(day(4), **(BATCHED | more))
    (row,) = [row for row in there.decisions if row.kind == BATCH]
    (drying,) = dryings(there.season)
    assert (row.by, row.why) == (drying.latest, drying.why)
    told = batch_text(there.season, drying, day(4))
    shown = "dry enough since" if drying.dry_since else day_text(drying.latest)
    assert shown in told


def test_a_batch_that_was_dry_and_took_water_again_is_not_dry():
    damp = [
        {"id": "m1", "date": day(1), "batch": "D1", "moisture": 0.1},
        {"id": "m2", "date": day(2), "batch": "D1", "moisture": 0.12},
    ]
    (row,) = rows(BATCH, today=day(4), reading=damp, **BATCHED)
    assert (row.by, row.why) == (
        day(9),
        "12 % water on 18 Mar, 10 % wanted; in since 11 Mar, drying takes 10 to 14 d",
    )


def test_a_batch_of_two_varieties_is_in_for_as_long_as_the_slower_dries():
    data = sampled_data()
    slow = data["variety"][0] | {"id": "slow", "drying_d": [8, 12, 20]}
    cohorts = [data["cohort"][0], data["cohort"][1] | {"variety": "slow"}]
    both = [*BATCHED["pass"], {"id": "p2", "date": day(-5), "lot": "B1", "batch": "D1"}]
    more = BATCHED | {"pass": both, "variety": [*data["variety"], slow], "cohort": cohorts}
    (row,) = rows(BATCH, today=day(12), **more)
    assert row.by == day(15)
