"""What the full screen tells stands in the footer's line, lies over nothing, and goes at the next key that does something."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest
from season_on_disk import app_of, season
from settling import settled
from small_app import SEASON
from textual.pilot import Pilot

from calendar_tui.handing_on.words.done_text import done_text
from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.kit.actions import in_group
from calendar_tui.screens.kit.canvas import text_of
from calendar_tui.screens.kit.foot import message_runs
from calendar_tui.screens.kit.glyphs import ASCII, UNICODE
from calendar_tui.screens.kit.keys import Keys
from calendar_tui.screens.kit.notices import Message, Notice, Notices
from calendar_tui.season.edits import Change, Edit
from calendar_tui.storage.opening import open_season

__all__ = ["season"]
UNDO = ("season", "undo", "redo", "help", "program")


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


def _last_line(app: CalendarApp) -> str:
    """The last line of the view on top."""
    keys = app.screen.query(Keys)
    return keys.last().text if keys else app.screen.text.splitlines()[-1]


def _line(message: Message, width: int, foot: tuple[str, ...] = UNDO, glyphs: Any = UNICODE) -> str:
    return text_of(message_runs(message, in_group(*foot), width, glyphs))


async def test_messages_are_gone_at_the_next_key_that_does_something(tmp_path: Path) -> None:
    app = _app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await _quiet(app, pilot)
        keys = _last_line(app)
        app.refuse("The file has problems now.")
        app.notify("The file reads well now.")
        await pilot.pause()
        assert app.messages == ("The file has problems now.", "The file reads well now.")
        assert _last_line(app).startswith("The file has problems now. (+1)")
        await pilot.press("down")
        await pilot.pause()
        assert app.messages == ()
        assert _last_line(app) == keys


async def test_a_message_goes_when_another_row_is_clicked(tmp_path: Path) -> None:
    app = _app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await _quiet(app, pilot)
        app.notify("The file reads well now.")
        await pilot.click(offset=(3, 14))
        await pilot.pause()
        assert app.messages == ()


async def test_nothing_but_the_last_line_changes_with_a_message(tmp_path: Path) -> None:
    app = _app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await _quiet(app, pilot)
        before = app.screen.text.splitlines()
        app.notify("30 plants\nThe newer change stays.")
        await pilot.pause()
        after = app.screen.text.splitlines()
        assert after[:-1] == before[:-1]
        assert after[-1].startswith("30 plants  The newer change stays.  ")
        assert after[-1].endswith("  ? help")
        assert len(after[-1]) == 80


@pytest.mark.slow
@pytest.mark.parametrize("key", ["w", "t", "v", "l", "h", "c", "y", "enter", "r"])
async def test_a_message_is_read_in_the_view_that_is_on_top_and_below_it(tmp_path: Path, key: str) -> None:
    app = _app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await _quiet(app, pilot)
        await pilot.press(key)
        await settled(app, pilot)
        app.notify("ben changed this season.")
        await pilot.pause()
        assert _last_line(app).startswith("ben changed this season.  ")
        assert app.screen_stack[0].text.splitlines()[-1].startswith("ben changed this season.  ")


async def test_what_is_saved_is_told_in_words_with_the_key_that_takes_it_back(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await _quiet(app, pilot)
        await pilot.press("w", "space")
        await settled(app, pilot)
        assert _last_line(app).startswith("Ticked Hoe (A1) on Tue 8 Dec 2026.  ")
        assert _last_line(app).endswith("  u undo  ? help")
        await pilot.press("u")
        await settled(app, pilot)
        assert _last_line(app).startswith("Undone: ticked ")
        assert _last_line(app).endswith("  U redo  ? help")


async def test_a_refusal_names_no_folders_that_would_push_it_out_of_the_line(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await _quiet(app, pilot)
        app.redo()
        await settled(app, pilot)
        assert _last_line(app).startswith("There is nothing to redo")
        season.write_text(season.read_text() + "\nplants = \n", encoding="utf-8")
        app.save(Change("30 plants", (Edit("set", "cohort", ("A1",), ("plants",), 30),)))
        await settled(app, pilot)
        assert "  two.toml:" in app.notices.message.line
        assert str(season.parent) not in app.notices.message.line


async def test_all_messages_stand_in_full_on_a_page_the_newest_first(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(60, 16)) as pilot:
        await _quiet(app, pilot)
        app.notify("The first of the day.")
        app.refuse("Not saved: 30 plants.\n" + "The file has problems. " * 4)
        await pilot.press("ctrl+o")
        await settled(app, pilot)
        lines = [line.strip() for line in app.screen.text.splitlines()]
        assert lines.index("Not saved: 30 plants.") < lines.index("The first of the day.")
        assert "".join(app.screen.text.split()).count("Thefilehasproblems.") == 4
        await pilot.press("ctrl+o", "escape")
        await settled(app, pilot)
        assert len(app.screen_stack) == 1


async def test_while_many_save_the_newest_stands_and_the_others_are_counted(tmp_path: Path) -> None:
    app = _app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await _quiet(app, pilot)
        for n in range(1, 9):
            app.notify(f"ben changed this season: A1 {n} plants")
        await pilot.pause()
        assert _last_line(app).startswith("ben changed this season: A1 8 plants (+7)  ")
        assert _last_line(app).endswith("  Ctrl+O more  ? help")


def test_a_refusal_stays_in_sight_while_others_save() -> None:
    notices = Notices()
    for notice in (Notice("ben: 1"), Notice("Not saved: 30 plants.", "error"), Notice("ben: 2")):
        notices.add(notice)
    assert notices.message == Message(Notice("Not saved: 30 plants.", "error"), more=2)


@pytest.mark.parametrize("width", [200, 80, 60, 40])
def test_a_long_message_is_cut_with_the_usual_mark_and_names_the_key_to_the_whole_of_it(width: int) -> None:
    message = Message(Notice("Not saved: " + "30 plants. " * 30, "error"))
    for glyphs in (UNICODE, ASCII):
        line = _line(message, width, glyphs=glyphs)
        assert len(line) == width
        text, _, beside = line.partition(glyphs.ellipsis)
        assert text.startswith("Not saved: ")
        assert beside == "  Ctrl+O more  ? help"


def test_where_there_is_little_room_the_help_stays_at_the_right() -> None:
    message = Message(Notice("Ticked Transplant by hand (A3) on 8 Dec.", back="undo"), more=3)
    assert _line(message, 40) == "Ticked Transp… (+3)  Ctrl+O more  ? help"
    assert _line(message, 30).endswith("  ? help")
    assert len(_line(message, 30)) == 30


def test_no_key_is_named_that_the_view_has_not() -> None:
    message = Message(Notice("Ticked Hoe (A1).", back="undo"))
    assert _line(message, 60, ("typed", "view")).rstrip().endswith("  Esc back")
    assert "undo" not in _line(message, 60, ("typed", "view"))


def test_a_deed_is_told_as_a_sentence_without_the_ids_of_tasks() -> None:
    edits = tuple(Edit("set", "task", (name,), ("state",), "done") for name in ("k66g", "k67g"))
    ticked = Change("ticked k66g Transplant by hand (A3), k67g Water on 8 Dec", edits)
    assert done_text(ticked) == "Ticked Transplant by hand (A3), Water on 8 Dec."
    plants = Change("A1 30 plants", (Edit("set", "cohort", ("A1",), ("plants",), 30),))
    assert done_text(plants) == "Saved: A1 30 plants"
