"""What keys cost on a slow line, counted in the bytes that a terminal of 80 by 24 cells is sent; no clock."""

from __future__ import annotations

import asyncio
import os
import re
import shutil
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rich.cells import cell_len
from settling import settled
from textual._compositor import CompositorUpdate
from textual.pilot import Pilot

from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.kit.style_codes import slim
from calendar_tui.storage.opening import open_season

EXAMPLE = Path(__file__).parents[2] / "seasons" / "two-rivers.toml"
SIZE = (80, 24)
START, MOVE, PAGE = 24_000, 700, 7_000
# Of a line: what it takes in a second, and how many frames a key that is held down for two seconds draws.
LINE, HELD_S = 30_000, 2
FRAMES = HELD_S * int(os.environ.get("TEXTUAL_FPS", "20"))
VIEWS = {"season": "", "today": "t", "week": "w", "lamps": "l", "load": "h"}
PAGES = {"cohort": "enter", "why": "down down enter d", "help": "question_mark", "varieties": "v"}


# What is on of a style: each code by what it sets.
Style = frozenset[tuple[str, str]]


def styled(style: Style, codes: str) -> Style:
    """The style after these codes."""
    on = dict(style)
    words = (codes or "0").split(";")
    while words:
        code = words.pop(0)
        if code == "0":
            on.clear()
        elif code in ("38", "48"):
            on["ink" if code == "38" else "paper"] = f"{words.pop(0)};{words.pop(0)}"
        elif code[:-1] in ("3", "9"):
            on["ink"] = code
        elif code[:-1] in ("4", "10"):
            on["paper"] = code
        else:
            on[code] = code
    return frozenset(on.items())


def seen(letter: str, style: Style) -> Style:
    """What is seen of a style on a letter: of a blank neither its ink nor how heavy that is."""
    return frozenset(one for one in style if letter != " " or one[0] in ("4", "7", "9", "paper"))


class Cells:
    """What stands in each cell of a terminal: its letter, and how that is drawn."""

    STEP = re.compile(r"\x1b\[([\d;]*)([A-Za-z])|(\n)|([^\x1b\n])")

    def __init__(self) -> None:
        self._cells: dict[tuple[int, int], tuple[str, Style]] = {}

    @property
    def lines(self) -> list[tuple[str, list[Style]]]:
        """Each line's text, and how its letters are drawn."""
        cells = [
            [self._cells.get((x, y), ("?", frozenset())) for x in range(SIZE[0])] for y in range(SIZE[1])
        ]
        return [("".join(text for text, _ in row), [seen(*cell) for cell in row]) for row in cells]

    def draw(self, sent: str) -> None:
        x = y = 0
        style: Style = frozenset()
        for step in self.STEP.finditer(sent):
            given, what, newline, letter = step.groups()
            if letter:
                self._cells[x, y] = (letter, style)
                x += cell_len(letter)
            elif newline:
                x, y = 0, y + 1
            elif what == "H":
                y, x = (int(n) - 1 for n in (given or "1;1").split(";"))
            elif what == "C":
                x += int(given)
            else:
                assert what == "m", step[0]
                style = styled(style, given)


class Counted(CalendarApp):
    """Counts the bytes of every frame it would send, and draws them."""

    size_sent = 0
    terminal = Cells()

    def _display(self, screen: Any, renderable: Any) -> None:
        if isinstance(renderable, CompositorUpdate) and not self._batch_count and screen is self.screen:
            sent = renderable.render_segments(self.console)
            self.size_sent += len(sent.encode())
            self.terminal.draw(sent)
        super()._display(screen, renderable)


def app_of(folder: Path, monkeypatch: pytest.MonkeyPatch) -> Counted:
    monkeypatch.setenv("TERM", "xterm-256color")
    path = Path(shutil.copy(EXAMPLE, folder))
    return Counted(open_season(path), date(2026, 12, 8), "Ana", lambda: datetime(2026, 12, 8, 9, tzinfo=UTC))


async def opened(app: Counted, pilot: Pilot[None], opening: str) -> int:
    """Open a view by these keys; gives the bytes until the program rested before them."""
    await settled(app, pilot)
    app.screen._on_timer_update()
    start = app.size_sent
    for key in opening.split():
        await pilot.press(key)
        await settled(app, pilot)
        app.screen._on_timer_update()
    return start


def counting(
    folder: Path, monkeypatch: pytest.MonkeyPatch, opening: str, keys: list[str]
) -> tuple[int, list[int]]:
    """The bytes until the program rests, and of each key pressed in the view that these keys open, at one frame a key."""
    app = app_of(folder, monkeypatch)

    async def bytes_of(pilot: Pilot[None], key: str) -> int:
        before = app.size_sent
        await pilot.press(key)
        await pilot.pause()
        app.screen._on_timer_update()
        return app.size_sent - before

    async def run() -> tuple[int, list[int]]:
        async with app.run_test(size=SIZE) as pilot:
            start = await opened(app, pilot, opening)
            return start, [await bytes_of(pilot, key) for key in keys]

    return asyncio.run(run())


