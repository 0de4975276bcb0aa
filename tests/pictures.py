"""The pictures of docs/, made from the program: `python -m tests.pictures` writes them anew.

Each shows an example season on a day of its own, at a size, after some keys.
"""

from __future__ import annotations

import asyncio
import re
from datetime import UTC, date, datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import NamedTuple

from calendar_tui.screens.app import CalendarApp
from calendar_tui.storage.finding import example_files
from calendar_tui.storage.opening import open_season

DOCS = Path(__file__).parent.parent / "docs"
TODAY = date(2026, 12, 8)


class Picture(NamedTuple):
    """title: what it shows. size: columns and lines. keys: pressed from the season view on."""

    title: str
    size: tuple[int, int]
    keys: tuple[str, ...] = ()
    example: str = "two-rivers"
    today: date = TODAY


PICTURES = {
    "season-view": Picture("The season view, 80x24", (80, 24), ("down",) * 4),
    "season-view-large": Picture("The season view, 160x45", (160, 45), ("down",) * 2),
    "season-view-small": Picture("The season in a terminal of 40x12", (40, 12), ("escape",)),
    "today": Picture("Today, 80x24", (80, 24), ("t",)),
    "late-transplant": Picture(
        "What a late transplant moves, 80x24", (80, 24), ("t", *("down",) * 10, "enter", "enter")
    ),
    "field-book": Picture(
        "The field book, 80x24",
        (80, 24),
        ("O", *"41", "enter", *"840", "enter"),
        "north-bench",
        date(2026, 6, 16),
    ),
}


async def svg_of(picture: Picture, season: Path) -> str:
    """The picture as SVG."""
    now = datetime(picture.today.year, picture.today.month, picture.today.day, 9, tzinfo=UTC)
    app = CalendarApp(open_season(season), picture.today, "Ana", lambda: now)
    async with app.run_test(size=picture.size) as pilot:
        for key in ("", *picture.keys):
            if key:
                await pilot.press(key)
            # Work in threads begins further work: until none runs.
            for _ in range(5):
                await app.workers.wait_for_complete()
                await pilot.pause()
        svg = app.export_screenshot(title=picture.title)
    return without_fonts(svg)


def without_fonts(svg: str) -> str:
    """The letters are the reader's own: none is fetched from elsewhere."""
    return re.sub(r"@font-face \{.*?\}\s*", "", svg, flags=re.DOTALL)


def main() -> None:
    examples = {file.stem: file for file in example_files()}
    for name, picture in PICTURES.items():
        example = examples[picture.example]
        with TemporaryDirectory() as folder:
            season = Path(folder) / example.name
            season.write_bytes(example.read_bytes())
            svg = asyncio.run(svg_of(picture, season))
        (DOCS / f"{name}.svg").write_text(svg, encoding="utf-8")
        print(f"docs/{name}.svg")


if __name__ == "__main__":
    main()
