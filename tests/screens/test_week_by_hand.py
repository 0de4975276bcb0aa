"""The week view: grouped, filtered, and several tasks skipped, moved, noted or ticked as one change."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from small_app import SEASON, SmallApp, states
from textual.app import App

from calendar_tui.planning.tasks.week import all_tasks
from calendar_tui.screens.week.done_view import DoneView
from calendar_tui.screens.week.typed_view import TypedView
from calendar_tui.screens.week.view import WeekView
from calendar_tui.season.edits import Edit, apply_edits

TODAY = date(2026, 11, 4)


def _app(text: str = SEASON) -> tuple[SmallApp, WeekView]:
    view = WeekView()
    return SmallApp(view, TODAY, text), view


def _task(app: SmallApp, name: str) -> dict[str, Any]:
    found: dict[str, Any] = next(t for t in app.data["task"] if t["id"] == name)
    return found


def _ids(view: WeekView) -> list[str]:
    return [row.key for row in view._list.rows if row.key]


def _asking(app: App[None]) -> TypedView:
    assert isinstance(app.screen, TypedView)
    return app.screen


# --- grouped and filtered


async def test_g_groups_by_place_then_role_then_day() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("g")
        lines = view.text.splitlines()
        assert lines[0].endswith("this week  by place")
        assert lines[1] == "H2  overdue: 3"
        assert "30 Oct: Stake the rows" in lines[2]
        assert "2 Nov: Scout for pests" in view.text
        assert lines[lines.index("no place") + 1].split()[0] == "sun1"
        await pilot.press("g")
        assert "by role" in view.text
        heads = [line for line in view.text.splitlines() if line.split("  ")[0] in ("Ana", "anyone")]
        assert [head.split("  ")[0] for head in heads] == ["Ana", "anyone"]
        await pilot.press("g")
        assert view.text.splitlines()[1] == "Overdue: 3, 1 from before Mon 2 Nov"
        assert "Mon 2 Nov  overdue: 2" in view.text


async def test_every_task_stands_in_every_grouping() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        by_day = set(_ids(view))
        for _ in range(2):
            await pilot.press("g")
            assert set(_ids(view)) == by_day


async def test_the_list_narrows_as_you_type_and_escape_shows_all_again() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("slash", "s", "c")
        await pilot.pause()
        assert _ids(view) == ["mon1"]
        assert "only: sc" in view.text
        await pilot.press("enter", "space")
        await pilot.pause()
        assert states(app)["mon1"] == "done"
        assert app.screen is view
        await pilot.press("escape")
        await pilot.pause()
        assert len(_ids(view)) > 3
        assert "only:" not in view.text
        await pilot.press("escape")
        assert app.screen is not view


async def test_keys_that_do_things_are_letters_while_typing() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("slash", *"msdng", "space", "down")
        await pilot.pause()
        assert view._filter.value == "msdng "
        assert _ids(view) == []
        assert app.saved == []


# --- several at once


async def test_marked_tasks_are_skipped_with_a_reason_in_one_change() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("m", "m")
        assert "2 marked" in view.text
        assert "*late [ ]" in view.text
        await pilot.press("s")
        asking = _asking(app)
        assert "late Stake the rows" in asking.text
        assert "mon1 Scout for pests" in asking.text
        await pilot.press(*"rain", "enter")
        await pilot.pause()
        assert [c.what for c in app.saved] == ["skipped 2 tasks (late, mon1): rain"]
        assert (_task(app, "late")["state"], _task(app, "mon1")["note"]) == ("skipped", "rain")
        assert "marked" not in view.text
        # What was overdue stays in view, as settled.
        assert "late [-]" in view.text


async def test_one_task_is_moved_to_a_typed_date_and_a_wrong_one_is_told() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("down", "d", *"soon", "enter")
        await pilot.pause()
        assert "+2 (days from the task's own date)" in " ".join(_asking(app).text.split())
        assert app.saved == []
        await pilot.press(*4 * ("backspace",), *"+3", "enter")
        await pilot.pause()
        assert (_task(app, "mon1")["date"], _task(app, "mon1")["moved"]) == (date(2026, 11, 5), True)
        assert len(app.saved) == 1
        lines = view.text.splitlines()
        assert "Scout" in lines[lines.index("Thu 5 Nov") + 1]


async def test_a_move_to_the_past_is_saved_by_a_second_enter_and_numbers_of_two_dates_by_none() -> None:
    app, _ = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("down", "d", *"1/2", "enter")
        await pilot.pause()
        assert '"1/2" is 1 Feb 2027 or 2 Jan 2027; write 1 feb or 2 jan' in _asking(app).text
        await pilot.press(*3 * ("backspace",), *"1 nov", "enter")
        await pilot.pause()
        assert "Sun 1 Nov 2026 is before today. Enter again saves it." in " ".join(_asking(app).text.split())
        assert app.saved == []
        await pilot.press("enter")
        await pilot.pause()
        assert _task(app, "mon1")["date"] == date(2026, 11, 1)
        assert [c.what for c in app.saved] == ["moved mon1 Scout for pests (A1) to Sun 1 Nov 2026"]


async def test_moving_the_work_of_a_stage_tells_that_its_date_stays() -> None:
    app, view = _app(
        SEASON
        + '[[task]]\nid = "offf"\ndate = 2026-11-05\nwhat = "Off"\ncohort = "A1"\nchore = "lamps-off"\n'
    )
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        view._list.stand_on("offf")
        await pilot.press("d")
        assert "The plan keeps A1 lights off where it is" in " ".join(_asking(app).text.split())


@pytest.mark.slow
async def test_a_note_starts_from_the_one_there_is() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("n", *"two", "enter")
        await pilot.pause()
        await pilot.press("n", *"!", "enter")
        await pilot.pause()
        assert _task(app, "late")["note"] == "two!"
        assert "two!" in view.text
        await pilot.press("n", "escape")
        assert len(app.saved) == 2


async def test_marking_all_marks_what_is_due_by_today_then_the_later_ones_too_then_none() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("M")
        assert view._marked == {"late", "mon1", "mon2"}
        assert app.messages == ["Marked what is due by today; M again marks the 2 later too."]
        await pilot.press("M")
        assert view._marked == set(_ids(view))
        assert app.messages[1:] == ["Marked 2 later than today too; M again marks none."]
        await pilot.press("M")
        assert "marked" not in view.text
        await pilot.press("slash", *"scout", "enter", "M")
        assert "1 marked" in view.text


async def test_marked_tasks_that_a_search_hides_are_left_alone_until_they_are_shown_again() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("M", "slash", *"scout", "enter")
        shown = {task.id for task in all_tasks(view._week)} & {"late", "mon1", "mon2"}
        assert 0 < len(shown) < 3
        assert f"{len(shown)} marked, {3 - len(shown)} hidden" in view.text
        await pilot.press("space")
        await pilot.pause()
        assert {name for name in ("late", "mon1", "mon2") if states(app)[name] == "done"} == shown


async def test_all_marked_and_ticked_leaves_the_days_to_come_open() -> None:
    app, _ = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("M", "space")
        await pilot.pause()
        assert states(app)["mon1"] == "done"
        assert states(app)["surv"] == "open"


async def test_days_without_a_task_that_fits_are_left_out_while_searching() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("slash", *"scout")
        await pilot.pause()
        assert "no tasks" not in view.text
        assert [line for line in view.text.splitlines() if line[:3] in ("Mon", "Tue", "Sun")] == [
            "Mon 2 Nov  overdue: 1"
        ]
        await pilot.press(*"zzz")
        await pilot.pause()
        assert view.text.count('No task this week has "scoutzzz"; Esc shows all.') == 1
        await pilot.press("escape")
        await pilot.pause()
        assert "Mon 2 Nov" in view.text
        assert "Tue 3 Nov" in view.text
        await pilot.press("escape")
        await pilot.pause()
        assert "Tue 3 Nov  no tasks" in view.text


async def test_several_are_ticked_in_one_change_and_opened_again_in_one() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("m", "m", "space")
        await pilot.pause()
        assert [c.what for c in app.saved] == ["ticked 2 tasks (late, mon1) on Wed 4 Nov 2026"]
        assert {i for i, s in states(app).items() if s == "done"} == {"late", "mon1"}
        await pilot.press("home", "m", "m", "space")
        await pilot.pause()
        assert states(app)["late"] == states(app)["mon1"] == "open"
        assert len(app.saved) == 2
        assert "late [ ]" in view.text


@pytest.mark.parametrize("key", ["s", "d"])
async def test_a_done_task_is_not_skipped_or_moved(key: str) -> None:
    app, _ = _app(SEASON.replace('what = "Stake the rows"', 'what = "Stake the rows"\nstate = "done"'))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("left", key)
        assert not isinstance(app.screen, TypedView)
        assert app.saved == []


def _done_by_another(app: SmallApp, name: str) -> None:
    edit = Edit("set", "task", (name,), ("state",), "done")
    app.data = apply_edits(app.data, (edit,))
    app.reload()


@pytest.mark.parametrize(("key", "typed", "verb"), [("s", "rain", "skip"), ("d", "+3", "move")])
async def test_a_task_that_somebody_else_ticked_behind_an_open_prompt_stays_done(
    key: str, typed: str, verb: str
) -> None:
    app, _ = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("down", key)
        asking = _asking(app)
        _done_by_another(app, "mon1")
        await pilot.press(*typed, "enter")
        await pilot.pause()
        assert app.screen is asking
        assert f"mon1 is done; to {verb} it all the same, open it again first" in " ".join(
            asking.text.split()
        )
        assert app.saved == []
        assert states(app)["mon1"] == "done"


async def test_a_note_that_somebody_else_wrote_behind_an_open_prompt_is_shown_before_it_is_replaced() -> None:
    app, _ = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("down", "n")
        app.data = apply_edits(app.data, (Edit("set", "task", ("mon1",), ("note",), "aphids"),))
        app.reload()
        await pilot.press(*"mites", "enter")
        await pilot.pause()
        assert 'mon1 has another note by now, "aphids". Enter again saves it.' in " ".join(
            _asking(app).text.split()
        )
        assert app.saved == []
        await pilot.press("enter")
        await pilot.pause()
        assert _task(app, "mon1")["note"] == "mites"


async def test_a_form_whose_tasks_somebody_else_ticked_saves_nothing() -> None:
    app, _ = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("down", "o")
        form = app.screen
        assert isinstance(form, DoneView)
        _done_by_another(app, "mon1")
        await pilot.press("enter")
        await pilot.pause()
        assert "these tasks are done" in " ".join(form.text.split())
        assert app.screen is form
        assert app.saved == []


async def test_a_task_that_is_gone_meanwhile_is_no_more_marked() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("m")
        app.data["task"] = [t for t in app.data["task"] if t["id"] != "late"]
        app.reload()
        await pilot.pause()
        assert "marked" not in view.text


# --- narrow


async def test_a_narrow_screen_cuts_nothing_without_a_mark_and_keeps_ids() -> None:
    app, view = _app()
    async with app.run_test(size=(40, 24)) as pilot:
        await pilot.press("down")
        await pilot.pause()
        for line in view._list.text.splitlines():
            assert len(line) <= 36, line
        assert _ids(view)[1] == "mon1"
        assert "mon1 [ ] A1 Scout for pests" in view.text
        said = " ".join(view._detail.text.split())
        assert all(part in said for part in ("H2", "by Ana", "0.5 h"))


KEYS = "Space tick  o done on  m mark  a place  s skip  d move  u undo  ? help  Esc back"
FEW = "Space tick  o done on  m mark  u undo  ? help  Esc back"
FEWER = "Space tick  o done on  ? help  Esc back"


@pytest.mark.parametrize(
    ("width", "keys"), [(80, KEYS), (79, KEYS.replace("  d move", "")), (60, FEW), (40, FEWER)]
)
async def test_the_keys_fit_the_screen(width: int, keys: str) -> None:
    app, view = _app()
    async with app.run_test(size=(width, 24)) as pilot:
        await pilot.pause()
        assert view._keys.text.rstrip() == keys
        assert len(keys) <= width


async def test_a_narrow_heading_says_what_is_marked_and_marks_what_is_cut() -> None:
    app, view = _app()
    async with app.run_test(size=(40, 24)) as pilot:
        await pilot.press("g", "m", "slash", *"scout for the pests in", "enter")
        await pilot.pause()
        heading = view.text.splitlines()[0]
        assert heading.startswith("Mon 2 Nov  by place")
        assert heading.endswith("…  0 marked, 1 hidden")
        assert len(heading) <= 40


async def test_a_long_caution_on_a_small_screen_is_cut_with_a_mark() -> None:
    app, view = _app(
        SEASON.replace("a licensed electrician decides", 12 * "a licensed electrician decides; ")
    )
    async with app.run_test(size=(40, 18)) as pilot:
        await pilot.pause()
        view._list.stand_on("mon2")
        await pilot.pause()
        lines = view._detail.text.splitlines()
        assert (len(lines), lines[-1]) == (6, "licensed electrician decides; a lic…")
        assert view._detail.size.height == 6