def test_the_start_fits_its_budget(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    start, _ = counting(tmp_path, monkeypatch, "", [])
    assert 1000 < start < START


@pytest.mark.quick(3)
@pytest.mark.parametrize("opening", VIEWS.values(), ids=VIEWS)
def test_a_move_and_a_page_fit_their_budgets(
    opening: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    keys = ["down"] * 3 + ["up"] * 2 + ["pagedown"] * 2 + ["pageup"]
    _, sizes = counting(tmp_path, monkeypatch, opening, keys)
    moves, pages = sizes[:5], sizes[5:]
    assert 0 < max(moves) < MOVE, sizes
    assert 0 < max(pages) < PAGE, sizes


@pytest.mark.quick(1)
@pytest.mark.parametrize("opening", [*VIEWS.values(), *PAGES.values()], ids=[*VIEWS, *PAGES])
def test_a_key_held_down_leaves_less_than_a_second_to_come(
    opening: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    _, sizes = counting(tmp_path, monkeypatch, opening, ["down"] * FRAMES)
    assert 0 < sum(sizes) < LINE * (HELD_S + 1), sizes


@pytest.mark.slow
@pytest.mark.parametrize("opening", [*VIEWS.values(), *PAGES.values()], ids=[*VIEWS, *PAGES])
def test_what_is_sent_of_a_move_leaves_what_a_whole_picture_shows(
    opening: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    keys = ["down"] * 12 + [
        "pagedown",
        "pagedown",
        "up",
        "end",
        "home",
        "down",
        "pageup",
        "end",
        "up",
        "right",
    ]
    app = app_of(tmp_path, monkeypatch)

    async def run() -> None:
        async with app.run_test(size=SIZE) as pilot:
            await opened(app, pilot, opening)
            for key in keys:
                await pilot.press(key)
                await settled(app, pilot)
                app.screen._on_timer_update()
                after_key, sent = app.terminal.lines, app.size_sent
                app.screen.refresh()
                for widget in app.screen.query("*"):
                    widget.refresh()
                await pilot.pause()
                app.screen._on_timer_update()
                assert app.size_sent > sent + 1000
                assert after_key == app.terminal.lines, key

    asyncio.run(run())


STYLES = (
    "0",
    "1",
    "7",
    "31",
    "36",
    "90",
    "41",
    "1;33",
    "1;7",
    "38;5;12",
    "1;38;5;240",
    "48;5;3;30",
    "1;31;47",
    "",
)


@pytest.mark.slow
@settings(max_examples=300)
@given(
    st.lists(
        st.tuples(st.sampled_from(STYLES), st.sampled_from(("", "a", "b ", "\x1b[4;7H", "\x1b[3C", "\n")))
    )
)
def test_styles_in_fewer_bytes_draw_the_same(parts: list[tuple[str, str]]) -> None:
    sent = "\x1b[1;1H" + "".join(f"\x1b[{codes}m{text}\x1b[0m" for codes, text in parts)
    slimmer = slim(sent)
    drawn = [Cells(), Cells()]
    for cells, text in zip(drawn, (sent, slimmer), strict=True):
        cells.draw(text)
    assert drawn[0].lines == drawn[1].lines
    assert len(slimmer) <= len(sent)
    # Whatever is sent next begins without a style.
    assert not styled(frozenset(), ";".join(re.findall(r"\x1b\[([\d;]*)m", slimmer)) or "0")


@pytest.mark.parametrize(
    ("sent", "slimmer"),
    [
        ("\x1b[2ma\x1b[0m \x1b[2mb\x1b[0m", "\x1b[2ma b\x1b[0m"),
        ("\x1b[31ma\x1b[0m \x1b[1;35mb\x1b[0m", "\x1b[31ma \x1b[1;35mb\x1b[0m"),
        ("\x1b[7ma\x1b[0m \x1b[7mb\x1b[0m", "\x1b[7ma\x1b[0m \x1b[7mb\x1b[0m"),
        ("\x1b[2ma\x1b[0m\x1b[44m \x1b[0m\x1b[2mb\x1b[0m", "\x1b[2ma\x1b[0;44m \x1b[0;2mb\x1b[0m"),
    ],
    ids=["faint", "ink", "reversed", "ground"],
)
def test_blanks_between_letters_change_no_style_that_is_not_seen_on_them(sent: str, slimmer: str) -> None:
    assert slim(sent) == slimmer
