"""Each row of what is to be decided opens, with Enter, the form or the page where it is decided."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

from settling import settled

from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.forms.form_view import FormView
from calendar_tui.screens.results.view import ResultsView
from calendar_tui.screens.week.opened_by import opened_by
from calendar_tui.screens.week.today_view import TodayView
from calendar_tui.storage.opening import open_season

EXAMPLE = Path(__file__).parents[2] / "seasons" / "north-bench.toml"


async def test_enter_opens_what_decides_a_row(tmp_path: Path) -> None:
    path = tmp_path / EXAMPLE.name
    path.write_bytes(EXAMPLE.read_bytes())
    day = date(2026, 6, 16)
    app = CalendarApp(open_season(path), day, "Cleo", lambda: datetime(2026, 6, 16, 9, tzinfo=UTC))
    async with app.run_test(size=(100, 40)) as pilot:
        await settled(app, pilot)
        await pilot.press("t")
        await settled(app, pilot)
        view = app.screen
        assert isinstance(view, TodayView)
        rows = {row.kind: n for n, row in enumerate(view._today.decisions)}
        assert set(rows) == {"result", "cut", "official", "spray record"}
        opened = {f"decide {rows[kind]}": kind for kind in ("spray record", "result")} | {
            "closed 0": "closed"
        }
        for key, kind in opened.items():
            shown = ResultsView if kind == "result" else FormView
            view._list.stand_on(key)
            await pilot.press("enter")
            await settled(app, pilot)
            assert isinstance(app.screen, shown), kind
            await pilot.press("escape")
            await settled(app, pilot)
            assert app.screen is view
        names = [opened_by(row) for row in view._today.decisions if row.kind in ("official", "cut")]
        assert ("lot", "E1-north", True) in names
        assert ("lot", "E1-south", True) in names
