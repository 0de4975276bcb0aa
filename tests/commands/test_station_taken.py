"""Weather files taken in by command: what is asked, kept and shown, one change, one undo; a day read off."""

from __future__ import annotations

import json
from datetime import date, timedelta
from pathlib import Path

import pytest
from small_season import run

HEAT = """
[heat]
"""
TODAY = "2026-11-09"
MEANS = "monthly_low_c = [15, 15, 13, 10, 8, 6, 5, 6, 8, 10, 12, 14]\nmonthly_high_c = [28, 28, 26, 22, 18, 15, 14, 16, 19, 22, 25, 27]\n"


def power(first: date, pairs: list[tuple[float, float]]) -> str:
    """A file in the form of NASA POWER, with its headings alone."""
    rows = [
        f"{day.year},{day.timetuple().tm_yday},{high},{low}"
        for n, (low, high) in enumerate(pairs)
        for day in [first + timedelta(days=n)]
    ]
    return "\n".join(["YEAR,DOY,T2M_MAX,T2M_MIN", *rows]) + "\n"


WARM = [(22.0, 34.0)] * 60
CDO = '"STATION","NAME","DATE","TMAX","TMIN"\n"X1","A","2026-10-01","86","60"\n"X2","B","2026-10-01","70","48"\n'


@pytest.fixture
def heated(season: Path) -> Path:
    text = season.read_text(encoding="utf-8")
    season.write_text(text.replace("[site]\n", f"[site]\n{MEANS}", 1) + HEAT, encoding="utf-8")
    return season


def taken(season: Path, text: str, *words: str, name: str = "download.csv"):
    (season.parent / name).write_text(text, encoding="utf-8")
    return run("station", season, season.parent / name, *words, "--today", TODAY)


def weather_files(season: Path) -> list[str]:
    return sorted(path.name for path in season.parent.glob("weather-*.csv"))


def dates(season: Path) -> str:
    return run("dates", season, "--today", TODAY).out


def test_a_file_moves_dates_by_one_change_and_one_undo_puts_them_back(heated: Path) -> None:
    before, text = dates(heated), heated.read_text(encoding="utf-8")
    ran = taken(heated, power(date(2026, 9, 10), WARM), "--yes")
    assert ran.status == 0, ran.said
    assert (
        "taken for NASA POWER, day of the year (power); degrees C, as files of this form have it"
        in " ".join(ran.out.split())
    )
    assert "->" in ran.out
    (name,) = weather_files(heated)
    assert (heated.parent / name).read_text(encoding="utf-8").splitlines()[:2] == [
        "date,low,high",
        "2026-09-10,22.00,34.00",
    ]
    assert dates(heated) != before
    assert run("undo", heated).status == 0
    assert (dates(heated), heated.read_text(encoding="utf-8")) == (before, text)
    assert run("redo", heated).status == 0
    assert dates(heated) != before


def test_a_dry_run_writes_nothing(heated: Path) -> None:
    before = heated.read_bytes()
    assert taken(heated, power(date(2026, 9, 10), WARM), "--dry-run").status == 0
    assert (heated.read_bytes(), weather_files(heated)) == (before, [])


def test_what_the_file_does_not_say_is_refused_with_the_flags_and_kept_once_it_is_said(heated: Path) -> None:
    ran = taken(heated, CDO, "--yes")
    assert ran.status == 2
    assert "--station X1 or --station X2" in ran.err
    assert "--unit C or --unit F" in ran.err
    assert taken(heated, CDO, "--station", "X1", "--unit", "F", "--yes").status == 0
    again = taken(heated, CDO.replace("2026-10-01", "2026-10-02"), "--yes")
    assert again.status == 0, again.said
    assert "degrees F, as you said of such a file before" in " ".join(again.out.split())
    (old, new) = sorted(weather_files(heated), key=lambda name: len((heated.parent / name).read_bytes()))
    assert f'file = "{new}"' in heated.read_text(encoding="utf-8")
    assert (heated.parent / new).read_text().splitlines()[1:] == [
        "2026-10-01,15.56,30.00",
        "2026-10-02,15.56,30.00",
    ]
    assert old in weather_files(heated)


