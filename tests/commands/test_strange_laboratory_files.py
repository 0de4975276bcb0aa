"""A laboratory's file whose headers nobody knows: read by flags that are written out, and beside the file it wrote before."""

from __future__ import annotations

from pathlib import Path

from resulted_season import LONG, file, one_line, result, results, season

from calendar_tui.planning.changes.laboratory_import import Given, columns_of_file
from calendar_tui.season.reading import read_season
from tests.season_data import data_of

__all__ = ["season"]

STRANGE = "Probe;Analyt;Ergebnis;Einheit\n26A1TA;THC;<0,05;%\n26A1TA;THCA;0,3098;%\n"
ROLES = ("Probe=sample", "Analyt=analyte", "Ergebnis=result", "Einheit=unit")


def columns(*roles: str) -> list[str]:
    return [word for role in roles for word in ("--column", role)]


def test_headers_that_nobody_knows_are_asked_for_with_the_flag_that_sets_them(season: Path) -> None:
    ran = result(season, "--from", file(season, STRANGE), "--yes")
    assert ran.status == 2
    assert "taken for" not in ran.said
    assert (
        "no header is known in this file; set the columns, which may be "
        '"Probe", "Analyt", "Ergebnis", "Einheit" (--column \'Probe=sample\')'
    ) in one_line(ran)


def test_each_thing_that_is_asked_names_its_flag(season: Path) -> None:
    path = file(season, "Sample,THC,THCA,Remark\n26A1TA,0.05,-,x\n")
    said = one_line(result(season, "--from", path, "--yes"))
    assert "set what it is, or ignored (--column 'Remark=...')" in said
    assert "set it: %, mg/g, g/kg or ppm (--unit ...)" in said
    assert "set whether that is not tested or not detected (--dash ...)" in said
    assert "Sample: sample" in said


def test_columns_that_are_set_by_flags_are_read_as_known_ones_are(season: Path) -> None:
    """The decimal mark stands in the figures once it is known which columns have them."""
    ran = result(season, "--from", file(season, STRANGE), *columns(*ROLES), "--yes")
    assert ran.status == 0, ran.said
    assert [one["found"] for one in results(season)] == [{"THC": "<0.05", "THCA": "0.3098"}]


def test_a_role_may_be_typed_in_any_of_its_words(season: Path) -> None:
    roles = ("Probe=sample id", "Analyt=compound", "Ergebnis=amount", "Einheit=units")
    ran = result(season, "--from", file(season, STRANGE), *columns(*roles), "--yes")
    assert ran.status == 0, ran.said
    assert len(results(season)) == 1


def test_the_decimal_mark_may_be_typed_in_words(season: Path) -> None:
    path = file(season, STRANGE)
    ran = result(season, "--from", path, *columns(*ROLES), "--decimal", "comma", "--dry-run")
    assert ran.status == 0, ran.said
    assert "decimal sign comma" in one_line(ran)
    wrong = result(season, "--from", path, *columns(*ROLES), "--decimal", "dot", "--dry-run")
    assert (wrong.status, 'decimal is "dot"; it must be a point or a comma' in one_line(wrong)) == (2, True)


def test_another_kind_of_file_of_the_same_laboratory_is_read_by_its_own_separator(season: Path) -> None:
    wide = "Sample ID,THC (%),THCA (%)\nK7Q2RY,0.05,0.30\n"
    assert result(season, "--from", file(season, wide), "--yes").status == 0
    semicolons = LONG.replace("0,", "0.").replace("K7Q2RY;THC;0.05;%;\nK7Q2RY;THCA;0.30;%;\n", "")
    ran = result(season, "--from", file(season, semicolons, "other.csv"), "--yes")
    assert ran.status == 0, ran.said
    assert sorted(one["sample"] for one in results(season)) == ["26A1TA", "K7Q2RY"]


def test_a_file_of_strange_headers_is_shown_with_its_own_separator(season: Path) -> None:
    """For the form, in which its columns are set then; the laboratory's other file has commas."""
    wide = "Sample ID,THC (%),THCA (%)\nK7Q2RY,0.05,0.30\n"
    assert result(season, "--from", file(season, wide), "--yes").status == 0
    kept = read_season(data_of(season.read_text())).season
    assert kept is not None
    assert kept.laboratories["lab"].separator == "comma"
    assert columns_of_file(kept, "lab", STRANGE, Given()).columns.separator == "semicolon"
    typed = Given({"separator": "tab"})
    assert columns_of_file(kept, "lab", STRANGE, typed).columns.separator == "tab"


def test_cells_that_are_empty_in_a_repeated_line_are_no_problem_of_their_own(season: Path) -> None:
    wide = "Sample ID,THC (%),THCA (%),CBD (%)\n26A1TA,0.05,0.30,\n26A1TA,0.05,0.31,\n"
    said = one_line(result(season, "--from", file(season, wide), "--yes"))
    assert 'THCA of "26A1TA" is "0.31" here and "0.30" on line 2 already' in said
    assert "CBD of" not in said
