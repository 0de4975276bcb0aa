"""Staggering on the full screen: asked in one form, searched with a bar and a way to stop, kept, compared, accepted."""

from __future__ import annotations

import asyncio
import sys
from datetime import date

import pytest
from settling import settled
from small_app import SEASON, SmallApp
from textual.pilot import Pilot

from calendar_tui.planning.staggering import proposing
from calendar_tui.screens.kit.keys import Keys
from calendar_tui.screens.staggering import form as stagger_form
from calendar_tui.screens.staggering.added_view import AddedView
from calendar_tui.screens.staggering.blocked_view import BlockedView
from calendar_tui.screens.staggering.form import StaggerForm, bar_text
from calendar_tui.screens.staggering.scheme_view import SchemeView
from calendar_tui.screens.staggering.view import DraftsView

needs_solver = pytest.mark.needs("ortools")

TODAY = date(2026, 11, 5)
ANSWERS = {
    "harvest_on": "2027-04-20",
    "cohorts": "2",
    "harvests_apart": "5d",
    "variety": "amber",
    "nursery": "N1",
    "plants_a_cohort": "40",
    "days_of_growth": "42",
}
DRAFT = """
[[draft]]
id = "even"
wish = "1 cohort of amber in F1"
variety = "amber"
start = "seed"
nursery = "N1"
cohorts = [{ place = "F1", plants = 40, seeding = 2026-12-07, transplant = 2027-01-02 }]
"""


async def _filled(app: SmallApp, pilot: Pilot[None], **answers: str) -> None:
    """Type into fields of the form by their names, with blanks for underscores, and search."""
    form = app.screen
    assert isinstance(form, StaggerForm)
    for words, text in answers.items():
        form._list.stand_on(words.replace("_", " "))
        await pilot.press("ctrl+u", *text)
    await pilot.press("enter")
    await settled(app, pilot)


