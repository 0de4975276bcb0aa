"""Stages that run on heat: from temperatures to dates, year by year."""

from __future__ import annotations

import csv
from copy import deepcopy
from dataclasses import replace
from datetime import date, timedelta
from math import floor, nan
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calendar_tui.nature.heat import degree_days
from calendar_tui.planning.laying_out.warmth import season_warmth
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.planning.why.heat import heat_runs
from calendar_tui.season.reading import read_season
from calendar_tui.season.records import Season, Span
from calendar_tui.season.weather import StationDays
from tests.bench.big_season import example_today, heated, season_data
from tests.counting import lines_run
from tests.packaged import packaged

TODAY = date(2027, 5, 1)
FARM: dict[str, Any] = {
    "format": 1,
    "season": {"name": "Heat", "first_day": date(2027, 3, 1), "last_day": date(2027, 12, 31)},
    "site": {"latitude": 47.5, "longitude": -122.3, "timezone": "America/Los_Angeles"},
    "heat": {},
    "place": [
        {"id": "N1", "kind": "nursery", "held_c": [18, 26]},
        {"id": "F1", "kind": "field"},
        {"id": "H1", "kind": "hoop house", "warmer_c": 4},
    ],
    "variety": [
        {"id": "plain", "response": "short-day"},
        {"id": "byage", "response": "day-neutral", "emergence_to_flowering_cd": 500},
    ],
    "cohort": [
        _cohort
        for _cohort in (
            {"id": "S1", "variety": "plain", "start": "seed", "place": "F1"},
            {"id": "D1", "variety": "byage", "start": "seed", "place": "F1"},
            {"id": "N1", "variety": "plain", "start": "seed", "nursery": "N1", "place": "F1"},
            {"id": "H1", "variety": "byage", "start": "seed", "place": "H1"},
            {"id": "C1", "variety": "plain", "start": "cutting", "nursery": "N1", "place": "F1"},
        )
        for _cohort["planned"] in [
            {"sticking" if _cohort["start"] == "cutting" else "seeding": date(2027, 5, 1)}
        ]
    ],
}


def season(weather: StationDays | None = None, monthly: list[float] | None = None, **cohort: Any) -> Season:
    """The farm with this weather; keys of `cohort` are set on every cohort from seed."""
    data = deepcopy(FARM)
    if monthly is not None:
        data["site"] |= {"monthly_low_c": monthly, "monthly_high_c": monthly}
    if weather is not None:
        data["station"] = {"file": "station.csv", "unit": "C"}
    for one in data["cohort"]:
        one.update(cohort if one["start"] == "seed" else {})
    reading = read_season(data)
    assert reading.season is not None, reading.problems
    return replace(reading.season, weather=weather)


def steady(degrees: float) -> list[float]:
    return [degrees] * 12


def station(first: date, days: list[tuple[float, float]], told: tuple[str, ...] = ()) -> StationDays:
    low, high = zip(*days, strict=True)
    return StationDays(first=first, low_c=low, high_c=high, notes=told)


def without_heat(of: Season) -> Plan:
    return make_plan(replace(of, heat=None), TODAY)


def seattle() -> StationDays:
    """Seattle 2012 to 2015, C: NOAA, public domain, as in vega_datasets' seattle-weather.csv."""
    path = packaged("vega_datasets", "_data", "seattle-weather.csv")
    with path.open() as file:
        rows = list(csv.DictReader(file))
    assert rows[0]["date"].replace("/", "-") in ("2012-01-01", "01-01-2012")
    return station(date(2012, 1, 1), [(float(r["temp_min"]), float(r["temp_max"])) for r in rows])


# --- what heat does to the dates


