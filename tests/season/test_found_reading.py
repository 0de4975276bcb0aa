"""What a laboratory or a label writes is kept to the last figure; what cannot be is answered with what would be right."""

from __future__ import annotations

import tomllib
from datetime import date

import pytest

from calendar_tui.season.field_names import find_field
from calendar_tui.season.found_reading import amount, figure, wait
from calendar_tui.season.readers import Unreadable
from calendar_tui.season.reading import read_season
from calendar_tui.season.typed_values import NotRight, Typing, plain_value
from tests.storage.three_versions import BASE


@pytest.mark.parametrize(
    ("value", "kept"),
    [
        ("0.050", "0.050"),
        (0.05, "0.05"),
        (0.00001, "0.00001"),
        (3, "3"),
        ("<0.05", "<0.05"),
        ("<LOQ", "<LOQ"),
        ("ND", "ND"),
        ("BLOQ", "BLOQ"),
        ("n.d.", "n.d."),
        ("Not detected", "Not detected"),
        ("below LOQ", "below LOQ"),
        ("≤0.05", "≤0.05"),
    ],
)
def test_an_amount_is_kept_as_it_is_written(value, kept):
    assert amount(value) == kept


@pytest.mark.parametrize(
    ("value", "right"),
    [
        ("0,05", "write a point before the decimals: 0.05"),
        ("-0.1", "cannot be under 0"),
        (-0.1, "cannot be under 0"),
        ("about 0.3", "write a number or what is under a limit"),
        ("<0,05", "write a number or what is under a limit"),
        ("<0.05 mg/g", "write a number or what is under a limit"),
        ("not tested", "write a number or what is under a limit"),
        (">20", "write a number or what is under a limit"),
        ("1e-3", "write a number"),
        (float("nan"), "write a number"),
        (True, "write a number"),
        ([1], "write a number"),
        ("", "write a number"),
    ],
)
def test_what_is_no_amount_is_told_with_what_would_be_right(value, right):
    with pytest.raises(Unreadable, match=right):
        amount(value)


def test_a_figure_has_no_limit():
    assert figure("0.03") == "0.03"
    with pytest.raises(Unreadable, match="write a number"):
        figure("<0.03")


@pytest.mark.parametrize("value", ["12 h", "12h", "2 d", "0 d", "1.5 h"])
def test_a_wait_is_hours_or_days(value):
    assert wait(value) == value


@pytest.mark.parametrize(
    ("value", "right"),
    [
        ("12", "with their unit"),
        ("12 minutes", "with their unit"),
        ("until dry", "with their unit"),
        ("-4 h", "cannot be under 0"),
        ("", "with their unit"),
    ],
)
def test_a_wait_without_its_unit_is_refused(value, right):
    with pytest.raises(Unreadable, match=right):
        wait(value)


def test_what_is_typed_for_an_amount_keeps_its_last_zero(small):
    field = find_field("result", "amount of THC")
    assert plain_value(field, "0.050", small) == "0.050"
    assert plain_value(field, "<0.05", small) == "<0.05"
    with pytest.raises(NotRight, match="write a point before the decimals"):
        plain_value(field, "0,05", small)


@pytest.fixture
def small() -> Typing:
    season = read_season(tomllib.loads(BASE)).season
    assert season is not None
    return Typing(season, date(2026, 12, 8))
