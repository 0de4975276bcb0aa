"""The field book on the screen: cells typed in walking order, asked back and told in place, saved as they are left, each undone by itself."""

from __future__ import annotations

from datetime import date

import pytest
from book_on_screen import app_of, pressed, season, typed, values
from season_on_disk import notes
from settling import settled

from calendar_tui.screens.field_book import cell_lines
from calendar_tui.screens.field_book.rows import longest_of
from calendar_tui.screens.field_book.view import FieldBookView

__all__ = ["season"]

PER_PLANT = """
[[variable]]
id = "stem"
unit = "mm"
per = "plant"
plants = 2

[[variable]]
id = "look"
unit = "1"
scale = "mark"

[records]
"""


@pytest.mark.slow
async def test_the_first_missing_cell_is_stood_in_and_filled_cell_by_cell(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await pressed(app, pilot, "O")
        assert view._heading.text.startswith("S1 Spacing outdoors  Tue 16 Jun 2026  by Ana  9 of 22")
        assert view._lines.cell == ("S1-202", "width")
        assert "before: 24.8 on 9 Jun, 14.8 on 2 Jun" in view._detail.text
        view = await typed(app, pilot, "41.5", "enter")
        assert view._lines.cell == ("S1-301", "height"), "the lost plot S1-203 is skipped"
        view = await typed(app, pilot, "52", "enter")
        view = await typed(app, pilot, ".", "enter")
        assert view._lines.cell == ("S1-302", "height")
        assert "12 of 22" in view._heading.text
    there = values(season)
    assert there["S1-202", "width"] == ("41.5", "Ana")
    assert there["S1-301", "height"] == ("52", "Ana")
    assert there["S1-301", "width"] == ("not looked", "Ana")
    assert ("S1-302", "height") not in there, "a cell that was passed by is missing, and never zero"


async def test_of_a_letter_typed_no_other_line_is_measured_again(season, monkeypatch):
    app, measured = app_of(season), []
    monkeypatch.setattr(cell_lines, "longest_of", lambda grid: measured.append(grid) or longest_of(grid))
    async with app.run_test(size=(80, 24)) as pilot:
        view = await pressed(app, pilot, "O")
        assert len(measured) == 1
        await typed(app, pilot, "41.5")
        assert len(measured) == 1
        view = await typed(app, pilot, "", "enter")
        assert measured[-1] is view._lines.grid, "another grid is"
        assert len(measured) <= 4


async def test_a_lost_plot_is_marked_and_no_guard_is_shown(season):
    text = season.read_text()
    season.write_text(
        text.replace(
            "plot = [\n",
            'plot = [\n  { id = "S1-g", trial = "S1", row = 9, column = 1, entry = "guard", place = "F1" },\n',
        )
    )
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await pressed(app, pilot, "O")
        assert "x lost from 12 Jun: water stood after the storm of 10 June" in view.text
        assert "S1-g" not in view.text


async def test_out_of_range_is_asked_back_at_the_cell_and_taken_upon_enter_again(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await typed(app, pilot, "", "O")
        view = await typed(app, pilot, "840", "enter")
        assert "840 cm is over 350 cm; is that right? Enter again if so." in view._detail.text
        assert view._lines.cell == ("S1-202", "width")
        assert ("S1-202", "width") not in values(season)
        view = await pressed(app, pilot, "down")
        assert view._lines.cell == ("S1-202", "width"), "an arrow does not confirm"
        view = await pressed(app, pilot, "enter")
        assert values(season)["S1-202", "width"][0] == "840"
        assert view._lines.cell == ("S1-301", "height")


async def test_what_cannot_be_is_told_and_the_cell_keeps_what_is_typed(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await pressed(app, pilot, "O")
        view = await typed(app, pilot, "41 mm", "enter")
        assert "width is in cm" in view._detail.text
        assert view._lines.typing == "41 mm"
        view = await pressed(app, pilot, "escape")
        assert view._lines.typing is None
        assert "width is in cm" not in view.text
    assert ("S1-202", "width") not in values(season)


@pytest.mark.slow
async def test_what_is_typed_is_saved_by_leaving_with_an_arrow_too(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(app, pilot, "O")
        view = await typed(app, pilot, "41", "down")
        assert values(season)["S1-202", "width"][0] == "41"
        assert view._lines.cell == ("S1-301", "width")
        view = await typed(app, pilot, "39", "left")
        assert values(season)["S1-301", "width"][0] == "39"
        assert view._lines.cell == ("S1-301", "height")


@pytest.mark.slow
async def test_each_cell_is_one_step_of_undo(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(app, pilot, "O")
        await typed(app, pilot, "41", "enter")
        await typed(app, pilot, "52", "enter")
        await pressed(app, pilot, "u")
        assert notes(app) == ["Undone: S1-301 height 52 on Tue 16 Jun 2026"]
        there = values(season)
        assert ("S1-301", "height") not in there
        assert there["S1-202", "width"][0] == "41"
        view = await pressed(app, pilot, "U")
        assert values(season)["S1-301", "height"][0] == "52"
        assert "11 of 22" in view._heading.text


@pytest.mark.slow
async def test_what_stands_there_is_changed_and_taken_out_where_it_is_confirmed(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await pressed(app, pilot, "O", "home")
        view = await pressed(app, pilot, "left")
        assert view._lines.cell == ("S1-101", "height")
        await typed(app, pilot, "53", "enter")
        assert values(season)["S1-101", "height"] == ("53", "Ana")
        view = await pressed(app, pilot, "x")
        assert "S1-101 width: 47.5 is taken out, and is missing then." in view._detail.text
        await pressed(app, pilot, "enter")
        assert ("S1-101", "width") not in values(season)


@pytest.mark.slow
async def test_what_is_handed_on_stands_in_its_cell_before_it_is_saved(season):
    """The grid never waits: while the file work does, the next cells are typed."""
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(app, pilot, "O")
        view = app.screen
        with app._files._lock:  # what holds up the file work
            for text in ("41", "52", "43"):
                await pilot.press(*text, "enter")
                await pilot.pause()
            assert isinstance(view, FieldBookView)
            assert view._lines.cell == ("S1-302", "height")
            assert "3 to save" in view._heading.text
            assert "41~" in view.text
        await settled(app, pilot)
        assert "to save" not in view._heading.text
    assert values(season)["S1-301", "width"][0] == "43"


@pytest.mark.slow
async def test_a_refused_save_is_told_and_its_value_stays_to_be_entered_again(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(app, pilot, "O")
        sound = season.read_text()
        season.write_text("format = 3\n[season\n" + sound)
        await typed(app, pilot, "41", "enter")
        await pilot.pause(0.7)
        await settled(app, pilot)
        view = app.screen
        assert isinstance(view, FieldBookView)
        assert "1 NOT SAVED: enter again" in view._heading.text
        assert "41!" in view.text
        season.write_text(sound)
        view._lines.stand_in(("S1-202", "width"))
        view = await pressed(app, pilot, "enter")
        assert values(season)["S1-202", "width"][0] == "41"
        assert "NOT SAVED" not in view._heading.text


@pytest.mark.slow
async def test_day_person_and_variables_are_set_and_what_stands_there_is_shown(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(app, pilot, "O", "d", "ctrl+u")
        view = await typed(app, pilot, "2026-06-05", "enter")
        assert "Fri 5 Jun 2026" in view._heading.text
        assert view._lines.cell == ("S1-301", "stand")
        await pressed(app, pilot, "w", "ctrl+u")
        view = await typed(app, pilot, "Ben", "enter")
        assert "by Ben" in view._heading.text
        view = await typed(app, pilot, "15", "enter")
        assert values(season, date(2026, 6, 5))["S1-301", "stand"] == ("15", "Ben")
        await pressed(app, pilot, "v", "ctrl+u")
        view = await typed(app, pilot, "height, heigth", "enter")
        assert 'did you mean "height"?' in view._detail.text
        await pressed(app, pilot, "ctrl+u")
        view = await typed(app, pilot, "height", "enter")
        assert "stand" not in view._heading.text
        await pressed(app, pilot, "d", "ctrl+u")
        view = await typed(app, pilot, "2026-06-17", "enter")
        assert "2026-06-17 is after today" in view._detail.text


async def test_more_than_were_planted_is_asked_back(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(app, pilot, "O", "d", "ctrl+u")
        await typed(app, pilot, "2026-06-05", "enter")
        view = await typed(app, pilot, "17", "enter")
        assert "17 is over the 16 planted" in view._detail.text


async def test_n_goes_to_the_next_that_is_missing_round_the_end(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await pressed(app, pilot, "O", "n")
        assert view._lines.cell == ("S1-301", "height")
        view = await pressed(app, pilot, "N", "N")
        assert view._lines.cell == ("S1-403", "width")
        view = await pressed(app, pilot, "n")
        assert view._lines.cell == ("S1-202", "width")


async def test_enter_goes_down_the_column_where_that_is_chosen(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(app, pilot, "O", "g")
        view = await typed(app, pilot, "41", "enter")
        assert view._lines.cell == ("S1-301", "width")


async def test_a_missing_round_opens_its_day(season):
    app = app_of(season)
    async with app.run_test(size=(80, 40)) as pilot:
        view = await pressed(app, pilot, "O")
        assert "9 Jun  width (cm): 11 of 12; missing S1-402" in view.text
        for _ in range(30):
            if view._lines.key.startswith("round 1"):
                break
            view = await pressed(app, pilot, "down")
        view = await pressed(app, pilot, "enter")
        assert "Tue 9 Jun 2026" in view._heading.text
        assert view._lines.cell == ("S1-402", "width")


async def test_the_cohorts_as_a_whole_are_walked_last_and_a_closed_place_is_told(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await pressed(app, pilot, "O", "right_square_bracket")
        assert view._heading.text.startswith("Cohorts as a whole  Tue 16 Jun 2026")
        assert view._lines.cell == ("Q1", "flowering-share")
        assert "F2 is closed" in view.text
        view = await typed(app, pilot, "1/10", "enter")
        assert "falls from 12 of 20 on 11 Jun; is that right?" in view._detail.text
        view = await pressed(app, pilot, "escape")
        view = await typed(app, pilot, "18/20", "enter")
    assert values(season)["Q1", "flowering-share"][0] == "18 of 20"


@pytest.mark.slow
async def test_plants_of_a_plot_are_walked_one_by_one_and_words_begin_with_enter(season):
    season.write_text(season.read_text().replace("\n[records]\n", PER_PLANT))
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(app, pilot, "O", "v", "ctrl+u")
        view = await typed(app, pilot, "stem,look", "enter")
        assert view._lines.cell == ("S1-101", "look")
        view = await pressed(app, pilot, "enter")
        view = await typed(app, pilot, "yellow tips", "enter")
        assert view._lines.cell == ("S1-101 1", "stem")
        view = await typed(app, pilot, "11.5", "enter")
        view = await typed(app, pilot, "12", "enter")
        assert view._lines.cell == ("S1-102", "look")
    there = values(season)
    assert there["S1-101", "look"][0] == "yellow tips"
    assert there["S1-101 2", "stem"][0] == "12"
