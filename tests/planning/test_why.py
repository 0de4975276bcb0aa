"""The derivation of a date, day by day."""

from datetime import date

import pytest

from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.why.chain import chain, counted_days
from tests.planning.farm import TODAY, farm


def test_a_date_rests_on_stages_first_things_first():
    timeline = make_plan(farm(), TODAY).timelines["A1"]
    assert [s.stage for s in chain(timeline, "harvest")] == [
        "seeding",
        "emergence",
        "transplant",
        "lights_off",
        "trigger",
        "induced",
        "flowering",
        "harvest",
    ]


def test_a_recorded_date_rests_on_nothing():
    season = farm(recorded={"seeding": date(2026, 11, 1), "flowering": date(2027, 2, 20)})
    timeline = make_plan(season, date(2027, 3, 1)).timelines["A1"]
    assert [s.stage for s in chain(timeline, "harvest")] == ["flowering", "harvest"]


def test_the_count_runs_from_zero_at_the_trigger_to_the_inductive_days():
    plan = make_plan(farm(), TODAY)
    days = counted_days(plan, "A1")
    trigger, induced = (plan.timelines["A1"].likely(s) for s in ("trigger", "induced"))
    before = [d for d in days if d.day < trigger]
    run = [d for d in days if d.day >= trigger]
    assert len(before) == 5
    assert all(d.count == 0 and d.lit_for == ("A1",) and d.felt_h == 16.0 for d in before)
    assert run[-1].day == induced
    assert run[-1].count == pytest.approx(sum(d.adds for d in run))
    assert run[-2].count < 8 <= run[-1].count


def test_day_neutral_plants_count_no_days():
    assert counted_days(make_plan(farm(), TODAY), "D1") == ()
