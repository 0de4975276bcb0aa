"""Output that cannot be written, of every command: what was saved is told on standard error, and the exit status is 74."""

from __future__ import annotations

import contextlib
import errno
import io
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from small_season import PLAIN, TODAY, run

from calendar_tui.cli import LOST, main
from calendar_tui.commands.table import COMMANDS

ROOT = Path(__file__).parents[2]
SURVEY = """\
season = "near-fields.toml"
sites = "sites.csv"
varieties = ["amber"]
place = "H1"
first_date = 2026-09-01
last_date = 2026-10-01
every_d = 10
"""
SITES = "site,latitude,longitude,timezone\nNear,-34.3,-56.7,America/Montevideo\n"
PLOTS = "block,gen,y\n1,a,3\n1,b,5\n2,a,4\n2,b,7\n"
COHORTS = "id,variety,plants\nA1,,90\n"
WISH = "--variety amber --place F1 --cohorts 1 --first-harvest 2027-05-01 --plants 40 --draft even"
# What each command is called with; {task}: the id of an open task.
WORDS = {
    "": "--help",
    "daylight": "",
    "dates": "",
    "why": "{season} A1 harvest",
    "chart": "",
    "lamps": "",
    "quantities": "",
    "today": "",
    "week": "",
    "response": "{season} amber H1",
    "response-many": "survey.toml --output out.csv",
    "analyse": "plots.csv --design blocks --block block --treatment gen --value y",
    "stagger": WISH,
    "done": "{season} {task}",
    "scan": "--help",
    "skip": "{season} {task}",
    "move": "{season} {task} 2026-11-20",
    "note": "{season} {task} wet",
    "reopen": "{season} {shut}",
    "record": "{season} A1 transplant 2026-11-09 --yes",
    "plan": "{season} A1 lights_off 2027-01-20 --yes",
    "tasks": "--yes",
    "station": "{season} add 12.1 27.3 --yes",
    "add": "place F9 kind field --yes",
    "set": "cohort A1 plants 90 --yes",
    "take": "cohorts.csv --yes",
    "rename": "cohort A1 A9 --yes",
    "remove": "cohort A1 --yes",
    "cohort": "A1 plants 90 --yes",
    "variety": "{season} amber critical_day 13:50 --yes",
    "chores": "{season} scout hours 2 --yes",
    "spray": "",
    "sample": "",
    "result": "",
    "rules": "",
    "official": "",
    "labels": "{season} --sheet list",
    "trend": "{season} A1",
    "trial": "",
    "observe": "--help",
    "field-book": "",
    "review": "",
    "cut": "",
    "pass": "",
    "batch": "",
    "decide": "",
    "load": "",
    "history": "",
    "settings": "",
    "undo": "",
    "redo": "",
    "export": "{season} --table out.csv",
    "report": "",
    "check": "",
    "serve": "--help",
    "upgrade": "--yes",
    "merge": "base.toml {season} theirs.toml",
    "completion": "bash",
    "man": "",
    "new": "made.toml --name X --latitude 44.5 --longitude -71 --timezone America/New_York --first-day 2027-03-01 "
    "--last-day 2027-12-31",
}
# These change no file, whatever becomes of their output.
READING = {
    *("", "daylight", "dates", "why", "chart", "lamps", "quantities", "week", "response", "hours", "load"),
    *("history", "check", "serve", "today", "settings", "decide", "report"),
    *("analyse", "spray", "sample", "result", "rules", "official", "labels", "trend", "trial", "cut"),
    *("pass", "batch", "observe", "field-book", "review", "scan", "completion", "man"),
}


class Full(io.StringIO):
    """A stream on a full disk."""

    def write(self, text: str) -> int:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


