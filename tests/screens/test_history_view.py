"""The history on the full screen: told, walked with undo and redo, and the season opened as it was."""

from __future__ import annotations

import pytest
from season_on_disk import TEXT, app_of, going_to_the_first, notes, opened, plants, save, season
from settling import settled

from calendar_tui.screens.history.view import ChangeView, HistoryView
from calendar_tui.screens.kit.actions import EDITS, in_group
from calendar_tui.screens.kit.past import Past
from calendar_tui.screens.pages.problems_view import ProblemsView
from calendar_tui.screens.season.view import SeasonView
from calendar_tui.season.edits import Change, Edit
from calendar_tui.storage.disk.beside import history_path

__all__ = ["season"]


async def test_changes_stand_newest_first_under_their_days_at_the_site(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await opened(app, pilot)
        lines = [line.strip() for line in view.text.splitlines()]
        assert lines[:6] == [
            "History  3 entries; 3 can be undone, 0 redone",
            "Sat 21 Nov 2026",
            "3 22:00 ana 22 plants",
            "2 09:00 ben 21 plants",
            "Fri 20 Nov 2026",
            "1 09:00 ana 20 plants",
        ]
        assert "cohort A1 plants: 21 -> 22" in view.text
        assert view.selected == 3
        assert max(map(len, view.text.splitlines())) <= 80


async def test_undo_and_redo_from_it_are_shown_at_once_and_keep_the_place(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await opened(app, pilot)
        await pilot.press("down", "u")
        await settled(app, pilot)
        await pilot.press("y")  # it is Ana's
        await settled(app, pilot)
        assert (plants(season), view.selected) == (21, 2)
        assert "History  4 entries; 2 can be undone, 1 redone" in view.text
        assert "3 22:00 ana  undone 22 plants" in view.text
        assert notes(app)[-1] == "Undone: 22 plants"
        await pilot.press("U")
        await settled(app, pilot)
        assert (plants(season), view.selected) == (22, 2)
        assert notes(app) == ["Redone: 22 plants"]  # a message is gone with the next key


async def test_go_here_undoes_or_redoes_as_many_steps_as_it_takes(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await going_to_the_first(app, pilot)
        await pilot.press("y")
        await settled(app, pilot)
        assert plants(season) == 20
        view.select(3)
        await pilot.press("g")
        await settled(app, pilot)
        assert plants(season) == 22
        await pilot.press("g")
        await settled(app, pilot)
        assert plants(season) == 22
        assert "is the last that stands" in notes(app)[-1]


async def test_the_history_opens_once_and_shows_what_was_read_last(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await opened(app, pilot)
        await pilot.press("y")
        await settled(app, pilot)
        assert [type(screen) for screen in app.screen_stack].count(HistoryView) == 1
        view._take(view._readings - 1, None, (), "read before, and slower")
        assert "slower" not in view.text


async def test_enter_shows_every_field_before_and_after(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await opened(app, pilot)
        await pilot.press("enter")
        await settled(app, pilot)
        assert isinstance(app.screen, ChangeView)
        assert app.screen.text.splitlines() == [
            "   3  Sat 21 Nov 2026 22:00  ana",
            "      22 plants",
            "        cohort A1 plants: 21 -> 22",
        ]
        await pilot.press("escape")
        await settled(app, pilot)
        assert isinstance(app.screen, HistoryView)


async def test_what_somebody_else_saves_meanwhile_is_shown(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await opened(app, pilot)
        await pilot.press("down")
        save(season, 25, who="dora")
        view._look()
        await settled(app, pilot)
        assert "4 09:00 dora 25 plants" in view.text
        assert view.selected == 2
        assert app.plan.season.cohorts["A1"].plants == 25
        await pilot.press("u")
        await settled(app, pilot)
        await pilot.press("y")
        await settled(app, pilot)
        assert plants(season) == 22


async def test_a_file_that_somebody_breaks_meanwhile_is_told_once(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await opened(app, pilot)
        season.write_text("[[cohort\n")
        for _ in range(3):
            view._look()
            app.look()
            await settled(app, pilot)
        assert len(notes(app)) == 1
        assert "not TOML" in notes(app)[0]
        assert "22 plants" in view.text


@pytest.mark.slow
async def test_the_season_opens_as_it_was_after_a_change_and_read_only(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await opened(app, pilot)
        view.select(1)
        await pilot.press("a")
        await settled(app, pilot)
        assert isinstance(app.screen, SeasonView)
        assert app.plan.season.cohorts["A1"].plants == 20
        heading = app.screen.text.splitlines()[0].rstrip()
        assert heading.startswith("Two Rivers  Fri 20 Nov 2026  as of change 1, read-only")
        before = season.read_bytes(), history_path(season).read_bytes()
        for keys in (["r"], ["o"], ["p"], ["u"], ["U"], ["w", "space"]):
            await pilot.press(*keys)
            await settled(app, pilot)
            assert notes(app)[-1] == (
                "Nothing is changed: this is the season as of change 1, read-only; Esc comes back to it as it is."
            )
            app.clear_notifications()
        await pilot.press("escape")
        await settled(app, pilot)
        assert (season.read_bytes(), history_path(season).read_bytes()) == before
        await pilot.press("escape")
        await settled(app, pilot)
        assert app.plan.season.cohorts["A1"].plants == 22
        assert "read-only" not in app.screen.text
        assert "Two Rivers  Tue 8 Dec 2026" in app.screen.text


async def test_a_save_that_comes_another_way_is_refused_there_too(season):
    past = Past("as of 2026-11-20, read-only", ("An edit by hand is in what is shown.",), returns=False)
    app = app_of(season, past=past)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert notes(app) == ["An edit by hand is in what is shown."]
        before = season.read_bytes()
        app.save(Change("x", (Edit("set", "cohort", ("A1",), ("plants",), 1),)))
        await settled(app, pilot)
        assert "open it without --at to change it" in notes(app)[-1]
        await pilot.press("escape")
        await settled(app, pilot)
        assert app.past is past
        assert season.read_bytes() == before
        footer = app.screen.text.splitlines()[-1]
        assert "record" not in footer
        assert "now" not in footer


async def test_what_changes_the_season_is_known_by_its_action(season):
    """A new action that saves must be named in EDITS, or be refused at the latest as it saves."""
    by_hand = {"tick", "done_on", "skip_tasks", "move_tasks", "note_tasks"}
    drafts = {"keep", "drop"}
    chores = {"switch_chore"}
    farm = {"add", "copy_record", "record_spray", "take_out", "take_date", "take_weather_in"}
    bags = {"cut_again", "cut_bags", "cut_trip", "lose_bags", "send_bags"}
    rules = {"record_step", "take_in"}
    laboratory = {"import_file"}
    trials = {"change_trial", "draw"}
    tables = {"take"}
    dryer = {"read_batch", "record_pass", "take_batch_out"}
    assert {
        "act",
        "record",
        "update_tasks",
        "change",
        "take_over",
        "save",
        "undo",
        "redo",
        "go_here",
        *by_hand,
        *chores,
        *bags,
        *dryer,
        *rules,
        *laboratory,
        *trials,
        *tables,
        *drafts,
        *farm,
    } == EDITS


async def test_the_history_opens_also_over_a_season_with_problems(season):
    whole = season.read_text()
    season.write_text(whole.replace('place = "H2"', 'place = "H9"'))
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        assert isinstance(app.screen, ProblemsView)
        view = await opened(app, pilot)
        assert "22 plants" in view.text
        await pilot.press("escape")
        assert isinstance(app.screen, ProblemsView)


async def test_a_history_that_says_what_is_not_to_be_shown(season):
    save(season, 23, who="e\x1bve", what="x\x1b[2J\u202ey")
    with history_path(season).open("ab") as stream:
        stream.write(b'{"n": 5, "wh')
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await opened(app, pilot)
        assert "e?ve x?[2J?y" in view.text
        assert "this line is not whole and is passed over" in " ".join(view.text.split())
        await pilot.press("enter")
        await settled(app, pilot)
        assert "\x1b" not in app.screen.text


async def test_without_a_change_it_says_so(tmp_path):
    path = tmp_path / "new.toml"
    path.write_text(TEXT, encoding="utf-8")
    app = app_of(path)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await opened(app, pilot)
        assert "No change yet: the first one that is saved here begins the history." in view.text
        await pilot.press("enter", "a", "g", "u")
        await settled(app, pilot)
        assert "There is nothing to undo" in notes(app)[-1]
        assert app.screen is view


async def test_a_list_is_gone_through_in_the_season_as_it_was(season):
    """The keys of a list change nothing, whatever an edit is called."""
    names = {key.action.partition("(")[0] for key in in_group("list")}
    assert not names & EDITS
