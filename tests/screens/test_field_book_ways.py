"""What leads into the field book on the screen, and what it leads to: a record of a stage, a filled sheet."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from book_on_screen import BENCH, TODAY, app_of, pressed, season, values
from season_on_disk import notes
from settling import settled

from calendar_tui.planning.field_book.entries import observed_change
from calendar_tui.planning.field_book.entry import Entry
from calendar_tui.screens.asking.moves_view import MovesView
from calendar_tui.screens.field_book.view import FieldBookView
from calendar_tui.screens.forms.form_view import FormView
from calendar_tui.storage.opening import need_season
from calendar_tui.storage.season_file import save_change

__all__ = ["season"]


async def test_a_rise_offers_its_day_as_the_record_of_the_stage(season):
    season.write_text(season.read_text().replace(", flowering = 2026-06-10 }", " }"))
    app = app_of(season)
    async with app.run_test(size=(80, 40)) as pilot:
        view = await pressed(app, pilot, "O", "end")
        assert "Q1 flowering: 10 Jun, 9 Jun to 12 Jun (95 %)" in view.text
        assert view._lines.key == "rise 0"
        assert "records that day" in view._detail.text
        await pilot.press("enter")
        await settled(app, pilot)
        assert isinstance(app.screen, MovesView)
        await pilot.press("enter")
        await settled(app, pilot)
    assert need_season(season)[1].cohorts["Q1"].recorded["flowering"] == date(2026, 6, 10)


async def test_a_look_before_a_half_is_noted_as_not_yet(season):
    text = season.read_text().replace(", flowering = 2026-06-10 }", " }")
    season.write_text("\n".join(line for line in text.splitlines() if '"12 of 20"' not in line) + "\n")
    app = app_of(season)
    async with app.run_test(size=(80, 40)) as pilot:
        view = await pressed(app, pilot, "O", "end")
        assert "Q1 flowering: not yet on 8 Jun 3 of 20" in view.text
        await pilot.press("enter")
        await settled(app, pilot)
        await pilot.press("enter")
        await settled(app, pilot)
    assert need_season(season)[1].cohorts["Q1"].not_yet["flowering"] == date(2026, 6, 8)


@pytest.mark.slow
async def test_a_filled_sheet_is_shown_first_and_taken_in_as_one_change(season):
    sheet = season.with_name("sheet.csv")
    sheet.write_text("plot,height (cm),width (cm)\nS1-302,48,40.5\nS1-301,47,.\nS1-101,52.8,\n")
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(app, pilot, "O", "i")
        await pilot.press(*"sheet", "full_stop", *"csv", "enter")
        await settled(app, pilot)
        form = app.screen
        assert isinstance(form, FormView)
        assert "4 new, 1 same" in form.text
        await pilot.press("ctrl+s")
        await settled(app, pilot)
        await pilot.press("enter")
        await settled(app, pilot)
        assert isinstance(app.screen, FieldBookView)
        await pressed(app, pilot, "u")
        assert notes(app) == ["Undone: S1: 5 observations from sheet.csv"]
    assert ("S1-302", "height") not in values(season)


async def test_a_sheet_that_cannot_be_is_told_line_by_line_and_its_name_stays(season):
    sheet = season.with_name("sheet.csv")
    sheet.write_text("plot,height (cm)\nS1-302,tall\nT9-1,4\n")
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(app, pilot, "O", "i")
        await pilot.press(*"nothing", "full_stop", *"csv", "enter")
        await settled(app, pilot)
        assert "there is no such file" in app.screen.text or "cannot be read" in app.screen.text
        await pilot.press("ctrl+u", *"sheet", "full_stop", *"csv", "enter")
        await settled(app, pilot)
        assert isinstance(app.screen, FormView)
        told = " ".join(app.screen.text.split())
        assert 'sheet.csv:2: S1-302 height: "tall" is no number' in told
        assert 'sheet.csv:3: "T9-1" is not a plot of this season' in told
    assert values(season) == values(BENCH)


@pytest.mark.parametrize("keys", [("t",), ("w",)])
async def test_today_and_the_week_lead_into_it_from_a_task_that_observes(season, keys):
    app = app_of(season)
    async with app.run_test(size=(80, 40)) as pilot:
        for key in keys:
            await pilot.press(key)
            await settled(app, pilot)
        listed = app.screen._list
        task = next(t.id for t in app.plan.season.tasks if t.chore == "measure-plots" and t.date == TODAY)
        listed.stand_on(task)
        await pilot.pause()
        if keys == ("w",):
            assert "To observe: height 5 of 11, width 4 of 11" in app.screen.text
        view = await pressed(app, pilot, "enter")
        assert view._lines.cell == ("S1-202", "width")


async def test_today_tells_what_is_missing_and_leads_to_its_day(season):
    app = app_of(season)
    async with app.run_test(size=(80, 40)) as pilot:
        await pilot.press("t")
        await settled(app, pilot)
        assert "9 Jun  E2: width 11 of 12" in app.screen.text
        app.screen._list.stand_on("observe 2")
        view = await pressed(app, pilot, "enter")
        assert "Tue 9 Jun 2026" in view._heading.text


@pytest.mark.slow
async def test_a_value_that_another_wrote_meanwhile_is_told_and_none_is_lost(season):
    """Two who write into one cell: the second is told what stands there, and takes its place only when entered again."""
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(app, pilot, "O")
        now = datetime(2026, 6, 16, 9, tzinfo=UTC)
        plan = app.plan
        entry = Entry(TODAY, "S1-202", "width", "39")
        change, _ = observed_change(plan.season, TODAY, [entry], "Ben")
        save_change(season, change, who="Ben", when=now)
        await pilot.press("4", "1", "enter")
        await settled(app, pilot)
        await pilot.pause(0.7)
        await settled(app, pilot)
        told = " ".join(notes(app))
        assert "S1-202 width: 39 has been written meanwhile; to have 41 in its place, enter it again" in told
        assert values(season)["S1-202", "width"] == ("39", "Ben")
        view = app.screen
        assert "1 NOT SAVED" in view._heading.text
        view._lines.stand_in(("S1-202", "width"))
        await pressed(app, pilot, "enter")
    assert values(season)["S1-202", "width"] == ("41", "Ana")


async def test_t_leads_to_the_task_that_is_written_down_here(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(app, pilot, "O")
        await pilot.press("t")
        view = await settled(app, pilot)
        task = next(t for t in app.plan.season.tasks if t.id == view._list.key)
        assert (task.chore, task.date) == ("measure-plots", TODAY)


async def test_the_map_of_a_trial_leads_to_its_field_book(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("F")
        await settled(app, pilot)
        view = await pressed(app, pilot, "o")
        assert view._heading.text.startswith("S1 ")


async def test_without_variables_it_says_what_to_do_and_every_key_is_harmless(season):
    head, _, rest = season.read_text().partition("# --- what is observed in the plots")
    lines = (head + rest[rest.index("[records]") :]).splitlines()
    season.write_text("\n".join(one for one in lines if not one.startswith(("observe =", "  { date"))))
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        keys = ("n", "t", "x", "e", "right_square_bracket", "enter", "down", "5", "tab", "backspace")
        view = await pressed(app, pilot, "O", *keys)
        assert "field-book --start" in view.text
