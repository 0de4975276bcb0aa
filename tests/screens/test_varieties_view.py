"""The varieties on the screen: figures with their marks, and a change of one, shown first and saved only then."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest
from settling import settled
from small_app import SEASON, SmallApp
from textual.pilot import Pilot
from textual.widgets import Input

from calendar_tui.handing_on.words.varieties_text import key_words
from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.asking.form import Form
from calendar_tui.screens.asking.moves_view import MovesView
from calendar_tui.screens.asking.outage_view import OutageView
from calendar_tui.screens.asking.record_view import RecordView
from calendar_tui.screens.kit.drawing import ListRow, names_row
from calendar_tui.screens.varieties.types_view import TypesView
from calendar_tui.screens.varieties.view import VarietiesView
from calendar_tui.storage.opening import open_season

TODAY = date(2026, 11, 8)
TWO = SEASON.replace(
    '[[chore]]\nid = "lamps-off"',
    '[[variety]]\nid = "dayfree"\nresponse = "day-neutral"\nmarks = { drying_d = "own" }\n'
    '[[chore]]\nid = "lamps-off"',
)


def _app(text: str = TWO) -> tuple[SmallApp, VarietiesView]:
    view = VarietiesView("amber")
    return SmallApp(view, TODAY, text), view


async def _type(view: VarietiesView, pilot: Pilot[None], value: str, mark: str = "") -> None:
    await pilot.press("enter")
    view._value.value, view._mark.value = value, mark
    await pilot.press("enter")


def _amber(app: SmallApp) -> dict[str, Any]:
    return next(v for v in app.data["variety"] if v["id"] == "amber")


def _line(view: VarietiesView, key: str) -> str:
    return next(line for line in view.text.splitlines() if line.startswith(f"{key_words(key)} "))


async def test_the_figures_of_one_variety_stand_with_their_marks() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        lines = view.text.splitlines()
        assert lines[0].strip() == "Varieties  short-day; cohorts A1, A3"
        assert lines[1].split() == ["[amber]", "dayfree"]
        assert _line(view, "critical_day").split() == [
            "critical",
            "day",
            "14",
            "h",
            "00",
            "set",
            "no",
            "mark",
        ]
        assert _line(view, "induced_to_flowering_d").startswith("induced to flowering ")
        assert _line(view, "induced_to_flowering_d").endswith("default placeholder: guess")
        assert "at or above this day the count goes back to 0; set in the file, no mark" in " ".join(
            view.text.split()
        )
        assert "Figures marked placeholder are guesses" in view.text
        assert max(map(len, lines)) < 80


async def test_left_and_right_go_round_the_varieties_and_the_figure_stays() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("down", "right")
        assert view.text.splitlines()[1].split() == ["amber", "[dayfree]"]
        assert view._list.key == "full_response_day"
        assert _line(view, "full_response_day").endswith("not used")
        await pilot.press("right")
        assert "[amber]" in view.text
        await pilot.press("left")
        assert "[dayfree]" in view.text


async def test_a_type_is_given_in_the_first_row_and_what_it_moves_is_shown_first() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("up")
        assert (
            view.text.splitlines()[2].strip()
            == "no type; the plain figures of the program where it gives none (short-day)"
        )
        assert "Its response is not recorded yet: A1 induced" in view.text
        await pilot.press("enter")
        assert "Types: oil-unknown, oil-fitted, oil-zhang" in view.text
        view._value.value = "oil-zhang alone"
        await pilot.press("enter")
        moves = await settled(app, pilot)
        assert isinstance(moves, MovesView)
        assert moves.text.startswith("amber type none -> oil-zhang, without critical_day, full_response_day")
        await pilot.press("enter")
        assert await settled(app, pilot) is view
        assert _amber(app)["type"] == "oil-zhang"
        assert "critical_day" not in _amber(app)
        assert "type oil-zhang: oil, as Zhang et al. read it" in view.text
        assert _line(view, "critical_day").split()[-2:] == ["type", "read"]


@pytest.mark.parametrize(
    ("value", "mark", "told"),
    [
        ("oil-zang", "", '"oil-zang" is not a type of variety; did you mean "oil-zhang"?'),
        ("oil-zhang", "own", "a type has the marks of its own figures"),
        ("", "", '"" is not a type of variety'),
    ],
)
async def test_a_type_that_cannot_be_is_told_under_the_line(value: str, mark: str, told: str) -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("up")
        await _type(view, pilot, value, mark)
        assert await settled(app, pilot) is view
        assert told in " ".join(view.text.split())
        assert app.saved == []


async def test_what_each_type_would_give_is_a_page_of_its_own(tmp_path: Path) -> None:
    file = tmp_path / "two-rivers.toml"
    file.write_text(TWO.lstrip(), encoding="utf-8")
    app = CalendarApp(open_season(file), TODAY, "ana", lambda: datetime(2026, 11, 8, tzinfo=UTC))
    async with app.run_test(size=(80, 24)) as pilot:
        for key in ("v", "t"):
            await pilot.press(key)
            await app.workers.wait_for_complete()
            await pilot.pause()
        page = app.screen
        assert isinstance(page, TypesView)
        lines = page.text.splitlines()
        assert any(line.startswith("A1, ") for line in lines)
        assert any(line.startswith("  fibre-northern ") for line in lines)
        assert max(map(len, lines)) < 80
        await pilot.press("escape")
        assert isinstance(app.screen, VarietiesView)


async def test_a_variety_is_added_in_one_line_and_shown() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("a")
        assert "Its id and its type, such as: cedar oil-unknown" in view.text
        view._value.value = "cedar oil-zhang"
        await pilot.press("enter")
        moves = await settled(app, pilot)
        assert isinstance(moves, MovesView)
        assert moves.text.startswith("variety cedar added, type oil-zhang\nNothing is saved yet.")
        await pilot.press("enter")
        assert await settled(app, pilot) is view
        assert app.data["variety"][-1] == {"id": "cedar", "response": "short-day", "type": "oil-zhang"}
        assert "[cedar]" in view.text
        assert "type oil-zhang: oil, as Zhang et al. read it" in view.text


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("", "give the new variety an id and a type, such as: cedar oil-unknown"),
        ("amber", 'there is a variety "amber" already'),
        ("cedar oak", '"oak" is not a type of variety'),
    ],
)
async def test_a_variety_that_cannot_be_added_is_told_under_the_line(line: str, told: str) -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("a")
        view._value.value = line
        await pilot.press("enter")
        assert await settled(app, pilot) is view
        assert told in " ".join(view.text.split())
        assert app.saved == []
        await pilot.press("escape")
        await _type(view, pilot, "13:30")
        assert isinstance(await settled(app, pilot), MovesView)


async def test_what_moves_is_shown_then_saved_and_the_view_stays_open() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await _type(view, pilot, "13:30", "own")
        moves = await settled(app, pilot)
        assert isinstance(moves, MovesView)
        assert app.saved == []
        assert moves.text.startswith(
            "amber critical day 14 h 00 -> 13 h 30, marked own\nNothing is saved yet."
        )
        assert any(line.startswith("A3 trigger ") for line in moves.text.splitlines())
        assert "days of growth" not in moves.text
        await pilot.press("enter")
        assert await settled(app, pilot) is view
        assert (_amber(app)["critical_day"], _amber(app)["marks"]) == ("13:30", {"critical_day": "own"})
        assert _line(view, "critical_day").split()[2:] == ["13", "h", "30", "set", "own"]
        assert not view._line.asked
        assert app.focused is view._list


async def test_a_new_figure_does_not_inherit_the_mark() -> None:
    app, view = _app(TWO.replace('"12:30"', '"12:30"\nmarks = { critical_day = "practice" }'))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("enter")
        assert (view._value.value, view._mark.value) == ("14 h 00", "")
        view._value.value = "13:30"
        await pilot.press("enter")
        moves = await settled(app, pilot)
        assert "marked placeholder, a guess (it was practice)" in " ".join(moves.text.split())  # type: ignore[attr-defined]
        await pilot.press("enter")
        await settled(app, pilot)
        assert _amber(app)["marks"] == {"critical_day": "placeholder"}


async def test_a_figure_that_moves_nothing_says_so() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await _type(view, pilot, "14:00", "read")
        moves = await settled(app, pilot)
        assert isinstance(moves, MovesView)
        assert "No date of a cohort moves." in moves.text


@pytest.mark.parametrize(
    ("value", "mark", "said"),
    [
        ("25:00", "", 'critical_day is "25:00"; write hours and minutes up to 24 h'),
        ("12:00", "", "full_response_day must be shorter than critical_day"),
        ("13:30", "guess", 'mark is "guess"; it must be one of: read'),
        ("", "", 'critical_day is ""; write hours'),
    ],
)
async def test_what_cannot_be_is_told_under_the_line(value: str, mark: str, said: str) -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await _type(view, pilot, value, mark)
        assert await settled(app, pilot) is view
        assert said in " ".join(view.text.split())
        assert app.saved == []


async def test_escape_leaves_the_line_then_the_view() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("enter")
        assert view._line.asked
        await pilot.press("right")
        assert "[amber]" in view.text
        await pilot.press("escape")
        assert app.screen is view
        assert app.focused is view._list
        await pilot.press("escape")
        assert app.screen is not view


async def test_a_variety_taken_out_of_the_file_gives_way_to_another() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("right")
        app.data["variety"] = [v for v in app.data["variety"] if v["id"] != "dayfree"]
        app.reload()
        await pilot.pause()
        assert "[amber]" in view.text


@pytest.mark.parametrize("kind", [RecordView, OutageView, VarietiesView])
async def test_the_fields_of_every_form_are_one_line_without_a_border(kind: Callable[[str], Form]) -> None:
    view = kind("amber" if kind is VarietiesView else "A1")
    app = SmallApp(view, TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        if isinstance(view, VarietiesView):
            view.action_change()
            await pilot.pause()
        assert {field.outer_size.height for field in view.query(Input)} == {1}
        assert view._error.size.height == 3


def _text(row: ListRow) -> str:
    return "".join(s.text for s in row.segments)


@pytest.mark.parametrize("width", range(20, 120, 7))
def test_many_varieties_are_shown_around_the_chosen_one(width: int) -> None:
    names = [f"lot-{n:02d}" for n in range(30)]
    for chosen in names:
        text = _text(names_row(names, chosen, width))
        assert f"[{chosen}]" in text
        assert len(text.rstrip()) <= width
        shown = text.replace("[", "").replace("]", "").strip("<> ").split()
        at = names.index(shown[0])
        assert shown == names[at : at + len(shown)]
        assert (text.startswith("<"), text.rstrip().endswith(">")) == (
            shown[0] != names[0],
            shown[-1] != names[-1],
        )
    assert _text(names_row(names[:2], "lot-01", 80)) == "lot-00  [lot-01]  "


async def test_the_key_in_the_season_view_opens_it_and_a_change_is_saved_and_undone(tmp_path: Path) -> None:
    file = tmp_path / "two-rivers.toml"
    file.write_text(TWO.lstrip(), encoding="utf-8")
    app = CalendarApp(open_season(file), TODAY, "ana", lambda: datetime(2026, 11, 8, tzinfo=UTC))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("v")
        await pilot.pause()
        view = app.screen
        assert isinstance(view, VarietiesView)
        await _type(view, pilot, "13:30", "own")
        await app.workers.wait_for_complete()
        await pilot.pause()
        await pilot.press("enter")
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert 'critical_day = "13:30"' in file.read_text(encoding="utf-8")
        await pilot.press("u")
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert _line(view, "critical_day").split()[2:5] == ["14", "h", "00"]
    assert file.read_text(encoding="utf-8") == TWO.lstrip()
