"""A season to start from: given by flags or asked, checked before anything is written."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st
from small_season import refused_quietly, run

from calendar_tui.commands.starting import text_that_fits
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import make_plan
from calendar_tui.season.checks import noon_text
from calendar_tui.season.reading import read_season
from calendar_tui.storage.new_season import example_season_text
from tests.season_data import data_of

# --- new

SITE = ("--latitude", "-34.3", "--longitude", "-56.7", "--timezone", "America/Montevideo")
DAYS = ("--first-day", "2026-09-15", "--last-day", "2027-05-31")


def test_new_from_flags_makes_a_season_that_checks(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    ran = run("new", path, "--example", "--name", "Hill Farm", *SITE, *DAYS)
    assert ran.status == 0, ran.said
    assert f"calendar-tui check {path}" in ran.out
    data = data_of(path.read_text())
    assert data["season"]["name"] == "Hill Farm"
    assert data["site"]["latitude"] == -34.3
    assert data["task"]
    assert "#" in path.read_text()
    assert run("check", path).out.endswith("0 problems.\n")
    assert run("tasks", path).out == "The saved tasks agree with the plan.\n"


@pytest.mark.slow
@pytest.mark.parametrize(
    ("latitude", "longitude", "zone", "first"),
    [
        ("0", "36.8", "Africa/Nairobi", "2026-01-01"),
        ("19.1", "-98.6", "America/Mexico_City", "2026-05-01"),
        ("44", "11", "Europe/Rome", "2026-03-01"),
        ("60", "25", "Europe/Helsinki", "2026-04-01"),
        ("-43", "172", "Pacific/Auckland", "2026-09-01"),
    ],
)
def test_new_makes_a_season_that_checks_anywhere(
    tmp_path: Path, latitude: str, longitude: str, zone: str, first: str
) -> None:
    last = date.fromisoformat(first) + timedelta(days=300)
    path = tmp_path / "mine.toml"
    site = (f"--latitude={latitude}", f"--longitude={longitude}", f"--timezone={zone}")
    ran = run("new", path, "--example", "--name", "x", *site, "--first-day", first, "--last-day", last)
    assert ran.status == 0, ran.said
    checked = run("check", path)
    assert checked.status == 0, checked.out


def first_cohort(text: str, first: date) -> Timeline:
    season = read_season(data_of(text)).season
    assert season is not None
    return make_plan(season, first).timelines["A1"]


def test_new_picks_a_lights_off_that_does_bring_flowering(tmp_path: Path) -> None:
    """At 34 S from August on: lights off on 27 October would begin a count that the growing days put back to zero."""
    path = tmp_path / "c.toml"
    site = ("--latitude=-34.2", "--longitude=151.2", "--timezone=Australia/Sydney")
    days = ("--first-day=2026-08-01", "--last-day=2027-06-30", "--today=2026-08-20")
    ran = run("new", path, "--example", "--name=C", *site, *days)
    assert ran.status == 0, ran.said
    own = first_cohort(path.read_text(), date(2026, 8, 20))
    off, trigger = own.likely("lights_off"), own.likely("trigger")
    assert off is not None
    assert trigger is not None
    assert (trigger - off).days <= 7
    assert "does not bring flowering" not in run("check", path, "--today=2026-08-20").out


@pytest.mark.slow
def test_a_new_season_that_ends_too_early_says_what_it_has_no_room_for(tmp_path: Path) -> None:
    """At 44 N the natural day is under 14 h from the middle of August: flowering in September, harvest in November."""
    path = tmp_path / "mine.toml"
    site = ("--latitude=44.1", "--longitude=-120", "--timezone=America/Los_Angeles")
    ran = run(
        "new", path, "--example", "--name", "x", *site, "--first-day=2027-04-01", "--last-day=2027-11-01"
    )
    assert ran.status == 0
    assert "A1 cannot be harvested and dried by the last day, 2027-11-01" in ran.out
    checked = run("check", path, "--today=2027-04-01")
    assert checked.status == 0, checked.out
    told = " ".join(ran.out.split()).split("Write last_day = ")[1].split()[0]
    again = run(
        "new",
        tmp_path / "b.toml",
        "--example",
        "--name=x",
        *site,
        "--first-day=2027-04-01",
        f"--last-day={told}",
    )
    assert "cannot" not in again.out
    assert first_cohort((tmp_path / "b.toml").read_text(), date(2027, 4, 1)).likely(
        "dried"
    ) == date.fromisoformat(told)


@pytest.mark.slow
@settings(max_examples=20, phases=(Phase.generate,))  # making a failing season smaller takes minutes
@given(
    st.integers(-66, 66),
    st.dates(date(2026, 1, 1), date(2027, 12, 31)),
    st.one_of(st.integers(120, 240), st.integers(120, 800)),
)
def test_the_first_cohort_is_dried_within_a_new_season_that_has_room_for_it(
    latitude: int, first: date, days: int
) -> None:
    """Room is what the earliest dates leave: sown on the first day, and no lamps from the transplant on."""
    site = {"name": "x", "latitude": latitude, "longitude": 0, "timezone": "UTC", "first_day": first}
    last = first + timedelta(days=days)
    text, lacks = text_that_fits({**site, "last_day": last})
    cohort = first_cohort(text, first)
    for seeding, off in ((0, 25), (0, 60), (10, 70), (20, 80), (20, 119)):
        dates = {"seeding": seeding, "transplant": seeding + 25, "lights_off": off}
        planned = {stage: first + timedelta(days=d) for stage, d in dates.items()}
        other = first_cohort(example_season_text(**{**site, "last_day": last, **planned}), first)
        if (dried := other.likely("dried")) is not None and dried <= last:
            assert lacks == ""
    if lacks == "":
        dried = cohort.likely("dried")
        assert dried is not None
        assert dried <= last
    else:
        assert f"by the last day, {last}" in lacks


def test_new_asks_what_the_flags_leave_out(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    ran = run("new", path, *SITE, typed="Hill Farm\n2026-09-15\n2027-05-31\n")
    assert ran.status == 0, ran.said
    assert "Name of the season" in ran.out
    assert "Latitude" not in ran.out
    assert data_of(path.read_text())["season"]["name"] == "Hill Farm"


def test_new_asks_the_type_of_its_first_variety_with_what_each_would_give(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    typed = "Hill Farm\n2026-09-15\n2027-05-31\nday-neutral\noil-zang\noil zhang\n"
    ran = run("new", path, "--example", *SITE, typed=typed)
    assert ran.status == 0, ran.said
    lines = ran.out.splitlines()
    shown = [n for n, line in enumerate(lines) if line.startswith("  oil-unknown ")]
    assert "induced with each:" in lines[shown[0] - 1]
    assert [line.split()[0] for line in lines[shown[0] : shown[0] + 5]] == [
        "oil-unknown", "oil-fitted", "oil-zhang", "fibre-subtropical", "fibre-northern",
    ]  # fmt: skip
    assert len({line[18:43] for line in lines[shown[0] : shown[0] + 5]}) == 5
    assert "day-neutral is the type of its second variety" in ran.out
    assert 'did you mean "oil-zhang"?' in ran.out
    assert [v["type"] for v in data_of(path.read_text())["variety"]] == ["oil-zhang", "day-neutral"]
    assert run("check", path).status == 0


@pytest.mark.slow
@pytest.mark.parametrize(
    "kind", ["oil-unknown", "oil-fitted", "oil-zhang", "fibre-subtropical", "fibre-northern"]
)
def test_a_new_season_of_any_type_flowers_and_checks(tmp_path: Path, kind: str) -> None:
    path = tmp_path / "mine.toml"
    ran = run("new", path, "--example", "--name=x", *SITE, *DAYS, f"--type={kind}")
    assert ran.status == 0, ran.said
    assert "Type of its first variety" not in ran.out
    assert data_of(path.read_text())["variety"][0]["type"] == kind
    assert first_cohort(path.read_text(), date(2026, 9, 15)).likely("dried") is not None
    assert run("check", path).status == 0


def test_without_a_word_on_the_type_a_new_season_has_the_default(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    assert run("new", path, "--example", "--name=x", *SITE, *DAYS).status == 0
    assert data_of(path.read_text())["variety"][0]["type"] == "oil-unknown"


def test_new_asks_again_after_a_wrong_answer(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    typed = "Hill\n120\nsouth\n-34.3\nwest\n-56.7\nAmerica/Montevido\nAmerica/Montevideo\nsoon\n15 sep 2026\n31 may\n"
    ran = run("new", path, typed=typed)
    assert ran.status == 0, ran.said
    assert "latitude is 120.0; it must be from -90 to 90" in ran.out
    assert 'position "south" is not a number; write both, such as 44.5 N, 123.2 W' in ran.out
    assert 'longitude "west" is not a number; write degrees, east positive' in ran.out
    assert 'did you mean "America/Montevideo"?' in ran.out
    assert 'first day "soon" is not a date; write 2026-11-09, 9 nov' in ran.out
    assert "first day is Tue 15 Sep 2026\n" in ran.out
    assert "last day is Mon 31 May 2027\n" in ran.out
    assert data_of(path.read_text())["site"]["latitude"] == -34.3


def test_new_with_nobody_to_answer_writes_nothing(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    ran = run("new", path, *SITE)
    assert ran.status == 2
    assert "no answer: give --name, --first-day and --last-day\n" in ran.err
    assert not path.exists()


@pytest.mark.parametrize(
    ("flags", "said"),
    [
        (("--latitude", "120"), "latitude is 120.0; it must be from -90 to 90"),
        (("--latitude", "nan"), 'latitude "nan" is not a number'),
        (("--longitude", "1999"), "from -180 to 180"),
        (("--longitude", "1e999"), 'longitude "1e999" is not longitude'),
        (("--longitude", "west"), 'longitude "west" is not a number'),
        (("--timezone", "Mars/Olympus"), "no known time zone"),
        (("--timezone", 'x"\nfoo = "y'), "control or hidden character"),
        (("--timezone", 'UTC" #'), "no known time zone"),
        (("--name", "x\x1b[2J"), "control or hidden character"),
        (("--first-day", "soon"), 'first day "soon" is not a date'),
        (("--first-day", "9999-12-31"), "from 1900 to 2199"),
        (("--last-day", "2026-09-15"), "last day is 0 days after first day; a new season needs 120 to 800"),
        (("--last-day", "2026-10-15"), "last day is 30 days after first day; a new season needs 120 to 800"),
        (("--last-day", "2036-10-15"), "a new season needs 120 to 800"),
        (("--example", "--type", "oil"), '"oil" is not a type of variety'),
        (("--example", "--type", "day-neutral"), "day-neutral is the type of its second variety"),
        (
            ("--type", "oil-zhang"),
            '--type is of an example; give a variety with its type: --variety "amber oil-zhang"',
        ),
        (
            ("--example", "--place", "F1 field"),
            "--example brings its own places, varieties and cohorts; leave out --place",
        ),
        (("--place", "F1"), "place F1: its kind is missing"),
        (("--variety", "amber oil"), '"oil" is not a type of variety'),
        (("--cohort", "A1 amber F1 seed 1 oct"), 'cohort A1: "amber" is neither a variety nor a place'),
    ],
)
def test_new_refuses_wrong_flags_and_writes_nothing(
    tmp_path: Path, flags: tuple[str, ...], said: str
) -> None:
    path = tmp_path / "mine.toml"
    ran = run("new", path, "--name", "x", *SITE, *DAYS, *flags)
    assert ran.status == 2, ran.said
    assert said in ran.err
    refused_quietly(ran.said)
    assert list(tmp_path.iterdir()) == []


def test_new_refuses_a_file_that_is_there(season: Path) -> None:
    before = season.read_bytes()
    ran = run("new", season, "--name", "x", *SITE, *DAYS)
    assert ran.status == 2
    assert "is there already; give the name of a new file" in ran.err
    assert season.read_bytes() == before


def test_new_needs_one_name_in_a_folder_that_is_there(tmp_path: Path) -> None:
    assert "name one new file" in run("new", tmp_path / "a.toml", tmp_path / "b.toml").err
    ran = run("new", tmp_path / "none" / "a.toml", "--name", "x", *SITE, *DAYS)
    assert ran.status == 2
    assert f"there is no folder {tmp_path / 'none'}; " in ran.err


@pytest.mark.parametrize("name", ['A "quoted" name', "back\\slash", "Ñandú 🌱", "x'''"])
def test_new_keeps_a_name_as_it_was_given(tmp_path: Path, name: str) -> None:
    path = tmp_path / "mine.toml"
    assert run("new", path, "--name", name, *SITE, *DAYS).status == 0
    assert data_of(path.read_text(encoding="utf-8"))["season"]["name"] == name


def test_a_wrong_sign_is_asked_again_and_no_answer_is_lost(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    typed = "Hill\n-34.3\n56.7\nAmerica/Montevideo\n56.7 W\n\n15 sep 2026\n31 may\n"
    ran = run("new", path, typed=typed)
    assert ran.status == 0, ran.said
    assert "longitude 56.7 is 7 h from the clock of America/Montevideo; did you mean -56.7?\n" in ran.out
    assert "Enter keeps America/Montevideo: " in ran.out
    assert data_of(path.read_text())["site"]["longitude"] == -56.7


def test_a_last_day_that_does_not_fit_the_first_asks_for_both_again(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    ran = run("new", path, "--name", "x", *SITE, typed="2027-09-15\n2027-05-31\n2026-09-15\n\n")
    assert ran.status == 0, ran.said
    assert "last day is -107 days after first day; a new season needs 120 to 800" in ran.out
    season = data_of(path.read_text())["season"]
    assert (season["first_day"], season["last_day"]) == (date(2026, 9, 15), date(2027, 5, 31))


def test_a_new_season_has_no_task_before_the_day_it_was_made_and_says_how_many_are_left_out(
    tmp_path: Path,
) -> None:
    path = tmp_path / "mine.toml"
    ran = run("new", path, "--example", "--name", "x", *SITE, *DAYS, today="2026-11-28")
    assert ran.status == 0, ran.said
    assert min(t["date"] for t in data_of(path.read_text())["task"]) >= date(2026, 11, 28)
    assert "overdue" not in run("week", path, "--brief", today="2026-11-28").out
    left_out = int(ran.out.split(" tasks due before today are left out. ")[0].split()[-1])
    assert left_out > 0
    assert "To add them, delete the line since = 2026-11-28" in " ".join(ran.out.split())
    assert f"\n  calendar-tui tasks {path}\n" in ran.out
    assert max(len(line) for line in ran.out.splitlines() if str(path) not in line) <= 80
    whole = len(data_of(path.read_text())["task"]) + left_out
    path.write_text(path.read_text().replace("since = 2026-11-28", "# since = 2026-11-28"))
    assert run("tasks", path, "--yes", today="2026-11-28").status == 0
    assert len(data_of(path.read_text())["task"]) == whole


@pytest.mark.parametrize(
    ("name", "why"),
    [
        ("farms/mine.toml", "there is no folder farms; make it first, or give another name"),
        ("mine.txt", "mine.txt: the name of a season file ends in .toml; write mine.toml"),
        ("mine", "mine: the name of a season file ends in .toml; write mine.toml"),
    ],
)
def test_a_file_that_could_not_be_made_or_not_be_seen_again_is_refused_before_all_questions(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str, why: str
) -> None:
    monkeypatch.chdir(tmp_path)
    ran = run("new", name, typed="Hill\n")
    assert (ran.status, ran.out, ran.err) == (2, "", f"{why}\n")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("site", "days"),
    [
        (SITE, DAYS),
        (
            ("--latitude=44.5", "--longitude=-123", "--timezone=America/Los_Angeles"),
            ("--first-day=2026-03-01", "--last-day=2026-12-31"),
        ),
    ],
)
def test_check_notes_nothing_of_the_starter_chores_of_a_new_season(
    tmp_path: Path, site: tuple[str, ...], days: tuple[str, ...]
) -> None:
    path = tmp_path / "mine.toml"
    assert run("new", path, "--example", "--name", "x", *site, *days).status == 0
    ran = run("check", path)
    assert ran.status == 0, ran.said
    assert "note:" not in ran.out


SYDNEY = ("--latitude", "-33.9", "--timezone", "Australia/Sydney", *DAYS, "--name", "x")
NOON = "solar noon there is at 08:04 by the standard time of Australia/Sydney; is the longitude 151 east?"


def test_a_longitude_of_the_other_side_of_the_date_line_is_asked_again(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    ran = run("new", path, *SYDNEY, typed="151 W\n151 E\n")
    assert ran.status == 0, ran.said
    assert f"longitude -151: {NOON}\n" in ran.out
    assert data_of(path.read_text())["site"]["longitude"] == 151


def test_an_unlikely_longitude_is_taken_once_it_is_confirmed_and_check_warns_of_it(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    ran = run("new", path, *SYDNEY, typed="151 W\n\n")
    assert (ran.status, ran.out.count("solar noon")) == (0, 1)
    checked = run("check", path)
    line = (
        path.read_text()
        .splitlines()
        .index("longitude = -151.0             # degrees, east positive, west with a minus")
        + 1
    )
    assert f"warning: {path}:{line}: site: {NOON}" in checked.out
    assert (checked.status, "1 warning.\n" in checked.out) == (0, True)


@pytest.mark.parametrize(
    ("longitude", "zone"),
    [(76, "Asia/Shanghai"), (151, "Australia/Sydney"), (-8.8, "Europe/Madrid"), (-172, "Pacific/Apia")],
)
def test_noon_is_not_questioned_where_farms_are(longitude: float, zone: str) -> None:
    assert [noon_text(longitude, zone, date(2026, month, 21)) for month in (6, 12)] == ["", ""]


@pytest.mark.parametrize(("latitude", "shown"), [("-34.3", "21 Dec, 14 h 27"), ("34.3", "21 Jun, 14 h 27")])
def test_new_prints_the_longest_day_so_that_a_wrong_sign_shows(
    tmp_path: Path, latitude: str, shown: str
) -> None:
    site = ("--latitude", latitude, *SITE[2:])
    ran = run("new", tmp_path / "mine.toml", "--example", "--name", "x", *site, *DAYS)
    assert f"Longest day here: {shown}." in ran.out
