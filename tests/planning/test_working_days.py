"""Working days, blocked days and daylight: where a task's date goes, and the reason it keeps."""

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from dateutil.rrule import rrulestr
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.planning.changes.replan import refresh
from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.tasks.chore_dates import repeats
from calendar_tui.planning.tasks.working_days import FARTHEST_D, DayBounds, daily, kept, put
from calendar_tui.season.edits import apply_edits
from calendar_tui.season.work import WORK_DAYS, Chore, Crew
from tests.planning.farm import TODAY, farm, farm_data, season_of

FIVE = Crew(work_days=WORK_DAYS[:5])
FREE = DayBounds(None, None)
WALK = Chore(id="walk", what="Walk", stage="transplant", offset_d=3)


def at_work(crew, chore=WALK, **site):
    season = replace(farm(), crew=crew)
    return replace(season, site=replace(season.site, **site))


def test_a_saturday_goes_to_friday_and_a_sunday_to_monday():
    """12 and 13 December 2026 are a Saturday and a Sunday (ISO 8601 week 50, by datetime.isocalendar)."""
    assert date(2026, 12, 12).isocalendar() == (2026, 50, 6)
    season = at_work(FIVE)
    assert put(season, WALK, date(2026, 12, 12), FREE) == (
        date(2026, 12, 11),
        "moved from Sat 12 Dec, no working day",
    )
    assert put(season, WALK, date(2026, 12, 13), FREE) == (
        date(2026, 12, 14),
        "moved from Sun 13 Dec, no working day",
    )
    assert put(season, WALK, date(2026, 12, 14), FREE) == (date(2026, 12, 14), "")


def test_of_two_days_as_near_the_earlier_is_taken():
    season = at_work(Crew(blocked=(date(2026, 12, 9),)))
    assert put(season, WALK, date(2026, 12, 9), FREE).day == date(2026, 12, 8)
    season = at_work(replace(FIVE, blocked=(date(2026, 12, 25),)))
    assert put(season, WALK, date(2026, 12, 25), FREE).day == date(2026, 12, 24)


def test_without_a_crew_every_day_is_worked():
    assert put(at_work(None), WALK, date(2026, 12, 13), FREE) == (date(2026, 12, 13), "")


def test_work_after_a_stage_stays_after_it_and_work_before_it_before():
    season = at_work(FIVE)
    sat, sun = date(2026, 12, 12), date(2026, 12, 13)
    after = replace(WALK, stage="flowering", offset_d=0)
    assert put(season, after, sat, kept(after, sat, sat)).day == date(2026, 12, 14)
    before = replace(WALK, offset_d=-1)
    assert put(season, before, sun, kept(before, sun, sun)).day == date(2026, 12, 11)


def test_the_first_of_a_repeat_may_go_ahead_of_its_own_date_but_not_of_its_stage():
    """6 November 2026 is a Friday; the repeat runs from a week after its stage, or from the stage itself."""
    season = at_work(Crew(work_days=("mon", "tue", "wed", "thu")))
    day, end = date(2026, 11, 6), date(2026, 12, 24)
    weekly = replace(WALK, repeat="FREQ=WEEKLY", until="harvest", offset_d=7)
    assert put(season, weekly, day, kept(weekly, day, end)).day == date(2026, 11, 5)
    at_once = replace(weekly, offset_d=0)
    assert put(season, at_once, day, kept(at_once, day, end)).day == date(2026, 11, 9)


def test_the_work_of_a_stage_stays_on_its_date_and_says_so():
    season = at_work(FIVE)
    plant = replace(WALK, offset_d=0)
    assert put(season, plant, date(2026, 12, 12), FREE) == (
        date(2026, 12, 12),
        "Sat 12 Dec is no working day; it stays on its date",
    )


def test_daily_work_and_work_of_any_day_stay():
    season = at_work(FIVE)
    sat = date(2026, 12, 12)
    assert put(season, replace(WALK, repeat="FREQ=DAILY", until="harvest"), sat, FREE) == (sat, "")
    assert put(season, replace(WALK, any_day=True), sat, FREE) == (sat, "")


@pytest.mark.parametrize(
    ("rule", "every_day"),
    [
        ("FREQ=DAILY", True),
        ("freq=daily;interval=1", True),
        ("FREQ=DAILY;INTERVAL=2", False),
        ("FREQ=DAILY;BYDAY=MO", False),
        ("FREQ=DAILY;COUNT=3", False),
        ("FREQ=WEEKLY", False),
        ("", False),
    ],
)
def test_which_rules_are_daily(rule, every_day):
    assert daily(rule) == every_day


def test_no_day_near_leaves_the_date_and_says_so():
    season = at_work(Crew(work_days=("mon",), blocked=(date(2026, 12, 7), date(2026, 12, 14))))
    day = date(2026, 12, 10)
    assert put(season, WALK, day, DayBounds(date(2026, 12, 5), date(2026, 12, 16))) == (
        day,
        "Thu 10 Dec is no working day; it stays on its date",
    )


