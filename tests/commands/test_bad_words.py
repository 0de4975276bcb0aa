"""Bad files and bad words on the command line: a sentence, the exit status, no traceback, nothing written."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from pathlib import Path

import pytest
from small_season import PLAIN, refused_quietly, run, swap

# --- files


@pytest.mark.parametrize(
    "command", ["dates", "week", "daylight", "done", "record", "undo", "check", "load", "tasks"]
)
def test_what_cannot_be_read_is_told(command: str, tmp_path: Path) -> None:
    (tmp_path / "latin.toml").write_bytes(PLAIN.replace("Near", "N\xe9ar").encode("latin-1"))
    (tmp_path / "folder.toml").mkdir()
    (tmp_path / "half.toml").write_bytes(b"\xff\xfe[\0s\0")
    rest = {"done": ["x1"], "record": ["A1", "transplant", "today"]}.get(command, [])
    status = 1 if command == "check" else 2
    for name, words in (
        ("missing.toml", "there is no such file"),
        ("folder.toml", "this is a folder; name a season file"),
        ("latin.toml", "not UTF-8; save the file as UTF-8"),
        ("half.toml", "not UTF-8"),
    ):
        ran = run(command, tmp_path / name, *rest)
        assert ran.status == status, ran.said
        assert f"{tmp_path / name}:" in ran.said
        assert words in ran.said
        refused_quietly(ran.said)
    assert not (tmp_path / "missing.toml").exists()


def test_a_file_that_may_not_be_read_is_told(season: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(self: Path) -> bytes:
        raise PermissionError(errno.EACCES, "Permission denied", str(self))

    monkeypatch.setattr(Path, "read_bytes", refuse)
    ran = run("week", season)
    assert ran.status == 2
    assert f"{season}: cannot be read: you have no permission" in ran.err
    monkeypatch.chdir(season.parent)
    ran = run("week")
    assert ran.status == 2
    assert str(season.name) in ran.err
    assert "Permission denied" in ran.err or "no permission" in ran.err


WRITERS = (
    ("done", "stxs"),
    ("record", "A1", "transplant", "+9", "--yes"),
    ("plan", "D1", "seeding", "+30", "--yes"),
)


@pytest.mark.parametrize("words", WRITERS)
def test_a_read_only_file_is_told(season: Path, words: tuple[str, ...]) -> None:
    before = season.read_bytes()
    season.chmod(0o444)
    ran = run(words[0], season, *words[1:])
    assert ran.status == 2
    assert "read-only; allow writing to" in ran.err
    assert "Saved" not in ran.out
    assert "done" not in ran.out
    assert season.read_bytes() == before
    assert sorted(p.name for p in season.parent.iterdir() if not p.name.endswith(".lock")) == [season.name]


@pytest.mark.parametrize("words", WRITERS)
def test_a_disk_that_can_only_be_read_is_told(
    season: Path, words: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*args: object, **rest: object) -> None:
        raise OSError(errno.EROFS, os.strerror(errno.EROFS))

    before = season.read_bytes()
    monkeypatch.setattr(os, "replace", refuse)
    ran = run(words[0], season, *words[1:])
    assert ran.status == 2
    assert str(season) in ran.err
    assert "the disk can only be read" in ran.err
    assert "Saved" not in ran.out
    assert season.read_bytes() == before


# --- words on the command line


def test_an_unknown_command_is_told(tmp_path: Path, season: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for folder in (season.parent, tmp_path.parent):
        monkeypatch.chdir(folder)
        ran = run("wek")
        assert ran.status == 2
        assert ran.err == (
            '"wek" is neither a season file nor a command; did you mean "week"? All commands: calendar-tui help\n'
        )
        ran = run("frobnicate")
        assert ran.status == 2
        assert ran.err == (
            '"frobnicate" is neither a season file nor a command. All commands: calendar-tui help\n'
        )


def test_a_flag_that_is_not_known_is_told(season: Path) -> None:
    ran = run("week", season, "--frob")
    assert ran.status == 2
    assert "unrecognized arguments: --frob" in ran.err


def test_a_folder_is_told(season: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    inner = season.parent / "inner"
    inner.mkdir()
    monkeypatch.chdir(inner.parent)
    ran = run("week", "inner")
    assert ran.status == 2
    assert '"inner" is a folder; name a season file in it, such as inner/mine.toml' in ran.err
    monkeypatch.chdir(inner)
    (inner / "x").mkdir()
    assert '"x" is a folder' in run("dates", "x").err


def test_words_too_many_are_told(season: Path) -> None:
    ran = run("week", season, "A1", "B1")
    assert ran.status == 2
    assert "not understood: A1 B1" in ran.err


def test_a_word_longer_than_a_file_name_is_told(season: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(season.parent)
    for command in ("dates", "week", "done"):
        ran = run(command, "A" * 5000)
        assert ran.status == 2
        refused_quietly(ran.said)


def test_what_is_typed_is_never_shown_raw(season: Path) -> None:
    wrong = "x\x1b[31m\x9b"
    for words in (
        ("dates", season, wrong),
        ("done", season, wrong),
        ("record", season, wrong, "transplant", "today"),
        ("record", season, "A1", wrong, "today"),
        ("record", season, "A1", "transplant", wrong),
        ("week", season, wrong),
        ("week", f"{wrong}.toml"),
        ("daylight", season, "--from", wrong),
    ):
        ran = run(*words)
        assert ran.status == 2, words
        refused_quietly(ran.said)


@pytest.mark.parametrize("text", ["\\u001b[2J", "\\u202e", "\\u009b1m"])
def test_week_and_done_show_nothing_raw_though_they_read_little(season: Path, text: str) -> None:
    season.write_text(
        season.read_text().replace("Near Fields", text).replace("Heat: water", f"{text} Heat: water")
    )
    for words in (("week", season), ("week", season, "--json"), ("done", season, "stxs")):
        ran = run(*words)
        assert ran.status in (0, 2)
        refused_quietly(ran.said)


@pytest.mark.parametrize(
    "change",
    [
        swap(
            '[season]\nname = "Near Fields 2026-27"\nfirst_day = 2026-09-01\nlast_day = 2027-06-30',
            "[season]",
        ),
        lambda t: "format = 3\nseason = 3\nsite = 4\n" + "[records]" + t.split("[records]", 1)[1],
        lambda t: (
            "format = 3\nseason = [1]\nsite = 'x'\nchore = 5\n" + "[records]" + t.split("[records]", 1)[1]
        ),
        lambda t: (
            "format = 3\nchore = [1, { id = [2], caution = 3 }]\n" + "[records]" + t.split("[records]", 1)[1]
        ),
        swap('name = "Near Fields 2026-27"', "name = 7"),
        swap('id = "transplant"\nwhat', 'id = ["transplant"]\nwhat'),
        swap('timezone = "America/Montevideo"', "timezone = [1]"),
        swap('caution = "Heat: water and shade."', "caution = 2"),
    ],
)
@pytest.mark.parametrize("today", ["2026-11-09", None])
def test_week_and_done_stand_what_they_do_not_need(
    season: Path, change: Callable[[str], str], today: str | None
) -> None:
    season.write_text(change(season.read_text()))
    before = season.read_bytes()
    ran = run("week", season, today=today)
    assert ran.status == 0, ran.said
    assert "Next week:" in ran.out
    ran = run("done", season, "stxs", today=today)
    assert ran.status == 2
    assert f"{season}:" in ran.err
    assert season.read_bytes() == before


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "the file has no format; write format = 3 at its top"),
        ("format = 3\n", "there is no [site]; add it with latitude, longitude, timezone"),
        (
            PLAIN.replace("format = 3", "format = 0"),
            ":2: the file has format 0; write format = 3 at its top",
        ),
        (
            PLAIN.replace("latitude = -34.3", "latitude = 120"),
            ":10: latitude is 120; it must be from -90 to 90",
        ),
        (PLAIN + "[[tasks]]\nid = 'x'\n", 'did you mean "task"?'),
        (PLAIN + "[task]\nid = 'x'\n", "task must be written as task = [ ... ] in [records]"),
    ],
)
def test_a_file_without_tasks_is_a_season_or_is_told(tmp_path: Path, text: str, said: str) -> None:
    path = tmp_path / "mine.toml"
    path.write_text(text)
    ran = run("week", path)
    assert (ran.status, ran.out) == (2, "")
    assert said in ran.err


@pytest.mark.parametrize("today", ["2026-13-01", "0001-01-01", "9999-12-31", "26-11-09", "9/11"])
@pytest.mark.parametrize("command", ["week", "dates", "check"])
def test_a_today_that_is_no_date_is_told(season: Path, command: str, today: str) -> None:
    ran = run(command, season, f"--today={today}", today=None)
    assert ran.status == 2
    assert "write it as 2026-12-08" in ran.err


def test_a_today_in_words_that_are_no_date_is_told(season: Path) -> None:
    ran = run("week", season, "--today=soon", today=None)
    assert ran.status == 2
    assert '--today "soon" is not a date; write ' in ran.err


def test_a_today_of_the_environment_that_is_no_date_is_told(
    season: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("CALENDAR_TUI_TODAY", "soon")
    ran = run("week", season, today=None)
    assert ran.status == 2
    assert 'CALENDAR_TUI_TODAY "soon" is not a date' in ran.err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--from", "soon"), '--from "soon" is not a date; write 2026-'),
        (("--from", "2026-12-02", "--to", "2026-12-01"), "--to 2026-12-01 is before --from 2026-12-02"),
        (("--from", "1900-01-01", "--to", "2199-12-31"), "at most"),
        (("--to", "9999-12-31"), "from 1900 to 2199"),
    ],
)
def test_dates_for_daylight_that_cannot_be_are_told(season: Path, words: tuple[str, ...], said: str) -> None:
    ran = run("daylight", season, *words)
    assert (ran.status, ran.out) == (2, "")
    assert said in ran.err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("Z9",), '"Z9" is not a cohort of this season'),
        (("A11",), 'did you mean "A1"?'),
    ],
)
def test_an_unknown_cohort_is_told(season: Path, words: tuple[str, ...], said: str) -> None:
    ran = run("dates", season, *words)
    assert (ran.status, ran.out) == (2, "")
    assert said in ran.err
    assert "Known: A1, B1, D1" in ran.err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "name the tasks to tick by their ids"),
        (("stxz",), '"stxz" is no task of this season; did you mean "stxs"?'),
        (("!!",), '"!!" is no task of this season'),
        (("stxs", "!!"), '"!!" is no task of this season'),
        (("",), "is no task of this season"),
        (("stxs", "mine.toml"), '"mine.toml" is no task, but a season file: name it before the tasks'),
    ],
)
def test_an_unknown_task_is_told_and_none_is_ticked(season: Path, words: tuple[str, ...], said: str) -> None:
    before = season.read_bytes()
    ran = run("done", season, *words)
    assert (ran.status, ran.out) == (2, "")
    assert said in ran.err
    assert season.read_bytes() == before
