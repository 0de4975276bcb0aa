"""No text is put into a language as its module is loaded: it would stay in the one that was spoken by chance then."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import calendar_tui

SPOKEN = {"phrase", "phrase_n", "tr", "tr_n", "tr_in", "translated"}
SPEAKING = re.compile(rf"\b({'|'.join(SPOKEN)})\(")
PACKAGE = Path(calendar_tui.__file__).parent


def made_at_loading(text: str) -> Iterator[int]:
    """The lines of calls that put a text into a language outside of functions."""
    waiting: list[ast.AST] = [ast.parse(text)] if SPEAKING.search(text) else []
    while waiting:
        for node in ast.iter_child_nodes(waiting.pop()):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in SPOKEN:
                yield node.lineno
            if not isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda):
                waiting.append(node)


def test_no_module_makes_a_text_as_it_is_loaded() -> None:
    files = PACKAGE.rglob("*.py")
    assert [
        f"{file.relative_to(PACKAGE)}:{line}"
        for file in files
        for line in made_at_loading(file.read_text("utf-8"))
    ] == []


def test_one_is_noticed() -> None:
    assert list(made_at_loading('A = {"a": phrase("total")}\n\ndef b():\n    return tr("x")\n')) == [1]
