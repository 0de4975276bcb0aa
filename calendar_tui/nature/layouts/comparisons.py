"""What a design lets be compared: each factor, of how many plots its means are, and what error they are held against."""

from __future__ import annotations

from dataclasses import dataclass
from math import prod

from calendar_tui.nature.layouts.alpha import best_array, blocks_a_replicate, efficiency
from calendar_tui.nature.layouts.designs import (
    ALPHA,
    AUGMENTED,
    COMPLETE,
    LATIN,
    SPLIT,
    SPLIT_SPLIT,
    STRIP,
    Wanted,
    layers,
)
from calendar_tui.nature.layouts.shuffle import draws

_NESTED = (SPLIT, SPLIT_SPLIT)


@dataclass(frozen=True, slots=True)
class Comparison:
    """what: the factors whose levels are compared. plots: of one mean, in effect. error_df: of the error it is held against.

    coarse: whether that error is of main plots or strips, which as a rule scatter more than plots do.
    """

    what: str
    plots: float
    error_df: int
    coarse: bool = False


def comparisons(wanted: Wanted) -> list[Comparison]:
    """Each factor, and where several are drawn together their combinations. Raises ValueError as `layers` does."""
    if wanted.design == AUGMENTED:
        return _augmented(wanted)
    if wanted.design == ALPHA:
        return [_alpha(wanted)]
    return [one for number in range(len(layers(wanted))) for one in _of_layer(wanted, number)]


def _of_layer(wanted: Wanted, number: int) -> list[Comparison]:
    """The factors of one layer; the combinations of all where they share it."""
    sizes = [len(treatments) for treatments in layers(wanted)]
    last = number == len(sizes) - 1
    factors = wanted.factors[number:] if last else wanted.factors[number : number + 1]
    error_df = _error_df(wanted, sizes, number)
    coarse = wanted.design == STRIP or not last
    total = wanted.blocks * prod(sizes)
    single = [Comparison(name, total / len(levels), error_df, coarse) for name, levels in factors]
    if len(factors) == 1:
        return single
    together = " x ".join(name for name, _ in factors)
    return [*single, Comparison(together, total / sizes[number], error_df, coarse)]


def _error_df(wanted: Wanted, sizes: list[int], number: int) -> int:
    size, blocks = sizes[number], wanted.blocks
    if wanted.design == COMPLETE:
        return size * (blocks - 1)
    if wanted.design == LATIN:
        return (size - 1) * (size - 2)
    coarser = prod(sizes[:number]) if wanted.design in _NESTED else 1
    return coarser * (size - 1) * (blocks - 1)


def _augmented(wanted: Wanted) -> list[Comparison]:
    """Two checks; two new ones of one block, which share its level; two of different blocks, each level known by its checks."""
    ((factor, _),) = wanted.factors
    checks = len(wanted.checks)
    error_df = (checks - 1) * (wanted.blocks - 1)
    return [
        Comparison(f"{factor}, checks", wanted.blocks, error_df),
        Comparison(f"{factor}, new ones in one block", 1, error_df),
        Comparison(f"{factor}, new ones in two blocks", checks / (checks + 1), error_df),
    ]


def _alpha(wanted: Wanted) -> Comparison:
    """By its efficiency: as many plots of a complete block design would serve as well."""
    (treatments,) = layers(wanted)
    count, replicates = len(treatments), wanted.blocks
    blocks = blocks_a_replicate(count, wanted.block_size)
    array = best_array(count, wanted.block_size, replicates, draws(wanted.seed))
    error_df = count * replicates - count - replicates * blocks + 1
    what = " x ".join(name for name, _ in wanted.factors)
    return Comparison(what, replicates * efficiency(array, blocks), error_df)


def df_of_places(levels: int, places_a_level: int) -> int:
    """Degrees of freedom of the error of a factor that a whole place gets, such as light: 0 for one place a level, no test."""
    return levels * (places_a_level - 1)
