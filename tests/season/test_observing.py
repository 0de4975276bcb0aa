"""What is observed as records: variables with their units, values as they are written, and what must hold of them."""

from __future__ import annotations

import tomllib
from datetime import date
from decimal import Decimal

import pytest

from calendar_tui.season.edits import apply_edits
from calendar_tui.season.observing import amount_of, counted_in, is_below, number_in
from calendar_tui.season.reading import read_season
from calendar_tui.season.references import renaming_edits
from tests.counting import lines_run
from tests.season.test_trials import GUARD, OTHER, PLOT, TRIAL, data

HEIGHT = '{ id = "height", unit = "cm", low = 0, high = 400 }'
FLOWERS = (
    '{ id = "flowers", unit = "%", scale = "share", stage = "flowering", definition = "half the plants" }'
)
STEM = '{ id = "stem", unit = "mm", per = "plant" }'
COLOUR = '{ id = "colour", unit = "1", scale = "mark" }'
STAND = '{ id = "stand", unit = "1", scale = "count" }'
SEEN = '{ date = 2026-12-01, at = "T1-101", variable = "height", value = "84.50", who = "Ana" }'


def farm(*rows, variables=(HEIGHT, FLOWERS, STEM, COLOUR, STAND), plots=(PLOT, OTHER, GUARD)):
    return {
        **data(TRIAL, *plots),
        "variable": [tomllib.loads(f"a = {one}")["a"] for one in variables],
        "observation": [tomllib.loads(f"a = {one}")["a"] for one in rows],
    }


def problems(*rows, **more):
    return [problem.message for problem in read_season(farm(*rows, **more)).problems]


def row(value, variable="height", at="T1-101", key="value"):
    return f'{{ date = 2026-12-01, at = "{at}", variable = "{variable}", {key} = "{value}" }}'


def test_a_value_is_kept_as_it_is_written_and_is_an_exact_number():
    reading = read_season(farm(SEEN, row("12", "stem", "T1-101 3")))
    assert reading.problems == ()
    first, second = reading.season.observations
    assert (first.date, first.value, first.unit, first.plant) == (date(2026, 12, 1), "84.50", "T1-101", None)
    assert number_in(first.value) == Decimal("84.50")
    assert (second.unit, second.plant) == ("T1-101", 3)


def test_many_values_read_as_few_do():
    rows = [
        f'{{ date = 2026-12-01, at = "T1-101 {n}", variable = "stem", value = "{n}" }}' for n in range(1, 80)
    ]
    reading = read_season(farm(*rows))
    assert reading.problems == ()
    assert [one.value for one in reading.season.observations] == [str(n) for n in range(1, 80)]


def test_a_variable_without_a_unit_is_refused():
    (wrong,) = problems(variables=('{ id = "height" }',))
    assert wrong.startswith("the variable has no unit; add unit")
    (empty,) = problems(variables=('{ id = "height", unit = " " }',))
    assert empty == 'unit is " "; write a unit such as "cm" or "%", or "1" where it has none'


@pytest.mark.parametrize(
    ("observed", "wrong"),
    [
        (
            row("tall"),
            '"tall" is no number; write a number such as 84.5, or what is under a limit, such as "<0.05"',
        ),
        (row("4.5", "stand"), '"4.5" is no count; write a whole number, 0 for none'),
        (
            row("11 of 10", "flowers"),
            '"11 of 10" is no share; write a number, or how many of how many, such as 4 of 10',
        ),
        (
            row("1", "width"),
            '"width" is not a variable of this season. Known: height, flowers, stem, colour, stand',
        ),
        (row("1", at="T1-g"), "plot T1-g is a guard, which is never measured"),
        (row("1", at="T1-101 3"), "height is per plot; leave out plant 3"),
        (row("1", "stem"), "stem is of each plant; name the plant behind T1-101, such as T1-101 1"),
        (
            row("not looked", key="state").replace(" }", ', value = "3" }'),
            "it has a value and a state; give one of the two",
        ),
    ],
)
def test_what_cannot_be_is_a_problem_with_what_would_be_right(observed, wrong):
    (found,) = problems(observed)
    assert found.startswith("observation 2026-12-01 T1-")
    assert found.endswith(wrong)


def test_a_plot_that_is_not_there_is_named_with_those_that_are():
    (found,) = problems(row("1", at="T1-111"))
    assert '"T1-111" is neither a plot nor a cohort of this season; did you mean "T1-101"?' in found


def test_a_value_that_stands_twice_is_a_problem():
    (found,) = problems(SEEN, SEEN)
    assert found.endswith("it stands twice for this day; take one of the two out")


def test_not_looked_is_no_value_and_no_zero():
    reading = read_season(farm(row("not looked", key="state")))
    assert reading.problems == ()
    assert (reading.season.observations[0].value, reading.season.observations[0].state) == ("", "not looked")


def test_no_number_is_made_of_what_is_under_a_limit():
    assert is_below("<0.05")
    assert is_below("<LOQ")
    assert number_in("<0.05") is None
    assert amount_of("<0.05", "%") is None


def test_how_many_of_how_many_is_an_exact_share():
    assert counted_in("4 of 10") == (4, 10)
    assert counted_in("0 of 0") is None
    assert amount_of("4 of 10", "%") == Decimal(40)
    assert amount_of("4 of 10", "1") == Decimal("0.4")


def test_a_plot_that_is_renamed_takes_what_was_observed_along():
    held = farm(SEEN, row("12", "stem", "T1-101 3"))
    after = apply_edits(held, renaming_edits(held, "plot", "T1-101", "T1-1"))
    assert [one["at"] for one in after["observation"]] == ["T1-1", "T1-1 3"]
    assert read_season(after).problems == ()


def test_a_chore_that_observes_what_is_no_variable_is_a_problem():
    held = farm()
    held["chore"] = [{"id": "walk", "what": "Walk", "stage": "transplant", "observe": ["height", "hight"]}]
    (found,) = [problem.message for problem in read_season(held).problems]
    assert found.startswith(
        'chore walk: observe "hight" is not a variable of this season; did you mean "height"?'
    )


def many(count):
    rows = [
        {
            "date": date(2026, 12, 1 + n // 240),
            "at": f"T1-101 {n % 240 + 1}",
            "variable": "stem",
            "value": str(n % 97),
        }
        for n in range(count)
    ]
    return {**farm(), "observation": rows}


def read_without(held):
    return read_season(held, without=("observation",))


def test_the_week_of_a_season_with_six_thousand_observations_reads_none_of_them():
    one, more = many(1), many(6000)
    read_without(one)
    assert lines_run(lambda: read_without(more)) <= lines_run(lambda: read_without(one)) + 50
    assert read_without(more).season.observations == ()


def test_a_problem_elsewhere_is_told_where_observations_are_left_alone():
    wrong = many(100)
    wrong["place"][0]["kind"] = "loft"
    wrong["trial"][0]["variety"] = "nowhere"
    whole = [p.message for p in read_season(wrong).problems]
    assert len(whole) == 3
    assert [p.message for p in read_without(wrong).problems] == whole


def test_reading_and_checking_an_observation_takes_a_few_lines_of_work():
    few, more = many(3000), many(6000)
    read_season(few)
    assert lines_run(lambda: read_season(more)) - lines_run(lambda: read_season(few)) < 12 * 3000
