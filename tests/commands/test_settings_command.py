"""`settings` shows what is set and what can be, sets it, and other commands take it up."""

from __future__ import annotations

import argparse
import json
from datetime import date
from pathlib import Path

import pytest
from small_season import PLAIN, run

from calendar_tui.commands import own_settings, settings
from calendar_tui.commands.exporting import FLAGS as EXPORT_FLAGS
from calendar_tui.commands.flags import ARRANGED
from calendar_tui.commands.table import COMMANDS
from calendar_tui.handing_on.pages import PAPERS
from calendar_tui.planning.arranging import WAYS
from calendar_tui.storage.own.settings import KEYS, SETTINGS, THEMES, VIEWS
from calendar_tui.storage.own.settings_file import read_own

DOCS = Path(__file__).parents[2] / "docs"


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    path = tmp_path / "mine" / "settings.toml"
    for module in (own_settings, settings):
        monkeypatch.setattr(module, "settings_file", lambda: path)
    monkeypatch.setattr("calendar_tui.storage.own.settings_file.settings_file", lambda: path)
    return path


def test_without_words_it_shows_the_file_what_holds_and_what_can_be_set(file: Path) -> None:
    ran = run("settings")
    assert ran.out.startswith(f"{file} (not there yet; setting one makes it)\n")
    for name, setting in SETTINGS.items():
        assert f"  {name:<12} " in ran.out
        assert setting.what in ran.out
        assert f"takes: {setting.takes}" in ran.out
    assert not file.exists()


@pytest.mark.parametrize(
    ("words", "line"),
    [
        (("view", "Today"), 'view = "today"'),
        (("mouse", "off"), "mouse = false"),
        (("mouse", "true"), "mouse = true"),
        (("role", "crew two"), 'role = "crew two"'),
        (("dates", "mdy"), 'dates = "mdy"'),
        (("keys.season.open-week", "F5"), '[keys.season]\nopen-week = "F5"'),
        (("keys.tasks in a list.mark", "X"), '[keys."tasks in a list"]\nmark = "X"'),
    ],
)
def test_a_value_is_set_and_told_and_taken_out_again(file: Path, words: tuple[str, str], line: str) -> None:
    name = words[0]
    ran = run("settings", *words)
    assert (ran.status, file.read_text(encoding="utf-8").strip()) == (0, line)
    assert ran.out.startswith(f"{name} is ")
    assert run("settings", name, "--unset").status == 0
    own = read_own(file)
    assert not own.problems
    assert name.partition(".")[0] in ("keys", *SETTINGS)
    assert line.splitlines()[-1] not in own.text


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("veiw", "today"), 'veiw is no setting; did you mean "view"?'),
        (
            ("view", "tody"),
            'view is "tody"; it must be one of: left, season, today, week, load; did you mean "today"?',
        ),
        (("mouse", "maybe"), 'mouse is "maybe"; write true or false'),
        (("season", "none.toml"), "none.toml, and there is no such file; name one that is there"),
        (("keys.season.open-week", "t"), "t would be open-week of season and open-today of season"),
        (("keys.season.open-weak", "F5"), 'did you mean "open-week"?'),
        (("keys.season", "w", "F5"), "a key is set by its group and name, such as:"),
        (("view.x", "today"), "a key is set by its group and name"),
        (("view", "today", "--unset"), "--unset takes view out; write it without a value"),
        (("keys", "seeson"), 'keys.seeson is no group of keys; did you mean "season"?'),
    ],
)
def test_what_cannot_be_set_is_refused_and_the_file_stays(
    file: Path, words: tuple[str, ...], told: str
) -> None:
    ran = run("settings", *words)
    assert ran.status == 2
    assert told in ran.err
    assert not file.exists()


def test_a_wrong_line_is_told_and_the_rest_shown(file: Path) -> None:
    file.parent.mkdir()
    file.write_text('view = "tody"\nmouse = false\n[keys.season]\nopen-week = "t"\n', encoding="utf-8")
    ran = run("settings")
    assert ran.status == 0
    assert "  mouse        false\n" in ran.out
    assert [line.partition(": ")[0] for line in ran.err.splitlines()] == [f"{file}:1", f"{file}:4"]
    found = json.loads(run("settings", "--json").out)
    assert (found["mouse"], found["view"], len(found["problems"])) == (False, "left", 2)


def test_the_keys_are_listed_with_ones_own(file: Path) -> None:
    run("settings", "keys.season.open-week", "F5")
    ran = run("settings", "keys", "season")
    assert "  open-week          F5 (was w)   Open this week's tasks.\n" in ran.out
    assert "keys.week" not in ran.out
    assert max(map(len, run("settings", "keys").out.splitlines())) < 100


