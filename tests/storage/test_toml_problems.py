"""Several places at which a file is not TOML, told in one run and none that only follows from another."""

from __future__ import annotations

from pathlib import Path

import pytest

from calendar_tui.storage.problems import SeasonFileError
from calendar_tui.storage.season_file import parse
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
