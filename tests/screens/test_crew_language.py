"""The week, Today and the forms of their tasks have no English line where another language is spoken.

The language is that of `tests/language/other_letters.py`: what stands in Latin letters was not put into it, or a person wrote it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest
import tomli
from settling import settled

from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.asking.moves_view import MovesView
from calendar_tui.screens.asking.record_view import RecordView
from calendar_tui.screens.kit import crew_words
from calendar_tui.screens.kit.preferences import Preferences
from calendar_tui.screens.pages.help_view import HelpView
from calendar_tui.screens.pages.messages_view import MessagesView
from calendar_tui.screens.palette.view import PaletteView
from calendar_tui.screens.samples.trip_view import TripView
from calendar_tui.screens.week.done_view import DoneView
from calendar_tui.screens.week.task_list import TaskList
from calendar_tui.screens.week.typed_view import TypedView
from calendar_tui.storage import languages
from calendar_tui.storage.finding import example_files
from calendar_tui.storage.opening import open_season
from tests.example_days import EXAMPLE_DAYS
from tests.language.other_letters import changed, other_letters

EXAMPLES = {file.stem: file for file in example_files()}
# Of the examples, where work is open in the week of their day.
OPEN_WORK = ("two-rivers", "north-bench", "laguna-alta")
# The keys of what is written by people, and so is shown as it is; texts of chores and tasks are the program's.
WRITTEN = {"id", "name", "product", "note", "fact", "variety", "place", "cohort", "lot"}
# Keys, codes of bags, and what is typed, a day or "due", which stand alike in every language.
SAME = {
    "Esc",
    "Space",
    "Enter",
    "Tab",
    "Ctrl",
    "Left",
    "Right",
    "kWh",
    "PgUp",
    "PgDn",
    "Down",
    "Click",
    "Wheel",
    "Shift",
    "due",
    # Themes, as they stand in the settings.
    "terminal",
    "dark",
    "light",
    "qqq",
    "Ana",
}
CODE = re.compile(r"\b[0-9A-Z]{3}-[0-9A-Z]{3}\b|^\s*\d{1,2} [A-Z][a-z]{2} \d{4}\s*$")
# The views of a crew, and those that are the crew's where they are opened from one.
VIEWS = (TaskList, DoneView, TypedView, TripView, RecordView, MovesView, HelpView, PaletteView, MessagesView)
WORD = re.compile(r"[A-Za-z]{3,}")
WALKS = {
    "week": "w g g g right left",
    "find": "w slash q q q enter escape",
    "marks": "w m m a a M M M",
    "forms": "w down down m m o 9 tab tab enter escape d 9 enter escape n escape s escape",
    "today": "t m m M",
    "bags": "w space space a o 9 enter escape enter",
    "copied": "w Y ctrl+o",
    "colours": "w T T T ctrl+o",
    "messages": "w down down down s q q q enter ctrl+c ctrl+o",
    "help": "w question_mark pagedown pagedown pagedown",
    "palette": "w ctrl+p q q q backspace backspace backspace 9 slash 1 2 escape",
    "record": "w down down space up ctrl+t ctrl+t",
    "forms of today": "t o 9 tab tab enter escape d 9 enter escape n escape s escape",
    "settled": "w down down down s q q q enter d u U space o",
    "changed": "w down down down s q q q enter escape t end",
    "no task": "t home up m o space s",
}
# The views that a walk opens besides the list, in the season whose rows it was made for.
OPENED = {
    "forms": {"DoneView", "TypedView"},
    "forms of today": {"DoneView", "TypedView"},
    "bags": {"TripView", "MovesView"},
    "record": {"RecordView"},
    "help": {"HelpView"},
    "messages": {"MessagesView"},
    "palette": {"PaletteView"},
}


def written(record: Any, key: str = "") -> Iterator[str]:
    """The words that people wrote in a season."""
    if isinstance(record, Mapping):
        for name, value in record.items():
            yield from written(value, name)
    elif isinstance(record, list):
        for value in record:
            yield from written(value, key)
    elif isinstance(record, str) and (key in WRITTEN or (key == "who" and " " in record)):
        yield from WORD.findall(record)


def english(lines: Iterable[str], known: set[str]) -> list[str]:
    return [line.strip() for line in lines if set(WORD.findall(CODE.sub("", line))) - known]


def drawn(app: CalendarApp) -> list[str]:
    return ["".join(part.text for part in strip) for strip in app.screen._compositor.render_strips()]


@pytest.fixture
def other(monkeypatch: pytest.MonkeyPatch) -> None:
    """The computer has a language of other letters."""
    spoken = other_letters((languages.SHIPPED / "crew.pot").read_text(encoding="utf-8"))
    monkeypatch.setattr(languages, "find_language", lambda code: Path(f"{code}.po"))
    monkeypatch.setattr(languages, "load_language", lambda file: spoken)
    crew_words._language.cache_clear()


def app_on(path: Path, day: date) -> CalendarApp:
    now = datetime(day.year, day.month, day.day, 9, tzinfo=UTC)
    return CalendarApp(open_season(path), day, "Ana", lambda: now, preferences=Preferences(language="zz"))


@pytest.mark.parametrize("walk", WALKS)
@pytest.mark.parametrize(
    "name", [pytest.param(n, marks=pytest.mark.slow if n != "two-rivers" else ()) for n in OPEN_WORK]
)
async def test_no_line_is_english(tmp_path: Path, other: None, name: str, walk: str) -> None:
    path = tmp_path / f"{name}.toml"
    path.write_bytes(EXAMPLES[name].read_bytes())
    known = {*SAME, *written(tomli.loads(path.read_text(encoding="utf-8")))}
    app = app_on(path, EXAMPLE_DAYS[name])
    found, views = [], set[str]()
    first, *keys = WALKS[walk].split()
    async with app.run_test(size=(100, 40)) as pilot:
        await settled(app, pilot)
        await pilot.press(first)
        view = await settled(app, pilot)
        view._list.stand_on(next(task.id for task in view.shown_tasks if task.state == "open"))
        for key in (*keys, ""):
            if isinstance(app.screen, VIEWS):
                views.add(type(app.screen).__name__)
                found += [f"before {key}: {line}" for line in english(drawn(app), known)]
            if key:
                await pilot.press(key)
                await settled(app, pilot)
    assert not found
    saved = [file for file in tmp_path.iterdir() if re.search("[Ա-֏]", file.read_text(encoding="utf-8"))]
    assert not saved, "what is saved is in English"
    opened = OPENED.get(walk, set()) if name == "two-rivers" else set[str]()
    assert views >= opened | ({"WeekView"} if first == "w" else {"TodayView"})


async def test_a_season_without_tasks_says_what_to_do_next(tmp_path: Path, other: None) -> None:
    path = tmp_path / "empty.toml"
    text = EXAMPLES["two-rivers"].read_text(encoding="utf-8")
    path.write_text(text[: text.index("[[place]]")], encoding="utf-8")
    known = {*SAME, *written(tomli.loads(path.read_text(encoding="utf-8")))}
    app = app_on(path, EXAMPLE_DAYS["two-rivers"])
    async with app.run_test(size=(100, 40)) as pilot:
        await settled(app, pilot)
        for key in "wt":
            await pilot.press(key)
            view = await settled(app, pilot)
            assert isinstance(view, TaskList)
            lines = drawn(app)
            assert changed("No place yet") in "\n".join(lines)
            assert not english(lines, known)
            await pilot.press("escape")
            await settled(app, pilot)


async def test_a_line_left_in_english_is_noticed() -> None:
    assert english(["> ab1 Scout pests", "Esc ԲԱԳԻ"], {"Esc"}) == ["> ab1 Scout pests"]


async def test_only_a_task_is_marked(tmp_path: Path) -> None:
    """A row of Today that is no task has no mark, and the view says so."""
    path = tmp_path / "two-rivers.toml"
    path.write_bytes(EXAMPLES["two-rivers"].read_bytes())
    app = app_on(path, EXAMPLE_DAYS["two-rivers"])
    async with app.run_test(size=(100, 40)) as pilot:
        await settled(app, pilot)
        await pilot.press("t", "home", "m")
        view = await settled(app, pilot)
        assert not view._marked
        assert app.notices.message.line == "No task is on this line: move to one that has a box, [ ]."


async def test_the_file_of_a_language_is_looked_for_once(
    tmp_path: Path, other: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Not on each key that is pressed: it may lie on a disk far away."""
    looked = []
    find = languages.find_language
    monkeypatch.setattr(languages, "find_language", lambda code: looked.append(code) or find(code))
    path = tmp_path / "two-rivers.toml"
    path.write_bytes(EXAMPLES["two-rivers"].read_bytes())
    app = app_on(path, EXAMPLE_DAYS["two-rivers"])
    async with app.run_test(size=(100, 40)) as pilot:
        await settled(app, pilot)
        await pilot.press("w", *["down", "up"] * 5, "escape", "t", *["down"] * 5)
        await settled(app, pilot)
    assert looked == ["zz"]