def test_the_season_that_is_set_is_meant_where_the_folder_holds_none(
    file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    season = tmp_path / "farm.toml"
    season.write_text(PLAIN, encoding="utf-8")
    empty = tmp_path / "empty"
    empty.mkdir()
    monkeypatch.chdir(empty)
    assert run("week").status == 2
    monkeypatch.chdir(tmp_path)
    assert run("settings", "season", "farm.toml").status == 0
    monkeypatch.chdir(empty)
    ran = run("week")
    assert (ran.status, ran.out) == (0, run("week", season).out)
    season.rename(tmp_path / "away.toml")
    ran = run("week")
    assert ran.status == 2
    assert ran.err == (
        f"{file}:1: season is {season}, and there is no such file; "
        "name one that is there, or name a season on the command line\n"
    )


@pytest.mark.parametrize(
    ("content", "why"),
    [(b'role = "J\xfcrg"\n', "not UTF-8"), (b"# mine\n" * 20_000, "larger than 100 kB")],
)
def test_a_file_that_cannot_be_read_is_never_written_over(file: Path, content: bytes, why: str) -> None:
    file.parent.mkdir()
    file.write_bytes(content)
    ran = run("settings", "view", "week")
    assert ran.status == 2
    assert why in ran.err
    assert file.read_bytes() == content


def test_a_season_that_is_set_with_a_path_that_no_file_can_have_is_told(
    file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    file.parent.mkdir()
    file.write_text(f'season = "/{"a" * 5000}.toml"\n')
    ran = run("week")
    assert (ran.status, ran.out) == (2, "")
    assert ran.err.startswith(f"{file}:1: season is /aaaa")
    assert "there is no such file" in ran.err


def test_the_order_of_dates_is_that_of_the_environment_or_else_the_one_set(
    file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from calendar_tui.commands.command_input import DATES, date_order, typed_day

    monkeypatch.delenv(DATES, raising=False)
    assert date_order() == ""
    run("settings", "dates", "mdy")
    assert date_order() == "month-first"
    days = {"today": date(2026, 12, 8), "first_day": date(2026, 9, 15), "last_day": date(2027, 5, 15)}
    assert typed_day("12/8", planned=None, past=True, **days) == date(2026, 12, 8)
    monkeypatch.setenv(DATES, "day-first")
    assert date_order() == "day-first"
    assert typed_day("8/12", planned=None, past=True, **days) == date(2026, 12, 8)


def test_what_is_set_for_the_screen_is_handed_to_it_and_flags_go_first(file: Path) -> None:
    for words in (
        ("role", "crew"),
        ("mouse", "on"),
        ("week_begins", "sunday"),
        ("keys.season.open-week", "F5"),
    ):
        assert run("settings", *words).status == 0
    with file.open("a", encoding="utf-8") as out:
        out.write('mark = "F5"\n')
    own = read_own(file)
    preferences = own_settings.preferences_of(argparse.Namespace(no_mouse=True, theme=None), own)
    assert (preferences.role, preferences.mouse, preferences.first_weekday) == ("crew", False, 6)
    assert [key.names for key in preferences.keys.values()] == ["f5"]
    assert preferences.note.startswith("settings.toml:7: F5 would be ")
    flagged = own_settings.preferences_of(argparse.Namespace(no_mouse=False, theme="light"), own)
    assert (flagged.mouse, flagged.theme) == (True, "light")


def test_the_page_on_settings_has_the_table_as_it_is() -> None:
    page = (DOCS / "settings.md").read_text(encoding="utf-8")
    rows = [
        [cell.strip() for cell in line.split("|")[1:-1]] for line in page.splitlines() if "| `" in line[:3]
    ]
    assert [row[0].strip("`") for row in rows] == list(SETTINGS)
    for row, setting in zip(rows, SETTINGS.values(), strict=True):
        assert row[1].replace("`", "") == setting.takes
        assert row[-1] == setting.what
    assert KEYS in page


def test_the_settings_are_not_read_for_a_date_that_has_one_reading(monkeypatch: pytest.MonkeyPatch) -> None:
    from calendar_tui.commands.command_input import DATES, typed_day

    read: list[str] = []
    monkeypatch.delenv(DATES, raising=False)
    monkeypatch.setattr("calendar_tui.commands.command_input.date_order", lambda: read.append("read") or "")
    days = {"today": date(2026, 12, 8), "first_day": date(2026, 9, 15), "last_day": date(2027, 5, 15)}
    for text in ("2026-12-08", "8 dec", "today", "tue"):
        assert typed_day(text, planned=None, past=True, **days) == date(2026, 12, 8)
    assert read == []
    typed_day("8.12", planned=None, past=True, **days)
    assert read == ["read"]


def test_the_flags_take_the_words_that_the_tables_have() -> None:
    full = COMMANDS[""].flags
    pairs = (
        (full["--view"], [view for view in VIEWS if view != "left"]),
        (full["--theme"], THEMES),
        (ARRANGED["--by"], WAYS),
        (EXPORT_FLAGS["--paper"], PAPERS),
    )
    for flag, words in pairs:
        assert [*flag["choices"]] == [*words]
