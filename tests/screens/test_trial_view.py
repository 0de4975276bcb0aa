"""A trial on the screen: its plots walked by arrow keys, the one under the cursor told, drawn from there, and a plot noted as lost."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest
from season_on_disk import notes
from settling import settled

from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.asking.moves_view import MovesView
from calendar_tui.screens.forms.form_view import FormView
from calendar_tui.screens.trials.view import TrialView
from calendar_tui.storage.opening import open_season
from tests.screens.trial_season import DRAWN, TODAY, trial_season
from tests.season_data import data_of


def app_of(path: Path) -> CalendarApp:
    return CalendarApp(open_season(path), TODAY, "Ana", lambda: datetime(2027, 1, 10, 9, tzinfo=UTC))


async def pressed(app: CalendarApp, pilot, *keys: str) -> TrialView:
    for key in keys:
        await pilot.press(key)
        await settled(app, pilot)
    assert isinstance(app.screen, TrialView)
    return app.screen


def plot_told(view: TrialView) -> str:
    return view._told.text


@pytest.fixture
def season(tmp_path: Path) -> Path:
    return trial_season(tmp_path)


async def test_f_opens_the_map_with_the_first_plot_told_below(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await pressed(app, pilot, "F")
        assert view.text.startswith("K1  Spacing: blocks, 3 spacing, 4 blocks; 12 plots, 1 lost")
        assert "[K1]  K2" in view.text
        assert ">101" in view.text
        assert plot_told(view).startswith("plot 101, block 1, row 2, column 2, F1\nspacing 1.5x")
        assert "; 36 plants" in plot_told(view)


@pytest.mark.slow
async def test_arrow_keys_walk_the_plots_as_they_lie_and_guards_too(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await pressed(app, pilot, "F", "right")
        assert plot_told(view).startswith("plot 102,")
        view = await pressed(app, pilot, "up")
        assert "row 3, column 3" in plot_told(view)
        view = await pressed(app, pilot, "down", "down")
        told = "guard plot, never measured, row 1, column 3, F1\ncohort K1-1, amber; 24 plants"
        assert plot_told(view) == told
        view = await pressed(app, pilot, "down", "left", "left", "left")
        assert "row 1, column 1" in plot_told(view)


async def test_n_goes_by_the_numbers_as_plots_are_walked(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await pressed(app, pilot, "F", "n", "n")
        assert plot_told(view).startswith("plot 103,")
        assert "lost from Fri 8 Jan 2027 on: flooded; nothing of it counts" in plot_told(view)
        view = await pressed(app, pilot, "n")
        assert plot_told(view).startswith("plot 201,")
        view = await pressed(app, pilot, "N")
        assert plot_told(view).startswith("plot 103,")


@pytest.mark.slow
@pytest.mark.parametrize("size", [(80, 24), (60, 20), (160, 45)])
async def test_the_plot_under_the_cursor_is_in_sight_wherever_it_lies(season, size):
    app = app_of(season)
    async with app.run_test(size=size) as pilot:
        view = await pressed(app, pilot, "F")
        for key in ("up",) * 6 + ("right",) * 6 + ("down",) * 7 + ("left",) * 6:
            await pressed(app, pilot, key)
            body = view._body
            at = next(i for i, line in enumerate(body.text.split("\n")) if line.find(">") >= 0)
            assert body.scroll_offset.y <= at < body.scroll_offset.y + body.size.height, key
            assert max(len(line.rstrip()) for line in body.text.split("\n")[:14]) <= size[0]


@pytest.mark.slow
async def test_a_trial_that_is_not_drawn_is_drawn_from_the_screen_and_undone(season):
    before = season.read_text()
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await pressed(app, pilot, "F", "right_square_bracket")
        assert "It is not drawn yet: d draws it by its seed" in view.text
        await pilot.press("d")
        await settled(app, pilot)
        moves = app.screen
        assert isinstance(moves, MovesView)
        assert "trial K2 drawn with seed 7: 12 plots" in " ".join(moves.text.split())
        assert "12 plots" in moves.text
        assert "a plot is 6 x 5.4 m" in " ".join(moves.text.split())
        assert "gate; walked from the front left, first across" in moves.text
        assert season.read_text() == before
        await pilot.press("enter")
        await settled(app, pilot)
        assert isinstance(app.screen, TrialView)
        assert len([p for p in data_of(season.read_text())["plot"] if p["trial"] == "K2"]) == 12
        assert app.screen.text.startswith("K2  split plot, 2 date x 2 soil, 3 blocks; 12 plots")
        await pressed(app, pilot, "u")
        assert season.read_text() == before


async def test_a_drawn_trial_is_not_drawn_again_for_its_looks(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(app, pilot, "F", "d")
        assert "Trial K1 is drawn already, 12 plots;" in " ".join(notes(app))


async def test_the_key_that_draws_anew_is_named_where_a_trial_has_its_plots(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(app, pilot, "F", "d")
        assert "anew only where the trial itself was changed before planting: D." in " ".join(notes(app))


async def test_a_trial_that_is_under_way_is_not_drawn_anew(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(app, pilot, "F", "D")
        assert "Plot K1-103 is noted as lost, so trial K1 is under way" in " ".join(notes(app))


async def test_a_trial_that_was_changed_is_drawn_anew_after_a_question_and_undone(season):
    text = season.read_text().replace(', lost = 2027-01-08, why = "flooded"', "")
    season.write_text(text.replace("blocks = 4", "blocks = 2"))
    before = season.read_text()
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(app, pilot, "F")
        await pilot.press("D")
        await settled(app, pilot)
        moves = app.screen
        assert isinstance(moves, MovesView)
        await pilot.press("enter")
        await settled(app, pilot)
        assert season.read_text() == before
        asked = app.screen
        assert "its 30 plots go" in " ".join(getattr(asked, "text", "").split()), asked
        await pilot.press("y")
        await settled(app, pilot)
        assert len([p for p in data_of(season.read_text())["plot"] if p["trial"] == "K1"]) == 20
        await pressed(app, pilot, "u")
        assert season.read_text() == before


async def test_enter_opens_the_fields_of_the_plot_at_the_day_from_which_it_is_lost(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(app, pilot, "F", "right")
        await pilot.press("enter")
        await settled(app, pilot)
        assert isinstance(app.screen, FormView)
        assert "K1-102" in app.screen.text


async def test_a_season_without_a_trial_names_the_key_that_adds_one(tmp_path):
    from tests.commands.small_season import PLAIN

    path = tmp_path / "near-fields.toml"
    path.write_text(PLAIN, encoding="utf-8")
    app = app_of(path)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await pressed(app, pilot, "F")
        assert "There is no trial yet." in view.text
        assert "a adds one here." in view.text
        await pressed(app, pilot, "up", "n", "d", "right_square_bracket")


async def test_a_map_wider_than_the_terminal_shows_the_columns_around_the_cursor(tmp_path):
    app = app_of(trial_season(tmp_path, DRAWN.replace('"1.5x0.9"]', '"1.5x0.9", "1.4x0.6", "1.4x0.7"]')))
    async with app.run_test(size=(24, 20)) as pilot:
        await settled(app, pilot)
        view = await pressed(app, pilot, "escape", "F", "right", "right", "right", "right")
        assert "columns" in view.text
        assert ">105" in view.text
        assert "101 " not in view._body.text


async def test_numbers_stand_whole_where_the_map_is_wider_than_the_terminal(tmp_path):
    levels = ", ".join(f'"1.5x{0.4 + n / 100:.2f}"' for n in range(24))
    wide = DRAWN.replace('"1.5x0.6", "1.5x0.75", "1.5x0.9"', levels)
    app = app_of(trial_season(tmp_path, wide))
    async with app.run_test(size=(80, 24)) as pilot:
        view = await pressed(app, pilot, "F", "down", "up", "right")
        assert ">102" in view.text
        assert "…" not in view._body.text
        assert {"101", "102", "103", "104"} <= {*view._body.text.replace(">", " ").split()}


async def test_from_the_front_of_a_place_the_cursor_goes_on_into_the_next(tmp_path):
    places = DRAWN.replace('place = "F1"', 'places = { lit = ["H1"], dark = ["F1"] }')
    app = app_of(trial_season(tmp_path, places))
    async with app.run_test(size=(80, 24)) as pilot:
        view = await pressed(app, pilot, "F", "down", "down")
        assert "H1" not in plot_told(view)
        assert "row 6, column 2, F1" in plot_told(view)
        view = await pressed(app, pilot, "up")
        assert "row 1, column 2, H1" in plot_told(view)


@pytest.mark.slow
async def test_the_form_of_a_new_trial_asks_for_levels_of_factors_and_not_of_varieties(season):
    app = app_of(season)
    async with app.run_test(size=(80, 45)) as pilot:
        await pressed(app, pilot, "F")
        await pilot.press("a")
        await settled(app, pilot)
        lines = [line.split() for line in app.screen.text.splitlines()]
        assert [line[-1] for line in lines if line[:2] == ["levels", "of"]][:3] == [
            "date",
            "variety",
            "spacing",
        ]
        assert ["levels", "of", "amber"] not in lines
