"""What was found, typed beside the date of a record: shown with what moves, and written down with the work it ticks."""

from __future__ import annotations

from datetime import date

import pytest
from settling import settled
from small_app import SEASON, SmallApp
from test_week_ticks import CHORES, task

from calendar_tui.screens.asking.moves_view import MovesView
from calendar_tui.screens.asking.record_view import RecordView

TODAY = date(2026, 11, 8)
PLANTS = SEASON.replace('id = "A1"\n', 'id = "A1"\nplants = 120\n')


def _app(text: str = PLANTS + CHORES) -> tuple[SmallApp, RecordView]:
    view = RecordView("A1")
    return SmallApp(view, TODAY, text), view


async def test_what_was_found_of_one_cohort_is_shown_before_it_is_saved() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "Found (Tab); = for 120 plants, as planned:" in view.text
        await pilot.press("tab", "=", "enter")
        moves = await settled(app, pilot)
        assert isinstance(moves, MovesView)
        assert "Found: 120 plants" in moves.text
        assert not app.saved
        await pilot.press("enter")
        await settled(app, pilot)
        assert task(app, "plnt")["fact"] == "120 plants"
        assert len(app.saved) == 1


async def test_nothing_is_written_down_where_nothing_is_typed() -> None:
    app, _ = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("enter")
        moves = await settled(app, pilot)
        assert "Found:" not in moves.text
        await pilot.press("enter")
        await settled(app, pilot)
        assert task(app, "plnt")["state"] == "done"
        assert "fact" not in task(app, "plnt")


async def test_where_no_task_is_the_work_of_the_stage_nothing_is_asked() -> None:
    app, view = _app(PLANTS)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "Found" not in view.text
        assert not view._fact.display
        await pilot.press("tab")
        assert view.focused is not view._fact


@pytest.mark.slow
async def test_nothing_is_asked_of_what_is_planned_again_and_what_was_typed_is_left_out() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("tab", "=", "ctrl+t")
        await pilot.pause()
        assert not view._fact.display
        view._input.value = "2026-11-12"
        view.action_submit()
        moves = await settled(app, pilot)
        assert isinstance(moves, MovesView)
        assert "Found:" not in moves.text


async def test_it_is_typed_on_a_screen_of_40_columns_and_12_lines_too() -> None:
    app, _ = _app()
    async with app.run_test(size=(40, 12)) as pilot:
        await pilot.pause()
        await pilot.press("tab", *"118 alive", "enter")
        moves = await settled(app, pilot)
        assert isinstance(moves, MovesView)
        assert "Found: 118 alive" in moves.text
