"""A small invented farm for the tests of planning, as plain data and as a season."""

from copy import deepcopy
from datetime import date

from calendar_tui.season.reading import read_season

TODAY = date(2026, 12, 8)
# What comes before what in the life of a plant and under lamps. Common practice, no source.
CHAINS = (
    ("seeding", "emergence", "transplant", "harvest", "dried"),
    ("sticking", "rooted", "transplant", "harvest", "dried"),
    ("seeding", "emergence", "trigger", "induced", "flowering", "sampling", "harvest", "dried"),
    ("sticking", "trigger", "induced", "flowering", "sampling", "harvest", "dried"),
    ("seeding", "lights_on", "lights_off"),
    ("sticking", "lights_on", "lights_off"),
)
FARM = {
    "format": 1,
    "season": {"name": "Trial", "first_day": date(2026, 9, 1), "last_day": date(2027, 6, 30)},
    "site": {"latitude": -34.3, "longitude": -56.7, "timezone": "America/Montevideo"},
    "place": [
        {"id": "N1", "kind": "nursery", "lamps": {"target_h": 18.0}},
        {"id": "H1", "kind": "hoop house", "lamps": {"target_h": 16.0, "kw": 0.9}},
        {"id": "F1", "kind": "field"},
    ],
    "variety": [
        {
            "id": "amber",
            "response": "short-day",
            "critical_day": "14:45",
            "full_response_day": "13:45",
            "induced_to_flowering_d": [10, 14, 20],
            "flowering_to_harvest_d": [38, 45, 54],
        },
        {"id": "plain", "response": "short-day"},
        {"id": "byage", "response": "day-neutral"},
    ],
    "cohort": [
        {
            "id": "A1",
            "variety": "amber",
            "start": "seed",
            "nursery": "N1",
            "place": "H1",
            "plants": 120,
            "planned": {
                "seeding": date(2026, 11, 1),
                "transplant": date(2026, 11, 26),
                "lights_off": date(2027, 1, 10),
            },
            "recorded": {"seeding": date(2026, 11, 1)},
        },
        {
            "id": "F1",
            "variety": "plain",
            "start": "seed",
            "nursery": "N1",
            "place": "F1",
            "planned": {"seeding": date(2026, 11, 1), "transplant": date(2026, 11, 26)},
        },
        {
            "id": "C1",
            "variety": "plain",
            "start": "cutting",
            "nursery": "N1",
            "place": "F1",
            "planned": {"sticking": date(2026, 11, 1), "transplant": date(2026, 11, 26)},
        },
        {
            "id": "D1",
            "variety": "byage",
            "start": "seed",
            "place": "F1",
            "planned": {"seeding": date(2026, 11, 1)},
        },
    ],
    "chore": [
        {"id": "tray", "what": "Seed trays", "stage": "seeding", "starts": ["seed"], "who": "nursery"},
        {"id": "plant", "what": "Transplant", "stage": "transplant", "hours": 1.0, "per": "100 plants"},
        {
            "id": "scout",
            "what": "Scout",
            "stage": "transplant",
            "offset_d": 7,
            "repeat": "FREQ=WEEKLY",
            "until": "harvest",
            "hours": 0.5,
        },
        {"id": "dark", "what": "Switch off", "stage": "lights_off", "lamps": True},
        {"id": "cut", "what": "Harvest", "stage": "harvest"},
    ],
}


def farm_data():
    return deepcopy(FARM)


def season_of(data):
    reading = read_season(data)
    assert reading.problems == ()
    return reading.season


def farm(**cohort_keys):
    """The farm's season, with these keys set in its first cohort."""
    data = farm_data()
    data["cohort"][0].update(cohort_keys)
    return season_of(data)


def season_at(site, first, last, *, places=(), varieties=(), cohorts=()):
    """A season of these tables and nothing else: a field F1, and the variety plain with the starting figures."""
    return season_of(
        {
            "format": 1,
            "season": {"name": "Check", "first_day": first, "last_day": last},
            "site": site,
            "place": [{"id": "F1", "kind": "field"}, *places],
            "variety": [{"id": "plain", "response": "short-day"}, *varieties],
            "cohort": [{"variety": "plain", "start": "seed", "place": "F1"} | cohort for cohort in cohorts],
        }
    )
