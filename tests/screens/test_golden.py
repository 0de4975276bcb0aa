"""What the main views draw, held against what was looked at and found right, at four sizes, in Unicode and in ASCII.

After a change that is meant, `GOLDEN=write pytest tests/screens/test_golden.py` writes them anew: read the difference.
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from settling import settled
from textual.strip import Strip

from calendar_tui.screens.app import CalendarApp
from calendar_tui.storage.finding import example_files
from calendar_tui.storage.opening import open_season

GOLDEN = Path(__file__).parent / "golden"
TODAY = date(2026, 12, 8)
SIZES = ((40, 12), (60, 20), (80, 24), (160, 45))
# Two of them in the quick set: the least, and what a terminal has of itself.
QUICK_SIZES = [
    pytest.param(size, marks=() if size in ((40, 12), (80, 24)) else pytest.mark.slow) for size in SIZES
]
# The keys that lead to each from where the program opens.
VIEWS = {
    "season": (),
    "today": ("t",),
    "week": ("w",),
    "cohort": ("enter",),
    "farm": ("f",),
    "lot": ("C",),
    "results": ("i",),
    "harvest": ("H",),
    "field-book": ("O",),
}
EXAMPLES = {file.stem: file for file in example_files()}
# The views that are drawn of another example than the first, which has nothing of theirs.
OTHERS = {view: ("north-bench", date(2026, 6, 16)) for view in ("results", "harvest", "field-book")}


async def drawn(folder: Path, view: str, size: tuple[int, int], *, ascii_only: bool) -> str:
    """Every line of the screen as a terminal shows it."""
    name, today = OTHERS.get(view, ("two-rivers", TODAY))
    season = folder / EXAMPLES[name].name
    season.write_bytes(EXAMPLES[name].read_bytes())
    now = datetime(today.year, today.month, today.day, 9, tzinfo=UTC)
    app = CalendarApp(open_season(season), today, "Ana", lambda: now, ascii_only=ascii_only)
    return text_of(await strips_of(app, size, VIEWS[view]))


async def strips_of(app: CalendarApp, size: tuple[int, int], keys: Iterable[str]) -> list[Strip]:
    """What the app draws once these keys are pressed, from the season view on."""
    async with app.run_test(size=size) as pilot:
        await settled(app, pilot)
        # A narrow terminal opens with the week.
        for key in ("escape",) if size[0] < 60 else ():
            await pilot.press(key)
        for key in keys:
            await pilot.press(key)
        for _ in range(3):
            await settled(app, pilot)
        return app.screen._compositor.render_strips()


def text_of(strips: Iterable[Strip]) -> str:
    return "".join("".join(segment.text for segment in strip).rstrip() + "\n" for strip in strips)


def held(text: str, name: str) -> None:
    """Held against the file of that name, or written to it."""
    file = GOLDEN / f"{name}.txt"
    if os.environ.get("GOLDEN") == "write":
        file.write_text(text, encoding="utf-8")
    assert text == file.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    "ascii_only", [False, pytest.param(True, marks=pytest.mark.slow)], ids=["unicode", "ascii"]
)
@pytest.mark.parametrize("size", QUICK_SIZES, ids=lambda size: "x".join(map(str, size)))
@pytest.mark.parametrize("view", VIEWS)
async def test_a_view_is_drawn_as_it_was_found_right(
    tmp_path: Path, view: str, size: tuple[int, int], ascii_only: bool
) -> None:
    text = await drawn(tmp_path, view, size, ascii_only=ascii_only)
    assert len(text.splitlines()) == size[1]
    assert not ascii_only or text.isascii()
    held(text, f"{view}-{size[0]}x{size[1]}-{'ascii' if ascii_only else 'unicode'}")
