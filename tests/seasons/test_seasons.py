"""The seasons that come with the program, and what a new season starts from.

The figures asked of the seasons are requirements of the project, not outside figures; the range of 25 to 70 vegetative
days is common practice, no source.
"""

from __future__ import annotations

import re
import tomllib
from datetime import UTC, date, datetime, timedelta
from functools import cache
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

import calendar_tui
from calendar_tui.planning.cutting.windows import lot_cut, sight_of
from calendar_tui.planning.deciding.listing import find_decisions
from calendar_tui.planning.laying_out.early import Asking, early_stages
from calendar_tui.planning.laying_out.light import Light, season_light
from calendar_tui.planning.laying_out.timeline import Timeline, lay_out
from calendar_tui.planning.results.used import results_of
from calendar_tui.planning.sampling.week import sampling_week
from calendar_tui.season.checks import CHECKS, stages_of
from calendar_tui.season.lots import lots_of_cohort
from calendar_tui.season.reading import read_season
from calendar_tui.season.records import Season
from calendar_tui.season.sample_ids import is_sound
from calendar_tui.storage.new_season import example_season_text
from tests.planning.farm import CHAINS

ROOT = Path(__file__).parents[2]
STARTER = Path(calendar_tui.__file__).parent / "starter"
NAMES = ("two-rivers", "laguna-alta", "north-bench")
# Those in the middle of their course, and with the one that is at its end all of them.
LIVING = pytest.mark.parametrize("name", NAMES)
EVERY = pytest.mark.parametrize("name", [*NAMES, "bright-weir"])


@cache
def raw(path: Path) -> dict[str, Any]:
    return tomllib.loads(path.read_text(encoding="utf-8"))


@cache
def opened(name: str) -> Season:
    reading = read_season(raw(ROOT / "seasons" / f"{name}.toml"))
    assert reading.problems == ()
    assert reading.season is not None
    return reading.season


def laid_out(season: Season) -> tuple[dict[str, Timeline], Light]:
    early = {c.id: early_stages(season, c) for c in season.cohorts.values()}
    light = season_light(season, early)
    return {c.id: lay_out(season, c, early[c.id], light) for c in season.cohorts.values()}, light


@cache
def calendar(name: str) -> tuple[dict[str, Timeline], Light]:
    return laid_out(opened(name))


def lamp_periods(name: str, kinds: tuple[str, ...]) -> list[Asking]:
    """The evenings asked for by each cohort in places of these kinds."""
    season, light = opened(name), calendar(name)[1]
    return [
        a for place, at in light.places.items() if season.places[place].kind in kinds for _, a in at.asked
    ]


def clock_changes(season: Season) -> list[date]:
    """The local dates in the season on which the clock's distance from UTC changes."""
    zone = ZoneInfo(season.site.timezone)
    days = [
        season.first_day + timedelta(days=n) for n in range((season.last_day - season.first_day).days + 1)
    ]

    def offset(day: date) -> timedelta | None:
        return datetime(day.year, day.month, day.day, tzinfo=UTC).astimezone(zone).utcoffset()

    return [day for day in days if offset(day) != offset(day + timedelta(days=1))]


@EVERY
def test_season_reads_with_no_problem(name: str) -> None:
    season = opened(name)
    assert [p for check in CHECKS for p in check(season)] == []


@LIVING
def test_today_of_the_example_is_inside_a_living_season(name: str) -> None:
    season = opened(name)
    today = season.example_today
    assert today is not None
    assert season.first_day < today < season.last_day
    recorded = [day for c in season.cohorts.values() for day in c.recorded.values()]
    assert max(recorded) <= today, "nothing can be recorded before it happens"
    assert sum(bool(c.recorded) for c in season.cohorts.values()) >= 4
    assert any(c.fixed("transplant") > today for c in season.cohorts.values())  # type: ignore[operator]


@LIVING
def test_every_past_intention_but_one_late_transplant_is_recorded(name: str) -> None:
    season = opened(name)
    today = season.example_today
    assert today is not None
    open_ones = [
        (c.id, stage, (today - day).days)
        for c in season.cohorts.values()
        for stage, day in c.planned.items()
        if day <= today and stage not in c.recorded
    ]
    assert len(open_ones) == 1
    assert open_ones[0][1] == "transplant"
    assert 1 <= open_ones[0][2] <= 7


