"""One's file of settings: what is wrong is named by its line, and the rest holds; a value is set and all else stays."""

from __future__ import annotations

from pathlib import Path

import pytest
import tomli

from calendar_tui.storage.own.settings import SETTINGS, Settings
from calendar_tui.storage.own.settings_file import (
    MOST_BYTES,
    Own,
    read_own,
    settings_file,
    with_value,
    write_own,
)
from calendar_tui.storage.problems import SeasonFileError
from tests.counting import lines_run

WHOLE = """\
# Mine.
view = "today"   # what waits
mouse = false

[keys.season]
# as on the other program
open-week = "F5"
"""


def read(tmp_path: Path, text: str | bytes) -> Own:
    file = tmp_path / "settings.toml"
    file.write_bytes(text if isinstance(text, bytes) else text.encode())
    return read_own(file)


def problems(own: Own) -> list[str]:
    return [str(problem).removeprefix(f"{own.file}") for problem in own.problems]


def test_a_file_that_is_not_there_sets_nothing_and_is_no_problem(tmp_path: Path) -> None:
    own = read_own(tmp_path / "none" / "settings.toml")
    assert (own.settings, own.problems) == (Settings(), ())


def test_what_is_set_holds(tmp_path: Path) -> None:
    own = read(tmp_path, WHOLE)
    assert own.problems == ()
    assert own.settings == Settings(view="today", mouse=False, keys={"season": {"open-week": "F5"}})


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("view = today", 'not TOML: view = today; write text in quotes, "today"'),
        (
            'view = "tody"',
            'view is "tody"; it must be one of: left, season, today, week, load; did you mean "today"?',
        ),
        (
            'veiw = "week"',
            'veiw is no setting; did you mean "view"? Settings: season, view, role, theme, mouse, week_begins, language, units, clock, dates, keys',
        ),
        ('mouse = "no"', 'mouse is "no"; write true or false'),
        ('dates = "ymd"', 'dates is "ymd"; it must be one of: dmy, mdy; did you mean "mdy"?'),
        ("week_begins = 0", "week_begins is 0; it must be one of: monday, saturday, sunday"),
        ('season = "two.toml"', 'season is "two.toml"; write the whole path, such as "~/seasons/mine.toml"'),
        ("role = 3", 'role is 3; write text in quotes, such as "amber"'),
        ("keys = 3", "keys is 3; write [keys.season], and below it a line for each key"),
        ('keys.season = "w"', 'season is "w"; write [keys.season], and below it a line for each key'),
        ("keys.season.open-week = 5", 'open-week is 5; write a key in quotes, such as open-week = "F5"'),
        ("theme = ", "not TOML: theme = ; write a value behind the =, or take the line away"),
    ],
)
def test_a_wrong_line_is_named_with_what_would_be_right_and_the_rest_holds(
    tmp_path: Path, line: str, told: str
) -> None:
    own = read(
        tmp_path,
        f'# mine\n{line}\nweek_begins = "sunday"\n'.replace("week_begins = 0\nweek", "week_begins = 0\n#"),
    )
    assert problems(own) == [f":2: {told}"]
    assert own.settings.week_begins == ("monday" if line.startswith("week") else "sunday")


def test_several_wrong_lines_are_named_in_their_order_and_keys_below_a_broken_header_set_nothing(
    tmp_path: Path,
) -> None:
    own = read(tmp_path, 'view = 3\nmouse = nope\n[keys.season\nmouse = false\n[keys.program]\nquit = "x"\n')
    assert [text.split(":")[1] for text in problems(own)] == ["1", "2", "3"]
    assert own.settings == Settings(keys={"program": {"quit": "x"}})


@pytest.mark.parametrize(
    "text",
    [
        b"\xff\xfe",
        b"#" * (MOST_BYTES + 1),
        b"a = " + b"[" * 20_000,
        b'view = """\n' * 50,
        b"[[keys]]\n" * 3,
        b"role = " + b"9" * 5000,
    ],
)
def test_a_file_that_is_no_file_of_settings_sets_nothing_and_is_told(tmp_path: Path, text: bytes) -> None:
    own = read(tmp_path, text)
    assert own.settings == Settings()
    assert own.problems


