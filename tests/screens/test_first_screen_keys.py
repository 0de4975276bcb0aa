"""The first screen has the keys, the colours and the pages of the rest of the program."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from first_use import EXAMPLE, FOUND, app_of, form, made
from settling import settled

from calendar_tui.screens.kit.drawing import Picker
from calendar_tui.screens.kit.keys import Keys
from calendar_tui.screens.kit.own_keys import own_keys
from calendar_tui.screens.kit.preferences import Preferences
from calendar_tui.screens.pages.help_view import HelpView
from calendar_tui.screens.palette.view import PaletteView
from calendar_tui.screens.start_app import StartApp
from calendar_tui.screens.starting.first_view import FirstView
from calendar_tui.screens.starting.form_view import NewSeasonView

__all__ = ["app_of", "made"]


async def test_the_help_of_the_first_screen_begins_with_its_own_keys(app_of: Callable[..., StartApp]) -> None:
    app = app_of()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("question_mark")
        await settled(app, pilot)
        assert isinstance(app.screen, HelpView)
        assert app.screen.text.splitlines()[0].rstrip() == "On the first screen"
        await pilot.press("escape", "enter", *"Hill", "f1")
        await settled(app, pilot)
        assert app.screen.text.splitlines()[0].rstrip() == "In a form"
        await pilot.press("escape")
        assert "Hill" in form(pilot).text


async def test_ctrl_p_finds_what_can_be_done_on_the_first_screen(app_of: Callable[..., StartApp]) -> None:
    app = app_of()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("ctrl+p")
        palette = await settled(app, pilot)
        assert isinstance(palette, PaletteView)
        assert "or make one of your own" in palette.text.splitlines()[1]
        assert "history" not in palette.text
        await pilot.press(*"colours", "enter")
        await settled(app, pilot)
        assert app.messages == ("Colours: dark, for a dark background, told apart also by the colour-blind.",)
        await pilot.press("ctrl+p", *"make", "enter")
        assert isinstance(await settled(app, pilot), NewSeasonView)


async def test_t_changes_the_colours_of_the_first_screen_and_types_a_letter_in_the_form(
    app_of: Callable[..., StartApp],
) -> None:
    app = app_of()
    async with app.run_test(size=(80, 24)) as pilot:
        app.take_background(False)
        assert app.colours == "terminal, light"
        await pilot.press("T")
        assert app.colour_theme == "dark"
        await pilot.press("enter", "T")
        assert (app.colour_theme, form(pilot)._list.typed) == ("dark", {"name": "T"})


async def test_the_first_screen_has_ones_own_keys_and_tells_once_which_do_not_hold(
    app_of: Callable[..., StartApp],
) -> None:
    keys = own_keys({"help": {"help": "F5"}, "first": {"choose": "Space"}}).keys
    app = app_of(preferences=Preferences(keys, theme="light", note="settings.toml:3: role is 5"))
    async with app.run_test(size=(80, 24)) as pilot:
        assert app.messages == ("settings.toml:3: role is 5",)
        assert app.colour_theme == "light"
        await pilot.press("down")
        await settled(app, pilot)
        await pilot.press("f5")
        assert isinstance(await settled(app, pilot), HelpView)
        await pilot.press("escape", "home", "enter")
        assert isinstance(await settled(app, pilot), FirstView)
        assert "F5 help" in app.screen.query_one(Keys).text
        await pilot.press("space")
        assert isinstance(await settled(app, pilot), NewSeasonView)


async def test_ctrl_c_on_the_first_screen_explains_how_to_leave(app_of: Callable[..., StartApp]) -> None:
    app = app_of()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("enter", *"Hill", "ctrl+c")
        assert app.messages[-1].startswith("Ctrl+C does not leave the program")
        assert "Hill" in form(pilot).text


async def test_the_history_key_does_nothing_where_no_season_is_open(app_of: Callable[..., StartApp]) -> None:
    app = app_of()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("y")
        assert isinstance(await settled(app, pilot), FirstView)


@pytest.mark.parametrize("size", [(40, 12), (80, 24)])
async def test_the_way_out_of_the_first_screen_is_named(
    app_of: Callable[..., StartApp], size: tuple[int, int]
) -> None:
    async with app_of().run_test(size=size) as pilot:
        assert pilot.app.screen.query_one(Keys).text.rstrip().endswith("q quit")


async def test_what_ctrl_p_finds_for_a_field_is_done_in_that_field(app_of: Callable[..., StartApp]) -> None:
    app = app_of()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("enter", *"Hill", "ctrl+p")
        await settled(app, pilot)
        await pilot.press(*"take out all that is typed", "enter")
        await settled(app, pilot)
        assert form(pilot)._list.typed == {}


async def test_next_years_season_is_named_only_on_a_season_of_ones_own(
    app_of: Callable[..., StartApp],
) -> None:
    app = app_of(FOUND, EXAMPLE)
    async with app.run_test(size=(80, 24)) as pilot:
        named = {}
        for key in ("home", "down", "end"):
            await pilot.press(key)
            await settled(app, pilot)
            here = app.screen.query_one(Picker).row_text.split("  ")[0]
            named[here] = "n next year" in app.screen.query_one(Keys).text
    assert named == {FOUND.name: True, "Make a season of your own": False, EXAMPLE.name: False}
