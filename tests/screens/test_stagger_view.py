"""Staggering on the full screen: asked step by step, searched with a bar and a way to stop, kept, compared, accepted."""

from __future__ import annotations

import asyncio
import sys
from datetime import date

import pytest
from settling import settled
from small_app import SEASON, SmallApp
from textual.pilot import Pilot

from calendar_tui.planning.staggering import proposing
from calendar_tui.planning.staggering.asking import STEPS, WishSetting, wish_of
from calendar_tui.screens.kit.keys import Keys
from calendar_tui.screens.staggering import form as stagger_form
from calendar_tui.screens.staggering.added_view import AddedView
from calendar_tui.screens.staggering.blocked_view import BlockedView
from calendar_tui.screens.staggering.form import StaggerForm, bar_text
from calendar_tui.screens.staggering.scheme_view import MessageView, SchemeView
from calendar_tui.screens.staggering.view import DraftsView
from tests.planning.farm import farm

needs_solver = pytest.mark.needs("ortools")

TODAY = date(2026, 11, 5)
ANSWERS = ("amber", "F1, H2", "seed", "N1", "40", "2", "2027-04-20", "5d")
DRAFT = """
[[draft]]
id = "even"
wish = "1 cohort of amber in F1"
variety = "amber"
start = "seed"
nursery = "N1"
cohorts = [{ place = "F1", plants = 40, seeding = 2026-12-07, transplant = 2027-01-02 }]
"""


async def _answered(app: SmallApp, pilot: Pilot[None], *answers: str) -> None:
    for answer in answers:
        form = app.screen
        assert isinstance(form, StaggerForm)
        form._input.value = answer
        await pilot.press("enter")
    await settled(app, pilot)