def test_nothing_is_set_in_a_file_with_a_number_that_is_too_long(tmp_path: Path) -> None:
    own = read(tmp_path, f"role = {'9' * 5000}\n")
    assert problems(own) == [": a number is too long; nothing is set by it"]
    with pytest.raises(SeasonFileError, match="edit it by hand"):
        with_value(own, ("view",), "week")


@pytest.mark.parametrize("broken", [0, 1, 5])
def test_a_text_is_parsed_once_for_each_line_that_is_not_toml_and_once_more(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, broken: int
) -> None:
    parsed: list[str] = []
    loads = tomli.loads
    monkeypatch.setattr(tomli, "loads", lambda text: parsed.append(text) or loads(text))
    read(tmp_path, "[keys.season\n" * broken + "mouse = false\n")
    # Besides these, the value of a line alone is tried where what is wrong with it is looked for.
    assert len([text for text in parsed if "mouse" in text]) == broken + 1


def test_a_folder_in_its_place_is_told(tmp_path: Path) -> None:
    assert "is not a file" in str(read_own(tmp_path).problems[0])


@pytest.mark.parametrize(
    ("path", "value", "old", "new"),
    [
        (("view",), "week", 'view = "today"', 'view = "week"'),
        (("mouse",), True, "mouse = false", "mouse = true"),
        (("dates",), "dmy", "mouse = false\n", 'mouse = false\ndates = "dmy"\n'),
        (("keys", "season", "open-week"), "W", '"F5"', '"W"'),
        (("keys", "season", "mark"), "x", '"F5"\n', '"F5"\nmark = "x"\n'),
        (("mouse",), None, "mouse = false\n", ""),
        (("role",), None, "", ""),
    ],
)
def test_a_value_is_set_and_all_else_stays_byte_for_byte(
    tmp_path: Path, path: tuple[str, ...], value: object, old: str, new: str
) -> None:
    assert with_value(read(tmp_path, WHOLE), path, value) == WHOLE.replace(old, new, 1)


def test_a_table_that_is_not_there_is_made_at_the_end_and_a_file_too(tmp_path: Path) -> None:
    path = ("keys", "tasks in a list", "tick")
    assert with_value(read(tmp_path, WHOLE), path, "x") == f'{WHOLE}\n[keys."tasks in a list"]\ntick = "x"\n'
    own = read_own(tmp_path / "a" / "b" / "settings.toml")
    write_own(own, with_value(own, ("mouse",), False))
    assert read_own(own.file).settings == Settings(mouse=False)
    assert with_value(read(tmp_path, "mouse = true"), ("view",), "week") == 'mouse = true\nview = "week"\n'


def test_what_cannot_be_set_in_the_form_of_the_file_is_refused_with_its_line(tmp_path: Path) -> None:
    own = read(tmp_path, 'mouse = true\nkeys = { season = { mark = "x" } }\n')
    with pytest.raises(SeasonFileError, match=r":2: this cannot be set .*; edit it by hand"):
        with_value(own, ("keys", "season", "fold"), "y")
    with pytest.raises(SeasonFileError, match="edit it by hand"):
        with_value(read(tmp_path, "mouse = nope\n"), ("view",), "week")


def test_the_file_lies_in_the_persons_settings_folder(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    assert settings_file() == tmp_path / "calendar-tui" / "settings.toml"


def test_every_setting_holds_what_the_table_says_where_it_is_not_set() -> None:
    assert {name: setting.first for name, setting in SETTINGS.items()} == {
        name: value for name, value in Settings()._asdict().items() if name != "keys"
    }


def test_a_large_file_of_broken_lines_is_given_up_soon(tmp_path: Path) -> None:
    few, many = (read(tmp_path, "mouse = nope\n" * n) for n in (30, 60))
    assert len(few.problems) == len(many.problems) <= 21
    assert lines_run(lambda: read_own(many.file)) < 100_000
