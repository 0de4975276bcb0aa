"""A season in twenty minutes, typed as its page says: a new grower's way from an empty folder to next year's season."""

from __future__ import annotations

from pathlib import Path

import pytest
from sessions import blocks, typed
from small_season import run


def test_a_season_passes_as_its_page_tells_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    # The ids of bags are made with a person's name, which the page sets itself: what this one is must not matter.
    monkeypatch.setenv("LOGNAME", "root")
    assert sum(typed(block, monkeypatch) for _, block in blocks("first-season.md")) > 30
    for season in ("hill-farm.toml", "hill-farm-2028.toml"):
        checked = run("check", season, today=None)
        assert checked.status == 0, checked.said
    assert (tmp_path / "hill-farm.html").stat().st_size > 10_000
