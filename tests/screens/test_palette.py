"""Anything by its words: Ctrl+P finds actions, cohorts, places, dates and tasks, and Enter goes there."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from season_on_disk import TEXT, TODAY, app_of, notes, plants
from settling import settled
from textual.widgets import Input

from calendar_tui.planning.plan import make_plan
from calendar_tui.screens.kit.actions import BY_ID, in_group
from calendar_tui.screens.opening_views import ground_of, name_of
from calendar_tui.screens.palette.entries import MOST, Entry, entries_of, matches_of
from calendar_tui.season.reading import read_season
from tests.counting import lines_run
from tests.season_data import data_of

MORE = """\
[[place]]
id = "F1"
kind = "field"
[[place]]
id = "N9"
kind = "nursery"
[[cohort]]
id = "B1"
variety = "amber"
start = "seed"
place = "F1"
planned = { seeding = 2026-11-02 }
[[task]]
id = "net1"
date = 2027-01-15
what = "Put up the bird net"
place = "F1"
[[task]]
id = "net2"
date = 2026-11-02
what = "Mend the bird net"
state = "done"
"""


@pytest.fixture
def season(tmp_path: Path) -> Path:
    path = tmp_path / "two.toml"
    path.write_text(TEXT + MORE, encoding="utf-8")
    return path


async def going_to(app, pilot, *words: str):
    """The view that Ctrl+P and these words lead to."""
    await settled(app, pilot)
    await pilot.press("ctrl+p")
    await settled(app, pilot)
    await pilot.press(*("space" if char == " " else char for char in " ".join(words)))
    await pilot.press("enter")
    return await settled(app, pilot)


async def test_a_date_moves_the_time_cursor(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await going_to(app, pilot, "12 feb")
        assert view.cursor == date(2027, 2, 12)
        await pilot.press("w")
        await settled(app, pilot)
        assert await going_to(app, pilot, "today") is view
        assert view.cursor == TODAY


async def test_a_date_beyond_the_season_is_told(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await going_to(app, pilot, "12 feb 2031")
        assert notes(app) == ["Wed 12 Feb 2031 is beyond the days of this season."]


@pytest.mark.slow
@pytest.mark.parametrize(
    ("words", "cohort"), [("b1", "B1"), ("amber f1", "B1"), ("field f1", "B1"), ("H2 hoop", "A1")]
)
async def test_a_cohort_or_a_place_is_selected_in_the_season(season: Path, words: str, cohort: str) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("slash", "A", "1", "enter", "w")
        view = await going_to(app, pilot, words)
        assert view is ground_of(app)
        assert view.cohort_id == cohort


async def test_a_place_in_which_nobody_stands_is_told(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await going_to(app, pilot, "n9")
        assert notes(app) == ["No cohort stands in N9."]


async def test_a_task_is_shown_in_its_week_with_the_cursor_on_it(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await going_to(app, pilot, "bird net")
        assert (name_of(view), view._list.key) == ("week", "net1")
        assert "Week of Mon 11 Jan 2027" in view.text
        view = await going_to(app, pilot, "net2")
        assert view._list.key == "net2"
        await pilot.press("escape")
        assert await settled(app, pilot) is ground_of(app)


@pytest.mark.slow
async def test_an_action_of_the_view_below_is_done_there(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await going_to(app, pilot, "open the load")
        assert name_of(view) == "load"
        await pilot.press("escape", "w")
        view = await going_to(app, pilot, "mark all work at the place")
        assert view._marked == {"hoe1"}


@pytest.mark.slow
@pytest.mark.parametrize("keys", ["r", "e7"])
async def test_what_is_not_saved_yet_is_not_left_for_another_place(season: Path, keys: str) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        for key in keys:
            await pilot.press(key)
            await settled(app, pilot)
        form = app.screen
        assert form is not ground_of(app)
        assert await going_to(app, pilot, "b1") is form
        assert notes(app) == ["What is typed here is not saved: go on with it, or Esc first."]


async def test_enter_right_after_the_last_letter_goes_to_what_that_letter_finds(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("ctrl+p")
        view = await settled(app, pilot)
        view.query_one(Input).value = "b1"
        view.on_input_submitted()
        assert app.screen is view
        await settled(app, pilot)
        assert ground_of(app).cohort_id == "B1"
        assert app.screen is ground_of(app)


async def test_esc_and_nothing_that_fits_change_nothing(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        before = await settled(app, pilot)
        bookmark = before.bookmark
        await pilot.press("ctrl+p", *"xyzzy", "enter")
        view = await settled(app, pilot)
        assert "Nothing has these words." in view.text
        await pilot.press("ctrl+p", "escape")
        assert await settled(app, pilot) is before
        assert (before.bookmark, plants(season)) == (bookmark, 10)


def plan_of(tasks: int):
    lines = "".join(
        f'[[task]]\nid = "t{n}"\ndate = 2026-12-{n % 28 + 1:02}\nwhat = "Walk the rows {n}"\n'
        for n in range(tasks)
    )
    season = read_season(data_of(TEXT + MORE + lines)).season
    assert season is not None
    return make_plan(season, TODAY)


def test_the_one_of_that_name_comes_first_then_words_that_begin_so_then_by_kind() -> None:
    entries = entries_of(plan_of(0), list(BY_ID.values()))
    kinds = [entry.kind for entry in matches_of(entries, "f1", None).rows]
    assert kinds[:3] == ["place", "cohort", "task"]
    assert matches_of(entries, "net", None).rows[0].goes == "net1"
    assert matches_of(entries, "8 dec", TODAY).rows[0] == Entry(
        "date", "date", "Tue 8 Dec 2026, on the time axis", "", "2026-12-08"
    )


def test_of_actions_that_whose_sentence_begins_with_the_word_comes_first() -> None:
    entries = entries_of(plan_of(0), in_group("season"))
    assert matches_of(entries, "lamps", None).rows[0].text.startswith("Open the lamps:")
    assert matches_of(entries, "week", None).rows[0].text == "Open this week's tasks."


def test_nothing_typed_lists_everything_but_the_tasks() -> None:
    entries = entries_of(plan_of(30), [])
    assert {entry.kind for entry in matches_of(entries, " ", None).rows} == {"cohort", "place"}


def test_of_very_many_the_first_are_listed_and_the_rest_counted() -> None:
    entries = entries_of(plan_of(300), [])
    rows, more = matches_of(entries, "walk", None)
    assert (len(rows), more) == (MOST, 300 - MOST)


def test_looking_among_ten_times_as_many_tasks_takes_ten_times_as_long_at_most() -> None:
    def work(tasks: int) -> int:
        entries = entries_of(plan_of(tasks), [])
        return lines_run(lambda: matches_of(entries, "walk 7", None))

    assert work(2000) < 12 * work(200)
    assert work(2000) < 40_000
