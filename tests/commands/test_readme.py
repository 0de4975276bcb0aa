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
