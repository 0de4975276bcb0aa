"""This week's tasks on the screen: order, ticking, weeks, cautions."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

import pytest
from small_app import SmallApp, states

from calendar_tui.screens.week.view import WeekView

TODAY = date(2026, 11, 4)


def _app(day: date | None = None) -> tuple[SmallApp, WeekView]:
    view = WeekView(day)
    return SmallApp(view, TODAY), view


def _at(lines: list[str], words: str) -> int:
    found = [i for i, line in enumerate(lines) if words in line]
    assert found, f"{words!r} is not in {lines}"
    return found[0]


async def test_overdue_comes_first_then_the_days_then_next_week() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        lines = view.text.splitlines()
        assert lines[0] == "Week of Mon 2 Nov 2026  this week"
        order = [
            _at(lines[1:], w)
            for w in (
                "Overdue: 3, 1 from before Mon 2 Nov",
                "30 Oct: Stake",
                "Mon 2 Nov  overdue",
                "Scout",
                "Wed 4 Nov  today",
            )
        ]
        assert order == sorted(order)
        assert _at(lines, "Wed 4 Nov  today") < _at(lines, "Sun 8 Nov") < _at(lines, "[-]")
        assert lines[_at(lines, "next week")] == "next week: 1 task"
        assert "mon1 [ ] A1 H2 Scout for pests" in view.text
        assert lines[_at(lines, "Scout")].endswith("Ana  0.5 h")


async def test_space_ticks_the_task_and_space_again_opens_it() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("down", "space")
        await pilot.pause()
        assert states(app)["mon1"] == "done"
        assert [t["done_on"] for t in app.data["task"] if t["id"] == "mon1"] == [TODAY]
        assert "mon1 [x]" in view.text
        await pilot.press("space")
        await pilot.pause()
        assert states(app)["mon1"] == "open"
        assert "mon1 [ ]" in view.text
        assert len(app.saved) == 2


async def test_quick_ticks_are_all_saved_and_the_order_stays() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        before = [line[:4] for line in view.text.splitlines() if "[" in line]
        await pilot.press("space", "down", "space", "down", "space")
        await pilot.pause()
        assert {i for i, s in states(app).items() if s == "done"} == {"late", "mon1", "mon2"}
        assert [line[:4] for line in view.text.splitlines() if "[" in line] == before


async def test_a_tick_taken_back_before_it_is_saved_ends_open() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        view._list.stand_on("mon1")
        await view.action_tick()
        await view.action_tick()
        assert "mon1 [ ]" in view.text
        await pilot.pause()
        await pilot.pause()
        assert states(app)["mon1"] == "open"
        assert [c.what.split()[0] for c in app.saved] == ["ticked", "opened"]
        assert "mon1 [ ]" in view.text


async def test_a_refused_tick_is_shown_open_again(monkeypatch: pytest.MonkeyPatch) -> None:
    app, view = _app()
    app.fails = True
    later: list[Callable[[], None]] = []
    monkeypatch.setattr(view, "set_timer", lambda _seconds, work: later.append(work))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("down", "space")
        assert "mon1 [x]" in view.text
        await pilot.pause()
        later.pop()()
        await pilot.pause()
        assert "mon1 [ ]" in view.text
        assert states(app)["mon1"] == "open"


async def test_a_skipped_task_can_be_opened_again() -> None:
    app, _ = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("end", "space")
        await pilot.pause()
        assert states(app)["sun1"] == "open"


async def test_the_cursor_stays_on_its_task_when_the_file_changes() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("down", "down")
        assert view._list.key == "mon2"
        app.data["task"].insert(0, {"id": "new1", "date": date(2026, 11, 2), "what": "A first thing"})
        app.reload()
        await pilot.pause()
        assert view._list.key == "mon2"


async def test_the_caution_of_the_task_under_the_cursor_stands_at_the_bottom() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("down")
        assert "Caution" not in view.text
        await pilot.press("down")
        await pilot.pause()
        said = " ".join(view._detail.text.split())
        assert said.startswith("Caution: Lamps in wet places: ground-fault protection;")
        assert "a licensed electrician decides" in said
        assert said.endswith("lights off is recorded in the season view.")
        assert view._detail.size.height == len(view._detail.text.splitlines())


async def test_weeks_go_back_and_forth_and_t_returns() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("right")
        assert view.text.startswith("Week of Mon 9 Nov 2026  next week")
        assert "Hoe" in view.text
        await pilot.press("[", "[")
        assert view.text.startswith("Week of Mon 26 Oct 2026  last week")
        await pilot.press("t")
        assert view.text.startswith("Week of Mon 2 Nov 2026  this week")
        await pilot.press("escape")
        assert app.screen is not view


async def test_a_week_without_tasks_says_so() -> None:
    app, view = _app(date(2027, 3, 1))
    app.data["task"] = []
    app._read()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("space", "up", "down", "pagedown", "home")
        assert view.text.count("no tasks") == 7
        assert "next week: 0 tasks" in view.text
        assert app.saved == []


async def test_a_cursor_move_redraws_two_lines_of_the_list() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        drawn: list[int] = []
        render = view._list.render_line
        view._list.render_line = lambda y: (drawn.append(y), render(y))[1]
        await pilot.press("down")
        await pilot.pause()
        assert len(set(drawn)) == 2


async def test_another_week_holds_only_its_own_days_and_the_cursor_stands_in_it() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("]")
        await pilot.pause()
        assert "Overdue" not in view.text
        assert view._list.key in {t.id for _, tasks in view._week.days for t in tasks}
        await pilot.press("[", "[")
        assert "Overdue" not in view.text


async def test_what_is_overdue_grows_less_with_a_tick() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "Overdue: 3, 1 from before Mon 2 Nov" in view.text
        view._list.stand_on("late")
        await pilot.press("space")
        await pilot.pause()
        assert "late [x]" in view.text
        assert "Overdue: 2, none from before Mon 2 Nov" in view.text
