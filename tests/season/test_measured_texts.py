"""Figures as laboratories write them: exact, or refused with what would be right. Forms met: common practice, no source."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.nature.legal_limits import ABSOLUTE, RELATIVE, Uncertainty
from calendar_tui.nature.measured import Interval
from calendar_tui.season.analyte_names import (
    TOTAL_CBD,
    TOTAL_THC,
    WATER,
    analyte_named,
    unit_named,
    without_unit,
)
from calendar_tui.season.measured_texts import (
    BELOW,
    COMMA,
    DASH_NOT_DETECTED,
    DASH_NOT_TESTED,
    NOT_TESTED,
    POINT,
    VALUE,
    Limits,
    exact_figure,
    read_file_date,
    read_measured,
    read_uncertainty,
)
from calendar_tui.season.readers import Unreadable

LIMITS = Limits(Decimal("0.01"), Decimal("0.05"))


def interval(low, high):
    return Interval(Decimal(low), Decimal(high))


# --- decimal marks


@pytest.mark.parametrize(
    ("text", "mark", "figure"),
    [
        ("0.123", POINT, "0.123"),
        ("0,123", COMMA, "0.123"),
        ("12", "", "12"),
        (".05", POINT, "0.05"),
        ("3.1E-1", POINT, "0.31"),
    ],
)
def test_figures_by_the_mark_of_the_file(text, mark, figure):
    assert exact_figure(text, mark) == Decimal(figure)


@pytest.mark.parametrize(
    ("text", "mark", "words"),
    [
        ("0,123", POINT, "a comma in a file with decimal point; it may be a decimal or a thousands mark"),
        ("0.123", COMMA, "a point in a file with decimal comma"),
        ("1.234", COMMA, "a point in a file with decimal comma"),
        ("1.234,5", COMMA, "with a point and a comma; write it without thousands marks"),
        ("1,234.5", POINT, "with a point and a comma; write it without thousands marks"),
        ("0.123", "", "whether this file has a decimal point or a comma is not set"),
        ("0,123", "", "set the decimal mark"),
        ("1.2.3", POINT, "write a figure"),
        ("-0.1", POINT, "under 0; an amount is 0 or more"),
        ("١", POINT, "write a figure"),
        ("1e999999", POINT, "write a figure"),
        ("trace", POINT, "write a figure"),
        ("nan", POINT, "write a figure"),
    ],
)
def test_a_figure_that_may_be_another_is_refused(text, mark, words):
    with pytest.raises(Unreadable) as refused:
        exact_figure(text, mark)
    assert words in str(refused.value)


@given(st.decimals(0, 99, places=4))
def test_a_figure_is_read_alike_with_either_mark(figure):
    text = f"{figure:f}"
    assert exact_figure(text, POINT) == exact_figure(text.replace(".", ","), COMMA) == figure


# --- results


@pytest.mark.parametrize(
    ("text", "unit", "state", "percent"),
    [
        ("0.31", "%", VALUE, ("0.31", "0.31")),
        ("3.1", "mg/g", VALUE, ("0.31", "0.31")),
        ("2900", "ppm", VALUE, ("0.29", "0.29")),
        ("3.1 mg/g", "", VALUE, ("0.31", "0.31")),
        ("0.31 %", "%", VALUE, ("0.31", "0.31")),
        ("0.31%", "", VALUE, ("0.31", "0.31")),
        ("0", "%", VALUE, ("0", "0")),
        ("<0.05", "%", BELOW, ("0", "0.05")),
        ("< 0.05", "%", BELOW, ("0", "0.05")),
        ("<0.5", "mg/g", BELOW, ("0", "0.05")),
        ("<0.05 %", "", BELOW, ("0", "0.05")),
        ("<LOQ", "%", BELOW, ("0", "0.05")),
        ("BLOQ", "%", BELOW, ("0", "0.05")),
        ("< loq", "%", BELOW, ("0", "0.05")),
        ("<LOD", "%", BELOW, ("0", "0.01")),
        ("ND", "%", BELOW, ("0", "0.01")),
        ("n.d.", "%", BELOW, ("0", "0.01")),
        ("Not Detected", "%", BELOW, ("0", "0.01")),
    ],
)
def test_results_as_they_are_written(text, unit, state, percent):
    assert read_measured(text, unit, POINT, LIMITS) == (text, state, interval(*percent))


@pytest.mark.parametrize("text", ["", " ", "NA", "n/a", "NT", "not tested"])
def test_what_was_not_tested_is_not_what_was_not_detected(text):
    assert read_measured(text, "%", POINT, LIMITS) == (text, NOT_TESTED, None)


def test_a_dash_is_what_the_laboratory_means_by_it():
    with pytest.raises(Unreadable, match="may be not tested or not detected; set which"):
        read_measured("-", "%", POINT, LIMITS)
    assert read_measured("-", "%", POINT, LIMITS, DASH_NOT_TESTED).state == NOT_TESTED
    assert read_measured("–", "%", POINT, LIMITS, DASH_NOT_DETECTED).percent == interval("0", "0.01")


@pytest.mark.parametrize(("text", "limits"), [("ND", Limits(loq=Decimal("0.05"))), ("<LOQ", LIMITS)])
def test_not_detected_without_a_limit_of_detection_is_below_that_of_quantification(text, limits):
    assert read_measured(text, "%", POINT, limits).percent == interval("0", "0.05")


@pytest.mark.parametrize(
    ("text", "unit", "limits", "words"),
    [
        (
            "ND",
            "%",
            Limits(),
            "below a limit of detection that the file does not give; it is not zero: enter the limit",
        ),
        (
            "<LOQ",
            "%",
            Limits(lod=Decimal("0.01")),
            "below a limit of quantification that the file does not give; it is not zero",
        ),
        (">30", "%", LIMITS, "over what the method measures"),
        ("0.31", "", LIMITS, "without a unit; set the unit of the column"),
        ("3.1 mg/g", "%", LIMITS, "in a column of %; write one unit"),
        ("-0.1", "%", LIMITS, "under 0; an amount is 0 or more"),
        ("101", "%", LIMITS, "is over 100 %; look at the figure and at its unit"),
        ("0,31", "%", LIMITS, "a comma in a file with decimal point"),
        ("<0,05", "%", LIMITS, "a comma in a file with decimal point"),
        ("0.31 *", "%", LIMITS, "write a figure"),
        ("trace", "%", LIMITS, 'write a figure, "<" and a figure, ND, <LOQ, or nothing if it was not tested'),
        ("±", "%", LIMITS, "write a figure"),
    ],
)
def test_results_that_are_none_are_refused_with_what_would_be_right(text, unit, limits, words):
    with pytest.raises(Unreadable) as refused:
        read_measured(text, unit, POINT, limits)
    assert words in str(refused.value)


@given(st.text(max_size=12))
def test_any_text_is_read_or_refused_and_kept(text):
    try:
        measured = read_measured(text, "%", POINT, LIMITS, DASH_NOT_TESTED)
    except Unreadable:
        return
    assert measured.text == text
    assert (measured.percent is None) == (measured.state == NOT_TESTED)


# --- uncertainty


@pytest.mark.parametrize(
    ("text", "unit", "kind", "read"),
    [
        ("0.06 abs", "%", "", (ABSOLUTE, "0.06")),
        ("0.06 % absolute", "%", "", (ABSOLUTE, "0.06")),
        ("±0.06", "%", "", (ABSOLUTE, "0.06")),
        ("+- 0.06", "%", "", (ABSOLUTE, "0.06")),
        ("+/-0.6", "mg/g", "", (ABSOLUTE, "0.06")),
        ("0.6 mg/g", "mg/g", "", (ABSOLUTE, "0.06")),
        ("0.06", "%", ABSOLUTE, (ABSOLUTE, "0.06")),
        ("10", "%", RELATIVE, (RELATIVE, "10")),
        ("10 %", "mg/g", RELATIVE, (RELATIVE, "10")),
        ("10 % rel", "%", "", (RELATIVE, "10")),
        ("10 % of the result", "%", "", (RELATIVE, "10")),
        ("10 rel", "%", ABSOLUTE, (RELATIVE, "10")),
        ("±0.06 (k=2)", "%", "", (ABSOLUTE, "0.06")),
        ("10 % rel, k = 2", "%", "", (RELATIVE, "10")),
    ],
)
def test_uncertainty_keeps_its_kind(text, unit, kind, read):
    assert read_uncertainty(text, unit, POINT, kind) == Uncertainty(Decimal(read[1]), read[0])


@pytest.mark.parametrize("text", ["10", "0.06", "10 %", "±10 %", "0.06 %"])
def test_an_uncertainty_that_may_be_relative_or_absolute_is_refused_with_both_readings(text):
    with pytest.raises(Unreadable) as refused:
        read_uncertainty(text, "%", POINT)
    figure = text.strip("±% ")
    assert f"may be {figure} % of the result or {figure} % more and less" in str(refused.value)
    assert f'write "{figure} % rel" or "{figure} abs"' in str(refused.value)


def test_an_uncertainty_out_of_range_is_named_as_it_was_written():
    for text in ("100 rel", "101 abs"):
        with pytest.raises(Unreadable, match=f'is "{text}": uncertainty is|is "101": 101 % is over 100 %'):
            read_uncertainty(text, "%", POINT)
    with pytest.raises(Unreadable, match=r'^is "0,06", a comma in a file with decimal point'):
        read_uncertainty("0,06 abs", "%", POINT)


def test_an_uncertainty_that_is_not_expanded_by_2_is_refused():
    with pytest.raises(Unreadable, match="write the expanded uncertainty, with k = 2"):
        read_uncertainty("±0.03 (k=1)", "%", POINT)


@pytest.mark.parametrize(
    "text", ["", "about 10", "k=2", "10 apples", "10 mg/g rel", "-0.1", "0,06 abs", "100 rel", "101 abs"]
)
def test_an_uncertainty_that_is_none_is_refused(text):
    with pytest.raises(Unreadable):
        read_uncertainty(text, "%", POINT)


# --- dates


@pytest.mark.parametrize(
    ("text", "order"),
    [
        ("2026-09-01", ""),
        ("2026-09-01 10:30", ""),
        ("2026-09-01T10:30:00Z", ""),
        ("1 Sep 2026", ""),
        ("01-Sep-2026", ""),
        ("September 1, 2026", ""),
        ("01.09.2026", ""),
        ("1.9.2026", "month-first"),
        ("1/9/2026", "day-first"),
        ("9/1/2026", "month-first"),
        ("09/01/2026 08:15", "month-first"),
    ],
)
def test_dates_of_one_reading(text, order):
    assert read_file_date(text, order) == date(2026, 9, 1)


def test_numbers_of_which_only_one_can_be_a_month():
    assert read_file_date("13/8/2026") == read_file_date("8/13/2026") == date(2026, 8, 13)
    assert read_file_date("8/8/2026") == date(2026, 8, 8)


@pytest.mark.parametrize(
    ("text", "order", "words"),
    [
        ("1/9/2026", "", "may be 1 Sep 2026 or 9 Jan 2026; set whether the day or the month is first"),
        ("1-9-2026", "", "may be 1 Sep 2026 or 9 Jan 2026"),
        ("13/8/2026", "month-first", "no date with the month first"),
        ("8/13/2026", "day-first", "no date with the day first"),
        ("1/9/26", "", "the year in four digits"),
        ("26-09-01", "", "the year in four digits"),
        ("31.02.2026", "", "no date; write it such as"),
        ("31/31/2026", "day-first", "no date; write it such as"),
        ("yesterday", "day-first", "no date; write it such as"),
        ("1 Sept 1826", "", "no date"),
        ("yesterday", "", "no date; write it such as 2026-09-01"),
        ("", "", "no date"),
    ],
)
def test_dates_that_may_be_others_are_refused(text, order, words):
    with pytest.raises(Unreadable) as refused:
        read_file_date(text, order)
    assert words in str(refused.value)


# --- spellings


@pytest.mark.parametrize(
    ("text", "analyte"),
    [
        *(
            (text, "THC")
            for text in (
                "d9-THC",
                "delta-9",
                "Δ9",
                "Δ9-THC",
                "∆9-THC",
                "Δ⁹-THC",
                "delta-9-THC",
                "D9 THC",
                "THC",
            )
        ),
        *((text, "THCA") for text in ("THCa", "THCA-A", "THC-A", "Δ9-THCA", "thca")),
        *((text, "THC8") for text in ("d8-THC", "Δ8-THC", "delta 8 THC")),
        *((text, TOTAL_THC) for text in ("Total THC", "THC total", "total_thc", "Total Δ9-THC")),
        ("CBDa", "CBDA"),
        ("Total CBD", TOTAL_CBD),
        ("Moisture", WATER),
        ("CBT", ""),
        ("", ""),
    ],
)
def test_spellings_of_what_was_measured(text, analyte):
    assert analyte_named(text) == analyte


@pytest.mark.parametrize(
    ("header", "name", "unit"),
    [
        ("THCA (mg/g)", "thca", "mg/g"),
        ("THCA [%]", "thca", "%"),
        ("THCA, % w/w", "thca,", "%"),
        ("THCA % (dry)", "thca % (dry)", ""),
        ("THCA (% dry weight)", "thca", "%"),
        ("THCA_pct", "thca", "%"),
        ("CBD ppm", "cbd", "ppm"),
        ("CBD (µg/g)", "cbd", "ug/g"),
        ("THC (delta-9)", "thc (delta-9)", ""),
        ("%", "%", ""),
    ],
)
def test_units_in_headers(header, name, unit):
    assert without_unit(header) == (name, unit)


def test_units_alone():
    assert [unit_named(text) for text in ("%", "MG/G", "ppm ", "mg/kg", "g/kg", "wt %", "mg")] == [
        "%",
        "mg/g",
        "ppm",
        "mg/kg",
        "g/kg",
        "%",
        "",
    ]
