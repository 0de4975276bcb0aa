"""The first picture of the full screen: drawn by what it needs and no more, with the work counted."""

from __future__ import annotations

import asyncio
from pathlib import Path

import pytest
from settling import settled
from test_kept_drawing import app_of

from calendar_tui.planning.laying_out import later
from calendar_tui.screens.app import CalendarApp

MANY, FEW = 60, 30
SIZE = (80, 24)


def whole_at_the_first_picture(app: CalendarApp, monkeypatch: pytest.MonkeyPatch) -> tuple[int, int]:
    """How many cohorts are laid out in every future when the first picture is sent, and once the program rests."""
    names: list[str] = []
    sent: list[int] = []
    lay_out, pictured = later.lay_out, app.pictured

    def noted(season, cohort, early, *others):  # type: ignore[no-untyped-def]
        if early[cohort.first_stage].days:
            names.append(cohort.id)
        return lay_out(season, cohort, early, *others)

    def sending() -> None:
        sent.append(len(names))
        pictured()

    monkeypatch.setattr(later, "lay_out", noted)
    monkeypatch.setattr(app, "pictured", sending)

    async def run() -> None:
        async with app.run_test(size=SIZE) as pilot:
            await settled(app, pilot)

    asyncio.run(run())
    assert len(names) == len(set(names))
    return sent[0], len(names)


def test_a_season_of_many_cohorts_lays_out_the_futures_of_those_shown(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    few, _ = whole_at_the_first_picture(app_of(tmp_path, FEW), monkeypatch)
    many, rested = whole_at_the_first_picture(app_of(tmp_path, MANY), monkeypatch)
    assert 0 < many == few <= SIZE[1]
    assert rested == MANY