@needs_solver
async def test_asked_step_by_step_a_proposal_is_kept_as_a_draft_and_then_accepted_as_one_change() -> None:
    app = SmallApp(DraftsView(), TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert "No draft is kept yet" in app.screen.text
        await pilot.press("enter")
        await _answered(app, pilot, *ANSWERS)
        assert isinstance(app.screen, SchemeView)
        assert "2 cohorts of amber in F1 H2, 40 plants each, harvest from 20 Apr" in app.screen.text.replace(
            "\n", " "
        )
        assert max(map(len, app.screen.text.splitlines())) < 80
        before = dict(app.data)
        await pilot.press("k")
        keys = app.screen.query_one(Keys)
        assert keys.text.rstrip() == "Enter save  Esc back, nothing saved", "while the name is typed"
        await pilot.press("escape")
        assert "k keep as a draft" in keys.text
        await pilot.press("k", *"even", "enter")
        await settled(app, pilot)
        assert isinstance(app.screen, DraftsView)
        assert [d["id"] for d in app.data["draft"]] == ["even"]
        assert {k: v for k, v in app.data.items() if k != "draft"} == before
        assert "harvest spread" in app.screen.text
        await pilot.press("down", "enter")
        await settled(app, pilot)
        await pilot.press("enter")
        await settled(app, pilot)
        assert len(app.saved) == 1, "the first Enter lists what is added and saves nothing"
        assert isinstance(app.screen, AddedView)
        listed = " ".join(app.screen.text.split())
        assert "A4: amber in " in listed
        assert ", 40 plants; seeding " in listed
        assert "2 cohorts and " in listed
        await pilot.press("enter")
        await settled(app, pilot)
        assert len(app.saved) == 2
        assert "draft" not in app.data
        assert {"A4", "A5"} <= {c["id"] for c in app.data["cohort"]}
        assert any(t.get("cohort") == "A4" for t in app.data["task"])


async def test_an_answer_that_is_none_is_told_at_its_step_and_esc_goes_one_step_back() -> None:
    app = SmallApp(StaggerForm(), TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await _answered(app, pilot, "amber", "H9")
        assert '"H9" is not a place of this season' in app.screen.text
        assert "Step 2 of 8" in app.screen.text
        await pilot.press("escape")
        assert "Which variety?" in app.screen.text
        await pilot.press("escape")
        await pilot.pause()
        assert not isinstance(app.screen, StaggerForm)
    assert app.saved == []


@needs_solver
async def test_what_cannot_be_is_told_in_full_and_nothing_is_saved() -> None:
    app = SmallApp(StaggerForm(), TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await _answered(app, pilot, "amber", "F1", "seed", "N1", "40", "1", "2027-01-20", "")
        assert isinstance(app.screen, MessageView)
        assert "no harvest about 20 Jan, 3 days either way, can be had in F1" in app.screen.text.replace(
            "\n", " "
        )
        await pilot.press("escape")
        assert isinstance(app.screen, StaggerForm)
    assert app.saved == []


async def test_a_search_shows_how_far_it_is_and_esc_stops_it(monkeypatch: pytest.MonkeyPatch) -> None:
    reported, loop = asyncio.Event(), asyncio.get_running_loop()

    def slow(plan, wish, watch):
        watch.report("search", 0.5)  # comes back once it is drawn
        loop.call_soon_threadsafe(reported.set)
        while not watch.stopped():
            pass
        raise proposing.Stopped

    monkeypatch.setattr(stagger_form, "stagger", slow)
    app = SmallApp(StaggerForm(), TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        for answer in ANSWERS:
            app.screen._input.value = answer
            await pilot.press("enter")
        await reported.wait()
        assert "[############------------]  50%  search" in app.screen.text
        await pilot.press("escape")
        await settled(app, pilot)
        assert "Stopped before there was anything to show." in app.screen.text
        assert isinstance(app.screen, StaggerForm)


async def test_a_draft_is_taken_out_and_one_that_no_longer_fits_says_so() -> None:
    app = SmallApp(
        DraftsView(), TODAY, SEASON + DRAFT + DRAFT.replace("even", "gone").replace('"F1"', '"F7"')
    )
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert "! it no longer fits" in app.screen.text
        await pilot.press("down", "x")
        await settled(app, pilot)
        assert [d["id"] for d in app.data["draft"]] == ["gone"]
        await pilot.press("enter")
        await pilot.pause()
        assert '"F7" is not a place' in app.screen.text


@needs_solver
async def test_a_draft_that_cannot_be_planted_is_marked_and_not_taken_and_what_can_be_is_offered() -> None:
    full = DRAFT.replace("plants = 40", "plants = 4000").replace(
        'nursery = "N1"', 'nursery = "N1"\nspacing_m = [1.5, 0.6]'
    )
    field = SEASON.replace('id = "F1"', 'id = "F1"\narea_m2 = 130')
    assert field != SEASON
    app = SmallApp(DraftsView(), TODAY, field + full)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert "! over a hard limit" in app.screen.text
        await pilot.press("down", "enter")
        await settled(app, pilot)
        await pilot.press("enter", "y")
        await settled(app, pilot)
        assert isinstance(app.screen, BlockedView)
        shown = " ".join(app.screen.text.split())
        assert "! room in F1" in shown
        assert "144 plants in place of 4000" in shown
        assert app.saved == []
        await pilot.press("enter")
        await settled(app, pilot)
        assert isinstance(app.screen, AddedView)
        assert "A4: amber in F1, 144 plants;" in app.screen.text
        await pilot.press("enter")
        await settled(app, pilot)
        assert len(app.saved) == 1
        assert any(c["id"] == "A4" and c["plants"] == 144 for c in app.data["cohort"])


async def test_a_missing_solver_is_told_before_the_first_question(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "ortools.sat.python", None)
    app = SmallApp(DraftsView(), TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("enter")
        await settled(app, pilot)
        assert isinstance(app.screen, MessageView)
        assert "pip install -e '.[solve]'" in " ".join(app.screen.text.split())


def test_the_bar_is_as_full_as_the_search_is_far() -> None:
    assert bar_text("", 0, 4).startswith("[----]   0%")
    assert bar_text("", 1, 4).startswith("[####] 100%")


def test_every_step_reads_what_stands_there_at_first_and_makes_a_wish() -> None:
    season = farm()
    asked = WishSetting(season, TODAY)
    first = {s.key: (s.choices(season) or (s.first(season),))[0] for s in STEPS}
    found = wish_of(asked, first)
    assert (found.variety, found.lights, found.nursery) == ("amber", ("H1", "F1"), "N1")
    assert found.as_many_as_fit
    assert wish_of(asked, first | {"count": "3", "until": "2w"}).every_d == 14
    assert wish_of(asked, first | {"count": "3", "until": "2027-05-01"}).last == date(2027, 5, 1)
