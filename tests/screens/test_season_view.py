"""The season view with keys, mouse and a file beneath it, through Textual's pilot."""

from __future__ import annotations

import gc
import re
from datetime import UTC, date, datetime, timedelta
from threading import Event

import pytest
from settling import settled

from calendar_tui.planning.changes import replan
from calendar_tui.planning.changes.replan import refresh
from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.kit.window import axis_ends
from calendar_tui.screens.season.view import SeasonView
from calendar_tui.screens.week.view import WeekView
from calendar_tui.season.edits import Change, Edit
from calendar_tui.storage.opening import open_season
from calendar_tui.storage.problems import SeasonFileError
from tests.season_data import TWO_RIVERS

TODAY = date(2026, 12, 8)
HEAD = (
    TWO_RIVERS
    + """\
[[place]]
id = "H2"
kind = "hoop house"
lamps = { target_h = 16.0 }
[[variety]]
id = "amber"
response = "short-day"
critical_day = "14:00"
full_response_day = "12:30"
"""
)
COHORT = """
[[cohort]]
id = "A{n}"
variety = "amber"
start = "seed"
place = "H2"
planned = {{ seeding = 2026-10-{day:02}, lights_off = 2026-12-20 }}  # sown in place
"""
CHORE = """
[[chore]]
id = "off"
what = "Switch the lamps off"
stage = "lights_off"
"""


def season(cohorts=3, more=""):
    return HEAD + more + "".join(COHORT.format(n=n, day=n) for n in range(1, cohorts + 1))


@pytest.fixture
def opened(tmp_path):
    def make(text, **options):
        path = tmp_path / "two.toml"
        path.write_text(text, encoding="utf-8")
        return CalendarApp(
            open_season(path), TODAY, "Ana", lambda: datetime(2026, 12, 8, 9, tzinfo=UTC), **options
        )

    return make


def view(app):
    assert isinstance(app.screen, SeasonView)
    return app.screen


def pointed(app):
    """The cohort pointed at, in the chart or in the list of a small terminal."""
    return next(
        found[1] for line in view(app).text.splitlines() if (found := re.search(r"▶[! ]?(A\d+) ", line))
    )


async def resized(pilot, width, height):
    """Wait until the view has the terminal's new size: Textual waits for a terminal to be left as it is."""
    await pilot.resize_terminal(width, height)
    while view(pilot.app)._sheet.size != (width, height):
        await pilot.pause()


def notes(app):
    return list(app.messages)


async def test_it_opens_on_today_with_the_first_cohort(opened):
    app = opened(season(), notice="example copy")
    async with app.run_test(size=(80, 24)):
        lines = view(app).text.splitlines()
        assert len(lines) == 24
        assert "Tue 8 Dec 2026  example copy" in lines[0]
        assert (view(app).cursor, view(app).cohort_id, pointed(app)) == (TODAY, "A1", "A1")
        assert "q quit" in lines[-1]


async def test_arrows_move_cohort_and_time(opened):
    app = opened(season())
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("down", "down", "down")
        assert (view(app).cohort_id, pointed(app)) == ("A3", "A3")
        await pilot.press("up", "right")
        # At this zoom a column is some days.
        assert timedelta(days=1) <= view(app).cursor - TODAY <= timedelta(days=9)
        await pilot.press("left", "left")
        assert view(app).cursor < TODAY
        await pilot.press("0")
        assert (view(app).cursor, view(app).cohort_id) == (TODAY, "A2")


async def test_zooming_in_ends_at_days_and_keeps_the_cursor(opened):
    app = opened(season())
    async with app.run_test(size=(80, 24)) as pilot:
        for name in ("months", "weeks", "days", "days"):
            await pilot.press("plus")
            axis = next(line for line in view(app).text.splitlines() if line.startswith(name))
            assert view(app).cursor == TODAY
        # Single days.
        assert {"7", "8", "9", "10"} <= set(axis.split())
        await pilot.press("right")
        assert view(app).cursor == TODAY + timedelta(days=1)
        await pilot.press(*["minus"] * 5)
        assert "\nseason " in view(app).text


@pytest.mark.parametrize("presses", [3, 25])
async def test_time_stops_at_the_ends_of_the_axis(opened, presses):
    app = opened(season(1))
    async with app.run_test(size=(80, 24)) as pilot:
        first, last = axis_ends(app.plan)
        await pilot.press("home")
        assert view(app).cursor == first == date(2026, 9, 15)
        await pilot.press("plus", *["left"] * presses, *["pageup"] * presses)
        assert view(app).cursor == first
        await pilot.press("end", *["right"] * presses, *["pagedown"] * presses)
        assert view(app).cursor == last


