"""A report that puts another one out of use is asked about before it is saved; a limit completes what waits for one."""

from __future__ import annotations

from pathlib import Path

from resulted_season import file, one_line, result, results, season

__all__ = ["season"]

FIRST = ("26A1TA", "THC", "0.05", "THCA", "0.30", "date", "2027-03-15", "report", "R-2")


def test_an_earlier_report_that_would_count_in_place_of_one_that_does_is_asked_about(season: Path) -> None:
    assert result(season, *FIRST, "--yes").status == 0
    before = season.read_bytes()
    earlier = ("26A1TA", "THC", "0.05", "THCA", "0.21", "date", "2027-03-14", "report", "R-1")
    ran = result(season, *earlier)
    assert "26A1TA-1 would count no more: a second report of this bag; 26A1TA-2 counts" in one_line(ran)
    assert "Save all the same? [y/N]" in one_line(ran)
    assert season.read_bytes() == before


def test_so_is_one_of_a_file(season: Path) -> None:
    assert result(season, *FIRST, "--yes").status == 0
    path = file(season, "Sample ID,Report,Reported,THC (%),THCA (%)\n26A1TA,R-1,2027-03-14,0.05,0.21\n")
    ran = result(season, "--from", path)
    assert "26A1TA-1 would count no more: a second report of this bag" in one_line(ran)
    assert "Save all the same? [y/N]" in one_line(ran)


def test_a_later_report_puts_nothing_out_of_use(season: Path) -> None:
    assert result(season, *FIRST, "--yes").status == 0
    later = ("26A1TA", "THC", "0.05", "THCA", "0.21", "date", "2027-03-17", "report", "R-3")
    said = one_line(result(season, *later, "--dry-run"))
    assert "kept aside: 26A1TA-2" in said
    assert "count no more" not in said


def test_a_limit_that_a_result_waits_for_completes_it(season: Path) -> None:
    assert result(season, "26A1TA", "THC", "<LOQ", "THCA", "0.30", "--yes").status == 0
    said = one_line(result(season, "26A1TA", "LOQ", "of", "THC", "0.05", "--yes"))
    assert "26A1TA-1 is completed: LOQ of THC none -> 0.05" in said
    assert "taken: 26A1TA-1" in said
    (only,) = results(season)
    assert (only["found"]["THC"], only["loq"]) == ("<LOQ", {"THC": "0.05"})


def test_of_two_results_of_a_bag_a_limit_goes_to_the_one_that_lacks_it(season: Path) -> None:
    assert result(season, *FIRST, "--yes").status == 0
    assert result(season, "26A1TA", "THC", "ND", "THCA", "0.25", "report", "R-9", "--yes").status == 0
    said = one_line(result(season, "26A1TA", "LOD", "of", "THC", "0.01", "--yes"))
    assert "26A1TA-2 is completed: LOD of THC none -> 0.01" in said


def test_a_second_report_tells_the_command_that_sets_the_first_aside(season: Path) -> None:
    assert result(season, *FIRST, "--yes").status == 0
    later = ("26A1TA", "THC", "0.05", "THCA", "0.21", "date", "2027-03-17", "report", "R-3")
    assert "set result 26A1TA-1 aside" in one_line(result(season, *later, "--dry-run"))


def test_a_report_of_a_day_before_is_no_doubt(season: Path) -> None:
    """Every report is: its day is told, and questioned where it is to come or before the bag."""
    said = one_line(result(season, *FIRST, "--dry-run"))
    assert "is before today" not in said
