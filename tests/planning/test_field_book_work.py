"""How much work a cell of a large field book is, counted in lines of Python: 192 plots, and thousands of observations beside it."""

from __future__ import annotations

from functools import cache

from calendar_tui.planning.field_book.due import rounds, rounds_on
from calendar_tui.planning.field_book.entries import entry_of, observed_change, questions_of
from calendar_tui.planning.field_book.grid import grid_of
from calendar_tui.season.reading import read_season
from calendar_tui.season.records import Season
from tests.bench.big_season import example_today
from tests.bench.observed_season import TRIAL, observed_data
from tests.counting import lines_run

TODAY = example_today()


@cache
def season(observations: int) -> Season:
    """With the rounds of its chore, which are in the saved tasks."""
    data = observed_data(observations)
    cohort = data["plot"][0]["cohort"]
    data["task"] = [
        {
            "id": f"m{n}",
            "date": day,
            "what": "Measure plots",
            "chore": "measure-plots",
            "cohort": cohort,
            "n": n + 1,
        }
        for n, day in enumerate(sorted({one["date"] for one in observed_data()["observation"]}))
    ]
    read = read_season(data).season
    assert read is not None
    return read


def test_twice_the_observations_are_at_most_twice_the_work_of_a_grid():
    few, more = (season(n) for n in (3000, 6000))
    first, second = (lines_run(lambda s=one: grid_of(s, TRIAL, TODAY)) for one in (few, more))
    assert second < 2.1 * first


def test_what_is_asked_back_of_a_number_looks_at_no_other_observation():
    asked = []
    for one in (season(3000), season(6000)):
        entry = entry_of(one, TODAY, "K1-101", one.variables["height"], "999")
        asked.append(lines_run(lambda s=one, e=entry: questions_of(s, e)))
        assert questions_of(one, entry) == ["K1-101 height: 999 cm is over 400 cm; is that right?"]
    few, more = asked
    assert more <= few + 3100, "but to find what stands in its own cell"


def test_a_change_of_one_cell_is_two_edits_at_most_however_many_stand_beside_it():
    one = season(6000)
    entry = entry_of(one, TODAY, "K1-101", one.variables["height"], "55")
    change, _ = observed_change(one, TODAY, [entry], "Ana")
    assert len(change.edits) == 1


def test_the_rounds_of_one_day_are_a_part_of_the_work_of_all():
    one = season(6000)
    day = one.tasks[-1].date
    assert 5 * lines_run(lambda: rounds_on(one, day)) < 3 * lines_run(lambda: rounds(one))
