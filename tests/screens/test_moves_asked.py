"""What would move tells what is asked before it is saved from what is only told, each with its mark."""

from __future__ import annotations

import shutil
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from settling import settled

from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.slips import record_date
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.asking.answers import Answer, OneChange
from calendar_tui.screens.asking.moves_view import MovesView
from calendar_tui.screens.asking.question_view import DoubtsView
from calendar_tui.screens.forms.preview import preview_rows
from calendar_tui.screens.season.view import SeasonView
from calendar_tui.storage.opening import open_season

TODAY = date(2026, 12, 8)
SEASON = Path(__file__).parents[2] / "seasons" / "two-rivers.toml"
ASKED, TOLD = "a stage is passed over", "the day is far off"


@pytest.fixture
def season(tmp_path: Path) -> Path:
    return Path(shutil.copy(SEASON, tmp_path / "two-rivers.toml"))


def proposed(plan: Plan, *questions: str) -> Proposal:
    proposal = record_date(plan, plan.season.cohorts["A3"], "transplant", TODAY)
    return replace(proposal, doubts=(*questions, TOLD), questions=questions)


@pytest.mark.slow
@pytest.mark.parametrize("questions", [(ASKED,), ()])
async def test_enter_is_told_to_ask_only_where_something_is_asked(
    season: Path, questions: tuple[str, ...]
) -> None:
    app = CalendarApp(open_season(season), TODAY, "Cleo", lambda: datetime(2026, 12, 8, 9, tzinfo=UTC))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert app.plan is not None
        made = proposed(app.plan, *questions)
        app.push_screen(MovesView(OneChange("x", lambda plan: made), (Answer("", "", made),)))
        view = await settled(app, pilot)
        assert isinstance(view, MovesView)
        lines = view.text.splitlines()
        assert f"! {TOLD}" in lines
        assert (f"? {ASKED}" in lines, f"! {ASKED}" in lines) == (bool(questions), False)
        assert ("asks first (?)" in lines[-1]) == bool(questions)
        await pilot.press("enter")
        then = await settled(app, pilot)
        assert isinstance(then, DoubtsView if questions else SeasonView)
        if questions:
            assert f"? {ASKED}" in then.text
            assert TOLD not in then.text


def test_a_form_has_the_same_marks_below_it(season: Path) -> None:
    opened = open_season(season)
    assert opened.season is not None
    rows = preview_rows(proposed(make_plan(opened.season, TODAY), ASKED), 80, 12)
    lines = ["".join(part.text for part in row.segments) for row in rows]
    assert any(f"? {ASKED}" in line for line in lines)
    assert any(f"! {TOLD}" in line for line in lines)
