"""Commands on a season with a station: who reads its file, and what is told of it."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest
from small_season import TODAY, ids, run

STATION = """
[heat]
[station]
file = "near.csv"
unit = "C"
"""


def station_text(days: int = 800) -> str:
    """Invented: 6 to 16 C on every day from 2025 on, but for one that is not there."""
    rows = (f"{date(2025, 1, 1) + timedelta(days=i)},6,16\n" for i in range(days) if i != 40)
    return "date,low,high\n" + "".join(rows)


@pytest.fixture
def with_station(season: Path) -> Path:
    season.write_text(season.read_text(encoding="utf-8") + STATION, encoding="utf-8")
    return season


def test_the_weeks_work_is_told_and_ticked_without_the_stations_file(with_station: Path) -> None:
    assert run("week", with_station, "--today", TODAY).status == 0
    assert run("done", with_station, ids(with_station)[0], "--today", TODAY).status == 0
    bare = with_station.read_text(encoding="utf-8").partition("[records]")[0] + STATION
    with_station.write_text(bare, encoding="utf-8")
    assert run("week", with_station, "--today", TODAY).status == 0
    assert run("daylight", with_station).status == 0


def test_what_lays_dates_out_refuses_without_it(with_station: Path) -> None:
    ran = run("dates", with_station, "--today", TODAY)
    assert ran.status == 2
    assert f"{with_station.parent / 'near.csv'}: there is no such file" in ran.err


def test_check_tells_gaps_and_problems(with_station: Path) -> None:
    file = with_station.parent / "near.csv"
    file.write_text(station_text(), encoding="utf-8")
    ran = run("check", with_station, "--today", TODAY)
    assert "near.csv: no temperatures on 1 of 800 days: 2025-02-10" in " ".join(ran.out.split())
    file.write_text(station_text().replace("2025-01-02,6,16", "2025-01-02,6,warm"), encoding="utf-8")
    ran = run("check", with_station, "--today", TODAY)
    assert ran.status == 1
    assert f'{file}:3: high is "warm"; write a number' in ran.out
    assert "1 problem." in ran.out


def with_missing_newest_days(until: date, days: int) -> str:
    """The station's days up to one, the last of them with the number that its logger writes where it measured nothing."""
    last = (until - date(2025, 1, 1)).days
    *kept, _ = station_text(last + 1).splitlines()
    gone = [line.split(",")[0] + ",-999,-999" for line in kept[-days:]]
    return "\n".join([*kept[:-days], *gone]) + "\n"


@pytest.mark.parametrize(
    "words",
    [
        ["dates", "A1"],
        ["record", "A1", "transplant", "2026-11-08", "--dry-run"],
        ["plan", "A1", "transplant", "2026-11-12", "--dry-run"],
    ],
    ids=["dates", "record", "plan"],
)
def test_newest_days_marked_as_missing_stop_nothing_and_are_told_once(
    with_station: Path, words: list[str]
) -> None:
    file = with_station.parent / "near.csv"
    file.write_text(with_missing_newest_days(date(2026, 11, 9), 5), encoding="utf-8")
    ran = run(words[0], with_station, *words[1:], "--today", TODAY)
    assert ran.status == 0, ran.said
    gaps = "near.csv: no temperatures on 6 of 677 days: 2025-02-10, 2026-11-04 to 2026-11-08"
    assert " ".join(ran.said.split()).count(gaps) == 1
