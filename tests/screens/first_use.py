"""The first screen, to be tried: seasons that it offers, what makes one, and the keys that fill its form in."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

from calendar_tui.handing_on.next_file import NextFile, next_file
from calendar_tui.planning.next_season.making import Wish
from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.starting.answers import Reader
from calendar_tui.screens.kit.preferences import AS_IT_COMES, Preferences
from calendar_tui.screens.start_app import StartApp
from calendar_tui.screens.starting import choice
from calendar_tui.screens.starting.choice import Chosen, Offer, Start
from calendar_tui.screens.starting.form_view import NewSeasonView
from calendar_tui.season.refusal import Refusal
from calendar_tui.storage.opening import need_season

EXAMPLE = Offer(Path("two-rivers.toml"), "Two Rivers 2026-27", "34.3 S, 11 cohorts", choice.EXAMPLE)
FOUND = Offer(Path("hill.toml"), "Hill 2027", "hill.toml, 44.5 N, 2 cohorts", choice.HERE, "~/farm/hill.toml")
ELSEWHERE = Offer(
    Path("/home/ana/dale/dale.toml"),
    "Dale 2027",
    "in dale, 44.5 N, 1 cohort",
    choice.LATELY,
    "~/dale/dale.toml",
)
Made = list[tuple[str, Mapping[str, Any]]]


@pytest.fixture
def made() -> Made:
    return []


@pytest.fixture
def app_of(made: Made) -> Callable[..., StartApp]:
    def make(file: str, values: Mapping[str, Any]) -> Chosen:
        if file == "there.toml":
            raise Refusal("there.toml is there already; give the name of a new file")
        made.append((file, values))
        return Chosen(Path(file), False, "3 tasks are left out.")

    def app(*offers: Offer, preferences: Preferences = AS_IT_COMES) -> StartApp:
        reader = Reader(lambda zone: date(2026, 12, 8), "")
        return StartApp(Start("/home/ana/farm", offers or (EXAMPLE,), reader, make, {}, next_of), preferences)

    return app


def next_of(path: Path) -> NextFile:
    opened, season = need_season(path)
    today = date(2026, 12, 8)
    return next_file(opened, (make_plan(season, today),), Wish(), today)


async def typed(pilot: Pilot[Chosen], *lines: str) -> int:
    """Type each line and Enter; gives how many keys that took beside the letters."""
    for line in lines:
        await pilot.press(*line, "enter")
    await pilot.app.workers.wait_for_complete()
    await pilot.pause()
    return len(lines)


def form(pilot: Pilot[Chosen]) -> NewSeasonView:
    assert isinstance(pilot.app.screen, NewSeasonView)
    return pilot.app.screen


# fmt: off
SEASON = (
    "Hill Farm", "44.5, -123.2", "", "1 mar", "15 dec", "H1 hoop house 180 m2 lamps 16 h", "", "amber", "", "", "",
)
# fmt: on
