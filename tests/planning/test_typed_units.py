"""A typed result that would be of another unit is asked about: % or mg/g?"""

from __future__ import annotations

from datetime import date

import pytest

from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.results_in import record_result
from calendar_tui.planning.plan import make_plan
from calendar_tui.season.reading import read_season
from tests.planning.cut_farm import IDS, TODAY, cut_data

SAMPLES = [
    {"id": IDS[0], "date": date(2027, 3, 26), "cohort": "A1", "position": "top", "laboratory": "lab"},
    {"id": IDS[1], "date": date(2027, 4, 2), "cohort": "A1", "position": "top", "laboratory": "lab"},
]
LAST = {"id": "r0", "date": date(2027, 3, 30), "sample": IDS[0], "found": {"THC": "0.02", "THCA": "0.100"}}


def asked(thc, thca, unit=None, laboratory_unit="", results=(LAST,)):
    data = cut_data(sample=SAMPLES, result=[*results])
    if laboratory_unit:
        data["laboratory"] = [one | {"unit": laboratory_unit} for one in data["laboratory"]]
    reading = read_season(data)
    plan = make_plan(reading.season, TODAY)
    typed = {"amount of THC": thc, "amount of THCA": thca} | ({"unit": unit} if unit else {})
    return record_result(HeldSeason(plan, data, "day-first", reading), IDS[1], typed).questions


def test_no_unit_typed_while_the_laboratorys_file_is_in_another_is_asked_about():
    (text,) = asked("0.12", "2.31", laboratory_unit="mg/g", results=())
    assert text.startswith("% or mg/g? no unit is typed, and the files of lab are in mg/g")
    assert "2.1459 % as typed, 0.2146 % in mg/g" in text
    assert asked("0.12", "0.31", unit="mg/g", laboratory_unit="mg/g", results=()) == ()
    assert asked("0.12", "0.31", unit="%", laboratory_unit="mg/g", results=()) == ()
    assert asked("0.02", "0.31", laboratory_unit="%", results=()) == ()


def test_a_total_over_5_percent_is_asked_about_in_whatever_unit():
    (text,) = asked("12", "99", results=())
    assert "% or mg/g?" in text
    assert "is over 5 %" in text
    (text,) = asked("12", "99", unit="mg/g", results=())
    assert "is over 5 %" in text
    assert asked("0.1", "4", results=()) == ()


def test_ten_times_the_last_of_that_lot_and_position_is_asked_about():
    (text,) = asked("0.12", "2.31")
    assert "ten times" in text
    assert "0.1077 %" in text
    assert asked("0.12", "0.31") == ()


def test_all_that_speaks_for_another_unit_is_one_question():
    assert len(asked("12", "99", laboratory_unit="mg/g")) == 1


@pytest.mark.parametrize("thca", ["ND", "<0.05"])
def test_what_is_under_a_limit_is_not_asked_about(thca):
    assert asked("0.02", thca) == ()
