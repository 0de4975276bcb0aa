"""Columns of a laboratory's file: proposed from its headers, kept as plain data, asked where they may be two things."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.season.laboratory_columns import (
    LaboratoryColumns,
    columns_data,
    is_role,
    read_columns,
    role_of,
    role_parts,
)
from calendar_tui.season.laboratory_proposal import proposed_columns
from calendar_tui.season.readers import Unreadable


@pytest.mark.parametrize(
    ("header", "role"),
    [
        ("Sample ID", "sample"),
        ("Client Sample ID", "sample"),
        ("Compound", "analyte"),
        ("Result (%)", "result"),
        ("Units", "unit"),
        ("LOQ (mg/g)", "LOQ"),
        ("MU", "uncertainty"),
        ("Date Collected", "collected"),
        ("Date", "tested"),
        ("Date reported", "reported"),
        ("Report date", "reported"),
        ("Report No.", "report"),
        ("Δ9-THC (%)", "THC"),
        ("THCa, %", "THCA"),
        ("Total THC (%)", "total THC"),
        ("Moisture (%)", "water"),
        ("THCA LOQ", "THCA LOQ"),
        ("THCA LOQ (%)", "THCA LOQ"),
        ("LOD CBD", "CBD LOD"),
        ("Total THC uncertainty", "total THC uncertainty"),
        ("Remarks", ""),
        ("THC method", ""),
        ("Plant LOQ", ""),
        ("", ""),
    ],
)
def test_the_role_of_a_header(header, role):
    assert role_of(header) == role
    assert not role or is_role(role)


@pytest.mark.parametrize(
    ("role", "parts"),
    [
        ("THCA", ("THCA", "result")),
        ("total THC LOQ", ("total THC", "LOQ")),
        ("sample", ("", "sample")),
        ("CBT LOQ", ("", "CBT LOQ")),
    ],
)
def test_the_parts_of_a_role(role, parts):
    assert role_parts(role) == parts


# --- proposed


def test_a_proposal_of_a_long_file():
    text = "North\n\nSample ID;Analyte;Result;Unit;MU\nA1;THC;0,31;%;10 rel\n"
    columns, questions, _ = proposed_columns(text, "North")
    assert columns == LaboratoryColumns(
        laboratory="North",
        columns={
            "Sample ID": "sample",
            "Analyte": "analyte",
            "Result": "result",
            "Unit": "unit",
            "MU": "uncertainty",
        },
        separator="semicolon",
        decimal=",",
    )
    assert questions == ()


def test_a_proposal_of_a_wide_file():
    columns, questions, _ = proposed_columns("\ufeffSample\tTHC (%)\tTHCA (%)\nA1\t0.05\t0.31\n")
    assert columns.columns == {"Sample": "sample", "THC (%)": "THC", "THCA (%)": "THCA"}
    assert (columns.separator, columns.decimal, questions) == ("tab", ".", ())


@pytest.mark.parametrize(
    ("text", "field", "words"),
    [
        ("Sample;THC (%)\nA1;0.31\nA2;0,31\n", "decimal", "set which of them is the decimal mark"),
        ("Sample,THC\nA1,0.31\n", "unit", 'the results of "THC" have no unit'),
        ("Sample,THC (%),Date\nA1,0.31,1/9/2026\n", "date_order", "may be 1 Sep 2026 or 9 Jan 2026"),
        ("Sample,THC (%),THC MU\nA1,0.31,10\n", "uncertainty", "10 % of the result or 10 % more and less"),
        ("Sample,THC (%)\nA1,-\n", "dash", "not tested or not detected"),
        ("Sample,Analyte,Result,Unit\nA1,CBT,0.31,%\n", "analyte CBT", '"CBT" is not known'),
        ("Sample,THC (%),CBT (%)\nA1,0.31,0.1\n", "CBT (%)", 'column "CBT (%)" is not known'),
        ("Sample,Sample ID,THC (%)\nA1,7,0.31\n", "Sample ID", 'column "Sample ID" is not known'),
        ("Sample,THC (%),MU\nA1,0.31,0.06 abs\n", "MU", 'set of which, such as "THC uncertainty"'),
        ("Sample,THC (%),THCA LOQ\nA1,0.31,0.05\n", "THCA LOQ", 'no column is set as "THCA"'),
        ("nothing\n", "sample", 'no header is known in this file; set the columns, which may be "nothing"'),
    ],
)
def test_what_may_be_two_things_is_a_question(text, field, words):
    _, [(asked, question)], _ = proposed_columns(text)
    assert asked == field
    assert words in question


def test_headers_in_another_language_are_named_with_their_separator():
    columns, [(_, question)], _ = proposed_columns("Labor Nord;;\nProbe;THCA [%];Datum\nA1;0,3;1.9.2026\n")
    assert (columns.separator, columns.columns) == ("semicolon", {})
    assert '"Probe", "THCA [%]", "Datum"' in question


def test_results_in_two_units_are_both_proposed():
    columns, questions, _ = proposed_columns("Sample,Compound,Result (%),Result (mg/g)\nA1,THC,0.31,3.1\n")
    assert columns.columns["Result (%)"] == columns.columns["Result (mg/g)"] == "result"
    assert questions == ()


def test_dates_of_which_one_can_be_read_in_one_way_only_still_ask():
    """13/8 says that the day is first in its own line; that the next line keeps to it is for a person to say."""
    _, questions, _ = proposed_columns("Sample,THC (%),Date\nA1,0.31,13/8/2026\nA2,0.31,1/9/2026\n")
    assert [field for field, _ in questions] == ["date_order"]


def test_a_unit_in_each_cell_needs_no_unit_of_the_column():
    assert proposed_columns("Sample,THC\nA1,0.31 %\nA2,ND\n").questions == ()


@given(st.text(max_size=80))
def test_any_text_gives_a_proposal_that_can_be_kept(text):
    columns = proposed_columns(text).columns
    assert read_columns(columns_data(columns)) == columns


# --- kept


WHOLE = LaboratoryColumns(
    laboratory="North",
    columns={"Bag": "sample", "THC": "THC", "THC LOQ": "THC LOQ", "Remarks": "ignored"},
    analytes={"THC acid": "THCA"},
    separator="tab",
    decimal=",",
    date_order="day-first",
    unit="%",
    uncertainty="relative",
    dash="not tested",
    basis="dry",
    water_is="of total",
)


def test_columns_are_kept_as_plain_text_and_read_back():
    data = columns_data(WHOLE)
    assert all(isinstance(value, str | dict) for value in data.values())
    assert read_columns(data) == WHOLE


def test_what_is_not_set_is_left_out():
    assert columns_data(LaboratoryColumns(laboratory="North")) == {
        "laboratory": "North",
        "separator": "comma",
    }


@pytest.mark.parametrize(
    ("data", "words"),
    [
        ({"decimals": "."}, 'decimals is not known; did you mean "decimal"?'),
        ({"decimal": ":"}, 'decimal is ":"; it must be a point or a comma'),
        ({"separator": ";"}, 'separator is ";"; it must be one of: comma, semicolon, tab'),
        (
            {"columns": {"Bag": "samples"}},
            'columns has "samples" for "Bag", which is no role; did you mean "sample"?',
        ),
        ({"columns": ["Bag"]}, "columns is"),
        ({"analytes": {"x": "THC9"}}, 'analytes has "THC9" for "x", which is no analyte'),
        ({"unit": "lb"}, 'unit is "lb"; it must be one of: %, mg/g'),
        ({"laboratory": 3}, "laboratory is 3; write text in quotes"),
    ],
)
def test_what_was_kept_and_does_not_read_is_refused(data, words):
    with pytest.raises(Unreadable) as refused:
        read_columns(data)
    assert words in str(refused.value)
