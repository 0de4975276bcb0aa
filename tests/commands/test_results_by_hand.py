"""Results written into the season file by hand: what cannot be is told with what would be right, and nothing is lost."""

from __future__ import annotations

from pathlib import Path

import pytest
from resulted_season import one_line, result, results, season
from sampled_season import TODAY
from small_season import run

__all__ = ["season"]

GOOD = 'found = { THC = "0.05", THCA = "0.30" }'
R1 = 'id = "r1", date = 2027-03-16, sample = "26A1TA"'


def written(season: Path, *lines: str) -> Path:
    rows = "".join(f"  {{ {line} }},\n" for line in lines)
    season.write_text(f"{season.read_text().rstrip()}\nresult = [\n{rows}]\n")
    return season


@pytest.mark.parametrize(
    ("line", "right"),
    [
        ('found = { THC = "-0.1", THCA = "0.3" }', 'THC is "-0.1"; it cannot be under 0'),
        ("found = { THC = -0.1, THCA = 0.3 }", "THC is -0.1; it cannot be under 0"),
        ('found = { THC = "0,05", THCA = "0.3" }', "write a point before the decimals: 0.05"),
        ('found = { THC = "> 5", THCA = "0" }', "write a number or what is under a limit"),
        (f'{GOOD}, loq = {{ THC = "0,02" }}', "write a point before the decimals: 0.02"),
        (f'{GOOD}, uncertainty = "10 %"', "and under uncertainty_is whether it is absolute or relative"),
        (f'{GOOD}, water = "-3"', 'water is "-3"; it cannot be under 0'),
        (
            f'{GOOD}, laboratory = "nolab"',
            'laboratory "nolab" is not a laboratory of this season; did you mean "lab"?',
        ),
        (f'{GOOD}, tested = "14/3"', "write a date without quotes, such as 2026-10-05"),
    ],
)
def test_what_does_not_read_is_told_with_its_line_and_nothing_is_written_over(
    season: Path, line: str, right: str
) -> None:
    text = written(season, f"{R1}, {line}").read_text()
    ran = run("check", season, today=TODAY)
    at = next(n for n, row in enumerate(text.splitlines(), start=1) if 'id = "r1"' in row)
    assert (ran.status, f"season.toml:{at}: " in ran.said) == (1, True)
    assert right in one_line(ran)
    assert result(season, "26A1TA", "THC", "0.1", "--yes").status != 0
    assert season.read_text() == text


@pytest.mark.parametrize(
    ("line", "why"),
    [
        (
            'found = { THC = "120", THCA = "0.3" }',
            'THC is "120": 120 % is over 100 %; look at the figure and at its unit',
        ),
        (
            'found = { THC = "60", THCA = "60" }',
            "its total THC of 112.62 % is over 100 %; look at the figures and at their unit",
        ),
        (
            'found = { THC = "ND", THCA = "0" }',
            'THC is "ND", below a limit of detection that the file does not give; it is not zero: enter the limit',
        ),
        ('found = { d9-THC = "0.05", THCA = "0.3" }', '"d9-THC" is THC here: write that'),
        (
            'found = { THC = "0.33", THCA = "0" }, uncertainty = "10"',
            "an absolute uncertainty of 10 % is more than the result of 0.33 % itself; 10 % of the result would be 0.033 %: look at "
            "the report, and set it as relative where it means that",
        ),
        (f'{GOOD}, basis = "as received"', "and the water of the sample is not set: enter its water"),
        (f'{GOOD}, basis = "as received", water = "100"', "it must be from 0 to under 100 % of the total"),
    ],
)
def test_what_cannot_be_is_kept_aside_with_what_would_be_right(season: Path, line: str, why: str) -> None:
    written(season, f"{R1}, {line}")
    assert run("check", season, today=TODAY).status == 0
    assert why in one_line(result(season))
    assert [one["id"] for one in results(season)] == ["r1"]


@pytest.mark.parametrize(
    ("bag", "why"),
    [
        ("26A1TB", "there is no bag 26A-1TB; near it: 26A-1TA"),
        ("ZZZZZZ", "there is no bag ZZZ-ZZZ; look at the label again"),
    ],
)
def test_a_result_of_a_bag_that_is_not_there_is_kept_aside(season: Path, bag: str, why: str) -> None:
    written(season, f'id = "r1", date = 2027-03-16, sample = "{bag}", {GOOD}')
    assert why in one_line(result(season))
    assert len(results(season)) == 1


def test_of_two_reports_of_one_bag_the_first_counts_and_the_other_is_kept(season: Path) -> None:
    second = 'id = "r2", date = 2027-03-16, sample = "26A1TA", found = { THC = "0.09", THCA = "0.30" }'
    written(season, f"{R1}, {GOOD}", second)
    text = one_line(result(season))
    assert "total THC 0.3131 %" in text
    assert "r2, report of 16 Mar: a second report of this bag; r1 counts: where this one is right" in text
    assert len(results(season)) == 2


def test_an_analyte_that_is_not_known_is_told_and_plays_no_part(season: Path) -> None:
    written(season, f'{R1}, found = {{ THC = "0.05", THCA = "0.30", CBL = "0.1" }}')
    assert '"CBL" is not known here and plays no part' in one_line(result(season))


def test_a_total_typed_with_its_parts_is_compared_with_ours_before_it_is_saved(season: Path) -> None:
    """0.03 + 0.24 x 0.877 = 0.24048 (computed); told above a difference of 0.005."""
    apart = result(season, "26A1TA", "THC", "0.03", "THCA", "0.24", "total", "0.30", "--dry-run")
    assert "! the report's total THC is 0.30 %, and by its parts it is 0.2405 %" in one_line(apart)
    alike = result(season, "26A1TA", "THC", "0.03", "THCA", "0.24", "total", "0.243", "--dry-run")
    assert "by its parts" not in one_line(alike)
