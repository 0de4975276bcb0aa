"""A laboratory's file taken in by command: every line of it ends somewhere, and nothing is dropped."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from resulted_season import LONG, file, one_line, result, results, season, with_factor
from sampled_season import TODAY
from small_season import run

from tests.season_data import data_of

__all__ = ["season"]


def test_a_laboratorys_file_is_taken_in_as_one_change_and_how_it_is_written_is_kept(season: Path) -> None:
    before = season.read_bytes()
    ran = result(season, "--from", file(season, "\ufeff" + LONG), "--yes")
    assert ran.status == 0, ran.said
    assert [(one["id"], one["found"]) for one in results(season)] == [
        ("26A1TA-1", {"THC": "<0.02", "THCA": "0.25"}),
        ("K7Q2RY-1", {"THC": "0.05", "THCA": "0.30"}),
    ]
    (laboratory,) = data_of(season.read_text())["laboratory"]
    assert (laboratory["separator"], laboratory["decimal"], laboratory["columns"]["Analyte"]) == (
        "semicolon",
        ",",
        "analyte",
    )
    assert run("undo", season, "--yes", today=TODAY).status == 0
    assert season.read_bytes() == before


def test_the_same_file_a_second_time_changes_nothing(season: Path) -> None:
    path = file(season, LONG)
    result(season, "--from", path, "--yes")
    before = season.read_bytes()
    ran = result(season, "--from", path, "--yes")
    assert "passed over, for they are in the season already: 2" in ran.out
    assert season.read_bytes() == before


def test_every_line_ends_as_a_result_aside_or_as_a_problem_with_its_number(season: Path) -> None:
    odd = LONG + "ZZZZZZ;THC;0,1;%;\nbad line\n26A1TA;CBD;-1;%;\n"
    ran = result(season, "--from", file(season, odd), "--yes")
    assert ran.status == 1
    text = one_line(ran)
    assert "lab.csv:7: the line has 1 cells and the header 5" in text
    assert 'lab.csv:8: CBD of "26A1TA" is "-1", under 0' in text
    assert "kept aside: r1 of ZZZZZZ: there is no bag ZZZ-ZZZ" in text
    assert len(results(season)) == 3


def test_what_may_be_read_in_two_ways_is_asked_and_set_by_flags(season: Path) -> None:
    path = file(season, "Sample,THC,THCA,Remark\n26A1TA,0.05,-,x\n")
    ran = result(season, "--from", path, "--yes")
    assert ran.status == 2
    assert 'column "Remark" is not known' in one_line(ran)
    assert results(season) == []
    flags = ("--column", "Remark=ignored", "--unit", "%", "--dash", "not detected")
    ran = result(season, "--from", path, *flags, "--yes")
    assert 'THCA is "ND", below a limit of detection that the file does not give; it is not zero' in one_line(
        ran
    )
    assert [one["found"] for one in results(season)] == [{"THC": "0.05", "THCA": "ND"}]


def test_a_wide_file_in_mg_g_keeps_its_figures(season: Path) -> None:
    path = file(season, "Sample ID\tTHC (mg/g)\tTHCA (mg/g)\tTotal THC (mg/g)\n26A1TA\t0.5\t3.0\t3.2\n")
    ran = result(season, "--from", path, "--yes")
    assert ran.status == 0, ran.said
    (only,) = results(season)
    assert (only["found"], only["unit"], only["total"]) == ({"THC": "0.5", "THCA": "3.0"}, "mg/g", "3.2")
    assert 'total THC of "26A1TA" is 0.32 % in the file and 0.31310 % by its parts' in one_line(ran)


@pytest.mark.parametrize(
    ("cell", "kept"),
    [("BLOQ", "BLOQ"), ("n.d.", "n.d."), ("Not detected", "Not detected"), ("≤0,020", "≤0.020")],
)
def test_what_is_under_a_limit_is_kept_as_the_laboratory_writes_it(
    season: Path, cell: str, kept: str
) -> None:
    ran = result(season, "--from", file(season, LONG.replace("<0,02", cell)), "--yes")
    assert ran.status == 0, ran.err
    assert results(season)[0]["found"]["THC"] == kept
    assert run("check", season, today=TODAY).status == 0


def test_a_dash_that_stands_for_not_detected_is_kept_as_nd(season: Path) -> None:
    text = LONG.replace("<0,02", "-")
    ran = result(season, "--from", file(season, text), "--dash", "not detected", "--yes")
    assert ran.status == 0, ran.err
    assert results(season)[0]["found"]["THC"] == "ND"
    assert results(season)[0]["loq"] == {"THC": "0.02", "THCA": "0.02"}


def test_one_bag_under_two_spellings_in_a_file_loses_no_line(season: Path) -> None:
    text = "Sample,THC (%),THCA (%)\n26A1TA,0.05,0.30\n26a-1ta,0.09,0.90\n"
    ran = result(season, "--from", file(season, text), "--yes")
    assert [one["found"] for one in results(season)] == [{"THC": "0.05", "THCA": "0.30"}]
    assert 'lab.csv:3: THCA of "26a-1ta" is "0.90" here and "0.30" on line 2 already' in one_line(ran)


def test_a_file_with_water_asks_of_what_its_figures_are_a_share(season: Path) -> None:
    """As received 0.24048 % is 0.2672 % of the dry matter: taken as dry it would be too low beside the limit."""
    path = file(season, "Sample,THC (%),THCA (%),Moisture (%)\n26A1TA,0.03,0.24,10\n")
    ran = result(season, "--from", path, "--yes")
    assert ran.status == 2
    assert "set of what its figures are a share, the basis: dry or as received" in one_line(ran)
    ran = result(season, "--from", path, "--basis", "as received", "--yes")
    assert "set of what its water is a share: of total or of dry matter" in one_line(ran)
    assert results(season) == []
    flags = ("--basis", "as received", "--water-is", "of total")
    assert result(season, "--from", path, *flags, "--yes").status == 0
    (row,) = json.loads(result(season, "--json").out)["results"]
    assert float(row["total_thc"]["low"]) == pytest.approx(0.2672)


def test_water_beside_figures_of_the_dry_matter_needs_no_more(season: Path) -> None:
    path = file(season, "Sample,THC (%),THCA (%),Moisture (%)\n26A1TA,0.03,0.24,10\n")
    assert result(season, "--from", path, "--basis", "dry", "--yes").status == 0
    (row,) = json.loads(result(season, "--json").out)["results"]
    assert float(row["total_thc"]["low"]) == pytest.approx(0.24048)


def test_an_analyte_that_is_not_known_is_set_once_and_kept(season: Path) -> None:
    path = file(season, LONG + "26A1TA;CBL;0,01;%;\n26A1TA;CBD acid (sum);4,1;%;\n")
    ran = result(season, "--from", path, "--yes")
    assert '"CBL" is not known; set what it is, such as THCA' in one_line(ran)
    flags = ("--analyte", "CBL=ignored", "--analyte", "CBD acid (sum)=CBDA")
    ran = result(season, "--from", path, *flags, "--yes")
    assert ran.status == 0, ran.said
    assert results(season)[0]["found"] == {"THC": "<0.02", "THCA": "0.25", "CBDA": "4.1"}
    before = season.read_bytes()
    assert "in the season already: 2" in result(season, "--from", path, "--yes").out
    assert season.read_bytes() == before


def test_a_file_that_brings_nothing_new_answers_in_json(season: Path) -> None:
    path = file(season, LONG)
    result(season, "--from", path, "--yes")
    answer = json.loads(result(season, "--from", path, "--yes", "--json").out)
    assert answer["answers"] == []
    assert answer["problems"] == ["passed over, for they are in the season already: 2"]


def test_an_uncertainty_of_a_part_is_kept_in_the_unit_of_its_result(season: Path) -> None:
    text = "Sample;Analyte;Result;Unit;MU\n26A1TA;THC;0,5;mg/g;10 % rel\n26A1TA;THCA;3,0;mg/g;0,3 mg/g\n"
    ran = result(season, "--from", file(season, text), "--uncertainty", "absolute", "--yes")
    assert ran.status == 0, ran.said
    assert "is not kept" not in one_line(ran)
    assert results(season)[0]["uncertainties"] == {"THC": "10 % rel", "THCA": "0.3 abs"}
    (row,) = json.loads(result(season, "--json").out)["results"]
    assert row["uncertainties"] == {"THC": "10 % rel", "THCA": "0.3 abs"}


NO_LOQ = "Sample;Analyte;Result;Unit\n26A1TA;THC;<LOQ;mg/g\n26A1TA;THCA;2,5;mg/g\n"


def test_below_a_limit_that_the_file_does_not_give_is_kept_as_text_with_the_reason(season: Path) -> None:
    ran = result(season, "--from", file(season, NO_LOQ), "--yes")
    assert ran.status == 0, ran.said
    assert "below a limit of quantification that the file does not give" in one_line(ran)
    assert "not tested" not in one_line(ran)
    assert results(season)[0]["found"] == {"THC": "<LOQ", "THCA": "2.5"}
    (aside,) = json.loads(result(season, "--json").out)["aside"]
    assert "below a limit of quantification that the file does not give" in aside["why"]


def test_the_limit_of_a_report_without_one_completes_that_report(season: Path) -> None:
    with_report = NO_LOQ.replace("Unit\n", "Unit;Report no.\n").replace("mg/g\n", "mg/g;R-1\n")
    result(season, "--from", file(season, with_report), "--yes")
    ran = result(season, "26A1TA", "THC", "<0.05", "unit", "mg/g", "report", "R-1", "--yes")
    assert ran.status == 0, ran.said
    assert "26A1TA-1 is completed: amount of THC <LOQ -> <0.05" in one_line(ran)
    (only,) = results(season)
    assert only["found"] == {"THC": "<0.05", "THCA": "2.5"}
    (row,) = json.loads(result(season, "--json").out)["results"]
    # 2.5 mg/g x 0.877 = 0.21925 %, and up to 0.005 % of THC (computed).
    assert row["total_thc"] == {"low": "0.21925", "high": "0.22425"}


def test_a_figure_in_place_of_one_below_a_limit_that_is_given_is_a_report_of_its_own(season: Path) -> None:
    result(season, "--from", file(season, LONG), "--yes")
    result(season, "26A1TA", "THC", "<0.05", "--yes")
    assert len([one for one in results(season) if one["sample"] == "26A1TA"]) == 2


def test_a_report_put_right_counts_where_the_first_could_not(season: Path) -> None:
    bad = file(season, "Sample,THC (%),THCA (%)\n26A1TA,0.05,130\n")
    assert result(season, "--from", bad, "--yes").status == 1
    good = file(season, "Sample,THC (%),THCA (%)\n26A1TA,0.05,0.30\n")
    assert result(season, "--from", good, "--yes").status == 0
    (row,) = json.loads(result(season, "--json").out)["results"]
    assert row["found"] == {"THC": "0.05", "THCA": "0.30"}


def test_a_total_of_a_file_is_held_against_the_factor_of_the_rules_in_force(season: Path) -> None:
    """0.05 + 0.30 x 0.8 = 0.29 (computed): by 0.877 it would be 0.3131, and be told as another."""
    with_factor(season, "0.8")
    path = file(season, "Sample,THC (%),THCA (%),Total THC (%)\n26A1TA,0.05,0.30,0.29\n")
    ran = result(season, "--from", path, "--yes")
    assert ran.status == 0, ran.said
    assert "in the file and" not in one_line(ran)
    (row,) = json.loads(result(season, "--json").out)["results"]
    assert (float(row["total_thc"]["low"]), row["gap"]) == (0.29, "")


def test_what_a_file_says_otherwise_or_wrongly_is_marked_in_its_preview(season: Path) -> None:
    """0.05 + 0.30 x 0.877 = 0.3131 (computed), 0.0131 from the laboratory's: past the 0.005 that rounding explains."""
    text = "Sample,THC (%),THCA (%),Total THC (%)\n26A1TA,0.05,0.30,0.30\nZZZZZZ,0.05,0.30,0.3131\n"
    ran = result(season, "--from", file(season, text), "--dry-run")
    assert "! kept aside: r1 of ZZZZZZ" in one_line(ran)
    assert '! lab.csv:2: total THC of "26A1TA" is 0.30 % in the file and 0.31310 % by its parts' in one_line(
        ran
    )


