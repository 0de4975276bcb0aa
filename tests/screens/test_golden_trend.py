"""The trend as it is drawn, held against what was looked at and found right, at two sizes: its text, its colours, and without any.

It has a dip, an odd result, a total between two ends, another laboratory and other positions.
After a change that is meant, `GOLDEN=write pytest tests/screens/test_golden_trend.py` writes them anew: read the difference.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from test_golden import held, strips_of, text_of
from test_golden_colours import coloured, set_terminal
from textual.strip import Strip

from calendar_tui.screens.app import CalendarApp
from calendar_tui.storage.opening import open_season
from tests.commands.trended_season import trended_season
from tests.planning.trended_farm import FLOWERING, B, bags_of

TODAY = FLOWERING + timedelta(days=60)
SIZES = ((80, 24), (160, 45))


async def trend_strips(folder: Path, size: tuple[int, int], *, ascii_only: bool = False) -> list[Strip]:
    totals = B | {"top": B["top"] | {32: 0.4, 53: 0.27}}
    pairs = list(bags_of("A1", totals, laboratories=("lab",) * 5 + ("other",)))
    pairs[0][1]["found"] |= {"THC": "<0.05", "THCA": "0.04"}
    path = trended_season(folder, pairs)
    now = datetime(2027, 4, 25, 9, tzinfo=UTC)
    app = CalendarApp(open_season(path), TODAY, "Ana", lambda: now, ascii_only=ascii_only)
    return await strips_of(app, size, ("R",))


@pytest.mark.slow
@pytest.mark.parametrize("ascii_only", [False, True], ids=["unicode", "ascii"])
@pytest.mark.parametrize("size", SIZES, ids=lambda size: "x".join(map(str, size)))
async def test_the_trend_is_drawn_as_it_was_found_right(
    tmp_path: Path, size: tuple[int, int], ascii_only: bool
) -> None:
    text = text_of(await trend_strips(tmp_path, size, ascii_only=ascii_only))
    assert len(text.splitlines()) == size[1]
    assert not ascii_only or text.isascii()
    for sign in ".#-=!ov:X," if ascii_only else "░▓─═┃●▼┊◆·":
        assert sign in text, sign
    held(text, f"trend-{size[0]}x{size[1]}-{'ascii' if ascii_only else 'unicode'}")


@pytest.mark.parametrize("plain", [False, True], ids=["terminal", "none"])
@pytest.mark.parametrize("size", SIZES, ids=lambda size: "x".join(map(str, size)))
async def test_the_trend_is_coloured_as_it_was_found_right(
    tmp_path: Path, size: tuple[int, int], plain: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    set_terminal(monkeypatch, plain)
    shown = coloured(await trend_strips(tmp_path, size))
    assert not plain or not any(
        name in shown for name in ("yellow", "green", "red", "#", "cyan", "blue", "magenta")
    )
    held(shown, f"trend-colours-{'none' if plain else 'terminal'}-{size[0]}x{size[1]}")
