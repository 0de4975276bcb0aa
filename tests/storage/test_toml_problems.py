"""Several places at which a file is not TOML, told in one run and none that only follows from another."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import tomli

import calendar_tui.storage.toml_problems as toml_problems_module
from calendar_tui.storage.opening import open_to_show
from calendar_tui.storage.problems import FileProblem, SeasonFileError
from calendar_tui.storage.season_file import load, parse
from calendar_tui.storage.toml import lines as toml_lines
from calendar_tui.storage.toml import located as located_problems
from calendar_tui.storage.toml_problems import MOST_PROBLEMS, MOST_READ, problems_of, toml_problems
from tests.storage.three_versions import BASE

HERE = Path("farm.toml")


def lines_told(text: str) -> list[int | None]:
    return [problem.line for problem in toml_problems(HERE, text)]


def line_of(text: str, part: str) -> int:
    return text[: text.index(part)].count("\n") + 1


def swapped(*swaps: tuple[str, str]) -> str:
    text = BASE
    for old, new in swaps:
        assert old in text
        text = text.replace(old, new, 1)
    return text


def test_what_is_toml_has_none() -> None:
    assert toml_problems(HERE, BASE) == ()
    assert toml_problems(HERE, "") == ()


def test_several_slips_are_told_at_once_with_line_and_column() -> None:
    text = swapped(
        ("latitude = -34.3", "latitude -34.3"),
        ('name = "Two Rivers"', 'name = "Two Rivers'),
        ('timezone = "America/Montevideo"', "timezone = America/Montevideo"),
        ("plants = 120", "plants = 120 of them"),
    )
    parts = ("name =", "latitude", "timezone", "plants")
    assert lines_told(text) == [line_of(text, part) for part in parts]
    assert all(problem.column for problem in toml_problems(HERE, text))
    assert all(problem.message.startswith("not TOML: ") for problem in toml_problems(HERE, text))


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("[site]", "[site"),
        ("[[variety]]", "[[variety]"),
        ("[site]", "[season]"),
        ("[site]\n", "[site] here\n"),
    ],
)
def test_a_broken_header_brings_no_problems_of_the_keys_below_it(old: str, new: str) -> None:
    text = swapped((old, new), ("plants = 120", "plants == 120"))
    assert lines_told(text) == [
        line_of(text, new.strip()) if new != "[season]" else 9,
        line_of(text, "plants =="),
    ]


def test_a_key_given_twice_is_told_beside_the_rest() -> None:
    text = swapped(("longitude = -56.7", "latitude = -56.7"), ('start = "seed"', "start = seed"))
    assert lines_told(text) == [line_of(text, "latitude = -56.7"), line_of(text, "start = seed")]


@pytest.mark.parametrize(
    "left_open",
    ["notes = [1,\n2,\n", 'notes = """\nso\n', "notes = { a = 1,\n", 'notes = [\n"a",\nb c,\n]\n'],
)
def test_behind_a_value_of_several_lines_nothing_is_guessed(left_open: str) -> None:
    text = swapped(("latitude = -34.3", "latitude -34.3"), ("[[variety]]", left_open + "[[variety]]"))
    told = lines_told(text + "more more\n")
    assert told[0] == line_of(text, "latitude -34.3")
    assert len(told) == 2


def test_no_more_are_told_than_a_person_mends_at_once() -> None:
    assert len(lines_told("a b\n" * 100)) == MOST_PROBLEMS


