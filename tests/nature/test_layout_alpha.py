"""Alpha designs: how efficient an array is, and which of many is kept."""

import numpy
import pytest

from calendar_tui.nature.layouts.alpha import (
    best_array,
    blocks_a_replicate,
    efficiency,
    efficiency_bound,
    incomplete_blocks,
)
from calendar_tui.nature.layouts.shuffle import draws

# Treatments, plots of a block, replicates: efficiency that 400 tries reach, bound (computed).
SIZES = [
    (12, 4, 3, 0.7674, 0.7857),
    (16, 4, 3, 0.7538, 0.7692),
    (24, 4, 3, 0.7265, 0.7541),
    (30, 5, 3, 0.7758, 0.7945),
]


@pytest.mark.parametrize(
    ("treatments", "array", "figure"),
    [
        (12, ((0, 0, 0), (0, 0, 2), (0, 2, 0), (0, 1, 1)), 0.7674),
        (24, ((0, 0, 0), (0, 2, 3), (0, 3, 2), (0, 5, 1)), 0.7265),
    ],
)
def test_the_efficiency_of_an_array(treatments, array, figure):
    """The second is that of a published design of 24 treatments in 3 replicates, too."""
    assert round(efficiency(array, treatments // 4), 4) == figure


@pytest.mark.parametrize(("treatments", "size", "replicates", "reached", "bound"), SIZES)
def test_the_best_of_many_arrays_comes_near_its_bound(treatments, size, replicates, reached, bound):
    blocks = blocks_a_replicate(treatments, size)
    array = best_array(treatments, size, replicates, draws(20261208))
    assert reached <= round(efficiency(array, blocks), 4) <= bound
    assert round(efficiency_bound(treatments, blocks, replicates), 4) == bound


@pytest.mark.parametrize(
    "array", [((0, 0, 0), (0, 1, 2), (0, 2, 1), (0, 1, 1)), ((0, 0), (0, 0), (0, 1), (0, 2))]
)
def test_the_efficiency_is_that_of_all_comparisons(array):
    """Against the harmonic mean of the eigenvalues of the whole design's information matrix, by numpy."""
    blocks, size, replicates = 3, len(array), len(array[0])
    treatments = size * blocks
    design = incomplete_blocks(array, blocks, treatments)
    incidence = numpy.array(
        [[one in block for held in design for block in held] for one in range(treatments)], dtype=float
    )
    information = numpy.eye(treatments) - incidence @ incidence.T / (replicates * size)
    eigenvalues = numpy.sort(numpy.linalg.eigvalsh(information))[1:]
    assert efficiency(array, blocks) == pytest.approx(len(eigenvalues) / (1 / eigenvalues).sum())


def test_an_array_that_repeats_the_same_blocks_compares_nothing_between_them():
    assert efficiency(((0, 0, 0), (0, 0, 0)), 4) == 0


def test_no_more_arrays_are_tried_than_allowed():
    taken = 0
    draw = draws(1)

    def counted():
        nonlocal taken
        taken += 1
        return draw()

    best_array(24, 4, 3, counted, tries=50)
    assert taken == 50 * 3 * 2
