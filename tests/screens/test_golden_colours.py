"""The colours of the season view, held against what was looked at and found right, at four sizes.

The terminal's own colours, the fixed sets for a dark and a light ground, and none. Its text is held by test_golden.py.
After a change that is meant, `GOLDEN=write pytest tests/screens/test_golden_colours.py` writes them anew: read the difference.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime
from itertools import groupby
from pathlib import Path

import pytest
from rich.style import Style
from test_golden import EXAMPLES, SIZES, TODAY, held, strips_of
from textual.strip import Strip

from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.kit.preferences import AS_IT_COMES
from calendar_tui.storage.opening import open_season

# The theme, and whether the terminal is to have no colour.
LOOKS = {"terminal": ("", False), "dark": ("dark", False), "light": ("light", False), "none": ("", True)}


def words(style: Style | None) -> str:
    """What of a style a terminal shows, as words; "" for plain text."""
    if style is None:
        return ""
    shown = Style(color=style.color, bold=style.bold, reverse=style.reverse, dim=style.dim)
    return "" if str(shown) in ("none", "default") else str(shown)


async def colours(folder: Path, size: tuple[int, int], theme: str) -> str:
    example = EXAMPLES["two-rivers"]
    season = folder / example.name
    season.write_bytes(example.read_bytes())
    now = datetime(2026, 12, 8, 9, tzinfo=UTC)
    preferences = AS_IT_COMES._replace(theme=theme)
    app = CalendarApp(open_season(season), TODAY, "Ana", lambda: now, preferences=preferences)
    return coloured(await strips_of(app, size, ()))


def coloured(strips: Iterable[Strip]) -> str:
    """Line by line the cells that are not plain, and how they are drawn."""
    lines = []
    for y, strip in enumerate(strips):
        cells = [words(segment.style) for segment in strip for _ in range(segment.cell_length)]
        x = 0
        for look, alike in groupby(cells):
            end = x + sum(1 for _ in alike)
            lines += [f"{y} {x}-{end - 1} {look}\n"] if look else []
            x = end
    return "".join(lines)


def set_terminal(monkeypatch: pytest.MonkeyPatch, plain: bool) -> None:
    """A terminal of all colours, or with none."""
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.setenv("TERM", "xterm-256color")
    monkeypatch.setenv("COLORTERM", "truecolor")
    if plain:
        monkeypatch.setenv("NO_COLOR", "1")


@pytest.mark.parametrize("look", LOOKS)
@pytest.mark.parametrize("size", SIZES, ids=lambda size: "x".join(map(str, size)))
async def test_the_season_view_is_coloured_as_it_was_found_right(
    tmp_path: Path, size: tuple[int, int], look: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    theme, plain = LOOKS[look]
    set_terminal(monkeypatch, plain)
    shown = await colours(tmp_path, size, theme)
    assert shown, "the selected cohort stands out in every look"
    assert not plain or not any(
        name in shown for name in ("yellow", "green", "red", "#", "cyan", "blue", "magenta")
    )
    held(shown, f"colours-{look}-{size[0]}x{size[1]}")