@EVERY
def test_every_cohort_flowers_and_is_cut_and_dried_inside_its_season(name: str) -> None:
    season, (timelines, _) = opened(name), calendar(name)
    for line in timelines.values():
        assert line.never == ""
        for stage in ("flowering", "harvest", "dried"):
            found = line.stages[stage]
            assert season.first_day <= found.earliest <= found.latest <= season.last_day, (
                line.cohort.id,
                stage,
            )


@EVERY
def test_stages_are_in_order(name: str) -> None:
    for line in calendar(name)[0].values():
        for chain in CHAINS:
            days = [line.stages[s].likely for s in chain if s in line.stages]
            assert days == sorted(days), (line.cohort.id, chain)


@EVERY
def test_short_day_cohorts_have_time_to_grow_before_the_trigger(name: str) -> None:
    for line in calendar(name)[0].values():
        if line.variety.response == "short-day":
            planted = line.likely("transplant") or line.stages["emergence"].likely
            assert 25 <= (line.stages["trigger"].likely - planted).days <= 70, line.cohort.id


@EVERY
def test_recorded_flowering_is_near_the_projected_one(name: str) -> None:
    """A grower's record within 5 d: about the best error to expect of a flowering model (agg2.70145, read)."""
    season = opened(name)
    data = raw(ROOT / "seasons" / f"{name}.toml")
    bare = [
        {
            **c,
            "recorded": {
                k: v
                for k, v in c.get("recorded", {}).items()
                if k not in ("flowering", "sampling", "harvest")
            },
        }
        for c in data["cohort"]
    ]
    without = read_season({**data, "cohort": bare}).season
    assert without is not None
    timelines, _ = laid_out(without)
    seen = {c.id: c.recorded["flowering"] for c in season.cohorts.values() if "flowering" in c.recorded}
    assert seen
    for cohort, day in seen.items():
        assert abs((timelines[cohort].stages["flowering"].likely - day).days) <= 5, cohort


@EVERY
def test_plants_fit_their_places(name: str) -> None:
    """Plants times spacing, for the cohorts that stand in a place on one day, within its area."""
    season, (timelines, light) = opened(name), calendar(name)
    for n in range(len(light.natural_h)):
        day = light.first + timedelta(days=n)
        used: dict[str, float] = {}
        for line in timelines.values():
            c = line.cohort
            assert c.plants is not None
            assert c.spacing_m is not None
            if line.stages["transplant"].likely <= day <= line.stages["harvest"].likely:
                used[c.place] = used.get(c.place, 0.0) + c.plants * c.spacing_m[0] * c.spacing_m[1]
        for place, area in used.items():
            assert area <= (season.places[place].area_m2 or 0), (place, day)


@EVERY
def test_varieties_say_where_their_figures_come_from(name: str) -> None:
    for record in raw(ROOT / "seasons" / f"{name}.toml")["variety"]:
        figures = record.keys() - {"id", "type", "response", "seed_kind", "marks"}
        assert set(record["marks"]) == figures, record["id"]


@EVERY
def test_chores_are_the_starters(name: str) -> None:
    """What a chore asks is what it observes where it has a field book; one that the starter lacks observes."""
    starter = {c["id"]: c for c in raw(STARTER / "chores.toml")["chore"]}
    chores = raw(ROOT / "seasons" / f"{name}.toml")["chore"]
    assert 12 <= len(chores) <= 21
    assert len({c["id"] for c in chores}) == len(chores)
    for chore in chores:
        own = {"observe", "asks"} if "observe" in chore else set()
        like = starter.get(chore["id"], chore if own else {})
        assert {k: v for k, v in chore.items() if k not in own} == {
            k: v for k, v in like.items() if k not in own
        }


@EVERY
def test_lamps_hold_16_h_and_18_h_in_the_nursery(name: str) -> None:
    for place in opened(name).places.values():
        if place.lamps is not None:
            assert place.lamps.target_h == (18.0 if place.kind == "nursery" else 16.0)
            assert place.lamps.kw


