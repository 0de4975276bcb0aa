"""What holds the house up: who may import whom, what a start loads, how large a file and a function may be."""

from __future__ import annotations

import ast
import re
import shutil
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from datetime import timedelta
from importlib.metadata import packages_distributions
from pathlib import Path
from typing import Any

import pytest

import calendar_tui
from tests.commands.trended_season import trended_season
from tests.planning.trended_farm import FLOWERING, bags_of
from tests.season_data import TWO_RIVERS

ROOT = Path(__file__).parent.parent
PACKAGE = Path(calendar_tui.__file__).parent
SOURCES = sorted(PACKAGE.rglob("*.py"))
PYTHON_FILES = [*SOURCES, *sorted((ROOT / "tests").rglob("*.py"))]
PYPROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
LONGEST_FILE, LONGEST_FUNCTION = 400, 50
DAY = timedelta(days=1)
# The one file that may look at the clock; everywhere else "today" is an argument.
CLOCK_FILE = PACKAGE / "commands" / "command_input.py"
CLOCKS = {"today", "now", "utcnow", "time", "time_ns", "localtime", "gmtime"}
CLOCK_OWNERS = {"date", "datetime", "time", "dt", "_time", "_datetime"}


def _place(file: Path) -> str:
    """Where a file stands, of the package also where that is installed apart from its tests."""
    return file.relative_to(PACKAGE.parent if file.is_relative_to(PACKAGE) else ROOT).as_posix()


def _tree(file: Path) -> ast.Module:
    return ast.parse(file.read_text(encoding="utf-8"), str(file))


def _run(*arguments: str, cwd: Path = ROOT) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, *arguments],
        cwd=cwd,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )


def _lint_imports(folder: Path) -> subprocess.CompletedProcess[str]:
    pytest.importorskip("importlinter")
    code = "import sys; from importlinter.cli import lint_imports; sys.exit(lint_imports(no_cache=True))"
    return _run("-c", f"import sys; sys.path.insert(0, '.'); {code}", cwd=folder)


# --- who may import whom


def test_the_import_contracts_hold() -> None:
    ran = _lint_imports(ROOT)
    assert ran.returncode == 0, ran.stdout + ran.stderr


@pytest.mark.quick(1)
@pytest.mark.parametrize(
    ("file", "wrong"),
    [
        ("nature/plant.py", "import calendar_tui.season.records"),
        ("season/checks.py", "import pathlib"),
        ("season/checks.py", "import calendar_tui.storage"),
        ("planning/laying_out/stages.py", "import calendar_tui.storage"),
        ("planning/laying_out/stages.py", "import calendar_tui.screens"),
        ("planning/laying_out/stages.py", "import textual"),
        ("storage/problems.py", "import calendar_tui.planning"),
        ("handing_on/__init__.py", "import calendar_tui.screens"),
        ("attic.py", ""),
    ],
)
def test_the_contracts_notice_a_wrong_import(tmp_path: Path, file: str, wrong: str) -> None:
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    shutil.copytree(PACKAGE, tmp_path / "calendar_tui", ignore=shutil.ignore_patterns("__pycache__"))
    with (tmp_path / "calendar_tui" / file).open("a", encoding="utf-8") as out:
        out.write(f"\n{wrong}\n")
    ran = _lint_imports(tmp_path)
    name = "calendar_tui." + file.removesuffix(".py").removesuffix("/__init__").replace("/", ".")
    assert ran.returncode == 1, ran.stdout + ran.stderr
    assert name in ran.stdout or name.removeprefix("calendar_tui.") in ran.stdout, ran.stdout


def _imported(tree: ast.Module) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.level == 0 and node.module:
            yield node.module


def _normal(requirement: str) -> str:
    """The name in a requirement such as "tomli-w>=1.0", lower case, with dashes."""
    found = re.match(r"[A-Za-z0-9._-]+", requirement)
    assert found, requirement
    return re.sub(r"[._-]+", "-", found[0]).lower()


