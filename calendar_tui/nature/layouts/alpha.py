"""Alpha designs: many treatments in replicates that are made of incomplete blocks (Patterson and Williams 1976).

An array of numbers, one row for each plot of a block and one column for each replicate, makes the design: treatment
i x s + j stands in block (j + array[i][c]) mod s of replicate c, with s blocks a replicate.
"""

from __future__ import annotations

from cmath import exp
from collections.abc import Sequence
from math import ceil, pi

from calendar_tui.nature.layouts.shuffle import Draw, below

Array = tuple[tuple[int, ...], ...]
TRIES = 400


def blocks_a_replicate(treatments: int, block_size: int) -> int:
    """How many incomplete blocks make one replicate. Raises ValueError where the treatments do not fit the size.

    Where the treatments do not fill the blocks, some blocks have one plot less, none two less.
    """
    if not 2 <= block_size < treatments:
        raise ValueError(
            f"incomplete blocks of {block_size} plots for {treatments} treatments; "
            f"a block has 2 plots or more and fewer than there are treatments"
        )
    blocks = ceil(treatments / block_size)
    if blocks * block_size - treatments > blocks or blocks < 2:
        raise ValueError(
            f"{treatments} treatments make no blocks of {block_size} and {block_size - 1} plots; use another size"
        )
    return blocks


def best_array(treatments: int, block_size: int, replicates: int, draw: Draw, tries: int = TRIES) -> Array:
    """The most efficient of so many arrays at random; fewer tries where one reaches the bound."""
    blocks = blocks_a_replicate(treatments, block_size)
    bound = efficiency_bound(blocks * block_size, blocks, replicates)
    best: tuple[float, Array] = (-1.0, ())
    for _ in range(tries):
        array = _random_array(block_size, replicates, blocks, draw)
        # Rounded, so that of arrays that are as good the first is kept on every machine.
        best = max(best, (round(efficiency(array, blocks), 9), array), key=lambda one: one[0])
        if best[0] >= bound - 1e-8:
            break
    return best[1]


def _random_array(block_size: int, replicates: int, blocks: int, draw: Draw) -> Array:
    """With zeros in the first row and column: to begin elsewhere only names the blocks anew."""
    free = [[below(blocks, draw) for _ in range(replicates - 1)] for _ in range(block_size - 1)]
    return ((0,) * replicates, *((0, *row) for row in free))


def incomplete_blocks(array: Array, blocks: int, treatments: int) -> list[list[list[int]]]:
    """By replicate and block, the treatments in it, from 0. Those past the last one are left out."""
    design: list[list[list[int]]] = [[[] for _ in range(blocks)] for _ in array[0]]
    for i, row in enumerate(array):
        for j in range(blocks):
            if i * blocks + j < treatments:
                for replicate, shift in enumerate(row):
                    design[replicate][(j + shift) % blocks].append(i * blocks + j)
    return design


def efficiency(array: Array, blocks: int) -> float:
    """The harmonic mean efficiency of comparisons, 0 to 1, against complete blocks of the same spread; 0 if disconnected.

    From how blocks share treatments, not treatments blocks: with s blocks a replicate that table falls apart into s small
    ones, one for each frequency, because an alpha design only shifts. Where treatments do not fill the blocks it is that of
    the full design, which is close: a block misses one plot at most.
    """
    size, replicates = len(array), len(array[0])
    full = size * blocks
    # Frequency 0: one for the mean of all, which compares nothing; the rest are whole.
    inverse_sum = float(full - blocks * replicates + replicates - 1)
    for frequency in range(1, blocks):
        trace = _inverse_trace(_lost(array, blocks, frequency), replicates)
        if trace is None:
            return 0.0
        inverse_sum += trace
    return (full - 1) / inverse_sum


def _lost(array: Array, blocks: int, frequency: int) -> list[list[complex]]:
    """I - M / (r k), where M has how the blocks of two replicates share treatments, at one frequency."""
    size, replicates = len(array), len(array[0])
    turn = [exp(2j * pi * frequency * shift / blocks) for shift in range(blocks)]
    matrix = [[0j] * replicates for _ in range(replicates)]
    for one in range(replicates):
        for other in range(replicates):
            shared = sum(turn[(row[one] - row[other]) % blocks] for row in array)
            matrix[one][other] = (one == other) - shared / (replicates * size)
    return matrix


def _inverse_trace(matrix: Sequence[list[complex]], size: int) -> float | None:
    """The sum of the diagonal of the inverse, by Gauss and Jordan; None where there is no inverse."""
    rows = [[*matrix[i], *(1 + 0j if i == j else 0j for j in range(size))] for i in range(size)]
    for pivot in range(size):
        largest = max(range(pivot, size), key=lambda i: abs(rows[i][pivot]))
        if abs(rows[largest][pivot]) < 1e-9:
            return None
        rows[pivot], rows[largest] = rows[largest], rows[pivot]
        head = rows[pivot][pivot]
        rows[pivot] = [figure / head for figure in rows[pivot]]
        for i in range(size):
            if i != pivot:
                factor = rows[i][pivot]
                rows[i] = [a - factor * b for a, b in zip(rows[i], rows[pivot], strict=True)]
    return sum(rows[i][size + i].real for i in range(size))


def efficiency_bound(treatments: int, blocks: int, replicates: int) -> float:
    """What no resolvable design of this size exceeds (Patterson and Williams 1976)."""
    without = (treatments - 1) * (replicates - 1)
    return without / (without + replicates * (blocks - 1))
