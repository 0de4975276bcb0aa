"""What waits today, on the screen: rows that open what they are about, work ticked place by place."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from season_on_disk import TEXT, app_of, save
from settling import settled
from textual.pilot import Pilot

from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.asking.record_view import RecordView
from calendar_tui.screens.history.view import HistoryView
from calendar_tui.screens.lamps.view import LampsView
from calendar_tui.screens.week.today_view import TodayView
from calendar_tui.screens.week.view import WeekView
from calendar_tui.season.edits import Change, Edit
from calendar_tui.storage.season_file import save_change
from tests.season_data import data_of

MORE = """
[[task]]
id = "hoe2"
date = 2026-12-07
what = "Hoe the path"
place = "H2"
[[task]]
id = "tie1"
date = 2026-12-08
what = "Tie up"
place = "H2"
cohort = "A1"
[[task]]
id = "next"
date = 2026-12-09
what = "Tomorrow"
"""


@pytest.fixture
def season(tmp_path: Path) -> Path:
    path = tmp_path / "two.toml"
    path.write_text(TEXT + MORE, encoding="utf-8")
    return path


async def shown(app: CalendarApp, pilot: Pilot[None]) -> TodayView:
    await settled(app, pilot)
    await pilot.press("t")
    await settled(app, pilot)
    view = app.screen
    assert isinstance(view, TodayView)
    return view


def states(path: Path) -> dict[str, str]:
    return {t["id"]: t.get("state", "open") for t in data_of(path.read_text())["task"]}


def headings(view: TodayView) -> Iterator[str]:
    return (line for line in view.text.splitlines() if line.startswith(("To ", "Work", "Lamps", "Changed")))


async def test_it_says_what_waits_part_by_part(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await shown(app, pilot)
        first = view.text.splitlines()[0]
        assert first.startswith("Tue 8 Dec 2026  1 overdue, 2 today, 1 to record")
        assert list(headings(view)) == ["To record", "Work at H2  overdue: 1", "Work", "Lamps tonight"]
        assert "Tomorrow" not in view.text
        assert "H2: on 19:" in view.text


async def test_all_work_at_a_place_is_ticked_with_two_keys(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await shown(app, pilot)
        view._list.stand_on("hoe2")
        await pilot.press("a", "space")
        await settled(app, pilot)
        assert states(season) == {"hoe1": "open", "hoe2": "done", "tie1": "done", "next": "open"}
        assert "hoe2 [x]" in view.text
        assert view.text.splitlines()[0].startswith("Tue 8 Dec 2026  1 today, 1 to record")
        await pilot.press("u")
        await settled(app, pilot)
        assert set(states(season).values()) == {"open"}


async def test_marks_of_a_place_come_off_again(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await shown(app, pilot)
        view._list.stand_on("tie1")
        await pilot.press("a")
        assert "2 marked" in view.text
        await pilot.press("a")
        assert "marked" not in view.text


async def test_each_row_opens_what_it_is_about(season: Path) -> None:
    save_change(
        season,
        Change("A1 plants", (Edit("set", "cohort", ("A1",), ("plants",), 12),)),
        who="ben",
        when=datetime(2026, 12, 8, 6, tzinfo=UTC),
    )
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await shown(app, pilot)
        assert "Tue 03:00 ben: A1 plants" in view.text
        kinds: dict[str, type] = {"record": RecordView, "lamps": LampsView, "change": HistoryView}
        rows = [row.key for row in view._list.rows if row.key.partition(" ")[0] in kinds]
        assert [key.split()[0] for key in rows] == ["record", "lamps", "change"]
        for key in rows:
            view._list.stand_on(key)
            await pilot.press("enter")
            await settled(app, pilot)
            assert isinstance(app.screen, kinds[key.split()[0]])
            await pilot.press("escape")
            await settled(app, pilot)
            assert app.screen is view
        await pilot.press("w")
        await settled(app, pilot)
        assert isinstance(app.screen, WeekView)


async def test_the_record_form_opens_on_the_stage_that_waits(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await shown(app, pilot)
        view._list.stand_on(view._list.rows[1].key)
        await pilot.press("enter")
        await settled(app, pilot)
        form = app.screen
        assert isinstance(form, RecordView)
        assert form._list.key == "seeding"
        await pilot.press("enter")
        await settled(app, pilot)
        await pilot.press("enter")
        await settled(app, pilot)
        assert data_of(season.read_text())["cohort"][0]["recorded"] == {"seeding": date(2026, 12, 8)}


async def test_what_another_saves_is_drawn(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await shown(app, pilot)
        save(season, 5, who="ben")
        app.look()
        await settled(app, pilot)
        assert view.text.splitlines()[0].startswith("Tue 8 Dec 2026")


async def test_a_day_on_which_nothing_waits(tmp_path: Path) -> None:
    path = tmp_path / "two.toml"
    path.write_text(TEXT.split("[[cohort]]")[0], encoding="utf-8")
    app = app_of(path)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await shown(app, pilot)
        assert view.text.splitlines()[:2] == [
            "Tue 8 Dec 2026  nothing waits  Two Rivers".ljust(80),
            "No cohort yet: press Esc, then a to add one.",
        ]


@pytest.mark.slow
async def test_after_dark_nights_it_begins_with_what_to_relight_and_leads_to_the_lamps(season: Path) -> None:
    outage = '[[outage]]\nplace = "H2"\nfrom = 2026-12-06\nto = 2026-12-07\n'
    text = season.read_text().replace("lights_off = 2026-12-20", "lights_off = 2027-04-30")
    season.write_text(text.replace('critical_day = "14:00"', 'critical_day = "15:00"') + outage)
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await shown(app, pilot)
        assert next(headings(view)) == "To relight"
        assert view.text.splitlines()[2].strip().startswith("urgent: A1, relight tonight: no harm done")
        view._list.stand_on("relight 0")
        await pilot.press("enter")
        await settled(app, pilot)
        assert isinstance(app.screen, LampsView)


async def test_which_lamps_burn_tonight_stands_below_the_list_from_the_first_picture_on(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 14)) as pilot:
        view = await shown(app, pilot)
        assert view._list.key.startswith("record ")
        assert view._detail.text.startswith("Lamps tonight: H2: on 19:")
        view._list.stand_on("hoe2")
        await settled(app, pilot)
        assert "Lamps tonight" not in view._detail.text


@pytest.mark.slow
@pytest.mark.parametrize("key", ["a", "space", "s", "d", "n", "o"])
async def test_a_key_for_tasks_on_a_line_that_is_none_says_so(season: Path, key: str) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await shown(app, pilot)
        assert view._list.key.startswith("record ")
        await pilot.press(key)
        await settled(app, pilot)
        assert app.screen is view
        assert app.messages[-1] == "No task is on this line: move to one that has a box, [ ]."
