"""The analysis of variance of a trial that is orthogonal, by sums: each term is swept out of the values by its cell means.

A linear combination of values has a part in each stratum (the terms between two errors); its variance is the sum over the
strata of the squared length of that part times the error mean square there, with the degrees of freedom of Satterthwaite 1946
(Biometrics Bulletin 2:110) where there are several (Wilkinson and Rogers 1973, Appl. Stat. 22:392, for the sweeps).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from calendar_tui.nature.field_analysis.designs import ERROR, GROUND, TREATMENT, Term
from calendar_tui.nature.field_analysis.distributions import f_tail
from calendar_tui.nature.field_analysis.estimates import Estimates, Source, Tested
from calendar_tui.nature.field_analysis.plots import Cells, Floats, Plots, cells_of

_CLOSE = 1e-9


def is_orthogonal(plots: Plots, terms: Sequence[Term]) -> bool:
    """Whether sums serve: sweeping a term out brings nothing of those before it back.

    Tried on values that are like no term.
    """
    swept = [cells_of(plots, term.factors) for term in terms if not term.is_residual]
    values = np.sin(np.arange(len(plots), dtype=float) ** 2 + 1)
    rest = values - values.mean()
    for n, part in enumerate(_parts(values, swept)[:-1], start=1):
        rest = rest - part
        sums = (float(np.abs(cells.indicator().T @ rest).max()) for cells in swept[:n])
        if max(abs(float(rest.sum())), *sums) > _CLOSE * len(plots):
            return False
    return True


class SumsFit:
    """A trial fitted by sums. terms: as of its layout, the residual last."""

    def __init__(self, plots: Plots, terms: Sequence[Term]) -> None:
        self.terms = tuple(terms)
        self._values = plots.values
        self._swept = [cells_of(plots, term.factors) for term in terms if not term.is_residual]
        parts = [_measured(part, plots.values) for part in _parts(plots.values, self._swept)]
        self.residuals: Floats = parts[-1]
        df = _degrees(terms, self._swept, len(plots))
        ss = [float(part @ part) for part in parts]
        self.sources = _sources(self.terms, df, ss)
        self._strata = _strata(self.terms)

    @property
    def residual_df(self) -> int:
        return self.sources[-1].df

    def combined(self, cells: Cells, coefficients: Floats) -> Estimates:
        """Combinations of cell means; each row of the coefficients adds up to 0."""
        weights = (coefficients / cells.counts)[:, cells.codes]
        lengths = [(part**2).sum(axis=0) for part in _parts(weights.T, self._swept)]
        variances, squares = np.zeros(len(weights)), np.zeros(len(weights))
        for stratum in self._strata:
            error = self.sources[stratum[-1]]
            length = np.sum([lengths[n] for n in stratum], axis=0)
            # Ground tests nothing: what differs from one piece of it to another has no error.
            known = error.term.kind == ERROR and error.df
            part = length * (error.ms or 0.0) if known else np.where(length > _CLOSE, np.nan, 0.0)
            variances, squares = variances + part, squares + part**2 / max(error.df, 1)
        df = np.divide(variances**2, squares, out=np.full(len(weights), np.nan), where=squares > 0)
        return Estimates(weights @ self._values, np.sqrt(variances), df)

    def means(self, cells: Cells) -> Estimates:
        """Cell means; their standard error, blocks left aside, where one error tests all that the cells differ in."""
        value = cells.indicator().T @ self._values / cells.counts
        error = self._error_of(cells.factors)
        if error is None or not error.ms:
            nothing = np.full(len(value), np.nan)
            return Estimates(value, nothing, nothing)
        return Estimates(value, np.sqrt(error.ms / cells.counts), np.full(len(value), float(error.df)))

    def together(self, cells: Cells, coefficients: Floats) -> Tested | None:
        """F of all these combinations being 0; None where no one error tests them."""
        error = self._error_of(cells.factors)
        if error is None or not error.ms:
            return None
        value = coefficients @ self.means(cells).value
        shared = (coefficients / cells.counts) @ coefficients.T
        f = float(value @ np.linalg.solve(shared, value)) / (len(value) * error.ms)
        return Tested(f, error.df, f_tail(f, len(value), error.df))

    def _error_of(self, factors: Sequence[str]) -> Source | None:
        """The one error that tests these factors and all their combinations; None where there are several, or none."""
        inside = {n for n, term in enumerate(self.terms) if term.factors and {*term.factors} <= {*factors}}
        errors = {stratum[-1] for stratum in self._strata if inside & {*stratum}}
        if len(errors) != 1 or any(self.terms[n].kind != TREATMENT for n in inside):
            return None
        error = self.sources[errors.pop()]
        return error if error.df else None


def _parts(values: Floats, swept: Sequence[Cells]) -> list[Floats]:
    """What each term takes out of the values, and what is left. values: by plot, or plots by columns. The mean is dropped."""
    rest = values - values.mean(axis=0)
    parts = []
    for cells in swept:
        indicator = cells.indicator()
        part = ((indicator / cells.counts).T @ rest)[cells.codes]
        parts.append(part)
        rest = rest - part
    return [*parts, rest]


def _degrees(terms: Sequence[Term], swept: Sequence[Cells], count: int) -> list[int]:
    """Degrees of freedom of each term: its cells, less those of the mean and of the terms whose factors are among its own."""
    df: list[int] = []
    for term, cells in zip(terms, swept, strict=False):
        inner = sum(d for d, other in zip(df, terms, strict=False) if {*other.factors} < {*term.factors})
        df.append(len(cells.levels) - 1 - inner)
    return [*df, count - 1 - sum(df)]


def _strata(terms: Sequence[Term]) -> list[list[int]]:
    """The terms from one error, or piece of ground, to the next, by their numbers; the last of each is that error."""
    strata: list[list[int]] = [[]]
    for n, term in enumerate(terms):
        strata[-1].append(n)
        if term.kind in (GROUND, ERROR):
            strata.append([])
    return strata[:-1]


# What sums leave in a value for its size by rounding alone lies well under this; what is measured lies far over it.
_ROUNDING = 64 * float(np.finfo(float).eps)


def _measured(part: Floats, values: Floats) -> Floats:
    """A part of the values, nothing where it is no more than the rounding of sums: no error is made of that, and no test."""
    rounding = _ROUNDING * float(np.abs(values).max(initial=0.0))
    return part if float(np.abs(part).max(initial=0.0)) > rounding else np.zeros_like(part)


def _sources(terms: Sequence[Term], df: Sequence[int], ss: Sequence[float]) -> tuple[Source, ...]:
    ms = [s / d if d else None for s, d in zip(ss, df, strict=True)]
    rows = []
    for n, term in enumerate(terms):
        at = next(m for m in range(n, len(terms)) if terms[m].kind == ERROR)
        error_ms, error_df, own = ms[at], df[at], ms[n]
        if term.kind != TREATMENT or own is None or not error_ms:
            rows.append(Source(term, df[n], ss[n], own))
        else:
            f = own / error_ms
            rows.append(Source(term, df[n], ss[n], own, f, float(error_df), f_tail(f, df[n], error_df)))
    return tuple(rows)
