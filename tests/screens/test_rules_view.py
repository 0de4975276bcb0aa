"""The rules on the screen: each profile with its date and source, the lots, and one of the program taken in."""

from __future__ import annotations

from datetime import date
from typing import Any

from settling import settled
from small_app import SEASON, SmallApp

from calendar_tui.screens.cutting.rules_view import RulesView, shipped_profiles
from calendar_tui.screens.forms.form_view import FormView

TODAY = date(2026, 12, 8)


async def pressed(app: Any, pilot: Any, *keys: str) -> None:
    for key in keys:
        await pilot.press(key)
        await settled(app, pilot)


def _words(view: Any) -> str:
    return " ".join(view.text.split())


async def test_a_profile_of_the_program_is_taken_in_shown_first_and_changed_by_its_form() -> None:
    view = RulesView(shipped_profiles())
    app = SmallApp(view, TODAY, SEASON)
    async with app.run_test(size=(100, 30)) as pilot:
        await settled(app, pilot)
        assert "none yet: t takes one of those below in" in _words(view)
        view._list.stand_on("shipped us")
        await settled(app, pilot)
        text = _words(view)
        assert "us: United States, 7 CFR 990, as of 28 Nov 2026: check with your authority" in text
        assert "source: 7 CFR 990.1" in text
        assert "measurement uncertainty: taken off" in text
        await pressed(app, pilot, "t")
        assert "profile" not in app.data
        await pressed(app, pilot, "enter")
        (one,) = app.data["profile"]
        assert (one["id"], str(one["as_of"])) == ("us", "2026-11-28")
        assert "the newest that holds, since 12 Nov 2026" in _words(view)
        view._list.stand_on("profile us")
        await pressed(app, pilot, "enter")
        assert isinstance(app.screen, FormView)


async def test_one_that_the_season_has_already_is_not_taken_in_twice() -> None:
    view = RulesView(shipped_profiles())
    app = SmallApp(view, TODAY, SEASON)
    async with app.run_test(size=(100, 30)) as pilot:
        view._list.stand_on("shipped us")
        await pressed(app, pilot, "t", "enter")
        view._list.stand_on("shipped us")
        await pressed(app, pilot, "t")
        assert app.screen is view
        assert len(app.data["profile"]) == 1
        assert "the season has its own" in _words(view)
