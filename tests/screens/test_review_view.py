"""The review on screen: what the command prints, and a figure carried forward from under the cursor."""

from __future__ import annotations

import pytest
from settling import settled
from small_app import SmallApp

from calendar_tui.handing_on.words.review_text import review_text
from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.review.review import review_of
from calendar_tui.screens.asking.moves_view import MovesView
from calendar_tui.screens.review.view import ReviewView
from tests.seasons.test_seasons import ROOT, opened

TEXT = (ROOT / "seasons" / "bright-weir.toml").read_text(encoding="utf-8")


def _app() -> tuple[SmallApp, ReviewView]:
    season = opened("bright-weir")
    assert season.example_today is not None
    view = ReviewView(review_of(make_plan(season, season.example_today)))
    return SmallApp(view, season.example_today, TEXT), view


async def test_it_shows_what_the_command_prints() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert view.text.split() == " ".join(review_text(view._review)).split()
        assert "…" not in "".join(line[70:] for line in view.text.splitlines()), "nothing is cut"


@pytest.mark.slow
async def test_a_figure_under_the_cursor_is_carried_forward_and_the_review_is_new() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        view._list.stand_on("hours-scout")
        await pilot.press("enter")
        assert isinstance(await settled(app, pilot), MovesView)
        assert app.saved == []
        await pilot.press("enter")
        assert await settled(app, pilot) is view
        (chore,) = [c for c in app.data["chore"] if c["id"] == "scout"]
        assert chore["hours"] > 0.5
        assert "hours-scout" not in [one.id for one in view._review.carried]
        assert len(app.saved) == 1


@pytest.mark.parametrize("key", ["line 0", "line 3"])
async def test_a_line_that_proposes_nothing_says_where_to_stand(key: str) -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        view._list.stand_on(key)
        await pilot.press("enter")
        assert await settled(app, pilot) is view
        assert app.saved == []
