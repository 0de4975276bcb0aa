"""How long a proposal takes: cohorts of one variety over places of the example farm, without its own cohorts."""

from __future__ import annotations

import subprocess
import sys
import time
import tomllib
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from statistics import median

from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.planning.staggering.proposing import stagger
from calendar_tui.planning.staggering.wish import Wish
from calendar_tui.season.capacity import Capacity
from calendar_tui.season.reading import read_season
from calendar_tui.season.records import Season
from tests.bench.big_season import EXAMPLE
from tests.bench.rows import Row

PLACES = ("H1", "H2", "H3", "H4", "H5", "F1")
FIRST = date(2026, 9, 15)


def farm() -> Season:
    """The example farm, empty, with two more houses like its first, and limits on all that can have one."""
    season = read_season(tomllib.loads(EXAMPLE.read_text(encoding="utf-8"))).season
    assert season is not None
    more = {name: replace(season.places["H1"], id=name) for name in ("H4", "H5")}
    places = season.places | more | {"N1": replace(season.places["N1"], trays=30)}
    varieties = season.varieties | {"amber": replace(season.varieties["amber"], fresh_kg_per_plant=1.2)}
    limits = Capacity(dryer_kg=150, samples_per_week=24)
    return replace(season, places=places, varieties=varieties, cohorts={}, tasks=(), capacity=limits)


def wish(cohorts: int) -> Wish:
    """60 plants each, a harvest every 7 days."""
    return Wish(
        variety="amber",
        lights=PLACES,
        nursery="N1",
        plants=60,
        spacing_m=(1.5, 0.6),
        count=cohorts,
        first=date(2026, 12, 20),
        every_d=7,
    )


def staggering_rows(rounds: int) -> Iterator[Row]:
    plan = make_plan(farm(), FIRST)
    load = "import time; began = time.perf_counter(); from ortools.sat.python import cp_model; print(time.perf_counter() - began)"
    loaded = [float(subprocess.check_output([sys.executable, "-c", load])) for _ in range(rounds)]
    yield Row("the solver imported", median(loaded), "s")
    for cohorts in (5, 10, 20):
        times, planted = _timed(plan, cohorts, rounds)
        yield Row(f"{cohorts} cohorts staggered over 6 places", times, "s", 5, f"{planted} planted")


def _timed(plan: Plan, cohorts: int, rounds: int) -> tuple[float, int]:
    times, planted = [], 0
    for _ in range(rounds):
        began = time.perf_counter()
        planted = len(stagger(plan, wish(cohorts)).sown)
        times.append(time.perf_counter() - began)
    return median(times), planted
