"""The full screen while others change its season: taken over, told, and nothing of one's own lost.

The looks are asked for by the tests; nothing here hangs on a clock.
"""

from __future__ import annotations

import os
import subprocess
import sys
from datetime import date
from threading import Thread

import pytest
from others import MORE, WAYS, begun, in_place, looked, save, set_plants
from season_on_disk import TEXT, app_of, notes, plants
from settling import settled

from calendar_tui.planning.changes.task_edits import move_change, skip_change
from calendar_tui.screens.season.view import SeasonView
from calendar_tui.season.edits import Change, Edit
from calendar_tui.storage import watching
from calendar_tui.storage.history.undo import read_history


@pytest.fixture
def season(tmp_path):
    path = tmp_path / "two.toml"
    path.write_text(TEXT + MORE, encoding="utf-8")
    return path


@pytest.mark.slow
async def test_a_change_by_another_process_is_shown_and_told_with_its_name(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await begun(app, pilot)
        words = ["record", str(season), "A1", "seeding", "2026-10-07", "--yes", "--today", "2026-12-08"]
        subprocess.run(
            [sys.executable, "-m", "calendar_tui", *words],
            env={**os.environ, "LOGNAME": "ben"},
            check=True,
            stdout=subprocess.DEVNULL,
        )
        await looked(app, pilot)
        assert app.plan.timelines["A1"].stages["seeding"].likely == date(2026, 10, 7)
        assert notes(app)[0].startswith("ben changed this season: ")
        assert "A1" in notes(app)[0]
        assert "seeding" in notes(app)[0]


async def test_cursor_zoom_and_selected_cohort_stay(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await begun(app, pilot)
        await pilot.press("down", "right", "right", "plus", "plus")
        view = app.screen
        held = (view.cursor, view.cohort_id, view._time.zoom, view._time._first)
        assert view.cohort_id == "A2"
        save(
            season, Change("A1 goes", (Edit("remove", "cohort", ("A1",)), Edit("remove", "task", ("hoe1",))))
        )
        await looked(app, pilot)
        assert list(app.plan.season.cohorts) == ["A2", "A3"]
        assert (view.cursor, view.cohort_id, view._time.zoom, view._time._first) == held
        assert "A1" not in "".join(view.text.splitlines()[1:-1])


async def test_several_changes_are_told_in_one_message(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await begun(app, pilot)
        for n, who in enumerate(["ben", "dora", "ben"], 30):
            save(season, set_plants(n), who)
        await looked(app, pilot)
        assert notes(app) == ["ben and dora made 3 changes, the last by ben: A1 32 plants"]


async def test_ones_own_save_is_nothing_new(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await begun(app, pilot)
        for act in (lambda: app.save(set_plants(30)), app.undo, app.redo):
            act()
            await settled(app, pilot)
            await looked(app, pilot, 3)
        assert notes(app) == ["Saved: A1 30 plants", "Undone: A1 30 plants", "Redone: A1 30 plants"]


async def test_ones_own_name_from_elsewhere_is_told_as_that(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await begun(app, pilot)
        save(season, set_plants(30), app.who)
        await looked(app, pilot)
        assert notes(app) == ["Cleo (elsewhere) changed this season: A1 30 plants"]


async def test_a_change_right_before_ones_own_is_told_with_it_and_both_stay(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await begun(app, pilot)
        save(season, set_plants(30, "A2"))
        app.save(set_plants(31))
        await settled(app, pilot)
        assert notes(app) == ["ben changed this season: A2 30 plants", "Saved: A1 31 plants"]
        assert {c.id: c.plants for c in app.plan.season.cohorts.values()} == {"A1": 31, "A2": 30, "A3": None}
    assert [e.who for e in read_history(season).entries] == ["ben", "Cleo"]


@WAYS
async def test_an_edit_by_hand_is_told_with_the_records_that_differ(season, write):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await begun(app, pilot)
        write(season, season.read_text().replace("plants = 20", "plants = 25").replace('"Hoe"', '"Weed"'))
        await looked(app, pilot, 2)
        assert notes(app) == ["Edited by hand: cohort A2 plants; task hoe1 what."]
        assert app.plan.season.cohorts["A2"].plants == 25
        write(season, "# a comment\n" + season.read_text())
        await looked(app, pilot)
        assert notes(app)[1:] == ["Edited by hand: comments, order or spacing only."]


@WAYS
async def test_a_half_written_file_is_told_once_it_stays_so_and_forgotten_when_mended(season, write):
    app = app_of(season)
    whole = season.read_text()
    async with app.run_test(size=(80, 24)) as pilot:
        await begun(app, pilot)
        write(season, whole[: whole.index("[[cohort]]") + 8])
        await looked(app, pilot)
        assert notes(app) == []
        await looked(app, pilot, 3)
        (said,) = notes(app)
        assert said.startswith(
            "The file has problems now. What was read before is shown, and nothing is saved"
        )
        assert "\ntwo.toml:19: not TOML" in said
        assert isinstance(app.screen, SeasonView)
        assert "the file has problems now" in app.screen.text.splitlines()[0]
        broken = season.read_bytes()
        for act in (lambda: app.save(set_plants(30)), app.undo):
            act()
            await settled(app, pilot)
            assert "The file has problems:" in notes(app)[-1]
            assert "\ntwo.toml:19: not TOML" in notes(app)[-1]
        assert season.read_bytes() == broken
        assert not season.with_name("two.history.jsonl").exists()
        write(season, whole)
        await looked(app, pilot)
        assert notes(app)[-1] == "The file reads well now."
        assert "problems" not in app.screen.text.splitlines()[0]
        app.save(set_plants(30))
        await settled(app, pilot)
        assert notes(app)[-1] == "Saved: A1 30 plants"
    assert plants(season) == 30


async def test_a_file_broken_for_a_moment_only_is_not_told(season):
    app = app_of(season)
    whole = season.read_text()
    async with app.run_test(size=(80, 24)) as pilot:
        await begun(app, pilot)
        in_place(season, whole[:100])
        await looked(app, pilot)
        in_place(season, whole.replace("plants = 20", "plants = 21"))
        await looked(app, pilot, 2)
        assert notes(app) == ["Edited by hand: cohort A2 plants."]


async def test_problems_that_are_not_of_toml_leave_the_last_plan_too(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await begun(app, pilot)
        in_place(season, season.read_text().replace('variety = "amber"', 'variety = "ambre"'))
        await looked(app, pilot, 2)
        (said,) = notes(app)
        assert said.count("did you mean") == 3
        assert list(app.plan.season.cohorts) == ["A1", "A2", "A3"]


async def test_a_save_to_a_file_broken_just_now_is_refused_at_once(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await begun(app, pilot)
        in_place(season, "[[cohort")
        app.save(set_plants(30))
        await settled(app, pilot)
        assert notes(app)[-1].startswith("Not saved: A1 30 plants. The file has problems:")
    assert season.read_text() == "[[cohort"


async def test_a_file_that_is_removed_is_said_and_its_return_too(season):
    app = app_of(season)
    whole = season.read_text()
    async with app.run_test(size=(80, 24)) as pilot:
        await begun(app, pilot)
        season.unlink()
        await looked(app, pilot, 3)
        (said,) = notes(app)
        assert said.startswith("The file is gone: it was removed, moved or renamed.")
        app.save(set_plants(30))
        await settled(app, pilot)
        assert notes(app)[-1].startswith("Not saved: A1 30 plants.")
        assert not season.exists()
        in_place(season, whole)
        await looked(app, pilot)
        assert notes(app)[-1] == "The file reads well now."


async def test_an_edit_that_no_longer_applies_says_what_and_that_nothing_is_written(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await begun(app, pilot)
        save(season, Change("A2 goes", (Edit("remove", "cohort", ("A2",)),)))
        before = season.read_bytes()
        app.save(set_plants(30, "A2"))
        await settled(app, pilot)
        told, refused = notes(app)
        assert told == "ben changed this season: A2 goes"
        assert refused.startswith("Not saved: A2 30 plants.")
        assert "cohort A2 is not there any more" in refused
    assert season.read_bytes() == before
    assert [e.who for e in read_history(season).entries] == ["ben"]


class Turns:
    """In place of a clock: so many looks, and then the end."""

    def __init__(self, times):
        self.left = times

    def wait(self, seconds):
        self.left -= 1
        return self.left < 0

    def is_set(self):
        return self.left < 0

    def set(self):
        self.left = -1


async def test_the_watch_looks_by_itself_until_the_program_is_left(season):
    app = app_of(season, watching=True)
    app._files._stop = Turns(0)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        save(season, set_plants(30))
        app._files._stop = Turns(3)
        watch = Thread(target=app._files._watch)
        watch.start()
        while watch.is_alive():
            await pilot.pause()
        assert notes(app) == ["ben changed this season: A1 30 plants"]
    assert app._files._stop.is_set()


async def test_looks_at_files_that_stay_read_and_draw_nothing(season, monkeypatch):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await begun(app, pilot)

        def never(*_):
            raise AssertionError("nothing has changed")

        monkeypatch.setattr(watching, "read_anew", never)
        monkeypatch.setattr(app, "show_plan", never)
        await looked(app, pilot, 3)
        assert notes(app) == []


@pytest.mark.parametrize("field", ["state", "date"], ids=["skipped", "moved"])
async def test_a_task_ticked_by_another_since_the_last_look_is_not_skipped_or_moved(season, field):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await begun(app, pilot)
        tasks = [t for t in app.plan.season.tasks if t.id == "hoe1"]
        mine = (
            skip_change(tasks, "rain") if field == "state" else move_change([(tasks[0], date(2026, 12, 30))])
        )
        save(season, Change("ticked", (Edit("set", "task", ("hoe1",), ("state",), "done"),)))
        app.save(mine)
        await settled(app, pilot)
        assert any("hoe1 is done; to " in note and "open it again first" in note for note in notes(app))
        assert [e.who for e in read_history(season).entries] == ["ben"]
