"""Plots of a trial: their labels by column, and a value each. Missing values are NaN. The order of plots means nothing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Whole = NDArray[np.intp]
Level = tuple[str, ...]


@dataclass(frozen=True, eq=False)
class Plots:
    """labels: column -> label of each plot; values: as long, NaN where missing."""

    labels: Mapping[str, tuple[str, ...]]
    values: Floats

    def __len__(self) -> int:
        return len(self.values)

    def kept(self, keep: Sequence[bool] | NDArray[np.bool_]) -> Plots:
        """The plots marked so, alone."""
        at = np.flatnonzero(np.asarray(keep, dtype=bool))
        return Plots(
            {name: tuple(column[i] for i in at) for name, column in self.labels.items()}, self.values[at]
        )

    def with_values(self, values: Floats) -> Plots:
        return Plots(self.labels, values)

    def levels(self, factors: Sequence[str]) -> list[Level]:
        """What stands in these columns, plot by plot."""
        return (
            list(zip(*(self.labels[name] for name in factors), strict=True)) if factors else [()] * len(self)
        )


@dataclass(frozen=True, eq=False)
class Cells:
    """The combinations of levels of some factors, in order, and which each plot has."""

    factors: tuple[str, ...]
    levels: tuple[Level, ...]
    codes: Whole

    @property
    def counts(self) -> Floats:
        counts: Floats = self.indicator().sum(axis=0)
        return counts

    def indicator(self) -> Floats:
        """Plots by cells: 1 where a plot has the combination."""
        return np.eye(len(self.levels))[self.codes]


def cells_of(plots: Plots, factors: Sequence[str]) -> Cells:
    """The combinations that plots have, in the order of the levels of each factor."""
    found = plots.levels(factors)
    levels = tuple(sorted(set(found), key=lambda level: tuple(map(order_of, level))))
    number = {level: n for n, level in enumerate(levels)}
    return Cells(tuple(factors), levels, np.array([number[level] for level in found], dtype=np.intp))


def order_of(label: str) -> tuple[int, float, str]:
    """Where a level stands among those of its factor: numbers and dates by their size, then words."""
    number = number_of(label)
    return (1, 0.0, label) if number is None else (0, number, label)


def number_of(label: str) -> float | None:
    """A level as a number, or as days where it is a date such as 2027-06-09; None where it is a word."""
    if is_date(label):
        return float(date.fromisoformat(label).toordinal())
    try:
        number = float(label)
    except ValueError:
        return None
    return number if np.isfinite(number) else None


def is_date(label: str) -> bool:
    """Whether a level is a date written as 2027-06-09."""
    try:
        return len(label) == len("2027-06-09") and bool(date.fromisoformat(label))
    except ValueError:
        return False
