"""A place that nobody enters after a spray is told wherever that place or its cohorts are shown."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest
from drawn_season import looking
from settling import settled
from small_app import SEASON, SmallApp

from calendar_tui.handing_on.tables.today_rows import today_row
from calendar_tui.handing_on.words.farm_text import place_occupancy_text
from calendar_tui.handing_on.words.today_text import today_text
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.planning.spraying import closures
from calendar_tui.planning.today import today_of
from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.forms.form_view import FormView
from calendar_tui.screens.kit.closed import closed_places, closed_texts
from calendar_tui.screens.kit.glyphs import UNICODE
from calendar_tui.screens.pages.cohort_view import CohortView
from calendar_tui.screens.season.chart import season_rows
from calendar_tui.screens.week.today_view import TodayView
from calendar_tui.season.units_in_use import shown_in
from calendar_tui.storage.opening import open_season
from tests.planning.farm import season_of
from tests.season_data import data_of

TODAY = date(2026, 11, 8)
SPRAY = """[[spray]]
id = "s1"
date = 2026-11-08
place = "H2"
product = "soap"
start = "06:30"
end = "07:15"
reentry = "24 h"
"""
CLOSED = "H2 is closed from Sun 8 Nov 06:30 until Mon 9 Nov 07:15 after soap"


def plan_of(spray: str = SPRAY, today: date = TODAY) -> Plan:
    return make_plan(season_of(data_of(SEASON + spray)), today)


def drawn(plan: Plan, width: int) -> list[list[tuple[str, str]]]:
    look = looking(plan, (width, 30), cursor=plan.today)
    return [list(row) for row in season_rows(plan, look, width, 30, UNICODE)]


def text_of(row: Any) -> str:
    return "".join(text for text, _ in row)


@pytest.mark.parametrize(
    ("width", "until"), [(80, "closed to Mon 07:15"), (160, "closed until Mon 9 Nov 07:15")]
)
def test_the_row_of_a_closed_place_has_until_when_and_its_name_stands_out(width: int, until: str) -> None:
    row = next(r for r in drawn(plan_of(), width) if text_of(r).startswith("H2"))
    assert text_of(row).rstrip().endswith(until)
    assert row[0][1] == "clash"
    open_row = next(r for r in drawn(plan_of(""), width) if text_of(r).startswith("H2"))
    assert open_row[0][1] == "group"
    assert "closed" not in text_of(open_row)


@pytest.mark.parametrize("width", [80, 120])
def test_by_the_clock_of_12_hours_the_hour_is_not_cut_either(width: int) -> None:
    with shown_in(clock="12"):
        spray = SPRAY.replace('end = "07:15"', 'end = "22:15"')
        row = next(r for r in drawn(plan_of(spray), width) if text_of(r).startswith("H2"))
    assert text_of(row).rstrip().endswith("closed to Mon 10:15 pm")


@pytest.mark.parametrize(
    ("reentry", "until"), [("4 h", "closed to 11:15"), ("48 h", "closed to 10 Nov"), ("", "closed")]
)
def test_a_narrow_row_has_the_hour_where_the_place_opens_today_and_the_day_where_it_is_far(
    reentry: str, until: str
) -> None:
    spray = SPRAY.replace('reentry = "24 h"', f'reentry = "{reentry}"' if reentry else "")
    row = next(r for r in drawn(plan_of(spray), 80) if text_of(r).startswith("H2"))
    assert text_of(row).rstrip().endswith(f" {until}")


def test_the_name_of_a_closed_place_stands_out_also_where_its_first_cohort_is_not_there_yet() -> None:
    before = plan_of(SPRAY.replace("2026-11-08", "2026-10-01"), date(2026, 10, 1))
    row = next(r for r in drawn(before, 80) if text_of(r).startswith("H2"))
    assert row[0][1] == "clash"
    assert "closed" not in text_of(row)


def test_the_lines_of_a_cohort_that_stands_there_begin_with_it() -> None:
    lines = [text_of(r).rstrip() for r in drawn(plan_of(), 160)]
    assert any(line.startswith(f"! Do not enter: {CLOSED}.") for line in lines)


def test_a_cohort_that_stands_elsewhere_is_as_it_was() -> None:
    row = next(r for r in drawn(plan_of(), 80) if text_of(r).startswith("F1"))
    assert "closed" not in text_of(row)


def test_the_day_after_the_place_is_as_it_was() -> None:
    row = next(r for r in drawn(plan_of(today=date(2026, 11, 10)), 80) if text_of(r).startswith("H2"))
    assert "closed" not in text_of(row)


def test_what_a_place_holds_begins_with_it() -> None:
    assert place_occupancy_text(plan_of(), "H2", TODAY).startswith("closed until Mon 9 Nov 07:15; A1 now")
    assert "closed" not in place_occupancy_text(plan_of(), "F1", TODAY)
    waiting = SPRAY.replace('reentry = "24 h"', 'condition = "it is dry"')
    assert place_occupancy_text(plan_of(waiting), "H2", TODAY).startswith(
        "closed until it is recorded: soap: it is dry; "
    )


def test_today_begins_with_what_nobody_enters() -> None:
    plan = plan_of()
    lines = [line.text for line in today_text(plan.season, today_of(plan), ())]
    at = lines.index("Do not enter")
    assert lines[at - 1] == ""
    assert at == 2
    assert lines[at + 1] == "  H2 closed until Mon 9 Nov 07:15: soap"
    work = next(n for n, line in enumerate(lines) if line.startswith("Work"))
    assert not any("closed" in line for line in lines[at + 2 : work])
    assert any("HOLD: do not enter" in line for line in lines[work:])


def test_today_as_json_has_what_nobody_enters_apart() -> None:
    plan = plan_of()
    data = today_row(today_of(plan), ())
    (closed,) = data["closed"]
    assert (closed["where"], closed["what"]) == ("H2", "H2 closed until Mon 9 Nov 07:15")
    assert not [row for row in data["to_decide"] if row["kind"] == "closed"]


async def test_the_view_of_today_begins_with_it_and_opens_its_record(tmp_path: Path) -> None:
    path = tmp_path / "small.toml"
    path.write_text(SEASON + SPRAY)
    app = CalendarApp(open_season(path), TODAY, "Cleo", lambda: datetime(2026, 11, 8, 15, tzinfo=UTC))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("t")
        view = await settled(app, pilot)
        assert isinstance(view, TodayView)
        assert view._list.text.splitlines()[:2] == ["Do not enter", "H2 closed until Mon 9 Nov 07:15: soap"]
        await pilot.press("enter")
        form = await settled(app, pilot)
        assert isinstance(form, FormView)
        assert "Change spray s1" in form.text


async def test_the_page_of_a_cohort_has_it_below_its_name() -> None:
    view = CohortView("A1")
    app = SmallApp(view, TODAY, SEASON + SPRAY)
    async with app.run_test(size=(90, 24)) as pilot:
        await pilot.pause()
        assert f"Do not enter: {CLOSED}." in " ".join(view.text.split())


def test_a_cohort_that_is_not_sown_yet_or_harvested_stands_in_no_closed_place() -> None:
    plan = plan_of()
    assert closed_texts(plan, plan.timelines["A1"], closed_places(plan)) == (f"Do not enter: {CLOSED}.",)
    nursery = SPRAY.replace('place = "H2"', 'place = "N1"').replace("2026-11-08", "2026-10-01")
    before = plan_of(nursery, date(2026, 10, 1))
    assert closed_places(before)
    assert closed_texts(before, before.timelines["A1"], closed_places(before)) == ()
    cut = SEASON.replace(
        "recorded = { seeding = 2026-10-05 }", "recorded = { seeding = 2026-10-05, harvest = 2026-11-07 }", 1
    )
    after = make_plan(season_of(data_of(cut + SPRAY)), TODAY)
    assert closed_texts(after, after.timelines["A1"], closed_places(after)) == ()


@pytest.mark.slow
async def test_moves_over_cohorts_and_marks_of_tasks_work_out_once_what_is_closed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "small.toml"
    path.write_text(SEASON + SPRAY)
    app = CalendarApp(open_season(path), TODAY, "Cleo", lambda: datetime(2026, 11, 8, 15, tzinfo=UTC))
    worked_out, real = 0, closures.closures

    def counted(*of: Any) -> Any:
        nonlocal worked_out
        worked_out += 1
        return real(*of)

    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("w")
        await settled(app, pilot)
        monkeypatch.setattr(closures, "closures", counted)
        for view, keys in (("week", ["m", "down", "M"]), ("season", ["down", "up", "down"])):
            worked_out = 0
            for key in keys:
                await pilot.press(key)
                await settled(app, pilot)
            assert worked_out == 0, view
            await pilot.press("escape")
            await settled(app, pilot)
