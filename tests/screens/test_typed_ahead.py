"""Keys typed while a view is still worked out go to that view."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path
from threading import Event
from typing import Any, NamedTuple

import pytest
from settling import settled
from textual import events
from textual.screen import Screen

from calendar_tui.screens import views
from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.field_book.view import FieldBookView
from calendar_tui.screens.forms.form_view import FormView
from calendar_tui.screens.response.view import ResponseView
from calendar_tui.screens.season.view import SeasonView
from calendar_tui.storage.finding import example_files
from calendar_tui.storage.opening import open_season

TODAY = date(2026, 12, 8)
(EXAMPLE,) = (file for file in example_files() if file.stem == "two-rivers")
(WITH_TRIAL,) = (file for file in example_files() if file.stem == "north-bench")


class Held(NamedTuple):
    """The program, and what lets the view of planting dates be worked out to its end."""

    app: CalendarApp
    go_on: Event


@pytest.fixture
def held(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Held]:
    """The view of planting dates waits, once it is asked for, until it may go on."""
    go_on, view = Event(), views.VIEWS["response"]
    assert view.first is not None
    work_out = view.first

    def slowly(*needs: Any) -> Any:
        go_on.wait()
        return work_out(*needs)

    monkeypatch.setitem(views.VIEWS, "response", view._replace(first=slowly))  # type: ignore[arg-type]
    season = tmp_path / EXAMPLE.name
    season.write_bytes(EXAMPLE.read_bytes())
    yield Held(
        CalendarApp(open_season(season), TODAY, "Ana", lambda: datetime(2026, 12, 8, 9, tzinfo=UTC)), go_on
    )
    go_on.set()


@pytest.mark.slow
async def test_keys_typed_while_a_view_opens_do_not_act_on_the_one_below(held: Held) -> None:
    app = held.app
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        try:
            await pilot.press("d", "o", "down")
            assert isinstance(app.screen, SeasonView)
            assert app.screen.cohort_id == "A1"
            assert app.messages[-1] == "One moment: the view is being worked out."
        finally:
            held.go_on.set()
        await settled(app, pilot)
        await settled(app, pilot)
        assert isinstance(app.screen, ResponseView)
        await pilot.press("escape")
        await settled(app, pilot)
        assert app.screen.cohort_id == "A1"
        await pilot.press("down")
        assert app.screen.cohort_id != "A1"


@pytest.mark.slow
async def test_keys_typed_for_a_view_that_another_came_before_are_dropped(held: Held) -> None:
    app = held.app
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        try:
            await pilot.press("d", "down", "down")
            await app.push_screen(Screen())
        finally:
            held.go_on.set()
        await settled(app, pilot)
        await settled(app, pilot)
        app.pop_screen()
        await settled(app, pilot)
        assert isinstance(app.screen, SeasonView)
        assert app.screen.cohort_id == "A1"
        await pilot.press("down")
        assert app.screen.cohort_id != "A1"


async def test_a_view_that_is_worked_out_does_not_keep_anybody_from_leaving(held: Held) -> None:
    app = held.app
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        try:
            await pilot.press("d", "ctrl+q")
            await pilot.pause()
            assert app._exit
        finally:
            held.go_on.set()


def at_once(app: CalendarApp, *keys: str) -> None:
    """Keys that come in one piece, as over a slow line: all before the program has answered the first."""
    for key in keys:
        app.post_message(events.Key(key, key if len(key) == 1 else None))


@pytest.fixture
def with_trial(tmp_path: Path) -> CalendarApp:
    season = tmp_path / WITH_TRIAL.name
    season.write_bytes(WITH_TRIAL.read_bytes())
    return CalendarApp(
        open_season(season), date(2026, 6, 16), "Ana", lambda: datetime(2026, 6, 16, 9, tzinfo=UTC)
    )


async def test_figures_that_come_together_with_the_key_of_the_field_book_stand_in_its_cell(
    with_trial: CalendarApp,
) -> None:
    app = with_trial
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        at_once(app, "O", "7", "5")
        await settled(app, pilot)
        await settled(app, pilot)
        assert isinstance(app.screen, FieldBookView)
        assert app.screen._lines.typing == "75"


async def test_letters_that_come_together_with_the_key_of_a_form_are_typed_into_it(
    with_trial: CalendarApp,
) -> None:
    app = with_trial
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        at_once(app, "a", "Q", "7")
        await settled(app, pilot)
        await settled(app, pilot)
        assert isinstance(app.screen, FormView)
        assert "Q7" in app.screen.text


async def test_letters_that_come_together_with_the_key_of_a_search_open_no_view(
    with_trial: CalendarApp,
) -> None:
    app = with_trial
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        at_once(app, "slash", "H", "B")
        await settled(app, pilot)
        await settled(app, pilot)
        assert isinstance(app.screen, SeasonView)
        assert "HB" in app.screen.text


@pytest.mark.slow
async def test_keys_that_come_together_with_the_key_of_a_slow_view_wait_for_it(held: Held) -> None:
    app = held.app
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        try:
            at_once(app, "d", "o", "down")
            for _ in range(5):
                await pilot.pause()
            assert isinstance(app.screen, SeasonView)
            assert app.screen.cohort_id == "A1"
            assert app.messages[-1] == "One moment: the view is being worked out."
        finally:
            held.go_on.set()
        await settled(app, pilot)
        await settled(app, pilot)
        assert isinstance(app.screen, ResponseView)
