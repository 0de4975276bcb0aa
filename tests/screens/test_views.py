"""The table of views, and what the program does for all of them alike."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from graphlib import TopologicalSorter
from pathlib import Path

import pytest
from season_on_disk import TEXT, app_of, notes
from settling import settled

from calendar_tui import screens
from calendar_tui.screens.kit.actions import BY_ID
from calendar_tui.screens.opening_views import name_of
from calendar_tui.screens.views import VIEWS

COUNT = '\n[[chore]]\nid = "count"\nwhat = "Hoe"\nstage = "transplant"\nasks = "rows hoed"\n'
SCREENS = Path(screens.__file__).parent


def trees() -> Iterator[tuple[str, ast.Module]]:
    """Each module of the screens by its full name."""
    for file in SCREENS.rglob("*.py"):
        name = ".".join(("calendar_tui.screens", *file.relative_to(SCREENS).with_suffix("").parts))
        yield name, ast.parse(file.read_text(encoding="utf-8"))


def test_no_module_of_the_screens_needs_itself_by_way_of_others() -> None:
    needs = {
        name: {n.module for n in ast.walk(tree) if isinstance(n, ast.ImportFrom) and n.module}
        for name, tree in trees()
    }
    order = TopologicalSorter({name: found & needs.keys() for name, found in needs.items()})
    assert len(list(order.static_order())) > 40  # raises CycleError with the way round


@pytest.mark.slow
def test_every_view_that_is_asked_for_stands_in_the_table_and_none_stands_there_unasked() -> None:
    asked = {
        name.value
        for _, tree in trees()
        for call in ast.walk(tree)
        if isinstance(call, ast.Call)
        for name in call.args
        if isinstance(name, ast.Constant) and isinstance(name.value, str) and name.value and _opens(call)
    }
    # What a row of Today opens is told by the kind of decision.
    asked |= VIEWS.keys() & {
        n.value
        for name, tree in trees()
        if name.endswith("opened_by")
        for n in ast.walk(tree)
        if isinstance(n, ast.Constant)
    }
    by_key = {
        n.value
        for key in BY_ID.values()
        for n in ast.walk(ast.parse(key.action))
        if isinstance(n, ast.Constant)
    }
    assert asked | (by_key & VIEWS.keys()) == VIEWS.keys() - {"season", "problems"}


def _opens(call: ast.Call) -> bool:
    """Whether a call opens a view: `open_view` itself, or a partial of it."""
    names = [n.attr for n in (call.func, *call.args) if isinstance(n, ast.Attribute)]
    return "open_view" in names


async def test_ctrl_c_on_the_season_tells_in_plain_words_how_to_leave(tmp_path) -> None:
    path = tmp_path / "two.toml"
    path.write_text(TEXT, encoding="utf-8")
    app = app_of(path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("ctrl+c")
        await pilot.pause()
        assert notes(app) == ["Ctrl+C does not leave the program: q does, or Ctrl+Q while you type."]


@pytest.mark.parametrize("keys", [["w", "space"]])
async def test_the_picture_of_a_view_that_is_opened_waits_until_it_is_whole(
    tmp_path, monkeypatch, keys: list[str]
) -> None:
    path = tmp_path / "two.toml"
    path.write_text(
        TEXT.replace('what = "Hoe"', 'what = "Hoe"\nchore = "count"', 1) + COUNT, encoding="utf-8"
    )
    app = app_of(path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        for key in keys[:-1]:
            await pilot.press(key)
            await settled(app, pilot)
        before, held_back = app.screen, list[object]()
        monkeypatch.setattr(app, "delay_update", lambda _seconds: held_back.append(app.screen))
        await pilot.press(keys[-1])
        await settled(app, pilot)
        assert app.screen is not before
        assert held_back == [app.screen]


async def test_a_view_may_lie_upon_itself_with_others_between(tmp_path) -> None:
    path = tmp_path / "two.toml"
    path.write_text(TEXT, encoding="utf-8")
    app = app_of(path)
    opened = ["week", "load", "week", "load", "week"]
    async with app.run_test(size=(80, 24)) as pilot:
        for name in opened:
            await app.open_view(name)
            await settled(app, pilot)
        assert [name_of(screen) for screen in app.screen_stack[1:]] == opened