async def test_more_cohorts_than_fit_scroll_by_half_pages(opened):
    app = opened(season(20))
    async with app.run_test(size=(80, 24)) as pilot:
        shown = [line for line in view(app).text.splitlines() if re.search(r"[ !]A\d+ amber", line[:14])]
        assert len(shown) == 13
        assert "▼" in shown[-1][:20]
        await pilot.press("pagedown")
        assert view(app).cohort_id == "A7"
        for n in range(8, 21):
            await pilot.press("down")
            assert pointed(app) == f"A{n}"
        await pilot.press(*["up"] * 25)
        assert pointed(app) == "A1"


async def test_a_click_selects_cohort_and_day(opened):
    app = opened(season())
    async with app.run_test(size=(80, 24)) as pilot:
        y = next(i for i, line in enumerate(view(app).text.splitlines()) if "A3 amber" in line)
        await pilot.click(offset=(45, y))
        assert view(app).cohort_id == "A3"
        assert view(app).cursor > TODAY


async def test_a_small_terminal_lists_what_comes_next_and_when_each_is_harvested(opened):
    app = opened(season())
    async with app.run_test(size=(40, 12)) as pilot:
        await settled(app, pilot)
        assert isinstance(app.screen, WeekView), "where there is no room for a chart it opens with the week"
        await pilot.press("escape")
        await settled(app, pilot)
        view(app)._pictured()  # not waited for: its picture is sent by a timer
        await settled(app, pilot)
        lines = view(app).text.splitlines()
        assert [len(line) for line in lines] == [40] * 12
        assert "3 to record" in lines[1]
        assert re.search(r"▶A1 +seeding 68 d late +harvest \d+ Apr", lines[2])
        await pilot.press("right", "plus", "pagedown", "up", "down", "up", "down", "up", "up", "down")
        assert pointed(app) == "A2"
        await resized(pilot, 160, 45)
        lines = view(app).text.splitlines()
        assert [len(line) for line in lines] == [160] * 45
        assert pointed(app) == "A2"
        await resized(pilot, 60, 16)
        assert [len(line) for line in view(app).text.splitlines()] == [60] * 16


async def test_a_season_without_cohorts_opens_and_every_key_is_harmless(opened):
    app = opened(season(0))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("up", "down", "left", "right", "pageup", "pagedown", "plus", "enter", "r", "0", "p")
        assert "No cohort yet: press a to add one." in " ".join(view(app).text.split())


async def test_a_view_that_does_not_name_undo_takes_nothing_back(opened):
    app = opened(season())
    async with app.run_test(size=(80, 24)) as pilot:
        recorded = Edit("set", "cohort", ("A1",), ("recorded", "seeding"), date(2026, 10, 4))
        app.save(Change("A1 seeding recorded 4 Oct", (recorded,)))
        await settled(app, pilot)
        saved = app.path.read_bytes()
        for key in ("l", "question_mark", "enter", "r"):
            await pilot.press(key)
            await settled(app, pilot)
            opened_view = app.screen
            await pilot.press("u", "U")
            await settled(app, pilot)
            assert app.screen is opened_view
            assert app.path.read_bytes() == saved, key
            await pilot.press("escape")
            await settled(app, pilot)
        await pilot.press("u")
        await settled(app, pilot)
        assert app.path.read_bytes() != saved


async def test_a_change_is_saved_drawn_and_undone_exactly(opened):
    app = opened(season())
    before = app.path.read_bytes()
    async with app.run_test(size=(80, 24)) as pilot:
        recorded = Edit("set", "cohort", ("A1",), ("recorded", "seeding"), date(2026, 10, 4))
        app.save(Change("A1 seeding recorded 4 Oct", (recorded,)))
        await settled(app, pilot)
        assert app.plan.timelines["A1"].stages["seeding"].status == "recorded"
        assert notes(app) == ["Saved: A1 seeding recorded 4 Oct"]
        await pilot.press("home")
        assert "recorded: 3 d late; planned 1 Oct" in view(app).text
        assert notes(app) == []
        await pilot.press("u")
        await settled(app, pilot)
        assert notes(app)[-1] == "Undone: A1 seeding recorded 4 Oct"
        assert app.path.read_bytes() == before
        assert "3 d late" not in view(app).text
        await pilot.press("u")
        await settled(app, pilot)
        assert "nothing to undo" in notes(app)[-1]