def test_two_rivers_has_its_features() -> None:
    season = opened("two-rivers")
    timelines, light = calendar("two-rivers")
    cohorts = season.cohorts.values()
    assert season.site.latitude == pytest.approx(-34, abs=1)
    assert season.first_day.year < season.last_day.year
    assert {p.kind for p in season.places.values()} == {"nursery", "hoop house", "field"}
    assert len(cohorts) == 11
    assert {c.variety for c in cohorts} == set(season.varieties)
    assert len(season.varieties) == 4
    assert {c.start for c in cohorts} == {"seed", "cutting"}
    assert [v.response for v in season.varieties.values()].count("day-neutral") == 1
    assert sum("lights_off" in c.planned for c in cohorts) == 4
    held = timelines["B1"].likely("trigger")
    assert held == timelines["A3"].likely("lights_off"), "B1 is held by its neighbour's lamps"
    assert light.natural_h[(held - light.first).days] < season.varieties["brook"].critical_day.likely - 0.25
    lit_and_dark = {
        p for p, at in light.places.items() if at.asked and len({c.id for c in cohorts if c.place == p}) > 1
    }
    assert lit_and_dark == {"H1", "H3"}, (
        "H1 is used twice in turn; only H3 is shared by a lit and a dark cohort"
    )
    assert timelines["A1"].stages["harvest"].latest < timelines["A4"].stages["lights_on"].likely


def test_two_rivers_staggering_is_compressed_on_natural_days() -> None:
    first, second = (calendar("two-rivers")[0][c] for c in ("T1", "T2"))
    planted = second.stages["transplant"].likely - first.stages["transplant"].likely
    assert planted >= timedelta(days=21)
    assert second.stages["flowering"].likely - first.stages["flowering"].likely <= timedelta(days=3)


def test_laguna_alta_has_its_features() -> None:
    season = opened("laguna-alta")
    timelines, light = calendar("laguna-alta")
    assert season.site.latitude == pytest.approx(19, abs=1)
    assert 5 <= len(season.cohorts) <= 7
    assert all("lights_off" in c.planned for c in season.cohorts.values())
    assert max(light.natural_h) < min(v.critical_day.likely for v in season.varieties.values())
    older, younger = timelines["C2"], timelines["M1"]
    assert older.cohort.place == younger.cohort.place
    assert younger.stages["sticking"].likely - older.stages["seeding"].likely >= timedelta(days=28)
    own, other = older.stages["lights_off"].likely, younger.stages["lights_off"].likely
    assert own < other == older.stages["trigger"].likely
    assert "lit for M1" in older.stages["trigger"].reason


def test_north_bench_has_its_features() -> None:
    season = opened("north-bench")
    assert season.site.latitude == pytest.approx(44, abs=1)
    assert {p.kind for p in season.places.values()} == {"nursery", "greenhouse", "field"}
    assert 6 <= len(season.cohorts) <= 7


def test_north_bench_clocks_change_while_lamps_burn() -> None:
    changes = clock_changes(opened("north-bench"))
    assert changes == [date(2026, 3, 8), date(2026, 11, 1)]  # United States, 2026: read
    for day in changes:
        assert any(a.first < day < a.dark for a in lamp_periods("north-bench", ("greenhouse",))), day


def test_starter_chores_read_and_are_told_apart() -> None:
    chores = raw(STARTER / "chores.toml")["chore"]
    assert len({c["id"] for c in chores}) == len(chores)
    reading = read_season({**raw(ROOT / "seasons" / "two-rivers.toml"), "chore": chores})
    assert reading.problems == ()


@pytest.mark.parametrize("word", ["lamp", "spray", "drying rooms", "official sample", "licence"])
def test_starter_chores_caution_where_work_can_hurt(word: str) -> None:
    cautions = [c["caution"] for c in raw(STARTER / "chores.toml")["chore"] if "caution" in c]
    assert any(word in c.lower() for c in cautions)


def test_starter_chores_hang_on_stages_their_cohorts_have() -> None:
    """A chore of one kind of start hangs on a stage which that start has."""
    stages: dict[str, set[str]] = {"seed": set(), "cutting": set()}
    for cohort in opened("two-rivers").cohorts.values():
        stages[cohort.start] |= set(stages_of(cohort))
    for chore in raw(STARTER / "chores.toml")["chore"]:
        for start in chore.get("starts", stages):
            assert {chore["stage"], chore.get("until", chore["stage"])} <= stages[start], chore["id"]