def test_a_file_of_no_known_form_is_refused_with_how_to_say_it(heated: Path) -> None:
    ran = taken(heated, "when;nachts;tags\n2026-10-01;10,2;27,5\n", "--yes")
    assert ran.status == 2
    assert "--column 'HEADING=low'" in ran.err
    said = ("--column", "when=date", "--column", "nachts=low", "--column", "tags=high", "--unit", "C")
    assert taken(heated, "when;nachts;tags\n2026-10-01;10,2;27,5\n", *said, "--yes").status == 0
    again = taken(heated, "when;nachts;tags\n2026-10-02;10,2;27,5\n", "--yes")
    assert again.status == 0, again.said


def test_the_same_file_again_changes_nothing(heated: Path) -> None:
    taken(heated, power(date(2026, 9, 10), WARM), "--yes")
    text = heated.read_bytes()
    assert "already saved" in taken(heated, power(date(2026, 9, 10), WARM), "--yes").out
    assert heated.read_bytes() == text


def test_the_days_of_the_station_that_is_there_stay_and_its_file_too(heated: Path) -> None:
    own = heated.parent / "near.csv"
    own.write_text("day,lo,hi\n31/08/2026,50,68\n01/09/2026,50,68\n", encoding="utf-8")
    station = '[station]\nfile = "near.csv"\nunit = "F"\ncolumns = { date = "day", low = "lo", high = "hi" }\ndate_form = "31/01/2026"\n'
    heated.write_text(heated.read_text(encoding="utf-8") + station, encoding="utf-8")
    before = own.read_bytes()
    assert taken(heated, power(date(2026, 9, 2), [(11, 21)]), "--yes").status == 0
    (name,) = weather_files(heated)
    assert (heated.parent / name).read_text().splitlines()[1:] == [
        "2026-08-31,10.00,20.00",
        "2026-09-01,10.00,20.00",
        "2026-09-02,11.00,21.00",
    ]
    assert own.read_bytes() == before
    assert "columns" not in heated.read_text(encoding="utf-8").partition("[station]")[2]
    assert run("undo", heated).status == 0
    assert 'file = "near.csv"' in heated.read_text(encoding="utf-8")
    assert run("check", heated, "--today", TODAY).status == 0


def test_missing_newest_days_and_a_spike_stop_nothing_and_are_told(heated: Path) -> None:
    pairs = [*WARM[:-3], (-999.0, -999.0), (-999.0, -999.0), (20.0, 78.2)]
    ran = taken(heated, power(date(2026, 9, 10), pairs), "--yes")
    said = " ".join(ran.out.split())
    assert ran.status == 0, ran.said
    assert "57 days with temperatures, 3 days without" in said
    assert '"-999.0" 4' in said
    assert "download.csv:61: 2026-11-08: the high is 78.2 C, which air never has" in said
    assert run("dates", heated, "--today", TODAY).status == 0


def test_a_day_in_the_other_unit_among_its_days_is_left_out_and_the_season_still_reads(heated: Path) -> None:
    pairs = [(10.0, 14.0)] * 10
    pairs[5] = (50.0, 57.0)
    ran = taken(heated, power(date(2026, 9, 10), pairs), "--yes")
    assert "1 day left out: only in the other unit they fit the days around them: 15 Sep 2026" in " ".join(
        ran.out.split()
    )
    assert run("check", heated, "--today", TODAY).status == 0


def test_a_stretch_in_the_other_unit_is_refused(heated: Path) -> None:
    pairs = [(10.0, 14.0)] * 10 + [(50.0, 57.0)] * 10
    ran = taken(heated, power(date(2026, 9, 10), pairs), "--yes")
    assert ran.status == 2
    assert "from Sun 20 Sep 2026 on days are such as would be in the other unit" in " ".join(ran.err.split())


def test_the_flags_that_are_shown_can_be_typed_as_they_are(heated: Path) -> None:
    places = "LAT,LON,YEAR,DOY,T2M_MAX,T2M_MIN\n-34.25,150.5,2026,274,20,9\n-34.75,150.5,2026,274,18,8\n"
    ran = taken(heated, places)
    assert "--station '-34.25 150.5' or --station '-34.75 150.5'" in ran.err
    assert "taken in, 1 Oct 2026" in taken(heated, places, "--station", "-34.25 150.5", "--dry-run").out


def test_a_place_far_off_is_asked_about(heated: Path) -> None:
    text = "Location: latitude  44.5   longitude -123.2\n" + power(date(2026, 9, 10), WARM)
    assert "km from the site" in " ".join(taken(heated, text, "--dry-run").out.split())


