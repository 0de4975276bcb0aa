"""Messages name keys as the person in front has them: by the table, never written by hand."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from pathlib import Path

import pytest
from small_app import SEASON

import calendar_tui
from calendar_tui.handing_on.words.first_steps import next_step, no_tasks_text
from calendar_tui.screens.kit.actions import BY_ID, written
from calendar_tui.season.reading import read_season
from tests.season_data import data_of

PACKAGE = Path(calendar_tui.__file__).parent
# A key in words: "press a", "Esc goes back", "(Space)", "3 more: w".
BY_HAND = re.compile(
    r"\b(?:Esc|Space|PgUp|PgDn|Tab|Enter|Ctrl\+[A-Z]|[Pp]ress [A-Za-z?\[\]]\b|(?:with|or) [a-zA-Z] in the)"
    r"|\([A-Z]\)|\bmore: [a-z]$"
)
TABLE = ("every_key.py", "trial_keys.py", "key.py", "own_keys.py")
# What may be written by hand all the same: where the key is one that nobody can change.
FIXED = {
    "Enter again saves it.": "Enter ends what is typed",
    "role, then Enter": "Enter ends what is typed",
    "last Enter": "the form of a new season has its own keys",
    "Enter takes it": "the form of a new season has its own keys",
    "Enter makes it": "the form of a new season has its own keys",
    "(Tab)": "Tab leads from field to field",
    ", or Ctrl+Q while you type": "beside the key of the table, where that is not changed",
    "Ctrl+C does not leave": "the terminal's own",
    "Esc": "where nobody has set a key",
}


def _texts(file: Path) -> Iterator[ast.Constant]:
    """The texts of a module but its docstrings."""
    tree = ast.parse(file.read_text())
    described = (ast.Module, ast.ClassDef, ast.FunctionDef, ast.AsyncFunctionDef)
    docstrings = {
        id(node.body[0].value)
        for node in ast.walk(tree)
        if isinstance(node, described) and node.body and isinstance(node.body[0], ast.Expr)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in docstrings:
            yield node


def _by_hand(file: Path) -> list[str]:
    return [
        f"{file.name}:{node.lineno}: {node.value}"
        for node in _texts(file)
        if BY_HAND.search(str(node.value))
        and not any(fixed in str(node.value) for fixed in FIXED if fixed != "Esc")
        and node.value != "Esc"
    ]


@pytest.mark.slow
@pytest.mark.parametrize("room", ["screens", "handing_on", "planning"])
def test_no_message_names_a_key_by_hand(room: str) -> None:
    files = [file for file in sorted((PACKAGE / room).rglob("*.py")) if file.name not in TABLE]
    assert [text for file in files for text in _by_hand(file)] == []


def test_an_empty_season_names_the_keys_that_the_person_has() -> None:
    season = read_season(data_of(SEASON)).season
    assert season is not None
    empty = replace(season, places={}, varieties={}, cohorts={})
    own = {
        name: BY_ID[name]._replace(shown=shown) for name, shown in (("season.f", "F5"), ("records.a", "n"))
    }
    key = partial(written, own)
    assert next_step(empty, key) == "No place yet: press Esc, then F5 for the farm, then n there to add one."
    assert no_tasks_text(empty, key) == next_step(empty, key)
