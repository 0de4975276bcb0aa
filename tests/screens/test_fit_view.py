"""The fit of a variety on the screen: what is learnt, what taking it over moves, and saved only then."""

from __future__ import annotations

from datetime import date

from settling import settled
from small_app import SEASON, SmallApp

from calendar_tui.screens.asking.moves_view import MovesView
from calendar_tui.screens.varieties.fit_view import FitView, first_fit
from calendar_tui.screens.varieties.view import VarietiesView

TODAY = date(2027, 4, 20)
A1 = next(line for line in SEASON.splitlines() if line.startswith("recorded = { seeding"))
SEEN = SEASON.replace(A1, A1.replace(" }", ", flowering = 2027-03-20 }"), 1)


def _app(text: str = SEEN) -> tuple[SmallApp, VarietiesView]:
    view = VarietiesView("amber")
    return SmallApp(view, TODAY, text), view


async def test_f_in_the_varieties_opens_the_fit_of_the_one_shown() -> None:
    app, _ = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("f")
        await settled(app, pilot)
        page = app.screen
        assert isinstance(page, FitView)
        assert page.text.startswith("amber: 1 record of induction, ")
        assert "A1 induced after" in page.text
        assert "(from its flowering)" in page.text
        assert "calendar-tui variety SEASON amber --fit SEASON ..." in " ".join(page.text.split())
        assert max(map(len, page.text.splitlines())) < 80


async def test_enter_shows_what_it_moves_and_enter_again_saves_it_as_one_change() -> None:
    app, _ = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("f")
        await settled(app, pilot)
        await pilot.press("enter")
        await settled(app, pilot)
        assert isinstance(app.screen, MovesView)
        assert app.saved == []
        await pilot.press("enter")
        await settled(app, pilot)
        (change,) = app.saved
        assert change.what.startswith("amber fitted to records of ")
        (variety,) = [v for v in app.data["variety"] if v["id"] == "amber"]
        assert len(variety["sets"]) == 50
        page = app.screen
        assert isinstance(page, FitView)


async def test_without_a_record_it_says_what_to_record_and_saves_nothing() -> None:
    app, _ = _app(SEASON.replace(A1, "", 1))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("f")
        await settled(app, pilot)
        page = app.screen
        assert isinstance(page, FitView)
        assert "amber has no record to fit" in " ".join(page.text.split())
        await pilot.press("enter")
        await settled(app, pilot)
        assert app.screen is page
        assert app.saved == []


async def test_a_variety_that_is_not_there_any_more_is_named() -> None:
    app, _ = _app()
    async with app.run_test(size=(80, 24)):
        assert app.plan is not None
        assert first_fit(app.plan, "gone") == "gone is not in this season any more."


async def test_on_a_narrow_screen_sentences_are_wrapped_once() -> None:
    app, _ = _app()
    async with app.run_test(size=(60, 16)) as pilot:
        await pilot.press("f")
        page = await settled(app, pilot)
        lines = page.text.splitlines()
        at = next(n for n, line in enumerate(lines) if line.startswith("  - A1 induced after"))
        assert lines[at + 1].startswith("    flowering); projected ")
        assert max(map(len, lines[: at + 2])) < 60
