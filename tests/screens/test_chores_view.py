"""The chores on the screen: listed by stage, changed, switched, added; what moves is shown first, saved only then."""

from __future__ import annotations

from collections import Counter
from datetime import UTC, date, datetime
from pathlib import Path
from threading import Thread, current_thread
from typing import Any

import pytest
from settling import settled
from small_app import SEASON, SmallApp

from calendar_tui.planning.changes import chore_change
from calendar_tui.planning.changes.chore_change import tasks_made
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.asking.moves_view import MovesView
from calendar_tui.screens.chores import view as chores_view
from calendar_tui.screens.chores.view import ChoresView
from calendar_tui.screens.forms.form_view import FormView
from calendar_tui.season.edits import Change, Edit
from calendar_tui.storage.opening import open_season
from calendar_tui.storage.starter_lists import starter_chores

TODAY = date(2026, 11, 8)
ANOTHER = {
    "id": "A2",
    "variety": "amber",
    "start": "seed",
    "nursery": "N1",
    "place": "F1",
    "planned": {"seeding": date(2026, 10, 12), "transplant": date(2026, 11, 10)},
}


def _line(view: ChoresView, key: str) -> str:
    return next(line for line in view.text.splitlines() if line.startswith(f"{key} "))


def _chore(app: SmallApp, name: str) -> dict[str, Any]:
    return next(c for c in app.data["chore"] if c["id"] == name)


