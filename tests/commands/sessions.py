"""The sessions of a page of docs: commands typed one after another, each with lines that it prints in their order."""

from __future__ import annotations

import re
import shlex
from collections.abc import Iterator
from pathlib import Path

import pytest
from small_season import run

DOCS = Path(__file__).parents[2] / "docs"
_ASKS = "Enter saves nothing: "


def blocks(page: str) -> list[tuple[str, str]]:
    """The fenced blocks of a page, each as its language and its text."""
    return re.findall(r"```(\w*)\n(.*?)```", (DOCS / page).read_text(encoding="utf-8"), re.DOTALL)


def _commands(block: str) -> Iterator[tuple[list[str], list[str]]]:
    """The words of each line that is typed, and the lines told under it."""
    for part in re.split(r"^\$ ", block, flags=re.MULTILINE)[1:]:
        first, *lines = part.splitlines()
        yield shlex.split(first), [line for line in lines if line.strip() != "..."]


def typed(block: str, monkeypatch: pytest.MonkeyPatch) -> int:
    """Type what a block types: each command prints the lines below it, in their order. How many commands that were."""
    count = 0
    for (program, *words), lines in _commands(block):
        if program == "export":
            monkeypatch.setenv(*words[0].split("="))
            continue
        assert program == "calendar-tui"
        answer = next((line.split(_ASKS)[1] for line in lines if _ASKS in line), "")
        ran, at = run(*words, typed=f"{answer}\n", today=None), 0
        assert ran.status == 0, ran.said
        count += 1
        for line in lines:
            told = line.removesuffix(answer) if _ASKS in line else line
            at = ran.out.find(told, at)
            assert at >= 0, f"{words}: not printed, or not there: {told}\n{ran.out}"
    return count