@pytest.mark.parametrize("recorded", [{}, {"emergence": date(2027, 5, 6)}])
def test_at_the_reference_temperature_heat_gives_the_dates_of_days(recorded: dict[str, date]) -> None:
    """694 C h over 3.4 C take 1.7 d at 20 C, and 67 C d over 1 C another 3.5: together the 5 d of emergence_d."""
    heat, days = make_plan(warm := season(monthly=steady(20), recorded=recorded), TODAY), without_heat(warm)
    for name in ("S1", "N1", "C1"):
        assert heat.timelines[name].ready is not None
        found = [heat.timelines[name].likely(s) for s in ("trigger", "induced", "flowering", "harvest")]
        assert found == [
            days.timelines[name].likely(s) for s in ("trigger", "induced", "flowering", "harvest")
        ]
    ready = [plan.timelines["S1"].ready for plan in (heat, days)]
    assert ready[0] is not None
    assert ready[1] is not None
    assert ready[0].likely == ready[1].likely


def test_cold_delays_and_a_warm_house_hastens() -> None:
    plans = [make_plan(season(monthly=steady(c)), TODAY) for c in (10, 14, 18)]
    up = [plan.timelines["S1"].likely("emergence") for plan in plans]
    flowers = [plan.timelines["D1"].likely("flowering") for plan in plans]
    assert up == sorted(up, reverse=True)  # type: ignore[type-var]
    assert flowers == sorted(flowers, reverse=True)  # type: ignore[type-var]
    # 500 C d over 1 C: at 14 C 38.5 d, in the house that is 4 C warmer 29.4 d.
    for name, needed in (("D1", 500 / 13), ("H1", 500 / 17)):
        timeline = plans[1].timelines[name]
        emergence, flowering = timeline.likely("emergence"), timeline.likely("flowering")
        assert emergence is not None
        assert flowering is not None
        assert abs((flowering - emergence).days - needed) <= 1


def test_a_held_nursery_does_not_feel_the_cold_outside() -> None:
    plan = make_plan(season(monthly=steady(5)), TODAY)
    held = plan.timelines["N1"].stages["emergence"]
    # Held to 18 C at least: 694 / (18 - 3.4) h and 67 / 17 d, 5.9 d in all.
    assert held.likely == date(2027, 5, 7)
    assert (
        "694 C h over 3.4 C to germinate + 67 C d over 1 C to emerge (single-sine, monthly means)"
        in held.reason
    )


def test_cuttings_root_by_days_and_flower_by_heat() -> None:
    cold, warm = (make_plan(season(monthly=steady(c)), TODAY).timelines["C1"] for c in (8, 20))
    assert cold.likely("rooted") == warm.likely("rooted")
    assert cold.likely("induced") == warm.likely("induced")
    late, soon = cold.likely("flowering"), warm.likely("flowering")
    assert late is not None
    assert soon is not None
    assert late > soon


# --- years


def test_of_four_years_of_seattle_the_range_is_the_earliest_the_median_and_the_latest() -> None:
    """Against a plain day-by-day sum, and numpy's median. Each year is a quarter of the futures, more than one in ten."""
    weather = seattle()
    timeline = make_plan(season(weather, recorded={"emergence": date(2027, 5, 10)}), TODAY).timelines["D1"]
    moments = []
    for year in (2012, 2013, 2014, 2015):
        total, day = 0.0, date(year, 5, 10)
        n = (date(year, 3, 1) - weather.first).days + (date(2027, 5, 10) - date(2027, 3, 1)).days
        begun = n
        while True:
            adds = degree_days(weather.low_c[n], weather.high_c[n], 1, 29, "single-sine")
            if total + adds >= 500:
                moments.append(floor(n + (500 - total) / adds - begun + 0.5))
                break
            total, n, day = total + adds, n + 1, day + timedelta(days=1)
    assert len(set(moments)) > 1
    wanted = [min(moments), floor(np.percentile(moments, 50) + 0.5), max(moments)]
    found = timeline.stages["flowering"]
    assert [(d - date(2027, 5, 10)).days for d in found.range] == wanted
    assert found.reason == "emergence + 500 C d over 1 C (single-sine, 4 years 2012 to 2015)"