def test_every_imported_library_is_a_declared_dependency() -> None:
    project = PYPROJECT["project"]
    extras = [
        texts for name, texts in project["optional-dependencies"].items() if not name.startswith("test")
    ]
    for library in {_normal(text) for texts in extras for text in texts}:
        pytest.importorskip(library)  # what is not there has no known owner
    declared = {_normal(text) for texts in (project["dependencies"], *extras) for text in texts}
    owners = packages_distributions()
    missing = []
    for file in SOURCES:
        for module in {name.split(".")[0] for name in _imported(_tree(file))}:
            if module == "calendar_tui" or module in sys.stdlib_module_names:
                continue
            if not declared & {_normal(owner) for owner in owners.get(module, [module])}:
                missing.append(f"{_place(file)} imports {module}")
    assert not missing


def test_every_library_without_which_a_test_is_skipped_is_installed_with_the_tests() -> None:
    """So that the README's line skips none of them; only an environment of the base libraries does."""
    extras = PYPROJECT["project"]["optional-dependencies"]
    installed = {_normal(text) for name in ("test", "test-base") for text in extras[name]}
    installed |= {
        _normal(text) for name in ("browser", "dask", "labels", "parquet", "solve") for text in extras[name]
    }
    owners = packages_distributions() | {"importlinter": ["import-linter"]}
    named = {
        name
        for file in PYTHON_FILES
        for name in re.findall(r'(?:importorskip|packaged|needs)\("(\w+)"', file.read_text(encoding="utf-8"))
    }
    assert {"ephem", "ortools", "vega_datasets"} <= named
    for name in named:
        assert {_normal(owner) for owner in owners.get(name, [name])} & installed, name


def test_textual_is_bounded_above() -> None:
    """Its line API has changed between major versions, so a new one is tried before it is let in."""
    (textual,) = (text for text in PYPROJECT["project"]["dependencies"] if _normal(text) == "textual")
    assert re.search(r"<\d+", textual), textual


# --- what a start loads


def _loaded(code: str, watched: tuple[str, ...]) -> list[str]:
    ran = _run("-c", f"import sys\n{code}\nprint(*(m for m in {watched!r} if m in sys.modules))")
    assert ran.returncode == 0, ran.stderr
    return ran.stdout.split()


def test_the_watch_on_loaded_modules_sees_them() -> None:
    assert _loaded("import dateutil", ("dateutil", "pandas")) == ["dateutil"]


def test_commands_start_without_the_large_libraries() -> None:
    watched = (
        "textual",
        "pandas",
        "numpy",
        "astral",
        "dateutil",
        "icalendar",
        "distributed",
        "concurrent.futures",
    )
    assert _loaded("import calendar_tui.cli", watched) == []


def test_the_table_of_commands_loads_none_of_them_and_no_records() -> None:
    watched = ("dataclasses", "datetime", "difflib", "pathlib", "shutil", "tomli")
    rooms = [f"calendar_tui.{name}" for name in ("season.records", "storage", "planning", "handing_on")]
    commands = [
        f"calendar_tui.commands.{file.stem}"
        for file in (PACKAGE / "commands").glob("*.py")
        if file.stem not in ("__init__", "flags", "output", "parsing") and not file.stem.endswith("table")
    ]
    assert len(commands) > 20
    code = "from calendar_tui.cli import main; main(['--version'])"
    name, _version, *loaded = _loaded(code, (*watched, *rooms, *commands))
    own = _loaded("import argparse; argparse.HelpFormatter('x')", watched)  # of argparse, from Python 3.14 on
    assert (name, {*loaded} - {*own}) == ("calendar-tui", set())


