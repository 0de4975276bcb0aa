"""Which season, which day, and the commands as a program: what they load, their exit, closed and narrow streams."""

from __future__ import annotations

import os
import shlex
import subprocess
import sys
import tomllib
from importlib import import_module, metadata
from inspect import signature
from pathlib import Path

import pytest
from small_season import PLAIN, TODAY, ids, run

from calendar_tui.commands.table import COMMANDS
from calendar_tui.season.reading import read_season

ROOT = Path(__file__).parents[2]


def started(
    *words: object, cwd: Path, stdin: int | None = subprocess.DEVNULL, **env: str
) -> subprocess.CompletedProcess[str]:
    """The program as another process."""
    code = "import sys; from calendar_tui.cli import main; sys.exit(main())"
    return subprocess.run(
        [sys.executable, "-c", code, *map(str, words)],
        cwd=cwd,
        stdin=stdin,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
        env={**os.environ, "PYTHONPATH": str(ROOT), **env},
    )


def modules_loaded(watched: tuple[str, ...], *words: str, cwd: Path) -> set[str]:
    """Which of these modules a command has loaded, as a process of its own, when it ends well."""
    code = (
        "import sys; from calendar_tui.cli import main; status = main(sys.argv[1:]); "
        f"print('LOADED', *sorted(set({watched!r}) & set(sys.modules))); sys.exit(status)"
    )
    ran = subprocess.run(
        [sys.executable, "-c", code, *words, "--today", TODAY],
        cwd=cwd,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    assert ran.returncode == 0, ran.stderr
    return set(ran.stdout.rsplit("LOADED", 1)[1].split())


def test_a_second_ctrl_c_while_the_program_ends_leaves_its_exit_status(tmp_path: Path) -> None:
    code = (
        "import os, signal, sys; from calendar_tui.cli import program; status = program(); "
        "os.kill(os.getpid(), signal.SIGINT); sys.exit(status)"
    )
    ran = subprocess.run(
        [sys.executable, "-c", code, "--version"],
        cwd=tmp_path,
        capture_output=True,
        timeout=60,
        check=False,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    assert (ran.returncode, ran.stderr) == (0, b"")


# --- which season, which day


def test_the_season_may_be_left_out_where_there_is_one(season: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (season.parent / "pyproject.toml").write_text('[project]\nname = "x"\n[tool.season]\na = 1\n')
    (season.parent / "notes.toml").write_text("")
    monkeypatch.chdir(season.parent)
    assert run("week").out == run("week", season).out
    assert run("dates", "A1").out == run("dates", season, "A1").out
    assert run("check").status == 0
    assert run("record", "A1", "transplant", "+9", "--dry-run").status == 0


def test_the_season_may_stand_in_seasons(season: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = season.parent / "farm"
    (folder / "seasons").mkdir(parents=True)
    season.rename(folder / "seasons" / season.name)
    monkeypatch.chdir(folder)
    assert "Near Fields" in run("week").out


def test_several_seasons_are_named(season: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (season.parent / "other.toml").write_text(PLAIN)
    monkeypatch.chdir(season.parent)
    for words in (
        ("week",),
        ("dates", "A1"),
        ("done", "abcd"),
        ("record", "A1", "transplant", "today"),
        ("undo",),
    ):
        ran = run(*words)
        assert ran.status == 2
        assert (
            "holds 2: near-fields.toml, other.toml; name the season file first, such as other.toml; "
            in ran.err
        )
        assert "or once for all: calendar-tui settings season other.toml" in ran.err


def test_several_seasons_of_the_folder_seasons_are_named_so_that_the_shell_finds_them(
    season: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (folder := season.parent / "seasons").mkdir()
    season.rename(folder / season.name)
    (folder / "old farm.toml").write_text(PLAIN)
    monkeypatch.chdir(season.parent)
    ran = run("week")
    assert ran.status == 2
    named = ran.err.split("such as ")[1].split(";")[0]
    assert ran.err.endswith(f"calendar-tui settings season {named}\n")
    assert shlex.split(named) == ["seasons/old farm.toml"]


def test_no_season_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    ran = run("week")
    assert ran.status == 2
    assert (
        "holds no season file; name the season file first, such as seasons/mine.toml, or make one: "
        in ran.err
    )
    assert "calendar-tui new mine.toml" in ran.err


def test_today_is_told_by_the_flag_or_else_by_the_environment(
    season: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("CALENDAR_TUI_TODAY", "2026-12-08")
    assert run("week", season, today=None).out.startswith("Week of Mon 7 Dec 2026")
    assert run("week", season, today="2026-11-12").out.startswith("Week of Mon 9 Nov 2026")


def test_every_command_takes_today_and_says_what_it_does(season: Path) -> None:
    for name, command in COMMANDS.items():
        ran = run(*filter(None, [name]), "--help", today=None)
        assert ran.status == 0
        assert "--today DATE" in ran.out
        assert command.summary.split(":")[0] in " ".join(ran.out.split())


def test_every_row_of_the_table_names_a_function_that_takes_the_words() -> None:
    for name, command in COMMANDS.items():
        function = getattr(import_module(f"calendar_tui.commands.{command.module}"), command.function)
        assert list(signature(function).parameters) == ["args"], name


def test_a_flag_that_only_its_own_command_knows_may_stand_before_it(season: Path) -> None:
    before = run("--last", "1", "history", season)
    assert (before.status, before.out) == (0, run("history", season, "--last", "1").out)


def test_help_fits_80_columns_and_explains_every_word_that_a_command_takes(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    for name, command in COMMANDS.items():
        out = run(*filter(None, [name]), "--help", today=None).out
        assert max(map(len, out.splitlines())) <= 80, name
        if command.words.startswith("SEASON "):
            assert "; then " in " ".join(command.words_help.split()), name


@pytest.mark.parametrize("words", [("dates",), ("quantities",), ("response", "amber", "H1")])
def test_a_table_and_json_at_once_are_refused(
    season: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...]
) -> None:
    monkeypatch.chdir(season.parent)
    ran = run(*words, "--csv", "--json")
    assert (ran.status, ran.out) == (2, "")
    assert ran.err == "--csv and --json are two forms of the same; choose one\n"


def test_flags_may_stand_anywhere(season: Path) -> None:
    first = run("record", season, "A1", "transplant", "+9", "--dry-run").out
    assert run("record", "--dry-run", season, "A1", "transplant", "+9").out == first
    assert run("record", season, "A1", "--dry-run", "transplant", "+9").out == first
    assert run("record", season, "A1", "transplant", "--dry-run", "+9").out == first


@pytest.mark.parametrize(
    "words",
    [
        ("--today", "2026-11-12", "week"),
        ("--today=2026-11-12", "week"),
        ("--json", "--today", "2026-11-12", "week"),
    ],
)
def test_options_may_stand_before_the_command(
    season: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...]
) -> None:
    monkeypatch.chdir(season.parent)
    json = ["--json"] if "--json" in words else []
    ran = run(*words, today=None)
    assert ran.status == 0, ran.said
    assert ran.out == run("week", *json, "--today", "2026-11-12", today=None).out


def test_the_version_is_that_of_the_package() -> None:
    for words in (("--version",), ("week", "--version"), ("--version", "week")):
        ran = run(*words, today=None)
        assert (ran.status, ran.out) == (0, f"calendar-tui {metadata.version('calendar-tui')}\n")


def test_help_is_that_of_the_program_or_of_a_command() -> None:
    assert run("help", today=None).out == run("--help", today=None).out
    for name in filter(None, COMMANDS):
        assert run("help", name, today=None).out == run(name, "--help", today=None).out
    ran = run("help", "wek", today=None)
    assert (ran.status, ran.out) == (2, "")
    assert ran.err.startswith('"wek" is no command; did you mean "week"?')


def test_an_unknown_option_is_told_with_the_nearest(season: Path) -> None:
    ran = run("week", season, "--rolle=crew")
    assert ran.status == 2
    assert ran.err.startswith("usage: calendar-tui week [SEASON]\n")
    assert ran.err.endswith('unrecognized arguments: --rolle=crew; did you mean "--role"?\n')
    assert run("week", season, "--zzzz").err.endswith("unrecognized arguments: --zzzz\n")
    assert "did you mean" not in run("add", season, "place", "F9", "--zzzzz", "1").err


# --- as a program


@pytest.mark.slow
@pytest.mark.parametrize(
    ("words", "status"), [(("week",), 0), (("check",), 0), (("dates", "Z9"), 2), (("done", "zzzz"), 2)]
)
def test_as_a_program_it_exits_as_it_says(season: Path, words: tuple[str, ...], status: int) -> None:
    ran = started(*words, "--today", TODAY, cwd=season.parent)
    assert ran.returncode == status, ran.stderr
    assert "Traceback" not in ran.stderr
    assert bool(ran.stdout) == (status == 0)


@pytest.mark.parametrize("words", [("week", "near-fields.toml"), ("done", "near-fields.toml", "ID")])
def test_week_and_done_load_nothing_heavy(season: Path, words: tuple[str, ...]) -> None:
    heavy = (
        "pandas",
        "numpy",
        "astral",
        "textual",
        "rich",
        "dateutil",
        "calendar_tui.screens",
    )
    named = [ids(season)[0] if word == "ID" else word for word in words]
    assert modules_loaded(heavy, *named, cwd=season.parent) == set()


@pytest.mark.slow
@pytest.mark.parametrize(
    "words", [("record", "A1", "transplant", "+9"), ("new", "x.toml"), (), ("near-fields.toml",), ("tasks",)]
)
def test_with_standard_input_closed_nothing_is_asked(season: Path, words: tuple[str, ...]) -> None:
    before = season.read_bytes()
    quoted = " ".join(
        f"'{word}'" for word in (sys.executable, "-m", "calendar_tui", *words, "--today", TODAY)
    )
    ran = subprocess.run(
        ["sh", "-c", f"{quoted} <&-"],
        cwd=season.parent,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    assert ran.returncode == (0 if words == ("tasks",) else 2), ran.stderr
    assert "Traceback" not in ran.stderr
    assert season.read_bytes() == before


def test_a_reader_that_has_seen_enough_is_no_error(season: Path) -> None:
    ran = subprocess.run(
        ["sh", "-c", f"'{sys.executable}' -m calendar_tui daylight near-fields.toml | head -1; true"],
        cwd=season.parent,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    assert ran.stdout.startswith("sunrise and sunset")
    assert ran.stderr == ""


def to_nobody(season: Path, *words: str, typed: str = "") -> subprocess.CompletedProcess[str]:
    """Run a command whose reader is gone before it says a word."""
    reader, writer = os.pipe()
    os.close(reader)
    try:
        return subprocess.run(
            [sys.executable, "-u", "-m", "calendar_tui", *words, "--today", TODAY],
            cwd=season.parent,
            stdout=writer,
            stderr=subprocess.PIPE,
            input=typed,
            text=True,
            timeout=60,
            check=False,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
        )
    finally:
        os.close(writer)


@pytest.mark.slow
def test_what_is_to_be_saved_without_asking_is_saved_whatever_becomes_of_the_reader(season: Path) -> None:
    ran = to_nobody(season, "record", "A1", "transplant", TODAY, "--yes")
    assert (ran.returncode, ran.stderr) == (0, "")
    assert "transplant = 2026-11-09" in season.read_text().split("recorded", 1)[1]
    old = season.read_text().replace("format = 3", "format = 1")
    season.write_text(old, encoding="utf-8")
    assert to_nobody(season, "upgrade", "--yes").returncode == 0
    assert "format = 3" in season.read_text()


@pytest.mark.slow
def test_what_nobody_has_seen_is_not_saved_by_an_answer_and_that_is_told(season: Path) -> None:
    before = season.read_bytes()
    ran = to_nobody(season, "record", "A1", "transplant", TODAY, "--lights-off", "hold", typed="y\n")
    assert ran.returncode == 2
    assert "nothing saved" in ran.stderr
    assert season.read_bytes() == before
    ran = to_nobody(season, "record", "A1", "transplant", TODAY, "--dry-run")
    assert (ran.returncode, ran.stderr) == (0, "")


def test_a_refusal_keeps_its_exit_status_without_a_reader(season: Path) -> None:
    assert to_nobody(season, "done", "zzzz").returncode == 2


def test_a_terminal_of_few_letters_is_no_error(season: Path) -> None:
    season.write_text(season.read_text().replace("Near Fields", "Ñandú 🌱"), encoding="utf-8")
    ran = started("week", "--today", TODAY, cwd=season.parent, PYTHONIOENCODING="ascii", PYTHONUTF8="0")
    assert ran.returncode == 0, ran.stderr
    assert "Next week" in ran.stdout


def test_ctrl_c_is_no_traceback(season: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def pressed(question: str) -> str:
        raise KeyboardInterrupt

    before = season.read_bytes()
    monkeypatch.setattr("builtins.input", pressed)
    ran = run("record", season, "A1", "transplant", "+9")
    assert ran.status == 130
    assert ran.err.endswith("Stopped.\n")
    assert season.read_bytes() == before


def test_the_season_used_here_reads_well() -> None:
    assert read_season(tomllib.loads(PLAIN)).problems == ()