def test_more_heat_needed_and_spread_figures_widen_the_range() -> None:
    one = season(seattle())
    wide = replace(
        one.varieties["byage"], emergence_to_flowering_cd=type(one.varieties["byage"].drying_d)(450, 500, 600)
    )
    wider = replace(one, varieties={**one.varieties, "byage": wide})
    narrow, broad = (make_plan(s, TODAY).timelines["D1"].stages["flowering"] for s in (one, wider))
    assert broad.earliest < narrow.earliest <= narrow.likely == broad.likely <= narrow.latest < broad.latest


def test_the_seasons_own_days_stand_in_every_year() -> None:
    """With all of May and June known, what falls in them has no range; cold days that were make it late."""
    past = [(8.0, 16.0)] * 365 + [(10.0, 20.0)] * 365 + [(6.0, 12.0)] * 59
    own = [(2.0, 4.0)] * 122
    weather = station(date(2025, 1, 1), past + own)
    emergence = make_plan(season(weather), TODAY).timelines["S1"].stages["emergence"]
    assert emergence.earliest == emergence.likely == emergence.latest or emergence.likely > date(2027, 6, 25)
    before = station(date(2025, 1, 1), past)
    assert emergence.likely > make_plan(season(before), TODAY).timelines["S1"].stages["emergence"].latest


def test_short_gaps_are_filled_and_a_year_with_a_long_one_is_left_out_and_told() -> None:
    year = [(8.0, 16.0)] * 365
    holed = [*year[:150], *[(nan, nan)] * 3, *year[153:]]
    torn = [*year[:150], *[(nan, nan)] * 4, *year[154:]]
    for days, told in ((year + holed, ()), (year + torn, ("2026 is left out of the years",))):
        plan = make_plan(season(station(date(2025, 1, 1), days, ("so it says",))), TODAY)
        assert plan.notes[0] == "so it says"
        assert plan.notes[1] == (
            "the station's days end on Thu 31 Dec 2026, before the season: all its dates are by other years"
        )
        assert len(plan.notes) == 2 + len(told)
        assert all(words in plan.notes[2] for words in told)
        assert plan.warmth is not None
        assert [y.name for y in plan.warmth.places["F1"]] == (["2025"] if told else ["2025", "2026"])
    assert "it lacks 4 days of the season's, from 31 May to 3 Jun" in plan.notes[2]


def test_without_a_full_year_or_monthly_means_a_gap_is_filled_by_the_other_years() -> None:
    """Two years, each with a gap of its own: the other year's same days stand in, and that is told."""
    cold, warm = [(6.0, 14.0)] * 365, [(8.0, 16.0)] * 365
    hole = [(nan, nan)] * 10
    days = [*cold[:150], *hole, *cold[160:], *warm[:200], *hole, *warm[210:]]
    plan = make_plan(season(station(date(2025, 1, 1), days)), TODAY)
    assert plan.warmth is not None
    first, second = plan.warmth.places["F1"]
    assert [first.name, second.name] == ["2025", "2026"]
    at = (date(2025, 6, 1) - date(2025, 3, 1)).days
    assert (first.low_c[at], first.high_c[at]) == (8.0, 16.0)
    assert (second.low_c[at], second.low_c[at + 50]) == (8.0, 6.0)
    assert (
        "2025 has the mean of the other years where it has gaps: it lacks 10 days of the season's, from 31 May to 9 Jun"
        in plan.notes
    )
    assert not any("stages run on days" in words for words in plan.notes)


def test_newest_days_without_temperatures_are_as_in_other_years_or_the_monthly_means() -> None:
    year = [(8.0, 16.0)] * 365
    own = [(2.0, 4.0)] * 60 + [(nan, nan)] * 6
    for before, monthly in ((year * 2, None), ([], steady(12))):
        weather = station(date(2027, 3, 1) - timedelta(days=len(before)), [*before, *own])
        plan = make_plan(season(weather, monthly=monthly), TODAY)
        assert plan.warmth is not None
        stands_in = "as in the station's other years" if before else "by the monthly means"
        assert f"6 days of this season, from 30 Apr to 5 May, are {stands_in}" in plan.notes
        low = plan.warmth.places["F1"][0].low_c
        assert low[59:66] == (2.0, *[8.0 if before else pytest.approx(12)] * 6)