def test_as_data_it_has_what_was_taken_and_what_moves(heated: Path) -> None:
    ran = taken(heated, power(date(2026, 9, 10), WARM), "--yes", "--json")
    told = json.loads(ran.out)
    assert told["weather"]["form"] == "power"
    assert (told["weather"]["days"], told["weather"]["new"]) == (60, 60)
    assert told["answers"][0]["saved"] is True
    assert told["answers"][0]["stages"]
    held = json.loads(run("station", heated, "--json", "--today", TODAY).out)
    assert held["file"] == weather_files(heated)[0]
    assert held["newest"] == {"date": "2026-11-08", "low_c": 22.0, "high_c": 34.0}


def test_a_station_file_that_does_not_read_is_replaced_by_one_that_does(heated: Path) -> None:
    (heated.parent / "near.csv").write_text("date,low,high\n2026-09-02,warm,20\n", encoding="utf-8")
    heated.write_text(heated.read_text() + '[station]\nfile = "near.csv"\nunit = "C"\n', encoding="utf-8")
    assert run("dates", heated, "--today", TODAY).status == 2
    ran = taken(heated, power(date(2026, 9, 10), WARM), "--yes")
    assert ran.status == 0, ran.said
    assert "near.csv does not read" in " ".join(ran.said.split())
    assert run("dates", heated, "--today", TODAY).status == 0


# --- a day read off


def test_a_morning_reading_is_of_yesterday_and_one_line_of_the_season(heated: Path) -> None:
    ran = run("station", heated, "add", "12.1", "27.3", "--yes", "--today", TODAY)
    assert "Saved: thermometer of 8 Nov 2026: 12.1 to 27.3 C" in ran.out
    assert "{ date = 2026-11-08, low_c = 12.1, high_c = 27.3 }," in heated.read_text(encoding="utf-8")
    again = run("station", heated, "add", "12.5", "27.3", "--yes", "--today", TODAY)
    assert "this takes its place" in " ".join(again.out.split())
    assert run("undo", heated, "2").status == 0
    assert "thermometer" not in heated.read_text(encoding="utf-8")


def test_a_reading_in_fahrenheit_and_of_another_day(heated: Path) -> None:
    ran = run("station", heated, "add", "50F", "68F", "--date", "7 nov", "--yes", "--today", TODAY)
    assert "thermometer of 7 Nov 2026: 10 to 20 C" in ran.out


def in_us(season: Path) -> Path:
    text = season.read_text(encoding="utf-8")
    season.write_text(text.replace("[season]\n", '[season]\nunits = "us"\n', 1), encoding="utf-8")
    return season


def test_a_bare_reading_is_in_the_units_in_use_and_the_file_is_in_c(heated: Path) -> None:
    ran = run("station", in_us(heated), "add", "50", "68", "--yes", "--today", TODAY)
    assert "{ date = 2026-11-08, low_c = 10.0, high_c = 20.0 }," in heated.read_text(encoding="utf-8"), (
        ran.said
    )
    again = run("station", heated, "add", "59", "68", "--dry-run", "--today", TODAY)
    assert "was read as 50 to 68 F" in " ".join(again.out.split())
    assert "note: 59 to 68 F is 15 to 20 C" in again.out
    assert "Newest: 8 Nov 2026, 50 to 68 F" in run("station", heated, "--today", TODAY).out
    refused = run("station", heated, "add", "68", "50", "--yes", "--today", TODAY)
    assert "the low, 68 F, is over the high, 50 F" in refused.err
    refused = run("station", heated, "add", "68", "240", "--yes", "--today", TODAY)
    assert "no temperature of air in F; write it as 53.8, or as 12.1C" in refused.err
    in_c = run("station", heated, "add", "10", "21", "--unit", "C", "--dry-run", "--today", TODAY)
    assert "10 to 21 C" in in_c.out


def test_a_reading_stands_above_the_file(heated: Path) -> None:
    taken(heated, power(date(2026, 9, 10), WARM), "--yes")
    ran = run("station", heated, "add", "5", "12", "--date", "2026-11-01", "--yes", "--today", TODAY)
    assert "the station has 22 to 34 C on 1 Nov 2026; what you read stands above it" in " ".join(
        ran.out.split()
    )
    run("station", heated, "add", "5", "12", "--date", "2026-11-08", "--yes", "--today", TODAY)
    held = json.loads(run("station", heated, "--json", "--today", TODAY).out)
    assert (held["newest"]["low_c"], held["read_off"]) == (5, 2)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["12.1"], "give the low and the high"),
        (["27.3", "12.1"], "the low, 27.3 C, is over the high, 12.1 C"),
        (["warm", "12.1"], '"warm" is no temperature of air in C'),
        (["54", "81"], '"81" is no temperature of air in C; write it as 12.1, or as 53.8F'),
        (["12.1", "27.3", "--date", "2026-11-20"], "is to come"),
    ],
)  # fmt: skip
def test_a_wrong_reading_is_refused_with_what_would_be_right(
    heated: Path, words: list[str], told: str
) -> None:
    before = heated.read_bytes()
    ran = run("station", heated, "add", *words, "--yes", "--today", TODAY)
    assert (ran.status, heated.read_bytes()) == (2, before)
    assert told in " ".join(ran.err.split())


