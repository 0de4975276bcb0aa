"""The day to cut on the screen: each lot with what binds, its official sample, what another way would win, a step recorded."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from settling import settled
from small_app import SmallApp

from calendar_tui.planning.plan import make_plan
from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.cutting.view import LotView, first_lots
from calendar_tui.screens.drying.view import DryingView
from calendar_tui.screens.forms.form_view import FormView
from calendar_tui.screens.trend.view import TrendView
from calendar_tui.storage.opening import open_season
from tests.planning.cut_farm import TODAY, bags, cut_data, official
from tests.planning.farm import season_of

EXAMPLE = Path(__file__).parents[2] / "seasons" / "north-bench.toml"


def _app(name: str = "A1", **more: Any) -> tuple[SmallApp, LotView]:
    from tomli_w import dumps

    data = cut_data(**more)
    view = LotView(first_lots(make_plan(season_of(data), TODAY)), name)
    return SmallApp(view, TODAY, dumps(data)), view


async def pressed(app: Any, pilot: Any, *keys: str) -> None:
    for key in keys:
        await pilot.press(key)
        await settled(app, pilot)


def _words(view: Any) -> str:
    return " ".join(view.text.split())


async def test_it_shows_both_ends_ripeness_and_limit_the_sample_and_the_rules() -> None:
    passed = official(
        date(2027, 3, 20), who="agent North", total="0.19", uncertainty="0.03", outcome="passed"
    )
    app, view = _app(official=[passed], **bags())
    async with app.run_test(size=(80, 40)) as pilot:
        await settled(app, pilot)
        text = _words(view)
        assert "earliest: Sat 20 Mar 2027: official sample taken 20 Mar 2027" in text
        assert "a new result of the top may be over" in text
        assert "ripe 3 Apr to 19 Apr 2027, likely 10 Apr" in text
        assert "known today is the cut of 7 Apr 2027, 3 days ago; a bag cut today is known about" in text
        assert "taken Sat 20 Mar 2027 by agent North; result: passed, total 0.19 % +- 0.03 %" in text
        assert "valid until Mon 19 Apr 2027" in text
        assert "us: here, as of 28 Nov 2026: check with your authority; the newest that holds" in text
        assert "A planning aid, no legal" in text


async def test_a_conflict_and_a_failed_sample_are_told_plainly() -> None:
    failed = official(date(2027, 3, 20), outcome="failed")
    app, view = _app(official=[failed])
    async with app.run_test(size=(80, 40)) as pilot:
        await settled(app, pilot)
        assert "earliest: not known waits for what the authority allows" in _words(view)
        assert "the rules allow: another test; disposal" in _words(view)
    app, view = _app(official=[official(date(2027, 4, 9))], **bags())
    async with app.run_test(size=(80, 40)) as pilot:
        await settled(app, pilot)
        assert "CONFLICT: not before Fri 9 Apr 2027" in _words(view)


async def test_left_and_right_walk_the_lots_near_their_day_first() -> None:
    lots = [{"id": "A1-e", "cohort": "A1", "harvest_by": date(2027, 5, 2)}, {"id": "A1-w", "cohort": "A1"}]
    app, view = _app("", lot=lots, capacity={"harvest_to": date(2027, 6, 20)})
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        order = [cut.lot.id for cut in view._shown.lots.cuts]
        days = [min(cut.window.latest.day, cut.ripe.likely) for cut in view._shown.lots.cuts]
        assert days == sorted(days)
        assert view.text.startswith(f"Day to cut: {order[0]} ")
        await pressed(app, pilot, "right")
        assert view.text.startswith(f"Day to cut: {order[1]} ")
        await pressed(app, pilot, "left", "left")
        assert view.text.startswith(f"Day to cut: {order[-1]} ")


async def test_another_day_of_the_official_sample_is_tried_by_a_key_and_changes_nothing() -> None:
    app, view = _app(official=[official(date(2027, 3, 20))])
    before = dict(app.data)
    async with app.run_test(size=(80, 40)) as pilot:
        await settled(app, pilot)
        assert "nothing is tried" in _words(view)
        await pressed(app, pilot, *["greater_than_sign"] * 3)
        assert "the official sample on Tue 23 Mar 2027" in _words(view)
        assert "latest Thu 22 Apr 2027: official sample as tried 23 Mar 2027 + 30 d; +3 d" in _words(view)
        await pressed(app, pilot, "less_than_sign", "plus")
        assert "the official sample on Mon 22 Mar 2027; hands: 1, 8 h a day each" in _words(view)
        await pressed(app, pilot, "minus", "0")
        assert "nothing is tried" in _words(view)
        assert app.data == before


@pytest.mark.parametrize("before", [(), ("pagedown",)])
async def test_what_is_tried_stands_in_sight_on_a_small_screen_wherever_the_page_was(
    before: tuple[str, ...],
) -> None:
    app, view = _app(official=[official(date(2027, 4, 1))], **bags())
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert view._body.text.startswith("Days to cut")
        await pressed(app, pilot, *before, ">")
        assert view._body.text.startswith("What if")
        assert view._body.scroll_y == 0
        await pressed(app, pilot, "0")
        assert view._body.text.startswith("Days to cut")


async def test_from_the_season_a_lot_that_is_cut_gives_way_to_the_one_nearest_its_day() -> None:
    cut = [{"id": "p1", "date": date(2027, 4, 9), "lot": "A1", "last": True}]
    lots = first_lots(make_plan(season_of(cut_data(**bags(), **{"pass": cut})), TODAY))
    assert LotView(lots, "A1")._shown.lot == "B1"
    assert LotView(lots, "A1", itself=True)._shown.lot == "A1"
    assert LotView(lots, "B1")._shown.lot == "B1"


async def test_tops_that_are_cut_already_cannot_be_tried_first_and_it_says_so() -> None:
    tops = {"id": "p1", "date": TODAY - timedelta(days=2), "lot": "A1", "part": "top"}
    app, view = _app(official=[official(date(2027, 3, 20))], **{"pass": [tops]})
    async with app.run_test(size=(80, 40)) as pilot:
        await pressed(app, pilot, "f")
        assert "the tops of A1 are cut already" in _words(view)


@pytest.mark.slow
async def test_the_steps_of_an_official_sample_are_recorded_from_it() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 40)) as pilot:
        await pressed(app, pilot, "o")
        assert isinstance(app.screen, FormView)
        await pressed(app, pilot, "down", *"20", "space", *"apr", "enter", *"agent", "ctrl+s", "enter")
        (one,) = app.data["official"]
        assert (one["lot"], one["state"], one["date"], one["who"]) == (
            "A1",
            "asked",
            date(2027, 4, 20),
            "agent",
        )
        assert app.screen is view
        assert "asked for Tue 20 Apr 2027 by agent" in _words(view)
        await pressed(app, pilot, "o", *"taken", "ctrl+s", "enter")
        assert app.data["official"][0]["state"] == "taken"
        await pressed(
            app, pilot, "o", *"failed", "enter", "enter", *"0.41", "enter", *"0.03", "ctrl+s", "enter"
        )
        (one,) = app.data["official"]
        assert (one["outcome"], one["total"], one["uncertainty"]) == ("failed", "0.41", "0.03")
        assert len([task for task in app.data["task"] if "failed its official sample" in task["what"]]) == 1
        assert "earliest: not known" in _words(view)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("typed", "wrong"),
    [
        (("enter", *"31", "space", *"feb"), "31 feb"),
        ((*"taken", "enter"), "only an authorised agent takes it, never the producer"),
        ((*"mailed", "enter"), "write one of: asked, booked, taken, passed, failed"),
        ((*"passed", "enter"), "no official sample of A1 is recorded as taken"),
    ],
)
async def test_a_step_that_cannot_be_is_told_in_the_form_and_saves_nothing(
    typed: tuple[str, ...], wrong: str
) -> None:
    app, _view = _app()
    async with app.run_test(size=(80, 40)) as pilot:
        await pressed(app, pilot, "o", *typed, "ctrl+s")
        assert isinstance(app.screen, FormView)
        assert wrong in _words(app.screen)
        assert "official" not in app.data


@pytest.mark.slow
async def test_it_opens_from_the_season_the_cohort_and_a_decision_and_leads_on(tmp_path: Path) -> None:
    path = tmp_path / EXAMPLE.name
    path.write_bytes(EXAMPLE.read_bytes())
    day = date(2026, 6, 16)
    app = CalendarApp(open_season(path), day, "Cleo", lambda: datetime(2026, 6, 16, 9, tzinfo=UTC))
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(app, pilot, "C")
        assert isinstance(app.screen, LotView)
        await pressed(app, pilot, "R")
        assert isinstance(app.screen, TrendView)
        await pressed(app, pilot, "escape", "H")
        assert isinstance(app.screen, DryingView)
        await pressed(app, pilot, "escape", "escape", "enter", "C")
        assert isinstance(app.screen, LotView)
        await pressed(app, pilot, "escape", "escape", "t")
        cut = next(n for n, one in enumerate(app.screen._today.decisions) if one.kind == "cut")
        app.screen._list.stand_on(f"decide {cut}")
        about = app.screen._today.decisions[cut].about
        await pressed(app, pilot, "enter")
        assert isinstance(app.screen, LotView)
        assert app.screen.text.startswith(f"Day to cut: {about} ")


@pytest.mark.slow
async def test_a_step_is_recorded_of_all_lots_that_are_named_in_one_change() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 40)) as pilot:
        await pressed(app, pilot, "o", "down", *"20", "space", *"apr", "enter", *"agent", "enter", *"a1, b1")
        assert "official sample of A1 B1 asked for Tue 20 Apr 2027 by agent" in _words(app.screen)
        await pressed(app, pilot, "ctrl+s", "enter")
        assert [(one["lot"], one["state"]) for one in app.data["official"]] == [
            ("A1", "asked"),
            ("B1", "asked"),
        ]
        assert app.screen is view


@pytest.mark.slow
async def test_a_lot_that_is_not_there_is_told_beside_the_lots() -> None:
    app, _ = _app()
    async with app.run_test(size=(80, 40)) as pilot:
        await pressed(app, pilot, "o", "down", *"20", "space", *"apr", "enter", "enter", *"a1, b9", "ctrl+s")
        assert isinstance(app.screen, FormView)
        assert '"b9" is not a lot of this season' in _words(app.screen)
        assert "official" not in app.data


async def test_the_cohorts_that_are_marked_in_the_season_are_those_of_a_step(tmp_path: Path) -> None:
    path = tmp_path / EXAMPLE.name
    path.write_bytes(EXAMPLE.read_bytes())
    app = CalendarApp(
        open_season(path), date(2026, 6, 16), "Cleo", lambda: datetime(2026, 6, 16, 9, tzinfo=UTC)
    )
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(app, pilot, "space", "space")
        marked = sorted(app.screen._shown.marked)
        assert len(marked) == 2
        await pressed(app, pilot, "C")
        assert "2 marked" in app.screen.text.splitlines()[0]
        await pressed(app, pilot, "o")
        assert isinstance(app.screen, FormView)
        title = app.screen.text.splitlines()[0]
        assert all(name in title for name in marked)
