"""Reading a season file and saving changes to it: whole or not at all."""

import errno
import json
import os
import stat
import subprocess
import sys
import threading
from datetime import UTC, date, datetime
from typing import NamedTuple

import pytest

from calendar_tui.season.edits import Change, Edit
from calendar_tui.storage.history.undo import read_history, undo_last
from calendar_tui.storage.problems import SeasonFileError
from calendar_tui.storage.season_file import load, read_text, save_change

TEXT = """\
# The farm
[[task]]
id = "T1"   # first
state = "open"

[[task]]
id = "T2"
state = "open"
"""
WHEN = datetime(2026, 10, 5, 7, 30, tzinfo=UTC)


class Found(NamedTuple):
    path: tuple
    message: str


def tick(name="T1", state="done"):
    return Change(f"tick {name}", (Edit("set", "task", (name,), ("state",), state),))


def save(path, change, **rest):
    return save_change(path, change, who="ana", when=WHEN, **rest)


@pytest.fixture
def season(tmp_path):
    path = tmp_path / "farm.toml"
    path.write_bytes(TEXT.encode())
    return path


def left(folder):
    """What lies in a folder, but for the lock."""
    return sorted(p.name for p in folder.iterdir() if not p.name.endswith(".lock"))


BROKEN = {
    "no equals sign": (b"a = 1\nb\n", 2, "write key = value"),
    "bare text": (b"a = Two Rivers\n", 1, 'write text in quotes, "Two Rivers"'),
    "open text": (b'a = 1\nb = "x\n', 2, "close the text"),
    "open list": (b"z = 1\na = [1,\n[b]\n", 3, "inside the value that starts in line 2"),
    "open list at the end": (b"[c]\nz = 1\na = [1,\n2,\n", 3, "a list with ]"),
    "open text of lines": (b'z = 1\na = """\n[b]\n', 2, "close text with its quotes"),
    "open header at the end": (b"z = 1\n[b", 2, "close the table's name"),
    "nothing after =": (b"z =", 1, "write a value behind the ="),
    "no such day": (b"\n\nd = 2026-02-30\n", 3, "as 2026-10-05"),
    "key twice": (b"a = 1\na = 2\n", 2, "give each key once"),
    "table twice": (b"[a]\n[a]\n", 2, "name each [table] once"),
    "open header": (b"[a\nb = 1\n", 1, "close the table's name"),
    "not UTF-8": (b"a = 1\nb = '\xe9'\n", 2, "save the file as UTF-8"),
    "byte-order mark": (b"\xef\xbb\xbfa = 1\n", 1, "without one"),
    "too long a number": (b"a = " + b"1" * 5000, None, "too long"),
    "too deep": (b"a = " + b"[" * 5000 + b"]" * 5000, None, "too deeply"),
}


@pytest.mark.parametrize(("content", "line", "words"), BROKEN.values(), ids=BROKEN.keys())
def test_what_is_not_a_season_file_is_named_with_its_line(tmp_path, content, line, words):
    path = tmp_path / "farm.toml"
    path.write_bytes(content)
    with pytest.raises(SeasonFileError) as caught:
        load(path)
    (problem,) = caught.value.problems
    assert (problem.file, problem.line) == (str(path), line)
    assert words in problem.message
    assert str(caught.value).startswith(f"{path}:{line}: " if line else f"{path}: ")
    with pytest.raises(SeasonFileError):
        save(path, tick())
    assert path.read_bytes() == content
    assert left(tmp_path) == ["farm.toml"]


def test_a_missing_file_a_folder_and_one_not_to_be_read(tmp_path, season, monkeypatch):
    with pytest.raises(SeasonFileError, match="there is no such file"):
        load(tmp_path / "none.toml")
    with pytest.raises(SeasonFileError, match="this is a folder"):
        load(tmp_path)
    with pytest.raises(SeasonFileError):
        load("farm\0.toml")

    def refuse(_path):
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr("pathlib.Path.read_bytes", refuse)
    with pytest.raises(SeasonFileError, match="cannot be read: you have no permission"):
        load(season)


@pytest.mark.parametrize("eol", ["\n", "\r\n"])
@pytest.mark.parametrize("end", ["", "\n", "\n\n# end"])
def test_a_save_changes_its_own_lines_alone(season, eol, end):
    text = (TEXT.rstrip() + end).replace("\n", eol)
    season.write_bytes(text.encode())
    saved = save(season, tick())
    assert season.read_bytes().decode() == text.replace('"open"', '"done"', 1) == saved.text
    assert (saved.n, saved.data) == (1, load(season).data)
    assert left(season.parent) == ["farm.history.jsonl", "farm.toml"]


def test_a_change_that_changes_nothing_writes_nothing(season):
    before = season.stat()
    assert save(season, tick(state="open")).n is None
    assert save(season, Change("nothing", ())).n is None
    assert season.stat().st_mtime_ns == before.st_mtime_ns
    assert season.stat().st_ino == before.st_ino
    assert left(season.parent) == ["farm.toml"]


