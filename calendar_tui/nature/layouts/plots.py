"""A plot as a design has it: which treatment, in which block, in which part of it. Where it lies is settled by `grid.py`."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import product

TEST, CHECK, GUARD = ENTRIES = ("test", "check", "guard")

Factors = tuple[tuple[str, tuple[str, ...]], ...]
"""Each factor's name and its levels, from the one that is hardest to change to the easiest."""
Treatment = tuple[tuple[str, str], ...]
"""Each factor's name and the level of it that a plot gets."""


@dataclass(frozen=True, slots=True)
class Plot:
    """block: from 1. place: its place in the block, from 0, in the order of the ground. treatment: () for a guard.

    parts: the numbers, from 1, of what holds it within the block, the largest first: the main plot, then the sub-plot; the
    incomplete block; of a strip design the strip of the first factor and that of the second. () where a block has no parts.
    """

    block: int
    place: int
    treatment: Treatment
    parts: tuple[int, ...] = ()
    entry: str = TEST


def combinations(factors: Factors) -> list[Treatment]:
    """Every level of each with every level of the others; [()] of no factor."""
    named = ([(name, level) for level in levels] for name, levels in factors)
    return [tuple(one) for one in product(*named)]


def in_block(block: int, order: Iterable[tuple[tuple[int, ...], Treatment, str]]) -> list[Plot]:
    """The plots of one block, from their parts, treatments and entries in the order of the ground."""
    return [Plot(block, place, one, parts, entry) for place, (parts, one, entry) in enumerate(order)]
