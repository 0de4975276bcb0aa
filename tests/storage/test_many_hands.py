"""Eight processes edit one season at once: every edit is in the file, and every edit is in the history."""

import itertools
import subprocess
import sys
from pathlib import Path

import pytest

from calendar_tui.season.edits import Change, Edit
from calendar_tui.storage.history.undo import read_history, undo_last
from calendar_tui.storage.problems import SeasonFileError
from calendar_tui.storage.season_file import load
from tests.storage.small_farm import WHEN, farm, left, save

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[2]
HANDS, EDITS = 8, 100


def a_hand(path, hand):
    """One process's work: so many new keys, each in a save of its own."""
    for n in range(EDITS):
        edit = Edit("set", "task", (f"T{hand}",), (f"x{n}",), n)
        while not _saved(path, Change(f"{hand}.{n}", (edit,)), f"hand {hand}"):
            continue


def _saved(path, change, who):
    """Whether it was its turn: on a busy machine a hand may wait for the lock in vain, and tries again as told."""
    try:
        return save(path, change, who=who).n is not None
    except SeasonFileError as error:
        if "try again in a moment" not in str(error):
            raise
        return False


def test_eight_processes_with_a_hundred_edits_each_lose_none(tmp_path):
    path = tmp_path / "farm.toml"
    path.write_text(farm(HANDS))
    code = "import sys; from pathlib import Path; from tests.storage.test_many_hands import a_hand; a_hand(Path(sys.argv[1]), sys.argv[2])"
    running = [
        subprocess.Popen(
            [sys.executable, "-c", code, path, str(hand)], cwd=ROOT, stderr=subprocess.PIPE, text=True
        )
        for hand in range(HANDS)
    ]
    failed = [process.communicate(timeout=200)[1] for process in running]
    assert failed == [""] * HANDS
    tasks = load(path).data["task"]
    for hand, task in enumerate(tasks):
        assert task == {"id": f"T{hand}", "state": "open", **{f"x{n}": n for n in range(EDITS)}}
    entries = read_history(path).entries
    assert [entry.n for entry in entries] == list(range(1, HANDS * EDITS + 1))
    assert {entry.what for entry in entries} == {f"{h}.{n}" for h in range(HANDS) for n in range(EDITS)}
    assert all(entry.who == f"hand {entry.what.split('.')[0]}" for entry in entries)
    assert all(one.after == other.before for one, other in itertools.pairwise(entries))
    assert left(tmp_path) == ["farm.history.jsonl", "farm.toml"]
    assert undo_last(path, HANDS * EDITS, who="ana", when=WHEN).exact
    assert path.read_text() == farm(HANDS)
