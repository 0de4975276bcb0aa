"""The farm on the screen: what each place holds, and places, varieties and tables added, changed and taken out."""

from __future__ import annotations

from datetime import date

import pytest
from settling import settled
from small_app import SEASON, SmallApp
from textual.pilot import Pilot

from calendar_tui.screens.asking.moves_view import MovesView
from calendar_tui.screens.farm.view import FarmView
from calendar_tui.screens.forms.form_view import FormView

TODAY = date(2026, 11, 8)
PROGRAMME = """[[programme]]
place = "H2"
from = 2026-12-01
to = 2026-12-20
target_h = 18.0
"""


def _app(text: str = SEASON, key: str = "") -> tuple[SmallApp, FarmView]:
    view = FarmView(key)
    return SmallApp(view, TODAY, text), view


def _line(view: FarmView, name: str) -> str:
    return next(line for line in view.text.splitlines() if line.startswith(f"{name} "))


async def _type(pilot: Pilot[None], text: str) -> None:
    await pilot.press(*("space" if c == " " else c for c in text))


async def test_each_place_tells_what_it_holds_now_and_what_comes_next() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert "A1 now" in _line(view, "H2")
        assert "to 16 h 00" in _line(view, "H2")
        assert "A3 now" in _line(view, "F1")
        assert "empty now" in _line(view, "N1")
        assert "cohorts A1, A3" in _line(view, "amber")
        assert "not set; Enter sets it" in _line(view, "capacities")


async def test_before_the_transplant_a_cohort_is_in_its_nursery_and_to_come_in_its_house() -> None:
    view = FarmView()
    app = SmallApp(view, date(2026, 10, 20))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert "A1, A3 now" in _line(view, "N1")
        assert "empty now; A1 30 Oct" in _line(view, "H2")


async def test_a_programme_stands_below_its_place_and_is_taken_out() -> None:
    app, view = _app(SEASON.replace("[[cohort]]", f"{PROGRAMME}[[cohort]]", 1), "programme H2 2026-12-01")
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        lines = view.text.splitlines()
        at = next(n for n, line in enumerate(lines) if line.startswith("H2"))
        assert "1 Dec 2026 to 20 Dec 2026: lit to 18 h 00" in lines[at + 1]
        await pilot.press("x")
        assert isinstance(await settled(app, pilot), MovesView)
        assert app.data["programme"]
        await pilot.press("enter")
        await settled(app, pilot)
        assert "programme" not in app.data


@pytest.mark.slow
async def test_a_programme_like_another_begins_and_ends_on_days_that_are_typed() -> None:
    app, _ = _app(SEASON.replace("[[cohort]]", f"{PROGRAMME}[[cohort]]", 1), "programme H2 2026-12-01")
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("c")
        form = await settled(app, pilot)
        assert isinstance(form, FormView)
        assert form.value("lit day") == "18"
        while form.field != "from":
            await pilot.press("down")
        await _type(pilot, "5 jan 2027")
        while form.field != "to":
            await pilot.press("down")
        await _type(pilot, "9 jan 2027")
        await pilot.press("ctrl+s")
        assert isinstance(await settled(app, pilot), MovesView)
        await pilot.press("enter")
        await settled(app, pilot)
        assert app.data["programme"][1] == {
            "place": "H2",
            "from": date(2027, 1, 5),
            "to": date(2027, 1, 9),
            "target_h": 18.0,
        }


async def test_what_stands_in_a_place_keeps_it_and_is_named() -> None:
    app, view = _app(key="place H2")
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("x")
        assert await settled(app, pilot) is view
        assert "A1" in app.messages[-1]
        assert "give it another place" in app.messages[-1]


async def test_the_area_of_a_house_is_changed_in_eight_keys() -> None:
    app, _ = _app(key="place H2")
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("enter")
        view = await settled(app, pilot)
        assert isinstance(view, FormView)
        await pilot.press("down", "down", "down", "9", "0", "ctrl+s")
        await settled(app, pilot)
        await pilot.press("enter")
        await settled(app, pilot)
        assert next(p for p in app.data["place"] if p["id"] == "H2")["area_m2"] == 90


