"""Keys that a person has in place of the table's: what fits, what is refused, and what shows them."""

from __future__ import annotations

from pathlib import Path

import pytest
from season_on_disk import TEXT, app_of
from settling import settled

from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.kit.actions import BY_ID, bindings
from calendar_tui.screens.kit.every_key import KEYS
from calendar_tui.screens.kit.key import id_of
from calendar_tui.screens.kit.own_keys import (
    name_of as set_as,
)
from calendar_tui.screens.kit.own_keys import (
    named,
    own_keys,
    typed_key,
)
from calendar_tui.screens.kit.preferences import Preferences
from calendar_tui.screens.opening_views import name_of


def app_with(path: Path, wanted: dict[str, dict[str, str]]) -> CalendarApp:
    own = own_keys(wanted)
    assert own.wrong == ()
    app: CalendarApp = app_of(path, preferences=Preferences(own.keys))
    return app


@pytest.fixture
def season(tmp_path: Path) -> Path:
    path = tmp_path / "two.toml"
    path.write_text(TEXT, encoding="utf-8")
    return path


async def test_ones_own_key_acts_the_old_one_does_not_and_the_footer_names_it(season: Path) -> None:
    app = app_with(season, {"season": {"open-week": "F5"}, "tasks in a list": {"mark": "X"}})
    async with app.run_test(size=(160, 45)) as pilot:
        ground = await settled(app, pilot)
        assert "F5 week" in ground.text
        assert " w week" not in ground.text
        await pilot.press("w")
        await settled(app, pilot)
        assert app.screen is ground
        await pilot.press("f5")
        week = await settled(app, pilot)
        assert name_of(week) == "week"
        assert "X mark" in week._keys.text
        await pilot.press("X")
        assert week._marked == {"hoe1"}


async def test_the_help_names_ones_own_key(season: Path) -> None:
    app = app_with(season, {"season": {"open-week": "F5"}, "help": {"help": "Ctrl+H"}})
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("ctrl+h")
        view = await settled(app, pilot)
        assert "F5         Open this week's tasks." in view.text
        # That of the list of today.
        assert view.text.count("w          Open this week's tasks.") == 1


async def test_two_keys_are_swapped(season: Path) -> None:
    app = app_with(season, {"season": {"open-week": "t", "open-today": "w"}})
    for key, view in (("t", "week"), ("w", "today")):
        app = app_with(season, {"season": {"open-week": "t", "open-today": "w"}})
        async with app.run_test(size=(80, 24)) as pilot:
            await settled(app, pilot)
            await pilot.press(key)
            assert name_of(await settled(app, pilot)) == view


@pytest.mark.parametrize(
    ("wanted", "told"),
    [
        (
            {"season": {"open-week": "t"}},
            "t would be open-week of season and open-today of season, which are there together; "
            "choose another key for one of them",
        ),
        ({"week": {"group": "Space"}}, "Space would be group of week and tick of tasks in a list,"),
        ({"today": {"open-row": "U"}}, "U would be open-row of today and redo of redo,"),
        ({"program": {"quit": "w"}}, "w would be quit of program and open-week of season,"),
        ({"season": {"open-week": "PgUp"}}, "PgUp would be open-week of season and page-back of chart,"),
        (
            {"season": {"open-weak": "F5"}},
            'open-weak is nothing that a key of season does; did you mean "open-week"?',
        ),
        ({"seeson": {"open-week": "F5"}}, 'keys.seeson is no group of keys; did you mean "season"?'),
        ({"season": {"open-week": "Hyper+W"}}, 'open-week is "Hyper+W"; write a key, such as "W", "F5"'),
        ({"season": {"open-week": ""}}, 'open-week is ""; write a key'),
        ({"season": {"open-week": "Ctrl+C"}}, 'open-week is "Ctrl+C", but Ctrl+C ends other programs'),
        (
            {"record": {"switch": "x"}},
            'switch acts also while you type, and is "x"; choose one such as "Ctrl+W"',
        ),
    ],
)
def test_what_does_not_fit_is_refused_with_its_reason_and_stays_as_it_was(
    wanted: dict[str, dict[str, str]], told: str
) -> None:
    own = own_keys(wanted)
    ((path, message),) = own.wrong
    assert message.startswith(told)
    assert path == ("keys", *((g, n) for g, by_name in wanted.items() for n in by_name).__next__())
    assert own.keys == {}