def test_two_dates_of_a_repeat_do_not_fall_on_one_day_where_there_is_another():
    data = farm_data()
    data["crew"] = {"work_days": list(WORK_DAYS[:5])}
    data["chore"] = [
        {"id": "x", "what": "x", "stage": "transplant", "repeat": "FREQ=DAILY;INTERVAL=2", "until": "harvest"}
    ]
    days = [m.new.date for m in refresh(make_plan(season_of(data), TODAY)).tasks if m.new.cohort == "A1"]
    assert len(set(days)) == len(days)
    assert all(day.weekday() < 5 for day in days)


@pytest.mark.slow
@given(
    st.dates(date(2026, 9, 1), date(2027, 6, 30)),
    st.sets(st.sampled_from(WORK_DAYS), min_size=1),
    st.sets(st.integers(-20, 20)),
    st.tuples(st.none() | st.integers(0, 12), st.none() | st.integers(0, 12)),
)
def test_the_day_found_is_the_nearest_that_is_worked(day, work_days, blocked, room):
    """Against a search over all days by brute force."""
    crew = Crew(work_days=tuple(work_days), blocked=tuple(day + timedelta(days=n) for n in blocked))
    within = DayBounds(
        *(
            None if n is None else day + side * timedelta(days=n)
            for n, side in zip(room, (-1, 1), strict=True)
        )
    )
    found = put(at_work(crew), WALK, day, within)
    open_days = [
        other
        for n in range(-FARTHEST_D, FARTHEST_D + 1)
        if crew.works(other := day + timedelta(days=n)) and within.holds(other)
    ]
    if crew.works(day) or not open_days:
        assert found.day == day
    else:
        assert found.day == min(open_days, key=lambda other: (abs((other - day).days), other))
    assert bool(found.why) == (not crew.works(day))


# --- repeats and weeks


RULES = (
    "FREQ=WEEKLY",
    "FREQ=WEEKLY;BYDAY=TU,FR",
    "FREQ=DAILY;INTERVAL=3",
    "FREQ=MONTHLY",
    "FREQ=WEEKLY;INTERVAL=2;BYDAY=MO",
)


@given(st.sampled_from(RULES), st.dates(date(2026, 1, 1), date(2027, 1, 1)), st.integers(0, 300))
def test_repeats_are_those_of_dateutil(rule, first, days):
    last = first + timedelta(days=days)
    expected = rrulestr(rule, dtstart=datetime.combine(first, time())).between(
        datetime.combine(first, time()), datetime.combine(last, time()), inc=True
    )
    assert list(repeats(rule, first, last)) == [at.date() for at in expected]


# RFC 5545 section 3.8.5.3, the standard's own examples; the first starts on Tuesday 2 September 1997.
RFC_5545 = [
    (
        "FREQ=MONTHLY;BYDAY=1FR",
        date(1997, 9, 5),
        [date(1997, 9, 5), date(1997, 10, 3), date(1997, 11, 7), date(1997, 12, 5), date(1998, 1, 2)],
    ),
    (
        "FREQ=MONTHLY;INTERVAL=2;BYDAY=TU",
        date(1997, 9, 2),
        [*(date(1997, 9, d) for d in (2, 9, 16, 23, 30)), *(date(1997, 11, d) for d in (4, 11, 18, 25))],
    ),
    (
        "FREQ=MONTHLY;BYMONTHDAY=-3",
        date(1997, 9, 28),
        [date(1997, 9, 28), date(1997, 10, 29), date(1997, 11, 28), date(1997, 12, 29), date(1998, 1, 29)],
    ),
    # The two below differ by the day on which a week begins alone.
    (
        "FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=MO",
        date(1997, 8, 5),
        [date(1997, 8, d) for d in (5, 10, 19, 24)],
    ),
    (
        "FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=SU",
        date(1997, 8, 5),
        [date(1997, 8, d) for d in (5, 17, 19, 31)],
    ),
]


@pytest.mark.parametrize(("rule", "first", "expected"), RFC_5545)
def test_repeats_follow_more_of_the_standard_s_examples(rule, first, expected):
    assert list(repeats(rule, first, date(1999, 1, 1))[: len(expected)]) == expected


@pytest.mark.parametrize(
    ("zone", "change"), [("America/Toronto", date(2027, 3, 14)), ("America/Santiago", date(2027, 4, 4))]
)
def test_a_repeat_over_a_change_of_the_clock_loses_and_doubles_no_day(zone, change):
    """Clock changes of the IANA time zone database (tzdata): the distance from UTC differs a day later."""
    offsets = {
        datetime(*(change + timedelta(days=n)).timetuple()[:3], 12, tzinfo=ZoneInfo(zone)).utcoffset()
        for n in (-1, 1)
    }
    assert len(offsets) == 2
    days = repeats("FREQ=DAILY", change - timedelta(days=3), change + timedelta(days=3))
    assert days == tuple(change + timedelta(days=n) for n in range(-3, 4))


