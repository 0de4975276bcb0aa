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


@pytest.mark.slow
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


@pytest.mark.slow
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


PLACES = """\
[[task]]
id = "lat1"
date = 2026-11-30
what = "Clean the drains"
place = "H2"
[[task]]
id = "now2"
date = 2026-12-08
what = "Walk the lamps"
place = "H2"
[[task]]
id = "fri2"
date = 2026-12-11
what = "Wash the floor"
place = "H2"
[[task]]
id = "oth1"
date = 2026-12-08
what = "Mow the paths"
"""


@pytest.fixture
def at_places(tmp_path):
    path = tmp_path / "two.toml"
    path.write_text(TEXT + PLACES, encoding="utf-8")
    return path


async def test_this_weeks_work_of_one_place_is_ticked_with_three_keys_from_the_season(at_places):
    app = app_of(at_places)
    keys = ("w", "a", "space")
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        for key in keys:
            await pilot.press(key)
            await settled(app, pilot)
        done = {name for name, task in tasks(at_places).items() if task.get("state") == "done"}
        assert (len(keys), done) == (3, {"lat1", "now2"})
        assert len(read_history(at_places).entries) == 1
        assert "marked" not in app.screen.text


async def test_the_later_work_of_a_place_is_marked_by_the_second_key_and_none_by_the_third(at_places):
    app = app_of(at_places)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("w")
        await settled(app, pilot)
        due, later = {"lat1", "now2"}, {"fri2"}
        for marked, told in (
            (due, ["Marked what is due by today; a again marks the 1 later too."]),
            (due | later, ["Marked 1 later than today too; a again marks none."]),
            (set(), []),
        ):
            await pilot.press("a")
            assert app.screen._marked == marked
            assert notes(app) == told
