"""Whole plans against what was seen in fields and computed for them: published sites, dates and thresholds.

Marks: read (in the named source), computed, practice (common practice, no source).
"""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise
from typing import Any

import pytest

from calendar_tui.planning.plan import Plan, make_plan
from tests.planning.farm import season_at

CAROLINA = {"latitude": 35.8, "longitude": -78.7, "timezone": "America/New_York"}
FLORIDA = {"latitude": 25.5, "longitude": -80.5, "timezone": "America/New_York"}
GAINESVILLE = {"latitude": 28.0, "longitude": -82.0, "timezone": "America/New_York"}


def variety(name: str, critical: str, full: str, **more: Any) -> dict[str, Any]:
    return {
        "id": name,
        "response": "short-day",
        "critical_day": critical,
        "full_response_day": full,
        **more,
    }


def likely(plan: Plan, cohort: str, stage: str) -> date:
    found = plan.timelines[cohort].likely(stage)
    assert found is not None, f"{cohort} has no {stage}"
    return found


def gaps(dates: list[date]) -> list[int]:
    return [(after - before).days for before, after in pairwise(dates)]


# --- 35.8 N, transplanted on 1 May

# 'early': full response up to 13 h 45, where Zhang et al. 2021 (Frontiers in Plant Science 12:694153, read) see delay
# begin, and a critical day of an hour more. 'late': 12 h 30 and the trade's 14 h 00 (practice).
EARLY = variety("early", "14:45", "13:45")
LATE = variety("late", "14:00", "12:30")
MAY = date(2019, 5, 1)
FROM_TRAYS = {"seeding": date(2019, 4, 6), "transplant": MAY}


def carolina_plan(*own: dict[str, Any]) -> Plan:
    """A cohort of each variety out of an unlit nursery, named after it."""
    season = season_at(
        CAROLINA,
        date(2019, 3, 1),
        date(2019, 12, 31),
        places=[{"id": "N1", "kind": "nursery"}],
        varieties=own,
        cohorts=[{"id": v["id"], "variety": v["id"], "nursery": "N1", "planned": FROM_TRAYS} for v in own],
    )
    return make_plan(season, date(2019, 3, 1))


def test_on_1_may_at_35_8_n_the_day_is_13_h_38() -> None:
    """Computed, sunrise to sunset; in the year of the field reports, to the minute begun (13 h 38 min 37 s by Skyfield)."""
    light = carolina_plan(EARLY).light
    assert light.natural_h[light.index(MAY)] == pytest.approx(13 + 38 / 60, abs=1 / 60)


def test_of_two_varieties_transplanted_on_1_may_one_is_induced_while_small_and_the_other_is_not() -> None:
    """North Carolina State University 2019, field reports (read): 'Cherry Wine' small, 'BaOx' vegetative."""
    plan = carolina_plan(EARLY, LATE)
    assert likely(plan, "early", "induced") - MAY < timedelta(days=21)
    early, late = (plan.timelines[name].growth_d for name in ("early", "late"))
    assert early is not None
    assert late is not None
    assert early < 21
    assert late > 85 + 20
    assert [c.cohorts for c in plan.clashes if c.kind == "small plants"] == [("early",)]


@pytest.mark.parametrize(("critical", "begins"), [("14:00", (7, 31)), ("13:45", (8, 9))])
def test_the_autumn_run_at_35_8_n_begins_on_the_computed_day(critical: str, begins: tuple[int, int]) -> None:
    """Computed: 31 July for a critical day of 14 h 00, 9 August for 13 h 45; within a day."""
    plan = carolina_plan(variety("crop", critical, "12:30"))
    trigger = plan.timelines["crop"].stages["trigger"]
    assert abs(trigger.likely - date(2019, *begins)) <= timedelta(days=1)
    hours, minutes = critical.split(":")
    assert f"under {hours} h {minutes}" in trigger.reason


# --- 12 h days at transplant


@pytest.mark.parametrize("start", ["seed", "cutting"])
def test_twelve_hour_days_at_transplant_make_a_sensitive_variety_reproductive_within_a_week(
    start: str,
) -> None:
    """South Florida thesis (read). The starting figures, 8 short days, the transplant's own included.

    Seedlings stand under 18 h in the nursery until they are past their juvenile time.
    """
    moved = date(2026, 9, 26)
    begun = moved - timedelta(days=35 if start == "seed" else 24)
    first = "seeding" if start == "seed" else "sticking"
    season = season_at(
        FLORIDA,
        date(2026, 8, 1),
        date(2027, 1, 31),
        places=[{"id": "N1", "kind": "nursery", "lamps": {"target_h": 18.0}}],
        cohorts=[
            {"id": "A", "nursery": "N1", "start": start, "planned": {first: begun, "transplant": moved}}
        ],
    )
    plan = make_plan(season, moved)
    assert plan.light.natural_h[plan.light.index(moved)] == pytest.approx(12, abs=3 / 60)
    assert likely(plan, "A", "trigger") == moved
    assert likely(plan, "A", "induced") - moved <= timedelta(days=7)


