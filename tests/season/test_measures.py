"""Quantities in US units: exact factors, what is shown, what is typed, and the clock of 12 hours."""

from __future__ import annotations

from datetime import time
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.season.field_names import find_field
from calendar_tui.season.measures import (
    MEASURES,
    area_text,
    figure,
    measured,
    spacing_text,
    typed_clock,
    typed_quantities,
)
from calendar_tui.season.typed_values import converted_text, measure_of, typed_text
from calendar_tui.season.units_in_use import clock, is_us, shown_in

# What one of a unit is in the file's: NIST SP 811 (2008), appendix B.8, exact values in bold type; the gallon, the acre of the
# international foot and the ounce by NIST Handbook 44, appendix C. These tables are from memory; what they rest on is worked out below.
PUBLISHED = {
    ("m", "ft"): Fraction("0.3048"),
    ("m", "in"): Fraction("0.0254"),
    ("m", "yd"): Fraction("0.9144"),
    ("cm", "in"): Fraction("2.54"),
    ("mm", "in"): Fraction("25.4"),
    ("m2", "sq ft"): Fraction("0.09290304"),
    ("m2", "acres"): Fraction("4046.8564224"),
    ("m2", "ha"): Fraction(10_000),
    ("kg", "lb"): Fraction("0.45359237"),
    ("kg", "oz"): Fraction("0.028349523125"),
    ("g", "oz"): Fraction("28.349523125"),
    ("L", "gal"): Fraction("3.785411784"),
    ("L", "cu ft"): Fraction("28.316846592"),
}


@pytest.mark.parametrize(("pair", "factor"), PUBLISHED.items(), ids=[" ".join(pair) for pair in PUBLISHED])
def test_factors_are_the_published_ones(pair: tuple[str, str], factor: Fraction) -> None:
    unit, other = pair
    assert MEASURES[unit].units[other].factor == pytest.approx(float(factor), rel=1e-15)


def test_factors_follow_from_the_yard_the_grain_and_the_cubic_inch() -> None:
    """A yard is 0.9144 m, a pound 7,000 grains of 64.79891 mg, a gallon 231 cubic inches (read: the definitions of the public library
    pint, exact by its own word); an acre is 43,560 square feet, 4,046.856 422 4 m2 (read: appendix G of a copy of the World Factbook).
    """
    foot = Fraction("0.9144") / 3
    assert PUBLISHED["m", "ft"] == foot
    assert PUBLISHED["kg", "lb"] == 7000 * Fraction("0.00006479891")
    assert PUBLISHED["L", "gal"] == 231 * (10 * foot / 12) ** 3
    assert PUBLISHED["m2", "acres"] == 43_560 * foot**2 == Fraction("4046.8564224")


def test_factors_are_those_of_a_general_library() -> None:
    constants = pytest.importorskip("scipy.constants")
    for (unit, other), value in {
        ("m", "ft"): constants.foot,
        ("m", "in"): constants.inch,
        ("m2", "acres"): constants.acre,
        ("kg", "lb"): constants.pound,
        ("kg", "oz"): constants.oz,
        ("L", "gal"): constants.gallon * 1000,
    }.items():
        assert MEASURES[unit].units[other].factor == pytest.approx(value, rel=1e-14)
    assert typed_quantities("100 F", "C") == pytest.approx(
        [constants.convert_temperature(100, "F", "C")], abs=1e-5
    )


# Boiling and freezing of water, and where both scales meet: the definition of the degree Fahrenheit.
@pytest.mark.parametrize(("f", "c"), [("32 F", 0), ("212 F", 100), ("-40 F", -40)])
def test_temperatures_have_a_zero_of_their_own_and_differences_have_none(f: str, c: float) -> None:
    assert typed_quantities(f, "C") == [c]
    assert typed_quantities("9 F", "C more") == [5]


@pytest.mark.parametrize(
    ("typed", "unit", "values"),
    [
        ("5 ft", "m", [1.524]),
        ("5 ft 6 in", "m", [1.6764]),
        ("5' 6\"", "m", [1.6764]),
        ("3 1/2 in", "m", [0.0889]),
        ("3-1/2in", "m", [0.0889]),
        ("1/2 in", "cm", [1.27]),
        ("5 x 2 ft", "m", [1.524, 0.6096]),
        ("5ftx24in", "m", [1.524, 0.6096]),
        ("1.5 m x 60 cm", "m", [1.5, 0.6]),
        ("2 ac", "m2", [8093.712845]),
        ("2,000 sq ft", "m2", [185.80608]),
        ("2000 ft2", "m2", [185.80608]),
        ("1.5 lb", "kg", [0.680389]),
        ("32, 50, 68 F", "C", [0, 10, 20]),
        ("1 cu ft", "L", [28.316847]),
        ("3 lb/sq ft", "kg per m2", [14.647283]),
    ],
)
def test_what_is_typed_with_a_unit_is_read_in_the_files(typed: str, unit: str, values: list[float]) -> None:
    for system in ("metric", "us"):
        with shown_in(system):
            assert typed_quantities(typed, unit) == pytest.approx(values, abs=1e-6)


