"""A season with problems opens read-only with the list, and goes on once it is mended."""

from __future__ import annotations

import pytest
from others import MORE, in_place, looked, set_plants
from season_on_disk import TEXT, app_of, notes
from settling import settled

from calendar_tui.screens.pages.problems_view import ProblemsView
from calendar_tui.screens.season.view import SeasonView
from calendar_tui.storage.opening import open_to_show


@pytest.fixture
def season(tmp_path):
    path = tmp_path / "two.toml"
    path.write_text(TEXT + MORE, encoding="utf-8")
    return path


BROKEN = {
    "not TOML": lambda text: text + "[[cohort\n",
    "a problem": lambda text: text.replace('"H2"', '"H3"', 1),
    "empty": lambda text: "",
}


@pytest.mark.slow
@pytest.mark.parametrize("broken", BROKEN.values(), ids=BROKEN.keys())
async def test_a_season_with_problems_opens_with_the_list_and_goes_on_once_mended(season, broken):
    whole = season.read_text()
    in_place(season, broken(whole))
    before = season.read_bytes()
    app = app_of(season, opened=open_to_show(season))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert isinstance(app.screen, ProblemsView)
        # The path may be longer than a line.
        assert f"{season.name}:" in "".join(app.screen.text.split())
        for key in ("u", "U", "R", "y", "escape"):
            await pilot.press(key)
            await settled(app, pilot)
        app.save(set_plants(30))
        await looked(app, pilot, 3)
        assert season.read_bytes() == before
        assert isinstance(app.screen, ProblemsView)
        (note,) = notes(app)  # the save's: those of the keys are gone with the next one
        assert "while the season has problems" in note
        in_place(season, whole)
        await looked(app, pilot)
        assert isinstance(app.screen, SeasonView)
        assert notes(app)[-1] == "The file reads well now."


async def test_the_list_follows_what_is_mended(season):
    in_place(season, season.read_text().replace('"seed"', '"sed"'))
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert "This season has 3 problems" in app.screen.text
        in_place(season, season.read_text().replace('"sed"', '"seed"', 2))
        await looked(app, pilot)
        assert "This season has 1 problem\n" in app.screen.text


STATION = '[station]\nfile = "days.csv"\nunit = "C"\n'
DAYS = "date,low,high\n2026-10-01,8,20\n2026-10-02,9,21\n"


async def test_problems_of_the_stations_file_alone_are_shown_and_keep_saves_away(season):
    station = season.with_name("days.csv")
    in_place(season, season.read_text().replace("[[place]]", STATION + "[[place]]", 1))
    station.write_text(DAYS.replace("20\n", "warm\n"))
    before = season.read_bytes()
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert isinstance(app.screen, ProblemsView)
        assert "days.csv:2:" in "".join(app.screen.text.split())
        app.save(set_plants(30))
        await pilot.press("u")
        await settled(app, pilot)
        assert season.read_bytes() == before
        station.write_text(DAYS)
        await looked(app, pilot)
        assert isinstance(app.screen, SeasonView)
        station.write_text(DAYS + "2026-10-03,7,19\n")
        await looked(app, pilot)
        assert notes(app)[-1] == "The days of its station's file have changed."
        station.write_text("no days")
        await looked(app, pilot, 2)
        assert f"\n{station.name}:" in notes(app)[-1]
        app.save(set_plants(30))
        await settled(app, pilot)
        assert notes(app)[-1].startswith("Not saved: A1 30 plants. The file has problems:")
    assert season.read_bytes() == before
