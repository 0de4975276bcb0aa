"""The map of a trial as it is drawn, held against what was looked at and found right, at two sizes: its text, its colours, and without any.

It has guards, a plot that is lost, and the cursor on that. After a change that is meant, `GOLDEN=write pytest
tests/screens/test_golden_trial.py` writes them anew: read the difference.
"""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest
from test_golden import held, strips_of, text_of
from test_golden_colours import coloured, set_terminal
from textual.strip import Strip

from calendar_tui.screens.app import CalendarApp
from calendar_tui.storage.opening import open_season
from tests.screens.trial_season import TODAY, trial_season

SIZES = ((80, 24), (160, 45))


async def trial_strips(folder: Path, size: tuple[int, int], *, ascii_only: bool = False) -> list[Strip]:
    now = datetime(2027, 1, 10, 9, tzinfo=UTC)
    app = CalendarApp(open_season(trial_season(folder)), TODAY, "Ana", lambda: now, ascii_only=ascii_only)
    return await strips_of(app, size, ("F", "n", "n"))


@pytest.mark.slow
@pytest.mark.parametrize("ascii_only", [False, True], ids=["unicode", "ascii"])
@pytest.mark.parametrize("size", SIZES, ids=lambda size: "x".join(map(str, size)))
async def test_the_map_is_drawn_as_it_was_found_right(
    tmp_path: Path, size: tuple[int, int], ascii_only: bool
) -> None:
    text = text_of(await trial_strips(tmp_path, size, ascii_only=ascii_only))
    assert len(text.splitlines()) == size[1]
    assert not ascii_only or text.isascii()
    for sign in (">103x", "::", "^ north", "lost from Fri 8 Jan 2027 on: flooded"):
        assert sign in text, sign
    held(text, f"trial-{size[0]}x{size[1]}-{'ascii' if ascii_only else 'unicode'}")


@pytest.mark.parametrize("plain", [False, True], ids=["terminal", "none"])
@pytest.mark.parametrize("size", SIZES, ids=lambda size: "x".join(map(str, size)))
async def test_the_map_is_coloured_as_it_was_found_right(
    tmp_path: Path, size: tuple[int, int], plain: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    set_terminal(monkeypatch, plain)
    shown = coloured(await trial_strips(tmp_path, size))
    assert not plain or not any(
        name in shown for name in ("yellow", "green", "red", "#", "cyan", "blue", "magenta")
    )
    held(shown, f"trial-colours-{'none' if plain else 'terminal'}-{size[0]}x{size[1]}")