def test_a_stations_years_are_laid_on_by_the_calendar_date() -> None:
    """Each day of the station has its own month and day as its temperature; a season over 29 February, and one not."""
    begin, end = date(2023, 1, 1), date(2029, 1, 1)
    dated = [begin + timedelta(days=n) for n in range((end - begin).days)]
    weather = station(begin, [(d.month + d.day / 100, d.month + d.day / 100) for d in dated])
    for first, last in (
        (date(2026, 9, 1), date(2027, 6, 30)),
        (date(2027, 9, 1), date(2028, 6, 30)),
        (date(2026, 9, 1), date(2028, 6, 30)),
    ):
        of = replace(season(weather), first_day=first, last_day=last)
        warmth = season_warmth(of)
        assert warmth is not None
        days = [first + timedelta(days=n) for n in range((last - first).days + 1)]
        wanted = [d.month + d.day / 100 for d in days if (d.month, d.day) != (2, 29)]
        for year in warmth.places["F1"]:
            found = [low for d, low in zip(days, year.low_c, strict=True) if (d.month, d.day) != (2, 29)]
            assert found == wanted, year.name
    leap = replace(season(weather), first_day=date(2031, 9, 1), last_day=date(2032, 6, 30))
    warmth = season_warmth(leap)
    assert warmth is not None
    at = (date(2032, 2, 29) - leap.first_day).days
    assert {y.name: round(y.low_c[at], 2) for y in warmth.places["F1"]} == {
        "2023-24": 2.29, "2024-25": 2.28, "2025-26": 2.28, "2026-27": 2.28, "2027-28": 2.29,
    }  # fmt: skip


def test_a_year_short_is_told_and_monthly_means_take_its_place() -> None:
    weather = station(date(2026, 2, 1), [(8.0, 16.0)] * 200)
    plan = make_plan(season(weather), TODAY)
    assert any("2026 is left out of the years: it lacks" in words for words in plan.notes)
    assert any("stages run on days" in words for words in plan.notes)
    assert plan.timelines["S1"].stages["emergence"].reason == "seeding + 5 d (3-7)"
    both = make_plan(season(weather, monthly=steady(20)), TODAY)
    assert "monthly means" in both.timelines["S1"].stages["emergence"].reason


def test_years_that_cross_new_year_are_named_by_both() -> None:
    data = deepcopy(FARM)
    data["season"] |= {"first_day": date(2027, 9, 1), "last_day": date(2028, 5, 31)}
    data["cohort"] = [{**c, "planned": {next(iter(c["planned"])): date(2027, 10, 1)}} for c in data["cohort"]]
    data["station"] = {"file": "station.csv", "unit": "C"}
    read = read_season(data).season
    assert read is not None
    plan = make_plan(replace(read, weather=seattle()), TODAY)
    assert plan.warmth is not None
    assert [y.name for y in plan.warmth.places["F1"]] == ["2012-13", "2013-14", "2014-15"]
    assert any(words.startswith("2015-16 is left out") for words in plan.notes)


def test_a_house_without_a_temperature_of_its_own_is_told() -> None:
    plain = season(monthly=steady(12))
    bare = replace(plain.places["N1"], held_c=None)
    assert make_plan(plain, TODAY).notes == ()
    (told,) = make_plan(replace(plain, places={**plain.places, "N1": bare}), TODAY).notes
    assert told.startswith("N1: taken to be as cold as the site outside; set how much warmer it is")


# --- taking over what stands, and saying why


def test_planning_again_with_heat_gives_what_planning_afresh_gives() -> None:
    before = make_plan(season(seattle()), TODAY)
    later = season(before.season.weather)
    cohort = replace(later.cohorts["S1"], recorded={"emergence": date(2027, 5, 12)})
    changed = replace(later, cohorts={**later.cohorts, "S1": cohort})
    again, afresh = make_plan(changed, TODAY, before), make_plan(changed, TODAY)
    assert again.warmth is before.warmth
    assert {n: t.stages for n, t in again.timelines.items()} == {
        n: t.stages for n, t in afresh.timelines.items()
    }
    colder = replace(
        changed, site=replace(changed.site, monthly_low_c=(1.0,) * 12, monthly_high_c=(2.0,) * 12)
    )
    assert make_plan(colder, TODAY, before).warmth is not before.warmth


