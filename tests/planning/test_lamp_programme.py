"""The lamps of a place, night by night, and the light that a night break leaves."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, date, datetime
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from calendar_tui.language.speaking import speaking, translated
from calendar_tui.planning.lamps.runs import LampRun, lamp_runs, nights_without_times
from calendar_tui.planning.lamps.weeks import lamp_weeks
from calendar_tui.planning.laying_out.nights import Timer, lamp_runs_of, nights_of
from calendar_tui.planning.laying_out.programmes import programmes_of
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.season.fields import LAMP_SIDES
from calendar_tui.season.records import Outage
from calendar_tui.storage.languages import SHIPPED
from tests.language.other_letters import other_letters
from tests.planning.farm import TODAY, farm_data, season_of

# Lubbock, Texas, by its coordinates: the site of the measured night break.
MEASURED_SITE = {"latitude": 33.6, "longitude": -101.9, "timezone": "America/Chicago"}
BREAK = {"method": "night-break", "from": "22:00", "to": "02:00", "kw": 0.5}


def plan_of(lamps: dict[str, Any], site: dict[str, Any] | None = None, **dates: date) -> Plan:
    """One cohort of amber, from seed in H1 under these lamps, with these planned dates."""
    data = farm_data()
    data["site"] = site or data["site"]
    data["place"][1]["lamps"] = lamps
    seeding = dates.get("seeding", date(2026, 11, 1))
    cohort = {"id": "A1", "variety": "amber", "start": "seed", "place": "H1"}
    data["cohort"] = [cohort | {"planned": {"seeding": seeding, **dates}}]
    first, last = date(seeding.year, 1, 1), date(seeding.year + 1, 12, 31)
    data["season"] |= {"first_day": first, "last_day": last}
    return make_plan(season_of(data), TODAY)


def test_a_night_break_is_felt_by_the_longest_dark_it_leaves() -> None:
    """Measured at 33.6 N on 21 June: 4:38 of dark after a break from 22:00 to 02:00, so a felt day of 19:22."""
    plan = plan_of(BREAK, MEASURED_SITE, seeding=date(2026, 6, 1), lights_off=date(2026, 7, 1))
    place, night = plan.light.places["H1"], plan.light.index(date(2026, 6, 21))
    assert place.felt_h[night] * 60 == pytest.approx(19 * 60 + 22, abs=2)
    dark = plan.light.index(date(2026, 7, 1))
    assert place.felt_h[dark] == plan.light.natural_h[dark]


def test_a_night_break_holds_plants_as_an_extension_to_the_same_felt_day_does() -> None:
    off = date(2027, 2, 15)
    broken = plan_of(BREAK, lights_off=off)
    extended = plan_of({"target_h": 18.0}, lights_off=off)
    assert broken.timelines["A1"].likely("trigger") == extended.timelines["A1"].likely("trigger") == off


def test_a_break_in_daylight_changes_no_felt_day() -> None:
    plan = plan_of(BREAK | {"from": "12:00", "to": "13:00"}, lights_off=date(2027, 2, 15))
    assert plan.light.places["H1"].felt_h == plan.light.natural_h


def test_nights_begin_and_end_where_the_sites_own_day_does() -> None:
    by_sun = plan_of({"target_h": 16.0})
    by_twilight = plan_of({"target_h": 16.0}, by_sun_site("civil-twilight"))
    sun, twilight = (nights_of(plan.season)[0] for plan in (by_sun, by_twilight))
    assert sun.evening is not None
    assert twilight.evening is not None
    assert 20 < (twilight.evening - sun.evening).total_seconds() / 60 < 40
    (programme,) = programmes_of(by_sun.season, by_sun.season.places["H1"])
    (run,) = lamp_runs_of(twilight, programme, Timer(ZoneInfo("America/Montevideo"), follows=True))
    assert run.on == twilight.evening


def by_sun_site(day: str) -> dict[str, Any]:
    return farm_data()["site"] | {"day": day}


# --- the programme


def runs_in(plan: Plan) -> dict[date, list[LampRun]]:
    found: dict[date, list[LampRun]] = {}
    for run in lamp_runs(plan.season, "H1", plan.light):
        found.setdefault(run.date, []).append(run)
    return found


def clock(run: LampRun) -> tuple[str, str]:
    return f"{run.on:%H:%M}", f"{run.off:%H:%M}"


def test_lamps_burn_from_sunset_to_the_target_on_the_nights_that_are_asked_for() -> None:
    """Sunset and sunrise by PyEphem, an independent sky, to the minute."""
    plan = plan_of({"target_h": 16.0, "kw": 0.9}, lights_off=date(2027, 2, 15))
    nights = runs_in(plan)
    assert (min(nights), max(nights)) == (date(2026, 11, 1), date(2027, 2, 14))
    (run,) = nights[date(2026, 11, 10)]
    sunset = ephem_sunset(date(2026, 11, 10))
    assert 0 <= (sunset - run.on).total_seconds() < 75
    assert run.dark_span_h == pytest.approx(8, abs=1 / 60)
    natural = plan.light.natural_h[plan.light.index(run.date)]
    assert run.lamp_h == pytest.approx(16 - natural, abs=3 / 60)
    assert run.kwh == pytest.approx(0.9 * run.lamp_h)


def test_rounding_to_whole_minutes_never_falls_short_of_the_target() -> None:
    plan = plan_of({"target_h": 16.0}, lights_off=date(2027, 2, 15))
    dark = [run.dark_span_h for night in runs_in(plan).values() for run in night]
    assert 8 - 1 / 60 < min(dark) <= max(dark) <= 8


def ephem_sunset(day: date) -> datetime:
    ephem = pytest.importorskip("ephem")

    here = ephem.Observer()
    here.lat, here.lon = "-34.3", "-56.7"
    here.pressure, here.horizon = 0, "-0:50"
    here.date = f"{day:%Y/%m/%d} 15:00"
    found: datetime = here.next_setting(ephem.Sun(), use_center=True).datetime()
    return found.replace(tzinfo=UTC)


@pytest.mark.parametrize("side", LAMP_SIDES)
def test_every_side_burns_the_same_hours_and_leaves_the_same_dark(side: str) -> None:
    plan = plan_of({"target_h": 16.0, "side": side}, lights_off=date(2027, 2, 15))
    runs = runs_in(plan)[date(2026, 11, 10)]
    assert len(runs) == (2 if side == "both" else 1)
    needed_h = 16 - plan.light.natural_h[plan.light.index(date(2026, 11, 10))]
    assert sum(run.lamp_h for run in runs) == pytest.approx(needed_h, abs=5 / 60)
    assert runs[0].dark_span_h == pytest.approx(8, abs=2 / 60)
    assert {run.kwh for run in runs} == {None}


def test_an_outage_and_a_long_day_are_nights_without_a_run() -> None:
    plan = plan_of({"target_h": 14.0}, lights_off=date(2027, 2, 15))
    assert date(2026, 12, 21) not in runs_in(plan)  # the natural day is 14 h 23
    failed = Outage(place="H1", first=date(2027, 2, 1), last=date(2027, 2, 2))
    dark = make_plan(replace(plan.season, outages=(failed,)), TODAY)
    assert set(runs_in(plan)) - set(runs_in(dark)) == {date(2027, 2, 1), date(2027, 2, 2)}


@pytest.mark.parametrize(
    ("evening", "hours", "says"),
    [
        (date(2026, 10, 31), 5, "goes back 1 h"),  # US, 1 Nov 2026
        (date(2026, 3, 7), 4, "02:00 does not exist and is taken as 03:00"),  # US, 8 Mar 2026
        (date(2026, 6, 21), 4, ""),
    ],
)
def test_a_night_break_on_the_nights_of_a_clock_change(evening: date, hours: float, says: str) -> None:
    plan = plan_of(BREAK, MEASURED_SITE, seeding=date(2026, 2, 1), lights_off=date(2026, 12, 1))
    (run,) = runs_in(plan)[evening]
    assert run.lamp_h == hours
    assert says in run.note
    assert bool(run.note) == bool(says)


def test_a_setting_that_comes_twice_is_told() -> None:
    """Berlin, 25 Oct 2026: 03:00 becomes 02:00."""
    site = {"latitude": 52.5, "longitude": 13.4, "timezone": "Europe/Berlin"}
    plan = plan_of(BREAK, site, seeding=date(2026, 9, 1), lights_off=date(2026, 12, 1))
    (run,) = runs_in(plan)[date(2026, 10, 24)]
    assert "02:00 comes twice and the first is taken" in run.note


@pytest.mark.parametrize(
    ("site", "evening"),
    [
        (MEASURED_SITE, date(2026, 3, 7)),
        ({"latitude": 52.5, "longitude": 13.4, "timezone": "Europe/Berlin"}, date(2026, 10, 24)),
    ],
    ids=["a setting that does not exist", "one that comes twice"],
)
def test_the_reasons_of_lamps_are_in_the_language_whenever_they_are_made(
    site: dict[str, Any], evening: date
) -> None:
    """In letters that English has not: what is left in Latin ones is no text of the catalogue."""
    other = other_letters((SHIPPED / "es.po").read_text(encoding="utf-8"))

    def texts() -> tuple[str, str]:
        plan = plan_of(BREAK, site, seeding=date(2026, 2, 1), lights_off=date(2026, 12, 1))
        (run,) = runs_in(plan)[evening]
        return run.note, plan.timelines["A1"].stages["lights_on"].reason

    english = texts()
    assert english[1] == "from the start"
    with speaking(other):
        for made, shown in zip(texts(), map(translated, english), strict=True):
            assert made == shown
            assert not re.search("[A-Za-z]{2}", made)


def test_a_timer_that_does_not_follow_the_clock_has_a_setting_in_standard_time() -> None:
    lamps = BREAK | {"timer_follows_clock": False}
    plan = plan_of(lamps, MEASURED_SITE, seeding=date(2026, 2, 1), lights_off=date(2026, 12, 1))
    nights = runs_in(plan)
    for evening, setting in ((date(2026, 6, 21), "21:00 01:00"), (date(2026, 11, 21), "22:00 02:00")):
        (run,) = nights[evening]
        assert clock(run) == ("22:00", "02:00")
        assert f"{run.set_on:%H:%M} {run.set_off:%H:%M}" == setting
    (change,) = nights[date(2026, 10, 31)]
    assert change.lamp_h == 4
    assert "standard time" in change.note


def test_weeks_begin_on_monday_and_sum_to_the_whole() -> None:
    plan = plan_of({"target_h": 16.0, "kw": 0.9}, lights_off=date(2027, 2, 15))
    runs = [run for night in runs_in(plan).values() for run in night]
    weeks = list(lamp_weeks(runs))
    assert {week.begins.weekday() for week in weeks} == {0}
    least_h = sum(run.lamp_h for run in runs)
    # The sun moves by 2 minutes a night here at most, at either end: a week's one setting burns up to 12 more a night.
    assert least_h < sum(week.lamp_h for week in weeks) < least_h + len(runs) * 12 / 60
    assert sum(week.nights for week in weeks) == len(runs)
    assert all(week.kwh == pytest.approx(0.9 * week.lamp_h) for week in weeks)
    assert weeks[1].first[0].date == weeks[1].begins


def test_no_times_where_the_sun_does_not_set() -> None:
    site = {"latitude": 70.0, "longitude": 20.0, "timezone": "Europe/Oslo"}
    plan = plan_of({"target_h": 24.0}, site, seeding=date(2026, 6, 1), lights_off=date(2026, 7, 1))
    assert runs_in(plan) == {}
    assert nights_without_times(plan.season, "H1", plan.light) == 30


# --- lamps too short


def short_clashes(plan: Plan) -> list[str]:
    return [clash.text for clash in plan.clashes if clash.kind == "lamps too short"]


def test_a_dark_span_that_makes_a_short_day_is_a_clash() -> None:
    """amber's critical day is 14 h 45: a night may have 9 h 15 of unbroken dark at most."""
    off = date(2027, 2, 15)
    assert short_clashes(plan_of({"target_h": 14.75}, lights_off=off)) == []
    (text,) = short_clashes(plan_of({"target_h": 14.7}, lights_off=off))
    assert "106 of its nights from 1 Nov" in text
    assert "9 h 18 of unbroken dark: a day of 14 h 42, under its critical day of 14 h 45" in text


def test_a_break_at_the_edge_of_the_night_is_too_short_and_one_in_its_middle_is_not() -> None:
    off = date(2027, 2, 15)
    assert short_clashes(plan_of(BREAK, lights_off=off)) == []
    (text,) = short_clashes(plan_of(BREAK | {"from": "19:30", "to": "20:00"}, lights_off=off))
    assert "break the night nearer its middle" in text
