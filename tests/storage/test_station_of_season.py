"""A season opened with the days of its station, or with that file's problems."""

import pytest

from calendar_tui.storage.opening import need_tasks, open_season, with_weather

WHOLE = """\
date,low,high,rain
2026-04-01,2.5,12.0,0.0
2026-04-02,3.0,14.5,1.2
2026-04-03,-1.0,9.0,0.0
"""
SEASON = """
format = 3
[season]
name = "A farm"
first_day = 2026-03-01
last_day = 2026-11-30
[site]
latitude = 44.0
longitude = -80.0
timezone = "America/Toronto"
[heat]
[station]
file = "station.csv"
unit = "C"
[[task]]
id = "T1"
date = 2026-04-01
what = "Read the thermometer"
"""


@pytest.fixture
def season(tmp_path):
    path = tmp_path / "farm" / "season.toml"
    path.parent.mkdir()
    path.write_text(SEASON)
    return path


def test_a_season_is_opened_with_its_stations_days(season):
    (season.parent / "station.csv").write_text(WHOLE)
    assert open_season(season).season.weather.low_c == (2.5, 3.0, -1.0)
    assert open_season(season, weather=False).season.weather is None


def test_through_a_link_the_station_lies_beside_the_real_file(season, tmp_path):
    (season.parent / "station.csv").write_text(WHOLE)
    (tmp_path / "link.toml").symlink_to(season)
    assert open_season(tmp_path / "link.toml").season.weather is not None


def test_a_problem_of_the_station_is_one_of_the_season(season):
    (season.parent / "station.csv").write_text(WHOLE.replace("14.5", "warm"))
    opened = open_season(season)
    assert opened.season is None
    assert [str(p).partition(": ")[0] for p in opened.problems] == [f"{season.parent / 'station.csv'}:3"]


def test_the_problems_of_the_station_are_told_besides_those_of_the_season(season):
    season.write_text(SEASON.replace("2026-11-30", "2025-11-30"))
    files = [str(season), str(season.with_name("station.csv"))]
    assert [p.file for p in open_season(season).problems] == files


def test_the_weeks_tasks_are_read_without_the_station(season):
    opened, read = need_tasks(season)
    assert [task.id for task in read.tasks] == ["T1"]
    assert (read.weather, opened.problems) == (None, ())
    assert with_weather(opened) == open_season(season)


def test_two_columns_of_one_name_are_told_in_the_season(season):
    season.write_text(SEASON.replace('unit = "C"', 'unit = "C"\ncolumns = { low = "t", high = "t" }'))
    (problem,) = open_season(season).problems
    assert (
        problem.message
        == 'station: date, low and high are columns "date", "t" and "t"; name three different ones'
    )
    assert problem.line == 15
