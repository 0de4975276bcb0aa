"""The recording of docs/, made from the program: `python -m tests.recording` writes it anew.

An SVG whose frames follow one another by CSS alone: what a browser shows of the full screen while keys are pressed. Who has asked
their system for less motion sees the first frame.
"""

from __future__ import annotations

import asyncio
import re
from datetime import UTC, date, datetime
from html import unescape
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import NamedTuple

from calendar_tui.screens.app import CalendarApp
from calendar_tui.storage.finding import example_files
from calendar_tui.storage.opening import open_season
from tests.pictures import DOCS, TODAY, without_fonts

FILE = DOCS / "late-transplant-moving.svg"
SIZE = 80, 24


class Frame(NamedTuple):
    """What is pressed, shown below the screen in words, and how long the picture stands, in seconds."""

    keys: tuple[str, ...]
    words: str
    seconds: float


FRAMES = (
    Frame(("down",) * 4, "A season: a bar for each cohort, below the length of the day", 4),
    Frame(("t",), "t: what waits today; A3 was to be planted four days ago", 4),
    Frame(("down",) * 10, "Down: its record is asked for", 3),
    Frame(("enter",), "Enter: on which day was it planted?", 3),
    Frame(("enter",), "Enter: what moves, with lights off held or shifted; nothing is saved yet", 6),
    Frame(("enter",), "Enter: saved; u takes it back", 4),
    Frame(("escape",), "Esc: the season as it is now", 4),
)


async def pictures_of(season: Path) -> list[str]:
    """Each frame as an SVG of its own."""
    now = datetime(TODAY.year, TODAY.month, TODAY.day, 9, tzinfo=UTC)
    app = CalendarApp(open_season(season), date(TODAY.year, TODAY.month, TODAY.day), "Ana", lambda: now)
    made = []
    async with app.run_test(size=SIZE) as pilot:
        for frame in FRAMES:
            for key in frame.keys:
                await pilot.press(key)
                # Work in threads begins further work: until none runs.
                for _ in range(5):
                    await app.workers.wait_for_complete()
                    await pilot.pause()
            made.append(without_fonts(app.export_screenshot(title=frame.words)))
    return made


def joined(pictures: list[str]) -> str:
    """One SVG that shows the pictures in turn, for ever."""
    total = sum(frame.seconds for frame in FRAMES)
    css, groups, start = [".frame { visibility: hidden }", ".frame-0 { visibility: visible }"], [], 0.0
    moving = []
    for n, (picture, frame) in enumerate(zip(pictures, FRAMES, strict=True)):
        begins, ends = 100 * start / total, 100 * (start + frame.seconds) / total
        moving.append(
            f"@keyframes frame-{n} {{ 0% {{ visibility: {'visible' if n == 0 else 'hidden'} }} "
            f"{begins:.3f}% {{ visibility: visible }} {ends:.3f}%, 100% {{ visibility: hidden }} }}"
        )
        moving.append(f".frame-{n} {{ animation: frame-{n} {total:g}s step-end infinite }}")
        inside = re.sub(r"^<svg[^>]*>|</svg>\s*$", "", picture.strip())
        groups.append(f'<g class="frame frame-{n}">{inside}</g>')
        start += frame.seconds
    head = re.match(r"<svg[^>]*>", pictures[0].strip())
    assert head is not None
    css.append(f"@media not (prefers-reduced-motion: reduce) {{ {' '.join(moving)} }}")
    return f"{head[0]}\n<style>{' '.join(css)}</style>\n" + "\n".join(groups) + "\n</svg>\n"


def words_of(svg: str) -> list[str]:
    """The letters of each frame, in the order of the file."""
    frames = re.split(r'<g class="frame frame-\d+">', svg)[1:]
    return [unescape("".join(re.findall(r"<text[^>]*>([^<]*)</text>", frame))) for frame in frames]


def made() -> str:
    """The recording, as its file has it."""
    example = next(file for file in example_files() if file.stem == "two-rivers")
    with TemporaryDirectory() as folder:
        season = Path(folder) / example.name
        season.write_bytes(example.read_bytes())
        return joined(asyncio.run(pictures_of(season)))


def main() -> None:
    FILE.write_text(made(), encoding="utf-8")
    print(f"docs/{FILE.name}")


if __name__ == "__main__":
    main()