REPORT = (
    "Sample ID;Analyte;Result;Unit;LOD;LOQ;Method;Date collected;Date received;Date tested;Report no.\n"
    "26A1TA;THC;<LOQ;mg/g;0,05;0,20;HPLC-DAD;10.03.2027;11.03.2027;14.03.2027;R-77\n"
    "26A1TA;THCA;2,50;mg/g;0,05;0,20;HPLC-DAD;10.03.2027;11.03.2027;14.03.2027;R-77\n"
)


def test_what_a_report_carries_is_kept_with_its_exact_limits(season: Path) -> None:
    """Method, dates, LOD and LOQ of each analyte, number of the report (Ohio 901:14-2-15, read)."""
    ran = result(season, "--from", file(season, REPORT), "--yes")
    assert ran.status == 0, ran.said
    (only,) = results(season)
    assert only["found"] == {"THC": "<LOQ", "THCA": "2.50"}
    assert only["lod"] == {"THC": "0.05", "THCA": "0.05"}
    assert only["loq"] == {"THC": "0.20", "THCA": "0.20"}
    assert (only["method"], only["report"]) == ("HPLC-DAD", "R-77")
    days = [str(only[key]) for key in ("collected", "received", "tested", "date")]
    assert days == ["2027-03-10", "2027-03-11", "2027-03-14", "2027-03-14"]
    # <LOQ is 0 to 0.20 mg/g, 0.02 %; THCA 0.25 x 0.877 = 0.21925 (computed).
    (row,) = json.loads(result(season, "--json").out)["results"]
    assert row["total_thc"] == {"low": "0.219250", "high": "0.239250"}
    assert (row["report"], row["method"], row["tested"]) == ("R-77", "HPLC-DAD", "2027-03-14")
    assert (row["lod"]["THC"], row["loq"]["THC"]) == ("0.05", "0.20")


