"""Ticking in the week view what records a stage or asks for a fact."""

from __future__ import annotations

from datetime import date

import pytest
from small_app import SEASON, SmallApp, states

from calendar_tui.screens.asking.moves_view import MovesView
from calendar_tui.screens.asking.record_view import RecordView
from calendar_tui.screens.week.done_view import DoneView
from calendar_tui.screens.week.view import WeekView

TODAY = date(2026, 11, 4)
CHORES = """
[[chore]]
id = "plant"
what = "Transplant"
stage = "transplant"
records = "transplant"

[[chore]]
id = "tally"
what = "Count survivors"
stage = "transplant"
offset_d = 4
asks = "plants alive"

[[chore]]
id = "both"
what = "Plant and count"
stage = "transplant"
records = "transplant"
asks = "plants set"

[[task]]
id = "plnt"
date = 2026-11-03
what = "Transplant"
chore = "plant"
cohort = "A1"

[[task]]
id = "cnt1"
date = 2026-11-03
what = "Count survivors"
chore = "tally"
cohort = "A1"

[[task]]
id = "bth1"
date = 2026-11-03
what = "Plant and count"
chore = "both"
cohort = "A3"
"""


def _app() -> tuple[SmallApp, WeekView]:
    view = WeekView()
    return SmallApp(view, TODAY, SEASON + CHORES), view


def task(app: SmallApp, name: str) -> dict[str, object]:
    found: dict[str, object] = next(t for t in app.data["task"] if t["id"] == name)
    return found


def cohort(app: SmallApp, name: str) -> dict[str, date]:
    found: dict[str, date] = next(c for c in app.data["cohort"] if c["id"] == name).get("recorded", {})
    return found


async def test_space_on_the_work_of_a_stage_asks_for_its_date_and_saves_both_at_once() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        view._list.stand_on("plnt")
        await pilot.pause()
        assert "A tick asks for the date of A1 transplant and records it." in view.text
        await pilot.press("space")
        assert isinstance(app.screen, RecordView)
        assert "transplant recorded on:" in app.screen.text
        await pilot.press("enter")
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert isinstance(app.screen, MovesView)
        assert states(app)["plnt"] == "open"
        await pilot.press("enter")
        await pilot.pause()
        await pilot.pause()
        assert app.screen is view
        assert (states(app)["plnt"], task(app, "plnt")["done_on"]) == ("done", TODAY)
        assert cohort(app, "A1")["transplant"] == TODAY
        assert len(app.saved) == 1
        assert "plnt [x]" in view.text


async def test_back_from_the_record_view_ticks_nothing() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        view._list.stand_on("plnt")
        await pilot.press("space", "escape")
        await pilot.pause()
        assert app.screen is view
        assert states(app)["plnt"] == "open"
        assert not app.saved


@pytest.mark.parametrize(("typed", "fact"), [("1 1 2", "112"), ("", None)])
async def test_space_asks_for_what_the_task_asks_for(typed: str, fact: str | None) -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        view._list.stand_on("cnt1")
        await pilot.press("space")
        assert isinstance(app.screen, DoneView)
        assert "plants alive" in app.screen.text
        await pilot.press(*typed.split(), "enter")
        await pilot.pause()
        assert app.screen is view
        assert (states(app)["cnt1"], task(app, "cnt1").get("fact")) == ("done", fact)
        assert len(app.saved) == 1


async def test_escape_from_the_fact_ticks_nothing() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        view._list.stand_on("cnt1")
        await pilot.press("space", "x", "escape")
        await pilot.pause()
        assert app.screen is view
        assert states(app)["cnt1"] == "open"


@pytest.mark.slow
async def test_a_done_task_is_opened_again_without_a_question_and_keeps_its_fact() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        view._list.stand_on("cnt1")
        await pilot.press("space", "7", "enter")
        await pilot.pause()
        assert "found: 7" in view.text
        await pilot.press("space")
        await pilot.pause()
        assert (states(app)["cnt1"], task(app, "cnt1")["fact"]) == ("open", "7")


async def test_fact_and_date_are_saved_in_one_change() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        view._list.stand_on("bth1")
        await pilot.press("space", "9", "8", "enter")
        await app.workers.wait_for_complete()
        await pilot.pause()
        await pilot.press("enter")
        await pilot.pause()
        await pilot.pause()
        await pilot.press("y")
        await pilot.pause()
        assert (task(app, "bth1")["fact"], states(app)["bth1"]) == ("98", "done")
        assert cohort(app, "A3")["transplant"] == TODAY
        assert len(app.saved) == 1


async def test_a_task_that_another_skips_at_the_preview_is_ticked_with_its_record_all_the_same() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        view._list.stand_on("plnt")
        await pilot.press("space", "enter")
        await app.workers.wait_for_complete()
        await pilot.pause()
        task(app, "plnt").update(state="skipped", note="flood")
        app.reload()
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert "plnt was skipped (flood)" in app.screen.text
        await pilot.press("enter")
        await pilot.pause()
        await pilot.pause()
        assert (states(app)["plnt"], task(app, "plnt")["note"]) == ("done", "flood")
        assert cohort(app, "A1")["transplant"] == TODAY


async def test_a_stage_task_opened_and_ticked_again_keeps_the_day_that_is_recorded() -> None:
    app, view = _app()
    day = date(2026, 11, 2)
    app.data["cohort"][0]["recorded"]["transplant"] = day
    task(app, "plnt").update(state="done", done_on=day)
    app._read()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        view._list.stand_on("plnt")
        await pilot.press("space")
        await pilot.pause()
        assert states(app)["plnt"] == "open"
        assert app.messages == ["A1 transplant stays recorded on Mon 2 Nov 2026."]
        await pilot.press("space")
        await pilot.pause()
        assert app.screen is view
        assert (states(app)["plnt"], task(app, "plnt")["done_on"]) == ("done", day)


async def test_a_stage_long_overdue_is_questioned_where_today_is_only_proposed_for_it() -> None:
    view = WeekView()
    app = SmallApp(view, date(2026, 11, 20), SEASON + CHORES)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        view._list.stand_on("plnt")
        await pilot.press("space", "enter")
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert isinstance(app.screen, MovesView)
        said = "A1 transplant was due Tue 3 Nov, 17 days ago: was it done today?"
        assert said in " ".join(app.screen.text.split())


CLOSED = """
[[spray]]
id = "s1"
date = 2026-11-04
place = "H2"
product = "soap"
start = "06:00"
end = "07:00"
reentry = "12 h"
preharvest = "0 d"

[[task]]
id = "walk"
date = 2026-11-04
what = "Walk the lamps"
cohort = "A1"
place = "H2"
"""


async def test_space_on_work_in_a_closed_place_asks_before_it_ticks() -> None:
    view = WeekView(task="walk")
    app = SmallApp(view, TODAY, SEASON + CLOSED)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("space")
        await pilot.pause()
        assert isinstance(app.screen, DoneView)
        assert states(app)["walk"] == "open"
        await pilot.press("enter")
        await pilot.pause()
        assert states(app)["walk"] == "open"
        await pilot.press("enter")
        await pilot.pause()
        assert states(app)["walk"] == "done"