@pytest.mark.parametrize(
    ("name", "stage", "sums"),
    [
        ("S1", "emergence", {"germination": 694, "growth to emergence": 67}),
        ("S1", "trigger", {"juvenile time": 475}),
        ("N1", "trigger", {"juvenile time": 475}),
        ("N1", "flowering", {"flower development": 266}),
        ("D1", "flowering", {"flower development": 500}),
        ("C1", "flowering", {"flower development": 266}),
        ("C1", "trigger", {}),
    ],
)
def test_the_days_that_why_shows_add_up_to_what_is_needed(
    name: str, stage: str, sums: dict[str, float]
) -> None:
    plan = make_plan(season(seattle()), TODAY)
    runs = heat_runs(plan, name, stage)
    assert {run.what: pytest.approx(run.days[-1].total, abs=0.01) for run in runs} == sums
    assert {run.what: run.needed for run in runs} == sums
    for run in runs:
        assert run.days[-1].total == pytest.approx(sum(day.adds for day in run.days))
        place = {day.place for day in run.days}
        assert place <= {"N1", "F1"} if name in ("N1", "C1") else place == {"F1"}


@pytest.mark.slow
def test_the_work_grows_in_line_with_cohorts_and_with_years_and_sums_are_shared() -> None:
    def lines(cohorts: int, years: int) -> int:
        read = read_season(season_data(cohorts, 5000)).season
        assert read is not None
        warm = heated(read, years)
        make_plan(warm, example_today())  # the sky is worked out once
        return lines_run(lambda: make_plan(warm, example_today()))

    base = lines(10, 10)
    assert lines(20, 10) < 2.2 * base
    assert lines(10, 20) < 2.2 * base
    read = read_season(season_data(10, 5000)).season
    assert read is not None
    warmth = season_warmth(heated(read, 10))
    assert warmth is not None
    assert len(warmth.places["F1-00"]) == 10
    assert warmth.places["F1-00"] is warmth.places["H1-00"]


@pytest.mark.slow
@settings(max_examples=25, deadline=None)
@given(st.lists(st.floats(6, 30), min_size=12, max_size=12), st.floats(0, 5))
def test_more_warmth_never_brings_emergence_later(monthly: list[float], more: float) -> None:
    """Below the optimum of germination, 29.6 C."""
    cool = [min(c, 24.0) for c in monthly]
    dates = [
        make_plan(season(monthly=[c + add for c in cool]), TODAY).timelines["S1"].likely("emergence")
        for add in (0.0, more)
    ]
    assert dates[0] is None or (dates[1] is not None and dates[1] <= dates[0])


@pytest.mark.parametrize("days", [8.5, 9.5, 16.5, 17.5])
def test_half_a_day_is_rounded_up_alike_in_days_in_heat_and_in_the_reason(days: float) -> None:
    """At a steady 20 C, the reference, heat gives the dates of days also where a span ends on a half."""
    base = season(monthly=steady(20), recorded={"emergence": date(2027, 5, 10)})
    wide = Span(days - 2, days, days + 3)
    own = replace(base.varieties["byage"], emergence_to_flowering_cd=None, emergence_to_flowering_d=wide)
    of = replace(base, varieties={**base.varieties, "byage": own})
    by_heat, by_days = (
        make_plan(s, TODAY).timelines["D1"].stages["flowering"] for s in (of, replace(of, heat=None))
    )
    assert by_days.likely == date(2027, 5, 10) + timedelta(days=int(days + 0.5))
    assert by_heat.range == by_days.range
    likely, early, late = (int(n + 0.5) for n in (wide.likely, wide.early, wide.late))
    assert f"+ {likely} d ({early}-{late})" in by_days.reason
