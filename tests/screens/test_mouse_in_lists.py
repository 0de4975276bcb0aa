"""The mouse in lists: the cursor follows the wheel, a click stands on a row, and no act falls on a row out of sight."""

from __future__ import annotations

from asyncio import Event
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from settling import settled
from small_app import SEASON, SmallApp
from textual import events
from textual.pilot import Pilot
from textual.widgets import Input

from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.asking.moves_view import MovesView
from calendar_tui.screens.asking.record_view import RecordView
from calendar_tui.screens.kit.drawing import Picker
from calendar_tui.storage.finding import example_files
from calendar_tui.storage.opening import open_season

TODAY = date(2026, 12, 8)
# The actions of the season view that open a list.
VIEWS = (
    "open('week')",
    "open('chores')",
    "open_varieties",
    "open_about('lamps')",
    "open('load')",
    "act('record')",
)


@pytest.fixture
def season(tmp_path: Path) -> Path:
    (example,) = (file for file in example_files() if file.stem == "two-rivers")
    path = tmp_path / "two.toml"
    path.write_bytes(example.read_bytes())
    return path


def _app(season: Path) -> CalendarApp:
    return CalendarApp(open_season(season), TODAY, "Cleo", lambda: datetime(2026, 12, 8, 9, tzinfo=UTC))


def _list(app: CalendarApp | SmallApp) -> Picker:
    return app.screen.query_one(Picker)


def _in_sight(shown: Picker) -> list[str]:
    """The keys of the rows that are drawn."""
    top = shown.scroll_offset.y
    return [row.key for row in shown.rows[top : top + shown.size.height] if row.key]


def _line(shown: Picker, key: str) -> int:
    """The line of the terminal on which a row is drawn, from the list's first."""
    return [row.key for row in shown.rows].index(key) - shown.scroll_offset.y


async def _wheel(
    pilot: Pilot[None], kind: type[events.MouseEvent], times: int = 1, shift: bool = False
) -> None:
    shown = pilot.app.screen.query_one(Picker)
    for _ in range(times):
        await _turn(shown, kind, shift)
    await pilot.pause()


async def _turn(shown: Picker, kind: type[events.MouseEvent], shift: bool = False) -> None:
    """Turn the wheel once, and wait until the list has taken it."""
    taken = Event()
    shown.post_message(kind(shown, 1, 1, 0, 0, 0, shift, False, False, 1, 1 + shown.region.y))
    shown.call_later(taken.set)
    await taken.wait()


async def _turn_in_sight(shown: Picker, kind: type[events.MouseEvent], most: int) -> int:
    """Turn the wheel so often, or until it moves nothing more, with the cursor in sight at each turn; gives how often."""
    for n in range(most):
        before = shown.key, shown.scroll_offset
        await _turn(shown, kind)
        assert shown.key in _in_sight(shown)
        if before == (shown.key, shown.scroll_offset):
            return n
    return most


@pytest.mark.slow
@pytest.mark.parametrize("opens", VIEWS)
@pytest.mark.parametrize("size", [(80, 24), (40, 12)], ids=["80x24", "40x12"])
async def test_the_cursor_stays_in_sight_whatever_scrolls(
    season: Path, opens: str, size: tuple[int, int]
) -> None:
    app = _app(season)
    async with app.run_test(size=size) as pilot:
        await settled(app, pilot)
        await app.run_action(opens, app.screen)
        await settled(app, pilot)
        shown = _list(app)
        await _turn_in_sight(shown, events.MouseScrollDown, 9)
        await _turn_in_sight(shown, events.MouseScrollUp, 2)
        await _turn_in_sight(shown, events.MouseScrollDown, 200)
        assert await _turn_in_sight(shown, events.MouseScrollUp, 200) < 200
        await pilot.pause()
        assert shown.key in _in_sight(shown)
        await _wheel(pilot, events.MouseScrollDown, 3, shift=True)
        await pilot.press("ctrl+pagedown", "ctrl+pageup")
        assert _list(app).key in _in_sight(_list(app))


async def test_the_wheel_moves_the_cursor_down_and_up_again(season: Path) -> None:
    app = _app(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("w")
        first = _list(app).key
        await _wheel(pilot, events.MouseScrollDown)
        assert _list(app).key != first
        await _wheel(pilot, events.MouseScrollUp)
        assert _list(app).key == first


async def test_space_after_the_wheel_ticks_the_task_under_the_cursor(season: Path) -> None:
    app = _app(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("w")
        await _wheel(pilot, events.MouseScrollDown, 12)
        under = _list(app).key
        assert under in _in_sight(_list(app))
        await pilot.press("m")
        assert app.screen._marked == {under}  # type: ignore[attr-defined]


async def test_a_click_stands_on_the_row_and_on_a_heading_does_nothing(season: Path) -> None:
    app = _app(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("w")
        await pilot.pause()
        before = _list(app).key
        await pilot.click(_list(app), offset=(3, 0))
        assert _list(app).key == before
        other = _in_sight(_list(app))[-1]
        await pilot.click(_list(app), offset=(20, _line(_list(app), other)))
        assert _list(app).key == other
        await _wheel(pilot, events.MouseScrollDown, 12)
        other = _in_sight(_list(app))[1]
        await pilot.click(_list(app), offset=(20, _line(_list(app), other)))
        assert _list(app).key == other
        await pilot.click(_list(app), offset=(20, _list(app).size.height - 1))


async def test_a_click_on_a_stage_leaves_the_cursor_in_the_date_that_is_being_typed() -> None:
    view = RecordView("A1")
    app = SmallApp(view, date(2026, 11, 4), SEASON)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        other = _in_sight(_list(app))[-1]
        await pilot.click(_list(app), offset=(5, _line(_list(app), other)))
        assert _list(app).key == other
        assert isinstance(app.focused, Input)


async def test_a_drag_over_a_list_scrolls_nothing(season: Path) -> None:
    app = _app(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("w")
        await pilot.pause()
        shown = _list(app)
        await pilot.mouse_down(shown, offset=(10, 1))
        for y in range(1, shown.size.height):
            await pilot.hover(shown, offset=(10, y))
        assert not app.screen._selecting
        assert shown.key in _in_sight(shown)


async def test_where_the_choice_is_scrolled_away_the_keys_name_what_enter_saves() -> None:
    view = RecordView("A1", "transplant")
    app = SmallApp(view, date(2026, 11, 8), SEASON)
    async with app.run_test(size=(80, 12)) as pilot:
        await settled(app, pilot)
        await pilot.press("enter")
        moves = await settled(app, pilot)
        assert isinstance(moves, MovesView)
        assert "Enter save hold" in moves.text
        await pilot.press("end")
        await settled(app, pilot)
        assert moves._body.scroll_offset.y
        await pilot.press("s")
        await settled(app, pilot)
        assert "Enter save shift" in moves.text
        assert moves._body.scroll_offset.y == 0
