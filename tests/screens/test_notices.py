"""What the full screen tells lies over the views: one message at a time, and gone once the work goes on."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

from small_app import SEASON
from textual.pilot import Pilot
from textual.widgets._toast import Toast

from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.kit.notices import Notice, shown
from calendar_tui.storage.opening import open_season

LONG_S = 3600.0


def _app(tmp_path: Path) -> CalendarApp:
    path = tmp_path / "farm.toml"
    path.write_text(SEASON, encoding="utf-8")
    return CalendarApp(
        open_season(path), date(2026, 12, 8), "ana", lambda: datetime(2026, 12, 8, 9, tzinfo=UTC)
    )


async def _quiet(app: CalendarApp, pilot: Pilot[None]) -> None:
    """After what is told at the start."""
    await pilot.pause()
    await app.workers.wait_for_complete()
    await pilot.pause()
    app.clear_notifications()


def _toasts(app: CalendarApp) -> list[str]:
    return [str(toast.render()) for toast in app.screen.query(Toast)]


def _told(text: str, severity: str = "information", timeout: float = 3) -> Notice:
    return Notice(text, severity, timeout)  # type: ignore[arg-type]


async def test_messages_are_gone_at_the_next_key_that_does_something(tmp_path: Path) -> None:
    app = _app(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await _quiet(app, pilot)
        app.refuse("The file has problems now.")
        app.notify("The file reads well now.")
        await pilot.pause()
        assert app.messages == ("The file has problems now.", "The file reads well now.")
        await pilot.press("w")
        await pilot.pause()
        assert app.messages == ()
        assert _toasts(app) == []


async def test_while_many_save_one_message_lies_over_the_chart(tmp_path: Path) -> None:
    app = _app(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await _quiet(app, pilot)
        for n in range(1, 9):
            app.notify(f"ben changed this season: A1 {n} plants", timeout=LONG_S)
            if n % 2:
                await pilot.pause()
        await pilot.pause()
        assert _toasts(app) == ["ben changed this season: A1 8 plants\n(7 messages more since the last key)"]


def test_a_single_message_stands_alone() -> None:
    assert shown([_told("Saved.")]) == _told("Saved.")


def test_a_refusal_stays_in_sight_and_as_long_as_before_while_others_save() -> None:
    told = [_told("ben: 1"), _told("Not saved: 30 plants.", "error", 15), _told("ben: 2"), _told("ben: 3")]
    assert shown(told) == _told(
        "Not saved: 30 plants.\nben: 3\n(2 messages more since the last key)", "error", 15
    )


def test_of_two_refusals_the_later_one_is_told_and_the_other_counted() -> None:
    told = [_told("Not saved: 1.", "error", 15), _told("Not saved: 2.", "error", 15)]
    assert shown(told) == _told("Not saved: 2.\n(1 message more since the last key)", "error", 15)
