"""Views that are open while others change the season: cursor and what is typed stay, what is gone is said."""

from __future__ import annotations

import pytest
from others import MORE, begun, in_place, looked, save, set_plants
from season_on_disk import TEXT, app_of
from settling import settled

from calendar_tui.screens.asking.moves_view import MovesView
from calendar_tui.screens.asking.outage_view import OutageView
from calendar_tui.screens.asking.record_view import RecordView
from calendar_tui.screens.pages.cohort_view import CohortView
from calendar_tui.screens.season.view import SeasonView
from calendar_tui.screens.varieties.view import VarietiesView
from calendar_tui.screens.week.view import WeekView
from calendar_tui.season.edits import Change, Edit
from calendar_tui.storage.history.undo import read_history


@pytest.fixture
def season(tmp_path):
    path = tmp_path / "two.toml"
    path.write_text(TEXT + MORE, encoding="utf-8")
    return path


GONE = Change("A2 goes", (Edit("remove", "cohort", ("A2",)),))


@pytest.mark.parametrize("view", [CohortView, RecordView, OutageView])
async def test_a_view_of_a_cohort_that_is_gone_says_so(season, view):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await begun(app, pilot)
        app.push_screen(view("A2"))
        await settled(app, pilot)
        save(season, GONE)
        await looked(app, pilot)
        assert isinstance(app.screen, view)
        assert "A2 is not in this season any more." in app.screen.text
        await pilot.press("enter")
        await settled(app, pilot)
        await pilot.press("escape")
        await settled(app, pilot)
        assert isinstance(app.screen, SeasonView)


async def test_the_answers_to_a_cohort_that_is_gone_say_so_and_save_nothing(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await begun(app, pilot)
        await pilot.press("down", "r")
        await settled(app, pilot)
        app.screen._input.value = "2026-10-20"
        await pilot.press("enter")
        await settled(app, pilot)
        assert isinstance(app.screen, MovesView)
        save(season, GONE)
        await looked(app, pilot)
        assert "A2" in app.screen.text
        assert app.screen.chosen.proposal is None
        await pilot.press("enter")
        await settled(app, pilot)
        assert isinstance(app.screen, MovesView)
    assert [e.who for e in read_history(season).entries] == ["ben"]


@pytest.mark.parametrize("again", [False, True], ids=["recorded", "planned again"])
async def test_a_typed_date_and_its_stage_stay(season, again):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await begun(app, pilot)
        await pilot.press("r")
        await settled(app, pilot)
        if again:
            await pilot.press("ctrl+t")
        view = app.screen
        while view._list.key != "lights_off":
            await pilot.press("down")
        view._input.value = "+3"
        save(season, set_plants(30))
        await looked(app, pilot)
        assert app.screen is view
        assert (view._input.value, view._list.key) == ("+3", "lights_off")


async def test_a_lights_off_date_being_typed_stays(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await begun(app, pilot)
        await pilot.press("r")
        await settled(app, pilot)
        while app.screen._list.key != "seeding":
            await pilot.press("up")
        app.screen._input.value = "2026-10-12"
        await pilot.press("enter")
        await settled(app, pilot)
        view = app.screen
        assert isinstance(view, MovesView)
        await pilot.press("d")
        view._input.value = "2026-12-2"
        save(season, set_plants(30))
        await looked(app, pilot)
        assert view._input.asked
        assert view._input.value == "2026-12-2"


async def test_a_figure_being_typed_is_never_taken_for_another_variety(season):
    second = '[[variety]]\nid = "birch"\nresponse = "short-day"\n'
    in_place(season, season.read_text().replace("[[cohort]]", second + "[[cohort]]", 1))
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await begun(app, pilot)
        app.push_screen(VarietiesView("birch", "drying_d"))
        await settled(app, pilot)
        await pilot.press("enter")
        view = app.screen
        await pilot.press("ctrl+u", "9")
        save(season, set_plants(30))
        await looked(app, pilot)
        assert (view.value("drying"), view.field) == ("9", "drying")
        save(season, Change("birch goes", (Edit("remove", "variety", ("birch",)),)))
        await looked(app, pilot)
        assert "there is no variety birch" in view.text
        await pilot.press("ctrl+s")
        await settled(app, pilot)
        assert app.screen is view
        await pilot.press("escape", "escape")
        await settled(app, pilot)
        assert "[amber]" in app.screen.text


async def test_the_task_under_the_cursor_stays_when_others_tick(season):
    extra = "".join(f'[[task]]\nid = "t{n}"\ndate = 2026-12-0{n}\nwhat = "Work {n}"\n' for n in (7, 8, 9))
    in_place(season, season.read_text() + extra)
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await begun(app, pilot)
        await pilot.press("w")
        await settled(app, pilot)
        view = app.screen
        assert isinstance(view, WeekView)
        while view._list.key != "t9":
            await pilot.press("down")
        save(season, Change("ticked t7", (Edit("set", "task", ("t7",), ("state",), "done"),)))
        await looked(app, pilot)
        assert app.screen is view
        assert view._list.key == "t9"
        line = next(line for line in view.text.splitlines() if "Work 7" in line)
        assert "[x]" in line