def test_the_preview_of_a_file_has_how_its_columns_are_read_and_what_is_taken(season: Path) -> None:
    """Shown before anything is saved, with what each bag comes to."""
    before = season.read_bytes()
    ran = result(season, "--from", file(season, LONG), "--dry-run")
    text = one_line(ran)
    assert (
        'columns: "Sample ID" is sample, "Analyte" is analyte, "Result" is result, "Unit" is unit, "LOQ" is LOQ'
        in text
    )
    assert "written with separator semicolon, decimal sign comma; kept for lab" in text
    assert (
        "taken: K7Q2RY-1 of K7Q-2RY, A1 middle, cut 10 Mar: THC 0.05, THCA 0.30 %: total THC 0.3131 %" in text
    )
    assert season.read_bytes() == before
    answer = json.loads(result(season, "--from", file(season, LONG), "--dry-run", "--json").out)
    assert answer["columns"]["columns"]["Analyte"] == "analyte"


def test_a_corrected_report_that_only_adds_an_analyte_completes_the_one_that_is_there(season: Path) -> None:
    result(season, "--from", file(season, LONG), "--yes")
    more = LONG + "26A1TA;CBD;0,20;%;\n26A1TA;CBDA;4,10;%;\n"
    ran = result(season, "--from", file(season, more), "--dry-run")
    text = one_line(ran)
    assert "26A1TA-1 is completed: amount of CBD none -> 0.20, amount of CBDA none -> 4.10" in text
    assert "in the season already: 1" in text
    assert len(results(season)) == 2
    assert result(season, "--from", file(season, more), "--yes").status == 0
    assert results(season)[0]["found"] == {"THC": "<0.02", "THCA": "0.25", "CBD": "0.20", "CBDA": "4.10"}
    rows = json.loads(result(season, "--json").out)
    assert rows["aside"] == []
    (one,) = (row for row in rows["results"] if row["sample"] == "26A1TA")
    assert float(one["total_cbd"]["low"]) == pytest.approx(3.7957)
    assert run("undo", season, "--yes", today=TODAY).status == 0
    assert results(season)[0]["found"] == {"THC": "<0.02", "THCA": "0.25"}


