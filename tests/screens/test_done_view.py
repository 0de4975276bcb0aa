"""Tasks ticked on another day than today, and several that ask for something: one form, one change."""

from __future__ import annotations

from datetime import date

import pytest
from small_app import SEASON, SmallApp, states
from test_week_ticks import CHORES, cohort, task
from textual.pilot import Pilot

from calendar_tui.screens.asking.moves_view import MovesView
from calendar_tui.screens.week.done_view import DoneView
from calendar_tui.screens.week.view import WeekView
from calendar_tui.season.wording import year_day_text

TODAY, BEFORE = date(2026, 11, 4), date(2026, 11, 2)
MORE = """
[[task]]
id = "cnt2"
date = 2026-11-03
what = "Count survivors"
chore = "tally"
cohort = "A3"
"""


def _app() -> tuple[SmallApp, WeekView]:
    view = WeekView()
    return SmallApp(view, TODAY, SEASON + CHORES + MORE), view


async def _marked(pilot: Pilot[None], view: WeekView, *names: str) -> None:
    await pilot.pause()
    for name in names:
        view._list.stand_on(name)
        await pilot.press("m")


async def _both_ticked_on(typed: str, app: SmallApp, view: WeekView, pilot: Pilot[None]) -> None:
    """Tick two marked tasks on a day as typed."""
    await _marked(pilot, view, "mon1", "late")
    await pilot.press("o")
    _form(app)._day.value = typed
    await pilot.press("enter")
    await pilot.pause()


async def _shown(app: SmallApp, pilot: Pilot[None]) -> MovesView:
    await app.workers.wait_for_complete()
    await pilot.pause()
    assert isinstance(app.screen, MovesView)
    return app.screen


def _form(app: SmallApp) -> DoneView:
    assert isinstance(app.screen, DoneView)
    return app.screen


async def test_o_ticks_a_task_on_another_day() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        view._list.stand_on("mon1")
        await pilot.press("o")
        form = _form(app)
        assert form.focused is form._day
        assert form._day.value == year_day_text(TODAY)
        form._day.value = "monday"
        await pilot.press("enter")
        await pilot.pause()
        assert app.screen is view
        assert (states(app)["mon1"], task(app, "mon1")["done_on"]) == ("done", BEFORE)
        assert [c.what for c in app.saved] == ["ticked mon1 Scout for pests (A1) on Mon 2 Nov 2026"]


async def test_o_ticks_all_that_are_marked_on_one_day_in_one_change() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await _both_ticked_on("yesterday", app, view, pilot)
        assert {task(app, n)["done_on"] for n in ("mon1", "late")} == {date(2026, 11, 3)}
        assert len(app.saved) == 1
        assert not view._marked


@pytest.mark.slow
@pytest.mark.parametrize(
    ("typed", "why"),
    [("tomorrow", "is after today"), ("soon", "is not a date"), ("10/11", "10 Nov 2026 or 11 Oct 2026")],
)
async def test_a_day_that_cannot_be_is_refused_and_stays_to_be_put_right(typed: str, why: str) -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        view._list.stand_on("mon1")
        await pilot.press("o")
        form = _form(app)
        form._day.value = typed
        await pilot.press("enter")
        await pilot.pause()
        assert app.screen is form
        assert why in " ".join(form.text.split())
        assert not app.saved


async def test_a_day_that_may_be_mistyped_is_asked_about_once() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        view._list.stand_on("mon1")
        await pilot.press("o")
        form = _form(app)
        form._day.value = "2026-08-02"
        await pilot.press("enter")
        await pilot.pause()
        assert "Enter again saves it." in " ".join(form.text.split())
        assert not app.saved
        await pilot.press("enter")
        await pilot.pause()
        assert task(app, "mon1")["done_on"] == date(2026, 8, 2)


