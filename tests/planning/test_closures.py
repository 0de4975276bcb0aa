"""What the sprays of a season close, and from when a cohort may be cut. Waits count as in tests/nature/test_spray_waits.py."""

from __future__ import annotations

from datetime import date, datetime

import pytest

from calendar_tui.nature.spray_waits import RecordRule
from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.spraying.closures import closed_on, closures, first_cut, record_days, spray_rules
from calendar_tui.season.reading import read_season
from tests.planning.farm import TODAY, farm_data, season_of

SPRAY = {
    "id": "s1",
    "date": date(2026, 12, 20),
    "place": "H1",
    "product": "soap",
    "reentry": "48 h",
    "preharvest": "7 d",
    "start": "16:00",
    "end": "17:00",
}


def sprayed(*sprays, zone=None, **of_first):
    data = farm_data()
    records = [SPRAY | of_first, *(SPRAY | {"id": f"s{n}"} | more for n, more in enumerate(sprays, 2))]
    data["spray"] = [{key: value for key, value in one.items() if value != ""} for one in records]
    if zone:
        data["site"] |= zone
    return data


def season(*sprays, zone=None, **of_first):
    return season_of(sprayed(*sprays, zone=zone, **of_first))


NEW_YORK = {"latitude": 42.4, "longitude": -76.5, "timezone": "America/New_York"}
BERLIN = {"latitude": 52.5, "longitude": 13.4, "timezone": "Europe/Berlin"}
SYDNEY = {"latitude": -33.9, "longitude": 151.2, "timezone": "Australia/Sydney"}


@pytest.mark.parametrize(
    ("zone", "spray", "until"),
    [
        # computed: elapsed hours from the end, through the change of the clock
        (None, {}, datetime(2026, 12, 22, 17)),
        (NEW_YORK, {"date": date(2027, 3, 13), "end": "20:00", "reentry": "12 h"}, datetime(2027, 3, 14, 9)),
        (
            NEW_YORK,
            {"date": date(2027, 3, 13), "start": "09:00", "end": "10:00", "reentry": "24 h"},
            datetime(2027, 3, 14, 11),
        ),
        (BERLIN, {"date": date(2026, 10, 24), "end": "18:00", "reentry": "12 h"}, datetime(2026, 10, 25, 5)),
        (
            SYDNEY,
            {"date": date(2027, 4, 3), "start": "15:00", "end": "16:00", "reentry": "24 h"},
            datetime(2027, 4, 4, 15),
        ),
    ],
)
def test_a_place_is_closed_until_an_instant_of_the_local_clock(zone, spray, until):
    (one,) = closures(season(zone=zone, **spray), spray.get("date", SPRAY["date"]))
    assert (one.light, one.until, one.rule) == ("H1", until, "soap")


@pytest.mark.parametrize(
    ("which", "hour"), [("first", datetime(2026, 11, 1, 4, 30)), ("second", datetime(2026, 11, 1, 5, 30))]
)
def test_an_end_that_the_clock_has_twice_is_asked_for(which, hour):
    twice = {
        "date": date(2026, 10, 31),
        "end_date": date(2026, 11, 1),
        "start": "23:00",
        "end": "01:30",
        "reentry": "4 h",
    }
    (problem,) = read_season(sprayed(zone=NEW_YORK, **twice)).problems
    assert "exists twice" in problem.message
    assert "give which: first" in problem.message
    (one,) = closures(season(zone=NEW_YORK, **twice, end_is=which), date(2026, 10, 31))
    assert one.until == hour


def test_a_closure_covers_the_days_on_which_it_is_on():
    farm = season()
    assert [bool(closed_on(farm, "H1", date(2026, 12, day))) for day in (19, 20, 21, 22, 23)] == [
        False,
        True,
        True,
        True,
        False,
    ]
    assert closed_on(farm, "N1", date(2026, 12, 21)) is None


def test_what_is_over_is_no_closure_and_what_is_to_come_is():
    farm = season()
    assert closures(farm, date(2026, 12, 23)) == ()
    assert [one.light for one in closures(farm, date(2026, 12, 1))] == ["H1"]


def test_of_several_the_longest_holds_and_the_first_begins():
    (one,) = closures(
        season({"product": "oil", "reentry": "12 h", "date": date(2026, 12, 21)}), date(2026, 12, 20)
    )
    assert (one.begins, one.until, one.rule) == (
        datetime(2026, 12, 20, 16),
        datetime(2026, 12, 22, 17),
        "soap",
    )
    assert [spray.product for spray in one.sprays] == ["soap", "oil"]