def test_the_next_season_has_the_days_read_off(heated: Path) -> None:
    run("station", heated, "add", "12.1", "27.3", "--yes", "--today", TODAY)
    made = heated.parent / "next.toml"
    ran = run("new", made, "--from", heated, "--today", TODAY, "--yes")
    assert ran.status == 0, ran.said
    assert "date = 2026-11-08, low_c = 12.1" in made.read_text(encoding="utf-8")


# --- since yesterday


def test_the_brief_week_says_what_the_temperatures_since_yesterday_moved(heated: Path) -> None:

    taken(heated, power(date(2026, 9, 10), [(10.0, 20.0)] * 59), "--yes")
    before = run("week", heated, "--brief", "--today", TODAY)
    assert "weather since yesterday" not in before.out
    run("station", heated, "add", "30", "45", "--yes", "--today", TODAY)
    ran = run("week", heated, "--brief", "--today", TODAY)
    assert "; weather since yesterday: " in ran.out
    moved = json.loads(run("station", heated, "--json", "--today", TODAY).out)["moved"]
    assert f"{moved[0]['cohort']} " in ran.out
    assert "Moved by the temperatures since yesterday" in run("station", heated, "--today", TODAY).out


def test_a_file_that_differs_much_from_the_days_that_are_there_is_doubted(heated: Path) -> None:
    first, days = date(2026, 9, 20), [(10.0, 20.0)] * 10
    assert taken(heated, power(first, days), "--yes").status == 0
    ran = taken(heated, power(first, [(14.0, 24.4)] * 10))
    assert (
        "on 10 days that are there already the file differs by 4.2 C a day; is it of the same station?"
        in " ".join(ran.said.split())
    )
    assert "same station" in taken(heated, power(first, [(13.3, 22.9)] * 10)).said  # 3.1 C apart
    assert "same station" not in taken(heated, power(first, [(13.0, 22.8)] * 10)).said
    assert "same station" not in taken(heated, power(first, [(14.0, 24.4)] * 9)).said


def test_a_file_of_before_the_season_is_doubted_where_the_season_has_no_days_of_its_own(heated: Path) -> None:
    before = power(date(2026, 8, 1), [(10.0, 20.0)] * 20)
    doubt = "its days end on Thu 20 Aug 2026, before the season"
    assert doubt in " ".join(taken(heated, before).said.split())
    inside = taken(heated, power(date(2026, 9, 20), [(10.0, 20.0)] * 10), "--yes")
    assert inside.status == 0
    assert "before the season" not in inside.said
    assert "before the season" not in taken(heated, before).said


def test_a_day_that_cannot_be_is_told_in_the_units_in_use(heated: Path) -> None:
    ran = taken(in_us(heated), power(date(2026, 10, 1), [(10.0, 20.0), (25.0, 20.0)]), "--yes")
    assert "the low, 77 F, is over the high, 68 F" in " ".join(ran.out.split())


def test_how_far_days_lie_apart_is_told_in_the_units_in_use(heated: Path) -> None:
    first, days = date(2026, 9, 20), [(10.0, 20.0)] * 10
    assert taken(heated, power(first, days), "--yes").status == 0
    assert (
        run("station", heated, "add", "10", "20", "--date", "2026-11-06", "--yes", "--today", TODAY).status
        == 0
    )
    next_day = ("station", heated, "add", "31C", "41C", "--date", "2026-11-07", "--dry-run", "--today", TODAY)
    warmer = "that is 21 C warmer than the day before; are both in C?"
    assert warmer in " ".join(run(*next_day).out.split())
    in_us(heated)
    warmer = "that is 37.8 F warmer than the day before; are both in F?"
    assert warmer in " ".join(run(*next_day).out.split())
    apart = taken(heated, power(first, [(14.0, 24.4)] * 10))
    assert "differs by 7.56 F a day" in " ".join(apart.said.split())