def test_an_edit_is_applied_to_the_file_as_it_is_now(season):
    loaded = load(season)
    season.write_text(TEXT + '\n[[task]]\nid = "T3"\nstate = "open"\n')
    saved = save(season, tick("T2"), loaded=loaded)
    assert [t["state"] for t in saved.data["task"]] == ["open", "done", "open"]
    again = save(season, tick("T3"), loaded=load(season))
    assert [t["state"] for t in again.data["task"]] == ["open", "done", "done"]


def test_edits_that_do_not_fit_are_refused(season):
    with pytest.raises(SeasonFileError, match="task T9 is not there any more"):
        save(season, tick("T9"))
    season.write_text('task = [ { id = "T1" } ]\n')
    with pytest.raises(SeasonFileError, match=r"farm.toml:1: not saved: .*by hand"):
        save(season, Change("drop", (Edit("remove", "task", ("T1",)),)))
    assert left(season.parent) == ["farm.toml"]


def test_a_problem_refuses_the_save_at_its_line(season):
    seen = []

    def check(data):
        seen.append(data)
        return [Found(("task", 1, "state"), "state is odd; use open")]

    with pytest.raises(SeasonFileError) as caught:
        save(season, tick("T2", "odd"), check=check)
    assert str(caught.value) == f"{season}:8: not saved: state is odd; use open"
    assert seen[0]["task"][1]["state"] == "odd"
    assert season.read_text() == TEXT
    assert left(season.parent) == ["farm.toml"]
    save(season, tick("T2"), check=lambda data: [])


def test_a_time_without_offset_is_refused(season):
    naive = datetime(2026, 10, 5)
    with pytest.raises(ValueError, match="offset"):
        save_change(season, tick(), who="ana", when=naive)
    with pytest.raises(ValueError, match="offset"):
        undo_last(season, who="ana", when=naive)


def test_permissions_stay_and_the_history_has_them_too(season):
    season.chmod(0o664)
    old = os.umask(0o077)
    try:
        save(season, tick())
    finally:
        os.umask(old)
    for name in ("farm.toml", "farm.history.jsonl", ".farm.toml.lock"):
        if (season.parent / name).exists():
            assert stat.S_IMODE((season.parent / name).stat().st_mode) == 0o664, name


def test_a_symbolic_link_stays_and_its_file_is_changed(season, tmp_path):
    folder = tmp_path / "links"
    folder.mkdir()
    link = folder / "now.toml"
    link.symlink_to(season)
    save(link, tick())
    assert link.is_symlink()
    assert '"done"' in season.read_text()
    assert left(folder) == ["now.toml"]
    assert undo_last(link, who="ana", when=WHEN).exact
    assert season.read_text() == TEXT


def many(tasks):
    return "\n".join(f'[[task]]\nid = "T{i}"\nstate = "open"\n' for i in range(tasks))


def test_two_threads_lose_nothing(season):
    season.write_text(many(20))
    turns = [
        threading.Thread(target=lambda half=half: [save(season, tick(f"T{i}")) for i in range(half, 20, 2)])
        for half in (0, 1)
    ]
    for turn in turns:
        turn.start()
    for turn in turns:
        turn.join()
    assert {t["state"] for t in load(season).data["task"]} == {"done"}
    assert [e.n for e in read_history(season).entries] == list(range(1, 21))


SAVER = """
import sys
from datetime import UTC, datetime
from calendar_tui.season.edits import Change, Edit
from calendar_tui.storage.season_file import save_change
when = datetime(2026, 10, 5, tzinfo=UTC)
for i in range(int(sys.argv[2]), 30, 2):
    change = Change(f"tick T{i}", (Edit("set", "task", (f"T{i}",), ("state",), "done"),))
    save_change(sys.argv[1], change, who=sys.argv[2], when=when)
"""


def test_two_processes_lose_nothing_and_all_can_be_undone(season):
    season.write_text(many(30))
    running = [subprocess.Popen([sys.executable, "-c", SAVER, season, half]) for half in "01"]
    assert [process.wait(60) for process in running] == [0, 0]
    assert {t["state"] for t in load(season).data["task"]} == {"done"}
    assert len(read_history(season).entries) == 30
    for _ in range(30):
        assert undo_last(season, who="ana", when=WHEN).exact
    assert season.read_text() == many(30)


def test_reading_needs_nothing_that_only_saving_needs():
    code = (
        "import sys, calendar_tui.storage.season_file\n"
        "print([m for m in ('filelock', 'tomli_w', 'difflib', 'hashlib', 'json', 'tempfile') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_a_history_line_says_who_when_and_what(season):
    save(
        season,
        Change("tick T1", (*tick().edits, Edit("set", "task", ("T1",), ("done_on",), date(2026, 10, 5)))),
    )
    row = json.loads(season.with_name("farm.history.jsonl").read_text())
    assert (row["n"], row["who"], row["what"]) == (1, "ana", "tick T1")
    assert row["when"] == "2026-10-05T07:30:00+00:00"
    first, second = row["edits"]
    assert first == {
        "op": "set",
        "kind": "task",
        "ident": ["T1"],
        "field": ["state"],
        "before": "open",
        "after": "done",
    }
    assert second["after"] == {"$date": "2026-10-05"}
    assert "before" not in second


def test_read_text_keeps_line_endings(season):
    season.write_bytes(b"a = 1\r\nb = 2\n")
    assert read_text(season) == "a = 1\r\nb = 2\n"
