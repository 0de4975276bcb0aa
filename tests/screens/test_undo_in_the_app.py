"""u and U on the full screen where another person has saved: a question names whose change it is."""

from __future__ import annotations

from season_on_disk import app_of, going_to_the_first, notes, plants, save, season
from settling import settled

from calendar_tui.screens.history.view import HistoryView
from calendar_tui.screens.kit.keys import Keys
from calendar_tui.screens.season.view import SeasonView
from calendar_tui.season.edits import Change, Edit

__all__ = ["season"]


async def test_u_asks_before_it_takes_another_persons_change_and_any_other_key_leaves_it(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("u")
        await settled(app, pilot)
        assert "ana, 16 d ago: 22 plants" in app.screen.text
        assert app.screen.query_one(Keys).text.strip() == "y undo  ↑↓ scroll  n/Esc back"
        assert plants(season) == 22
        await pilot.press("u", "enter")
        await settled(app, pilot)
        assert plants(season) == 22
        await pilot.press("escape")
        await settled(app, pilot)
        assert isinstance(app.screen, SeasonView)
        assert (plants(season), notes(app)) == (22, ["Nothing is undone."])
        await pilot.press("u")
        await settled(app, pilot)
        await pilot.press("y")
        await settled(app, pilot)
        assert (plants(season), notes(app)) == (21, ["Undone: 22 plants"])


async def test_ones_own_goes_unasked_below_another_persons(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        app.save(Change("Cleo's name", (Edit("set", "season", (), ("name",), "Three Rivers"),)))
        await settled(app, pilot)
        save(season, 23, who="ben")
        await pilot.press("u")
        await settled(app, pilot)
        assert 'name = "Two Rivers"' in season.read_text()
        assert plants(season) == 23
        assert "The newer change 5 of ben stays: 23 plants" in "\n".join(notes(app))


async def test_on_a_cohorts_page_u_takes_the_last_change_back_and_the_page_follows(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        app.save(Change("23 plants", (Edit("set", "cohort", ("A1",), ("plants",), 23),)))
        await settled(app, pilot)
        await pilot.press("enter")
        page = await settled(app, pilot)
        assert "23 plants" in page.text
        await pilot.press("u")
        assert await settled(app, pilot) is page
        assert "22 plants" in page.text
        assert plants(season) == 22
        await pilot.press("U")
        await settled(app, pilot)
        assert "23 plants" in page.text


async def test_going_back_over_other_peoples_changes_asks_with_all_of_them(season):
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await going_to_the_first(app, pilot)
        assert "ana, 16 d ago: 22 plants" in app.screen.text
        assert "ben, 16 d ago: 21 plants" in app.screen.text
        await pilot.press("y")
        await settled(app, pilot)
        assert plants(season) == 20
        assert isinstance(app.screen, HistoryView)
