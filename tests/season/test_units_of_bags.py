"""What a bag is of, in words."""

import pytest

from calendar_tui.season.wording import unit_text


@pytest.mark.parametrize(
    ("unit", "text"),
    [
        (("A1", "", ""), "A1"),
        (("A1", "south", ""), "A1 south"),
        (("E1", "E1-south", ""), "E1-south"),
        (("A1", "", "2"), "A1, block 2"),
        (("E1", "E1-south", "2"), "E1-south, block 2"),
    ],
)
def test_a_lot_that_names_its_cohort_stands_alone(unit, text):
    assert unit_text(*unit) == text
