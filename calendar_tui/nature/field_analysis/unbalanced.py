"""A trial with plots missing, or of incomplete blocks: fitted by REML, or by least squares where only the error is random."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import reduce

import numpy as np

from calendar_tui.nature.field_analysis.designs import ERROR, TREATMENT, UNTESTED, Layout, Term
from calendar_tui.nature.field_analysis.estimates import Estimates, Source, Tested
from calendar_tui.nature.field_analysis.plots import Cells, Floats, Level, Plots, cells_of
from calendar_tui.nature.field_analysis.reml import fit_mixed


class NotSeparable(ValueError):
    """Effects that the plots cannot tell apart. The message says which."""


class MixedFit:
    """A trial fitted by REML: treatments fixed, ground and errors random, but for ground that the design has fixed."""

    def __init__(self, plots: Plots, layout: Layout) -> None:
        terms = layout.terms()
        fixed_ground = layout.fixed_ground()
        self._fixed = [t for t in terms if t.kind in (TREATMENT, UNTESTED) or t.factors in fixed_ground]
        self._levels = {name: cells_of(plots, (name,)).levels for t in self._fixed for name in t.factors}
        columns = self._columns(plots)
        self._at = _places(columns)
        matrix = np.column_stack(columns)
        _refuse_not_separable(self._fixed, columns, matrix)
        chances = [t for t in terms if t not in self._fixed and not t.is_residual]
        measured, self.residual_df = _measured(plots, matrix, chances)
        self.random = [term for term, _ in measured]
        self.model = fit_mixed(plots.values, matrix, [levels for _, levels in measured])
        self.residuals: Floats = self.model.residuals
        self.sources = tuple(
            self._source(term, place) for term, place in zip(self._fixed, self._at[1:], strict=True)
        )

    @property
    def variances(self) -> tuple[tuple[Term, float], ...]:
        """The variance of each random term, the residual last."""
        return tuple(zip((*self.random, Term((), "error")), map(float, self.model.variances), strict=True))

    def combined(self, cells: Cells, coefficients: Floats) -> Estimates:
        """Combinations of means with all other factors alike."""
        return self.model.estimates(coefficients @ self._rows(cells))

    def means(self, cells: Cells) -> Estimates:
        """Means with all other factors alike, blocks included in their standard error."""
        return self.model.estimates(self._rows(cells))

    def together(self, cells: Cells, coefficients: Floats) -> Tested | None:
        """F of all these combinations being 0; None where the error has no degrees of freedom that are known."""
        return self._tested(coefficients @ self._rows(cells))

    def _tested(self, combinations: Floats) -> Tested | None:
        found = Tested(*self.model.f_test(combinations))
        return found if np.isfinite(found.error_df) else None

    def _columns(self, plots: Plots) -> list[Floats]:
        """The columns of the mean, then of each fixed term: its levels against the mean, so that the rest adds up to 0."""
        labels = {name: plots.levels((name,)) for name in self._levels}
        return [np.ones((len(plots), 1)), *(self._coded(term, labels) for term in self._fixed)]

    def _coded(self, term: Term, labels: dict[str, list[Level]]) -> Floats:
        coded = (_against_mean(labels[name], self._levels[name]) for name in term.factors)
        return reduce(_products, coded)

    def _rows(self, cells: Cells) -> Floats:
        """The combination of effects that is the mean of each cell; terms of other factors add up to 0 and are left out."""
        count = len(cells.levels)
        labels: dict[str, list[Level]] = {
            name: [(level[n],) for level in cells.levels] for n, name in enumerate(cells.factors)
        }
        parts = [np.ones((count, 1))]
        for term, place in zip(self._fixed, self._at[1:], strict=True):
            inside = {*term.factors} <= {*cells.factors}
            parts.append(self._coded(term, labels) if inside else np.zeros((count, place.stop - place.start)))
        return np.column_stack(parts)

    def _source(self, term: Term, place: slice) -> Source:
        if term.kind != TREATMENT:
            return Source(term, place.stop - place.start)
        identity = np.eye(self._at[-1].stop)[place]
        tested = self._tested(identity)
        return Source(term, len(identity), **({} if tested is None else tested._asdict()))


def _against_mean(labels: Sequence[Level], levels: Sequence[Level]) -> Floats:
    """Columns for all levels but the last, which is -1 in each of them."""
    number = {level: n for n, level in enumerate(levels)}
    coding = np.vstack((np.eye(len(levels) - 1), -np.ones(len(levels) - 1)))
    return coding[[number[label] for label in labels]]


def _products(left: Floats, right: Floats) -> Floats:
    """Each column of the left times each of the right."""
    return (left[:, :, None] * right[:, None, :]).reshape(len(left), -1)


def _places(columns: Sequence[Floats]) -> list[slice]:
    ends = np.cumsum([part.shape[1] for part in columns])
    return [slice(int(end) - part.shape[1], int(end)) for part, end in zip(columns, ends, strict=True)]


def _refuse_not_separable(terms: Sequence[Term], columns: Sequence[Floats], matrix: Floats) -> None:
    if np.linalg.matrix_rank(matrix) == matrix.shape[1]:
        return
    for n, term in enumerate(terms, start=2):
        if np.linalg.matrix_rank(np.column_stack(columns[:n])) < sum(part.shape[1] for part in columns[:n]):
            raise NotSeparable(" x ".join(term.factors))


def _measured(plots: Plots, fixed: Floats, terms: Sequence[Term]) -> tuple[list[tuple[Term, Floats]], int]:
    """The random terms that plots measure, with their columns, and the degrees of freedom that are left for the residual.

    Ground of one piece measures nothing and is dropped. Raises ValueError for an error that nothing measures.
    """
    kept: list[tuple[Term, Floats]] = []
    columns, rank = fixed, fixed.shape[1]
    for term in terms:
        levels = cells_of(plots, term.factors).indicator()
        columns = np.column_stack((columns, levels))
        before, rank = rank, int(np.linalg.matrix_rank(columns))
        if rank > before:
            kept.append((term, levels))
        elif term.kind == ERROR:
            raise ValueError(
                f"the error {' x '.join(term.factors)} has no degrees of freedom; more blocks are needed"
            )
    if rank >= len(plots):
        raise ValueError(
            f"{len(plots)} plots are too few for this design: nothing is left to measure the error by"
        )
    return kept, len(plots) - rank


def missing_combinations(plots: Plots, term: Term) -> Iterator[Level]:
    """Combinations of the levels of a term that no plot has."""
    there = set(cells_of(plots, term.factors).levels)
    each = [cells_of(plots, (name,)).levels for name in term.factors]
    grid: list[Level] = [()]
    for levels in each:
        grid = [(*start, *level) for start in grid for level in levels]
    yield from (level for level in grid if level not in there)
