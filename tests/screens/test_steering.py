"""Nothing in a season file, its history or its name steers the terminal that shows it."""

from __future__ import annotations

import json
import re
import unicodedata
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from calendar_tui.screens.app import CalendarApp
from calendar_tui.season.edits import Change, Edit
from calendar_tui.storage.opening import open_season
from calendar_tui.storage.season_file import load, save_change
from tests.commands.small_season import PLAIN, run

pytestmark = pytest.mark.slow

EVIL = "\x1b]0;evil\x07\x9b2J\u202eevil\r"
NOW = datetime(2026, 11, 9, 9, tzinfo=UTC)
VIEWS = {"season": "", "week": "w", "lamps": "l", "varieties": "v", "history": "y", "one change": "y,enter", "help": "question_mark",
         "why": "enter", "a record": "r", "an undo": "u", "as it was": "y,a"}  # fmt: skip


def drawn(app: CalendarApp) -> str:
    """What is drawn on the screen, and nothing of what moves the cursor there."""
    strips = app.screen._compositor.render_strips()
    return "\n".join("".join(s.text for s in strip if not s.control) for strip in strips)


def steering(text: str) -> list[str]:
    return [ascii(c) for c in text if c != "\n" and unicodedata.category(c) in ("Cc", "Cf", "Cs", "Zl", "Zp")]


def season(folder: Path, name: str) -> Path:
    """A season with a history that somebody has filled with what steers a terminal."""
    path = folder / name
    path.write_text(PLAIN + f"\n[mine]\n{json.dumps(EVIL)} = {json.dumps(EVIL)}\n", encoding="utf-8")
    edit = Edit("set", "cohort", ("A1",), ("plants",), 99)
    save_change(path, Change("99 plants", (edit,)), who="ana", when=NOW)
    history = path.with_name(f"{path.stem}.history.jsonl")
    row = json.loads(history.read_text())
    row |= {"who": EVIL, "what": EVIL}
    history.write_text(json.dumps(row) + "\n")
    return path


async def pressed(app: CalendarApp, keys: str) -> str:
    shown = ""
    async with app.run_test(size=(100, 30)) as pilot:
        for key in ["", *keys.split(",")]:
            if key:
                await pilot.press(key)
            await pilot.pause()
            while not all(worker.is_finished for worker in app.workers):
                await app.workers.wait_for_complete()
                await pilot.pause()
            shown += drawn(app) + "\n"
            shown += "\n".join(app.messages) + "\n"
    return shown


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("name", ["farm.toml", f"farm{EVIL}.toml"], ids=["plain name", "steering name"])
async def test_no_view_draws_what_steers_a_terminal(tmp_path: Path, view: str, name: str) -> None:
    path = season(tmp_path, name)
    app = CalendarApp(open_season(path), date(2026, 11, 9), EVIL, lambda: NOW)
    shown = await pressed(app, VIEWS[view])
    assert "A1" in shown
    assert not steering(shown)


@pytest.mark.parametrize("name", ["farm.toml", f"farm{EVIL}.toml"], ids=["plain name", "steering name"])
async def test_problems_are_drawn_harmless(tmp_path: Path, name: str) -> None:
    path = season(tmp_path, name)
    wrong = (
        PLAIN.replace('kind = "field"', f"kind = {json.dumps(EVIL)}")
        + f"[cohort.{json.dumps('note' + EVIL)}]\n"
    )
    path.write_text(wrong, encoding="utf-8")
    assert load(path).data
    app = CalendarApp(open_season(path), date(2026, 11, 9), "ana", lambda: NOW)
    shown = await pressed(app, "R")
    assert "evil" in shown
    assert not steering(shown)


@pytest.mark.parametrize("name", ["farm.toml", f"farm{EVIL}.toml"], ids=["plain name", "steering name"])
async def test_a_file_broken_meanwhile_is_told_harmless(tmp_path: Path, name: str) -> None:
    path = season(tmp_path, name)
    app = CalendarApp(open_season(path), date(2026, 11, 9), "ana", lambda: NOW)
    path.write_text(PLAIN.replace("[site]", f"[site\n{EVIL}"), encoding="utf-8")
    shown = await pressed(app, "u")
    assert "not TOML" in shown
    assert not steering(shown)


WORDS = [
    "[red]x[/]",
    "[@click=app.quit]go[/]",
    "{0} %s $HOME ${x}",
    "x" * 400,
    "é\u0301" * 9,
    "葡萄🌿" * 12,
    " ",
]


@pytest.mark.parametrize("word", WORDS, ids=ascii)
async def test_any_name_is_drawn_as_the_text_it_is(tmp_path: Path, word: str) -> None:
    quoted = json.dumps(word, ensure_ascii=False)
    text = PLAIN.replace('name = "Near Fields 2026-27"', f"name = {quoted}")
    text = re.sub(r'(?m)^(what|who|caution) = ".*"$', lambda found: f"{found[1]} = {quoted}", text)
    path = tmp_path / "farm.toml"
    path.write_text(text, encoding="utf-8")
    assert run("tasks", path, "--yes").status == 0
    tick = Change(word, (Edit("set", "cohort", ("A1",), ("note",), word),))
    save_change(path, tick, who=word, when=NOW)
    app = CalendarApp(open_season(path), date(2026, 11, 9), word, lambda: NOW)
    shown = await pressed(
        app, "w,space,escape,enter,escape,l,escape,v,escape,y,enter,escape,escape,u,U,question_mark"
    )
    assert app.return_code is None
    assert not steering(shown)
    assert word[:3] in shown
