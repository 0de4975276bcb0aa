"""What a killed export, merge, shortening or upgrade leaves behind: cleared away by the next, and never added up."""

import os
import subprocess
import sys
from datetime import timedelta

import pytest
from small_farm import WHEN, farm, left, save, tick

from calendar_tui.storage.disk.handed_file import hand_out
from calendar_tui.storage.history.undo import read_history
from calendar_tui.storage.merge_file import write_apart

KILLED = """
import os, signal, sys
from datetime import datetime, UTC
from pathlib import Path
os.replace = lambda *names: os.kill(os.getpid(), signal.SIGKILL)
path = Path(sys.argv[2])
if sys.argv[1] == "export":
    from calendar_tui.storage.disk.handed_file import hand_out
    hand_out({path: b"half"})
if sys.argv[1] == "shorten":
    from calendar_tui.storage.history.shortening import shorten_history
    day = datetime(2026, 12, int(sys.argv[3]), tzinfo=UTC)
    shorten_history(path, day.date(), UTC, who="ana", when=day)
if sys.argv[1] == "merge":
    from calendar_tui.storage.merge_file import write_apart
    write_apart(path, "half", Path(sys.argv[3]))
if sys.argv[1] == "conflicts":
    from calendar_tui.storage.merge_file import write_conflicts
    write_conflicts(path, "half", path)
if sys.argv[1] == "upgrade":
    from calendar_tui.storage.upgrading import upgrade_season
    upgrade_season(path, who="ana", when=datetime(2026, 12, 1, tzinfo=UTC))
"""
OLD = """\
format = 1
[season]
name = "Two Rivers"
first_day = 2026-09-15
last_day = 2027-05-15
[site]
latitude = -34.3
longitude = -56.7
timezone = "America/Montevideo"
"""


def killed(*words):
    ran = subprocess.run([sys.executable, "-c", KILLED, *map(str, words)], timeout=60, check=False)
    assert ran.returncode == -9


@pytest.fixture
def season(tmp_path):
    path = tmp_path / "farm.toml"
    path.write_text(farm(3))
    return path


def test_exports_that_were_killed_leave_nothing_after_the_next(tmp_path):
    target = tmp_path / "tasks.csv"
    for _ in range(3):
        killed("export", target)
    assert len(left(tmp_path)) == 1
    hand_out({target: b"whole"})
    assert (left(tmp_path), target.read_bytes()) == (["tasks.csv"], b"whole")


def test_an_export_that_still_runs_keeps_what_it_writes(tmp_path):
    target, other = tmp_path / "tasks.csv", tmp_path / f".tasks.csv.{os.getppid()}.new"
    other.write_bytes(b"half")
    hand_out({target: b"whole"})
    assert other.read_bytes() == b"half"


def test_a_shortening_that_was_killed_leaves_nothing_after_the_next_save(season):
    save(season, tick())
    for day in (1, 2):
        killed("shorten", season, day)
    save(season, tick("T2"))
    assert left(season.parent) == ["farm.history.jsonl", "farm.toml"]
    assert [e.n for e in read_history(season).entries] == [1, 2]


def test_an_upgrade_that_was_killed_leaves_nothing_after_the_next_save(season):
    season.write_text(OLD)
    killed("upgrade", season)
    assert ".farm.history.jsonl.new" in left(season.parent)
    season.write_text(farm(3))
    save(season, tick(), when=WHEN + timedelta(days=1))
    assert left(season.parent) == ["farm.history.jsonl", "farm.toml"]


def test_merges_that_were_killed_leave_nothing_after_the_next_save(season):
    killed("conflicts", season)
    killed("merge", season.with_name("merged.toml"), season)
    assert len(left(season.parent)) == 2  # what the first has left is gone with the second
    save(season, tick())
    assert left(season.parent) == ["farm.history.jsonl", "farm.toml"]


def test_merges_that_were_killed_leave_nothing_after_the_next_merge_into_the_folder(season):
    killed("merge", season.with_name("merged.toml"), season)
    write_apart(season.with_name("another.toml"), "whole", season)
    assert left(season.parent) == ["another.toml", "farm.toml"]


def test_a_merge_that_still_runs_keeps_what_it_writes(season):
    other = season.with_name(f".calendar-tui.{os.getppid()}.new")
    other.write_bytes(b"half")
    save(season, tick())
    write_apart(season.with_name("another.toml"), "whole", season)
    assert other.read_bytes() == b"half"
