"""Designs of field trials: which treatments are drawn into which plots, by one table of designs.

Factors stand in a design from the one that is hardest to change to the easiest: a planting date before a variety before a
spacing. In a split plot the first is that of the main plots and all others together that of the sub-plots; in a split-split
plot the first two have plots of their own; in a strip plot the first lies across the second.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

from calendar_tui.nature.layouts.alpha import best_array, blocks_a_replicate, incomplete_blocks
from calendar_tui.nature.layouts.plots import CHECK, TEST, Factors, Plot, Treatment, combinations, in_block
from calendar_tui.nature.layouts.shuffle import Draw, draws, shuffled
from calendar_tui.nature.layouts.squares import latin_square

COMPLETE, BLOCKS, LATIN = "completely randomised", "blocks", "latin square"
SPLIT, SPLIT_SPLIT, STRIP = "split plot", "split-split plot", "strip plot"
AUGMENTED, ALPHA = "augmented", "alpha"
NO_TWICE_IN_A_COLUMN = "no treatment twice in a column"
RESTRICTIONS = (NO_TWICE_IN_A_COLUMN,)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """A trial to be drawn.

    blocks: complete blocks, or replicates where there are none. checks: of an augmented design, the levels that every block
    has. block_size: plots of an incomplete block, of an alpha design. restriction: "" or one of RESTRICTIONS, which must be
    settled before the draw.
    """

    design: str
    factors: Factors
    blocks: int
    seed: int
    checks: tuple[str, ...] = ()
    block_size: int = 0
    restriction: str = ""


@dataclass(frozen=True, slots=True)
class Design:
    """layers: into how many sets of factors it is split; draw: its plots; columns: of a block, where the design fixes them.

    can_restrict: whether RESTRICTIONS may hold. most: the most factors that it takes, 0 for any number.
    """

    layers: int
    draw: Callable[[Wanted, list[list[Treatment]], Draw], list[Plot]]
    columns: Callable[[list[list[Treatment]]], int] | None = None
    can_restrict: bool = False
    most: int = 0


def layers(wanted: Wanted) -> list[list[Treatment]]:
    """The treatments of each layer of the design: factors one by one, all that are left together in the last.

    Raises ValueError where the design is not known, or has too few or too many factors.
    """
    design = design_named(wanted.design)
    _refuse_odd_factors(wanted, design)
    ends = [*range(design.layers), len(wanted.factors)]
    return [combinations(wanted.factors[begin:end]) for begin, end in pairwise(ends)]


def design_named(name: str) -> Design:
    """Raises ValueError for a name that is not in DESIGNS."""
    if name not in DESIGNS:
        raise ValueError(f'design is "{name}"; write one of: {", ".join(DESIGNS)}')
    return DESIGNS[name]


def _refuse_odd_factors(wanted: Wanted, design: Design) -> None:
    count = len(wanted.factors)
    if count < design.layers:
        raise ValueError(
            f"a {wanted.design} design has {design.layers} factors or more; the trial has {count}"
        )
    if design.most and count > design.most:
        raise ValueError(f"the design {wanted.design} takes {design.most} factor; the trial has {count}")
    for name, levels in wanted.factors:
        if len(levels) < 2 or len(set(levels)) < len(levels):
            raise ValueError(f"{name} has the levels {', '.join(levels) or 'none'}; two or more, each once")
    if wanted.blocks < 1:
        raise ValueError(f"blocks is {wanted.blocks}; it must be 1 or more")


def draw_plots(wanted: Wanted) -> list[Plot]:
    """Every plot with its treatment, block by block in the order of the ground.

    The same trial gives the same plots, everywhere. A draw that looks uneven is kept: what must not come is a restriction,
    stated beforehand. Raises ValueError for a trial that the design cannot have.
    """
    treatments = layers(wanted)
    design = DESIGNS[wanted.design]
    _refuse_odd_restriction(wanted, design, treatments)
    return design.draw(wanted, treatments, draws(wanted.seed))


def _refuse_odd_restriction(wanted: Wanted, design: Design, treatments: list[list[Treatment]]) -> None:
    if not wanted.restriction:
        return
    if wanted.restriction not in RESTRICTIONS:
        raise ValueError(f'restriction is "{wanted.restriction}"; write one of: {", ".join(RESTRICTIONS)}')
    if not design.can_restrict:
        raise ValueError(f'a trial of design "{wanted.design}" takes no restriction; leave it away')
    columns = len(treatments[0])
    if wanted.blocks > columns:
        raise ValueError(
            f'"{NO_TWICE_IN_A_COLUMN}" with {columns} columns allows {columns} blocks at most; '
            f"the trial has {wanted.blocks}"
        )


def columns_of(wanted: Wanted) -> int:
    """How many plots of a block stand side by side where the design fixes it; 0 where they may be laid as the ground is."""
    fixed = design_named(wanted.design).columns
    if fixed:
        return fixed(layers(wanted))
    return len(draw_plots(wanted)) // wanted.blocks if wanted.restriction else 0


def _completely(wanted: Wanted, treatments: list[list[Treatment]], draw: Draw) -> list[Plot]:
    order = shuffled(treatments[0] * wanted.blocks, draw)
    return in_block(1, (((), one, TEST) for one in order))


def _nested(wanted: Wanted, treatments: list[list[Treatment]], draw: Draw) -> list[Plot]:
    plots: list[Plot] = []
    firsts = _firsts(wanted, treatments[0], draw)
    for block in range(1, wanted.blocks + 1):
        order = _within(firsts(block), treatments[1:], draw)
        plots += in_block(block, ((parts, one, TEST) for parts, one in order))
    return plots


def _firsts(wanted: Wanted, treatments: list[Treatment], draw: Draw) -> Callable[[int], list[Treatment]]:
    """The order of the first layer in a block: drawn for each, or the rows of one Latin square where that is the restriction.

    Rows of a square, and not draws until one fits, so that no layout that fits is likelier than another of that square.
    """
    if not wanted.restriction:
        return lambda _block: shuffled(treatments, draw)
    square = latin_square(len(treatments), draw)
    return lambda block: [treatments[number] for number in square[block - 1]]


def _within(
    order: list[Treatment], finer: list[list[Treatment]], draw: Draw
) -> list[tuple[tuple[int, ...], Treatment]]:
    """What lies in a row: each of `order`, and within it the finer layers, drawn anew in each."""
    if not finer:
        return [((), one) for one in order]
    inside: list[tuple[tuple[int, ...], Treatment]] = []
    for number, coarse in enumerate(order, 1):
        held = _within(shuffled(finer[0], draw), finer[1:], draw)
        inside += [((number, *parts), coarse + fine) for parts, fine in held]
    return inside


def _square(wanted: Wanted, treatments: list[list[Treatment]], draw: Draw) -> list[Plot]:
    size = len(treatments[0])
    if wanted.blocks != size:
        raise ValueError(
            f"a Latin square of {size} treatments has {size} blocks, its rows; the trial has {wanted.blocks}"
        )
    rows = latin_square(size, draw)
    return [
        plot
        for block, row in enumerate(rows, 1)
        for plot in in_block(block, (((), treatments[0][number], TEST) for number in row))
    ]


def _strips(wanted: Wanted, treatments: list[list[Treatment]], draw: Draw) -> list[Plot]:
    """The first factor in columns right through a block, the second in rows right across it."""
    plots: list[Plot] = []
    firsts = _firsts(wanted, treatments[0], draw)
    for block in range(1, wanted.blocks + 1):
        across, along = firsts(block), shuffled(treatments[1], draw)
        plots += in_block(
            block,
            (
                ((column, row), one + other, TEST)
                for row, other in enumerate(along, 1)
                for column, one in enumerate(across, 1)
            ),
        )
    return plots


def _augmented(wanted: Wanted, treatments: list[list[Treatment]], draw: Draw) -> list[Plot]:
    """The checks in every block, the others once, dealt to the blocks as evenly as they go."""
    ((factor, levels),) = wanted.factors
    if not wanted.checks or not set(wanted.checks) < set(levels):
        raise ValueError(
            f"checks are {', '.join(wanted.checks) or 'not set'}; an augmented design has some levels of {factor} "
            f"as checks, in every block, and the rest once"
        )
    checks = [one for one in treatments[0] if one[0][1] in wanted.checks]
    once = shuffled([one for one in treatments[0] if one not in checks], draw)
    plots: list[Plot] = []
    for block in range(wanted.blocks):
        order = shuffled([*checks, *once[block :: wanted.blocks]], draw)
        plots += in_block(block + 1, (((), one, CHECK if one in checks else TEST) for one in order))
    return plots


def _alpha(wanted: Wanted, treatments: list[list[Treatment]], draw: Draw) -> list[Plot]:
    """The array chosen, then treatments, blocks of a replicate and plots of a block shuffled. A replicate is a block here."""
    count = len(treatments[0])
    if wanted.blocks < 2:
        raise ValueError(f"an alpha design has 2 replicates or more; blocks is {wanted.blocks}")
    blocks = blocks_a_replicate(count, wanted.block_size)
    array = best_array(count, wanted.block_size, wanted.blocks, draw)
    names = shuffled(treatments[0], draw)
    plots: list[Plot] = []
    for replicate, held in enumerate(incomplete_blocks(array, blocks, count), 1):
        order = [
            ((number,), names[one], TEST)
            for number, block in enumerate(shuffled(held, draw), 1)
            for one in shuffled(block, draw)
        ]
        plots += in_block(replicate, order)
    return plots


DESIGNS = {
    COMPLETE: Design(1, _completely),
    BLOCKS: Design(1, _nested, can_restrict=True),
    LATIN: Design(1, _square, columns=lambda treatments: len(treatments[0])),
    SPLIT: Design(2, _nested, can_restrict=True),
    SPLIT_SPLIT: Design(3, _nested, can_restrict=True),
    STRIP: Design(2, _strips, columns=lambda treatments: len(treatments[0]), can_restrict=True),
    AUGMENTED: Design(1, _augmented, most=1),
    ALPHA: Design(1, _alpha),
}
