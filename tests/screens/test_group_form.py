"""Several cohorts that are marked, changed or taken out together: one preview, one question, one undo."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest
import tomli
from season_on_disk import app_of
from settling import settled

from calendar_tui.screens.asking.moves_view import MovesView
from calendar_tui.screens.forms.form_view import FormView
from calendar_tui.screens.season.view import SeasonView
from tests.screens.small_app import SEASON


@pytest.fixture
def farm(tmp_path: Path) -> Path:
    path = tmp_path / "two.toml"
    path.write_text(SEASON.replace('place = "F1"\n', 'place = "F1"\nplants = 40\n'), encoding="utf-8")
    return path


async def _pressed(app: Any, pilot: Any, *keys: str) -> None:
    for key in keys:
        await pilot.press(key)
        await settled(app, pilot)


async def _form_of_all(app: Any, pilot: Any) -> FormView:
    """Mark all cohorts that are shown, and open the form that changes them."""
    await settled(app, pilot)
    await _pressed(app, pilot, "M", "e")
    assert isinstance(app.screen, FormView)
    return app.screen


def _cohorts(path: Path) -> dict[str, Any]:
    return {c["id"]: c for c in tomli.loads(path.read_text(encoding="utf-8")).get("cohort", ())}


async def _to(view: Any, pilot: Any, words: str) -> None:
    for _ in range(30):
        if view.field == words:
            return
        await pilot.press("down")
    raise AssertionError(words)


async def test_a_field_of_all_that_are_marked_is_changed_in_one_change(farm: Path) -> None:
    app = app_of(farm)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await _form_of_all(app, pilot)
        assert "Change 2 cohorts" in view.text
        assert view.value("variety") == "amber"
        assert "now none, 40" in view.text
        await _to(view, pilot, "plants")
        await _pressed(app, pilot, "9", "0", "ctrl+s")
        assert isinstance(app.screen, MovesView)
        await _pressed(app, pilot, "enter")
        assert isinstance(app.screen, SeasonView)
        assert [c["plants"] for c in _cohorts(farm).values()] == [90, 90]
        await _pressed(app, pilot, "u")
        assert "plants" not in _cohorts(farm)["A1"]
        assert _cohorts(farm)["A3"]["plants"] == 40


async def test_a_date_typed_as_days_counts_from_what_each_has(farm: Path) -> None:
    app = app_of(farm)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await _form_of_all(app, pilot)
        await _to(view, pilot, "transplant")
        await _pressed(app, pilot, "+", "7")
        assert "Fri 6 Nov 2026 for A" in view.text
        await _pressed(app, pilot, "ctrl+s", "enter")
        assert {c["replanned"]["transplant"] for c in _cohorts(farm).values()} == {date(2026, 11, 6)}


async def test_what_one_of_them_cannot_have_is_told_at_the_field_and_none_is_changed(farm: Path) -> None:
    farm.write_text(
        farm.read_text(encoding="utf-8").replace(
            "recorded = { seeding = 2026-10-05 }",
            "recorded = { seeding = 2026-10-05, transplant = 2026-10-30 }",
            1,
        ),
        encoding="utf-8",
    )
    before = farm.read_bytes()
    app = app_of(farm)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await _form_of_all(app, pilot)
        await _to(view, pilot, "transplant")
        await _pressed(app, pilot, *"8nov", "ctrl+s")
        assert app.screen is view
        assert "A1: it is recorded on 30 Oct 2026" in " ".join(view.text.split())
        assert farm.read_bytes() == before


async def test_those_that_are_marked_are_taken_out_by_one_question_and_come_back_by_one_undo(
    farm: Path,
) -> None:
    app = app_of(farm)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await _pressed(app, pilot, "M", "x")
        assert isinstance(app.screen, MovesView)
        assert "A1 A3 taken out" in app.screen.text
        await _pressed(app, pilot, "enter")
        assert _cohorts(farm) == {}
        await _pressed(app, pilot, "u")
        assert set(_cohorts(farm)) == {"A1", "A3"}
