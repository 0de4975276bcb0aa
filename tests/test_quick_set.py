"""The quick set: what `pytest` runs unless more is asked for. Marks alone decide what is in it, never a clock."""

from __future__ import annotations

import ast
import re
import tomllib
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.conftest import spread

pytest_plugins = ["pytester"]

ROOT = Path(__file__).parent.parent
OPTIONS = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["pytest"][
    "ini_options"
]
SLOW = "pytest.mark.slow"
TESTS = ROOT / "tests"
FILES = sorted(TESTS.rglob("test_*.py"))


# Files that are slow as a whole, and where the same is tried quickly.
SLOW_FILES = {
    "commands/test_fuzz.py": "commands/test_bad_input.py",
    "screens/test_steering.py": "commands/test_steering_names.py",
    "storage/test_any_season.py": "storage/test_splice.py",
    "storage/test_every_operation.py": "storage/test_failing_disk.py",
    "storage/test_history_fuzz.py": "storage/test_history_end.py",
    "storage/test_history_model.py": "storage/test_history_redo.py",
    "storage/test_killed.py": "storage/test_history_crash.py",
    "storage/test_many_hands.py": "storage/test_lock.py",
    "storage/test_merge_model.py": "season/test_merging_laws.py",
    "storage/test_merge_odd.py": "storage/test_merge_file.py",
}


def _tests(tree: ast.Module) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef) and node.name.startswith("test_"):
            yield node


def _quick_tests(file: str) -> list[str]:
    """The tests of a file's text that are in the quick set, with some of their cases at least."""
    tree = ast.parse(file)
    of_all = [
        node
        for node in tree.body
        if isinstance(node, ast.Assign) and "pytestmark" in ast.unparse(node.targets)
    ]
    if any(SLOW in ast.unparse(node.value) for node in of_all):
        return []
    return [test.name for test in _tests(tree) if SLOW not in map(ast.unparse, test.decorator_list)]


def test_every_file_has_a_test_in_the_quick_set_or_one_beside_it_has() -> None:
    slow = {
        file.relative_to(TESTS).as_posix()
        for file in FILES
        if (SLOW in (text := file.read_text(encoding="utf-8")) or "def test_" not in text)
        and not _quick_tests(text)
    }
    assert slow == {*SLOW_FILES}
    assert not slow & {*SLOW_FILES.values()}
    assert all((TESTS / beside).exists() for beside in SLOW_FILES.values())


def test_every_library_that_results_are_held_against_is_asked_in_the_quick_set() -> None:
    asked: dict[str, set[bool]] = defaultdict(set)
    for file in FILES:
        if "mark.needs(" in (text := file.read_text(encoding="utf-8")):
            for test in _tests(ast.parse(text)):
                marks = [*map(ast.unparse, test.decorator_list)]
                for library in re.findall(r"mark\.needs\('(\w+)'", " ".join(marks)):
                    asked[library].add(SLOW not in marks)
    assert {"frictionless", "scipy", "statsmodels"} <= asked.keys()
    assert {library for library, quick in asked.items() if not any(quick)} == set()


def test_a_file_with_slow_tests_alone_is_noticed() -> None:
    text = "@pytest.mark.slow\ndef test_a(): ...\n\ndef made(): ...\n"
    assert _quick_tests(text) == []
    assert _quick_tests(f"{text}\ndef test_b(): ...") == ["test_b"]
    assert _quick_tests(f"pytestmark = [{SLOW}]\ndef test_c(): ...") == []


def test_some_of_many_cases_are_quick_and_all_are_run_when_everything_is_asked_for(
    pytester: pytest.Pytester,
) -> None:
    pytester.makeini("[pytest]\nasyncio_default_fixture_loop_scope = function\n")
    pytester.makeconftest((TESTS / "conftest.py").read_text(encoding="utf-8"))
    pytester.makepyfile(
        """
        import pytest

        @pytest.mark.quick(2)
        @pytest.mark.parametrize("n", range(10))
        def test_some(n):
            assert n in (0, 5)

        @pytest.mark.parametrize("n", [pytest.param(1, marks=pytest.mark.slow), *range(100, 112)])
        def test_many(n):
            assert n in (100, 104, 108)

        def test_other():
            pass
        """
    )
    pytester.runpytest_inprocess("-m", "not slow").assert_outcomes(passed=6, deselected=18)
    pytester.runpytest_inprocess("-m", "slow").assert_outcomes(failed=18, deselected=6)


@pytest.mark.parametrize("cases", [1, 2, 7, 100])
@pytest.mark.parametrize("count", [1, 2, 5, 40])
def test_cases_are_spread_from_the_first_on(cases: int, count: int) -> None:
    quick = sorted(spread(cases, count))
    assert len(quick) == min(cases, count)
    assert quick[0] == 0
    gaps = {b - a for a, b in zip(quick, [*quick[1:], cases], strict=True)}
    assert max(gaps) - min(gaps) <= 1


def test_every_mark_is_declared() -> None:
    """One that is misspelt would put its test into the quick set."""
    known = {re.split(r"\W", line)[0] for line in OPTIONS["markers"]}
    known |= {"parametrize", "skipif", "usefixtures"}  # of pytest and its plugins
    chosen = re.search(r"-m '([^']*)'", OPTIONS["addopts"])
    assert chosen is not None
    assert {*re.findall(r"\w+", chosen[1])} - {"not", "and", "or"} <= known
    used = {
        mark
        for file in FILES
        for mark in re.findall(r"pytest\.mark\.(\w+)", file.read_text(encoding="utf-8"))
    }
    assert used - known == set()


def test_the_whole_check_runs_what_the_quick_set_leaves_out() -> None:
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert "/pytest -m slow\n" in script
