"""Nights without lamps, recorded from the season view: what moves is shown first, and saved only then."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from settling import settled
from small_app import SEASON, SmallApp
from textual.pilot import Pilot

from calendar_tui.planning.plan import make_plan
from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.asking.answers import Nights, answers
from calendar_tui.screens.asking.moves_view import MovesView
from calendar_tui.screens.asking.outage_view import OutageView
from calendar_tui.screens.asking.question_view import DoubtsView
from calendar_tui.screens.kit.canvas import Runs
from calendar_tui.screens.kit.glyphs import ASCII, UNICODE, Glyphs
from calendar_tui.screens.kit.window import Window
from calendar_tui.screens.season.bands import band_row
from calendar_tui.screens.season.legend import legend_rows
from calendar_tui.screens.season.view import SeasonView
from calendar_tui.season.records import Outage, Season
from calendar_tui.storage.opening import open_season

TODAY = date(2027, 2, 25)
# Lamps alone hold A1 from late January, when the natural day falls under 14 h, to lights off.
HELD = SEASON.replace("lights_off = 2026-12-20", "lights_off = 2027-03-01")


def _app(cohort: str = "A1", text: str = HELD) -> tuple[SmallApp, OutageView]:
    view = OutageView(cohort)
    return SmallApp(view, TODAY, text), view


async def _type(view: OutageView, pilot: Pilot[None], first: str, last: str = "") -> None:
    await pilot.pause()
    view._first.value, view._last.value = first, last
    await pilot.press("enter")


async def test_it_opens_on_the_place_where_the_cohort_stood_and_on_last_night() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert view._list.key == "H2"
        assert view._first.value == "24 Feb 2027", "tonight has not come"
        assert "H2  growing place, hoop house; A1 stands there" in view.text
        await pilot.press("down")
        assert view._list.key == "N1"


async def test_places_where_nothing_stands_on_the_night_come_last_and_are_told() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        # On 25 Feb the seedlings have long left the nursery.
        assert view._list.key == "H2"
        assert view.text.index("H2  growing place") < view.text.index(
            "N1  nursery; nothing stands there then"
        )
        view._first.value = "20 oct"
        await pilot.pause()
        assert view.text.index("N1  nursery") < view.text.index(
            "H2  growing place, hoop house; nothing stands there then; A1 comes on 30 Oct"
        )


async def test_what_moves_is_shown_and_then_saved() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await _type(view, pilot, "5 feb", "+19")
        moves = await settled(app, pilot)
        assert isinstance(moves, MovesView)
        assert app.saved == []
        assert (
            "H2 outage recorded Fri 5 Feb 2027 to Wed 24 Feb 2027 (20 nights)\nNothing is saved yet."
            in moves.text
        )
        trigger = next(line for line in moves.text.splitlines() if line.startswith("trigger"))
        assert "1 Mar -> 5 Feb  -24 d" in trigger
        rows = moves.text.splitlines()
        assert rows[2].startswith("A1: relight tonight: flowering has probably started (")
        assert "A1: 20 nights without the lamps of H2 from 5 Feb" in " ".join(moves.text.split())
        assert "likely trigger 5 Feb, harvest " in " ".join(moves.text.split())
        await pilot.press("h", "s", "d", "enter")
        await settled(app, pilot)
        assert app.data["outage"] == [{"place": "H2", "from": date(2027, 2, 5), "to": date(2027, 2, 24)}]
        assert view not in app.screen_stack
        assert moves not in app.screen_stack


async def test_one_part_of_a_screened_place_can_fail_or_all_of_them() -> None:
    text = HELD.replace('kind = "hoop house"\n', 'kind = "hoop house"\nscreened = ["east", "west"]\n', 1)
    text = text.replace('place = "H2"\n', 'place = "H2"\npart = "east"\n')
    app, view = _app(text=text)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "H2 east  growing place, hoop house" in view.text
        assert "H2  all its parts, hoop house" in view.text
        assert view._list.key == "H2 east"
        await _type(view, pilot, "5 feb")
        assert isinstance(await settled(app, pilot), MovesView)
        await pilot.press("enter")
        await settled(app, pilot)
        assert [outage["place"] for outage in app.data["outage"]] == ["H2 east"]


async def test_one_date_is_one_night_and_escape_saves_nothing() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await _type(view, pilot, "today")
        moves = await settled(app, pilot)
        assert isinstance(moves, MovesView)
        assert "H2 outage recorded Thu 25 Feb 2027\nNothing is saved yet." in moves.text
        assert "A1: relight tomorrow: no harm done; " in moves.text
        assert "No date of a cohort moves." in moves.text
        assert "25 Feb  stays" not in moves.text
        assert "A1: 1 night without the lamps of H2 from 25 Feb" in " ".join(moves.text.split())
        await pilot.press("escape")
        assert await settled(app, pilot) is view
        await pilot.press("escape")
        assert await settled(app, pilot) is not view
        assert app.saved == []


@pytest.mark.parametrize(
    ("first", "last", "said"),
    [
        (
            "soon",
            "",
            '"soon" is not a date; write 2027-02-25, 25 feb, -3 (nights ago), a weekday, in 2 weeks, 2027-W08 (its Monday), or today',
        ),
        ("today", "soon", "25 feb, +2 (nights on), a weekday, in 2 weeks, 2027-W08 (its Monday), or today"),
        ("today", "+1", "is after today"),
        ("20 feb", "19 feb", "is before the first"),
        ("2026-09-01", "", "outside the season"),
    ],
)
async def test_nights_that_cannot_be_are_told_under_the_dates(first: str, last: str, said: str) -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await _type(view, pilot, first, last)
        assert await settled(app, pilot) is view
        assert said in " ".join(view.text.split())
        assert app.saved == []


async def test_a_cohort_without_lamps_has_nothing_to_record() -> None:
    text = HELD.replace("lamps = { target_h = 18.0 }", "")
    app, view = _app("A3", text)
    async with app.run_test(size=(80, 24)) as pilot:
        await _type(view, pilot, "today")
        assert await settled(app, pilot) is view
        assert "A3 stands in no place with lamps" in view.text


async def test_the_moves_are_worked_out_again_when_the_season_changes() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await _type(view, pilot, "5 feb", "+2")
        moves = await settled(app, pilot)
        assert isinstance(moves, MovesView)
        app.data["outage"] = [{"place": "H2", "from": date(2027, 2, 6), "to": date(2027, 2, 6)}]
        app.reload()
        await settled(app, pilot)
        assert moves.chosen.proposal is None
        assert "already has an outage" in moves.text
        await pilot.press("enter")
        assert app.saved == []


async def test_the_key_in_the_season_view_opens_it_and_the_file_is_saved(tmp_path: Path) -> None:
    file = tmp_path / "two-rivers.toml"
    file.write_text(HELD.lstrip(), encoding="utf-8")
    app = CalendarApp(open_season(file), TODAY, "ana", lambda: datetime(2027, 2, 25, tzinfo=UTC))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert isinstance(app.screen, SeasonView)
        await pilot.press("o")
        await pilot.pause()
        view = app.screen
        assert isinstance(view, OutageView)
        await _type(view, pilot, "yesterday")
        await app.workers.wait_for_complete()
        await pilot.pause()
        await pilot.press("enter")
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert isinstance(app.screen, SeasonView)
    assert '[[outage]]\nplace = "H2"\nfrom = 2027-02-24\nto = 2027-02-24' in file.read_text(encoding="utf-8")


def _drawn(season: Season, days: int, width: int = 60, glyphs: Glyphs = ASCII) -> dict[str, Runs]:
    """The row of each cohort, by its id."""
    plan = make_plan(season, TODAY)
    window = Window(date(2027, 2, 1), days, width)
    return {name: band_row(plan, t, window, glyphs, whole=True) for name, t in plan.timelines.items()}


def _dark(row: Runs) -> str:
    return "".join(text for text, style in row if style == "outage")


def _failed(nights: int) -> Season:
    app, _ = _app()
    assert app.plan is not None
    (answer,) = answers(
        app.plan, Nights("A1", ("H2",), date(2027, 2, 5), date(2027, 2, 4) + timedelta(days=nights))
    )
    assert answer.proposal is not None
    return answer.proposal.plan.season


@pytest.mark.parametrize(("glyphs", "mark"), [(ASCII, "!"), (UNICODE, "╳")])
def test_nights_without_lamps_fill_their_columns_at_every_zoom(glyphs: Glyphs, mark: str) -> None:
    season = _failed(3)
    # Three columns a day, then three nights in two columns of 3.3 days each.
    assert _dark(_drawn(season, 20, glyphs=glyphs)["A1"]) == mark * 9
    assert _dark(_drawn(season, 200, glyphs=glyphs)["A1"]) == mark * 2
    lit = replace(season, outages=())
    assert _dark(_drawn(lit, 20, glyphs=glyphs)["A1"]) == _dark(_drawn(lit, 200, glyphs=glyphs)["A1"]) == ""


def test_a_letter_on_a_dark_night_keeps_its_mark_of_darkness() -> None:
    """Twenty nights bring the trigger to their first one."""
    dark = _dark(_drawn(_failed(20), 200)["A1"])
    assert "g" in dark
    assert set(dark) <= {*"!gi"}


def test_every_cohort_in_the_dark_house_has_the_nights_and_no_other_has() -> None:
    season = _failed(3)
    a1 = season.cohorts["A1"]
    planned = {k: d for k, d in a1.planned.items() if k != "lights_off"}
    season = replace(
        season, cohorts={**season.cohorts, "N2": replace(a1, id="N2", planned=planned, recorded={})}
    )
    rows = _drawn(season, 20)
    assert _dark(rows["N2"]) == _dark(rows["A1"]) == "!" * 9
    assert {name for name, row in rows.items() if _dark(row)} == {"A1", "N2"}
    assert len(rows) > 2


def test_the_legend_names_the_mark() -> None:
    for glyphs in (ASCII, UNICODE):
        legend = "".join(text for row in legend_rows(80, glyphs, 3) for text, _ in row)
        assert f"{glyphs.outage} lamps failed" in legend


def test_a_night_on_which_no_lamps_were_to_burn_is_not_marked() -> None:
    """Lights off is on 1 March; a failure is recorded up to the 3rd."""
    season = _failed(1)
    long = replace(season, outages=(Outage(place="H2", first=date(2027, 2, 27), last=date(2027, 3, 3)),))
    assert _dark(_drawn(long, 60)["A1"]) == "g!"


async def test_a_night_that_has_not_come_is_saved_only_upon_an_express_yes() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await _type(view, pilot, "today")
        await settled(app, pilot)
        await pilot.press("enter", "enter")
        asking = await settled(app, pilot)
        assert isinstance(asking, DoubtsView)
        assert "the night of Thu 25 Feb 2027 is tonight and still to come" in " ".join(asking.text.split())
        assert app.saved == []
        await pilot.press("y")
        await settled(app, pilot)
        assert len(app.saved) == 1
