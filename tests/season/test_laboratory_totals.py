"""Totals that a file gives beside those of its parts: neutral + 0.877 x acid (7 CFR 990, read); over 0.005 % apart is told."""

from dataclasses import replace
from decimal import Decimal

from calendar_tui.nature.measured import Interval
from calendar_tui.season.laboratory_columns import LaboratoryColumns
from calendar_tui.season.laboratory_file import read_laboratory_file
from calendar_tui.season.laboratory_totals import other_totals


def test_a_total_over_0_005_from_ours_is_told():
    header, factor = "Sample ID,Analyte,Result", Decimal("0.877")
    columns = LaboratoryColumns(
        columns={"Sample ID": "sample", "Analyte": "analyte", "Result": "result"}, decimal=".", unit="%"
    )
    text = f"{header}\nA,THC,0.05\nA,THCA,0.30\nA,Total THC,0.35\nB,THC,0.05\nB,THCA,0.30\nB,Total THC,0.318\nC,Total THC,0.3\n"
    [other] = other_totals(read_laboratory_file(text, columns).rows, lambda bag: factor)
    assert (other.line, other.sample, other.ours, other.gap) == (
        4,
        "A",
        Interval.exactly(Decimal("0.3131")),
        Decimal("0.0369"),
    )
    assert "is 0.35 % in the file and 0.31310 % by its parts" in other.text


def test_a_total_of_a_sample_whose_parts_are_not_both_in_the_file_is_left():
    columns = LaboratoryColumns(
        columns={"Bag": "sample", "THC": "THC", "THCA": "THCA", "Total THC": "total THC"}
    )
    text = "Bag,THC,THCA,Total THC\nA,1,,9\nB,,1,9\nC,1,1,9\n"
    rows = read_laboratory_file(text, replace(columns, unit="%")).rows
    assert [other.sample for other in other_totals(rows, lambda bag: Decimal("0.877"))] == ["C"]


def test_a_total_inside_what_a_part_below_its_limit_allows_agrees():
    """THC < 0.05, THCA 0.30: 0.2631-0.3131 (computed)."""
    columns = LaboratoryColumns(
        columns={"Bag": "sample", "THC": "THC", "THCA": "THCA", "Total THC": "total THC"}
    )
    columns = replace(columns, decimal=".", unit="%")
    text = "Bag,THC,THCA,Total THC\nA,<0.05,0.30,0.27\nB,<0.05,0.30,0.2570\n"
    assert [
        other.sample
        for other in other_totals(read_laboratory_file(text, columns).rows, lambda bag: Decimal("0.877"))
    ] == ["B"]


def test_a_total_is_held_against_the_factor_of_the_rules_of_its_own_bag():
    """0.05 + 0.30 x 0.877 = 0.3131, x 0.8 = 0.29 (computed): each agrees by its own factor alone."""
    columns = LaboratoryColumns(
        columns={"Bag": "sample", "THC": "THC", "THCA": "THCA", "Total THC": "total THC"},
        decimal=".",
        unit="%",
    )
    text = "Bag,THC,THCA,Total THC\nA,0.05,0.30,0.3131\nB,0.05,0.30,0.29\n"
    rows = read_laboratory_file(text, columns).rows
    factors = {"A": Decimal("0.877"), "B": Decimal("0.8")}
    assert list(other_totals(rows, factors.__getitem__)) == []
    assert [other.sample for other in other_totals(rows, lambda bag: Decimal("0.8"))] == ["A"]
