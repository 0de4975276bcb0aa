"""The season is opened where it was left: day, cohort, zoom and view; today stays today."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from season_on_disk import TEXT
from settling import settled

from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.opening_views import AT_START, name_of
from calendar_tui.screens.season.bookmark import (
    AT_FIRST,
    LONGEST,
    MOST,
    Bookmark,
    bookmark_of,
    plain_values,
)
from calendar_tui.screens.season.view import SeasonView
from calendar_tui.storage.opening import open_season

MORE = """\
[[cohort]]
id = "B1"
variety = "amber"
start = "seed"
place = "H2"
planned = { seeding = 2026-11-02, lights_off = 2027-01-10 }
"""
TODAY, TOMORROW = date(2026, 12, 8), date(2026, 12, 9)


@pytest.fixture
def season(tmp_path: Path) -> Path:
    path = tmp_path / "two.toml"
    path.write_text(TEXT + MORE, encoding="utf-8")
    return path


def app_of(season: Path, bookmark: Bookmark = AT_FIRST, today: date = TODAY) -> CalendarApp:
    def now() -> datetime:
        return datetime(2026, 12, 8, 9, tzinfo=UTC)

    return CalendarApp(open_season(season), today, "Cleo", now, bookmark=bookmark)


async def left_by(app: CalendarApp, *keys: str) -> Bookmark:
    """Where it is left after these keys."""
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        for key in keys:
            await pilot.press(key)
            await settled(app, pilot)
        await pilot.press("q")
    return app.bookmark


def season_view(app: CalendarApp) -> SeasonView:
    (view,) = (screen for screen in app.screen_stack if isinstance(screen, SeasonView))
    return view


async def test_day_cohort_and_zoom_are_as_they_were_left(season: Path) -> None:
    left = await left_by(app_of(season), "down", "plus", "plus", "right", "right")
    assert left == Bookmark(cursor=date(2026, 12, 10), cohort="B1", zoom="weeks", arranged="place")
    app = app_of(season, left, TOMORROW)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        view = season_view(app)
        assert (view.cursor, view.cohort_id) == (date(2026, 12, 10), "B1")
        assert view.bookmark == left
        before = view.text
        await pilot.press("minus")
        await pilot.press("plus")
        assert "weeks" in before
        assert view.bookmark.zoom == "weeks"


async def test_what_was_arranged_found_and_folded_is_so_again(season: Path) -> None:
    left = await left_by(app_of(season), "b", "slash", *"amb", "enter", "z")
    assert left == Bookmark("", None, "A1", "crops", "variety", "amb", ("amber",))
    app = app_of(season, left)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert season_view(app).bookmark == left
        assert "only amb" in season_view(app).text
        await pilot.press("z", "escape")
        await settled(app, pilot)
        assert season_view(app).bookmark == Bookmark(cohort="A1", zoom="crops", arranged="variety")


async def test_a_cursor_left_on_today_stands_on_the_new_day(season: Path) -> None:
    left = await left_by(app_of(season), "right", "0")
    assert left.cursor is None
    app = app_of(season, left, TOMORROW)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert season_view(app).cursor == TOMORROW


@pytest.mark.quick(2)
@pytest.mark.parametrize(("keys", "view"), [("t", "today"), ("w", "week"), ("h", "load"), ("wh", "load")])
async def test_the_view_that_was_left_is_opened_and_esc_leads_to_the_season(
    season: Path, keys: str, view: str
) -> None:
    left = await left_by(app_of(season), *keys)
    assert left.view == view
    app = app_of(season, left)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert name_of(app.screen) == view
        assert app._pictured.is_set()
        await pilot.press("escape")
        await settled(app, pilot)
        assert app.screen is season_view(app)


@pytest.mark.slow
async def test_a_view_that_was_closed_is_not_opened_again(season: Path) -> None:
    left = await left_by(app_of(season, Bookmark(view="week")), "escape")
    assert left.view == ""


@pytest.mark.parametrize(
    "bookmark",
    [
        Bookmark(cohort="Z9", zoom="decades", view="nothing"),
        Bookmark(cursor=date(1999, 1, 1), folded=("H9",), arranged="moon", words="no such"),
        Bookmark(cursor=date(2099, 1, 1)),
    ],
)
async def test_what_is_not_in_the_season_any_more_does_no_harm(season: Path, bookmark: Bookmark) -> None:
    app = app_of(season, bookmark._replace(words=""))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        view = season_view(app)
        assert app.screen is view
        assert view.cohort_id == "A1"
        assert "A1" in view.text


async def test_a_season_with_problems_keeps_where_it_was_left(season: Path) -> None:
    season.write_text(TEXT.replace('"amber"', '"ambre"', 1), encoding="utf-8")
    from calendar_tui.storage.opening import open_to_show

    left = Bookmark(cursor=TODAY, cohort="B1", view="week")
    app = CalendarApp(
        open_to_show(season), TODAY, "Cleo", lambda: datetime(2026, 12, 8, tzinfo=UTC), bookmark=left
    )
    assert app.plan is None
    assert await left_by(app) == left


def test_a_standing_is_the_same_after_json() -> None:
    for bookmark in (
        AT_FIRST,
        Bookmark("week", TODAY, "A1", "weeks", "variety", "amber H2", ("H1", "F 2 Süd")),
    ):
        assert bookmark_of(plain_values(bookmark)) == bookmark
    assert plain_values(AT_FIRST) == {}


@pytest.mark.parametrize(
    "kept",
    [
        {"cursor": "2026-13-01"},
        {"cursor": 3, "cohort": ["A1"], "folded": "H1", "zoom": None},
        {"cohort": "A" * (LONGEST + 1), "words": "\x1b[2J", "folded": [3, "\n", {}]},
        {"other": 1},
    ],
)
def test_what_is_not_of_its_kind_is_as_at_first(kept: dict[str, object]) -> None:
    assert bookmark_of(kept) == AT_FIRST


def test_no_more_groups_are_folded_than_are_kept() -> None:
    assert len(bookmark_of({"folded": [f"H{n}" for n in range(2 * MOST)]}).folded) == MOST


async def test_every_view_that_the_program_can_open_with_opens(season: Path) -> None:
    for view in AT_START:
        app = app_of(season, Bookmark(view=view))
        async with app.run_test(size=(80, 24)) as pilot:
            await settled(app, pilot)
            assert name_of(app.screen) == view