@pytest.mark.parametrize("typed", ["", "ft", "5 foo", "5 6 ft", "5 kg", "-", "5 ft of it", "1/0", "wide"])
def test_what_is_no_length_is_none(typed: str) -> None:
    if typed == "1/0":
        assert typed_quantities(f"{typed} ft", "m") is None
    assert typed_quantities(typed, "m") is None


def test_a_bare_number_is_in_the_unit_that_is_shown() -> None:
    assert typed_quantities("5x2", "m") is None  # read like any number
    with shown_in("us"):
        assert typed_quantities("5x2", "m") == [1.524, 0.6096]
        assert typed_quantities("2000", "m2") == [185.80608]
        assert typed_quantities("70", "C") == [pytest.approx(21.111111)]


def test_what_is_shown_is_rounded_and_acres_begin_at_a_quarter() -> None:
    assert (measured(180, "m2"), measured(0.35, "kg"), spacing_text(1.5, 0.6)) == (
        "180 m2",
        "0.3 kg",
        "1.5 m x 0.6 m",
    )
    with shown_in("us"):
        assert measured(180, "m2") == "1938 sq ft"
        assert area_text(1200) == "0.297 acres"
        assert measured(0.35, "kg") == "0.772 lb"
        assert measured(33, "C") == "91.4 F"
        assert spacing_text(1.5, 0.6) == "4.92 ft x 1.97 ft"
        assert measured(7, "kWh") == "7 kWh"
    assert not is_us()


@given(st.floats(0.001, 50_000), st.sampled_from(sorted(MEASURES)))
def test_what_is_shown_is_typed_back_to_three_digits(value: float, unit: str) -> None:
    with shown_in("us"):
        shown = MEASURES[unit].shown
        (back,) = typed_quantities(f"{figure(value, unit)} {shown}", unit) or [None]
        assert back == pytest.approx(value, rel=6e-3, abs=0.06)


@given(st.floats(0.01, 9_999).map(lambda value: round(value, 6)), st.sampled_from(["area", "spacing"]))
def test_a_value_of_the_file_that_is_left_as_a_form_begins_with_it_stays(value: float, words: str) -> None:
    field = find_field("place", "area") if words == "area" else find_field("cohort", "spacing")
    held = value if words == "area" else [value, value]
    with shown_in("us"):
        typed = typed_text(field, held)
        assert typed.endswith(field.unit)
        values = typed_quantities(typed, measure_of(field))
        assert values == ([value] if words == "area" else [value, value])
        assert converted_text(field, typed, held) == ""


def test_what_was_converted_is_told_in_both() -> None:
    field = find_field("cohort", "spacing")
    assert converted_text(field, "5x2 ft", [1.524, 0.6096]) == "5x2 ft is 1.524x0.6096 m"
    assert converted_text(field, "1.5x0.6", [1.5, 0.6]) == ""
    with shown_in("us"):
        assert converted_text(field, "5x2", [1.524, 0.6096]) == "5x2 ft is 1.524x0.6096 m"


# Noon and midnight: 12 pm and 12 am, as NIST tells of the 12-hour clock (Times of Day FAQ, value from memory).
@pytest.mark.parametrize(
    ("at", "text"),
    [(time(0, 5), "12:05 am"), (time(9), "9:00 am"), (time(12), "12:00 pm"), (time(19, 13), "7:13 pm")],
)
def test_the_clock_of_12_hours(at: time, text: str) -> None:
    assert clock(at) == f"{at:%H:%M}"
    with shown_in(clock="12"):
        assert clock(at) == text
    assert typed_clock(text) == f"{at:%H:%M}"


def test_other_ways_to_type_a_time() -> None:
    assert [typed_clock(text) for text in ("7pm", "7 p.m.", "7.30PM", "13 pm", "0 am", "19:30", "14h10")] == [
        "19:00",
        "19:00",
        "19:30",
        "13 pm",
        "0 am",
        "19:30",
        "14h10",
    ]


def test_every_measured_field_can_be_typed_in_the_unit_that_is_shown() -> None:
    for kind, words in (
        ("cohort", "spacing"),
        ("place", "area"),
        ("place", "pot size"),
        ("reading", "air temperature"),
    ):
        unit = measure_of(find_field(kind, words))
        with shown_in("us"):
            assert typed_quantities(f"2 {MEASURES[unit].shown}", unit)
    assert measure_of(find_field("place", "warmer")) == "C more"
    assert measure_of(find_field("cohort", "plants")) == ""


def test_a_quarter_of_an_acre_itself_is_told_in_acres() -> None:
    with shown_in("us"):
        assert measured(1011.7141056, "m2") == "0.25 acres"  # a quarter of the published acre above
        assert measured(1011.7, "m2") == "10890 sq ft"
