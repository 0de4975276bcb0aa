"""new --from: next year's season made of one that is there, shown first; nothing is ever written over."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest
from small_season import PLAIN, run

from calendar_tui.storage.new_season import write_new
from calendar_tui.storage.problems import SeasonFileError
from tests.season_data import data_of

NEW = "near-fields-2027-28.toml"


@pytest.fixture
def season(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "near-fields.toml"
    path.write_text(PLAIN, encoding="utf-8")
    assert run("tasks", path, "--yes").status == 0
    return path


def test_it_is_shown_and_made_beside_the_old_one_once_that_is_agreed_to(season: Path) -> None:
    before = season.read_bytes()
    left = run("new", "--from", season.name, typed="n\n")
    assert left.status == 0
    assert f"{NEW}, made of near-fields.toml:" in left.out
    assert left.out.endswith(f"{NEW} is not made.\n")
    assert not (season.parent / NEW).exists()
    made = run("new", "--from", season.name, typed="y\n")
    assert made.out.endswith(f"Made {NEW}. Open it: calendar-tui {NEW}\n")
    assert season.read_bytes() == before
    assert run("check", NEW).out.endswith("0 problems.\n")
    assert run("tasks", NEW).out == "The saved tasks agree with the plan.\n"


def test_the_text_of_what_is_kept_stays_with_its_comments(season: Path) -> None:
    assert run("new", "--from", season, "--yes").status == 0
    old, new = (path.read_text().splitlines() for path in (season, season.parent / NEW))
    for line in (
        "# The near fields",
        "latitude = -34.3   # degrees",
        "lamps = { target_h = 16.0, kw = 0.9 }",
    ):
        assert line in old
        assert line in new
    assert "planned = { seeding = 2027-10-05, transplant = 2027-10-30, lights_off = 2028-02-10 }" in new
    data = data_of("\n".join(new))
    assert "outage" not in data
    assert all("recorded" not in cohort for cohort in data["cohort"])


def test_what_is_not_carried_over_is_told_line_by_line(season: Path) -> None:
    out = run("new", "--from", season, "--dry-run").out
    part = out[out.index("Not carried over:") : out.index("To look at:")]
    assert "  1 recorded dates of cohort A1\n" in part
    assert "  outage of H1, 20 Nov 2026 to 21 Nov 2026\n" in part
    assert "new ones are made of the chores" in part
    assert "Planned dates, 1 year later by date; weekdays move:" in out
    assert "A1: seeding Tue 5 Oct 2027, transplant Sat 30 Oct 2027, lights off Thu 10 Feb" in out


def test_json_has_all_of_it_and_a_dry_run_writes_nothing(season: Path) -> None:
    files = sorted(season.parent.iterdir())
    ran = run("new", "next.toml", "--from", season, "--dry-run", "--json", "--years", "2")
    row = json.loads(ran.out)
    assert (row["file"], row["saved"], row["name"]) == ("next.toml", False, "Near Fields 2028-29")
    assert row["first_day"] == "2028-09-01"
    assert {"cohort": "A1", "stage": "seeding", "old": "2026-10-05", "new": "2028-10-05"} in row["dates"]
    assert {"kind": "outage", "number": 1, "text": "outage of H1, 20 Nov 2026 to 21 Nov 2026"} in row["left"]
    assert sorted(season.parent.iterdir()) == files
    saved = json.loads(run("new", "next.toml", "--from", season, "--yes", "--json", "--name", "Second").out)
    assert (saved["saved"], saved["name"]) == (True, "Second")
    assert data_of(Path("next.toml").read_text())["season"]["name"] == "Second"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("--from near-fields.toml near-fields.toml --yes", "near-fields.toml is there already"),
        ("--from near-fields.toml nowhere/next.toml --yes", "there is no folder nowhere"),
        ("--from near-fields.toml next.txt --yes", "the name of a season file ends in .toml"),
        ("--from gone.toml --yes", "there is no such file"),
        ("--from broken.toml --yes", "broken.toml:1: not TOML"),
        ("--from wrong.toml --yes", "wrong.toml:"),
        ("--from near-fields.toml --years 0 --yes", "0 years: write how many years later"),
        ("--from near-fields.toml --years soon --yes", '--years "soon" is no whole number'),
        ("--from near-fields.toml --seed -3 --yes", '--seed "-3" is no whole number'),
        ("--from near-fields.toml --today 2031-01-01 --yes", "write --years 4, which is the first"),
        ("--from near-fields.toml --position 1,1 --yes", "leave out --position"),
        ("--from near-fields.toml --example --yes", "leave out --example"),
        ("--from near-fields.toml --with near-fields.toml --yes", "is named twice"),
        ("--from near-fields.toml --json", "--json asks nothing: add --dry-run"),
        ("--from near-fields.toml", "no answer; add --yes"),
        ("next.toml --years 2", "--years goes with --from SEASON"),
        ("next.toml --keep-figures --dry-run", "--keep-figures and --dry-run go with --from SEASON"),
    ],
)
def test_wrong_input_is_told_and_nothing_is_written(season: Path, words: str, said: str) -> None:
    (season.parent / "broken.toml").write_text("x = [\n")
    (season.parent / "wrong.toml").write_text(PLAIN.replace('variety = "dayfree"', 'variety = "dayfre"'))
    before = {path: path.read_bytes() for path in season.parent.iterdir()}
    given = words.split()
    today = given.pop(given.index("--today") + 1) if "--today" in given else "2026-11-09"
    ran = run("new", *(word for word in given if word != "--today"), today=today)
    assert ran.status != 0
    assert said in ran.said
    assert {path: path.read_bytes() for path in season.parent.iterdir()} == before


def test_a_folder_that_takes_no_file_is_told_before_anything_is_asked(
    season: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whoever runs the tests may write everywhere, so the system is asked in its place."""
    (season.parent / "closed").mkdir()
    allowed = os.access
    monkeypatch.setattr(os, "access", lambda path, mode: Path(path).name != "closed" and allowed(path, mode))
    ran = run("new", "closed/next.toml", "--from", season, "--yes")
    assert "nothing can be written in closed; name a file in another folder" in ran.said
    assert list((season.parent / "closed").iterdir()) == []


