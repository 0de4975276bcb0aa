"""A generated season, large beyond any farm: the cohorts of an example season repeated, days apart, in places of their own."""

from __future__ import annotations

import math
import random
from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import date, timedelta
from itertools import count, islice
from pathlib import Path
from typing import Any

from calendar_tui.planning.changes.replan import refresh
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.season.edits import Data, Edit, apply_edits
from calendar_tui.season.kinds import IN_RECORDS, RECORDS
from calendar_tui.season.reading import read_season
from calendar_tui.season.records import Season
from calendar_tui.season.weather import Heat, StationDays
from calendar_tui.storage.toml.rendering import record_lines
from calendar_tui.storage.toml.rows import row_line
from tests.season_data import data_of, without_crop

EXAMPLE = Path(__file__).parents[2] / "seasons" / "two-rivers.toml"
BLOCK_LATER_D = 2


def example_today() -> date:
    """The day the example, and the season made from it, takes as today."""
    day: date = data_of(EXAMPLE.read_text(encoding="utf-8"))["season"]["example_today"]
    return day


def season_data(cohorts: int, tasks: int) -> Data:
    """The data of a season with so many cohorts, its chores' tasks, and plain tasks up to the number.

    Raises ValueError where the chores alone make more tasks than that.
    """
    data = data_of(without_crop(EXAMPLE.read_text(encoding="utf-8")))
    data["task"] = []
    data["chore"] = [_twice_a_week(chore) for chore in data["chore"]]
    made = list(islice(_copies(data["cohort"], example_today()), cohorts))
    shared = {cohort["nursery"] for cohort in made}
    named = {place["id"]: place for place in data["place"]}
    data["place"] = [named[name] for name in sorted(shared)]
    data["place"] += [{**named[p.split("-")[0]], "id": p} for p in dict.fromkeys(c["place"] for c in made)]
    hours = data["crew"]["hours_per_week"]
    times = cohorts / len(data["cohort"])
    data["crew"] = {**data["crew"], "hours_per_week": {role: h * times for role, h in hours.items()}}
    data["cohort"] = made
    data = apply_edits(data, refresh(_plan(data)).change.edits)
    missing = tasks - len(data["task"])
    if missing < 0:
        raise ValueError(f"the chores alone make {len(data['task'])} tasks, more than {tasks}")
    return apply_edits(data, islice(_plain_tasks(data), missing))


def heated(season: Season, years: int) -> Season:
    """The season on heat, with so many full years of invented daily temperatures, and its own days up to today."""
    first = season.first_day.replace(year=season.first_day.year - years)
    chance = random.Random(4)
    days = range((example_today() - first).days)
    means = [17 - 6 * math.cos(math.tau * (n + 60) / 365.25) + chance.gauss(0, 3) for n in days]
    low, high = (tuple(mean + side for mean in means) for side in (-5.0, 5.0))
    return replace(season, heat=Heat(), weather=StationDays(first=first, low_c=low, high_c=high))


def season_text(data: Mapping[str, Any]) -> str:
    """The data as the text of a season file, laid out as the program saves records."""
    lines = [f"format = {data['format']}"]
    for kind, value in data.items():
        if kind in IN_RECORDS:
            continue
        if isinstance(value, dict):
            lines += ["", *record_lines(f"[{kind}]", value)]
        elif isinstance(value, list):
            for record in value:
                lines += ["", *record_lines(f"[[{kind}]]", record)]
    kinds = [kind for kind in IN_RECORDS if data.get(kind)]
    lines += ["", f"[{RECORDS}]"] if kinds else []
    for kind in kinds:
        lines += [f"{kind} = [", *map(row_line, data[kind]), "]"]
    return "\n".join(lines) + "\n"


def _plan(data: Data) -> Plan:
    reading = read_season(data)
    if reading.season is None:
        raise ValueError("; ".join(p.message for p in reading.problems))
    return make_plan(reading.season, example_today())


def _twice_a_week(chore: Data) -> Data:
    return {**chore, "repeat": "FREQ=WEEKLY;BYDAY=MO,TH"} if chore["id"] == "scout" else chore


def _copies(cohorts: list[Data], today: date) -> Iterator[Data]:
    """The cohorts over and over, each time two days later and in places of the copy's own; nurseries are shared."""
    for block in count():
        later = timedelta(days=block * BLOCK_LATER_D)
        for cohort in cohorts:
            dates = {
                table: {stage: day + later for stage, day in cohort.get(table, {}).items()}
                for table in ("planned", "recorded")
            }
            dates["recorded"] = {stage: day for stage, day in dates["recorded"].items() if day <= today}
            yield {
                **cohort,
                "id": f"{cohort['id']}-{block:02}",
                "place": f"{cohort['place']}-{block:02}",
                **{table: given for table, given in dates.items() if given},
            }


def _plain_tasks(data: Data) -> Iterator[Edit]:
    """Tasks the grower wrote in by hand: a chore has no part in them."""
    first = data["season"]["first_day"]
    for n in count():
        cohort = data["cohort"][n % len(data["cohort"])]
        task = {
            "id": f"own{n}",
            "date": first + timedelta(days=n % 240),
            "what": "Check the drip lines, clean the filters",
            "cohort": cohort["id"],
            "place": cohort["place"],
            "who": "crew",
            "hours": 0.5,
        }
        yield Edit("add", "task", (task["id"],), (), task)
