"""Processes that save, undo and redo without end, each killed with SIGKILL; after each, what they left is looked at.

`python -m tests.storage.killing FOLDER` prints the figures as JSON, or fails with the number of the kill.
"""

import json
import os
import random
import signal
import sys
import time
from itertools import count
from pathlib import Path

import calendar_tui.storage
from calendar_tui.storage.disk.lock import locked
from calendar_tui.storage.history.undo import read_history, redo_last, undo_last
from calendar_tui.storage.toml.splices import apply_splices
from tests.season_data import data_of
from tests.storage.small_farm import WHEN, farm, left, save, tick

STORAGE = str(Path(calendar_tui.storage.__file__).parent)
TASKS, BY_LINE, BY_TIME, PER_FARM = 12, 300, 200, 20
LONGEST_S = 0.012
BY = {"who": "bob", "when": WHEN}


def work(path, told):
    """Save, undo and redo without end; each change that is saved is told as a byte."""
    for turn in count():
        now = data_of(path.read_text())["task"][turn % TASKS]
        save(path, tick(now["id"], "open" if now["state"] == "done" else "done"), who="bob")
        os.write(told, b"s")
        if turn % 3 == 0:
            undo_last(path, **BY)
            os.write(told, b"u")
            redo_last(path, **BY)
            os.write(told, b"r")


def die_at_line(line):
    """Kill this process once it has run so many lines of the storage."""
    ran = 0

    def trace(frame, event, arg):
        nonlocal ran
        if not frame.f_code.co_filename.startswith(STORAGE):
            return None
        ran += event == "line"
        if ran >= line:
            os.kill(os.getpid(), signal.SIGKILL)
        return trace

    sys.settrace(trace)


def killed(path, line, seconds):
    """Start a process that works, and have it killed; gives how many of its saves it told of."""
    end, told = os.pipe()
    child = os.fork()
    if not child:
        try:
            if line:
                die_at_line(line)
            work(path, told)
        finally:  # only reached where something went wrong
            os._exit(1)
    os.close(told)
    with os.fdopen(end, "rb", buffering=0) as stream:
        saves = b""
        if not line:
            saves = stream.read(1)
            time.sleep(seconds)
            os.kill(child, signal.SIGKILL)
        saves += stream.read()
    _, status = os.waitpid(child, 0)
    assert os.WIFSIGNALED(status), "the saving process failed by itself"
    return len(saves)


def look(path, start, told):
    """What was left: old or new whole, all that was told there, a history that leads there, a free lock."""
    text = path.read_text()
    assert len(data_of(text)["task"]) == TASKS
    history = read_history(path)
    replayed = start
    for entry in history.entries:
        for step in entry.steps:
            replayed = apply_splices(replayed, step.splices)
    assert replayed == text, "the history does not lead to the file"
    assert len(history.entries) >= told, "a save that was told is lost"
    assert len({entry.n for entry in history.entries}) == len(history.entries)
    assert set(left(path.parent)) <= {"farm.toml", "farm.history.jsonl", ".farm.toml.new"}
    with locked(path, seconds=0):
        pass
    return history


def trial(folder, kills):
    """Kill as many processes as there are in `kills`, each (line, seconds), on one farm."""
    path = Path(folder) / "farm.toml"
    start = farm(TASKS)
    path.write_text(start)
    figures = {"kills": 0, "saves": 0, "left over": 0, "never": 0, "torn": 0}
    told = 0
    for line, seconds in kills:
        told = len(read_history(path).entries) + killed(path, line, seconds)
        figures["kills"] += 1
        figures["left over"] += ".farm.toml.new" in left(path.parent)
        try:
            history = look(path, start, told)
        except AssertionError as error:
            raise AssertionError(f"{error} (killed at line {line}, or after {seconds} s)") from error
        figures["torn"] += any("not whole" in warning for warning in history.warnings)
    figures["saves"], figures["never"] = len(history.entries), len(history.never)
    save(path, tick("T0", "skipped"))
    assert left(path.parent) == ["farm.history.jsonl", "farm.toml"]
    while len(read_history(path).done):
        undo_last(path, **BY)
    assert path.read_text() == start
    return figures


def kills():
    chance = random.Random(4)
    # A save runs some 1,300 lines here, an undo or a redo 500: these lie all over one round of them and the next save.
    by_line = [(1 + 12 * n + chance.randrange(12), 0) for n in range(BY_LINE)]
    chance.shuffle(by_line)
    return by_line + [(0, chance.uniform(0, LONGEST_S)) for _ in range(BY_TIME)]


def main(folder):
    whole = {}
    plan = kills()
    for n in range(0, len(plan), PER_FARM):
        place = Path(folder) / str(n)
        place.mkdir()
        for key, figure in trial(place, plan[n : n + PER_FARM]).items():
            whole[key] = whole.get(key, 0) + figure
    print(json.dumps(whole))


if __name__ == "__main__":
    main(sys.argv[1])
