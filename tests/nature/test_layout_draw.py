"""Trials drawn by a seed: the shuffle, and each design's plots."""

from collections import Counter
from itertools import pairwise, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.nature.layouts.designs import (
    ALPHA,
    AUGMENTED,
    BLOCKS,
    COMPLETE,
    LATIN,
    NO_TWICE_IN_A_COLUMN,
    SPLIT,
    SPLIT_SPLIT,
    STRIP,
    Wanted,
    draw_plots,
)
from calendar_tui.nature.layouts.plots import CHECK, TEST, combinations
from calendar_tui.nature.layouts.shuffle import draws, shuffled

SEED = 20261208
DATES = ("date", ("D1", "D2", "D3"))
VARIETIES = ("variety", ("A", "B", "C"))
SPACINGS = ("spacing", ("wide", "close"))


def wanted(design, *factors, blocks=3, **more):
    return Wanted(design=design, factors=factors, blocks=blocks, **{"seed": SEED, **more})


def by_block(plots):
    """The levels of each plot, joined, block by block."""
    rows = {}
    for plot in plots:
        rows.setdefault(plot.block, []).append("".join(level for _, level in plot.treatment))
    return list(rows.values())


def test_the_first_figures_of_the_seed():
    """Measured with two versions of Python."""
    draw = draws(SEED)
    assert [round(draw(), 10) for _ in range(5)] == [
        0.511032672,
        0.6730981621,
        0.5357006106,
        0.6752716181,
        0.3164078453,
    ]


def test_five_treatments_in_four_blocks():
    """Two equal blocks come by chance, and are left."""
    plots = draw_plots(wanted(BLOCKS, ("variety", tuple("ABCDE")), blocks=4))
    assert [" ".join(row) for row in by_block(plots)] == [
        "A D B E C",
        "D E A C B",
        "A D B E C",
        "D A B E C",
    ]


def test_varieties_are_drawn_within_each_date_of_a_split_plot():
    plots = draw_plots(wanted(SPLIT, DATES, VARIETIES))
    rows = by_block(plots)
    assert [[(main[0][:2], "".join(one[2:] for one in main)) for main in _threes(row)] for row in rows] == [
        [("D1", "ACB"), ("D3", "CBA"), ("D2", "CBA")],
        [("D1", "ACB"), ("D3", "ACB"), ("D2", "CAB")],
        [("D2", "BCA"), ("D3", "BAC"), ("D1", "ABC")],
    ]
    assert [plot.parts for plot in plots[:4]] == [(1,), (1,), (1,), (2,)]


def _threes(row):
    return [row[at : at + 3] for at in range(0, len(row), 3)]


def test_a_shuffle_keeps_what_it_shuffles_and_gives_every_order_as_often():
    draw = draws(1)
    orders = Counter("".join(shuffled("ABC", draw)) for _ in range(6000))
    assert set(orders) == {"ABC", "ACB", "BAC", "BCA", "CAB", "CBA"}
    assert all(850 < count < 1150 for count in orders.values()), orders


@pytest.mark.parametrize(
    ("design", "factors", "blocks"),
    [
        (COMPLETE, (VARIETIES,), 4),
        (BLOCKS, (DATES, SPACINGS), 4),
        (LATIN, (VARIETIES,), 3),
        (SPLIT, (DATES, VARIETIES, SPACINGS), 3),
        (SPLIT_SPLIT, (DATES, VARIETIES, SPACINGS), 3),
        (STRIP, (DATES, VARIETIES), 3),
    ],
)
@given(seed=st.integers(0, 10**9))
def test_every_treatment_comes_once_a_block(design, factors, blocks, seed):
    plots = draw_plots(wanted(design, *factors, blocks=blocks, seed=seed))
    assert Counter(plot.treatment for plot in plots) == dict.fromkeys(combinations(factors), blocks)
    if design != COMPLETE:
        assert set(Counter((plot.block, plot.treatment) for plot in plots).values()) == {1}
    assert plots == draw_plots(wanted(design, *factors, blocks=blocks, seed=seed))


@given(seed=st.integers(0, 10**9))
def test_a_main_plot_has_one_level_of_the_first_factor_and_a_sub_plot_one_of_the_second(seed):
    plots = draw_plots(wanted(SPLIT_SPLIT, DATES, VARIETIES, SPACINGS, seed=seed))
    assert len({(plot.block, plot.parts[0], plot.treatment[0]) for plot in plots}) == 3 * 3
    assert len({(plot.block, plot.parts, plot.treatment[:2]) for plot in plots}) == 3 * 9
    places = [(plot.block, plot.parts) for plot in plots]
    assert places == sorted(places)


@given(seed=st.integers(0, 10**9), size=st.integers(2, 7))
def test_a_latin_square_has_each_treatment_once_in_each_row_and_column(seed, size):
    plots = draw_plots(wanted(LATIN, ("variety", tuple("ABCDEFG"[:size])), blocks=size, seed=seed))
    for line in ("block", "place"):
        assert set(Counter((getattr(plot, line), plot.treatment) for plot in plots).values()) == {1}


@given(seed=st.integers(0, 10**9))
def test_strips_run_right_through_a_block_both_ways(seed):
    plots = draw_plots(wanted(STRIP, DATES, VARIETIES, seed=seed))
    for plot in plots:
        column, row = plot.parts
        assert plot.place == (row - 1) * 3 + column - 1
    assert len({(plot.block, plot.parts[0], plot.treatment[0]) for plot in plots}) == 9
    assert len({(plot.block, plot.parts[1], plot.treatment[1]) for plot in plots}) == 9


