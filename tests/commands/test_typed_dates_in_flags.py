"""A date in a flag is typed in the same ways as everywhere else."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
import small_season
from small_season import Ran

TODAY = "2026-12-08"
SEASON = Path(__file__).parents[2] / "seasons" / "two-rivers.toml"


@pytest.fixture
def season(tmp_path: Path) -> Path:
    return Path(shutil.copy(SEASON, tmp_path / "two-rivers.toml"))


def run(season: Path, command: str, *words: str) -> Ran:
    return small_season.run(command, season, *words, today=TODAY, typed="n\n")


# A command with a date as a file has it, and the same dates as a person types them.
ALIKE = [
    ("done", ("--until", "2026-12-08", "--work", "scout", "--dry-run"), ("--until", "today"), ("--until", "8 dec")),
    ("cohort", ("--planted", "2026-10-10"), ("--planted", "10 oct"), ("--planted", "10.10.")),
    ("daylight", ("--from", "2026-12-08", "--to", "2026-12-10"), ("--from", "today"), ("--to", "10 dec"), ("--to", "+2d"), ("--to", "in 2 days"), ("--from", "hoy"), ("--to", "10 de dic.")),
    ("response", ("amber", "F1", "--from", "2026-12-08", "--to", "2026-12-10"), ("--from", "today"), ("--to", "thursday")),
    ("response", ("amber", "H1", "--lamps-off", "2027-01-10", "--from", "2026-12-08", "--to", "2026-12-09"), ("--lamps-off", "10 jan")),
    ("stagger", ("--variety", "amber", "--place", "F1", "--cohorts", "1", "--plants", "10", "--first-harvest", "2027-04-30", "--last-harvest", "2027-05-02"),
     ("--first-harvest", "30 apr"), ("--last-harvest", "2 may")),
]  # fmt: skip


@pytest.mark.parametrize(("command", "words", "others"), [(c, w, o) for c, w, *o in ALIKE])
def test_a_date_may_be_typed_in_any_way(
    season: Path, command: str, words: tuple[str, ...], others: list[tuple[str, str]]
) -> None:
    right = run(season, command, *words)
    assert "not a date" not in right.said
    for flag, typed in others:
        at = words.index(flag)
        ran = run(season, command, *words[: at + 1], typed, *words[at + 2 :])
        assert (ran.status, ran.said) == (right.status, right.said)


def test_the_week_of_a_sheet_may_be_typed_in_any_way(season: Path, tmp_path: Path) -> None:
    pages = []
    for typed in ("2026-12-15", "15 dec"):
        target = tmp_path / f"{len(pages)}.html"
        ran = run(season, "export", "--sheet", str(target), "--week", typed)
        assert ran.status == 0, ran.said
        pages.append(target.read_text())
    assert pages[0] == pages[1]


@pytest.mark.parametrize("typed", ["yesterday", "7 dec", "7 dec 2026", "mon"])
def test_the_day_of_an_earlier_season_may_be_typed_in_any_way(
    season: Path, monkeypatch: pytest.MonkeyPatch, typed: str
) -> None:
    monkeypatch.setenv("CALENDAR_TUI_TODAY", TODAY)
    right = small_season.run("dates", season, "--at", "2026-12-07", today=None)
    assert "not a date" not in right.said
    ran = small_season.run("dates", season, "--at", typed, today=None)
    assert (ran.status, ran.said) == (right.status, right.said)


@pytest.mark.quick(3)
@pytest.mark.parametrize(
    "typed", ["tomorrow", "mañana", "+1", "+1d", "in 1 day", "9 dec", "mié", "2026-W50-3"]
)
def test_today_may_be_set_in_words_that_count_from_the_day_it_is(
    season: Path, monkeypatch: pytest.MonkeyPatch, typed: str
) -> None:
    monkeypatch.setenv("CALENDAR_TUI_TODAY", TODAY)
    right = small_season.run("today", season, today="2026-12-09")
    ran = small_season.run("today", season, f"--today={typed}", today=None)
    assert (ran.status, ran.said) == (0, right.said)


@pytest.mark.parametrize("typed", ["14d", "14 days", "2w", "2 semanas", "14 días"])
def test_days_are_typed_with_their_unit_behind_a_blank_too(season: Path, typed: str) -> None:
    right = run(season, "add", "cohort", "Z9", "--like", "A4", "--later", "14", "--dry-run")
    ran = run(season, "add", "cohort", "Z9", "--like", "A4", "--later", *typed.split(), "--dry-run")
    assert (ran.status, ran.out) == (0, right.out)


@pytest.mark.parametrize("typed", ["-3d", "-3", "hace 3 días", "last sat"])
def test_a_date_before_another_is_no_flag(season: Path, typed: str) -> None:
    right = run(season, "record", "H1", "outage", "2026-12-05", "--dry-run")
    ran = run(season, "record", "H1", "outage", *typed.split(), "--dry-run")
    assert (ran.status, ran.out) == (0, right.out)


@pytest.mark.parametrize(
    ("command", "flag"),
    [
        ("cohort", "--planted"),
        ("daylight", "--from"),
        ("daylight", "--to"),
        ("history", "--at"),
        ("history", "--shorten-before"),
    ],
)
def test_what_is_no_date_is_refused_with_the_flag_and_the_forms(
    season: Path, command: str, flag: str
) -> None:
    ran = run(season, command, flag, "soon")
    assert ran.status == 2
    assert f'{flag} "soon" is not a date; write ' in ran.err
    assert "today" in ran.err
