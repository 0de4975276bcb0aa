"""The merge command as git's merge driver, in real repositories."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from small_season import TODAY, run

from tests.season_data import data_of

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "sharing-with-git.md").read_text(encoding="utf-8")
pytestmark = pytest.mark.skipif(shutil.which("git") is None, reason="git is not on this machine")

Git = Callable[..., subprocess.CompletedProcess[str]]


def settings_of(page: str, file: str) -> str:
    """The lines that the page says to put into a file."""
    return page.split(f"`{file}`:\n\n```\n", 1)[1].split("```", 1)[0]


@pytest.fixture
def git(tmp_path: Path) -> Git:
    env = {
        **os.environ,
        "PYTHONPATH": str(ROOT),
        "CALENDAR_TUI_TODAY": TODAY,
        "HOME": str(tmp_path),
        "GIT_CONFIG_NOSYSTEM": "1",
        **{
            f"GIT_{who}_{what}": "ana@farm.invalid"
            for who in ("AUTHOR", "COMMITTER")
            for what in ("NAME", "EMAIL")
        },
    }
    folder = tmp_path / "farm"
    folder.mkdir()

    def call(*words: str, status: int = 0) -> subprocess.CompletedProcess[str]:
        ran = subprocess.run(
            ["git", *words], cwd=folder, env=env, capture_output=True, text=True, timeout=60, check=False
        )
        assert ran.returncode == status, ran.stdout + ran.stderr
        return ran

    return call


@pytest.fixture
def farm(tmp_path: Path, git: Git, season_text: str) -> Path:
    """A repository as the page sets it up, with a season in a folder of it, on the branch main."""
    folder = tmp_path / "farm"
    git("init", "-q", "-b", "main")
    driver = next(line for line in PAGE.splitlines() if line.startswith("git config merge.calendar.driver "))
    program = f'"{sys.executable}" -m calendar_tui'
    git("config", "merge.calendar.driver", driver.split("'")[1].replace("calendar-tui", program))
    assert "git config merge.calendar.recursive binary\n" in PAGE
    git("config", "merge.calendar.recursive", "binary")
    for file in (".gitattributes", ".gitignore"):
        (folder / file).write_text(settings_of(PAGE, file))
    season = folder / "seasons" / "the near fields.toml"
    season.parent.mkdir()
    season.write_text(season_text, encoding="utf-8")
    git("add", "-A")
    git("commit", "-qm", "the season")
    git("branch", "theirs")
    return season


def on(git: Git, branch: str, *words: object) -> None:
    """Run a command on a branch and commit what it did."""
    git("switch", "-q", branch)
    assert run(*words).status == 0
    git("commit", "-qam", " ".join(map(str, words[2:4])))


def cohorts(season: Path) -> dict[str, dict[str, object]]:
    return {c["id"]: c for c in data_of(season.read_text())["cohort"]}


@pytest.mark.slow
def test_different_cohorts_merge_without_a_hand(git: Git, farm: Path) -> None:
    on(git, "theirs", "record", farm, "D1", "seeding", "2026-10-22", "--yes")
    on(git, "main", "record", farm, "A1", "transplant", "2026-11-08", "--yes")
    ran = git("merge", "theirs", "-m", "both")
    assert "the near fields.toml" in ran.stdout
    assert git("status", "--porcelain").stdout == ""
    found = cohorts(farm)
    assert "transplant" in found["A1"]["recorded"]
    assert "seeding" in found["D1"]["recorded"]
    assert run("check", farm).status == 0
    assert run("tasks", farm).out == "The saved tasks agree with the plan.\n"
    assert farm.read_text().startswith("# The near fields\n")


@pytest.mark.slow
def test_two_dates_of_one_cohort_merge_without_a_hand(git: Git, farm: Path) -> None:
    on(git, "theirs", "record", farm, "A1", "emergence", "2026-10-12", "--yes")
    on(git, "main", "record", farm, "A1", "transplant", "2026-11-08", "--yes")
    git("merge", "theirs", "-m", "both")
    assert set(cohorts(farm)["A1"]["recorded"]) == {"seeding", "emergence", "transplant"}
    ids = [t["id"] for t in data_of(farm.read_text())["task"]]
    assert len(ids) == len(set(ids))


@pytest.mark.slow
def test_one_field_twice_stops_git_and_leaves_both_values(git: Git, farm: Path) -> None:
    on(git, "theirs", "record", farm, "A1", "transplant", "2026-11-08", "--yes")
    on(git, "main", "record", farm, "A1", "transplant", "2026-11-06", "--yes")
    ran = git("merge", "theirs", "-m", "both", status=1)
    assert (
        "conflict: cohort A1 recorded.transplant: ours 2026-11-06 stays, theirs is 2026-11-08" in ran.stdout
    )
    assert git("status", "--porcelain").stdout == 'UU "seasons/the near fields.toml"\n'
    beside = farm.with_name("the near fields.conflicts.txt")
    text = beside.read_text()
    assert "ours:    2026-11-06   <- in the file" in text
    assert "theirs:  2026-11-08" in text
    assert beside.stat().st_mode == farm.stat().st_mode
    assert str(cohorts(farm)["A1"]["recorded"]["transplant"]) == "2026-11-06"
    assert run("check", farm).status == 0
    assert list(farm.parents[1].glob(".merge_file*")) == []
    # Settled as the page says: theirs was right.
    farm.write_text(farm.read_text().replace("transplant = 2026-11-06", "transplant = 2026-11-08"))
    assert run("tasks", farm, "--yes").status == 0
    beside.unlink()
    git("add", str(farm))
    git("commit", "-qm", "both")
    assert git("status", "--porcelain").stdout == ""


def test_a_merge_given_up_leaves_the_season_and_its_history(git: Git, farm: Path) -> None:
    on(git, "theirs", "record", farm, "A1", "transplant", "2026-11-08", "--yes")
    git("switch", "-q", "main")
    farm.with_name("the near fields.history.jsonl").unlink()  # the other machine keeps its own
    on(git, "main", "record", farm, "A1", "transplant", "2026-11-06", "--yes")
    before = farm.read_text()
    git("merge", "theirs", "-m", "both", status=1)
    git("merge", "--abort")
    assert farm.read_text() == before
    assert run("undo", farm).out.startswith("Undone: A1 transplant recorded Fri 6 Nov 2026")
    assert "transplant" not in cohorts(farm)["A1"]["recorded"]


@pytest.mark.slow
def test_undo_after_a_merge_leaves_what_the_others_did(git: Git, farm: Path) -> None:
    on(git, "theirs", "record", farm, "D1", "seeding", "2026-10-22", "--yes")
    farm.with_name("the near fields.history.jsonl").unlink()
    on(git, "main", "record", farm, "A1", "transplant", "2026-11-08", "--yes")
    git("merge", "theirs", "-m", "both")
    assert run("undo", farm).out.startswith("Undone: A1 transplant recorded Sun 8 Nov 2026")
    assert "transplant" not in cohorts(farm)["A1"]["recorded"]
    assert "seeding" in cohorts(farm)["D1"]["recorded"]
    assert run("check", farm).status == 0


@pytest.mark.slow
def test_a_rebase_goes_through_the_same_driver(git: Git, farm: Path) -> None:
    on(git, "theirs", "record", farm, "D1", "seeding", "2026-10-22", "--yes")
    on(git, "main", "record", farm, "A1", "transplant", "2026-11-08", "--yes")
    git("rebase", "-q", "theirs")
    assert "transplant" in cohorts(farm)["A1"]["recorded"]
    assert "seeding" in cohorts(farm)["D1"]["recorded"]


@pytest.mark.slow
def test_branches_that_merged_each_other_merge_again(git: Git, farm: Path) -> None:
    """Two common ancestors, which git first merges into one: of that nobody is told."""
    on(git, "theirs", "record", farm, "A1", "transplant", "2026-11-08", "--yes")
    on(git, "main", "record", farm, "D1", "seeding", "2026-10-22", "--yes")
    git("branch", "before")
    git("merge", "theirs", "-m", "both")
    git("switch", "-q", "theirs")
    git("merge", "before", "-m", "both, the other way")
    on(git, "theirs", "record", farm, "A1", "emergence", "2026-10-12", "--yes")
    on(git, "main", "record", farm, "D1", "emergence", "2026-10-27", "--yes")
    git("merge", "theirs", "-m", "again")
    found = cohorts(farm)
    assert set(found["A1"]["recorded"]) == {"seeding", "transplant", "emergence"}
    assert set(found["D1"]["recorded"]) == {"seeding", "emergence"}
    assert git("status", "--porcelain").stdout == ""
    assert list(farm.parent.glob("*.conflicts*")) == []


def test_a_season_that_both_sides_added_merges_without_a_base(git: Git, farm: Path) -> None:
    for branch, plants in (("theirs", "121"), ("main", "120")):
        git("switch", "-q", branch)
        second = farm.with_name("second.toml")
        second.write_text(farm.read_text().replace("plants = 120", f"plants = {plants}"))
        git("add", "-A")
        git("commit", "-qm", "second")
    ran = git("merge", "theirs", "-m", "both", status=1)
    assert "conflict: cohort A1 plants: ours 120 stays, theirs is 121" in ran.stdout


def test_three_words_are_enough_for_the_driver(git: Git, farm: Path) -> None:
    git("config", "merge.calendar.driver", f'"{sys.executable}" -m calendar_tui merge %O %A %B')
    on(git, "theirs", "record", farm, "A1", "transplant", "2026-11-08", "--yes")
    on(git, "main", "record", farm, "A1", "transplant", "2026-11-06", "--yes")
    git("merge", "theirs", "-m", "both", status=1)
    assert "theirs:  2026-11-08" in (farm.parents[1] / "season.conflicts.txt").read_text()
    assert git("status", "--porcelain").stdout == 'UU "seasons/the near fields.toml"\n'


def test_what_is_not_toml_is_named_by_its_path_and_left_to_git(git: Git, farm: Path) -> None:
    git("switch", "-q", "theirs")
    farm.write_text(farm.read_text().replace("latitude = -34.3", "latitude -34.3"))
    git("commit", "-qam", "a slip")
    on(git, "main", "record", farm, "A1", "transplant", "2026-11-06", "--yes")
    before = farm.read_text()
    ran = git("merge", "theirs", "-m", "both", status=1)
    assert "seasons/the near fields.toml (theirs):" in ran.stderr + ran.stdout
    assert farm.read_text() == before
    assert git("status", "--porcelain").stdout == 'UU "seasons/the near fields.toml"\n'


def test_a_machine_without_the_driver_merges_as_text_and_the_program_names_the_line(
    git: Git, farm: Path
) -> None:
    git("config", "--remove-section", "merge.calendar")
    on(git, "theirs", "record", farm, "A1", "transplant", "2026-11-08", "--yes")
    on(git, "main", "record", farm, "A1", "transplant", "2026-11-06", "--yes")
    git("merge", "theirs", "-m", "both", status=1)
    before = farm.read_text()
    line = next(n for n, text in enumerate(before.splitlines(), 1) if text.startswith("<<<<<<<"))
    assert f"{farm}:{line}: not TOML" in run("check", farm).out
    ran = run("record", farm, "D1", "seeding", "2026-10-22", "--yes")
    assert (ran.status, farm.read_text()) == (2, before)