def test_a_file_that_came_to_be_there_meanwhile_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "next.toml"
    path.write_text("mine")
    with pytest.raises(SeasonFileError, match="is there already"):
        write_new(path, "other")
    assert path.read_text() == "mine"


def test_a_station_must_stand_beside_the_new_file_too(season: Path) -> None:
    table = '[heat]\n\n[station]\nfile = "station.csv"\nunit = "C"\n\n[[chore]]'
    season.write_text(season.read_text().replace("[[chore]]", table, 1))
    days = "".join(f"2025-{m:02d}-{d:02d},10,20\n" for m in range(1, 13) for d in range(1, 29))
    (season.parent / "station.csv").write_text(f"date,low,high\n{days}")
    (season.parent / "other").mkdir()
    ran = run("new", "other/next.toml", "--from", season, "--yes")
    assert "station.csv" in ran.said
    assert not (season.parent / "other" / "next.toml").exists()
    beside = run("new", "--from", season, "--yes")
    assert "station.csv, which must stand beside the new file too" in " ".join(beside.out.split())
    assert (season.parent / NEW).exists()


def test_a_season_of_an_older_form_is_made_in_the_newest(season: Path) -> None:
    old = PLAIN.replace("format = 3", "format = 1")
    (season.parent / "old.toml").write_text(old)
    assert run("new", "next.toml", "--from", "old.toml", "--yes").status == 0
    assert Path("next.toml").read_text().startswith("# The near fields\nformat = 3\n")
    assert run("check", "next.toml").status == 0
    assert Path("old.toml").read_text() == old
