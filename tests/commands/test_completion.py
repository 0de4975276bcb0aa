"""Completion: what is offered, in what time it could be had, and the scripts in the shells themselves."""

from __future__ import annotations

import argparse
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from small_season import run

from calendar_tui.commands.candidates import SHELLS, candidates
from calendar_tui.commands.shell_files import FOLDER, MANUAL, SCRIPTS
from calendar_tui.commands.table import COMMANDS
from calendar_tui.storage.names import names_in
from calendar_tui.storage.season_file import load
from tests import manual_page

ROOT = Path(__file__).parents[2]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with one season."""
    shutil.copy(ROOT / "seasons" / "two-rivers.toml", tmp_path)
    (tmp_path / "notes.txt").write_text("no season")
    return tmp_path


def offered(folder: Path, line: str) -> list[str]:
    """The words that are offered at the end of a line of words."""
    return [word for word, _ in candidates(line.split(" "), folder)]


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("dates A", ["A1", "A2", "A3", "A4"]),
        ("dates a", ["A1", "A2", "A3", "A4"]),
        ("dates two-rivers.toml A1 T", ["T1", "T2"]),
        ("--today tomorrow dates T", ["T1", "T2"]),
        ("dates --json T", ["T1", "T2"]),
        ("why A1 lig", ["lights_on", "lights_off"]),
        ("lamps H", ["H1", "H2", "H3"]),
        ("week --place F", ["F1", "F2", "F3"]),
        ("week --place=F", ["F1", "F2", "F3"]),
        ("week --place = F", ["F1", "F2", "F3"]),
        ("week --cohort D", ["D1", "D0"]),
        ("response am", ["amber"]),
        ("response amber H", ["H1", "H2", "H3"]),
        ("variety amber critical", ["critical-day"]),
        ("record A1 st", ["sticking", "stay"]),
        ("record A1 stay F1 to", ["today", "tomorrow"]),
        ("record H1 H2 ou", ["outage"]),
        ("record H1 outage yes", ["yesterday"]),
        ("set cohort T", ["T1", "T2"]),
        ("set place F1 ar", ["area"]),
        ("load hours dr", ["dryer"]),
        ("completion ", ["bash", "zsh", "fish"]),
        ("settings the", ["theme"]),
        ("week --role ", []),
        ("undo ", ["two-rivers.toml"]),
        ("response-many ", ["two-rivers.toml"]),
        ("export --table ", []),
        ("frob A", []),
        ("dates Z9 Z", []),
    ],
)
def test_what_is_offered(
    folder: Path, monkeypatch: pytest.MonkeyPatch, line: str, expected: list[str]
) -> None:
    monkeypatch.chdir(folder)
    assert offered(folder, line) == expected


def test_the_seasons_of_a_folder_are_offered_also_where_they_stand_below_it(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (folder / "farm" / "seasons").mkdir(parents=True)
    shutil.copy(folder / "two-rivers.toml", folder / "farm" / "seasons" / "b.toml")
    shutil.copy(folder / "two-rivers.toml", folder / "farm" / "seasons" / "a.toml")
    monkeypatch.chdir(folder / "farm")
    assert offered(folder / "farm", "dates ") == ["seasons/a.toml", "seasons/b.toml"]
    assert offered(folder / "farm", "dates sea") == ["seasons/"]
    assert offered(folder / "farm", "merge ") == []
    assert offered(folder / "farm", "dates seasons/") == ["seasons/a.toml", "seasons/b.toml"]
    assert offered(folder / "farm", "dates seasons/b.toml T") == ["T1", "T2"]


def test_the_season_that_is_set_is_at_hand_where_the_folder_has_none(
    folder: Path, tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch
) -> None:
    bare = tmp_path_factory.mktemp("bare")
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path_factory.mktemp("config")))
    monkeypatch.chdir(bare)
    assert offered(bare, "dates T") == []
    assert run("settings", "season", folder / "two-rivers.toml", today=None).status == 0
    assert offered(bare, "dates T") == ["T1", "T2"]


def test_tasks_are_offered_by_their_state_with_what_they_are(folder: Path) -> None:
    tasks = load(folder / "two-rivers.toml").data["task"]
    by_state = {
        state: [t["id"] for t in tasks if (t.get("state", "open") == "open") == state]
        for state in (True, False)
    }
    path = str(folder / "two-rivers.toml")
    assert [word for word, _ in candidates(["done", path, ""], folder)] == by_state[True]
    assert [word for word, _ in candidates(["reopen", path, ""], folder)] == by_state[False]
    assert [word for word, _ in candidates(["done", path, "k66", ""], folder)] == by_state[True], (
        "by its beginning"
    )
    told = dict(candidates(["done", path, ""], folder))
    assert told["k66g"].startswith("2026-12-04 A3 Transplant by hand")


@pytest.mark.parametrize("path", sorted((ROOT / "seasons").glob("*.toml")), ids=lambda path: path.stem)
def test_the_names_found_in_the_text_are_those_of_the_file(path: Path) -> None:
    """Against the TOML reader, of every example."""
    found: dict[str, list[str]] = {}
    for named in names_in(path.read_text(encoding="utf-8")):
        found.setdefault(named.kind, []).append(named.id)
    data = load(path).data
    kinds = {
        k: v for k, v in data.items() if isinstance(v, list) and v and isinstance(v[0], dict) and "id" in v[0]
    }
    assert found == {kind: [record["id"] for record in records] for kind, records in kinds.items()}


def test_no_name_steers_the_terminal(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    text = '[season]\n[[cohort]]\nid = "A\x1b[31m1"\n[[cohort]]\nid = "A2"\n[records]\ntask = [\n  { id = "k66g", what = "\x9bx" },\n]\n'
    (tmp_path / "odd.toml").write_text(text, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    assert run("--candidates", "dates", "A", today=None).out == "A2\n"
    assert run("--candidates", "done", "k", today=None).out == "k66g\n"


ODD = {
    "half edited": b'[season]\nname = "x\n[[cohort]]\nid = "A1"\nplants = \n',
    "not UTF-8": b'[season]\n\xff\xfe\n[[cohort]]\nid = "A1"\n',
    "empty": b"",
    "zeros": b"\0" * 5000,
}


@pytest.mark.parametrize("odd", ODD)
@pytest.mark.parametrize("line", ["dates ", "done ", "set cohort ", "week --place ", "why A1 ", "help ", ""])
def test_nothing_is_said_of_what_is_wrong(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, odd: str, line: str
) -> None:
    (tmp_path / "odd.toml").write_bytes(ODD[odd])
    monkeypatch.chdir(tmp_path)
    ran = run("--candidates", *line.split(" "), today=None)
    assert (ran.status, ran.err) == (0, "")
    if line == "dates " and b"[[cohort]]" in ODD[odd]:
        assert "A1" in ran.out.split()


@pytest.mark.parametrize(
    "words", [("dates", "nowhere.toml", "A"), ("dates", "folder.toml", "A"), ("help", "frob", ""), ()]
)
def test_where_there_is_nothing_nothing_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...]
) -> None:
    (tmp_path / "folder.toml").mkdir()
    monkeypatch.chdir(tmp_path)
    ran = run("--candidates", *words, today=None)
    assert (ran.status, ran.out, ran.err) == (0, "", "")


def test_a_word_is_completed_without_the_large_libraries_and_without_a_plan(folder: Path) -> None:
    code = (
        "import sys; from calendar_tui.cli import main; main(['--candidates', 'done', 'two-rivers.toml', 'b']); "
        "print('LOADED', sorted(m for m in sys.modules if m.split('.')[0] in "
        "('numpy', 'pandas', 'textual', 'rich', 'tomli', 'dateutil', 'astral') "
        "or m.startswith(('calendar_tui.planning', 'calendar_tui.screens', 'calendar_tui.season.records'))))"
    )
    ran = subprocess.run(
        [sys.executable, "-c", code],
        cwd=folder,
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    assert ran.stdout.startswith("b7n8\t2026-12-01 A1 Cut samples")
    assert ran.stdout.split("LOADED ")[1].strip() == "[]"


# --- the files that are shipped


@pytest.mark.needs("shtab")
def test_the_shipped_files_are_what_the_table_of_commands_makes() -> None:
    from tests.shell_files import files

    for name, text in files():
        assert (FOLDER / name).read_text(encoding="utf-8") == text, (
            f"{name} is of an older table; make it anew: python -m tests.shell_files"
        )


@pytest.mark.parametrize("name", [*SCRIPTS.values(), MANUAL])
def test_every_command_and_option_is_in_each_shipped_file(name: str) -> None:
    text = (FOLDER / name).read_text(encoding="utf-8").replace("\\-", "-")
    for command, row in COMMANDS.items():
        assert command in text
        for flag, options in row.all_flags().items():
            shown = flag[2:] if name.endswith(".fish") else flag
            assert (shown in text) or options.get("help") == argparse.SUPPRESS, (command, flag)


def test_the_manual_is_what_the_table_of_commands_makes() -> None:
    text = (FOLDER / MANUAL).read_text(encoding="utf-8")
    assert text == manual_page.manual_page(), "make it anew: python -m tests.shell_files"


@pytest.mark.parametrize("reader", [("groff", "-man", "-ww", "-Tutf8", "-b"), ("man", "--warnings=w", "-l")])
def test_the_manual_is_read_without_a_warning(reader: tuple[str, ...]) -> None:
    """By groff, and by the reader of manuals with it; only where they are installed."""
    if not all(map(shutil.which, {reader[0], "groff"})):
        pytest.skip(f"no {reader[0]} here")
    ran = subprocess.run(
        [*reader, str(FOLDER / MANUAL)],
        capture_output=True,
        timeout=60,
        check=False,
        env={**os.environ, "MANPAGER": "cat", "MANWIDTH": "80", "LC_ALL": "C.UTF-8"},
    )
    assert (ran.returncode, ran.stderr) == (0, b"")
    text = re.sub(rb"\x1b\[[0-9;]*m|.\x08", b"", ran.stdout).decode()
    for words in (
        "SYNOPSIS",
        "EXIT STATUS",
        "CAUTIONS",
        "[SEASON] COHORT ... STAGE DATE",
        "--last-looked DATE",
    ):
        assert words in text


def test_commands_print_the_shipped_files() -> None:
    for shell in SHELLS:
        ran = run("completion", shell, today=None)
        assert (ran.status, ran.out) == (0, (FOLDER / SCRIPTS[shell]).read_text(encoding="utf-8"))
    assert run("man", today=None).out == (FOLDER / MANUAL).read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("completion",), "name the shell. Shells: bash, zsh, fish"),
        (("completion", "bush"), '"bush" is no shell that this program completes; did you mean "bash"?'),
        (("completion", "bash", "zsh"), "not understood: zsh"),
        (("man", "week"), "not understood: week"),
    ],
)
def test_other_words_are_told(words: tuple[str, ...], said: str) -> None:
    ran = run(*words, today=None)
    assert (ran.status, ran.out) == (2, "")
    assert said in ran.err
