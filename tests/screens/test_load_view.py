"""The load on the screen: bars by week and role, what is over-full, and the tasks behind it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st
from small_app import SEASON, SmallApp

from calendar_tui.handing_on.words.load_text import use_figures
from calendar_tui.planning.capacity.by_week import KINDS, WeekUse
from calendar_tui.planning.needs.by_week import week_uses
from calendar_tui.screens.kit.glyphs import ASCII, UNICODE
from calendar_tui.screens.kit.notices import WORKING
from calendar_tui.screens.load.view import NAMES, LoadView, bar_text, key_of
from calendar_tui.screens.week.view import WeekView

TODAY = date(2026, 11, 4)
KEYS = "k kind  Enter tasks  o next over-full  w week  t this week  ? help  Esc back"
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
        await app.workers.wait_for_complete()
        await pilot.pause()
        lines = view.text.splitlines()
        assert lines[0] == "Load  hours by role  ! over-full to come: 1  ~ some of it a guess"
        week = lines.index("2026-W45  Mon 2 Nov 2026  this week")
        assert lines[week + 1].startswith("Ana ")
        assert lines[week + 1].endswith(" 3 of 1 h !")
        assert "!!!" in lines[week + 1]
        last = lines.index("2026-W51  Mon 14 Dec 2026")
        assert lines[last + 1].endswith(" ~1 (0-1) of 1 h")
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
        await app.workers.wait_for_complete()
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
        assert "No hours are set on any saved task." in view.text
        assert app.screen is view


async def test_where_the_season_does_not_say_what_a_role_has_that_is_told() -> None:
    app, view = _app(SEASON)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "no hours per role are set" in view.text.splitlines()[0]


@pytest.mark.parametrize(("width", "keys"), [(80, KEYS), (40, "k kind  Enter tasks  ? help  Esc back")])
async def test_nothing_is_wider_than_the_screen(width: int, keys: str) -> None:
    app, view = _app(SEASON + CREW.replace("Ana", "licensed electrician"))
    async with app.run_test(size=(width, 24)) as pilot:
        await pilot.press("enter")
        await pilot.pause()
        assert max(map(len, view._list.text.splitlines())) <= width - 4
        assert view._keys.text.rstrip() == keys
        assert len(keys) <= width


# --- the bar

LOAD = WeekUse("hours", "Ana", date(2026, 11, 2), 5.0, "h", 10.0, False, date(2026, 11, 2))


def test_a_bar_is_full_up_to_its_hours_free_up_to_what_there_is_and_marked_beyond() -> None:
    assert bar_text(LOAD, 10.0, 10, ASCII) == "#####....."
    assert bar_text(LOAD, 20.0, 10, UNICODE) == "▓▓···     "
    assert bar_text(replace(LOAD, amount=14.0), 20.0, 10, ASCII) == "#####!!   "
    assert bar_text(replace(LOAD, has=None), 10.0, 10, ASCII) == "#####     "
    assert bar_text(replace(LOAD, has=0.0), 5.0, 4, ASCII) == "!!!!"


@given(
    st.floats(0.01, 500),
    st.one_of(st.none(), st.floats(0, 500)),
    st.floats(0, 500),
    st.integers(4, 120),
)
def test_a_bar_has_its_width_and_says_what_is_over(
    hours: float, has: float | None, more: float, cells: int
) -> None:
    load = replace(LOAD, amount=round(hours, 2), has=None if has is None else round(has, 2))
    full = max(load.amount, load.has or 0.0) + more
    bar = bar_text(load, full, cells, ASCII)
    assert len(bar) == cells
    assert ("!" in bar) == bool(load.over)
    assert bar.strip(" .") != ""


# --- the other kinds

FARM = (
    SEASON.replace('id = "H2"', 'id = "H2"\narea_m2 = 50').replace('id = "N1"', 'id = "N1"\ntrays = 2\ntray_cells = 20')
    .replace('response = "short-day"', 'response = "short-day"\nfresh_kg_per_plant = 0.5')
    .replace('start = "seed"', 'start = "seed"\nplants = 60\nspacing_m = [1.5, 0.6]')
    + "[capacity]\ndryer_kg = 40\ndryer_d = 9\nsamples_per_week = 30\n"
)  # fmt: skip


async def test_k_goes_through_the_kinds_and_back_to_hours() -> None:
    app, view = _app(FARM)
    async with app.run_test(size=(80, 24)) as pilot:
        seen = []
        for _ in KINDS:
            await pilot.press("k")
            await app.workers.wait_for_complete()
            await pilot.pause()
            assert WORKING not in view.text
            seen.append(view.text.splitlines()[0].split("  ")[1])
        assert seen == [*list(NAMES.values())[1:], "hours by role"]
        assert "Ana" in view.text


async def test_an_over_full_dryer_has_its_bar_and_enter_shows_the_cohorts() -> None:
    """Two cohorts of 60 plants at 0.5 kg: 60 kg once both are in, of 40 kg; the first 30 kg fit."""
    app, view = _app(FARM)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("k")
        await app.workers.wait_for_complete()
        await pilot.pause()
        text = view.text
        assert "dryer  " in text
        expected = {use for use in week_uses(app.plan, app.data) if use.kind == "dryer"}
        lines = [line for line in text.splitlines() if line.startswith("dryer ")]
        assert len(lines) == len(expected)
        for use in expected:
            assert any(use_figures(use) in line and ("!!" in line) == bool(use.over) for line in lines)
        await pilot.press("o", "enter")
        await pilot.pause()
        assert " kg  A" in view._list.text
        await pilot.press("w")
        await pilot.pause()
        assert isinstance(app.screen, WeekView)


async def test_a_week_that_may_be_over_full_is_marked_and_tells_in_how_many_futures() -> None:
    app, view = _app(FARM)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("k")
        await app.workers.wait_for_complete()
        await pilot.pause()
        may_be = next(use for use in week_uses(app.plan, app.data, ("dryer",)) if use.may_be_over)
        assert "? may be over-full" in view.text.splitlines()[0]
        view._list.stand_on(key_of(may_be))
        await pilot.press("enter")
        await pilot.pause()
        assert may_be.futures is not None
        assert f"  over-full in {may_be.futures.over} of {may_be.futures.of} futures" in view._list.text


async def test_hours_get_their_range_once_it_is_worked_out_and_the_cursor_stays() -> None:
    chore = '[[chore]]\nid = "cut"\nwhat = "Cut"\nstage = "harvest"\nhours = 2.5\nwho = "Ana"\n'
    app, view = _app(SEASON + CREW.replace("2026-11-03", "2027-01-12") + 'chore = "cut"\n' + chore)
    async with app.run_test(size=(80, 24)) as pilot:
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert "(0-" in view.text
        assert view._list.key.endswith("Ana")


async def test_benches_and_what_is_not_counted_are_told() -> None:
    app, view = _app(FARM.replace("fresh_kg_per_plant = 0.5", ""))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("k")
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert "no yield is assumed" in " ".join(view.text.split())
        await pilot.press("k", "home", "o", "enter")
        await pilot.pause()
        assert " trays !" in view.text
        assert "trays  A1  Mon 5 Oct - " in view.text
        app.data["place"][0]["trays"] = 40
        app.reload()
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert "of 40 trays" in view.text


@pytest.mark.slow
@pytest.mark.parametrize("width", [80, 40])
async def test_no_kind_is_wider_than_the_screen(width: int) -> None:
    app, view = _app(FARM)
    async with app.run_test(size=(width, 24)) as pilot:
        for _ in KINDS:
            await pilot.press("k", "enter")
            await app.workers.wait_for_complete()
            await pilot.pause()
            assert max(map(len, view.text.splitlines())) <= width
