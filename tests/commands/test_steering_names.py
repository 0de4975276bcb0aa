"""A file's name and a history's words steer no terminal, and no name in a season becomes a path or a command."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from small_season import run
from test_fuzz import READING, steering

from calendar_tui.commands.table import COMMANDS

EVIL = "\x1b]0;evil\x07\x9b2J\u202eevil\r"
WORDS = (
    *READING,
    ("week", "--json", "--at", "2030-01-01"),
    ("history", "--json"),
    ("history", "--full"),
    ("history", "--at", "2030-01-01"),
    ("undo",),
    ("redo",),
    ("done", "nothing"),
    ("plan", "A1", "transplant", "2026-11-10", "--yes"),
    ("variety", "amber", "--json"),
    ("dates", "--csv"),
    ("no-such-word",),
)


@pytest.fixture
def evil(tmp_path: Path, season_text: str) -> Path:
    """A season under a name, and with a history, that would steer a terminal."""
    path = tmp_path / f"near{EVIL}.toml"
    path.write_text(season_text, encoding="utf-8")
    assert run("plan", path, "A1", "transplant", "2026-11-09", "--yes").status == 0
    history = path.with_name(f"{path.stem}.history.jsonl")
    row = json.loads(history.read_text(encoding="utf-8"))
    history.write_text(json.dumps(row | {"who": EVIL, "what": EVIL}) + "\n" + EVIL + "\n", encoding="utf-8")
    return path


def test_week_tells_of_problems_elsewhere_harmless(evil: Path) -> None:
    evil.write_text(
        evil.read_text(encoding="utf-8").replace("latitude = -34.3", "latitude = 120"), encoding="utf-8"
    )
    ran = run("week", evil)
    assert "1 problem" in ran.err
    assert not steering(ran.said)


@pytest.mark.slow
@pytest.mark.parametrize("words", WORDS, ids=" ".join)
def test_no_command_shows_what_steers_a_terminal(evil: Path, words: tuple[str, ...]) -> None:
    # What a scanner reads steers too.
    ran = run(words[0], evil, *words[1:], typed=f"{EVIL}\n")
    assert ran.status in ((1,) if words == ("scan",) else (0, 2))
    assert ran.said
    assert not steering(ran.said)


@pytest.mark.parametrize("name", [f"{EVIL}.toml", f"x{EVIL}/a.toml"])
@pytest.mark.parametrize("command", [name for name in COMMANDS if name not in ("", "merge")])
def test_a_file_that_is_not_there_is_told_harmless(tmp_path: Path, command: str, name: str) -> None:
    ran = run(command, tmp_path / name, "A1", "harvest", "today")
    assert ran.status == 2
    assert not steering(ran.said)


def test_a_new_season_is_told_harmless(tmp_path: Path) -> None:
    flags = "--name=Farm --latitude=-34 --longitude=-56 --timezone=America/Montevideo --first-day=2026-09-01 --last-day=2027-06-30"
    ran = run("new", tmp_path / f"a{EVIL}.toml", *flags.split())
    assert ran.status == 0, ran.said
    assert not steering(ran.said)
    again = run("new", tmp_path / f"a{EVIL}.toml", *flags.split())
    assert (again.status, bool(steering(again.said))) == (2, False)
    assert "is there already" in again.err


@pytest.mark.parametrize(
    "name",
    ["../A1", "..", "/etc/passwd", "a/b", "A1\\u001b[2J", "A1\\u202e", "", "-A1", "C:x", "a b", "$(x)"],
)
@pytest.mark.parametrize("kind", ["place", "variety", "cohort", "chore", "task"])
def test_an_id_that_could_be_a_path_or_a_command_is_refused(season: Path, kind: str, name: str) -> None:
    before, header, after = season.read_text().partition("[records]\n" if kind == "task" else f"[[{kind}]]\n")
    changed = re.sub(r'id = "[^"]*"', lambda _: f'id = "{name}"', after, count=1)
    season.write_text(f"{before}{header}{changed}", encoding="utf-8")
    ran = run("check", season)
    assert ran.status == 1
    assert (
        "an id has 1 to 24 letters, digits, - or _" in ran.out
        or "id has a control or hidden character" in ran.out
    )
    assert not steering(ran.said)