@pytest.mark.slow
@needs_solver
async def test_a_proposal_asked_for_in_one_form_is_kept_as_a_draft_and_then_accepted_as_one_change() -> None:
    app = SmallApp(DraftsView(), TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert "No draft is kept yet" in app.screen.text
        await pilot.press("enter")
        await _filled(app, pilot, **ANSWERS)
        assert isinstance(app.screen, SchemeView)
        assert (
            "2 cohorts of amber in H2, F1, 40 plants each, harvests from 20 Apr 2027"
            in app.screen.text.replace("\n", " ")
        )
        assert max(map(len, app.screen.text.splitlines())) < 80
        before = dict(app.data)
        await pilot.press("k")
        keys = app.screen.query_one(Keys)
        assert keys.text.rstrip() == "Enter save  Esc back", "while the name is typed"
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


async def test_an_answer_that_is_none_is_told_beside_its_field_as_it_is_typed_and_not_searched_for() -> None:
    app = SmallApp(StaggerForm(), TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await _filled(app, pilot, variety="onyx")
        assert '"onyx" is not a variety of this season' in app.screen.text
        assert isinstance(app.screen, StaggerForm)
        await pilot.press("escape")
        await pilot.pause()
        assert not isinstance(app.screen, StaggerForm)
    assert app.saved == []


async def test_the_form_opens_with_one_more_like_the_selected_cohort_and_arrows_choose() -> None:
    app = SmallApp(StaggerForm("A3"), TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        form = app.screen
        assert isinstance(form, StaggerForm)
        assert "one more like A3" in form.text
        assert "harvest on       5 May 2027" in form.text
        assert [
            line.split()[:2] for line in form.text.splitlines() if line.split()[:1] in (["H2"], ["F1"])
        ] == [
            ["H2", "no"],
            ["F1", "yes"],
        ]
        form._list.stand_on("H2")
        await pilot.press("right")
        form._list.stand_on("from")
        await pilot.press("left")
        typed = {line.split()[0]: line.split()[1] for line in form.text.splitlines() if len(line.split()) > 1}
        assert typed["H2"] == "yes"
        form._list.stand_on("harvest on")
        await pilot.press(*"29 apr")
        assert "Thu 29 Apr 2027" in form.text, "as it is understood"
        assert typed["from"] == "cutting"


@pytest.mark.slow
async def test_what_cannot_be_is_told_in_full_with_what_can_be_planted_instead() -> None:
    app = SmallApp(StaggerForm("A3"), TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await _filled(app, pilot, harvest_on="2027-03-20", plants_a_cohort="40")
        assert isinstance(app.screen, BlockedView)
        shown = " ".join(app.screen.text.split())
        assert "no planting in F1 is harvested within 3 days of 20 Mar 2027" in shown
        assert "What can be planted" in shown
        assert "days later)" in shown
        assert app.saved == []
        await pilot.press("enter")
        await settled(app, pilot)
        assert isinstance(app.screen, AddedView)
        await pilot.press("enter")
        await settled(app, pilot)
    assert len(app.saved) == 1


async def test_one_cohort_for_a_harvest_takes_nine_keys_and_no_solver(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setitem(sys.modules, "ortools.sat.python", None)
    app = SmallApp(StaggerForm("A3"), TODAY)
    keys = [*"22 apr", "enter", "enter", "enter"]
    assert len(keys) == 9
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        for key in keys:
            await pilot.press(key)
            await settled(app, pilot)
    assert [change.what for change in app.saved] == ["A4 added: amber in F1"]
    assert app.plan is not None
    harvest = app.plan.timelines["A4"].likely("harvest")
    assert harvest is not None
    assert abs((harvest - date(2027, 4, 22)).days) <= 3


@pytest.mark.slow
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
        await settled(app, pilot)
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


@pytest.mark.slow
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


async def test_a_missing_solver_is_told_as_soon_as_several_cohorts_are_typed(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setitem(sys.modules, "ortools.sat.python", None)
    app = SmallApp(StaggerForm("A3"), TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("down", "3")
        shown = " ".join(app.screen.text.split())
        assert "staggering several cohorts needs a solver that is not installed, 84 MB" in shown
        assert "pip install -e '.[solve]'" in shown
        await pilot.press("enter")
        await settled(app, pilot)
        assert isinstance(app.screen, StaggerForm)


def test_the_bar_is_as_full_as_the_search_is_far() -> None:
    assert bar_text("", 0, 4).startswith("[----]   0%")
    assert bar_text("", 1, 4).startswith("[####] 100%")


async def test_what_is_typed_after_a_search_takes_the_place_of_the_answer_as_it_did_before() -> None:
    app = SmallApp(StaggerForm(), TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        form = app.screen
        assert isinstance(form, StaggerForm)
        form._list.stand_on("variety")
        await pilot.press(*"amb", "enter")
        await settled(app, pilot)
        await pilot.press(*"brook")
        assert form._list.typed["variety"] == "brook"


async def test_a_time_between_harvests_may_have_a_blank_and_a_date_of_numbers_is_written_out() -> None:
    app = SmallApp(StaggerForm(), TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        form = app.screen
        assert isinstance(form, StaggerForm)
        form._list.stand_on("harvests apart")
        await pilot.press("2", "space", *"weeks")
        assert form._list.error_of("harvests apart") == ""
        form._list.stand_on("harvest on")
        await pilot.press(*"1.2")
        assert "Mon 1 Feb 2027, the day first" in form.text


async def test_enter_with_a_wrong_field_above_goes_to_that_field_and_searches_nothing() -> None:
    app = SmallApp(StaggerForm("A1"), TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        form = app.screen
        assert isinstance(form, StaggerForm)
        await pilot.press(*"31 apr", "down", "down", "down", "enter")
        await settled(app, pilot)
        assert app.screen is form
        assert form._list.field.words == "harvest on"
        assert '"31 apr" is not a date' in form._hint.text


@pytest.mark.parametrize(
    ("answers", "says"),
    [
        ({"cohorts": "5", "harvests_apart": ""}, "5 cohorts need a last harvest too"),
        ({"cohorts": "99", "harvests_apart": "14d"}, "99 cohorts cannot be; give 1 to 60"),
        ({"cohorts": "2", "harvests_apart": "1 jan"}, "the last harvest Fri 1 Jan 2027 is before the first"),
        ({"plants_a_cohort": "0"}, "0 plants cannot be"),
        ({"nursery": "none", "H2": "no"}, "no place may be used; set one of them to yes"),
    ],
)
@needs_solver
async def test_a_wish_whose_fields_do_not_fit_together_is_refused_in_the_form(
    answers: dict[str, str], says: str
) -> None:
    app = SmallApp(StaggerForm("A1"), TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await _filled(app, pilot, **answers)
        assert isinstance(app.screen, StaggerForm)
        assert says in " ".join(app.screen.text.split())
