"""The lamps on the screen: the sheet of each place as the command prints it, this week marked, the cautions standing."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from settling import settled
from small_app import SEASON, SmallApp

from calendar_tui.handing_on.words.lamps_text import CAUTIONS, ELECTRICAL, sheet_text
from calendar_tui.planning.lamps.runs import lamp_sheet
from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.lamps.view import LampsView, lights_in_order
from calendar_tui.screens.season.view import SeasonView
from calendar_tui.storage.opening import open_season

TODAY = date(2026, 11, 25)
LAMPS = 'id = "H2"\nkind = "hoop house"\nlamps = { target_h = 16.0'
PRICED = SEASON.replace(LAMPS, f"{LAMPS}, kw = 0.9, cost_per_kwh = 0.5")
SCREENED = SEASON.replace(LAMPS, f'screened = ["east", "west"]\n{LAMPS}').replace(
    'place = "H2"\nplanned', 'place = "H2"\npart = "west"\nplanned'
)


def _app(cohort: str = "A1", text: str = PRICED, today: date = TODAY) -> tuple[SmallApp, LampsView]:
    view = LampsView(cohort)
    return SmallApp(view, today, text), view


def _words(text: str) -> str:
    return " ".join(text.replace("* ", " ").split())


async def test_the_sheet_says_what_the_command_prints() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert app.plan is not None
        for name in ("H2", "N1"):
            assert f"[{name}]" in view.text
            sheet = lamp_sheet(app.plan.season, name, app.plan.light, app.plan.timelines)
            assert _words("\n".join(sheet_text(sheet))) in _words(view.text)
            await pilot.press("right")
            await settled(app, pilot)
        for caution in CAUTIONS:
            assert _words(caution) in _words(view.text)


async def test_sums_with_their_cost_stand_at_the_end() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        total = next(line.split() for line in view.text.splitlines() if "in all" in line)
        hours, kwh, cost = float(total[2]), float(total[4]), float(total[7])
        assert kwh == pytest.approx(0.9 * hours, abs=0.1)
        assert cost == pytest.approx(0.5 * kwh, abs=0.1)


async def test_it_opens_on_this_week_which_is_marked() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert "Lamps  * this week, today Wed 25 Nov; A1 grows here" in view.text
        marked = [line for line in view.text.splitlines() if line.startswith("* ") and "on " in line]
        assert [line[2:12] for line in marked] == ["Mon 23 Nov"]
        assert view._list.key == "2026-11-23"
        await pilot.press("home")
        assert view._list.key == "2026-10-26"
        await pilot.press("t")
        assert view._list.key == "2026-11-23"


@pytest.mark.parametrize(
    ("today", "key"), [(date(2026, 9, 20), "2026-10-26"), (date(2027, 4, 1), "2026-12-14")]
)
async def test_where_nothing_burns_this_week_it_opens_on_the_next_or_the_last(today: date, key: str) -> None:
    app, view = _app(today=today)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        while "[H2]" not in view.text:
            await pilot.press("right")
            await settled(app, pilot)
        assert "nothing to set this week" in view.text
        assert view._list.key == key


def test_the_places_of_the_cohort_come_first_and_the_one_where_it_stands_today_before_all() -> None:
    def order(cohort: str, text: str = SEASON, today: date = TODAY) -> Sequence[str]:
        plan = SmallApp(LampsView(), today, text).plan
        assert plan is not None
        return lights_in_order(plan, cohort)

    assert order("A1") == ("H2", "N1")
    assert order("A1", today=date(2026, 10, 10)) == ("N1", "H2")
    assert order("A3") == ("N1", "H2")  # it grows in the field, where no lamps are
    assert order("") == ("N1", "H2")
    assert order("A1", SCREENED) == ("H2 west", "N1", "H2 east")


async def test_warnings_of_dark_spans_can_be_stood_on() -> None:
    """amber's critical day is 14 h."""
    app, view = _app(text=PRICED.replace(LAMPS, LAMPS.replace("16.0", "13.9")))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert "! A1 asks for the lamps of H2" in view.text
        assert view.text.startswith("Lamps  ! see below  nothing to set this week")
        assert "a day of 13 h 54" in _words(view.text)
        await pilot.press("home")
        assert view._list.key == "! 0"


@pytest.mark.parametrize("size", [(60, 16), (80, 24), (160, 45)])
async def test_the_electrical_cautions_stand_below_and_everything_can_be_reached(
    size: tuple[int, int],
) -> None:
    app, view = _app()
    async with app.run_test(size=size) as pilot:
        await settled(app, pilot)
        shown = view._cautions.size.height
        assert shown == len(view._cautions.text.splitlines()) <= size[1] * 2 // 5
        if size[0] > 60:
            assert _words(ELECTRICAL[1]) in _words(view._cautions.text)
        assert max(map(len, view.text.splitlines())) < size[0]
        await pilot.press("end")
        assert view._list.scroll_offset.y + view._list.size.height >= len(view._list.rows)
        await pilot.press("home")
        assert view._list.scroll_offset.y == 0


async def test_a_change_of_the_season_is_shown_and_the_cursor_stays() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("down")
        app.data["place"][1]["lamps"]["target_h"] = 17.0
        app.reload()
        await settled(app, pilot)
        assert "day extension to 17 h 00" in view.text
        assert view._list.key == "2026-11-30"
        app.data["place"][1]["lamps"] = {"target_h": 16.0}
        app.data["place"][0].pop("lamps")
        app.reload()
        await settled(app, pilot)
        await pilot.press("left")
        await settled(app, pilot)
        assert "[H2]" in view.text
        assert "N1" not in view.text


async def test_a_season_without_lamps_says_how_to_have_some() -> None:
    dark = SEASON.replace("lamps = { target_h = 18.0 }", "").replace("lamps = { target_h = 16.0 }", "")
    app, view = _app(text=dark.replace(", lights_off = 2026-12-20", ""))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert "No place has lamps yet: press Esc, then f for the farm" in _words(view.text)
        await pilot.press("left", "right", "t", "down", "escape")
        assert app.screen is not view


async def test_the_key_in_the_season_view_opens_it_once_on_the_places_of_the_selected_cohort(
    tmp_path: Path,
) -> None:
    file = tmp_path / "two-rivers.toml"
    file.write_text(PRICED.lstrip(), encoding="utf-8")
    app = CalendarApp(open_season(file), TODAY, "ana", lambda: datetime(2026, 11, 25, tzinfo=UTC))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("l", "l")
        await app.workers.wait_for_complete()
        await pilot.pause()
        view = app.screen
        assert isinstance(view, LampsView)
        assert "A1 grows here" in view.text
        assert view._list.key == "2026-11-23"
        await pilot.press("escape")
        assert isinstance(app.screen, SeasonView)


@pytest.mark.slow
@pytest.mark.parametrize("height", range(18, 25))
async def test_what_follows_the_last_week_comes_into_view_with_it(height: int) -> None:
    app, view = _app()
    async with app.run_test(size=(80, height)) as pilot:
        await settled(app, pilot)
        await pilot.press("end")
        assert view._list.scroll_offset.y + view._list.size.height >= len(view._list.rows)
