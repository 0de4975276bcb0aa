"""The fit of a variety on the screen: what is learnt, what taking it over moves, and saved only then."""

from __future__ import annotations

from datetime import date, timedelta

import tomli_w
from settling import settled
from small_app import SEASON, SmallApp

from calendar_tui.handing_on.words.fit_text import fit_text
from calendar_tui.planning.refit.choice import AS_IT_COMES, Choice
from calendar_tui.planning.refit.fit import fit
from calendar_tui.screens.asking.moves_view import MovesView
from calendar_tui.screens.kit.drawing import Picker
from calendar_tui.screens.varieties.fit_view import FitView, first_fit
from calendar_tui.screens.varieties.view import VarietiesView
from tests.planning.fields import field_data, true_days
from tests.planning.test_fit import FOUR, TRUE

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


def stand_on(page: FitView, cohort: str) -> None:
    page.query_one(Picker).stand_on(cohort)


def _contradicted() -> str:
    """Four cohorts of one variety, the last of which is seen a month after the others give it."""
    seen = true_days(FOUR, TRUE)
    return tomli_w.dumps(field_data(FOUR, [*seen[:3], seen[3] + timedelta(days=30)]))


async def test_space_lets_a_contradicted_record_count_then_leaves_it_out_then_takes_it_as_it_comes() -> None:
    app = SmallApp(VarietiesView("v"), date(2027, 12, 1), _contradicted())
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("f")
        page = await settled(app, pilot)
        assert isinstance(page, FitView)
        assert app.plan is not None
        a4 = frozenset({"A4"})
        for choice, flags in (
            (AS_IT_COMES, ""),
            (Choice(counted=a4), " --count A4"),
            (Choice(without=a4), " --without A4"),
            (AS_IT_COMES, ""),
        ):
            printed = " ".join(" ".join(fit_text(fit([app.plan], "v", choice))).split())
            said = " ".join(page.text.split())
            assert said.startswith(printed)
            assert said.endswith(f"--fit SEASON ...{flags}")
            stand_on(page, "A4")
            await pilot.press("space")
            await settled(app, pilot)


async def test_what_is_taken_over_is_the_fit_that_is_shown() -> None:
    app = SmallApp(VarietiesView("v"), date(2027, 12, 1), _contradicted())
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("f")
        page = await settled(app, pilot)
        assert isinstance(page, FitView)
        stand_on(page, "A4")
        await pilot.press("space")
        await settled(app, pilot)
        assert page.text.startswith("v: 4 records of induction")
        await pilot.press("enter")
        await settled(app, pilot)
        await pilot.press("enter")
        await settled(app, pilot)
        assert app.data["variety"][0]["marks"]["critical_day"] == "measured, 4 cohorts, 2027"


async def test_where_all_are_left_out_each_can_be_brought_back() -> None:
    app, _ = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("f")
        page = await settled(app, pilot)
        assert isinstance(page, FitView)
        stand_on(page, "A1")
        await pilot.press("space")
        await settled(app, pilot)
        assert "A1: as asked" in " ".join(page.text.split())
        assert "A1: left out, as asked" in page.text
        assert page.query_one(Picker).key == "A1"
        await pilot.press("space")
        await settled(app, pilot)
        assert page.text.startswith("amber: 1 record of induction, ")


async def test_on_a_line_that_is_of_no_record_space_says_where_to_put_the_cursor() -> None:
    app, _ = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("f")
        page = await settled(app, pilot)
        before = page.text
        await pilot.press("end", "space")
        await settled(app, pilot)
        assert page.text == before
        assert "Put the cursor on the record of a cohort." in app.messages
