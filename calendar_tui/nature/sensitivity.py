"""How much of the scatter of an outcome is that of one figure behind it.

The first-order index of variance-based sensitivity analysis: the variance of the mean outcome at each value of the figure,
over the variance of the outcome (Saltelli et al. 2008, Global Sensitivity Analysis: The Primer, from memory). It is read
off futures that are laid out already, in groups of neighbouring values of the figure, so it needs no run for each figure.
Where the outcome is a sum of figures, the shares are the ratios of their variances. Where figures act together, what they do
together is in none of the shares.
"""

from __future__ import annotations

from collections.abc import Sequence
from statistics import fmean, variance

GROUPS = 20


def variance_share(figure: Sequence[float], outcome: Sequence[float], groups: int = GROUPS) -> float:
    """The share, 0 to 1, of the variance of the outcome that goes with a figure; 0 where the outcome is always the same.

    figure, outcome: a value a future, in any unit, of at least two futures a group. What chance alone puts between the
    means of groups is taken off: the share is 1 less the ratio of the variances, within groups and of all.
    """
    count, whole = len(outcome), variance(outcome)
    if not whole:
        return 0.0
    order = sorted(range(count), key=figure.__getitem__)
    within = 0.0
    for n in range(groups):
        group = [outcome[i] for i in order[n * count // groups : (n + 1) * count // groups]]
        middle = fmean(group)
        within += sum([(value - middle) ** 2 for value in group])
    return max(1.0 - within / (count - groups) / whole, 0.0)