async def test_a_place_is_added_from_the_place_under_the_cursor() -> None:
    app, view = _app(key="place N1")
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("a")
        await settled(app, pilot)
        await _type(pilot, "F2")
        await pilot.press("enter")
        await _type(pilot, "fi")
        await pilot.press("ctrl+s")
        await settled(app, pilot)
        await pilot.press("tab", "ctrl+s")
        await settled(app, pilot)
        await pilot.press("enter")
        assert await settled(app, pilot) is view
        assert app.data["place"][-1] == {"id": "F2", "kind": "field"}
        assert "empty now" in _line(view, "F2")


async def test_what_a_role_has_in_a_week_is_set_where_nothing_is_set_yet() -> None:
    app, _ = _app(key="crew")
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("e")
        view = await settled(app, pilot)
        assert isinstance(view, FormView)
        while view.field != "hours of Ana":
            await pilot.press("down")
        await _type(pilot, "30")
        await pilot.press("ctrl+s")
        await settled(app, pilot)
        await pilot.press("enter")
        await settled(app, pilot)
        assert app.data["crew"]["hours_per_week"] == {"Ana": 30}


async def test_no_season_is_without_its_site() -> None:
    app, view = _app(key="site")
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("x")
        assert await settled(app, pilot) is view
        assert "No season is without its site" in app.messages[-1]


@pytest.mark.slow
async def test_a_laboratory_and_a_sampling_plan_are_added_and_changed_on_the_farm() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 40)) as pilot:
        await settled(app, pilot)
        assert "none yet; a adds one" in _line(view, "sampling")
        for kind, fields in (
            ("laboratory", {"id": "lab", "takes": "mon, tue", "price": "55"}),
            ("sampling", {"id": "weekly", "positions": "top, skirt", "weekday": "tue", "laboratory": "lab"}),
        ):
            view.select_record(kind, ())
            await pilot.press("enter")
            form = await settled(app, pilot)
            assert isinstance(form, FormView)
            for field, text in fields.items():
                while form.field != field:
                    await pilot.press("down")
                await _type(pilot, text)
            await pilot.press("ctrl+s")
            assert isinstance(await settled(app, pilot), MovesView), app.messages
            await pilot.press("enter")
            await settled(app, pilot)
        assert app.data["laboratory"] == [{"id": "lab", "takes": ["mon", "tue"], "price": 55}]
        assert app.data["sampling"][0]["positions"] == ["top", "skirt"]
        assert "sampling plan: positions top, skirt, weekday tue, laboratory lab" in _line(view, "weekly")
        assert view.chosen is not None
        assert view.chosen.ident == ("weekly",)


async def test_where_there_is_no_lot_yet_none_is_taken_out() -> None:
    app, view = _app(key="lot")
    async with app.run_test(size=(80, 40)) as pilot:
        await settled(app, pilot)
        await pilot.press("x")
        assert await settled(app, pilot) is view


async def test_rules_and_sprays_are_listed_where_they_can_be_changed() -> None:
    spray = 'spray = [{ id = "s1", date = 2026-11-02, place = "H2", product = "soap", end = "09:00" }]'
    rules = '[[profile]]\nid = "own"\nname = "County rules"\n\n'
    app, view = _app(f"{SEASON.replace('[[cohort]]', f'{rules}[[cohort]]', 1)}\n[records]\n{spray}\n")
    async with app.run_test(size=(80, 40)) as pilot:
        await settled(app, pilot)
        assert "spray: date 2 Nov 2026, place H2, product soap" in _line(view, "s1")
        assert "rules: name County rules" in _line(view, "own")
        view.select_record("spray", ("s1",))
        await pilot.press("enter")
        await settled(app, pilot)
        assert isinstance(app.screen, FormView)
