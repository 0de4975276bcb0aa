"""The days of official samples where other rules begin: each day goes by those that hold on it."""

from datetime import date, timedelta

import pytest

from calendar_tui.handing_on.tables.official_rows import officials_data
from calendar_tui.handing_on.words.official_text import officials_text
from calendar_tui.planning.cutting.official_state import holds_until
from calendar_tui.planning.deciding.decision import OFFICIAL
from calendar_tui.planning.plan import make_plan
from calendar_tui.season.lots import lot_named
from tests.planning.cut_farm import TODAY, US, cut, cut_data, official
from tests.planning.farm import season_of

SAMPLED, BEGINS = date(2027, 3, 20), date(2027, 4, 15)
DAY = timedelta(days=1)


def plan_of(old, new, starts=BEGINS, today=TODAY, **more):
    """old, new: what the rules before and from the day `starts` on have in place of those of the farm; None for no rules before."""
    profiles = [] if old is None else [dict(US) | {"id": "old", "name": "old rules"} | old]
    profiles += [dict(US) | {"id": "new", "name": "new rules", "starts": starts} | new]
    kept = [
        {key: value for key, value in one.items() if value is not None and value != ""} for one in profiles
    ]
    return make_plan(season_of(cut_data() | {"profile": kept} | more), today)


def within(before, after, **more):
    return plan_of({"harvest_within_d": before}, {"harvest_within_d": after}, **more)


TAKEN = {"official": [official(SAMPLED, outcome="passed")]}


@pytest.mark.parametrize(
    ("before", "after", "until"),
    [
        (30, 28, date(2027, 4, 17)),  # SAMPLED + 28 d, under the new rules
        (30, 10, BEGINS - DAY),  # under the new it ran out before they began
        (10, 60, date(2027, 3, 30)),  # ran out under the old
        (30, None, None),  # the new ones set no days
        (None, 28, date(2027, 4, 17)),  # and the old ones none
    ],
)
def test_a_sample_holds_by_the_rules_of_the_day_of_the_cut(before, after, until):
    plan = within(before, after)
    held = holds_until(plan.season, lot_named(plan.season, "A1"), SAMPLED)
    assert (None if held is None else held.day) == until


def test_no_longer_window_is_won_by_rules_that_begin_after_it_has_run_out():
    window = cut(within(10, 60, **TAKEN)).window
    assert window.earliest is None
    assert window.waits_for[0].startswith(
        "another official sample: that of Sat 20 Mar 2027 held until Tue 30 Mar"
    )


def test_the_window_to_cut_and_its_rule_name_the_rules_that_end_it():
    window = cut(within(30, 28, **TAKEN)).window
    assert (window.latest.day, window.latest.rule) == (
        date(2027, 4, 17),
        "official sample taken 20 Mar 2027 + 28 d, by other rules (new) from 15 Apr 2027 on",
    )
    ended = cut(within(30, 10, **TAKEN)).window
    assert ended.latest.day == BEGINS - DAY
    assert ended.latest.rule.endswith("+ 10 d, by other rules (new) from 15 Apr 2027 on")


def test_the_text_and_data_have_the_same_last_day():
    plan = within(30, 28, **TAKEN)
    lots = [lot_named(plan.season, "A1")]
    assert "valid until Sat 17 Apr 2027" in " ".join(officials_text(plan, lots, None))
    (sample,) = officials_data(plan, lots, None)["lots"][0]["samples"]
    assert sample["valid_until"] == date(2027, 4, 17)


def test_a_report_is_held_against_the_rules_of_the_day_on_which_its_sample_was_taken():
    told = {"official": [official(SAMPLED, outcome="passed", total="0.5", uncertainty="0.05")]}
    plan = plan_of({"limit_percent": 1.0}, {}, today=BEGINS + DAY, **told)
    (row,) = officials_data(plan, [lot_named(plan.season, "A1")], None)["lots"][0]["samples"]
    assert row["verdict"]["verdict"] == "within"


def harvest_of(plan):
    return plan.timelines["A1"].stages["harvest"]


def sample_days_of(plan):
    (lot,) = officials_data(plan, [lot_named(plan.season, "A1")], None)["lots"]
    return [(one["from"], one["to"], one["rules"]) for one in lot["sample_days"]]


def before(old, new, **more):
    return plan_of({"sample_before_harvest_d": old}, {"sample_before_harvest_d": new}, **more)


def test_a_sample_is_taken_by_the_rules_of_the_day_on_which_it_is_taken():
    harvest = harvest_of(before(30, 30)).likely
    starts = harvest - 8 * DAY
    plan = before(30, 5, starts=starts, today=harvest - 40 * DAY)
    assert sample_days_of(plan) == [
        (harvest - 30 * DAY, starts - DAY, "old"),
        (harvest - 5 * DAY, harvest, "new"),
    ]
    text = " ".join(" ".join(officials_text(plan, [lot_named(plan.season, "A1")], None)).split())
    assert "30 d before the harvest expected" in text
    assert "or from" in text
    assert "by other rules (new)" in text


def test_rules_to_come_that_alone_have_a_sample_taken_are_gone_by_beforehand():
    harvest = harvest_of(before(30, 30)).likely
    plan = plan_of(None, {"sample_before_harvest_d": 20}, starts=harvest - 30 * DAY, today=harvest - 32 * DAY)
    (row,) = [one for one in plan.decisions if one.kind == OFFICIAL and one.about == "A1"]
    assert row.what == "A1 official sample to be booked"
    assert f"it is taken from {harvest - 20 * DAY:%-d %b} on" in row.why
    assert row.rules.startswith("new rules")
    assert "official sample, which is not asked for yet" in cut(plan).window.waits_for[0]


def test_a_lot_that_is_cut_before_rules_begin_needs_no_sample_by_them():
    harvest = harvest_of(before(30, 30)).likely
    plan = plan_of(None, {}, starts=harvest + 20 * DAY, today=harvest - 32 * DAY)
    assert [one for one in plan.decisions if one.kind == OFFICIAL] == []
    assert cut(plan).window.waits_for == ()


def test_the_day_to_book_goes_by_the_rules_of_the_sample_day():
    harvest = harvest_of(before(30, 30)).likely
    old = before(30, 5, starts=harvest + DAY, today=harvest - 40 * DAY)
    new = before(30, 5, starts=harvest - 38 * DAY, today=harvest - 40 * DAY)
    assert [len([r for r in p.decisions if r.kind == OFFICIAL and r.about == "A1"]) for p in (old, new)] == [
        1,
        0,
    ]