async def test_chores_stand_under_their_stages_with_hours_and_tasks() -> None:
    view = ChoresView()
    app = SmallApp(view, TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        lines = [line.split() for line in view.text.splitlines()]
        assert lines[0][:5] == ["Chores", "2,", "0", "of", "them"]
        at = lines.index(["transplant"])
        assert lines[at + 1] == ["survival", "+7", "d", "2", "tasks", "Survival", "count"]
        assert lines[at + 2] == ["lights", "off"]
        assert lines[at + 3][:6] == ["lamps-off", "Ana", "~1", "h/cohort", "1", "task"]
        assert "a guess until you set it" in view.text
        await pilot.press("down")
        assert "Switch the lamps off\nlights off; every cohort" in view.text
        assert max(map(len, view.text.splitlines())) < 80


@pytest.mark.slow
async def test_a_field_is_changed_in_a_form_and_the_view_stays_open() -> None:
    view = ChoresView(key="survival")
    app = SmallApp(view, TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("enter")
        form = app.screen
        assert isinstance(form, FormView)
        assert form.text.startswith("Change chore survival")
        assert (form.value("offset"), form.value("active"), form.value("starts")) == (
            "7",
            "yes",
            "seed, cutting",
        )
        await pilot.press("down", "down", "down", *"soon")
        await settled(app, pilot)
        assert form.field == "offset"
        assert "write a whole number from -400 to 400 days" in form.text
        await pilot.press("ctrl+u", "9")
        await settled(app, pilot)
        assert "chore survival offset 7 -> 9" in form.text
        await pilot.press("ctrl+s")
        moves = await settled(app, pilot)
        assert isinstance(moves, MovesView)
        assert moves.text.startswith("chore survival offset 7 -> 9\nNothing is saved yet.")
        assert "6 Nov -> 8 Nov  +2 d" in moves.text
        assert app.saved == []
        await pilot.press("enter")
        assert await settled(app, pilot) is view
        assert _chore(app, "survival")["offset_d"] == 9
        assert _line(view, "survival").split()[1] == "+9"


@pytest.mark.slow
async def test_a_repeat_and_its_end_are_typed_in_one_field() -> None:
    app = SmallApp(ChoresView(key="survival"), TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("enter", *["down"] * 4, *"FREQ=WEEKLY until lights off -3")
        form = await settled(app, pilot)
        assert isinstance(form, FormView)
        assert "repeat none -> FREQ=WEEKLY, until none -> lights off" in " ".join(form.text.split())
        await pilot.press("ctrl+s")
        await settled(app, pilot)
        await pilot.press("enter")
        await settled(app, pilot)
        chore = _chore(app, "survival")
        assert [chore[key] for key in ("repeat", "until", "until_offset_d")] == [
            "FREQ=WEEKLY",
            "lights_off",
            -3,
        ]


@pytest.mark.slow
async def test_a_chore_is_copied_renamed_and_taken_out_again() -> None:
    view = ChoresView(key="survival")
    app = SmallApp(view, TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("c", "ctrl+s")
        await settled(app, pilot)
        await pilot.press("enter")
        assert await settled(app, pilot) is view
        view.select_record("chore", ("survival-2",))
        assert view._list.key == "survival-2"
        assert {**_chore(app, "survival-2"), "id": "survival", "since": None} == {
            **_chore(app, "survival"),
            "since": None,
        }
        await pilot.press("enter", "ctrl+u", *"count", "ctrl+s")
        await settled(app, pilot)
        await pilot.press("enter")
        assert await settled(app, pilot) is view
        assert [c["id"] for c in app.data["chore"]] == ["lamps-off", "survival", "count"]
        view.select_record("chore", ("count",))
        await pilot.press("x")
        await settled(app, pilot)
        await pilot.press("enter")
        await settled(app, pilot)
        assert [c["id"] for c in app.data["chore"]] == ["lamps-off", "survival"]


async def test_a_chore_is_switched_off_in_three_keys() -> None:
    """From the season view: c, s, Enter, with the cursor on the chore."""
    view = ChoresView(key="lamps-off")
    app = SmallApp(view, TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("s")
        await settled(app, pilot)
        await pilot.press("enter")
        await settled(app, pilot)
        assert _chore(app, "lamps-off")["active"] is False


@pytest.mark.slow
async def test_a_key_switches_off_and_on_and_another_takes_away() -> None:
    view = ChoresView(key="lamps-off")
    app = SmallApp(view, TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        for active in (False, True):
            await pilot.press("s")
            assert isinstance(await settled(app, pilot), MovesView)
            await pilot.press("enter")
            assert await settled(app, pilot) is view
            assert _chore(app, "lamps-off").get("active", True) is active
            assert (" 1 task " if active else " off ") in _line(view, "lamps-off")
        await pilot.press("x")
        await settled(app, pilot)
        await pilot.press("enter")
        await settled(app, pilot)
        assert [c["id"] for c in app.data["chore"]] == ["survival"]


async def test_tasks_are_never_counted_while_keys_wait(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """All tasks of two hundred cohorts take a quarter of a second."""
    counted_in = list[Thread]()

    def counted(plan: Plan) -> Counter[str]:
        counted_in.append(current_thread())
        return tasks_made(plan)

    for module in (chore_change, chores_view):
        monkeypatch.setattr(module, "tasks_made", counted)
    file = tmp_path / "two.toml"
    file.write_text(SEASON.lstrip(), encoding="utf-8")
    app = CalendarApp(open_season(file), TODAY, "ana", lambda: datetime(2026, 11, 8, tzinfo=UTC))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("c")
        view = await settled(app, pilot)
        assert isinstance(view, ChoresView)
        assert " 1 task " in _line(view, "lamps-off")
        app.save(Change("A2", (Edit("add", "cohort", ("A2",), (), ANOTHER),)))
        await settled(app, pilot)
        assert " 3 tasks " in _line(view, "survival")
        view._take(make_plan(app.plan.season, TODAY), {})
        assert " 3 tasks " in _line(view, "survival"), "a count of another plan comes too late"
    assert len(counted_in) == 2, "once for each plan"
    assert current_thread() not in counted_in


@pytest.mark.slow
@pytest.mark.parametrize("text", [SEASON, SEASON[: SEASON.index("[[chore]]")]])
async def test_one_of_ones_own_is_added_in_a_form(text: str) -> None:
    view = ChoresView()
    app = SmallApp(view, TODAY, text)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("a", *"mulch", "enter", *"Mulch the rows", "enter", *"bloom")
        form = await settled(app, pilot)
        assert isinstance(form, FormView)
        assert "it must be one of: seeding" in " ".join(form.text.split())
        await pilot.press("ctrl+u", *"trans", "tab", "enter", *"+10", "ctrl+s")
        assert isinstance(await settled(app, pilot), MovesView)
        assert app.saved == []
        await pilot.press("enter")
        assert await settled(app, pilot) is view
        added = {"id": "mulch", "what": "Mulch the rows", "stage": "transplant", "offset_d": 10}
        assert _chore(app, "mulch") == added
        assert app.focused is view._list


async def test_the_key_in_the_season_view_opens_them_and_undo_takes_a_change_back(tmp_path: Path) -> None:
    file = tmp_path / "two-rivers.toml"
    file.write_text(SEASON.lstrip(), encoding="utf-8")
    app = CalendarApp(open_season(file), TODAY, "ana", lambda: datetime(2026, 11, 8, tzinfo=UTC))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("c")
        await pilot.pause()
        assert isinstance(app.screen, ChoresView)
        await pilot.press("s")
        await settled(app, pilot)
        await pilot.press("enter")
        await settled(app, pilot)
        assert "active = false" in file.read_text(encoding="utf-8")
        await pilot.press("u")
        await settled(app, pilot)
    assert file.read_text(encoding="utf-8") == SEASON.lstrip()


async def test_what_a_later_starter_list_has_stands_below_the_chores() -> None:
    view = ChoresView()
    app = SmallApp(view, TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "--starter" not in view.text
    shipped = next(iter(starter_chores(1).values()))
    chore = f'\n[[chore]]\nid = "{shipped.id}"\nwhat = "{shipped.what}"\nstage = "{shipped.stage}"\n'
    view = ChoresView()
    async with SmallApp(view, TODAY, SEASON + chore).run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "calendar-tui chores --starter" in " ".join(view.text.split())
