"""The program by its name, as it is installed: what its first users type, on the examples that come with it."""

from __future__ import annotations

import subprocess
import sys
from importlib.metadata import version
from pathlib import Path

import pytest

from calendar_tui import __version__
from calendar_tui.storage.finding import example_files

PROGRAM = Path(sys.executable).with_name("calendar-tui")
DAYS = {
    "bright-weir": "2026-06-10",
    "laguna-alta": "2026-08-03",
    "north-bench": "2026-06-16",
    "two-rivers": "2026-12-08",
}
TABLES = (
    "--table",
    "tasks.csv",
    "--dates-table",
    "dates.csv",
    "--calendar",
    "season.ics",
    "--wall",
    "wall.html",
)


def ran(folder: Path, *words: str) -> str:
    """What the program prints, where it ends well and complains of nothing."""
    done = subprocess.run(
        [str(PROGRAM), *words],
        cwd=folder,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, ""), done.stderr
    return done.stdout


@pytest.fixture(params=example_files(), ids=lambda path: path.stem)
def example(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    """A folder with nothing but this example."""
    (tmp_path / request.param.name).write_bytes(request.param.read_bytes())
    return tmp_path / request.param.name


def test_the_version_is_that_of_the_package(tmp_path: Path) -> None:
    assert ran(tmp_path, "--version") == f"calendar-tui {__version__}\n"
    assert version("calendar-tui") == __version__


def test_every_example_has_its_day() -> None:
    assert {*DAYS} == {path.stem for path in example_files()}


@pytest.mark.quick(2)
def test_an_example_has_no_problems_and_a_week(example: Path) -> None:
    day = DAYS[example.stem]
    assert "0 problems" in ran(example.parent, "check", "--today", day)
    assert ran(example.parent, "week", "--today", day).startswith("Week of ")


@pytest.mark.quick(2)
def test_the_saved_tasks_of_an_example_agree_with_its_plan(example: Path) -> None:
    said = ran(example.parent, "tasks", "--dry-run", "--today", DAYS[example.stem])
    assert "The saved tasks agree with the plan" in said


@pytest.mark.slow
@pytest.mark.parametrize("example", example_files()[-1:], indirect=True, ids=lambda path: path.stem)
def test_dates_and_files_to_hand_on_are_made(example: Path) -> None:
    day = DAYS[example.stem]
    assert ran(example.parent, "dates", "--csv", "--today", day).startswith("cohort,stage,")
    ran(example.parent, "export", *TABLES, "--today", day)
    assert all((example.parent / name).stat().st_size > 1000 for name in TABLES[1::2])
