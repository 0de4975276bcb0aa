"""What the crew of a new season speaks, given as it is made."""

from __future__ import annotations

from pathlib import Path

import pytest
from small_season import run

from tests.season_data import data_of

SITE = (
    *("--name", "Near", "--position", "34.3 S 56.7 W", "--timezone", "America/Montevideo"),
    *("--first-day", "2026-09-15", "--last-day", "2027-05-31", "--yes"),
)


@pytest.mark.parametrize("records", [("--example",), ()])
def test_a_new_season_has_the_language_that_is_given_and_its_week_is_in_it(
    records: tuple[str, ...], tmp_path: Path
) -> None:
    path = tmp_path / "near.toml"
    assert run("new", path, *SITE, *records, "--lang", "es", today="2026-09-21").status == 0
    assert data_of(path.read_text(encoding="utf-8"))["season"]["language"] == "es"
    assert run("check", path).status == 0
    assert "Semana del lun 21 sep 2026 - Near" in run("week", path, today="2026-09-21").out


def test_without_it_the_file_says_nothing_of_a_language(tmp_path: Path) -> None:
    path = tmp_path / "near.toml"
    assert run("new", path, *SITE, today="2026-09-21").status == 0
    assert "language" not in path.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("code", "right"),
    [
        ("sp", '--lang "sp" is no language that is here. Languages: en, es'),
        ("ES", "write the code of a language"),
    ],
)
def test_a_language_that_is_none_is_refused_and_nothing_is_made(
    code: str, right: str, tmp_path: Path
) -> None:
    path = tmp_path / "near.toml"
    ran = run("new", path, *SITE, "--lang", code, today="2026-09-21")
    assert (ran.status, right in ran.err, path.exists()) == (2, True, False), ran.said


def test_what_was_answered_so_far_names_the_language_too(tmp_path: Path) -> None:
    ran = run("new", tmp_path / "near.toml", "--name", "Near", "--lang", "es", today="2026-09-21")
    assert "--name=Near --lang=es" in ran.err


def test_a_season_made_of_another_one_keeps_its_language(tmp_path: Path) -> None:
    path, later = tmp_path / "near.toml", tmp_path / "later.toml"
    assert run("new", path, *SITE, "--lang", "es", today="2026-09-21").status == 0
    refused = run("new", later, "--from", path, "--lang", "en", today="2027-06-01")
    assert (refused.status, "leave out --lang" in refused.err) == (2, True), refused.said
    assert run("new", later, "--from", path, "--yes", today="2027-06-01").status == 0
    assert data_of(later.read_text(encoding="utf-8"))["season"]["language"] == "es"
