"""A lot put under another cohort takes what was cut and officially sampled of it along: asked about, as a lot is of one variety."""

from __future__ import annotations

from pathlib import Path

import pytest
from small_season import Ran, run

EXAMPLE = Path(__file__).parents[2] / "seasons" / "two-rivers.toml"
TODAY = "2026-12-08"
MOVE = ("lot", "D0-road", "cohort", "D1")


@pytest.fixture
def season(tmp_path: Path) -> Path:
    """Without the bags of D0's lots, which have a refusal of their own."""
    lines = EXAMPLE.read_text(encoding="utf-8").splitlines(keepends=True)
    path = tmp_path / "two-rivers.toml"
    path.write_text("".join(line for line in lines if ', cohort = "D0", position' not in line), "utf-8")
    return path


def said(ran: Ran) -> str:
    return " ".join(ran.said.split())


def test_its_official_samples_and_passes_are_named_and_what_would_be_right(season: Path) -> None:
    told = said(run("set", season, *MOVE, "--dry-run", today=TODAY))
    assert (
        "? lot D0-road has official sample o1, passes D0-1, D0-2: recorded of D0, and with the lot put under D1. If they are of "
        "plants of D0, leave the lot there and add another: add lot NAME cohort D1" in told
    )
    asked = run("set", season, *MOVE, today=TODAY, typed="n\n")
    assert "Save all the same? [y/N]" in asked.out
    assert 'cohort = "D0"' in season.read_text(encoding="utf-8").partition('id = "D0-road"')[2][:60]


def test_nothing_is_asked_where_its_cohort_stays_or_nothing_was_recorded_of_it(season: Path) -> None:
    assert "go over to" not in said(
        run("set", season, "lot", "D0-road", "note", "x", "--dry-run", today=TODAY)
    )
    assert run("add", season, "lot", "D1-new", "cohort", "D1", "--yes", today=TODAY).status == 0
    assert "go over to" not in said(
        run("set", season, "lot", "D1-new", "cohort", "D0", "--dry-run", today=TODAY)
    )
