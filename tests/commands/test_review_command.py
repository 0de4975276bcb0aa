"""The command `review`: what it prints, as text and as data, and what it takes over."""

from __future__ import annotations

import json
import shutil
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from small_season import run

from calendar_tui.season.edits import Change, Edit
from calendar_tui.storage.season_file import save_change

EXAMPLE = Path(__file__).parents[2] / "seasons" / "two-rivers.toml"
DAY = "2026-12-08"


@pytest.fixture
def season(tmp_path: Path) -> Path:
    return Path(shutil.copy(EXAMPLE, tmp_path / "two-rivers.toml"))


def test_it_says_what_is_known_and_what_is_missing(season: Path) -> None:
    out = run("review", season, today=DAY).out
    for heading in ("Dates:", "Hours:", "Lamps:", "Other days than planned", "To carry forward", "Not known"):
        assert heading in out
    assert "no hours spent are noted: calendar-tui done TASK --spent 3.5" in " ".join(out.split())
    assert max(map(len, out.splitlines())) <= 80


def test_it_prints_the_same_as_data(season: Path) -> None:
    row = json.loads(run("review", season, "--json", today=DAY).out)
    assert {"records", "scores", "hours", "lamps", "outages", "slips", "causes", "carry", "missing"} < set(
        row
    )
    every = next(s for s in row["scores"] if (s["basis"], s["group"]) == ("plan dates", ""))
    assert every["n"] == sum(r["basis"] == "plan dates" for r in row["records"])
    assert every["inside"] is None


@pytest.mark.slow
def test_spent_hours_and_causes_come_into_it(season: Path) -> None:
    ran = run("done", season, "rkp8", "b7n8", "--spent", "1 h 30", "--fact", "3 bags", "--yes", today=DAY)
    assert "spent 1 h" in ran.out
    assert "spent 0.5 h" in ran.out
    late = run(
        "done",
        season,
        "k66g",
        "--on",
        "today",
        "--cause",
        "trays late",
        "--spent",
        "2",
        "--fact",
        "108",
        "--lights-off",
        "hold",
        "--yes",
        today=DAY,
    )
    assert late.status == 0, late.err
    row = json.loads(run("review", season, "--json", today=DAY).out)
    (cause,) = [c for c in row["causes"] if c["cause"]]
    assert (cause["cause"], cause["n"], cause["late_d"]) == ("trays late", 1, 4)
    samples = next(h for h in row["hours"] if h["chore"] == "weekly-samples")
    assert (samples["timed"], samples["timed_planned_h"], samples["spent_h"], samples["ratio"]) == (
        2,
        0.75,
        1.5,
        2.0,
    )
    assert "rain" not in run("set", season, "cohort", "A3", today=DAY).out
    assert "trays late" in run("set", season, "cohort", "A3", today=DAY).out


def test_a_cause_belongs_to_a_date(season: Path) -> None:
    ran = run("done", season, "df26", "--cause", "rain", "--yes", today=DAY)
    assert ran.status == 2
    assert "--cause does not apply" in ran.err
    assert "no hours" in run("done", season, "df26", "--spent", "some", "--yes", today=DAY).err
    assert (
        run("record", season, "H2", "outage", "2026-12-01", "--cause", "rain", "--yes", today=DAY).status == 2
    )


@pytest.mark.slow
def test_one_figure_is_taken_and_taken_back(season: Path) -> None:
    before = season.read_bytes()
    (wanted, *_) = [c["id"] for c in json.loads(run("review", season, "--json", today=DAY).out)["carry"]]
    assert run("review", season, "--take", wanted, "--dry-run", today=DAY).status == 0
    assert season.read_bytes() == before
    assert "Saved:" in run("review", season, "--take", wanted, "--yes", today=DAY).out
    assert season.read_bytes() != before
    assert run("undo", season, today=DAY).status == 0
    assert season.read_bytes() == before
    wrong = run("review", season, "--take", "hours-nothing", "--yes", today=DAY)
    assert (wrong.status, "is not proposed" in wrong.err) == (2, True)


def test_a_season_as_it_was_takes_nothing(season: Path) -> None:
    for flags in (("--take", "hours-scout", "--yes"), ("--ahead", "14")):
        ran = run("review", season, "--at", "2026-12-01", *flags, today=DAY)
        assert (ran.status, "--at does not go with" in ran.err) == (2, True)


def test_a_season_without_records_has_no_shares(tmp_path: Path) -> None:
    ran = run(
        "new",
        tmp_path / "made.toml",
        "--name",
        "X",
        "--latitude",
        "44.5",
        "--longitude",
        "-71",
        "--timezone",
        "America/New_York",
        "--first-day",
        "2027-03-01",
        "--last-day",
        "2027-12-31",
        today="2027-03-01",
    )
    assert ran.status == 0, ran.err
    out = run("review", tmp_path / "made.toml", today="2027-03-01").out
    assert "no date is recorded" in out
    assert "%" not in out


@pytest.mark.slow
def test_what_was_said_days_ahead_is_had_from_the_history(season: Path) -> None:
    """Between two changes the history knows the file to the byte: the day 14 days before one record lies there."""
    text = season.read_text()
    noted = Edit("set", "cohort", ("B2",), ("note",), "seen")
    when = datetime(2026, 11, 20, 12, tzinfo=UTC)
    save_change(season, Change("noted", (noted,)), who="ana", when=when)
    then = season.parent / "then" / "two-rivers.toml"
    then.parent.mkdir()
    then.write_text(season.read_text())
    assert then.read_text() != text
    induced = Edit("set", "cohort", ("A2",), ("recorded", "induced"), date(2026, 12, 5))
    save_change(season, Change("induced", (induced,)), who="ana", when=datetime(2026, 12, 5, 12, tzinfo=UTC))
    ran = run("review", season, "--ahead", "14", "--json", today=DAY)
    rows = [r for r in json.loads(ran.out)["records"] if r["basis"] == "14 d before"]
    assert [(r["cohort"], r["stage"]) for r in rows] == [("A2", "induced")]
    dates = json.loads(run("dates", then, "A2", "--json", today="2026-11-21").out)["dates"]
    (was,) = [s for s in dates if s["stage"] == "induced"]
    assert (rows[0]["earliest"], rows[0]["said"], rows[0]["latest"]) == (
        was["earliest"],
        was["likely"],
        was["latest"],
    )
    assert "does not know the season as it was" in " ".join(ran.err.split())
    for wrong in ("0", "some", "-3", "4000"):
        assert "give days before each record" in run("review", season, f"--ahead={wrong}", today=DAY).err
