"""The first screen where no season is opened: make one by a form, look at an example, open one of those found."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from first_use import ELSEWHERE, EXAMPLE, FOUND, SEASON, Made, app_of, form, made, typed
from settling import settled

from calendar_tui.screens.start_app import StartApp
from calendar_tui.screens.starting.choice import HERE, Chosen
from calendar_tui.screens.starting.first_view import FirstView

__all__ = ["app_of", "made"]


@pytest.mark.slow
async def test_a_season_with_a_place_and_a_variety_takes_twelve_keys_beside_what_is_typed(
    app_of: Callable[..., StartApp], made: Made
) -> None:
    app = app_of()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("enter")
        keys = 1 + await typed(pilot, *SEASON)
    assert keys == 12
    assert app.return_value == Chosen(Path("hill-farm.toml"), False, "3 tasks are left out.")
    ((_, values),) = made
    assert (values["name"], values["timezone"]) == ("Hill Farm", "America/Los_Angeles")
    assert values["first_day"] == date(2027, 3, 1)
    assert [r["id"] for kind in ("place", "variety") for r in values["records"][kind]] == ["H1", "amber"]
    assert values["records"]["cohort"] == []


async def test_the_zone_is_proposed_and_what_was_read_stands_beside_each_answer(
    app_of: Callable[..., StartApp],
) -> None:
    async with app_of().run_test(size=(100, 30)) as pilot:
        await pilot.press("enter")
        await typed(pilot, *SEASON[:2])
        text = form(pilot).text
        assert form(pilot).here == "time zone"
        assert re.search("America/Los_Angeles +proposed: of the position", text)
        assert "44.5 N 123.2 W, 21 Jun 15 h 33" in text
        await typed(pilot, "", "1 mar")
        assert "proposed" not in form(pilot).text
        assert "Mon 1 Mar 2027" in form(pilot).text


@pytest.mark.slow
async def test_a_wrong_answer_is_told_beside_its_field_and_the_cursor_stays(
    app_of: Callable[..., StartApp],
) -> None:
    async with app_of().run_test(size=(120, 30)) as pilot:
        await pilot.press("enter")
        await typed(pilot, *SEASON[:5], "H1 hop house")
        view = form(pilot)
        assert view.here == "place 1"
        assert 'did you mean "hoop house"?' in view.text
        await pilot.press(*["backspace"] * 9, *"hoop house")
        assert "did you mean" not in view.text
        assert "hoop house, no lamps" in view.text
        assert "Hill Farm" in view.text


async def test_a_kind_of_place_is_completed_behind_its_name(app_of: Callable[..., StartApp]) -> None:
    async with app_of().run_test(size=(120, 30)) as pilot:
        await pilot.press("enter")
        await typed(pilot, *SEASON[:5])
        await pilot.press(*"H1 ho", "tab", *" 180 m2")
        assert "H1 hoop house 180 m2" in form(pilot).text
        assert "hoop house, 180 m2, no lamps" in form(pilot).text


async def test_what_is_missing_is_gone_to_before_anything_is_made(
    app_of: Callable[..., StartApp], made: Made
) -> None:
    async with app_of().run_test(size=(80, 24)) as pilot:
        await pilot.press("enter", *"Hill")
        await pilot.press(*["down"] * 20)
        await typed(pilot, "")
        assert form(pilot).here == "position"
        assert "position is empty; write the position" in form(pilot).text
        assert made == []


@pytest.mark.slow
async def test_a_zone_nobody_looked_at_is_not_taken(app_of: Callable[..., StartApp], made: Made) -> None:
    async with app_of().run_test(size=(80, 24)) as pilot:
        await pilot.press("enter")
        await typed(pilot, SEASON[0])
        await pilot.press(*SEASON[1])
        view = form(pilot)
        view._list.stand_on("first day")  # a click that passes the zone by
        await typed(pilot, *SEASON[3:])
        assert (view.here, made) == ("time zone", [])
        view._list.stand_on("file")
        await typed(pilot, "")
    assert len(made) == 1


@pytest.mark.slow
async def test_a_file_that_is_there_is_told_and_another_name_is_taken(
    app_of: Callable[..., StartApp], made: Made
) -> None:
    async with app_of().run_test(size=(80, 24)) as pilot:
        await pilot.press("enter")
        await typed(pilot, *("there", *SEASON[1:]))
        assert "there.toml is there already" in form(pilot).text
        await pilot.press("home", "x", "enter")
        await pilot.app.workers.wait_for_complete()
    assert [file for file, _ in made] == ["xthere.toml"]


async def test_esc_keeps_what_was_typed_and_enter_goes_on_with_it(app_of: Callable[..., StartApp]) -> None:
    app = app_of()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("enter")
        await typed(pilot, *SEASON[:4])
        await pilot.press("escape")
        assert isinstance(app.screen, FirstView)
        assert "Go on with Hill Farm, not made yet" in app.screen.text
        await pilot.press("enter")
        await pilot.pause()
        assert form(pilot).here == "last day"
        assert "44.5, -123.2" in form(pilot).text
        await pilot.press("ctrl+q")
    assert (app.return_value, app.start.typed["name"]) == (None, "Hill Farm")


async def test_an_example_and_a_season_found_are_a_key_or_two_away(app_of: Callable[..., StartApp]) -> None:
    app = app_of(FOUND, EXAMPLE)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("enter")
    assert app.return_value == Chosen(FOUND.path, False)
    app = app_of(FOUND, EXAMPLE)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("end", "enter")
    assert app.return_value == Chosen(EXAMPLE.path, True)


async def test_a_season_opened_lately_elsewhere_stands_above_the_examples_and_enter_opens_it(
    app_of: Callable[..., StartApp],
) -> None:
    app = app_of(ELSEWHERE, EXAMPLE)
    async with app.run_test(size=(80, 24)) as pilot:
        assert isinstance(app.screen, FirstView)
        heading, *rows = filter(None, map(str.strip, app.screen.text.splitlines()))
        assert heading == "No season in /home/ana/farm"
        at = [rows.index(text) for text in ("Opened lately", "Make a season of your own")]
        assert rows[at[0] + 1].split("  ")[0] == "Dale 2027"
        assert at[0] < at[1] < rows.index("Look at an example, in a copy")
        await pilot.press("enter")
    assert app.return_value == Chosen(ELSEWHERE.path, False)


@pytest.mark.parametrize("key", ["q", "ctrl+q"])
async def test_the_first_screen_is_left_with_nothing_chosen(
    app_of: Callable[..., StartApp], key: str
) -> None:
    app = app_of()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press(key)
    assert (app.return_value, app.return_code) == (None, 0)


@pytest.mark.slow
@pytest.mark.parametrize("size", [(40, 12), (60, 20), (80, 24), (160, 45)])
async def test_the_field_that_is_typed_in_is_in_sight_in_every_size(
    app_of: Callable[..., StartApp], size: tuple[int, int]
) -> None:
    app = app_of()
    async with app.run_test(size=size) as pilot:
        await pilot.press("enter")
        for line in SEASON[:-1]:
            await typed(pilot, line)
            await settled(app, pilot)
            view = form(pilot)
            at = next(y for y, r in enumerate(view._list.rows) if r.key == view.here)
            assert 0 <= at - view._list.scroll_offset.y < view._list.size.height


async def test_the_form_is_as_its_page_shows_it(app_of: Callable[..., StartApp]) -> None:
    page = (Path(__file__).parents[2] / "docs" / "your-season.md").read_text(encoding="utf-8")
    shown = page.split("A season of your own  nothing is saved before the last Enter\n")[1].split("\n```")[0]
    rows = {row.split("  ")[0]: row for row in (line[2:] for line in shown.splitlines())}
    answers = [
        rows[name][11:45].strip()
        for name in ("name", "position", "first day", "last day", "place 1", "variety 1")
    ]
    async with app_of().run_test(size=(80, 24)) as pilot:
        await pilot.press("enter")
        name, position, first, last, place, variety = answers
        await typed(pilot, name, position, "", first, last, place, "", variety, "")
        assert form(pilot).here == "cohort 1"
        assert [line.rstrip() for line in form(pilot)._list.text.splitlines()] == list(rows.values())


async def test_a_season_found_is_opened_by_two_clicks(app_of: Callable[..., StartApp]) -> None:
    app = app_of(FOUND, EXAMPLE)
    async with app.run_test(size=(80, 24)) as pilot:
        view = app.screen
        assert isinstance(view, FirstView)
        y = next(y for y, line in enumerate(view._list.text.splitlines()) if "Two Rivers" in line)
        for _ in range(2):
            await pilot.click("Picker", offset=(6, y))
    assert app.return_value == Chosen(EXAMPLE.path, True)


async def test_what_an_offer_is_ends_in_the_mark_for_cut_text_where_there_is_no_room(
    app_of: Callable[..., StartApp],
) -> None:
    app = app_of(FOUND._replace(about="hill.toml, " + "44.5 N, " * 9), EXAMPLE)
    async with app.run_test(size=(60, 20)):
        assert isinstance(app.screen, FirstView)
        lines = app.screen.text.splitlines()
        assert max(map(len, lines)) <= 60
        assert next(line for line in lines if "hill.toml, 44.5" in line).endswith("…")


@pytest.mark.slow
async def test_a_cohort_has_room_on_a_wide_screen(app_of: Callable[..., StartApp]) -> None:
    line = "A1 amber H1 100 plants seed 20 mar lights off +60"
    async with app_of().run_test(size=(160, 45)) as pilot:
        await pilot.press("enter")
        await typed(pilot, *SEASON[:9], line)
        assert line in form(pilot).text


async def test_the_days_of_the_season_stand_below_the_form_once_its_position_is_known(
    app_of: Callable[..., StartApp],
) -> None:
    app = app_of()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("enter")
        await typed(pilot, SEASON[0])
        assert form(pilot)._sky.text == ""
        await typed(pilot, *SEASON[1:5])
        rows = form(pilot)._sky.text.splitlines()
        assert (rows[0].split()[:2], rows[4].split()[:2]) == (["16", "h"], ["8", "h"])
        assert rows[5].split() == ["Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]
        summer = rows[0][8:].rstrip()
        assert 0 < len(summer) - len(summer.lstrip()) < len(summer) < 60  # the longest days are in the middle
        await pilot.resize_terminal(80, 16)
        await settled(app, pilot)
        assert not form(pilot)._sky.display


async def test_a_long_folder_is_cut_at_its_start_and_a_heading_at_its_end_in_forty_columns(
    app_of: Callable[..., StartApp],
) -> None:
    app = app_of()
    app.start = app.start._replace(folder="/home/ana/" + "farm/" * 9)
    async with app.run_test(size=(40, 12)) as pilot:
        view = app.screen
        assert isinstance(view, FirstView)
        # Of a folder the end is what tells it from others.
        assert view.text.splitlines()[0] == "No season of your own yet in ...rm/farm/"
        await pilot.press("enter")
        await pilot.pause()
        assert form(pilot).text.splitlines()[0] == "A season of your own  nothing is saved …"


async def test_a_zone_that_does_not_fit_is_told_in_its_row_and_the_cursor_stays(
    app_of: Callable[..., StartApp],
) -> None:
    async with app_of().run_test(size=(60, 20)) as pilot:
        await pilot.press("enter")
        await typed(pilot, "Hill", "44.5 N 123.2 W", "Europe/Berlin")
        assert form(pilot).here == "time zone"
        assert "longitude -123.2 is 9 h from the clock of Europe/Berlin" in " ".join(form(pilot).text.split())


@pytest.mark.parametrize("size", [(40, 12), (60, 20), (80, 24)])
async def test_what_an_entry_is_stands_below_it_in_full(
    app_of: Callable[..., StartApp], size: tuple[int, int]
) -> None:
    async with app_of().run_test(size=size) as pilot:
        assert isinstance(pilot.app.screen, FirstView)
        for key in ("home", "end"):
            await pilot.press(key)
            assert pilot.app.screen.text.rstrip().endswith(".")


async def test_a_long_path_stands_below_with_the_name_of_its_file(app_of: Callable[..., StartApp]) -> None:
    file = "~/" + "farm/" * 20 + "dale.toml"
    async with app_of(ELSEWHERE._replace(file=file), EXAMPLE).run_test(size=(60, 20)) as pilot:
        assert isinstance(pilot.app.screen, FirstView)
        lines = pilot.app.screen.text.splitlines()
        path = next(line for line in lines if "dale.toml" in line)
        assert path.startswith("...")
        assert path.endswith("/farm/dale.toml")
        assert len(path) <= 60


async def test_what_has_no_room_in_a_row_stands_below_it_and_nothing_twice(
    app_of: Callable[..., StartApp],
) -> None:
    about = "34.3 S, 11 cohorts, hoop house, field, lamps, drying"
    for width, below in ((80, 0), (60, 1)):
        async with app_of(EXAMPLE._replace(about=about)).run_test(size=(width, 20)) as pilot:
            await pilot.press("end")
            assert isinstance(pilot.app.screen, FirstView)
            text = " ".join(pilot.app.screen._about.text.split())
            assert text.count(f"{about}. ") == below
            assert text.endswith("A copy, on a day of its season: nothing can go wrong.")


@pytest.mark.parametrize("width", [80, 60, 40])
async def test_who_has_no_season_yet_reads_what_one_is(app_of: Callable[..., StartApp], width: int) -> None:
    async with app_of().run_test(size=(width, 20)) as pilot:
        view = pilot.app.screen
        assert isinstance(view, FirstView)
        title, *what = view.text.splitlines()[:4]
        assert title.startswith("No season of your own yet in ")
        assert title.endswith("a/farm")
        words = " ".join(" ".join(what).split())
        assert words.startswith("A season is one site's crop calendar in one file.")
        assert max(map(len, what)) <= width


async def test_who_has_seasons_is_only_asked_which(app_of: Callable[..., StartApp]) -> None:
    mine = EXAMPLE._replace(origin=HERE)
    async with app_of(mine).run_test(size=(80, 20)) as pilot:
        view = pilot.app.screen
        assert isinstance(view, FirstView)
        assert view.text.splitlines()[:2] == ["1 season in /home/ana/farm", "Choose one, or make one."]