@pytest.fixture(scope="module")
def worked_on(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder of a season with tasks, a change undone and one to undo, and all that the other commands read."""
    folder = tmp_path_factory.mktemp("worked-on")
    path = folder / "near-fields.toml"
    path.write_text(PLAIN, encoding="utf-8")
    for name, text in (
        ("survey.toml", SURVEY),
        ("sites.csv", SITES),
        ("plots.csv", PLOTS),
        ("cohorts.csv", COHORTS),
    ):
        (folder / name).write_text(text, encoding="utf-8")
    assert run("tasks", path, "--yes").status == 0
    assert run("skip", path, ids(path)[1]).status == 0
    (folder / "base.toml").write_bytes(path.read_bytes())
    (folder / "theirs.toml").write_text(path.read_text().replace("Near Fields", "Farther Fields"))
    assert run("note", path, ids(path)[2], "dry").status == 0
    return folder


@pytest.fixture
def season(worked_on: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The season in a folder of its own."""
    monkeypatch.chdir(tmp_path)
    shutil.copytree(worked_on, tmp_path, dirs_exist_ok=True)
    return tmp_path / "near-fields.toml"


def ids(path: Path) -> list[str]:
    from calendar_tui.storage.season_file import load

    return [task["id"] for task in load(path).data["task"]]


def words_of(name: str, path: Path) -> list[str]:
    given = WORDS[name].format(season=path.name, task=ids(path)[0], shut=ids(path)[1]).split()
    named = (
        given
        if given[:1] == [path.name]
        or name in ("", "new", "merge", "response-many", "analyse", "settings", "completion", "man")
        else [path.name, *given]
    )
    return [name, *named] if name else named


def files(path: Path) -> dict[str, bytes]:
    return {
        p.name: p.read_bytes() for p in path.parent.iterdir() if p.is_file() and p.suffix in (".toml", ".csv")
    }


def lost(stream: io.StringIO | None, words: list[str]) -> tuple[int, str]:
    err = io.StringIO()
    with contextlib.redirect_stdout(stream), contextlib.redirect_stderr(err):  # type: ignore[type-var]
        try:
            status = main([*words, "--today", TODAY])
        except SystemExit as left:
            status = int(left.code or 0)
    return status, err.getvalue()


def prepared(name: str, path: Path) -> list[str]:
    words = words_of(name, path)
    if name == "redo":
        assert run("undo", path).status == 0
    if name == "tasks":
        path.write_text(f'{path.read_text()}\n[[chore]]\nid = "look"\nwhat = "Look"\nstage = "harvest"\n')
    if name == "upgrade":
        path.write_text(path.read_text().replace("format = 3", "format = 1"))
    return words


def test_every_command_is_tried() -> None:
    assert set(WORDS) == set(COMMANDS)


@pytest.mark.parametrize(
    "name", [pytest.param(n, marks=pytest.mark.needs("ortools")) if n == "stagger" else n for n in COMMANDS]
)
@pytest.mark.parametrize(
    "stream", [Full, pytest.param(lambda: None, marks=pytest.mark.slow)], ids=["full", "closed"]
)
def test_output_that_cannot_be_written_is_told_with_what_was_saved(
    season: Path, name: str, stream: object
) -> None:
    words = prepared(name, season)
    before = files(season)
    status, err = lost(stream(), words)  # type: ignore[operator]
    assert status == LOST == 74, err
    assert err.count("the output could not be written") == 1
    assert "Traceback" not in err
    after = files(season)
    assert (after != before) == (name not in READING), name
    assert ("Nothing was saved." in err) == (after == before)
    for changed in (n for n in after if after[n] != before.get(n) and n != "near-fields.toml"):
        assert changed in err, "the file that was written is named"


class Gone(io.StringIO):
    """A pipe whose reader has seen enough, such as head."""

    def write(self, text: str) -> int:
        raise BrokenPipeError(errno.EPIPE, os.strerror(errno.EPIPE))


@pytest.mark.quick(20)
@pytest.mark.parametrize(
    "name", [pytest.param(n, marks=pytest.mark.needs("ortools")) if n == "stagger" else n for n in COMMANDS]
)
def test_a_reader_that_has_seen_enough_is_no_error_of_any_command(season: Path, name: str) -> None:
    words = prepared(name, season)
    status, err = lost(Gone(), words)
    assert status in (0, 1 if name in ("check", "merge") else 0), err
    assert "written" not in err
    assert "Traceback" not in err


def test_what_was_saved_is_told_in_words(season: Path) -> None:
    name = ids(season)[0]
    status, err = lost(Full(), ["note", season.name, name, "wet"])
    assert (status, err) == (
        74,
        "calendar-tui: the output could not be written: No space left on device. "
        f"Saved: noted on {name} Transplant by hand (A1): wet.\n",
    )


def test_what_is_asked_and_cannot_be_read_is_not_saved(season: Path) -> None:
    before = files(season)
    status, err = lost(
        Full(), ["record", season.name, "A1", "transplant", "2026-11-09", "--lights-off", "hold"]
    )
    assert status == 74
    assert "nothing saved: no answer" in err
    assert files(season) == before


@pytest.mark.parametrize("name", ["chart", "week", "history", "response"])
def test_output_and_keyboard_that_are_both_closed_are_told(
    season: Path, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    words = prepared(name, season)
    monkeypatch.setattr(sys, "stdin", None)
    monkeypatch.setattr(sys, "__stdin__", None)
    assert lost(None, words) == (
        LOST,
        "calendar-tui: the output could not be written: it is closed. Nothing was saved.\n",
    )


@pytest.mark.quick(7)
@pytest.mark.parametrize("name", ["check", "note", "export", "undo", "week", "completion", "man", ""])
@pytest.mark.parametrize("to", [">/dev/full", "1>&-", "| dd bs=1 count=0 of=/dev/null; exit 74"])
def test_a_real_stream_that_takes_nothing_leaves_no_traceback(season: Path, name: str, to: str) -> None:
    words = " ".join(words_of(name, season))
    ran = subprocess.run(
        ["sh", "-c", f"'{sys.executable}' -m calendar_tui {words} --today {TODAY} {to}"],
        cwd=season.parent,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    assert ran.returncode == 74, ran.stderr
    assert "Traceback" not in ran.stderr
    assert "Exception ignored" not in ran.stderr
    assert ("could not be written" in ran.stderr) == ("dd" not in to)