def test_sprays_apart_are_closures_apart():
    both = closures(season({"date": date(2027, 1, 5), "reentry": "12 h"}), date(2026, 12, 20))
    assert [one.until for one in both] == [datetime(2026, 12, 22, 17), datetime(2027, 1, 6, 5)]


def test_a_condition_keeps_a_place_closed_until_it_is_recorded():
    waiting = season(reentry="", condition="until the air is below 2 ppm")
    (one,) = closures(waiting, date(2027, 3, 1))
    assert (one.until, one.waits_for) == (None, ("soap: until the air is below 2 ppm",))
    met = season(
        reentry="", condition="until the air is below 2 ppm", cleared_date=date(2026, 12, 21), cleared="09:10"
    )
    (one,) = closures(met, date(2026, 12, 20))
    assert one.until == datetime(2026, 12, 21, 9, 10)


def test_a_wait_that_is_not_set_keeps_a_place_closed():
    (one,) = closures(season(reentry=""), date(2027, 3, 1))
    assert one.until is None
    assert "its re-entry interval is not set" in one.waits_for[0]


def test_a_part_alone_is_closed_where_the_place_is_screened():
    data = sprayed(parts=["east"])
    data["place"][1]["screened"] = ["east", "west"]
    for cohort in data["cohort"]:
        if cohort["place"] == "H1":
            cohort["part"] = "west"
    farm = season_of(data)
    assert [one.light for one in closures(farm, TODAY)] == ["H1 east"]
    assert first_cut(farm, make_plan(farm, TODAY).timelines["A1"]) is None


def test_a_part_that_is_not_screened_closes_the_whole_place():
    data = sprayed(parts=["east"])
    data["place"][1]["parts"] = ["east", "west"]
    farm = season_of(data)
    assert [one.light for one in closures(farm, TODAY)] == ["H1"]
    assert closed_on(farm, "H1", SPRAY["date"]) is not None


def test_a_spray_before_a_cohort_was_sown_does_not_hold_its_cut_back():
    farm = season(place="F1", date=date(2026, 10, 31))
    plan = make_plan(farm, TODAY)
    assert first_cut(farm, plan.timelines["D1"]) is None
    farm = season(place="F1", date=date(2026, 11, 1))
    assert first_cut(farm, make_plan(farm, TODAY).timelines["D1"]) is not None


def test_of_several_rules_the_newest_that_hold_set_the_days_of_a_record():
    rules = {"name": "here", "as_of": date(2026, 11, 28), "source": "a page", "spray_write_d": 14}
    data = farm_data() | {
        "profile": [
            {"id": "old", "limit_percent": 1.0, "starts": date(2020, 1, 1)} | rules,
            {"id": "new", "limit_percent": 0.3, "starts": date(2026, 1, 1)} | rules,
            {"id": "later", "limit_percent": 0.3, "starts": date(2027, 1, 1)} | rules,
        ]
    }
    profile = spray_rules(season_of(data), TODAY)
    assert profile is not None
    assert profile.id == "new"


def test_a_cohort_is_cut_after_the_wait_of_every_spray_it_stood_under():
    plan = make_plan(season(), TODAY)
    cut = first_cut(plan.season, plan.timelines["A1"])
    assert cut is not None
    assert (cut.moment, cut.day, cut.rule) == (datetime(2026, 12, 27), date(2026, 12, 27), "soap")
    assert first_cut(plan.season, plan.timelines["D1"]) is None


def test_without_a_pre_harvest_wait_it_is_the_day_of_re_entry_from_its_hour_on():
    plan = make_plan(season(preharvest="0 d"), TODAY)
    cut = first_cut(plan.season, plan.timelines["A1"])
    assert cut is not None
    assert (cut.moment, cut.day) == (datetime(2026, 12, 22, 17), date(2026, 12, 22))


def test_a_pre_harvest_wait_that_is_not_set_holds_the_cut_back():
    plan = make_plan(season(preharvest=""), TODAY)
    cut = first_cut(plan.season, plan.timelines["A1"])
    assert cut is not None
    assert cut.day is None
    assert "pre-harvest interval is not set" in cut.waits_for[0]


def test_the_days_of_a_record():
    """7 CFR 110.3 and 40 CFR 170.122, read: written within 14 days, shown until 30 days after re-entry, kept 2 years."""
    farm = season(date=date(2026, 8, 20), end="17:30", reentry="12 h")
    days = record_days(farm, farm.sprays["s1"], RecordRule(14, 30, 2))
    assert (days.write_by, days.show_until, days.keep_until) == (
        date(2026, 9, 3),
        date(2026, 9, 20),
        date(2028, 8, 20),
    )
