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
    """The lines of calls that put a text into a language as the module is loaded: all but those inside of functions."""
    waiting: list[ast.AST] = [ast.parse(text)] if SPEAKING.search(text) else []
    while waiting:
        node = waiting.pop()
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in SPOKEN:
            yield node.lineno
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda):
            # What stands in its head is worked out once, too.
            waiting += [node.args, *getattr(node, "decorator_list", ())]
        else:
            waiting += ast.iter_child_nodes(node)


def test_no_module_makes_a_text_as_it_is_loaded() -> None:
    files = PACKAGE.rglob("*.py")
    assert [
        f"{file.relative_to(PACKAGE)}:{line}"
        for file in files
        for line in made_at_loading(file.read_text("utf-8"))
    ] == []


def test_one_is_noticed() -> None:
    assert list(made_at_loading('A = {"a": phrase("total")}\n\ndef b():\n    return tr("x")\n')) == [1]
    assert list(made_at_loading('def b(c=tr("x")):\n    return lambda: tr("y")\n')) == [1]
    assert list(made_at_loading('@named(tr("x"))\ndef b():\n    return tr("y")\n')) == [1]


def forms_of(module: ast.Module) -> set[str]:
    """The names of a module that are each a text marked for the catalogue, and put into no language yet."""
    return {
        target.id
        for node in module.body
        if isinstance(node, ast.Assign) and isinstance(node.value, ast.Call)
        if isinstance(node.value.func, ast.Name) and node.value.func.id == "phrase_form"
        for target in node.targets
        if isinstance(target, ast.Name)
    }


def filled_in_as_they_are(module: ast.Module, forms: set[str]) -> Iterator[int]:
    """The lines of f-strings in which such a text stands without `phrase`."""
    for node in ast.walk(module):
        if (
            isinstance(node, ast.FormattedValue)
            and isinstance(node.value, ast.Name)
            and node.value.id in forms
        ):
            yield node.lineno


def test_no_text_stands_in_another_before_it_is_put_into_the_language() -> None:
    """Half of a sentence would be English for a crew that reads another language; a module that speaks none is all in English."""
    texts = {file: file.read_text("utf-8") for file in PACKAGE.rglob("*.py")}
    modules = {file: ast.parse(text) for file, text in texts.items()}
    own = {file: forms_of(module) for file, module in modules.items()}
    by_module = {
        ".".join(("calendar_tui", *file.relative_to(PACKAGE).with_suffix("").parts)): forms
        for file, forms in own.items()
    }
    left = []
    for file, module in modules.items():
        if not SPEAKING.search(texts[file]):
            continue
        imported = {
            alias.asname or alias.name
            for node in ast.walk(module)
            if isinstance(node, ast.ImportFrom)
            for alias in node.names
            if alias.name in by_module.get(node.module or "", ())
        }
        for line in filled_in_as_they_are(module, own[file] | imported):
            left.append(f"{file.relative_to(PACKAGE)}:{line}")
    assert left == [], left


def test_one_that_stands_in_another_is_noticed() -> None:
    module = ast.parse('A = phrase_form("total")\nb = f"{A} 3"\nc = f"{phrase(A)} 3"\n')
    assert list(filled_in_as_they_are(module, forms_of(module))) == [2]
