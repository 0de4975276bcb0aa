"""What yesterday's temperatures move, and how years of record, monthly means and a thermometer go together."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from calendar_tui.planning.laying_out.warmth import season_warmth
from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.weather_held import weather_held
from calendar_tui.planning.weather_moves import moved_by_weather
from calendar_tui.season.records import Season
from calendar_tui.season.weather import ThermometerDay
from tests.planning.test_heat_plan import TODAY, season, station, steady


def years(of: Season) -> list[str]:
    warmth = season_warmth(of)
    assert warmth is not None
    return [year.name for year in warmth.places["F1"]]


def notes(of: Season) -> str:
    warmth = season_warmth(of)
    assert warmth is not None
    return " ".join(warmth.notes)


def record(count: int, first: int = 2010, degrees: float = 15.0) -> list[tuple[float, float]]:
    length = (date(first + count, 1, 1) - date(first, 1, 1)).days
    return [(degrees, degrees)] * length


# --- years and monthly means


@pytest.mark.parametrize(("count", "with_means"), [(1, True), (9, True), (10, False), (12, False)])
def test_monthly_means_count_as_one_year_more_beside_fewer_than_ten(count: int, with_means: bool) -> None:
    of = season(station(date(2010, 1, 1), record(count)), steady(20))
    names = years(of)
    assert names[:count] == [str(2010 + n) for n in range(count)]
    assert names[count:] == (["monthly means"] if with_means else [])
    assert ("as one year more" in notes(of)) == with_means


def test_without_monthly_means_the_years_stand_alone() -> None:
    assert years(season(station(date(2010, 1, 1), record(2)))) == ["2010", "2011"]


def test_one_cold_year_and_warm_means_give_a_date_between_them_and_a_range_over_both() -> None:
    cold, warm = steady(12), steady(20)
    of_year = make_plan(season(station(date(2010, 1, 1), record(1, degrees=12)), cold), TODAY)
    of_means = make_plan(season(monthly=warm), TODAY)
    both = make_plan(season(station(date(2010, 1, 1), record(1, degrees=12)), warm), TODAY)
    dates = [plan.timelines["D1"].likely("flowering") for plan in (of_means, both, of_year)]
    assert dates == sorted(dates)
    assert dates[0] != dates[1] != dates[2]


@pytest.mark.parametrize(("lacking", "kept"), [(4, True), (30, True), (31, False)])
def test_a_year_that_lacks_few_days_has_them_by_the_monthly_means(lacking: int, kept: bool) -> None:
    days = record(1)
    days[120 : 120 + lacking] = [(float("nan"), float("nan"))] * lacking
    of = season(station(date(2010, 1, 1), days), steady(20))
    assert ("2010" in years(of)) == kept
    assert ("2010 has the monthly means where it has gaps" in notes(of)) == kept
    assert ("the station has no full year of the season's days" in notes(of)) != kept
    warmth = season_warmth(of)
    assert warmth is not None
    first = warmth.places["F1"][0]
    assert first.low_c[121 - 59] == pytest.approx(20)  # the season's first day, 1 March, is the year's 60th
    assert first.low_c[119 - 59] == pytest.approx(15 if kept else 20)


# --- a thermometer


def test_a_day_read_off_stands_above_the_stations_and_beyond_its_end() -> None:
    first = date(2027, 3, 1)
    of = season(station(first, [(10, 20)] * 3), steady(15))
    read_off = (
        ThermometerDay(date=date(2027, 3, 2), low_c=1, high_c=2),
        ThermometerDay(date=date(2027, 3, 5), low_c=3, high_c=4),
    )
    of = replace(of, thermometer=read_off)
    warmth = season_warmth(of)
    assert warmth is not None
    lows = warmth.places["F1"][0].low_c
    assert lows[:5] == (10, 1, 10, pytest.approx(6.5), 3)
    held = weather_held(of)
    assert (held.days, held.lacking, held.newest, held.read_off) == (4, 1, (date(2027, 3, 5), (3, 4)), 2)


def test_a_thermometer_alone_is_laid_over_the_monthly_means() -> None:
    of = replace(
        season(monthly=steady(15)), thermometer=(ThermometerDay(date=date(2027, 3, 2), low_c=1, high_c=2),)
    )
    warmth = season_warmth(of)
    assert warmth is not None
    assert warmth.places["F1"][0].low_c[:3] == (15, 1, 15)


# --- since yesterday


def test_only_the_days_of_yesterday_and_today_count_as_new() -> None:
    first = date(2027, 3, 1)
    until = (TODAY - first).days  # the last day before today
    days = [(15.0, 15.0)] * until
    quiet = make_plan(season(station(first, days), steady(15)), TODAY)
    assert moved_by_weather(quiet) == ()
    cold = [*days[:-1], (1.0, 1.0)]
    assert moved_by_weather(
        make_plan(season(station(first, cold), steady(15), planned={"seeding": date(2027, 4, 20)}), TODAY)
    )
    older = [*days[:-2], (1.0, 1.0), (15.0, 15.0)]
    assert (
        moved_by_weather(
            make_plan(
                season(station(first, older), steady(15), planned={"seeding": date(2027, 4, 20)}), TODAY
            )
        )
        == ()
    )


def test_a_hot_day_moves_what_runs_on_heat_and_the_furthest_moves_are_told_first() -> None:
    first = date(2027, 3, 1)
    days = [(12.0, 12.0)] * ((TODAY - first).days - 1)
    of = season(station(first, days), steady(12), planned={"seeding": date(2027, 4, 20)})
    hot = replace(of, thermometer=(ThermometerDay(date=TODAY - timedelta(days=1), low_c=28, high_c=28),))
    moves = moved_by_weather(make_plan(hot, TODAY))
    assert moves
    assert all(move.new < move.old for move in moves)
    spans = [abs(move.new - move.old) for move in moves]
    assert spans == sorted(spans, reverse=True)
    assert "->" in moves[0].text


def test_without_heat_or_new_days_nothing_is_laid_out_anew() -> None:
    of = season(station(date(2027, 3, 1), [(15, 15)] * 10), steady(15))
    assert moved_by_weather(make_plan(of, TODAY)) == ()
    assert moved_by_weather(make_plan(replace(of, heat=None), TODAY)) == ()