def test_what_does_not_read_of_a_bag_is_kept_in_the_note_of_its_result(season: Path) -> None:
    text = "Sample,THC (%),THCA (%)\n26A1TA,-0.1,0.30\n"
    ran = result(season, "--from", file(season, text), "--yes")
    assert ran.status == 1
    (only,) = results(season)
    assert only["found"] == {"THCA": "0.30"}
    assert only["note"] == 'not read: THC of "26A1TA" is "-0.1", under 0; an amount is 0 or more'
    good = file(season, text.replace("-0.1", "0.1"))
    ran = result(season, "--from", good, "--yes")
    assert "26A1TA-1 is completed: amount of THC none -> 0.1" in one_line(ran)
    assert json.loads(result(season, "--json").out)["results"][0]["total_thc"] == {
        "low": "0.36310",
        "high": "0.36310",
    }


def test_a_file_of_which_no_header_is_known_is_taken_in_once_its_columns_are_set(season: Path) -> None:
    path = file(season, "Our code;Peak 7;Peak 9\n26A1TA;0,05;0,30\n")
    ran = result(season, "--from", path, "--yes")
    assert ran.status == 2
    assert (
        'no header is known in this file; set the columns, which may be "Our code", "Peak 7", "Peak 9"'
        in one_line(ran)
    )
    flags = ("--column", "Our code=sample", "--column", "Peak 7=THC", "--column", "Peak 9=THCA")
    ran = result(season, "--from", path, *flags, "--unit", "%", "--decimal", ",", "--yes")
    assert ran.status == 0, ran.said
    assert results(season)[0]["found"] == {"THC": "0.05", "THCA": "0.30"}


