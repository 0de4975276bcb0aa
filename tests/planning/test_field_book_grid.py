"""The grid of a field book: places in walking order, what is due on a day, what is asked back of a value, and what never counts."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.planning.field_book.due import rounds, rounds_on
from calendar_tui.planning.field_book.entries import entry_of, questions_of
from calendar_tui.planning.field_book.entry import Entry
from calendar_tui.planning.field_book.findings import offer_of, rises, stand_sum_text, stand_sums, stands
from calendar_tui.planning.field_book.grid import (
    WHOLE,
    day_of_entry,
    earlier_values,
    grid_of,
    walk_of,
    walks_of,
)
from calendar_tui.season.observing import Observation, Variable
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.trials import TrialPlot
from calendar_tui.storage.finding import example_files
from calendar_tui.storage.opening import need_season

DAY = date(2026, 6, 16)
SEASON = need_season(next(file for file in example_files() if file.stem == "north-bench"))[1]
PLOTS = [name for name in SEASON.plots if name != "S1-203"]


def looked(day: date, at: str, value: str, variable: str = "flowering-share") -> Observation:
    return Observation(date=day, at=at, variable=variable, value=value)


def with_looks(*looks: Observation) -> Season:
    """The example without its shares, and with these in their place."""
    kept = [one for one in SEASON.observations if one.variable != "flowering-share"]
    return replace(SEASON, observations=(*kept, *looks))


def asked(season: Season, day: date, at: str, typed: str, variable: str = "flowering-share") -> list[str]:
    return questions_of(season, entry_of(season, day, at, season.variables[variable], typed))


def test_plots_stand_in_walking_order_with_lost_ones_marked_and_no_guard():
    guard = TrialPlot(id="S1-g", trial="S1", row=0, column=1, entry="guard", place="F1")
    season = replace(SEASON, plots={"S1-g": guard, **SEASON.plots})
    grid = grid_of(season, "S1", DAY)
    assert [row.at for row in grid.rows] == list(SEASON.plots)
    assert {row.at: row.lost for row in grid.rows if row.lost} == {
        "S1-203": "lost from 12 Jun: water stood after the storm of 10 June"
    }
    assert {at for at, _ in grid.cells} == set(PLOTS)


def test_a_plot_that_is_lost_later_is_walked_before():
    grid = grid_of(SEASON, "S1", date(2026, 6, 9))
    assert not any(row.lost for row in grid.rows)
    assert ("S1-203", "height") in grid.cells


def test_the_columns_are_what_is_due_on_the_day_or_there():
    assert [one.id for one in grid_of(SEASON, "S1", DAY).variables] == ["height", "width"]
    assert [one.id for one in grid_of(SEASON, "S1", date(2026, 6, 5)).variables] == ["stand"]
    assert [one.id for one in grid_of(SEASON, WHOLE, DAY).variables] == ["flowering-share"]
    assert [one.id for one in grid_of(SEASON, "S1", DAY, ("stand",)).variables] == ["stand"]
    with pytest.raises(Refusal, match='did you mean "height"'):
        grid_of(SEASON, "S1", DAY, ("heigth",))


def test_a_cell_is_due_where_its_round_has_it_on_no_other_day():
    grid = grid_of(SEASON, "S1", date(2026, 6, 10))
    assert grid.due == {("S1-402", "width"), ("S1-301", "stand")}, "what 9 June has is not due on 10 June"


def test_cohorts_as_a_whole_are_those_that_are_there_and_have_no_plots():
    assert walks_of(SEASON, DAY) == ["S1", WHOLE]
    assert [row.at for row in grid_of(SEASON, WHOLE, DAY).rows] == ["E1", "E3", "Q1"]
    per_cohort = Variable(id="cover", unit="%", per="cohort")
    season = replace(SEASON, variables={**SEASON.variables, "cover": per_cohort})
    assert "E2" in [row.at for row in grid_of(season, WHOLE, DAY, ("cover",)).rows]


def test_a_round_is_written_down_on_its_own_day_once_it_is_over():
    by_day = {(one.day, one.variable): one for one in rounds(SEASON)}
    assert day_of_entry(by_day[date(2026, 6, 9), "width"], DAY) == date(2026, 6, 9)
    assert day_of_entry(by_day[DAY, "width"], DAY) == DAY
    assert day_of_entry(by_day[date(2026, 6, 18), "flowering-share"], DAY) == DAY
    assert walk_of(SEASON, by_day[DAY, "width"]) == "S1"


def test_what_was_found_before_is_the_newest_first():
    found = earlier_values(SEASON, "S1-101", "height", DAY)
    assert [(one.date.day, one.value) for one in found] == [(9, "35.2"), (2, "24.4")]


@pytest.mark.parametrize(
    ("typed", "variable", "why"),
    [
        ("840", "height", "840 cm is over 450 cm"),
        ("0.5", "height", "0.5 cm is under 1 cm"),
        ("25", "stand", "25 is over the 24 planted"),
    ],
)
def test_what_is_beyond_is_asked(typed, variable, why):
    (question,) = asked(SEASON, DAY, "S1-101", typed, variable)
    assert question == f"S1-101 {variable}: {why}; is that right?"


def test_a_share_that_falls_is_asked_whichever_is_written_first():
    """80 % and then 20 %: more than other plants being counted."""
    before = with_looks(looked(DAY - timedelta(days=3), "S1-101", "80"))
    (question,) = asked(before, DAY, "S1-101", "20")
    assert question == "S1-101 flowering-share: 20 % falls from 80 % on 13 Jun; is that right?"
    later = with_looks(looked(DAY, "S1-101", "20"))
    (question,) = asked(later, DAY - timedelta(days=3), "S1-101", "80")
    assert question == "S1-101 flowering-share: 80 % comes before 20 % on 16 Jun; is that right?"
    assert asked(before, DAY, "S1-101", "7 of 10") == [], "a plant more or less is no fall"


def test_flowered_before_induced_is_asked():
    induced = Variable(id="induced", unit="%", scale="share", stage="induced")
    season = replace(
        with_looks(looked(DAY, "S1-101", "10", "induced")), variables={**SEASON.variables, "induced": induced}
    )
    (question,) = asked(season, DAY, "S1-101", "60")
    assert "stands against induced 10 % on 16 Jun, as no plant comes to flowering before induced" in question
    other = replace(season, observations=(looked(DAY, "S1-101", "60"),))
    (question,) = asked(other, DAY, "S1-101", "1 of 10", "induced")
    assert "stands against flowering-share 60 % on 16 Jun" in question


def test_a_half_before_a_recorded_stage_or_a_look_without_it_is_asked():
    cohort = replace(SEASON.cohorts["Q1"], not_yet={"flowering": date(2026, 6, 14)}, recorded={})
    season = replace(with_looks(), cohorts={**SEASON.cohorts, "Q1": cohort})
    (question,) = asked(season, date(2026, 6, 12), "Q1", "6 of 10")
    assert "6 of 10 % comes" not in question
    assert "comes before 14 Jun, when Q1 was not yet flowering" in question


def test_rounds_of_one_day_lay_out_no_others():
    assert {one.task.id for one in rounds_on(SEASON, DAY)} < {one.task.id for one in rounds(SEASON)}
    assert [one for one in rounds(SEASON) if one.day <= DAY < one.until] == rounds_on(SEASON, DAY)


# --- what holds of every field book

SHARES = st.lists(
    st.tuples(st.integers(0, 20), st.sampled_from(PLOTS), st.integers(0, 10)),
    max_size=25,
    unique_by=lambda t: t[:2],
)


def _looks(shares: list[tuple[int, str, int]]) -> list[Observation]:
    return [looked(DAY + timedelta(days=n), at, f"{k} of 10") for n, at, k in shares]


@given(shares=SHARES, data=st.data())
def test_the_order_of_rows_changes_nothing(shares, data):
    looks = _looks(shares)
    mixed = data.draw(st.permutations(looks))
    assert rises(with_looks(*looks)) == rises(with_looks(*mixed))
    assert grid_of(with_looks(*looks), "S1", DAY) == grid_of(with_looks(*mixed), "S1", DAY)


@given(shares=SHARES, guarded=st.integers(0, 10))
def test_a_guard_and_a_lost_plot_never_enter_a_share(shares, guarded):
    """Written by hand too: the checks refuse it, and what is worked out leaves it aside."""
    guard = TrialPlot(id="S1-g", trial="S1", row=0, column=1, entry="guard", place="F1", cohort="E2")
    season = with_looks(*_looks(shares))
    beside = [
        looked(DAY + timedelta(days=n), at, f"{guarded} of 10") for n, at in ((3, "S1-g"), (4, "S1-203"))
    ]
    more = replace(
        season, plots={**season.plots, "S1-g": guard}, observations=(*season.observations, *beside)
    )
    assert rises(more) == rises(season)


@given(shares=SHARES)
def test_what_is_offered_lies_between_the_looks_around_a_half(shares):
    """A half lies after the last look under it and not after the first over it; a look is offered as not yet only where it was under."""
    season = with_looks(*_looks(shares))
    for rise in rises(season):
        offer = offer_of(season, rise)
        if rise.half is not None:
            assert rise.half.before.share < 0.5 <= rise.half.after.share
            assert rise.half.before.day < rise.half.likely <= rise.half.after.day
            assert rise.half.first <= rise.half.likely <= rise.half.last
        if offer is not None and offer.not_yet:
            assert rise.shares[-1].share < 0.5
            assert offer.day == rise.shares[-1].day


def test_an_entry_of_a_lost_plot_or_a_guard_is_refused():
    with pytest.raises(Refusal, match="is lost from Fri 12 Jun 2026 on"):
        entry_of(SEASON, DAY, "S1-203", SEASON.variables["height"], "4")
    assert entry_of(SEASON, date(2026, 6, 11), "S1-203", SEASON.variables["height"], "4") == Entry(
        date(2026, 6, 11), "S1-203", "height", "4"
    )


def test_counts_of_the_plots_of_a_cohort_stand_together_without_a_guard_or_what_was_lost():
    """By hand from the file: 11 plots were counted on 5 June, 272 planted in them, 263 alive; S1-203, lost later, is among them."""
    (found,) = stand_sums(SEASON, list(stands(SEASON)))
    assert (found.cohort, found.planned, int(found.recorded), found.plots) == ("E2", 272, 263, 11)
    early = replace(SEASON.plots["S1-203"], lost=date(2026, 6, 5))
    season = replace(SEASON, plots={**SEASON.plots, "S1-203": early})
    (found,) = stand_sums(season, list(stands(season)))
    assert (found.planned, int(found.recorded), found.plots) == (256, 249, 10)
    assert stand_sum_text(found) == "E2 stand: 249 of 256 planned, in 10 plots, by 5 Jun"
