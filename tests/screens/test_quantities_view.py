"""What the season needs, on the screen: as the command prints it, the sums and the selected cohort first."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

from settling import settled
from small_app import SEASON, SmallApp

from calendar_tui.handing_on.words.quantities_text import quantities_text
from calendar_tui.planning.needs.sums import Quantities, quantities
from calendar_tui.planning.plan import make_plan
from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.pages.quantities_view import QuantitiesView
from calendar_tui.screens.season.view import SeasonView
from calendar_tui.season.reading import read_season
from calendar_tui.storage.opening import open_season
from tests.season_data import data_of

TODAY = date(2026, 11, 25)
PLANTS = SEASON.replace('place = "F1"\nplanned', 'place = "F1"\nplants = 120\nplanned') + (
    "[stock]\nseeds = { amber = 100 }\n"
)


def _found(text: str = PLANTS) -> Quantities:
    data = data_of(text)
    season = read_season(data).season
    assert season is not None
    return quantities(make_plan(season, TODAY), data)


def _words(text: str) -> str:
    return " ".join(text.replace("! ", " ").split())


async def test_the_page_says_what_the_command_prints() -> None:
    found = _found()
    view = QuantitiesView(found, "A3")
    async with SmallApp(view, TODAY, PLANTS).run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert view.text.startswith("Quantities  in all, ")
        block = _words("\n".join(quantities_text(found)))
        for line in view.text.splitlines()[1:]:
            assert _words(line) in block
        assert "seeds of amber: about 53 short: 153 are needed, 100 are there" in _words(view.text)
        first = view.text.splitlines()[1:3]
        assert first[0].startswith("! seeds of amber: about 53 short")
        assert view.text.index("\nA3  amber") < view.text.index("\nA1  amber")
        assert max(map(len, view.text.splitlines())) < 80


async def test_a_change_of_the_season_is_worked_out_anew() -> None:
    view = QuantitiesView(_found(), "A3")
    app = SmallApp(view, TODAY, PLANTS)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        next(c for c in app.data["cohort"] if c["id"] == "A3")["plants"] = 240
        app.reload()
        await settled(app, pilot)
        assert "A3  amber, 240 plants from seed" in view.text
        app.data["cohort"], app.data["task"] = [], []
        app.reload()
        await settled(app, pilot)
        assert view.text == "No cohort yet: press Esc, then a to add one."


async def test_its_key_opens_it_and_escape_leaves_it(tmp_path: Path) -> None:
    path = tmp_path / "farm.toml"
    path.write_text(PLANTS, encoding="utf-8")
    app = CalendarApp(open_season(path), TODAY, "ana", lambda: datetime(2026, 11, 25, tzinfo=UTC))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("n")
        await settled(app, pilot)
        assert isinstance(app.screen, QuantitiesView)
        await pilot.press("escape")
        assert isinstance(app.screen, SeasonView)