# --- daylight


def early(at):
    return replace(WALK, time=at, daylight=True)


def test_work_before_sunrise_and_after_sunset_is_told_and_stays():
    season = at_work(None)
    day = date(2027, 6, 20)
    assert put(season, early(time(6)), day, FREE).why.startswith("06:00 is before sunrise at 07:")
    assert put(season, early(time(19)), day, FREE).why.startswith("19:00 is after sunset at 17:")
    assert put(season, early(time(12)), day, FREE) == (day, "")
    assert put(season, replace(early(time(6)), daylight=False), day, FREE) == (day, "")


@pytest.mark.parametrize("day", [date(2026, 12, 21), date(2027, 3, 20), date(2027, 6, 21)])
def test_the_hour_from_which_there_is_daylight_is_that_of_another_sky(day):
    """Sunrise and sunset by PyEphem, at the same depth of 0.833 degrees, to 2 minutes."""
    season = at_work(None)
    zone = ZoneInfo(season.site.timezone)
    ephem = pytest.importorskip("ephem")
    here = ephem.Observer()
    here.lat, here.lon, here.horizon, here.pressure = "-34.3", "-56.7", "-0:50", 0
    here.date = datetime.combine(day, time(12), zone).astimezone(UTC)
    rise = here.previous_rising(ephem.Sun(), use_center=True).datetime().replace(tzinfo=UTC).astimezone(zone)
    fall = here.next_setting(ephem.Sun(), use_center=True).datetime().replace(tzinfo=UTC).astimezone(zone)
    for at, off, told in ((rise, -2, True), (rise, 2, False), (fall, -2, False), (fall, 2, True)):
        moment = (at + timedelta(minutes=off)).time().replace(second=0, microsecond=0)
        assert bool(put(season, early(moment), day, FREE).why) == told, (at, off)


def test_on_the_day_the_clock_goes_forward_sunrise_is_told_by_the_new_time():
    """Toronto, 14 March 2027: the clock goes from 2 to 3 h (tzdata), so the sun is up an hour later by it."""
    season = at_work(None, latitude=43.7, longitude=-79.4, timezone="America/Toronto")
    before, after = (put(season, early(time(6, 50)), date(2027, 3, d), FREE).why for d in (13, 14))
    assert before == ""
    assert after.startswith("06:50 is before sunrise at 07:3")


def test_where_the_sun_does_not_rise_or_set():
    season = at_work(None, latitude=70.0, longitude=25.0, timezone="Europe/Oslo")
    assert (
        put(season, early(time(12)), date(2026, 12, 21), FREE).why
        == "12:00 is in the dark: the sun does not rise"
    )
    assert put(season, early(time(23)), date(2027, 6, 21), FREE).why == ""


def test_a_file_whose_tasks_have_the_older_wording_differs_in_none_of_them():
    data = farm_data() | {"crew": {"work_days": ["mon", "tue"]}}
    data = apply_edits(data, refresh(make_plan(season_of(data), TODAY)).change.edits)
    older = [
        t | {"why": t["why"].replace("moved from ", "").replace(", no working", " is no working")}
        if "why" in t
        else t
        for t in data["task"]
    ]
    assert older != data["task"]
    assert refresh(make_plan(season_of(data | {"task": older}), TODAY)).tasks == ()


def test_the_first_and_the_last_of_the_dates_that_hold_a_task_are_of_them():
    monday = date(2026, 12, 14)
    assert [DayBounds(monday, monday).holds(monday + timedelta(days=n)) for n in (-1, 0, 1)] == [
        False,
        True,
        False,
    ]
    assert DayBounds(None, monday).holds(date.min)
    assert DayBounds(monday, None).holds(date.max)


@pytest.mark.parametrize(
    ("offset", "day", "found"),
    [
        # Sun 13 Dec, on which no one works: a day after Saturday's stage it may go back to that day.
        (1, date(2026, 12, 13), date(2026, 12, 12)),
        # Two days before Tuesday's stage it may go on to Monday, and not to Tuesday.
        (-2, date(2026, 12, 13), date(2026, 12, 14)),
        # A day before Monday's stage it may not go on to Monday.
        (-1, date(2026, 12, 13), date(2026, 12, 11)),
    ],
)
def test_a_task_keeps_to_its_side_of_the_stage_up_to_the_day_next_to_it(offset, day, found):
    work_days = WORK_DAYS[:6] if offset == 1 else WORK_DAYS[:5]
    chore = replace(WALK, offset_d=offset)
    season = at_work(Crew(work_days=work_days))
    assert put(season, chore, day, kept(chore, day, day)).day == found
