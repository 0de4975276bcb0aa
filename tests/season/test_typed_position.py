"""A position as a GPS or a map shows it, one coordinate or both at once."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.season.typed_position import degrees, position, position_text

ONE = {
    "44.5 N": 44.5,
    "44.5N": 44.5,
    "n 44.5": 44.5,
    "44,5": 44.5,
    "34.3 S": -34.3,
    "-34.3": -34.3,
    "−34.3": -34.3,
    "44 30 N": 44.5,
    "44° 30' N": 44.5,
    "44°30′N": 44.5,
    "44 30.5 N": 44 + 30.5 / 60,
    "44°30'12\"N": 44 + 30.2 / 60,
    "44°30′12″N": 44 + 30.2 / 60,
    "44 30 12 N": 44 + 30.2 / 60,
    "N 44° 30' 12.5''": 44 + 30 / 60 + 12.5 / 3600,
    "44.5°": 44.5,
}


@pytest.mark.parametrize("typed", ONE)
def test_a_latitude_may_be_typed_as_people_write_it(typed: str) -> None:
    assert degrees(typed, "latitude") == pytest.approx(ONE[typed], abs=1e-9)


@pytest.mark.parametrize(
    ("typed", "east"),
    [("123W", -123), ("123° W", -123), ("-123", -123), ("16.4 E", 16.4), ("123 12 W", -123.2)],
)
def test_a_longitude_may_be_typed_as_people_write_it(typed: str, east: float) -> None:
    assert degrees(typed, "longitude") == pytest.approx(east)


@pytest.mark.parametrize(
    ("typed", "key"),
    [
        ("44 E", "latitude"),
        ("-44 S", "latitude"),
        ("N 44 N", "latitude"),
        ("5 S", "longitude"),
        ("44 60 N", "latitude"),
        ("44.5 30 N", "latitude"),
        ("44 30 60 N", "latitude"),
    ],
)
def test_degrees_of_another_direction_or_of_sixty_minutes_are_refused(typed: str, key: str) -> None:
    with pytest.raises(ValueError, match=f"is not {key}: write degrees, .* positive, such as -"):
        degrees(typed, key)


BOTH = {
    "44.5, -123.2": (44.5, -123.2),
    "44.5,-123.2": (44.5, -123.2),
    "44.5 -123.2": (44.5, -123.2),
    "44.5 123.2": (44.5, 123.2),
    "44.5 N, 123.2 W": (44.5, -123.2),
    "44.5N123.2W": (44.5, -123.2),
    "N44.5 W123.2": (44.5, -123.2),
    "N44.5W123.2": (44.5, -123.2),
    "123.2 W 44.5 N": (44.5, -123.2),
    "44 30 N 123 12 W": (44.5, -123.2),
    "44°30'12\"N 123°12'0\"W": (44 + 30.2 / 60, -123.2),
    "44°30'N, 123°12'W": (44.5, -123.2),
    "-34,3 -56,7": (-34.3, -56.7),
    "-34,3; -56,7": (-34.3, -56.7),
    "-34.3 / -56.7": (-34.3, -56.7),
    "44, 5": (44, 5),
    "44.5 N": (44.5, None),
    "44 30 N": (44.5, None),
    "-34.3": (-34.3, None),
}


@pytest.mark.parametrize("typed", BOTH)
def test_a_position_may_be_pasted_as_one(typed: str) -> None:
    latitude, longitude = BOTH[typed]
    read = position(typed)
    assert read[0] == pytest.approx(latitude)
    assert read[1] == (None if longitude is None else pytest.approx(longitude))


@pytest.mark.parametrize(
    ("typed", "readings"),
    [("44 30", "44.5 N or 44 N 30 E"), ("44,5", "44.5 N or 44 N 5 E"), ("-34 18", "34.3 S or 34 S 18 E")],
)
def test_numbers_that_are_two_positions_are_refused_with_both(typed: str, readings: str) -> None:
    with pytest.raises(
        ValueError, match=f'^position "{typed}" may be {readings}; write it with letters, as there$'
    ):
        position(typed)


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ("south", 'position "south" is not a number; write both, such as 44.5 N, 123.2 W or 44.5, -123.2'),
        ("123.2 W", 'position "123.2 W" is a longitude alone; write both'),
        ("44 N 45 N", 'position "44 N 45 N" is not one; write both'),
        ("44.5, -123.2, 7", "is not one; write both"),
    ],
)
def test_what_is_no_position_is_refused_with_what_would_be_right(typed: str, why: str) -> None:
    with pytest.raises(ValueError, match=why.replace(".", r"\.")):
        position(typed)


@given(st.floats(-90, 90), st.floats(-180, 180))
def test_a_position_is_read_back_as_it_is_shown(latitude: float, longitude: float) -> None:
    assert position(position_text(latitude, longitude)) == pytest.approx((latitude, longitude), abs=6e-5)