async def test_several_that_ask_are_asked_one_after_another_and_ticked_as_one_change() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await _marked(pilot, view, "cnt1", "mon1", "cnt2")
        await pilot.press("space")
        form = _form(app)
        assert "3 tasks, saved as one change" in " ".join(form.text.split())
        assert "plants alive:" in " ".join(form.text.split())
        await pilot.press("1", "1", "2", "enter")
        await pilot.pause()
        assert app.screen is form
        assert "plants alive: 112" in " ".join(form.text.split())
        await pilot.press("9", "7", "enter")
        await pilot.pause()
        assert app.screen is view
        assert {n: task(app, n).get("fact") for n in ("cnt1", "mon1", "cnt2")} == {
            "cnt1": "112",
            "mon1": None,
            "cnt2": "97",
        }
        assert {states(app)[n] for n in ("cnt1", "mon1", "cnt2")} == {"done"}
        assert len(app.saved) == 1
        assert not view._marked


async def test_a_number_typed_ahead_of_the_screen_goes_to_the_task_that_comes_next() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await _marked(pilot, view, "cnt1", "cnt2")
        await pilot.press("space")
        form = _form(app)
        for typed in ("1", "97"):  # all before the screen has taken any of it
            form._fact.insert_text_at_cursor(typed)
            await form._fact.action_submit()
        await pilot.pause()
        await pilot.pause()
        assert [task(app, n).get("fact") for n in ("cnt1", "cnt2")] == ["1", "97"]


async def test_nothing_to_note_ticks_all_of_them_on_one_key() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await _marked(pilot, view, "cnt1", "cnt2")
        await pilot.press("space", "ctrl+n")
        await pilot.pause()
        assert app.screen is view
        assert {states(app)[n] for n in ("cnt1", "cnt2")} == {"done"}
        assert not any(task(app, n).get("fact") for n in ("cnt1", "cnt2"))
        assert len(app.saved) == 1


async def test_what_was_typed_before_nothing_to_note_is_kept() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await _marked(pilot, view, "cnt1", "cnt2")
        await pilot.press("space", "5", "down", "ctrl+n")
        await pilot.pause()
        assert [task(app, n).get("fact") for n in ("cnt1", "cnt2")] == ["5", None]


async def test_with_tasks_that_record_a_stage_what_moves_is_shown_and_all_is_one_change() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await _marked(pilot, view, "plnt", "cnt1", "mon1")
        await pilot.press("space")
        form = _form(app)
        assert "Done on (records A1 transplant;" in " ".join(form.text.split())
        await pilot.press("7", "enter")
        moves = await _shown(app, pilot)
        assert not app.saved
        assert "A1 transplant recorded Wed 4 Nov 2026" in " ".join(moves.text.split())
        assert "Enter save hold" in moves.text
        await pilot.press("s", "enter")
        await pilot.pause()
        await pilot.pause()
        assert app.screen is view
        assert {states(app)[n] for n in ("plnt", "cnt1", "mon1")} == {"done"}
        assert cohort(app, "A1")["transplant"] == TODAY
        assert task(app, "cnt1")["fact"] == "7"
        assert len(app.saved) == 1
        assert not view._marked


async def test_back_from_the_form_ticks_nothing_and_leaves_the_marks() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await _marked(pilot, view, "cnt1", "cnt2")
        await pilot.press("space", "5", "escape")
        await pilot.pause()
        assert app.screen is view
        assert not app.saved
        assert view._marked == {"cnt1", "cnt2"}


@pytest.mark.slow
async def test_a_task_that_another_ticks_meanwhile_is_left_out() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await _marked(pilot, view, "cnt1", "cnt2")
        await pilot.press("space", "5")
        task(app, "cnt1").update(state="done", done_on=BEFORE, fact="88")
        app.reload()
        await pilot.pause()
        assert "cnt1" not in _form(app).text
        await pilot.press("ctrl+n")
        await pilot.pause()
        assert (task(app, "cnt1")["fact"], task(app, "cnt1")["done_on"]) == ("88", BEFORE)
        assert states(app)["cnt2"] == "done"


@pytest.mark.slow
async def test_where_another_ticks_all_that_ask_the_others_are_ticked_with_their_stage() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await _marked(pilot, view, "cnt1", "plnt")
        await pilot.press("space")
        task(app, "cnt1").update(state="done", done_on=BEFORE, fact="88")
        app.reload()
        await pilot.pause()
        await pilot.press("enter")
        await _shown(app, pilot)


async def test_o_on_a_task_that_is_done_says_what_to_do() -> None:
    app, view = _app()
    task(app, "mon1").update(state="done", done_on=BEFORE)
    app._read()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        view._list.stand_on("mon1")
        await pilot.press("o")
        await pilot.pause()
        assert app.screen is view
        assert app.messages == ["Done already: Space opens a task again, to tick it on another day."]


