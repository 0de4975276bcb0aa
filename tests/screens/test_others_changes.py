"""The full screen while others change its season: taken over, told, and nothing of one's own lost.

The looks are asked for by the tests; nothing here hangs on a clock.
"""

from __future__ import annotations

import os
import subprocess
import sys
from datetime import UTC, date, datetime
from threading import Thread

import pytest
from test_history_view import TEXT, app_of, notes, plants, settled

from calendar_tui.screens.cohort_view import CohortView
from calendar_tui.screens.moves_view import MovesView
from calendar_tui.screens.outage_view import OutageView
from calendar_tui.screens.problems_view import ProblemsView
from calendar_tui.screens.record_view import RecordView
from calendar_tui.screens.season_view import SeasonView
from calendar_tui.screens.varieties_view import VarietiesView
from calendar_tui.screens.week_view import WeekView
from calendar_tui.season.edits import Change, Edit
from calendar_tui.storage.history import read_history
from calendar_tui.storage.opening import open_to_show
from calendar_tui.storage.season_file import save_change

WHEN = datetime(2026, 12, 8, 10, tzinfo=UTC)
MORE = """\
[[cohort]]
id = "A2"
variety = "amber"
start = "seed"
place = "H2"
plants = 20
planned = { seeding = 2026-10-19, lights_off = 2026-12-28 }
[[cohort]]
id = "A3"
variety = "amber"
start = "seed"
place = "H2"
planned = { seeding = 2026-11-02, lights_off = 2027-01-08 }
"""


@pytest.fixture
def season(tmp_path):
    path = tmp_path / "two.toml"
    path.write_text(TEXT + MORE, encoding="utf-8")
    return path


def set_plants(n, cohort="A1"):
    return Change(f"{cohort} {n} plants", (Edit("set", "cohort", (cohort,), ("plants",), n),))


def save(path, change, who="ben"):
    """Save a change as another program does, from a thread of its own."""
    thread = Thread(target=lambda: save_change(path, change, who=who, when=WHEN))
    thread.start()
    thread.join()


def by_rename(path, text):
    new = path.with_name("two.toml~")
    new.write_text(text, encoding="utf-8")
    os.replace(new, path)


def in_place(path, text):
    path.write_text(text, encoding="utf-8")


WAYS = pytest.mark.parametrize("write", [by_rename, in_place], ids=["by rename", "in place"])


async def looked(app, pilot, times=1):
    """After this many looks, two seconds apart in life."""
    for _ in range(times):
        app.look()
        await settled(app, pilot)


async def begun(app, pilot):
    await settled(app, pilot)
    await looked(app, pilot, 2)
    assert notes(app) == []


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
        held = (view.cursor, view.cohort_id, view._zoom, view._first)
        assert view.cohort_id == "A2"
        save(
            season, Change("A1 goes", (Edit("remove", "cohort", ("A1",)), Edit("remove", "task", ("hoe1",))))
        )
        await looked(app, pilot)
        assert list(app.plan.season.cohorts) == ["A2", "A3"]
        assert (view.cursor, view.cohort_id, view._zoom, view._first) == held
        assert "A1" not in "".join(view.text.splitlines()[1:])


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
        assert f"{season}:19: not TOML" in said
        assert isinstance(app.screen, SeasonView)
        assert "the file has problems now" in app.screen.text.splitlines()[0]
        broken = season.read_bytes()
        for act in (lambda: app.save(set_plants(30)), app.undo):
            act()
            await settled(app, pilot)
            assert "The file has problems:" in notes(app)[-1]
            assert f"{season}:19: not TOML" in notes(app)[-1]
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
        assert view._input.has_class("asked")
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
        view._value.value = "9"
        save(season, set_plants(30))
        await looked(app, pilot)
        assert (view._value.value, view._list.key) == ("9", "drying_d")
        save(season, Change("birch goes", (Edit("remove", "variety", ("birch",)),)))
        await looked(app, pilot)
        assert "birch is not in this season any more" in view.text
        await pilot.press("enter")
        await settled(app, pilot)
        assert app.screen is view
        await pilot.press("escape")
        await settled(app, pilot)
        assert "[amber]" in view.text


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


# --- opened with problems


BROKEN = {
    "not TOML": lambda text: text + "[[cohort\n",
    "a problem": lambda text: text.replace('"H2"', '"H3"', 1),
    "empty": lambda text: "",
}


@pytest.mark.parametrize("broken", BROKEN.values(), ids=BROKEN.keys())
async def test_a_season_with_problems_opens_with_the_list_and_goes_on_once_mended(season, broken):
    whole = season.read_text()
    in_place(season, broken(whole))
    before = season.read_bytes()
    app = app_of(season, opened=open_to_show(season))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert isinstance(app.screen, ProblemsView)
        assert f"{season.name}:" in app.screen.text
        for key in ("u", "U", "R", "y", "escape"):
            await pilot.press(key)
            await settled(app, pilot)
        app.save(set_plants(30))
        await looked(app, pilot, 3)
        assert season.read_bytes() == before
        assert isinstance(app.screen, ProblemsView)
        assert all("while the season has problems" in note for note in notes(app))
        assert len(notes(app)) == 3
        in_place(season, whole)
        await looked(app, pilot)
        assert isinstance(app.screen, SeasonView)
        assert notes(app)[-1] == "The file reads well now."


async def test_the_list_follows_what_is_mended(season):
    in_place(season, season.read_text().replace('"seed"', '"sed"'))
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert "This season has 3 problems" in app.screen.text
        in_place(season, season.read_text().replace('"sed"', '"seed"', 2))
        await looked(app, pilot)
        assert "This season has 1 problem\n" in app.screen.text


STATION = '[station]\nfile = "days.csv"\nunit = "C"\n'
DAYS = "date,low,high\n2026-10-01,8,20\n2026-10-02,9,21\n"


async def test_problems_of_the_stations_file_alone_are_shown_and_keep_saves_away(season):
    station = season.with_name("days.csv")
    in_place(season, season.read_text().replace("[[place]]", STATION + "[[place]]", 1))
    station.write_text(DAYS.replace("20\n", "warm\n"))
    before = season.read_bytes()
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert isinstance(app.screen, ProblemsView)
        assert "days.csv:2:" in app.screen.text
        app.save(set_plants(30))
        await pilot.press("u")
        await settled(app, pilot)
        assert season.read_bytes() == before
        station.write_text(DAYS)
        await looked(app, pilot)
        assert isinstance(app.screen, SeasonView)
        station.write_text(DAYS + "2026-10-03,7,19\n")
        await looked(app, pilot)
        assert notes(app)[-1] == "The days of its station's file have changed."
        station.write_text("no days")
        await looked(app, pilot, 2)
        assert f"{station}:" in notes(app)[-1]
        app.save(set_plants(30))
        await settled(app, pilot)
        assert notes(app)[-1].startswith("Not saved: A1 30 plants. The file has problems:")
    assert season.read_bytes() == before
