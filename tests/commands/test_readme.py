"""The sessions in the README, typed one after another on a copy of the example: it prints the lines that stand there."""

from __future__ import annotations

import re
import shlex
import shutil
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from small_season import run

from calendar_tui.commands import command_input
from calendar_tui.commands import history as history_commands
from calendar_tui.commands.parsing import HELP
from calendar_tui.commands.table import COMMANDS

ROOT = Path(__file__).parents[2]
_ASKS = "Enter saves nothing: "


def blocks() -> list[tuple[str, str]]:
    """The fenced blocks of the daily uses, each as its language and its text."""
    page = (ROOT / "README.md").read_text(encoding="utf-8")
    uses = page.split("## Daily uses", 1)[1].split("## Commands", 1)[0]
    return re.findall(r"```(\w*)\n(.*?)```", uses, re.DOTALL)


def commands(block: str) -> Iterator[tuple[list[str], list[str]]]:
    """The words of each command of a session after the program's name, and the lines told under it."""
    for part in re.split(r"^\$ ", block, flags=re.MULTILINE)[1:]:
        first, *lines = part.splitlines()
        program, *words = shlex.split(first)
        assert program == "calendar-tui"
        yield words, [line for line in lines if line.strip() != "..."]


@pytest.fixture
def farm(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    season = tmp_path / "two-rivers.toml"
    shutil.copy(ROOT / "seasons" / season.name, season)
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("CALENDAR_TUI_TODAY", "2026-12-08")
    at = datetime(2026, 12, 13, 9, 14, tzinfo=ZoneInfo("America/Montevideo"))
    for module in (command_input, history_commands):
        monkeypatch.setattr(module, "now", lambda: at)
        monkeypatch.setattr(module, "who", lambda: "ana")
    return season


def test_every_line_of_a_session_is_printed_in_its_order(farm: Path) -> None:
    sessions = 0
    for language, block in blocks():
        if language == "toml" and "[[cohort]]" in block:
            farm.write_text(f"{farm.read_text(encoding='utf-8')}\n{block}", encoding="utf-8")
        for words, lines in commands(block):
            answer = next((line.split(_ASKS)[1] for line in lines if _ASKS in line), "")
            printed, at = run(*words, typed=f"{answer}\n", today=None).out, 0
            sessions += 1
            for line in lines:
                told = line.removesuffix(answer) if _ASKS in line else line
                at = printed.find(told, at)
                assert at >= 0, f"{words}: not printed, or not there: {told}\n{printed}"
    assert sessions > 5


def _page() -> str:
    return (ROOT / "README.md").read_text(encoding="utf-8").split("## Commands", 1)[1].split("## Keys", 1)[0]


def test_every_command_has_a_row() -> None:
    rows = re.findall(r"^\| `calendar-tui ([a-z-]*)", _page(), re.MULTILINE)
    assert {*rows} == {*COMMANDS, HELP}


def test_the_commands_that_take_json_are_listed() -> None:
    listed = re.search(r"^((?:`[a-z-]+`(?:,| and)?\s)+)also take `--json`", _page(), re.MULTILINE)
    assert listed is not None
    assert {*re.findall(r"`([a-z-]+)`", listed[1])} == {
        name for name, command in COMMANDS.items() if "--json" in command.all_flags()
    }


def test_every_flag_in_a_row_is_one_of_its_command() -> None:
    for row in re.findall(r"^\| `calendar-tui .*", _page(), re.MULTILINE):
        name = re.match(r"\| `calendar-tui ([a-z-]*)", row)[1]  # type: ignore[index]
        flags = {*COMMANDS[name].all_flags()} if name in COMMANDS else set()
        assert {*re.findall(r"(?<![\w-])--[a-z-]+", row)} <= flags, name