@pytest.mark.slow
async def test_due_ticks_each_on_the_date_on_which_it_was_due() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await _both_ticked_on("due", app, view, pilot)
        days = {name: task(app, name)["done_on"] for name in ("mon1", "late")}
        assert days == {"mon1": BEFORE, "late": date(2026, 10, 30)}


@pytest.mark.slow
@pytest.mark.parametrize("key", ["space", "o"])
async def test_a_tick_of_work_far_ahead_is_questioned_and_a_second_enter_saves_it(key: str) -> None:
    view = WeekView()
    ahead = '\n[[task]]\nid = "far1"\ndate = 2026-11-13\nwhat = "Order bags"\n'
    app = SmallApp(view, TODAY, SEASON + CHORES + ahead)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("right")
        await pilot.pause()
        view._list.stand_on("far1")
        await pilot.press(key)
        await pilot.pause()
        form = _form(app)
        await pilot.press("enter")
        await pilot.pause()
        assert app.screen is form
        assert "9 days before far1 is due (13 Nov 2026). Enter again saves it." in " ".join(form.text.split())
        assert not app.saved
        await pilot.press("enter")
        await pilot.pause()
        assert states(app)["far1"] == "done"


async def test_what_was_planned_of_each_is_written_down_on_one_key_where_nothing_is_typed() -> None:
    view = WeekView()
    plants = SEASON.replace('id = "A1"\n', 'id = "A1"\nplants = 120\n').replace(
        'id = "A3"\n', 'id = "A3"\nplants = 60\n'
    )
    app = SmallApp(view, TODAY, plants + CHORES + MORE)
    async with app.run_test(size=(80, 24)) as pilot:
        await _marked(pilot, view, "cnt1", "mon1", "cnt2")
        await pilot.press("space", "7", "ctrl+g")
        form = _form(app)
        shown = " ".join(form.text.split())
        assert "plants alive: 7" in shown
        assert "plants alive: 60 plants" in shown
        assert not app.saved
        await pilot.press("ctrl+n")
        await pilot.pause()
        facts = {n: task(app, n).get("fact") for n in ("cnt1", "mon1", "cnt2")}
        assert facts == {"cnt1": "7", "mon1": None, "cnt2": "60 plants"}


async def test_an_equals_sign_stands_for_what_was_planned() -> None:
    view = WeekView()
    app = SmallApp(view, TODAY, SEASON.replace('id = "A1"\n', 'id = "A1"\nplants = 120\n') + CHORES + MORE)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        view._list.stand_on("cnt1")
        await pilot.press("space", "=", "enter")
        await pilot.pause()
        assert task(app, "cnt1")["fact"] == "120 plants"
        view._list.stand_on("cnt2")
        await pilot.press("space", "=", "enter")
        await pilot.pause()
        assert "no amount is planned" in " ".join(_form(app).text.split())
        assert states(app)["cnt2"] == "open"


async def test_hours_spent_are_asked_for_and_shared_out() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await _marked(pilot, view, "mon1", "late")
        await pilot.press("o")
        form = _form(app)
        assert "Hours spent, of all together, if known (Tab):" in form.text
        form._day.value, form._spent.value = "yesterday", "1 h 30"
        await pilot.press("enter")
        await pilot.pause()
        assert sum(float(task(app, n)["spent"]) for n in ("mon1", "late")) == 1.5
        assert [c.what.rpartition("; ")[2] for c in app.saved] == ["spent 1.5 h"]


@pytest.mark.parametrize(
    ("day", "spent", "why"),
    [
        ("today", "a morning", "write 3.5, 3 h 30 or 45 min"),
        ("today because rain", "", "none of these tasks records one"),
    ],
)
async def test_hours_or_a_cause_that_cannot_be_are_refused(day: str, spent: str, why: str) -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        view._list.stand_on("mon1")
        await pilot.press("o")
        form = _form(app)
        form._day.value, form._spent.value = day, spent
        await pilot.press("enter")
        await pilot.pause()
        assert app.screen is form
        assert why in " ".join(form.text.split())
        assert not app.saved