async def test_a_change_that_does_not_fit_is_refused_and_nothing_is_lost(opened):
    app = opened(season())
    before = app.path.read_bytes()
    async with app.run_test(size=(80, 24)) as pilot:
        app.save(Change("a stage of no cohort", (Edit("set", "cohort", ("Z9",), ("note",), "x"),)))
        await settled(app, pilot)
        assert "Z9" in notes(app)[-1]
        assert app.path.read_bytes() == before
        assert app.plan is not None


async def test_changes_asked_for_at_once_are_all_saved(opened):
    app = opened(season())
    async with app.run_test(size=(80, 24)) as pilot:
        for n in (1, 2, 3):
            app.save(Change(f"note {n}", (Edit("set", "cohort", (f"A{n}",), ("note",), f"row {n}"),)))
        await settled(app, pilot)
        assert [c.note for c in app.plan.season.cohorts.values()] == ["row 1", "row 2", "row 3"]


async def test_tasks_that_differ_from_the_plan_are_told_and_p_updates_them(opened):
    app = opened(season(more=CHORE))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert notes(app) == ["3 saved tasks differ from the plan: press p to see."]
        assert (
            view(app).text.splitlines()[-1].startswith("3 saved tasks differ from the plan: press p to see.")
        )
        await pilot.press("home")
        assert "p tasks " in view(app).text
        await pilot.press("p")
        assert not isinstance(app.screen, SeasonView)
        await pilot.press("enter")
        await settled(app, pilot)
        await settled(app, pilot)
        assert len(app.plan.season.tasks) == 3
        assert app.out_of_step is None


async def test_the_tasks_are_compared_with_the_plan_once_the_first_picture_is_sent(opened, monkeypatch):
    drawn = []

    def compare(plan):
        drawn.append(app._pictured.is_set())
        return refresh(plan)

    monkeypatch.setattr(replan, "refresh", compare)
    app = opened(season(more=CHORE))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert drawn == [True]


async def test_p_does_not_say_that_tasks_agree_which_are_not_compared_yet(opened, monkeypatch):
    go_on = Event()

    def compare(plan):
        go_on.wait()
        return refresh(plan)

    monkeypatch.setattr(replan, "refresh", compare)
    app = opened(season())
    async with app.run_test(size=(80, 24)) as pilot:
        try:
            await pilot.press("p")
            assert notes(app) == ["The saved tasks are still being compared with the plan."]
        finally:
            go_on.set()
        await settled(app, pilot)
        await pilot.press("p")
        assert notes(app) == ["The saved tasks agree with the plan."]


@pytest.mark.parametrize("text", [season(), season().replace("latitude", "lattitude")], ids=["", "problems"])
async def test_garbage_is_looked_for_again_once_the_first_picture_is_sent(opened, text):
    gc.disable()
    try:
        app = opened(text)
        async with app.run_test(size=(80, 24)) as pilot:
            await settled(app, pilot)
            assert gc.isenabled()
    finally:
        gc.enable()
        gc.unfreeze()


async def test_tasks_that_agree_with_the_plan_are_not_mentioned(opened):
    app = opened(season())
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert notes(app) == []
        assert "p tasks " not in view(app).text
        await pilot.press("p")
        assert notes(app) == ["The saved tasks agree with the plan."]


@pytest.mark.parametrize("key", ["enter", "w", "r", "question_mark"])
async def test_other_views_open_and_escape_comes_back(opened, key):
    app = opened(season())
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press(key)
        await pilot.pause()
        assert not isinstance(app.screen, SeasonView)
        await pilot.press("escape")
        await pilot.pause()
        assert isinstance(app.screen, SeasonView)


async def test_a_file_with_problems_opens_read_only_and_comes_back_when_mended(opened):
    app = opened(season().replace("latitude = -34.3", "latitude = 120"))
    before = app.path.read_bytes()
    async with app.run_test(size=(80, 24)) as pilot:
        assert app.plan is None
        assert not isinstance(app.screen, SeasonView)
        assert "latitude" in str(app.opened.problems[0])
        assert app.path.read_bytes() == before
        app.path.write_text(season(), encoding="utf-8")
        app.reload()
        await settled(app, pilot)
        assert isinstance(app.screen, SeasonView)


def test_a_file_that_is_not_toml_is_refused_before_the_screen_opens(opened):
    with pytest.raises(SeasonFileError, match=r"two\.toml:1"):
        opened("format = = 1")


async def test_the_ascii_set_draws_ascii(opened):
    app = opened(season(20), ascii_only=True)
    async with app.run_test(size=(80, 24)):
        assert view(app).text.isascii()