@given(seed=st.integers(0, 10**9))
def test_checks_stand_in_every_block_and_the_new_ones_once(seed):
    names = tuple("ABCDefghijkl")
    plots = draw_plots(wanted(AUGMENTED, ("variety", names), blocks=3, checks=tuple("ABCD"), seed=seed))
    counts = Counter(plot.treatment[0][1] for plot in plots)
    assert counts == dict.fromkeys("ABCD", 3) | dict.fromkeys("efghijkl", 1)
    assert {plot.treatment[0][1] for plot in plots if plot.entry == CHECK} == set("ABCD")
    assert {plot.entry for plot in plots} == {CHECK, TEST}
    assert sorted(Counter(plot.block for plot in plots).values()) == [6, 7, 7]


@pytest.mark.parametrize(("treatments", "size"), [(12, 4), (11, 4), (24, 4), (9, 3)])
def test_each_replicate_of_an_alpha_design_has_every_treatment_and_its_blocks_are_full(treatments, size):
    names = tuple(f"V{number}" for number in range(treatments))
    plots = draw_plots(wanted(ALPHA, ("variety", names), block_size=size))
    assert set(Counter((plot.block, plot.treatment) for plot in plots).values()) == {1}
    assert len(plots) == 3 * treatments
    sizes = Counter((plot.block, plot.parts) for plot in plots)
    assert set(sizes.values()) <= {size, size - 1}
    together = Counter(
        frozenset(pair)
        for block in sizes
        for pair in product([p.treatment for p in plots if (p.block, p.parts) == block], repeat=2)
        if pair[0] < pair[1]
    )
    assert max(together.values()) <= 2


@pytest.mark.slow
@pytest.mark.parametrize(
    ("design", "factors"),
    [(BLOCKS, (DATES, SPACINGS)), (SPLIT, (DATES, VARIETIES)), (STRIP, (DATES, VARIETIES))],
)
@given(seed=st.integers(0, 10**9))
def test_no_treatment_comes_twice_in_a_column_where_that_was_stated(design, factors, seed):
    plots = draw_plots(wanted(design, *factors, restriction=NO_TWICE_IN_A_COLUMN, seed=seed))
    places = 1 if design == BLOCKS else 3
    column = (lambda plot: plot.place % 3) if design == STRIP else (lambda plot: plot.place // places)
    first = len(factors) if design == BLOCKS else 1
    counted = {(column(plot), plot.block, plot.treatment[:first]) for plot in plots}
    assert set(Counter((where, what) for where, _, what in counted).values()) == {1}


def test_without_a_restriction_a_treatment_may_stand_twice_in_a_column():
    rows = by_block(draw_plots(wanted(BLOCKS, VARIETIES, blocks=3)))
    assert any(
        one == other for row, next_row in pairwise(rows) for one, other in zip(row, next_row, strict=True)
    )


@pytest.mark.parametrize(
    ("trial", "message"),
    [
        (
            wanted("checkerboard", VARIETIES),
            r'design is "checkerboard"; write one of: completely randomised, ',
        ),
        (wanted(SPLIT, VARIETIES), "a split plot design has 2 factors or more; the trial has 1"),
        (wanted(BLOCKS, ("variety", ("A",))), "variety has the levels A; two or more, each once"),
        (wanted(BLOCKS, ("variety", ("A", "A"))), "variety has the levels A, A; two or more, each once"),
        (wanted(BLOCKS, VARIETIES, blocks=0), "blocks is 0; it must be 1 or more"),
        (wanted(LATIN, VARIETIES, blocks=4), "of 3 treatments has 3 blocks, its rows; the trial has 4"),
        (wanted(AUGMENTED, VARIETIES), "checks are not set; an augmented design has some levels of variety"),
        (wanted(AUGMENTED, VARIETIES, checks=("A", "B", "C")), "checks are A, B, C; an augmented design"),
        (wanted(AUGMENTED, DATES, VARIETIES, checks=("A",)), "augmented takes 1 factor; the trial has 2"),
        (wanted(ALPHA, VARIETIES, block_size=3), "incomplete blocks of 3 plots for 3 treatments"),
        (
            wanted(ALPHA, ("v", tuple("ABCDEFGHIJ")), block_size=9),
            "10 treatments make no blocks of 9 and 8 plots",
        ),
        (
            wanted(ALPHA, ("v", tuple("ABCDEF")), block_size=2, blocks=1),
            "has 2 replicates or more; blocks is 1",
        ),
        (
            wanted(BLOCKS, VARIETIES, restriction="pretty"),
            'restriction is "pretty"; write one of: no treatment tw',
        ),
        (
            wanted(BLOCKS, VARIETIES, blocks=4, restriction=NO_TWICE_IN_A_COLUMN),
            "with 3 columns allows 3 blocks at most; the trial has 4",
        ),
        (wanted(LATIN, VARIETIES, restriction=NO_TWICE_IN_A_COLUMN), "takes no restriction; leave it away"),
    ],
)
def test_a_trial_that_its_design_cannot_have_is_refused(trial, message):
    with pytest.raises(ValueError, match=message):
        draw_plots(trial)
