"""An order drawn by a seed, the same on every machine and in every version of Python.

Python promises to keep the sequence of `random.Random(seed).random()`, and that of no other method (its documentation),
so the shuffle is our own. A seed can be said again; what was drawn is written down all the same.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from typing import TypeVar

Draw = Callable[[], float]
_Thing = TypeVar("_Thing")


def draws(seed: int) -> Draw:
    """Figures from 0 to under 1, one at a call."""
    return random.Random(seed).random


def below(limit: int, draw: Draw) -> int:
    """A whole number from 0 to under `limit`."""
    return int(draw() * limit)


def shuffled(things: Sequence[_Thing], draw: Draw) -> list[_Thing]:
    """Every order equally likely: the shuffle of Fisher and Yates, from the last place down."""
    order = list(things)
    for last in range(len(order) - 1, 0, -1):
        other = below(last + 1, draw)
        order[last], order[other] = order[other], order[last]
    return order
