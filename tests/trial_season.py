"""A generated trial season, invented: 6 varieties x 3 planting dates x 4 spacings x 3 places, as cohorts of today."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from functools import cache
from itertools import islice, product
from pathlib import Path

import calendar_tui
from calendar_tui.planning.changes.replan import refresh
from calendar_tui.planning.plan import make_plan
from calendar_tui.season.edits import Data, apply_edits
from calendar_tui.season.reading import read_season
from calendar_tui.season.upgrades import FORMAT
from tests.bench.big_season import season_text
from tests.season_data import data_of

TODAY = date(2027, 3, 20)
# The second planting day; 18 cohorts of each spacing are planted on it, 6 in each place.
PLANTED = date(2027, 5, 26)
CHORES = Path(calendar_tui.__file__).parent / "starter" / "chores.toml"
# Names of seed lots, and critical day lengths around the usual one. Invented.
VARIETIES = {
    "amber": "13:45",
    "brook": "13:52",
    "cedar": "14:00",
    "dune": "14:00",
    "elm": "14:10",
    "fern": "14:15",
}
PLANTINGS = (date(2027, 5, 5), PLANTED, date(2027, 6, 16))
PLACES = {"F1": "field", "G1": "greenhouse", "H1": "hoop house"}
SPACINGS_M = ((1.2, 0.6), (1.2, 0.9), (1.5, 1.0), (1.8, 1.2))
NURSERY_D = 25
LIGHTS_OFF = date(2027, 7, 20)


def trial_data(cohorts: int = 216, tasks: bool = True) -> Data:
    """The data of the season with its first so many cohorts; 54 are all with the first spacing.

    tasks: whether the chores' tasks are made, as of TODAY.
    """
    data: Data = {
        "format": FORMAT,
        "season": {
            "name": "Hill Farm trial 2027",
            "first_day": date(2027, 3, 1),
            "last_day": date(2027, 12, 15),
        },
        "site": {"latitude": 35.4, "longitude": -82.5, "timezone": "America/New_York"},
        "crew": {
            "work_days": ["mon", "tue", "wed", "thu", "fri", "sat"],
            "hours_per_week": {"crew": 160, "grower": 40, "nursery": 40},
        },
        "capacity": {"dryer_kg": 400},
        "place": [
            {"id": "N1", "kind": "nursery", "area_m2": 120, "lamps": {"target_h": 18.0, "kw": 1.5}},
            *map(_place, PLACES),
        ],
        "variety": [
            {"id": name, "response": "short-day", "seed_kind": "feminised", "critical_day": critical}
            for name, critical in VARIETIES.items()
        ],
        "cohort": list(islice(_cohorts(), cohorts)),
        **data_of(CHORES.read_text(encoding="utf-8")),
        "task": [],
    }
    return data | {"task": [*_tasks(cohorts)]} if tasks else data


@cache
def trial_text(cohorts: int = 216) -> str:
    """The season as the text of its file."""
    return season_text(trial_data(cohorts))


def _place(name: str) -> Data:
    lamps = {} if name == "F1" else {"lamps": {"target_h": 16.0, "kw": 2.0}}
    return {"id": name, "kind": PLACES[name], "area_m2": 3000, **lamps}


def _cohorts() -> Iterator[Data]:
    """Spacing by spacing, and of each date by date, place by place, variety by variety: A1F1a, B1F1a, ..."""
    for (s, spacing), (n, day), place, name in product(
        enumerate(SPACINGS_M), enumerate(PLANTINGS, 1), PLACES, VARIETIES
    ):
        dates = {"seeding": day - timedelta(days=NURSERY_D), "transplant": day}
        yield {
            "id": f"{name[0].upper()}{n}{place}{'abcd'[s]}",
            "variety": name,
            "start": "seed",
            "nursery": "N1",
            "place": place,
            "plants": 24,
            "spacing_m": list(spacing),
            "planned": dates if place == "F1" else {**dates, "lights_off": LIGHTS_OFF},
        }


@cache
def _tasks(cohorts: int) -> tuple[Data, ...]:
    data = trial_data(cohorts, tasks=False)
    reading = read_season(data)
    if reading.season is None:
        raise ValueError("; ".join(p.message for p in reading.problems))
    return tuple(apply_edits(data, refresh(make_plan(reading.season, TODAY)).change.edits)["task"])
