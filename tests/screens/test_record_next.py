"""The record form stands on what is next, and a record that passes a stage over is asked about."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from settling import settled
from textual.pilot import Pilot

from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.asking.moves_view import MovesView
from calendar_tui.screens.asking.question_view import DoubtsView
from calendar_tui.screens.asking.record_view import RecordView
from calendar_tui.screens.kit.own_keys import own_keys
from calendar_tui.screens.kit.preferences import AS_IT_COMES, Preferences
from calendar_tui.screens.season.view import SeasonView
from calendar_tui.storage.opening import open_season

TODAY = date(2026, 12, 8)
SEASON = Path(__file__).parents[2] / "seasons" / "two-rivers.toml"


@pytest.fixture
def season(tmp_path: Path) -> Path:
    return Path(shutil.copy(SEASON, tmp_path / "two-rivers.toml"))


def _app(path: Path, preferences: Preferences = AS_IT_COMES) -> CalendarApp:
    now = datetime(2026, 12, 8, 9, tzinfo=UTC)
    return CalendarApp(open_season(path), TODAY, "Cleo", lambda: now, preferences=preferences)


async def _form(app: CalendarApp, pilot: Pilot[None], names: tuple[str, ...]) -> RecordView:
    await settled(app, pilot)
    view = RecordView(names[0], others=names[1:])
    app.push_screen(view)
    await settled(app, pilot)
    return view


@pytest.mark.slow
@pytest.mark.parametrize(
    ("names", "stage"),
    [
        (("A2", "A3", "T2"), "transplant"),
        (("T2", "A2", "A3"), "transplant"),
        (("A1", "A2", "A4"), "transplant"),
        (("A1", "A2"), "lights_off"),
        (("A2",), "lights_off"),
        (("A3",), "transplant"),
        (("T2",), "transplant"),
        (("A4",), "sticking"),
    ],
)
async def test_the_form_stands_on_what_is_next_and_never_on_a_later_stage(
    season: Path, names: tuple[str, ...], stage: str
) -> None:
    app = _app(season)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await _form(app, pilot, names)
        assert view._list.key == stage


@pytest.mark.slow
async def test_enter_alone_never_saves_a_harvest_of_what_is_not_transplanted(season: Path) -> None:
    before = season.read_bytes()
    app = _app(season)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await _form(app, pilot, ("A2", "A3", "T2"))
        while view._list.key != "harvest":
            await pilot.press("down")
        for _ in range(5):
            await pilot.press("enter")
            await settled(app, pilot)
        assert isinstance(app.screen, DoubtsView)
        shown = " ".join(app.screen.text.split())
        assert "A3 T2 transplant is not recorded yet, and comes before harvest" in shown
        await pilot.press("escape")
        assert isinstance(await settled(app, pilot), MovesView)
        assert season.read_bytes() == before


@pytest.mark.slow
async def test_a_record_that_passes_a_stage_over_is_saved_upon_yes(season: Path) -> None:
    app = _app(season)
    async with app.run_test(size=(80, 24)) as pilot:
        view = await _form(app, pilot, ("A3",))
        while view._list.key != "harvest":
            await pilot.press("down")
        await pilot.press("enter")
        await settled(app, pilot)
        await pilot.press("enter")
        await settled(app, pilot)
        await pilot.press("y")
        assert isinstance(await settled(app, pilot), SeasonView)
        assert season.read_text().count("harvest = 2026-12-08") == 1


async def test_enter_alone_never_replaces_what_is_recorded_of_one_of_the_marked(season: Path) -> None:
    before = season.read_bytes()
    app = _app(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await _form(app, pilot, ("A2", "A3", "T2"))
        for _ in range(4):
            await pilot.press("enter")
            await settled(app, pilot)
        assert isinstance(app.screen, DoubtsView)
        assert "A2 transplant is recorded on" in " ".join(app.screen.text.split())
        assert season.read_bytes() == before


async def _asked_in(language: str, season: Path, app: Callable[[], CalendarApp], key: str) -> bool:
    """Whether the question is still there after a key, with a crew of this language."""
    text = season.read_text(encoding="utf-8").replace("[season]\n", f'[season]\nlanguage = "{language}"\n', 1)
    season.write_text(text, encoding="utf-8")
    shown = app()
    async with shown.run_test(size=(80, 24)) as pilot:
        await settled(shown, pilot)
        await pilot.press("w")
        view = await _form(shown, pilot, ("A3",))
        view._list.stand_on("harvest")
        for _ in range(2):
            await pilot.press("enter")
            await settled(shown, pilot)
        assert isinstance(shown.screen, DoubtsView)
        await pilot.press(key)
        return isinstance(await settled(shown, pilot), DoubtsView)


@pytest.mark.parametrize(
    ("language", "key", "saves"), [("es", "s", True), ("es", "y", True), ("en", "s", False)]
)
async def test_yes_is_a_letter_of_the_crews_language_too(
    season: Path, language: str, key: str, saves: bool
) -> None:
    before = season.read_text(encoding="utf-8").count("harvest = 2026-12-08")
    assert await _asked_in(language, season, lambda: _app(season), key) is not saves
    assert season.read_text(encoding="utf-8").count("harvest = 2026-12-08") == before + saves


async def test_a_key_of_ones_own_for_no_is_not_taken_for_the_crews_yes(season: Path) -> None:
    keys = own_keys({"question": {"answer-false": "s"}}).keys
    assert not await _asked_in("es", season, lambda: _app(season, Preferences(keys)), "s")
    assert "harvest = 2026-12-08" not in season.read_text(encoding="utf-8")
