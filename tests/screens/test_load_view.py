"""The load on the screen: bars by week and role, what is over-full, and the tasks behind it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st
from small_app import SEASON, SmallApp

from calendar_tui.planning.load import Load
from calendar_tui.screens.glyphs import ASCII, UNICODE
from calendar_tui.screens.load_view import FEW_KEYS, KEYS, LoadView, bar_text
from calendar_tui.screens.week_view import WeekView

TODAY = date(2026, 11, 4)
CREW = """
[crew]
hours_per_week = { "Ana" = 1.0 }
[[task]]
id = "bigg"
date = 2026-11-03
what = "Lay drip lines over the whole of the field before the plants come"
cohorts = ["A1", "A3"]
place = "F1"
who = "Ana"
hours = 2.5
"""


def _app(text: str = SEASON + CREW) -> tuple[SmallApp, LoadView]:
    view = LoadView()
    return SmallApp(view, TODAY, text), view


async def test_each_role_of_a_week_has_a_bar_its_figures_and_marks() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        lines = view.text.splitlines()
        assert lines[0] == "Load  ! over-full to come: 1  ~ some of it a guess"
        week = lines.index("2026-W45  Mon 2 Nov 2026  this week")
        assert lines[week + 1].startswith("Ana ")
        assert lines[week + 1].endswith(" 3 of 1 h !")
        assert "!!!" in lines[week + 1]
        last = lines.index("2026-W51  Mon 14 Dec 2026")
        assert lines[last + 1].endswith(" ~1 of 1 h")
        assert "!" not in lines[last + 1]
        assert view._list.key == "2026-11-02 Ana"


async def test_enter_shows_the_tasks_behind_the_largest_first_and_hides_them() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("enter")
        await pilot.pause()
        text = view._list.text
        assert text.index("bigg  Tue 3 Nov  A1 A3 F1  Lay drip") < text.index("mon1  Mon 2 Nov  A1 H2  Scout")
        await pilot.press("down")
        assert view._list.key == "2026-11-02 Ana|bigg"
        await pilot.press("enter")
        await pilot.pause()
        assert "bigg" not in view._list.text
        assert view._list.key == "2026-11-02 Ana"


async def test_tasks_shown_at_the_foot_of_the_screen_come_into_view() -> None:
    many = "".join(
        f'[[task]]\nid = "{who}{month}"\ndate = 2026-{month}-15\nwhat = "Hoe"\nwho = "{who}"\nhours = 1\n'
        for month in (10, 11, 12)
        for who in "abcd"
    )
    app, view = _app(SEASON + CREW + many)
    async with app.run_test(size=(80, 14)) as pilot:
        await pilot.press("home")
        shown = view._list
        while shown._stops[shown._stop + 1] < shown.scroll_offset.y + shown.size.height:
            await pilot.press("down")
        await pilot.press("enter")
        await pilot.pause()
        below = shown._stops[shown._stop] + 1
        assert "Hoe" in view._list.text.splitlines()[below]
        assert below < shown.scroll_offset.y + shown.size.height


async def test_o_goes_from_one_over_full_week_to_the_next_and_round() -> None:
    later = CREW.replace("2026-11-03", "2026-12-15").replace("bigg", "late").split("[[task]]")[1]
    app, view = _app(SEASON + CREW + "[[task]]" + later.replace("late", "latr"))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("o")
        assert view._list.key == "2026-12-14 Ana"
        await pilot.press("o")
        assert view._list.key == "2026-11-02 Ana"
        await pilot.press("end", "t")
        assert view._list.key == "2026-11-02 Ana"


async def test_w_opens_that_week_and_what_is_moved_there_is_moved_here() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("end", "w")
        await pilot.pause()
        assert isinstance(app.screen, WeekView)
        assert app.screen.text.startswith("Week of Mon 14 Dec 2026")
        await pilot.press("escape")
        app.data["task"] = [t for t in app.data["task"] if t["id"] != "bigg"]
        app.reload()
        await pilot.pause()
        assert "0.5 of 1 h" in view.text
        assert "over-full" not in view.text


async def test_the_week_view_opens_the_load() -> None:
    view = WeekView()
    app = SmallApp(view, TODAY, SEASON + CREW)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("h")
        await pilot.pause()
        assert isinstance(app.screen, LoadView)


async def test_without_hours_there_is_a_sentence_and_no_key_does_harm() -> None:
    app, view = _app("\n".join(line for line in SEASON.splitlines() if not line.startswith("hours")))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("enter", "o", "t", "w", "down")
        assert "No hours: no task that is saved" in view.text
        assert app.screen is view


async def test_where_the_season_does_not_say_what_a_role_has_that_is_told() -> None:
    app, view = _app(SEASON)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "what each role has is not said" in view.text.splitlines()[0]


@pytest.mark.parametrize(("width", "keys"), [(80, KEYS), (40, FEW_KEYS)])
async def test_nothing_is_wider_than_the_screen(width: int, keys: str) -> None:
    app, view = _app(SEASON + CREW.replace("Ana", "licensed electrician"))
    async with app.run_test(size=(width, 24)) as pilot:
        await pilot.press("enter")
        await pilot.pause()
        assert max(map(len, view._list.text.splitlines())) <= width - 4
        assert view._keys.text.rstrip() == keys
        assert len(keys) <= width


# --- the bar

LOAD = Load(date(2026, 11, 2), "Ana", 5.0, 10.0, False, ())


def test_a_bar_is_full_up_to_its_hours_free_up_to_what_there_is_and_marked_beyond() -> None:
    assert bar_text(LOAD, 10.0, 10, ASCII) == "#####....."
    assert bar_text(LOAD, 20.0, 10, UNICODE) == "▓▓···     "
    assert bar_text(replace(LOAD, hours=14.0), 20.0, 10, ASCII) == "#####!!   "
    assert bar_text(replace(LOAD, has_h=None), 10.0, 10, ASCII) == "#####     "
    assert bar_text(replace(LOAD, has_h=0.0), 5.0, 4, ASCII) == "!!!!"


@given(
    st.floats(0.01, 500),
    st.one_of(st.none(), st.floats(0, 500)),
    st.floats(0, 500),
    st.integers(4, 120),
)
def test_a_bar_has_its_width_and_says_what_is_over(
    hours: float, has: float | None, more: float, cells: int
) -> None:
    load = replace(LOAD, hours=round(hours, 2), has_h=None if has is None else round(has, 2))
    full = max(load.hours, load.has_h or 0.0) + more
    bar = bar_text(load, full, cells, ASCII)
    assert len(bar) == cells
    assert ("!" in bar) == bool(load.over_h)
    assert bar.strip(" .") != ""
