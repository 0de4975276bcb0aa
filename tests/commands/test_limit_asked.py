"""A limit that no law of hemp is known to have is asked about: a slip of the point makes it ten times what it is."""

from __future__ import annotations

from pathlib import Path

import pytest
from sampled_season import TODAY, sampled_season
from small_season import run


@pytest.fixture
def season(tmp_path: Path) -> Path:
    path = sampled_season(tmp_path)
    assert run("rules", path, "eu", "--yes", today=TODAY).status == 0
    return path


def test_a_limit_over_two_percent_is_asked_about(season: Path) -> None:
    ran = run("set", season, "profile", "eu", "limit", "3", "--dry-run", today=TODAY)
    said = " ".join(ran.said.split())
    assert (
        "eu: a limit of 3 % total THC is over 2 %, the highest that a law of hemp is known to have here"
        in said
    )
    asked = run("set", season, "profile", "eu", "limit", "3", today=TODAY, typed="n\n")
    assert "Save all the same? [y/N]" in asked.out


def test_one_that_laws_have_is_not_and_neither_is_one_that_stands(season: Path) -> None:
    for limit in ("0.2", "1.0", "2"):
        ran = run("set", season, "profile", "eu", "limit", limit, "--dry-run", today=TODAY)
        assert "is over 2 %" not in " ".join(ran.said.split())
    assert run("set", season, "profile", "eu", "limit", "3", "--yes", today=TODAY).status == 0
    ran = run("set", season, "profile", "eu", "caution", "x", "--dry-run", today=TODAY)
    assert "is over 2 %" not in " ".join(ran.said.split())