def test_the_day_of_a_report_is_taken_from_its_column(season: Path) -> None:
    text = REPORT.replace("Date tested", "Report date").replace("14.03.2027", "15.03.2027")
    assert result(season, "--from", file(season, text), "--yes").status == 0
    (only,) = results(season)
    assert str(only["date"]) == "2027-03-15"
    assert "tested" not in only


def test_of_an_uncertainty_beside_a_total_it_is_proposed_that_it_is_of_the_total(season: Path) -> None:
    wide = "Sample ID,THC %,THCA %,Total THC %,MU\n26A1TA,0.05,0.30,0.313,0.04 abs\n"
    ran = result(season, "--from", file(season, wide), "--yes")
    assert 'set of which, such as "total THC uncertainty"' in one_line(ran)
    named = result(season, "--from", file(season, wide), "--column", "MU=total THC uncertainty", "--yes")
    assert named.status == 0, named.said
    assert (results(season)[0]["uncertainty"], results(season)[0]["total"]) == ("0.04", "0.313")


def test_a_second_file_of_a_laboratory_is_told_by_its_own_columns(season: Path) -> None:
    result(season, "--from", file(season, LONG), "--yes")
    again = file(season, "Sample ID;Analyte;Result\nK7Q2RY;CBD;1,5\n")
    ran = result(season, "--from", again, "--unit", "%", "--yes")
    assert (
        'columns: "Sample ID" is sample, "Analyte" is analyte, "Result" is result note: written'
        in one_line(ran)
    )
