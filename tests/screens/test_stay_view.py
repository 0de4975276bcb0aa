"""Pots carried into another place, from the season view: what moves is shown first, and saved only then."""

from __future__ import annotations

from datetime import date

import pytest
from small_app import SmallApp
from textual.pilot import Pilot
from textual.screen import Screen

from calendar_tui.screens.asking.moves_view import MovesView
from calendar_tui.screens.asking.stay_view import StayView

TODAY = date(2026, 12, 8)


def _app(*cohorts: str) -> tuple[SmallApp, StayView]:
    view = StayView(cohorts[0], cohorts[1:])
    return SmallApp(view, TODAY), view


async def _typed(app: SmallApp, view: StayView, pilot: Pilot[None], place: str, day: str) -> Screen[object]:
    await pilot.pause()
    while view._list.key != place:
        await pilot.press("down")
    view._day.value = day
    await pilot.press("enter")
    await app.workers.wait_for_complete()
    await pilot.pause()
    return app.screen


async def test_it_lists_every_place_first_those_where_the_cohort_does_not_stand() -> None:
    app, view = _app("A1")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert view._day.value == "8 Dec 2026"
        assert view._list.key == "N1"
        shown = view.text
        assert "Carry pots into another place  A1" in shown
        assert shown.index("N1  nursery, lamps") < shown.index("F1  field, no lamps")
        assert shown.index("F1  field") < shown.index("H2  hoop house, lamps; they stand here")


@pytest.mark.parametrize(
    ("day", "words", "begins"),
    [
        ("2026-12-05", "A1 carried into F1 Sat 5 Dec 2026", date(2026, 12, 5)),
        ("26 dec", "A1 stay in F1 planned from Sat 26 Dec 2026", date(2026, 12, 26)),
        ("+18", "A1 stay in F1 planned from Sat 26 Dec 2026", date(2026, 12, 26)),
    ],
)
async def test_up_to_today_it_happened_and_later_it_is_planned(day: str, words: str, begins: date) -> None:
    app, view = _app("A1")
    async with app.run_test(size=(80, 24)) as pilot:
        moves = await _typed(app, view, pilot, "F1", day)
        assert isinstance(moves, MovesView)
        assert words in moves.text
        assert "Nothing is saved yet." in moves.text
        assert "grows in the ground of H2 (hoop house)" in " ".join(moves.text.split())
        await pilot.press("enter")
        await pilot.pause()
        (cohort,) = [c for c in app.data["cohort"] if c["id"] == "A1"]
        assert cohort["stays"] == [
            {"place": "N1"},
            {"place": "H2", "from": "transplant"},
            {"place": "F1", "from": begins},
        ]


async def test_several_cohorts_are_carried_as_one_change() -> None:
    app, view = _app("A1", "A3")
    async with app.run_test(size=(80, 24)) as pilot:
        moves = await _typed(app, view, pilot, "N1", "2027-01-10")
        assert "A1 A3 stay in N1 planned from Sun 10 Jan 2027" in moves.text
        await pilot.press("enter")
        await pilot.pause()
        ends = [c["stays"][-1] for c in app.data["cohort"] if c["id"] in ("A1", "A3")]
        assert ends == [{"place": "N1", "from": date(2027, 1, 10)}] * 2


async def test_the_lines_of_a_refusal_of_several_stand_below_each_other() -> None:
    app, view = _app("A1", "A3")
    async with app.run_test(size=(80, 24)) as pilot:
        assert await _typed(app, view, pilot, "F1", "2027-01-10") is view
        assert view.text.endswith(
            "A3 stands in F1 from its transplant on; record or plan that stage\nnothing saved."
        )


@pytest.mark.parametrize(
    ("place", "day", "why"),
    [
        ("F1", "tomorow", "+9 (days from today)"),
        ("F1", "2026-10-01", "a further stay comes after that"),
        ("H2", "2026-12-20", "A1 stands in H2 from its transplant on"),
    ],
)
async def test_what_cannot_be_is_told_below_and_nothing_is_saved(place: str, day: str, why: str) -> None:
    app, view = _app("A1")
    async with app.run_test(size=(80, 24)) as pilot:
        assert await _typed(app, view, pilot, place, day) is view
        assert why in view.text
        assert all("stays" not in cohort for cohort in app.data["cohort"])
