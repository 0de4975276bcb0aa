"""A plot's ground, and where plots lie and are numbered."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.nature.layouts.designs import AUGMENTED, BLOCKS, LATIN, SPLIT, STRIP, Wanted
from calendar_tui.nature.layouts.grid import ACROSS, AWAY, BACK_RIGHT, CORNERS, DIRECTIONS, FRONT_LEFT, Walk
from calendar_tui.nature.layouts.ground import Ground
from calendar_tui.nature.layouts.laid_out import lay_out
from calendar_tui.nature.layouts.plots import GUARD

DATES = ("date", ("D1", "D2", "D3"))
VARIETIES = ("variety", ("A", "B", "C"))


def wanted(design=BLOCKS, factors=(VARIETIES,), blocks=3, **more):
    return Wanted(design=design, factors=factors, blocks=blocks, seed=5, **more)


def rows(plots):
    """Numbers as a map has them, the furthest row first; 0 for a guard."""
    at = {(one.row, one.column): one.number for one in plots}
    deep, wide = max(row for row, _ in at), max(column for _, column in at)
    return [[at[row, column] for column in range(1, wide + 1)] for row in range(deep, 0, -1)]


# --- the ground of a plot


def test_four_rows_of_nine_plants_have_ten_to_measure():
    plot = Ground(rows=4, plants=9, spacing_m=(1.5, 0.6))
    assert (plot.planted, plot.measured, plot.measured_rows, plot.measured_in_a_row) == (36, 10, 2, 5)
    assert plot.width_m == pytest.approx(6.0)
    assert plot.length_m == pytest.approx(5.4)
    assert plot.area_m2 == pytest.approx(32.4)
    assert plot.measured_m2 == pytest.approx(9.0)


def test_another_spacing_keeps_the_ground_and_moves_the_guards_with_it():
    plot = Ground(rows=4, plants=12, spacing_m=(1.5, 0.6)).at((1.5, 0.9))
    assert (plot.rows, plot.plants, plot.measured, plot.spacing_m) == (4, 8, 8, (1.5, 0.9))
    assert Ground(rows=4, plants=12, spacing_m=(1.5, 0.6)).at((1.0, 0.6)).rows == 6


@pytest.mark.parametrize(
    ("figures", "message"),
    [
        (
            {"rows": 2},
            "2 rows of 9 plants leaves no plant to measure: guard rows are 1 on each side, guard plants 2 at each end",
        ),
        ({"plants": 4}, "leaves no plant to measure"),
        ({"rows": 0}, "a plot of 0 rows of 9 plants at 1.5 x 0.6 m; each must be over 0"),
        ({"spacing_m": (1.5, 0)}, "at 1.5 x 0 m; each must be over 0"),
        ({"guard_rows": -1}, "must be 0 or more"),
    ],
)
def test_a_plot_with_nothing_to_measure_is_refused(figures, message):
    with pytest.raises(ValueError, match=message):
        Ground(**{"rows": 4, "plants": 9, "spacing_m": (1.5, 0.6)} | figures)


# --- numbers and the grid


def test_numbers_run_back_and_forth_from_the_corner():
    assert rows(lay_out(wanted(), Walk())) == [[301, 302, 303], [203, 202, 201], [101, 102, 103]]


def test_the_walk_may_begin_at_the_far_right():
    assert rows(lay_out(wanted(), Walk(corner=BACK_RIGHT))) == [
        [103, 102, 101],
        [201, 202, 203],
        [303, 302, 301],
    ]


def test_the_walk_may_go_away_from_the_gate_first():
    assert rows(lay_out(wanted(), Walk(direction=AWAY))) == [
        [103, 201, 303],
        [102, 202, 302],
        [101, 203, 301],
    ]


def test_a_block_may_lie_in_several_lines():
    plots = lay_out(wanted(SPLIT, (DATES, VARIETIES), blocks=2), Walk(columns=3))
    assert rows(plots)[-3:] == [[107, 108, 109], [106, 105, 104], [101, 102, 103]]
    assert rows(plots)[0] == [209, 208, 207]


def test_lines_that_would_tear_a_main_plot_apart_are_refused():
    with pytest.raises(
        ValueError, match="lines of 4 plots tear main plot or incomplete block 2 of block 1 apart"
    ):
        lay_out(wanted(SPLIT, (DATES, VARIETIES), blocks=2), Walk(columns=4))


@pytest.mark.parametrize("design", [LATIN, STRIP])
def test_a_square_and_strips_have_lines_of_their_own_length(design):
    factors = (DATES, VARIETIES) if design == STRIP else (VARIETIES,)
    plots = lay_out(wanted(design, factors), Walk())
    assert max(one.column for one in plots) == 3
    with pytest.raises(ValueError, match=f'lines of 2 plots; a trial of design "{design}" has 3 in a line'):
        lay_out(wanted(design, factors), Walk(columns=2))


def test_places_that_no_plot_fills_and_a_border_are_guards():
    names = tuple("ABCDefghijkl")
    plots = lay_out(wanted(AUGMENTED, (("variety", names),), checks=tuple("ABCD")), Walk(columns=4, border=1))
    guards = [one for one in plots if one.plot.entry == GUARD]
    assert len(plots) == 8 * 6
    assert len(guards) == 48 - 20
    assert {one.number for one in guards} == {0}
    assert {one.plot.treatment for one in guards} == {()}
    assert min(one.row for one in plots if one.number) == 2


def test_blocks_of_over_99_plots_are_numbered_by_thousands():
    names = tuple(f"V{number}" for number in range(100))
    numbers = [
        one.number for one in lay_out(wanted(factors=(("variety", names),), blocks=2), Walk(columns=20))
    ]
    assert (numbers[0], numbers[99], numbers[100]) == (1001, 1100, 2001)


@given(
    corner=st.sampled_from(CORNERS),
    direction=st.sampled_from(DIRECTIONS),
    columns=st.integers(0, 4),
    border=st.integers(0, 2),
    blocks=st.integers(1, 4),
)
def test_whoever_walks_by_number_takes_one_step_at_a_time(corner, direction, columns, border, blocks):
    """Each plot lies beside the one before; where the last line of a block is short, at most its gap away."""
    walk = Walk(corner=corner, direction=direction, columns=columns, border=border)
    plots = lay_out(wanted(factors=(("variety", tuple("ABCD")),), blocks=blocks), walk)
    numbered = [one for one in plots if one.number]
    assert [one.number for one in numbered] == sorted(one.number for one in numbered)
    assert len({(one.row, one.column) for one in plots}) == len(plots)
    steps = [abs(one.row - other.row) + abs(one.column - other.column) for one, other in pairwise(numbered)]
    assert set(steps) <= ({1} if columns != 3 else {1, 2, 3})


def test_where_the_blocks_lie_hangs_on_the_walk_and_what_is_in_them_does_not():
    along, away = (lay_out(wanted(), Walk(direction=direction)) for direction in (ACROSS, AWAY))
    assert [one.plot for one in along] != []
    assert {(one.plot.block, one.plot.place): one.plot for one in along} == {
        (one.plot.block, one.plot.place): one.plot for one in away
    }


@pytest.mark.parametrize(
    ("setting", "message"),
    [
        (
            {"corner": "left"},
            'corner is "left"; write one of: front left, front right, back left, back right',
        ),
        ({"direction": "up"}, 'direction is "up"; write one of: across, away'),
        ({"columns": -1}, "columns and border must be 0 or more"),
    ],
)
def test_a_walk_that_makes_no_sense_is_refused(setting, message):
    with pytest.raises(ValueError, match=message):
        Walk(**{"corner": FRONT_LEFT} | setting)
