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
from calendar_tui.screens.forms.form_view import FormView
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


async def _type(app: SmallApp | CalendarApp, pilot: Pilot[None], value: str, mark: str = "") -> FormView:
    """Type a value in the field that the form opens at, and its mark, which stands before the figures."""
    await pilot.press("enter", "ctrl+u", *value)
    form = app.screen
    assert isinstance(form, FormView)
    if mark:
        form._list.stand_on("mark")
        await pilot.press(*mark)
    await settled(app, pilot)
    return form


async def _see(app: SmallApp | CalendarApp, pilot: Pilot[None]) -> MovesView:
    await pilot.press("ctrl+s")
    moves = await settled(app, pilot)
    assert isinstance(moves, MovesView)
    return moves


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


async def test_where_there_is_little_room_what_is_cut_ends_in_its_mark() -> None:
    app, view = _app()
    async with app.run_test(size=(50, 20)) as pilot:
        await pilot.pause()
        lines = ["".join(part.text for part in line.segments) for line in view._list.rows]
        assert all(len(line) <= 49 for line in lines)
        assert sum(line.endswith("…") for line in lines) > 3


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


@pytest.mark.slow
async def test_a_type_is_given_in_the_first_row_and_what_it_moves_is_shown_first() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("up")
        assert (
            view.text.splitlines()[2].strip()
            == "no type; the plain figures of the program where it gives none (short-day)"
        )
        assert "Its response is not recorded yet: A1 induced" in view.text
        form = await _type(app, pilot, "oil")
        assert form.field == "type"
        assert "oil-unknown  oil-fitted  oil-zhang" in form.text
        await pilot.press("ctrl+u", *"oil-zhang alone")
        await settled(app, pilot)
        assert "critical day 14 h 00 -> none, full response day" in " ".join(form.text.split())
        moves = await _see(app, pilot)
        assert moves.text.startswith("amber type none -> oil-zhang, critical day 14 h 00 -> none, full")
        await pilot.press("enter")
        assert await settled(app, pilot) is view
        assert _amber(app)["type"] == "oil-zhang"
        assert "critical_day" not in _amber(app)
        assert "type oil-zhang: oil, as Zhang et al. read it" in view.text
        assert _line(view, "critical_day").split()[-2:] == ["type", "read"]


@pytest.mark.parametrize(
    ("value", "mark", "told"),
    [
        ("oil-zang", "", "it must be one of: oil-unknown"),
        ("oil-zhang", "own", "a type has the marks of its own figures"),
    ],
)
async def test_a_type_that_cannot_be_is_told_in_the_form(value: str, mark: str, told: str) -> None:
    app, _ = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("up")
        form = await _type(app, pilot, value, mark)
        assert told in " ".join(form.text.split())
        await pilot.press("ctrl+s")
        assert await settled(app, pilot) is form
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


async def test_a_variety_is_added_in_a_form_and_shown() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("a", *"cedar")
        form = await settled(app, pilot)
        assert isinstance(form, FormView)
        form._list.stand_on("type")
        await pilot.press(*"oil-zhang")
        moves = await _see(app, pilot)
        assert moves.text.startswith("variety cedar added: type oil-zhang")
        await pilot.press("enter")
        assert await settled(app, pilot) is view
        assert app.data["variety"][-1] == {"id": "cedar", "response": "short-day", "type": "oil-zhang"}
        view.select_record("variety", ("cedar",))
        assert "[cedar]" in view.text
        assert "type oil-zhang: oil, as Zhang et al. read it" in view.text


@pytest.mark.slow
async def test_a_variety_is_copied_renamed_and_taken_out_again() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("c")
        await _see(app, pilot)
        await pilot.press("enter")
        assert await settled(app, pilot) is view
        view.select_record("variety", ("amber-2",))
        assert "[amber-2]" in view.text
        await pilot.press("enter")
        form = app.screen
        assert isinstance(form, FormView)
        assert form.field == "critical day"
        form._list.stand_on("id")
        await pilot.press("ctrl+u", *"cedar")
        await _see(app, pilot)
        await pilot.press("enter")
        assert await settled(app, pilot) is view
        view.select_record("variety", ("cedar",))
        assert "[cedar]" in view.text
        await pilot.press("x")
        assert isinstance(await settled(app, pilot), MovesView)
        await pilot.press("enter")
        assert await settled(app, pilot) is view
        assert [v["id"] for v in app.data["variety"]] == ["amber", "dayfree"]


