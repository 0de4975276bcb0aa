"""The week view over a season file: one change and one undo for several tasks, nothing where it is read-only."""

from __future__ import annotations

import pytest
from season_on_disk import TEXT, app_of, notes
from settling import settled

from calendar_tui.screens.kit.past import Past
from calendar_tui.screens.week.typed_view import TypedView
from calendar_tui.screens.week.view import WeekView
from calendar_tui.storage.history.undo import read_history
from tests.season_data import data_of

MORE = """\
[[task]]
id = "hoe2"
date = 2026-12-09
what = "Hoe again"
cohort = "A1"
note = "two rows"
"""


@pytest.fixture
def season(tmp_path):
    path = tmp_path / "two.toml"
    path.write_text(TEXT + MORE, encoding="utf-8")
    return path


def tasks(season):
    return {t["id"]: t for t in data_of(season.read_text())["task"]}


@pytest.mark.parametrize(
    ("keys", "what"),
    [
        (("s", *"rain", "enter"), "skipped 2 tasks (hoe1, hoe2): rain"),
        (
            ("d", *"+7", "enter"),
            "moved 2 tasks (hoe1, hoe2) to dates from Tue 15 Dec 2026 to Wed 16 Dec 2026",
        ),
        (("n", *"by two", "enter"), "noted on 2 tasks (hoe1, hoe2): by two"),
        (("space",), "ticked 2 tasks (hoe1, hoe2) on Tue 8 Dec 2026"),
    ],
)
async def test_two_tasks_are_one_change_and_one_undo_restores_every_byte(season, keys, what):
    before = season.read_bytes()
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("w")
        await settled(app, pilot)
        await pilot.press("M", "M", *("space" if k == " " else k for k in keys))
        await settled(app, pilot)
        assert season.read_bytes() != before
        assert [entry.what for entry in read_history(season).entries] == [what]
        await pilot.press("u")
        await settled(app, pilot)
        assert season.read_bytes() == before
        assert isinstance(app.screen, WeekView)
        assert "hoe2 [ ]" in app.screen.text


async def test_a_task_that_goes_while_its_reason_is_typed_is_told_and_nothing_is_saved(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("w")
        await settled(app, pilot)
        await pilot.press("M", "M", "s", *"rain")
        season.write_text(TEXT.replace('id = "hoe1"', 'id = "new1"') + MORE)
        before = season.read_bytes()
        await pilot.press("enter")
        await settled(app, pilot)
        assert season.read_bytes() == before
        assert any("task hoe1 is not there any more" in note for note in notes(app))


@pytest.mark.parametrize("key", ["s", "d", "n", "space"])
async def test_nothing_is_asked_or_saved_where_the_season_is_shown_as_it_was(season, key):
    before = season.read_bytes()
    app = app_of(season, past=Past("as of 2026-12-08, read-only", (), returns=False))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("w")
        await settled(app, pilot)
        await pilot.press("M", "M", key)
        await settled(app, pilot)
        assert not isinstance(app.screen, TypedView)
        assert season.read_bytes() == before
        assert any("Nothing is changed" in note for note in notes(app))
        await pilot.press("g", "h")
        await settled(app, pilot)
        assert "Load" in app.screen.text


async def test_a_tick_over_what_another_has_just_skipped_is_told(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("w")
        await settled(app, pilot)
        app.screen._list.stand_on("hoe2")
        season.write_text(season.read_text() + 'state = "skipped"\n')
        await pilot.press("space")
        await settled(app, pilot)
        assert tasks(season)["hoe2"]["state"] == "done"
        assert any("hoe2 was skipped before; it is done now" in note for note in notes(app))


async def test_help_opens_at_the_keys_of_the_week(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("w")
        await settled(app, pilot)
        await pilot.press("question_mark")
        await settled(app, pilot)
        assert app.screen.text.startswith("In the week view")
