"""Forms for what is recorded of the crop: ids are made by the program; a spray is begun from a cohort's place in few keys."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest
from settling import settled
from textual.pilot import Pilot

from calendar_tui.handing_on.words.cautions import CAUTIONS
from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.asking.moves_view import MovesView
from calendar_tui.screens.cutting.official_form import official_step
from calendar_tui.screens.drying.pass_forms import reading_batch, recording_pass, taking_out
from calendar_tui.screens.forms.add_view import AddView
from calendar_tui.screens.forms.form_view import FormView
from calendar_tui.screens.forms.result_form import recording_result
from calendar_tui.screens.forms.spray_form import spraying
from calendar_tui.season.rules import Lot
from calendar_tui.storage.opening import open_season
from tests.season_data import data_of, without_crop

SEASONS = Path(__file__).parents[2] / "seasons"


def _app(folder: Path, name: str, day: date, made: Callable[[str], str] = str) -> tuple[CalendarApp, Path]:
    path = folder / name
    path.write_text(made((SEASONS / name).read_text(encoding="utf-8")), encoding="utf-8")
    now = datetime(day.year, day.month, day.day, 15, tzinfo=UTC)
    return CalendarApp(open_season(path), day, "Cleo", lambda: now), path


async def _type(pilot: Pilot[Any], view: FormView, typed: dict[str, str]) -> None:
    for words, text in typed.items():
        for _ in view._list.fields:
            if view.field == words:
                break
            await pilot.press("down")
        assert view.field == words
        await pilot.press(*("space" if c == " " else c for c in text))


@pytest.fixture
def north(tmp_path: Path) -> tuple[CalendarApp, Path]:
    return _app(tmp_path, "north-bench.toml", date(2026, 6, 16))


@pytest.fixture
def rivers(tmp_path: Path) -> tuple[CalendarApp, Path]:
    """A season of which nothing of the crop is recorded yet."""
    return _app(tmp_path, "two-rivers.toml", date(2026, 12, 8), without_crop)


@pytest.mark.slow
@pytest.mark.parametrize(("kind", "given"), [("official", "o4"), ("batch", "D3"), ("pass", "L1-3")])
async def test_a_form_opened_for_a_new_record_has_its_id_and_takes_what_is_typed(
    north: tuple[CalendarApp, Path], kind: str, given: str
) -> None:
    app, _ = north
    async with app.run_test(size=(100, 40)) as pilot:
        await settled(app, pilot)
        await app.open_view("form", kind, "")
        view = await settled(app, pilot)
        assert isinstance(view, AddView)
        assert view.value("id") == given
        await _type(pilot, view, {"date": "16 jun"})
        await settled(app, pilot)
        assert app.screen is view
        assert "id" not in view._filled.errors


@pytest.mark.slow
async def test_a_spray_is_recorded_from_a_cohort_with_its_place_and_today_filled_in(
    rivers: tuple[CalendarApp, Path],
) -> None:
    app, path = rivers
    async with app.run_test(size=(100, 40)) as pilot:
        await settled(app, pilot)
        await pilot.press("S")
        view = await settled(app, pilot)
        assert isinstance(view, AddView)
        assert (view.value("place"), view.value("date")) == ("H1", "8 Dec 2026")
        assert "the label is the law" in view.text
        # A condition is met after the spray, in the form of its record.
        fields = [field.words for field in view._list.fields]
        assert "entry condition" in fields
        assert not {"cleared", "cleared date"} & set(fields)
        await _type(
            pilot,
            view,
            {"product": "soap", "start": "16:30", "end": "17:15", "re-entry": "12 h", "pre-harvest": "0 d"},
        )
        await pilot.press("ctrl+s")
        moves = await settled(app, pilot)
        assert isinstance(moves, MovesView)
        assert (
            "Do not enter: H1 is closed from Tue 8 Dec 16:30 until Wed 9 Dec 05:15 after soap."
            in " ".join(moves.text.split())
        )
        await pilot.press("enter")
        await settled(app, pilot)
        (record,) = data_of(path.read_text())["spray"]
        assert (record["id"], record["place"], str(record["date"]), str(record["end"])) == (
            "s1",
            "H1",
            "2026-12-08",
            "17:15",
        )


async def test_the_times_of_a_spray_are_shown_as_times_of_day(rivers: tuple[CalendarApp, Path]) -> None:
    app, _ = rivers
    async with app.run_test(size=(100, 40)) as pilot:
        await settled(app, pilot)
        await pilot.press("S")
        view = await settled(app, pilot)
        assert isinstance(view, AddView)
        await _type(pilot, view, {"start": "16h30", "end": "17:15"})
        await settled(app, pilot)
        shown = view.text
        assert "16:30" in shown
        assert shown.count("17:15") == 1
        assert not {"16 h 30", "17 h 15"} & {shown[at : at + 7] for at in range(len(shown))}


async def test_the_cautions_of_a_spray_stand_whole_in_its_form_at_80x24(
    rivers: tuple[CalendarApp, Path],
) -> None:
    app, _ = rivers
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("S")
        view = await settled(app, pilot)
        assert isinstance(view, FormView)
        below = " ".join(view._preview.text.split())
        assert "the label is the law. The product must be labelled for the crop and place." in below


@pytest.mark.slow
async def test_a_spray_is_recorded_from_a_task_of_today_at_its_place(
    rivers: tuple[CalendarApp, Path],
) -> None:
    app, _ = rivers
    async with app.run_test(size=(100, 40)) as pilot:
        await settled(app, pilot)
        await pilot.press("t")
        await settled(app, pilot)
        app.screen._list.stand_on("dv7b")  # type: ignore[attr-defined]
        await pilot.press("S")
        view = await settled(app, pilot)
        assert isinstance(view, AddView)
        assert view.value("place") == "F1"


async def test_a_spray_stands_among_what_else_can_be_added(rivers: tuple[CalendarApp, Path]) -> None:
    app, _ = rivers
    async with app.run_test(size=(100, 40)) as pilot:
        await settled(app, pilot)
        await pilot.press("a")
        await settled(app, pilot)
        await pilot.press("ctrl+t")
        kinds = await settled(app, pilot)
        kinds._list.stand_on("spray")  # type: ignore[attr-defined]
        await pilot.press("enter")
        view = await settled(app, pilot)
        assert isinstance(view, AddView)
        assert view.value("place") == "H1"
        assert "id" not in [field.words for field in view._list.fields]


@pytest.mark.slow
async def test_a_spray_of_the_places_of_marked_cohorts_is_one_act_and_one_undo(
    rivers: tuple[CalendarApp, Path],
) -> None:
    app, path = rivers
    before = path.read_bytes()
    async with app.run_test(size=(100, 40)) as pilot:
        await settled(app, pilot)
        await pilot.press("space", "space", "S")
        view = await settled(app, pilot)
        assert isinstance(view, AddView)
        assert view.value("place") == "H1, N1"
        await _type(
            pilot,
            view,
            {"product": "soap", "start": "16:30", "end": "17:15", "re-entry": "12 h", "pre-harvest": "0 d"},
        )
        await pilot.press("ctrl+s")
        assert isinstance(await settled(app, pilot), MovesView)
        await pilot.press("enter")
        await settled(app, pilot)
        assert [r["place"] for r in data_of(path.read_text())["spray"]] == ["H1", "N1"]
        await pilot.press("u")
        await settled(app, pilot)
        await pilot.press("enter")
        await settled(app, pilot)
        assert path.read_bytes() == before


FORMS = {
    "spray": (spraying(), ("label", "product", "entry", "all work")),
    "pass": (recording_pass("A1"), ("before a cut", "unmixed", "heat", "heat index")),
    "reading": (reading_batch("D1"), ("dryer", "mould", "unmixed")),
    "batch out": (taking_out("D1"), ("dryer", "mould", "unmixed")),
    "result": (recording_result(), ("own tests", "agent", "own results", "over", "disposal", "verdicts")),
    "official": (
        official_step([Lot(id="A1", cohort="A1")]),
        ("agent", "producer", "over", "disposal", "verdicts"),
    ),
}


@pytest.mark.slow
@pytest.mark.parametrize("form", FORMS)
async def test_the_form_of_work_with_a_hazard_shows_its_cautions_once(
    form: str, north: tuple[CalendarApp, Path]
) -> None:
    blank, names = FORMS[form]
    app, _ = north
    async with app.run_test(size=(80, 40)) as pilot:
        await settled(app, pilot)
        view = FormView(blank)
        app.push_screen(view)
        await settled(app, pilot)
        text = " ".join(view.text.split())
        for name in names:
            assert text.count(CAUTIONS[name].text) == 1, name


@pytest.mark.slow
async def test_at_80_columns_and_24_rows_the_caution_is_read_before_anything_is_typed(
    north: tuple[CalendarApp, Path],
) -> None:
    app, _ = north
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        for blank, names in FORMS.values():
            view = FormView(blank)
            app.push_screen(view)
            await settled(app, pilot)
            assert all(CAUTIONS[name].text in " ".join(view.text.split()) for name in names)
            app.pop_screen()
