"""A table that a spreadsheet changed, taken in on the screen: what it brings is shown first, saved as one change, and undone."""

from __future__ import annotations

from pathlib import Path

import pytest
from season_on_disk import TEXT, app_of, notes
from settling import settled

from calendar_tui.cli import main
from calendar_tui.screens.forms.table_form import TableView
from calendar_tui.screens.season.view import SeasonView
from calendar_tui.storage.opening import need_season


@pytest.fixture
def season(tmp_path: Path) -> Path:
    path = tmp_path / "two.toml"
    path.write_text(TEXT, encoding="utf-8")
    return path


def table(season: Path, *changes: tuple[str, str]) -> Path:
    """The season's cohorts as a table, with texts in it replaced."""
    target = season.with_name("crop.csv")
    assert main(["export", str(season), "--cohorts", str(target), "--today", "2026-12-08"]) == 0
    text = target.read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    target.write_text(text, encoding="utf-8")
    return target


@pytest.mark.parametrize("keys", [("I",), ("P", "i")], ids=" ".join)
async def test_a_table_is_shown_saved_and_undone(season: Path, keys: tuple[str, ...]) -> None:
    table(season, ("A1,amber,seed,,H2,,10,", "A1,amber,seed,,H2,,12,"))
    before = season.read_bytes()
    app = app_of(season)
    async with app.run_test(size=(80, 30)) as pilot:
        await settled(app, pilot)
        for key in (*keys, *"crop", "full_stop", *"csv"):
            await pilot.press(key)
            await settled(app, pilot)
        form = app.screen
        assert isinstance(form, TableView)
        assert "crop.csv, cohorts: 1 changed in 1 cell" in form.text
        assert "A1 plants 10 -> 12" in form.text
        await pilot.press("ctrl+s")
        await settled(app, pilot)
        await pilot.press("enter")
        await settled(app, pilot)
        assert need_season(season)[1].cohorts["A1"].plants == 12
        while not isinstance(app.screen, SeasonView):
            await pilot.press("escape")
            await settled(app, pilot)
        await pilot.press("u")
        await settled(app, pilot)
        assert any(note.startswith("Undone: cohorts from crop.csv") for note in notes(app))
    assert season.read_bytes() == before


async def test_what_cannot_be_is_told_line_by_line_and_a_file_that_is_not_there(season: Path) -> None:
    table(season, ("A1,amber,seed,,H2,,10,", "A1,amber,sown,,H2,,many,"))
    app = app_of(season)
    async with app.run_test(size=(80, 30)) as pilot:
        await settled(app, pilot)
        for key in ("I", *"none"):
            await pilot.press(key)
            await settled(app, pilot)
        assert "cannot be read" in app.screen.text
        for key in ("ctrl+u", *"crop", "full_stop", *"csv"):
            await pilot.press(key)
            await settled(app, pilot)
        assert 'crop.csv:2, plants: "many": write a whole number' in " ".join(app.screen.text.split())
        assert any(line.startswith("crop.csv:2, start: ") for line in app.screen.text.splitlines())


async def test_the_order_of_dates_and_the_kind_may_be_given(season: Path) -> None:
    season.with_name("crop.csv").write_text("id,plants,harvest by\nA1,,1/4/2027\n", encoding="utf-8")
    app = app_of(season)
    async with app.run_test(size=(80, 30)) as pilot:
        await settled(app, pilot)
        for key in ("I", *"crop", "full_stop", *"csv"):
            await pilot.press(key)
            await settled(app, pilot)
        assert "1 Apr 2027 or 4 Jan 2027" in " ".join(app.screen.text.split())
        for key in ("down", *"cohorts", "down", *"day-first"):
            await pilot.press(key)
            await settled(app, pilot)
        assert "A1 harvest by none -> 1 Apr 2027" in app.screen.text