def test_the_longer_a_text_the_fewer_times_it_is_read() -> None:
    slips = "a b\n" * 5
    assert len(lines_told(slips + "#" * (MOST_READ // 3 - 100))) == 3
    assert len(lines_told(slips + "#" * MOST_READ)) == 1


def test_what_cannot_be_read_at_all_has_its_own_problem(tmp_path: Path) -> None:
    path = tmp_path / "farm.toml"
    path.write_text("a b\nc d\n", encoding="utf-8")
    with pytest.raises(SeasonFileError) as error:
        parse(path, "a b\nc d\n")
    assert [problem.line for problem in problems_of(path, error.value)] == [1, 2]
    path.unlink()
    (problem,) = problems_of(path, error.value)
    assert "there is no such file" in problem.message
    path.write_text("a = 1\n", encoding="utf-8")
    assert problems_of(path, error.value) == error.value.problems


UNQUOTED = {
    "plants = 1x5": 'plants = 1x5; write text in quotes, "1x5", or a number',
    "start = from seed": 'start = from seed; write text in quotes, "from seed"',
    "plants = 120 of them, or so": 'plants = 120 of them, or so; write text in quotes, "120 of them, or so", or a number',
    "area_m2 = 180 m2": 'area_m2 = 180 m2; write the number alone, 180, or text in quotes, "180 m2"',
    "area_m2 = 1,5": "area_m2 = 1,5; write a number with a point, 1.5",
    "plants = 007": "plants = 007; write the number without zeros before it, 7",
    "critical_day = 14h10": 'critical_day = 14h10; write a time or a length of day in quotes, "14:10"',
    "first_day = 15 jan 2027": "first_day = 15 jan 2027; write a date as 2027-01-15",
    "first_day = 12/8/2027": "first_day = 12/8/2027; write a date as 2027-08-12 or 2027-12-08",
    "first_day = 15 jan": "first_day = 15 jan; write a date with its year, such as 2027-01-15",
    "first_day = 2027-02-30": "first_day = 2027-02-30; write a day of the calendar as 2026-10-05",
    "together = Yes": "together = Yes; write true",
    "plants =": "plants = ; write a value behind the =, or take the line away",
    "planned = { seeding = 2026-10-05, transplant = 15 jan 2027 }": "transplant = 15 jan 2027; write a date as 2027-01-15",
    "spacing_m = [1.5 m, 0.6]": '1.5 m in spacing_m; write the number alone, 1.5, or text in quotes, "1.5 m"',
    "note = don't  # later": "note = don't; write text in quotes, \"don't\"",
}


@pytest.mark.parametrize("line", UNQUOTED)
def test_a_value_without_its_quotes_or_form_is_named_with_what_would_be_right(line: str) -> None:
    text = f"format = 3\n[[cohort]]\n{line}\n"
    with pytest.raises(SeasonFileError) as refused:
        parse(HERE, text)
    assert str(refused.value) == f"farm.toml:3: not TOML: {UNQUOTED[line]}"
    assert toml_problems(HERE, text)[-1].message == f"not TOML: {UNQUOTED[line]}"


def test_values_without_quotes_are_told_at_once_with_the_wrong_names_beside_them() -> None:
    text = swapped(
        ("plants = 120", "plants = 1x5"),
        ("timezone =", "timezoen ="),
        ('name = "Two Rivers"', "name = Two Rivers"),
    )
    assert lines_told(text) == [line_of(text, part) for part in ("name =", "[site]", "timezoen", "plants")]
    assert 'did you mean "timezone"?' in toml_problems(HERE, text)[2].message


@pytest.mark.parametrize(
    "text", ["a = " + "[" * 5000, "a = " + "1" * 5000, "a = [1.5, 0.6\nb = { c = 15 jan }\n"]
)
def test_what_is_too_deep_too_long_or_left_open_is_not_taken_for_text_without_quotes(text: str) -> None:
    with pytest.raises(SeasonFileError) as refused:
        parse(HERE, text)
    assert toml_problems(HERE, text) in ((), refused.value.problems)
    assert "quotes" not in str(refused.value)


@pytest.fixture
def readings(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What has been done to a whole text: "parsed" by the reader of TOML, "located" in its lines."""
    found: list[str] = []
    loads, locate = tomli.loads, toml_lines.locate

    def parsed(text: str) -> object:
        found.extend(["parsed"] * (len(text) > MOST_READ // 2))
        return loads(text)

    def located(text: str) -> toml_lines.Lines:
        found.extend(["located"] * (len(text) > MOST_READ // 2))
        return locate(text)

    monkeypatch.setattr(tomli, "loads", parsed)
    monkeypatch.setattr(toml_lines, "locate", located)
    monkeypatch.setattr(toml_problems_module, "locate", located)
    monkeypatch.setattr(located_problems, "locate", located)
    return found


LARGE = "#" * MOST_READ + "\n"


def check_of(path: Path) -> tuple[FileProblem, ...]:
    with pytest.raises(SeasonFileError) as refused:
        load(path)
    return problems_of(path, refused.value)


def test_a_large_file_that_is_not_toml_is_read_once(tmp_path: Path, readings: list[str]) -> None:
    path = tmp_path / "farm.toml"
    path.write_text(f"{LARGE}{BASE}a b\nc d\n", encoding="utf-8")
    assert [problem.line for problem in check_of(path)] == [BASE.count("\n") + 2]
    assert readings == ["parsed", "located"]


def test_a_large_file_with_a_value_without_quotes_is_not_read_for_more_than_is_told(
    tmp_path: Path, readings: list[str]
) -> None:
    path = tmp_path / "farm.toml"
    path.write_text(f"{LARGE}{BASE}a = so so\nb c\n", encoding="utf-8")
    assert ["a = so so" in problem.message for problem in check_of(path)] == [True]
    assert readings == ["parsed", "located", "located"]


def test_a_large_file_that_is_not_toml_is_opened_at_one_reading(tmp_path: Path, readings: list[str]) -> None:
    path = tmp_path / "farm.toml"
    path.write_text(f"{LARGE}a b\n", encoding="utf-8")
    assert [problem.line for problem in open_to_show(path).problems] == [2]
    assert readings == ["parsed", "located"]


def test_more_values_without_quotes_than_are_told_beside_a_broken_line_are_told() -> None:
    text = "".join(f"k{n} = so so\n" for n in range(MOST_PROBLEMS + 1)) + "a b\n"
    assert lines_told(text) == list(range(1, MOST_PROBLEMS + 1))


def test_a_file_changed_since_it_was_refused_is_read_anew(tmp_path: Path) -> None:
    path = tmp_path / "farm.toml"
    path.write_text("a b\n", encoding="utf-8")
    with pytest.raises(SeasonFileError) as refused:
        load(path)
    path.write_text("\n\nc d\n", encoding="utf-8")
    assert [problem.line for problem in problems_of(path, refused.value)] == [3]


ROWS = """\
format = 3
[records]
task = [
  { id = "a", date = 2026-11-01 },
  { id = "b", date = 2026-11-02, what = "Hoe" },
  { id = "c", date = 2026-11-03, what = "Weed" },
]
"""
BAD_ROWS = {
    "a comma left out between two records": (
        ("2026-11-01 },", "2026-11-01 }"),
        ["5: not TOML: unclosed array, .*; put a comma behind the } of the record above"],
    ),
    "a brace left out": (
        ('"Hoe" },', '"Hoe"'),
        ["6: not TOML: unclosed inline table, .*; close the record above with }, and a comma behind it"],
    ),
    "a quote left out in one line and a comma in another": (
        ('"Hoe" },', '"Hoe },', "2026-11-03, what", "2026-11-03 what"),
        ['5: not TOML: illegal character .*close the text with "', "6: not TOML: date = 2026-11-03 what"],
    ),
}


@pytest.mark.parametrize(("swaps", "said"), BAD_ROWS.values(), ids=BAD_ROWS.keys())
def test_each_line_of_records_that_is_not_toml_is_named(swaps, said):
    text = ROWS
    for old, new in zip(swaps[::2], swaps[1::2], strict=True):
        text = text.replace(old, new)
    found = [str(problem) for problem in toml_problems(Path("farm.toml"), text)]
    assert len(found) == len(said)
    assert all(re.match(f"farm.toml:{words}", one) for words, one in zip(said, found, strict=True))


def test_a_key_with_control_characters_is_named_without_them():
    found = toml_problems(HERE, 'format = 3\n"a\\u001b[2J\\nb" = not quoted\n')
    assert any(str(one).startswith("farm.toml:2: not TOML: a?[2J?b = not quoted; ") for one in found)
