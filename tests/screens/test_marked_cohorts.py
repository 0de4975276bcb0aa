"""Cohorts marked in the season view: one act for all of them, in few keys, with one undo."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from settling import settled

from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.asking.moves_view import MovesView
from calendar_tui.screens.asking.outage_view import OutageView
from calendar_tui.screens.asking.record_view import RecordView
from calendar_tui.screens.asking.stay_view import StayView
from calendar_tui.screens.season.view import SeasonView
from calendar_tui.season.choosing import alike, next_alike
from calendar_tui.season.reading import read_season
from calendar_tui.storage.opening import open_season
from tests.season_data import data_of
from tests.trial_season import trial_data, trial_text

TODAY = date(2027, 6, 4)


@pytest.fixture
def trial(tmp_path: Path) -> Path:
    path = tmp_path / "trial.toml"
    path.write_text(trial_text(54), encoding="utf-8")
    return path


def _app(path: Path) -> CalendarApp:
    return CalendarApp(open_season(path), TODAY, "Cleo", lambda: datetime(2027, 6, 4, 9, tzinfo=UTC))


async def _press(app, pilot, *keys: str) -> int:
    for key in keys:
        await pilot.press(key)
        await settled(app, pilot)
    return len(keys)


@pytest.mark.slow
async def test_eighteen_transplants_are_one_act_of_few_keys_and_one_undo(trial: Path) -> None:
    before = trial.read_bytes()
    app = _app(trial)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        while app.screen.cohort_id != "A2F1a":
            await pilot.press("down")
        keys = 18
        keys += await _press(app, pilot, "m")
        assert "6 marked" in app.screen.text
        keys += await _press(app, pilot, "m")
        assert "18 marked" in app.screen.text
        assert re.search(r"\*[ !]A2F1a", app.screen.text)
        keys += await _press(app, pilot, "r")
        assert isinstance(app.screen, RecordView)
        assert "Record a date of 18 cohorts  A2F1a B2F1a C2F1a D2F1a +14; dates of A2F1a:" in app.screen.text
        while app.screen._list.key != "transplant":
            keys += await _press(app, pilot, "down")
        keys += await _press(app, pilot, "enter")
        assert isinstance(app.screen, MovesView)
        text = " ".join(app.screen.text.split())
        assert "Nothing is saved yet." in text
        assert "transplant 9 d later: 26 May -> 4 Jun; 18 cohorts" in text
        assert "more" not in text, "the page scrolls: everything is on it"
        assert "--all" not in text
        proposal = app.screen.chosen.proposal
        assert proposal is not None
        for what in {move.task.what for move in proposal.tasks}:
            assert f" x {what}" in text
        assert trial.read_bytes() == before
        keys += await _press(app, pilot, "enter", "y")
        assert keys < 30
        assert trial.read_text().count("transplant = 2027-06-04") == 18
        assert isinstance(app.screen, SeasonView)
        assert "marked" not in app.screen.text
        await _press(app, pilot, "u")
        assert trial.read_bytes() == before


@pytest.mark.slow
async def test_eighteen_transplants_with_their_counts_are_one_act_of_few_keys(trial: Path) -> None:
    text = trial.read_text()
    start = text.index('id = "B2H1a"')
    trial.write_text(text[:start] + text[start:].replace("plants = 24", "plants = 30", 1))
    before = trial.read_bytes()
    app = _app(trial)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        while app.screen.cohort_id != "A2F1a":
            await pilot.press("down")
        keys = 18 + await _press(app, pilot, "m", "m", "r")
        while app.screen._list.key != "transplant":
            keys += await _press(app, pilot, "down")
        assert "Found (Tab); = for 24 plants (17), 30 plants (1), as planned" in app.screen.text
        keys += await _press(app, pilot, "tab", "=", "enter")
        assert isinstance(app.screen, MovesView)
        told = " ".join(app.screen.text.split())
        assert "A2F1a B2F1a C2F1a D2F1a +13: 24 plants each; B2H1a: 30 plants" in told
        assert trial.read_bytes() == before
        keys += await _press(app, pilot, "enter", "y")
        assert keys < 30
        assert trial.read_text().count("transplant = 2027-06-04") == 18
        facts = [t.fact for t in read_season(data_of(trial.read_text())).readable.tasks if t.fact]
        one = "A2H1a C2H1a D2H1a E2H1a F2H1a: 24 plants each; B2H1a: 30 plants"
        assert facts == ["24 plants each", "24 plants each", one]
        await _press(app, pilot, "u")
        assert trial.read_bytes() == before


@pytest.mark.slow
async def test_a_count_of_one_of_the_marked_is_typed_beside_the_rest(trial: Path) -> None:
    app = _app(trial)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        while app.screen.cohort_id != "A2F1a":
            await pilot.press("down")
        await _press(app, pilot, "m", "r")
        while app.screen._list.key != "transplant":
            await _press(app, pilot, "down")
        await _press(app, pilot, "tab", *"= C2F1a=23", "enter")
        told = " ".join(app.screen.text.split())
        assert "A2F1a B2F1a D2F1a E2F1a +1: 24 plants each; C2F1a: 23" in told
        await _press(app, pilot, "escape")
        assert isinstance(app.screen, RecordView)
        assert app.screen._fact.value == "= C2F1a=23"
        app.screen._fact.value = "= C22F1a=23"
        await _press(app, pilot, "enter")
        assert 'names no cohort of this season; did you mean "C2F1a"?' in " ".join(app.screen.text.split())


@pytest.mark.slow
async def test_the_marked_are_carried_together(trial: Path) -> None:
    before = trial.read_bytes()
    app = _app(trial)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        while app.screen.cohort_id != "A2G1a":
            await pilot.press("down")
        await _press(app, pilot, "m", "g")
        assert isinstance(app.screen, StayView)
        while app.screen._list.key != "F1":
            await _press(app, pilot, "down")
        app.screen._day.value = "2027-07-20"
        await _press(app, pilot, "enter")
        assert isinstance(app.screen, MovesView)
        await _press(app, pilot, "enter")
        assert trial.read_text().count('{ place = "F1", from = 2027-07-20 }') == 6
        await _press(app, pilot, "u")
        assert trial.read_bytes() == before


@pytest.mark.slow
async def test_lamps_that_failed_where_the_marked_stand_are_one_act_and_one_undo(trial: Path) -> None:
    before = trial.read_bytes()
    app = _app(trial)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        while app.screen.cohort_id != "A1G1a":
            await pilot.press("down")
        await _press(app, pilot, "m", "m")
        assert "18 marked" in app.screen.text
        await _press(app, pilot, "o")
        assert isinstance(app.screen, OutageView)
        assert "G1 H1  all 2 places, as one change" in app.screen.text
        await _press(app, pilot, "enter")
        assert isinstance(app.screen, MovesView)
        assert "G1 H1 outage recorded Thu 3 Jun 2027" in app.screen.text
        assert "A1G1a A2G1a A1H1a A2H1a: no harm" in app.screen.text
        assert trial.read_bytes() == before
        await _press(app, pilot, "enter")
        assert trial.read_text().count("[[outage]]") == 2
        assert isinstance(app.screen, SeasonView)
        assert "marked" not in app.screen.text
        await _press(app, pilot, "u")
        assert trial.read_bytes() == before


@pytest.mark.slow
async def test_a_mark_is_set_and_taken_off_one_by_one(trial: Path) -> None:
    app = _app(trial)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await _press(app, pilot, "space", "space")
        assert "2 marked" in app.screen.text
        assert app.screen.cohort_id == "C1F1a"
        await _press(app, pilot, "up", "space")
        assert "1 marked" in app.screen.text
        await _press(app, pilot, "r")
        # The date is for what is marked, wherever the cursor has gone since.
        assert "Record a date of A1F1a" in app.screen.text
        assert "cohorts" not in app.screen.text.splitlines()[0]


def test_ways_to_mark_go_round_from_the_narrowest_to_none() -> None:
    season = read_season(trial_data(54)).season
    assert season is not None
    cohort = season.cohorts["A2F1a"]
    marked: frozenset[str] = frozenset()
    counts = []
    for _ in range(6):
        _, marked = next_alike(season, cohort, marked)
        counts.append(len(marked))
    assert counts == [6, 18, 9, 18, 0, 6]
    assert [words for words, _ in alike(season, cohort)] == [
        "planted in F1 on Wed 26 May 2027",
        "planted on Wed 26 May 2027",
        "of amber",
        "in F1",
    ]