# --- staggering under natural days: it is compressed at flowering

SOWN = [date(2019, 5, 1), date(2019, 5, 22), date(2019, 6, 21), date(2019, 7, 18)]


def florida_induced(own: dict[str, Any]) -> tuple[Plan, list[date]]:
    """The four sowings in the field, and when each is induced. Emergence after 5 d and 25 d juvenile: 30 d from sowing."""
    season = season_at(
        FLORIDA,
        date(2019, 4, 1),
        date(2019, 12, 31),
        varieties=[own],
        cohorts=[
            {"id": f"S{n}", "variety": own["id"], "planned": {"seeding": day}} for n, day in enumerate(SOWN)
        ],
    )
    plan = make_plan(season, SOWN[0])
    return plan, [likely(plan, f"S{n}", "induced") for n in range(len(SOWN))]


def test_sowings_78_days_apart_at_25_5_n_are_induced_47_to_49_days_apart() -> None:
    """Open trial records, University of Florida tropical centre, 2019, natural days, direct-seeded (computed).

    The first sowing took 77-79 days, the last 48. Full response 12 h 00, critical day 14 h 12 and 12 days lie inside
    the bounds of the published fits (12.0-12.5 h, 14.0-14.3 h, 8-12 days); within a day here, so that a change of
    the count shows.
    """
    plan, induced = florida_induced(variety("oil", "14:12", "12:00", inductive_days=[12, 12, 12]))
    assert (SOWN[-1] - SOWN[0]).days == 78
    assert 46 <= (induced[-1] - induced[0]).days <= 50
    took = [(day - sown).days for day, sown in zip(induced, SOWN, strict=True)]
    assert 77 <= took[0] <= 79
    assert abs(took[-1] - 48) <= 1
    assert all(after < before for before, after in zip(gaps(SOWN), gaps(induced), strict=True))
    # Late-planted plants are small (same records: 25 cm against 150 cm): the days they grow before induction fall.
    grown = [plan.timelines[f"S{n}"].growth_d for n in range(len(SOWN))]
    assert grown == sorted(grown, key=lambda days: -(days or 0))


def test_with_the_starting_figures_the_spread_is_kept_within_the_error_to_expect() -> None:
    """Same records; +4 / -5 days is about the best error to expect of a model (agg2.70145, read).

    The dates themselves come early, 69 and 40 days after sowing: a seed lot's own figures put that right.
    """
    _, induced = florida_induced(variety("oil", "14:00", "12:30"))
    assert -5 <= (induced[-1] - induced[0]).days - 48 <= 4


# --- staggering under lamps: lights off, and not the transplant, sets harvest spacing


def lit_plan(lights_off: list[date]) -> tuple[list[date], list[date]]:
    """Planting and harvest dates of three cohorts planted 21 days apart at 28 N, each in a lit house of its own."""
    planted = [date(2026, 7, 1) + timedelta(days=21 * n) for n in range(3)]
    houses = ["H1", "H2", "H3"]
    cohorts = [
        {
            "id": house,
            "place": house,
            "nursery": "N1",
            "planned": {"seeding": day - timedelta(days=25), "transplant": day, "lights_off": off},
        }
        for house, day, off in zip(houses, planted, lights_off, strict=True)
    ]
    lamps = {"target_h": 18.0}
    season = season_at(
        GAINESVILLE,
        date(2026, 5, 1),
        date(2027, 5, 31),
        places=[
            {"id": "N1", "kind": "nursery", "lamps": lamps},
            *({"id": house, "kind": "hoop house", "lamps": lamps} for house in houses),
        ],
        cohorts=cohorts,
    )
    plan = make_plan(season, planted[0])
    for house, off in zip(houses, lights_off, strict=True):
        assert likely(plan, house, "trigger") == off
    return planted, [likely(plan, house, "harvest") for house in houses]


def test_the_harvest_gap_is_that_of_lights_off_and_not_that_of_planting() -> None:
    """Common practice with lamps. Days at 28 N are under 12 h 30 by then, so that each counts whole."""
    off = [date(2026, 10, 1) + timedelta(days=10 * n) for n in range(3)]
    planted, harvested = lit_plan(off)
    assert gaps(planted) == [21, 21]
    assert gaps(off) == gaps(harvested) == [10, 10]


def test_one_lights_off_for_all_makes_one_harvest() -> None:
    planted, harvested = lit_plan([date(2026, 10, 1)] * 3)
    assert (gaps(planted), gaps(harvested)) == ([21, 21], [0, 0])


def test_lights_off_in_days_that_count_in_part_are_compressed_as_sowings_are() -> None:
    """Computed: on 20 August the day at 28 N is 13 h 02, so that each counts about two thirds, and more every day."""
    off = [date(2026, 8, 20), date(2026, 9, 3), date(2026, 9, 17)]
    _, harvested = lit_plan(off)
    assert gaps(off) == [14, 14]
    assert all(7 < gap < 14 for gap in gaps(harvested))