# A season to start from, filled for a site in the tropics and for two in temperate zones.
FILLED = {
    "tropics": ("19.1", "-98.6", "America/Mexico_City", date(2026, 5, 1)),
    "south": ("-34.3", "-56.7", "America/Montevideo", date(2026, 12, 1)),
    "north": ("44.2", "-123.1", "America/Los_Angeles", date(2026, 5, 15)),
}


@pytest.mark.parametrize("site", FILLED)
def test_new_season_reads_and_flowers_once_filled(site: str) -> None:
    latitude, longitude, timezone, first = FILLED[site]
    days = {"last_day": 290, "seeding": 14, "transplant": 39, "lights_off": 79}
    dates = {key: first + timedelta(days=n) for key, n in days.items()}
    site_values = {"latitude": latitude, "longitude": longitude, "timezone": timezone}
    text = example_season_text(name="First season", **site_values, first_day=first, **dates)
    assert not re.search(r"@[A-Z_0-9]+@", text)
    reading = read_season(tomllib.loads(text))
    assert reading.problems == ()
    assert reading.season is not None
    assert len(reading.season.chores) == len(raw(STARTER / "chores.toml")["chore"])
    assert {p.kind for p in reading.season.places.values()} == {"nursery", "hoop house", "field"}
    timelines, _ = laid_out(reading.season)
    assert all(line.never == "" and "harvest" in line.stages for line in timelines.values())


def test_an_example_carries_the_crop_from_the_bag_to_the_dryer() -> None:
    """One closure, two lots near the limit, a result overdue, a failed official sample, two passes and a batch that dries."""
    season, (timelines, _) = opened("north-bench"), calendar("north-bench")
    today = season.example_today
    assert today is not None
    rows = find_decisions(season, timelines, calendar("north-bench")[1], (), today)
    kinds = {(row.kind, row.about) for row in rows}
    assert {("closed", "F2"), ("cut", "E1-south"), ("official", "E1-north"), ("result", "E1")} <= kinds
    near = [lot_cut(sight_of(season, timelines, today), lot) for lot in lots_of_cohort(season, "E1")]
    assert [
        0 <= (cut.limit.earliest - today).days <= 7 for cut in near if cut.limit and cut.limit.earliest
    ] == [
        True,
        True,
    ]
    assert results_of(season, timelines, today).aside == ()
    week = sampling_week(season, timelines, today)
    assert {(one.bag.day, one.bag.cohort, one.bag.lot) for one in week.to_cut} == {
        (today, "E1", "E1-south"),
        (today, "E1", "E1-north"),
        (today, "Q1", ""),
    }
    (trip,) = [task for task in season.tasks if task.chore == "weekly-samples" and task.date == today]
    assert (trip.about, trip.amount, trip.state) == (("E1", "Q1"), "9 bags", "open")
    assert [one.last for one in season.passes.values()] == [False, True]
    assert [batch.out is None for batch in season.batches.values()] == [False, True]


CARRIED = {
    "north-bench": {("closed", "F2"), ("cut", "E1-south"), ("official", "E1-north"), ("result", "E1")},
    "two-rivers": {("closed", "H2"), ("official", "D0-dam"), ("official", "D1"), ("result", "D0")},
    "laguna-alta": {("closed", "H2"), ("cut", "M0-west"), ("official", "M0-west"), ("result", "M0")},
}


@LIVING
def test_each_example_carries_its_crop_on_its_own_day(name: str) -> None:
    """Dated rules, two lots of a cohort, a failed official sample, bags that are out, two passes and a batch that dries."""
    season, (timelines, light) = opened(name), calendar(name)
    today = season.example_today
    assert today is not None
    rows = find_decisions(season, timelines, light, (), today)
    assert CARRIED[name] <= {(row.kind, row.about) for row in rows}
    assert all(
        profile.as_of and "heck with your authority" in profile.caution
        for profile in season.profiles.values()
    )
    assert {len(lots_of_cohort(season, lot.cohort)) for lot in season.lots.values()} == {2}
    outcomes = [one.outcome for one in season.officials.values()]
    assert outcomes.count("failed") == 1
    assert "passed" in outcomes
    assert results_of(season, timelines, today).aside == ()
    assert season.samples.keys() - {result.sample for result in season.results.values()}
    assert [one.last for one in season.passes.values()] == [False, True]
    assert any(batch.out is None for batch in season.batches.values())
    assert all(is_sound(bag) for bag in season.samples)
