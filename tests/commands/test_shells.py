"""The scripts of completion in the shells themselves: bash always, zsh and fish where they are installed."""

from __future__ import annotations

import os
import pty
import re
import select
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from calendar_tui.commands.shell_files import FOLDER, SCRIPTS

ROOT = Path(__file__).parents[2]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with one season."""
    shutil.copy(ROOT / "seasons" / "two-rivers.toml", tmp_path)
    (tmp_path / "notes.txt").write_text("no season")
    return tmp_path


@pytest.fixture
def program(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The program as it would be installed, in a folder of its own."""
    path = tmp_path_factory.mktemp("bin") / "calendar-tui"
    path.write_text(f'#!/bin/sh\nPYTHONPATH="{ROOT}" exec "{sys.executable}" -m calendar_tui "$@"\n')
    path.chmod(0o755)
    return path


# A line up to the cursor, and what there is to choose from.
LINES = {
    "calendar-tui dec": ["decide"],
    "calendar-tui dates T": ["T1", "T2"],
    "calendar-tui dates two": ["two-rivers.toml"],
    "calendar-tui dates --cs": ["--csv"],
    "calendar-tui dates two-rivers.toml A1 T": ["T1", "T2"],
    "calendar-tui --today tomorrow dates T": ["T1", "T2"],
    "calendar-tui week --place F": ["F1", "F2", "F3"],
    "calendar-tui done b7": ["b7n8"],
    "calendar-tui chart --by pl": ["place", "planting"],
    "calendar-tui record A1 lig": ["lights_on", "lights_off"],
    "calendar-tui help we": ["week"],
    "calendar-tui completion z": ["zsh"],
}


def in_shell(program: Path, folder: Path, *words: str, typed: str = "") -> str:
    """What a shell prints that finds the program on its path."""
    ran = subprocess.run(
        words,
        input=typed,
        cwd=folder,
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
        env={**os.environ, "PATH": f"{program.parent}:{os.environ['PATH']}"},
    )
    assert ran.stderr == ""
    return ran.stdout


# What follows the line of the page in a shell, and what it prints where the shell took it.
TAKEN = {
    "bash": ("bash", "{line}; complete -p calendar-tui", "-F _shtab_calendar_tui calendar-tui"),
    "zsh": (
        "zsh",
        "autoload -Uz compinit; compinit -u -D; {line}; print $_comps[calendar-tui]",
        "_shtab_calendar_tui",
    ),
    "fish": ("fish", "{line}; complete -C 'calendar-tui dec'", "decide\t"),
}


@pytest.mark.parametrize("shell", TAKEN)
def test_the_line_that_the_page_gives_is_taken(folder: Path, program: Path, shell: str) -> None:
    page = (ROOT / "docs" / "shell.md").read_text(encoding="utf-8")
    found = re.search(rf"^\| {shell}\b[^|]*\|[^|]*\| `(.*)` \|$", page, re.MULTILINE)
    assert found is not None
    if not shutil.which(shell):
        pytest.skip(f"no {shell} here")
    name, typed, printed = TAKEN[shell]
    line = found[1].replace("\\|", "|")
    assert printed in in_shell(program, folder, name, "-c", typed.format(line=line))


def test_in_bash(folder: Path, program: Path) -> None:
    script = FOLDER / SCRIPTS["bash"]
    lines = "\n".join(f"offer {line.removeprefix('calendar-tui ')}" for line in LINES)
    typed = f"""
        source '{script}'
        complete -p calendar-tui >/dev/null || exit 1
        offer() {{
          COMP_WORDS=(calendar-tui "$@"); COMP_CWORD=$#; COMPREPLY=()
          _shtab_calendar_tui; echo "${{COMPREPLY[*]}}"
        }}
        {lines}
    """
    out = in_shell(program, folder, "bash", "--norc", "-s", typed=typed)
    assert [line.split() for line in out.splitlines()] == list(LINES.values())


@pytest.mark.slow
def test_in_fish(folder: Path, program: Path) -> None:
    if not shutil.which("fish"):
        pytest.skip("no fish here")
    script = FOLDER / SCRIPTS["fish"]
    for line, expected in LINES.items():
        out = in_shell(program, folder, "fish", "-N", "-c", f"source '{script}'; complete -C '{line}'")
        assert {row.split("\t")[0] for row in out.splitlines()} == {*expected}, line
    told = in_shell(
        program, folder, "fish", "-N", "-c", f"source '{script}'; complete -C 'calendar-tui done b7'"
    )
    assert "Cut samples" in told


@pytest.mark.slow
def test_in_zsh(folder: Path, program: Path) -> None:
    """Tab pressed in a zsh on a terminal of its own: it fills in the word, or what all of the words begin with."""
    if not shutil.which("zsh"):
        pytest.skip("no zsh here")
    for line, expected in LINES.items():
        filled = f"{line.rpartition(' ')[0]} {expected[0]}"
        wanted = [filled] if len(expected) == 1 else expected
        _tab_in_zsh(program, folder, line, wanted)


def _tab_in_zsh(program: Path, folder: Path, line: str, wanted: list[str]) -> None:
    """Press Tab behind a line until all that is wanted is on the screen."""
    pid, handle = pty.fork()
    if pid == 0:
        os.chdir(folder)
        path = f"{program.parent}:{os.environ['PATH']}"
        os.environ.update(TERM="dumb", COLUMNS="200", LINES="50", PATH=path)
        os.execvp("zsh", ["zsh", "-f", "-i"])
    try:
        setting = f"fpath=('{FOLDER}' $fpath); autoload -Uz compinit; compinit -u -D; print RE''ADY\n"
        os.write(handle, setting.encode())
        _until(handle, ["READY\r\n"])
        os.write(handle, f"{line}\t\t".encode())
        _until(handle, wanted)
    finally:
        os.close(handle)
        os.waitpid(pid, 0)


def _until(handle: int, wanted: list[str]) -> None:
    """Read a terminal until all that is wanted has come; fails where nothing more comes."""
    text = ""
    while not all(words in text for words in wanted):
        assert select.select([handle], [], [], 120)[0], f"no {wanted} in: {text}"
        text += os.read(handle, 65536).decode(errors="replace")
        text = re.sub(r"\x1b\[[0-9;?]*[A-Za-z]", "", text)
