"""The lamps of a place, night by night, and the light that a night break leaves."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from calendar_tui.planning.light import nights_of, runs_of
from calendar_tui.planning.plan import Plan, make_plan
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
    lamps = by_sun.season.places["H1"].lamps
    assert lamps is not None
    (run,) = runs_of(twilight, lamps, by_sun.season.site)
    assert run.on == twilight.evening


def by_sun_site(day: str) -> dict[str, Any]:
    return farm_data()["site"] | {"day": day}
