"""Long days on plants that are induced already."""

from __future__ import annotations

from copy import deepcopy
from datetime import date
from typing import Any

from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.season.reading import read_season

FARM: dict[str, Any] = {
    "format": 2,
    "season": {"name": "Long days", "first_day": date(2026, 5, 15), "last_day": date(2027, 3, 31)},
    "site": {"latitude": 36.0, "longitude": -80.0, "timezone": "America/New_York"},
    "place": [
        {"id": "N1", "kind": "nursery", "lamps": {"target_h": 18.0}},
        {"id": "H1", "kind": "hoop house", "lamps": {"target_h": 16.0}},
    ],
    "variety": [{"id": "first", "response": "short-day"}],
    "cohort": [
        {
            "id": "A1",
            "variety": "first",
            "start": "seed",
            "nursery": "N1",
            "place": "H1",
            "planned": {
                "seeding": date(2026, 6, 1),
                "transplant": date(2026, 6, 26),
                "lights_off": date(2026, 9, 1),
            },
        }
    ],
}
LATER = {
    "id": "L1",
    "variety": "first",
    "start": "seed",
    "nursery": "N1",
    "place": "H1",
    "planned": {
        "seeding": date(2026, 9, 10),
        "transplant": date(2026, 10, 5),
        "lights_off": date(2026, 11, 10),
    },
}


def plan(*more: dict[str, Any], **changes: Any) -> Plan:
    data = deepcopy(FARM)
    data["cohort"] += more
    data |= changes
    season = read_season(data).season
    assert season is not None, read_season(data).problems
    return make_plan(season, date(2026, 6, 1))


def told(found: Plan, cohort: str) -> list[str]:
    return [c.text for c in found.clashes_of(cohort) if c.kind == "long days after induction"]


def test_short_days_up_to_harvest_are_not_told() -> None:
    assert told(plan(), "A1") == []


def test_a_neighbour_lit_beside_flowering_plants_is_told() -> None:
    found = plan(LATER)
    induced, harvest = found.timelines["A1"].likely("induced"), found.timelines["A1"].likely("harvest")
    assert induced is not None
    assert harvest is not None
    (text,) = told(found, "A1")
    nights = (min(harvest, date(2026, 11, 10)) - date(2026, 10, 5)).days
    assert f"from 5 Oct feels {nights} days of up to 16 h 00" in text
    assert "(H1 is lit for L1): it may turn back or flower poorly" in text
    assert told(found, "L1") == []


def test_long_natural_days_after_covers_are_told() -> None:
    covers = {
        "place": "H1",
        "from": date(2026, 6, 27),
        "to": date(2026, 7, 20),
        "method": "blackout",
        "on": "18:00",
        "off": "07:00",
    }
    cutting = {
        **FARM["cohort"][0],
        "start": "cutting",
        "planned": {"sticking": date(2026, 5, 20), "transplant": date(2026, 6, 20)},
    }
    found = plan(programme=[covers], cohort=[cutting])
    (text,) = told(found, "A1")
    assert "of natural day: it may turn back" in text
    assert "from 21 Jul" in text


def test_a_harvest_that_is_recorded_is_past_telling() -> None:
    data = deepcopy(FARM)
    data["cohort"][0]["recorded"] = {"seeding": date(2026, 6, 1), "harvest": date(2026, 11, 1)}
    assert told(plan(LATER, cohort=[data["cohort"][0]]), "A1") == []