@pytest.mark.parametrize(
    ("group", "name", "now"),
    [
        ("farm", "add", "records.add"),
        ("farm", "take-out", "records.take-out"),
        ("chores", "add-chore", "records.add"),
        ("varieties", "add-variety", "records.add"),
        ("value", "change", "records.change"),
    ],
)
def test_a_name_that_was_another_before_is_told_with_the_one_of_now(group: str, name: str, now: str) -> None:
    (wrong,) = own_keys({group: {name: "F5"}}).wrong
    assert wrong.path == ("keys", group, name)
    assert wrong.message == f"keys.{group}.{name} is now keys.{now}; set that in its place"
    new_group, new_name = now.split(".")
    assert own_keys({new_group: {new_name: "F5"}}).wrong == ()


def test_of_two_own_keys_that_clash_one_stays() -> None:
    own = own_keys({"season": {"open-week": "F5", "open-load": "F5"}})
    assert [wrong.path[-1] for wrong in own.wrong] == ["open-load"]
    assert [key.names for key in own.keys.values()] == ["f5"]


def test_the_same_key_in_views_that_are_never_together_is_no_clash() -> None:
    assert own_keys({"season": {"open-week": "F5"}, "week": {"group": "F5"}}).wrong == ()


@pytest.mark.parametrize(
    ("typed", "key"),
    [
        ("W", ("W", "W")),
        ("f5", ("f5", "F5")),
        ("ctrl+W", ("ctrl+w", "Ctrl+W")),
        ("Space", ("space", "Space")),
        ("pgdn", ("pagedown", "PgDn")),
        ("?", ("question_mark", "?")),
        ("-", ("minus", "-")),
        ("/", ("slash", "/")),
        ("Alt+Enter", ("alt+enter", "Alt+Enter")),
        ("Esc", ("escape", "Esc")),
        ("é", ("é", "é")),
        ("\x1b", None),
        ("shift+a", None),
        ("F99", None),
        ("two words", None),
    ],
)
def test_keys_are_written_as_people_call_them(typed: str, key: tuple[str, str] | None) -> None:
    assert typed_key(typed) == key


def test_every_key_of_the_table_that_is_bound_can_be_typed_as_it_is_shown() -> None:
    for key in BY_ID.values():
        if key.action and key.shown:
            named_so = typed_key(key.shown.split()[0])
            assert named_so is not None, key
            assert named_so[0] in key.names.split(",") or key.shown in ("Up Down", "Left Right"), key


def test_a_name_stands_for_one_thing_in_its_group() -> None:
    for group, keys in KEYS.items():
        by_name = named(group)
        for key in keys:
            assert not key.action or by_name[set_as(key)].action == key.action, key


def test_each_binding_has_the_id_under_which_its_key_is_set() -> None:
    for group, keys in KEYS.items():
        ids = [binding.id for binding in bindings(group)]  # type: ignore[union-attr]
        assert ids == [id_of(group, key) for key in keys if key.action]


async def test_what_is_told_names_ones_own_key(season: Path) -> None:
    later = '[[task]]\nid = "hoe9"\ndate = 2026-12-09\nwhat = "Hoe again"\n'
    season.write_text(TEXT + later, encoding="utf-8")
    app = app_with(season, {"tasks in a list": {"mark-all": "F6"}})
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("w")
        await settled(app, pilot)
        await pilot.press("f6")
        assert app.messages == ("Marked what is due by today; F6 again marks the 1 later too.",)