async def test_a_variety_that_cohorts_are_of_stays_and_why_is_told() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("x")
        assert await settled(app, pilot) is view
        assert any("ohorts A1, A3 are of amber, so it stays" in text for text in app.messages)


@pytest.mark.parametrize("typed", ["13:30", "13h30", "13 h 30"])
async def test_a_critical_day_is_changed_in_four_keys_and_what_is_typed(typed: str) -> None:
    """v, Enter, the value, Ctrl+S, Enter: the first of them in the season view."""
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("enter", *typed)
        form = await settled(app, pilot)
        assert isinstance(form, FormView)
        assert "13 h 30" in form.text
        assert "amber critical day 14 h 00 -> 13 h 30" in form.text
        assert "A3 " in form._preview.text
        await pilot.press("ctrl+s")
        await settled(app, pilot)
        await pilot.press("enter")
        assert await settled(app, pilot) is view
        assert _amber(app)["critical_day"] in ("13:30", typed)
        assert _amber(app)["marks"] == {"critical_day": "placeholder"}
        assert _line(view, "critical_day").split()[2:6] == ["13", "h", "30", "set"]
        assert app.focused is view._list


async def test_what_moves_is_shown_with_the_mark_before_it_is_saved() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await _type(app, pilot, "13:30", "own")
        moves = await _see(app, pilot)
        assert app.saved == []
        assert moves.text.startswith(
            "amber critical day 14 h 00 -> 13 h 30, marked own\nNothing is saved yet."
        )
        assert any(line.startswith("A3 trigger ") for line in moves.text.splitlines())
        await pilot.press("enter")
        assert await settled(app, pilot) is view
        assert _amber(app)["marks"] == {"critical_day": "own"}


async def test_a_new_figure_does_not_inherit_the_mark() -> None:
    app, _ = _app(TWO.replace('"12:30"', '"12:30"\nmarks = { critical_day = "practice" }'))
    async with app.run_test(size=(80, 24)) as pilot:
        await _type(app, pilot, "13:30")
        moves = await _see(app, pilot)
        assert "marked placeholder, a guess (it was practice)" in " ".join(moves.text.split())
        await pilot.press("enter")
        await settled(app, pilot)
        assert _amber(app)["marks"] == {"critical_day": "placeholder"}


@pytest.mark.parametrize(
    ("value", "mark", "said"),
    [
        ("25:00", "", "write hours and minutes up to 24 h"),
        ("12:00", "", "full response day must be shorter than critical day"),
        ("13:30", "guess", "it must be one of: read"),
    ],
)
async def test_what_cannot_be_is_told_beside_the_field(value: str, mark: str, said: str) -> None:
    app, _ = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        form = await _type(app, pilot, value, mark)
        await pilot.press("ctrl+s")
        assert await settled(app, pilot) is form
        assert said in " ".join(form.text.split())
        assert app.saved == []


async def test_a_figure_of_the_type_stands_beside_the_field_that_the_file_leaves_open() -> None:
    app, _ = _app(TWO.replace('id = "amber"', 'id = "amber"\ntype = "oil-zhang"'))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("enter")
        form = app.screen
        assert isinstance(form, FormView)
        form._list.stand_on("juvenile time")
        await pilot.pause()
        assert "juvenile time" in form.text
        assert form.value("juvenile time") == ""
        assert ", by its type" in form.text


async def test_escape_leaves_the_form_then_the_view() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("enter", "escape")
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


@pytest.mark.parametrize("kind", [RecordView, OutageView])
async def test_the_fields_of_every_form_are_one_line_without_a_border(kind: Callable[[str], Form]) -> None:
    view = kind("A1")
    app = SmallApp(view, TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
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
        await _type(app, pilot, "13:30", "own")
        await _see(app, pilot)
        await pilot.press("enter")
        await settled(app, pilot)
        assert 'critical_day = "13:30"' in file.read_text(encoding="utf-8")
        await pilot.press("u")
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert _line(view, "critical_day").split()[2:5] == ["14", "h", "00"]
    assert file.read_text(encoding="utf-8") == TWO.lstrip()
