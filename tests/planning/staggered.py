"""An invented farm to stagger on, empty or with a cohort, and what a scheme on it takes, counted day by day in another way."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.planning.staggering.scheme import Scheme
from calendar_tui.planning.staggering.wish import Wish
from calendar_tui.season.records import Season
from tests.planning.farm import farm_data, season_of

FIRST = date(2026, 9, 1)
AREA_M2, SPACING = 180.0, (1.5, 0.6)


def empty_data(**tables: Any) -> dict[str, Any]:
    """The farm with two lit houses of 180 m2 and a field of 900 m2, without cohorts."""
    data = farm_data() | {"cohort": []} | tables
    nursery, house, field = data["place"]
    data["place"] = [
        nursery | {"tray_cells": 72, "trays": 20},
        house | {"area_m2": AREA_M2},
        house | {"id": "H2", "area_m2": AREA_M2},
        field | {"area_m2": 900},
    ]
    data["variety"][0] |= {"fresh_kg_per_plant": 1.0}
    return data


def planned(data: dict[str, Any], today: date = FIRST) -> Plan:
    season: Season = season_of(data)
    return make_plan(season, today)


def wish(**keys: Any) -> Wish:
    """Three cohorts of amber in the houses and the field, harvested from 1 March on, every 14 days, but for these keys."""
    asked: dict[str, Any] = {
        "variety": "amber",
        "lights": ("H1", "H2", "F1"),
        "nursery": "N1",
        "plants": 60,
        "spacing_m": SPACING,
        "count": 3,
        "first": date(2027, 3, 1),
        "every_d": 14,
    }
    return Wish(**asked | keys)


def days(scheme: Scheme) -> Iterator[date]:
    """From the first start of the scheme to its last harvest."""
    first = min(s.timeline.stages[s.cohort.first_stage].likely for s in scheme.sown)
    last = max(s.timeline.stages["harvest"].likely for s in scheme.sown)
    return (first + timedelta(days=n) for n in range((last - first).days + 30))


def area_on(scheme: Scheme, light: str, day: date) -> float:
    """m2 that the scheme's plants take in a light on a day, from planting up to harvest."""
    return sum(
        (s.cohort.plants or 0) * SPACING[0] * SPACING[1]
        for s in scheme.sown
        if s.cohort.light == light and s.planted <= day < s.timeline.stages["harvest"].likely
    )


def samples_in(scheme: Scheme, monday: date) -> int:
    """Samples of a week, three at each sampling."""
    dates = (day for s in scheme.sown for day in s.timeline.stages["sampling"].dates)
    return sum(3 for day in dates if monday <= day < monday + timedelta(days=7))