def test_the_full_screen_starts_without_what_its_first_picture_does_not_need() -> None:
    watched = (
        "pandas",
        "numpy",
        "calendar_tui.storage.history",
        "calendar_tui.storage.journal",
        "calendar_tui.planning.changes",
        "calendar_tui.planning.clashes",
        "calendar_tui.planning.evidence",
        "calendar_tui.planning.lamps",
        "calendar_tui.planning.tasks",
        "calendar_tui.handing_on",
    )
    assert _loaded("import calendar_tui.screens.start", watched) == []


SEASON = (
    TWO_RIVERS
    + """\
[[place]]
id = "F1"
kind = "field"
[[variety]]
id = "amber"
response = "short-day"
type = "oil-unknown"
[[cohort]]
id = "A1"
variety = "amber"
start = "seed"
place = "F1"
planned = { seeding = 2026-10-05 }
[[chore]]
id = "scout"
what = "Scout for pests"
stage = "seeding"
repeat = "FREQ=WEEKLY"
until = "harvest"
[[task]]
id = "t1"
date = 2026-10-05
what = "Sow the block"
cohort = "A1"
"""
)


def test_this_weeks_work_is_read_without_the_large_libraries(tmp_path: Path) -> None:
    file = tmp_path / "two-rivers.toml"
    file.write_text(SEASON, encoding="utf-8")
    week = ("-m", "calendar_tui", "week", str(file), "--today", "2026-10-06")
    ran = _run("-X", "importtime", *week, cwd=tmp_path)
    assert ran.returncode == 0, ran.stdout + ran.stderr
    assert "Sow the block" in ran.stdout
    loaded = set(re.findall(r"^import time:\s*\d+ \|\s*\d+ \|\s*(\w+)", ran.stderr, re.MULTILINE))
    assert "calendar_tui" in loaded, "no import times were read"
    assert not loaded & {"pandas", "numpy", "astral", "textual"}


def test_the_week_loads_nothing_that_only_other_commands_need(tmp_path: Path) -> None:
    file = tmp_path / "two-rivers.toml"
    file.write_text(SEASON, encoding="utf-8")
    libraries = (
        "dateutil",
        "difflib",
        "email",
        "getpass",
        "json",
        "platformdirs",
        "shutil",
        "tempfile",
        "textwrap",
        "tomllib",
        "tomli_w",
    )
    rooms = ("season.edits", "storage.toml.lines", "storage.journal", "planning.plan", "planning.changes")
    week = f"from calendar_tui.cli import main; main(['week', {str(file)!r}, '--today', '2026-10-06'])"
    watched = (
        *libraries,
        *(f"calendar_tui.{room}" for room in rooms),
        "calendar_tui.commands.changing",
        "re",
    )
    assert set(_loaded(week, watched)) & set(watched) == {"re"}
    count = "print(sum(m.startswith('calendar_tui.') for m in sys.modules), len(sys.modules))"
    ours, all_of_them = map(int, _loaded(f"{week}\n{count}", ())[-2:])
    assert ours <= 73
    assert all_of_them <= 194


@pytest.mark.parametrize(
    ("totals", "harvest", "fitted"),
    [
        ({21: 0.08, 28: 0.14}, [], False),
        ({21: 0.08, 28: 0.14, 35: 0.20}, [], True),
        (
            {21: 0.08, 28: 0.14, 35: 0.20},
            [{"id": "p1", "date": FLOWERING + 44 * DAY, "lot": "A1", "last": True}],
            False,
        ),
    ],
    ids=["two dates of samples", "three dates", "three dates, and the lot is cut"],
)
def test_the_one_line_of_the_week_loads_numpy_only_where_a_fit_decides(
    tmp_path: Path, totals: dict[int, float], harvest: list[dict[str, Any]], fitted: bool
) -> None:
    task = {"id": "t1", "date": FLOWERING + 45 * DAY, "what": "Scout", "cohort": "A1"}
    file = trended_season(tmp_path, bags_of("A1", {"top": totals}), task=[task], **{"pass": harvest})
    today = (FLOWERING + 45 * DAY).isoformat()
    week = (
        f"from calendar_tui.cli import main; main(['week', '--brief', {str(file)!r}, '--today', {today!r}])"
    )
    watched = ("numpy", "calendar_tui.planning.results.fits", "calendar_tui.planning.results.used")
    ran = _loaded(week, watched)
    assert "calendar_tui.planning.results.used" in ran
    assert {"numpy", "calendar_tui.planning.results.fits"} & set(ran) == (
        {"numpy", "calendar_tui.planning.results.fits"} if fitted else set()
    )


# --- how large, and where the clock is


def test_no_file_is_two_rooms() -> None:
    lines = {_place(file): len(file.read_text(encoding="utf-8").splitlines()) for file in PYTHON_FILES}
    assert {place: count for place, count in lines.items() if count > LONGEST_FILE} == {}, "split it"


def test_no_function_is_too_long_to_read() -> None:
    assert {_place(file): lines for file in PYTHON_FILES if (lines := _long_functions(_tree(file)))} == {}


def _long_functions(tree: ast.Module) -> list[int]:
    return [
        node.lineno
        for node in _statements(tree)
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        and node.end_lineno is not None
        and node.end_lineno - node.lineno >= LONGEST_FUNCTION
    ]


def _statements(node: ast.AST) -> Iterator[ast.AST]:
    """What is inside of a node but for expressions, which are most of a file."""
    for inner in ast.iter_child_nodes(node):
        if not isinstance(inner, ast.expr):
            yield inner
            yield from _statements(inner)


def test_a_long_function_is_noticed_wherever_it_stands() -> None:
    body = [f"  a = {n}" for n in range(LONGEST_FUNCTION - 1)]
    short, long = ["def short():", *body], ["async def long():", *body, "  b = 1"]
    inner = ["try:", "  pass", "finally:", "  class Inner:", *(f"    {line}" for line in long)]
    assert _long_functions(ast.parse("\n".join([*short, *inner]))) == [len(short) + 5]


def _clock_reads(tree: ast.Module) -> list[int]:
    """The lines of calls such as date.today(), datetime.now(zone) or time.time()."""
    return [
        node.lineno
        for node in ast.walk(tree)
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Attribute)
        and node.func.attr in CLOCKS
        and _owner(node.func.value) in CLOCK_OWNERS
    ]


def _owner(node: ast.expr) -> str:
    return node.id if isinstance(node, ast.Name) else node.attr if isinstance(node, ast.Attribute) else ""


# What prints by itself: the one place through which all commands print, the version, what a search has got to, and
# lines in colour.
PRINTING = ("command_input", "parsing", "stagger", "week")


def _prints(tree: ast.Module) -> list[int]:
    calls = (node for node in ast.walk(tree) if isinstance(node, ast.Call))
    return [call.lineno for call in calls if isinstance(call.func, ast.Name) and call.func.id == "print"]


def test_commands_print_in_one_way() -> None:
    """By `emit`, `tell`, `print_json` and `print_csv`, so that nothing in a file steers a terminal."""
    files = [file for file in SOURCES if file.parent.name == "commands" and file.stem not in PRINTING]
    assert len(files) > 50
    assert {_place(file): lines for file in files if (lines := _prints(_tree(file)))} == {}


def test_a_print_is_noticed() -> None:
    assert _prints(ast.parse('emit(["a"])\nprint("a")\nprint_json(1)')) == [2]


def test_a_look_at_the_clock_is_noticed() -> None:
    lines = ("import datetime as dt", "dt.date.today()", "now = 1", "datetime.now(UTC)", "stage.today()")
    assert _clock_reads(ast.parse("\n".join(lines))) == [2, 4]


def test_only_one_file_reads_the_clock() -> None:
    call = re.compile(rf"\.({'|'.join(CLOCKS)})\(")
    asking = [file for file in SOURCES if call.search(file.read_text(encoding="utf-8"))]
    assert {file for file in asking if _clock_reads(_tree(file))} == {CLOCK_FILE}
