"""A linear mixed model by residual maximum likelihood (REML), with Satterthwaite's degrees of freedom.

y = X b + sum of Z_i u_i + e; the variances of u_i and e are found by Fisher scoring with halved steps, each 0 or more (Patterson
and Thompson 1971, Biometrika 58:545; derivatives in Searle, Casella and McCulloch 1992, Variance Components, 6.6). The degrees
of freedom of a combination are 2 v^2 over the variance of v, by the observed information (Giesbrecht and Burns 1985, Biometrics
41:477); several together by Fai and Cornelius 1996 (J. Stat. Comput. Simul. 54:363). They are Satterthwaite's, not Kenward and Roger's.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from calendar_tui.nature.field_analysis.distributions import f_tail
from calendar_tui.nature.field_analysis.estimates import Estimates
from calendar_tui.nature.field_analysis.plots import Floats

_MOST_STEPS, _MOST_HALVINGS = 200, 40
_CLOSE = 1e-10
# A variance under this share of the residual is none.
_NOTHING = 1e-7
_ROUNDING = 1e-24


@dataclass(frozen=True, eq=False)
class Mixed:
    """A fitted model. variances: of each random term in turn, then the residual; log_likelihood: restricted."""

    variances: Floats
    log_likelihood: float
    effects: Floats
    covariance: Floats
    residuals: Floats
    steps: int
    _slopes: Floats
    _variance_covariance: Floats

    def estimates(self, combinations: Floats) -> Estimates:
        """Combinations of the fixed effects, a row each."""
        variance = _squares(combinations, self.covariance)
        slope = np.column_stack([_squares(combinations, one) for one in self._slopes])
        spread = _squares(slope, self._variance_covariance)
        df = np.divide(2 * variance**2, spread, out=np.full(len(variance), np.nan), where=spread > 0)
        return Estimates(combinations @ self.effects, np.sqrt(np.maximum(variance, 0)), df)

    def f_test(self, combinations: Floats) -> tuple[float, float, float]:
        """F, its denominator's degrees of freedom and p of these rows being all 0 together; NaN where variances are too uncertain to tell."""
        values, vectors = np.linalg.eigh(combinations @ self.covariance @ combinations.T)
        rows = self.estimates(vectors.T @ combinations)
        f = float(np.mean(rows.value**2 / np.maximum(values, 1e-300)))
        df = _together(rows.df)
        return f, df, f_tail(f, len(values), df)


def _squares(rows: Floats, matrix: Floats) -> Floats:
    """The quadratic form of each row."""
    squares: Floats = ((rows @ matrix) * rows).sum(axis=1)
    return squares


def _together(df: Floats) -> float:
    """The degrees of freedom of several t tests as one F (Fai and Cornelius 1996); the fewest where one has 2 or fewer."""
    if len(df) == 1 or np.ptp(df) < 1e-6 * df.max():
        return float(df.mean())
    if df.min() <= 2:
        return float(df.min())
    expected = float(np.sum(df / (df - 2)))
    return 2 * expected / (expected - len(df))


def fit_mixed(values: Floats, fixed: Floats, random: Sequence[Floats]) -> Mixed:
    """Fit by REML. values: by plot; fixed: plots by columns of full rank; random: plots by levels, each.

    Raises ValueError where nothing is left to measure the error by.
    """
    if len(values) <= fixed.shape[1]:
        raise ValueError(
            f"{fixed.shape[1]} means and only {len(values)} plots: nothing is left to measure the error by"
        )
    if _is_exact(values, np.column_stack((fixed, *random))):
        raise ValueError(
            "treatments and ground account for all of the values: nothing is left to measure the error by"
        )
    shared = [z @ z.T for z in random]
    # What the fixed effects leave, at a spread of 1: small differences between large values keep their digits.
    usual: Floats = np.asarray(np.linalg.lstsq(fixed, values, rcond=None)[0], dtype=float)
    rest = values - fixed @ usual
    spread = float(np.sqrt(np.mean(rest**2)))
    search = _Search(rest / spread, fixed, [*shared, np.eye(len(values))])
    variances, steps = search.best(np.full(len(shared) + 1, 1 / (len(shared) + 1)), 1.0)
    return _in_units(search.fitted(variances, steps, random), usual, spread)


def _in_units(of_rest: Mixed, usual: Floats, spread: float) -> Mixed:
    """The model in the units of the values. of_rest: of their residuals from the usual effects, at a spread of 1."""
    df = len(of_rest.residuals) - len(usual)
    return replace(
        of_rest,
        variances=of_rest.variances * spread**2,
        log_likelihood=of_rest.log_likelihood - df * math.log(spread),
        effects=usual + of_rest.effects * spread,
        covariance=of_rest.covariance * spread**2,
        residuals=of_rest.residuals * spread,
        _variance_covariance=of_rest._variance_covariance * spread**4,
    )


def _is_exact(values: Floats, columns: Floats) -> bool:
    """Whether the columns leave nothing of the values, but for what rounding leaves."""
    rest = values - columns @ np.linalg.lstsq(columns, values, rcond=None)[0]
    return float(rest @ rest) <= _ROUNDING * float(values @ values)


@dataclass(frozen=True, eq=False)
class _At:
    """The model at given variances. p: the projection that takes the fixed effects out, weighted."""

    log_likelihood: float
    inverse: Floats
    covariance: Floats
    p: Floats
    py: Floats


@dataclass(frozen=True, eq=False)
class _Search:
    values: Floats
    fixed: Floats
    shared: Sequence[Floats]

    def at(self, variances: Floats) -> _At:
        v = sum(s * g for s, g in zip(variances, self.shared, strict=True))
        lower = np.linalg.cholesky(v)
        half = np.linalg.solve(lower, np.column_stack((self.fixed, self.values, np.eye(len(self.values)))))
        count = self.fixed.shape[1]
        x, y, root = half[:, :count], half[:, count], half[:, count + 1 :]
        information = x.T @ x
        inverse: Floats = root.T @ root
        covariance: Floats = np.asarray(np.linalg.inv(information), dtype=float)
        vx = root.T @ x
        p = inverse - vx @ covariance @ vx.T
        py = p @ self.values
        log_det = 2 * np.log(np.diag(lower)).sum() + np.linalg.slogdet(information)[1]
        squares = float(self.values @ py)
        constant = (len(y) - count) * math.log(2 * math.pi)
        return _At(-0.5 * (constant + log_det + squares), inverse, covariance, p, py)

    def best(self, variances: Floats, scale: float) -> tuple[Floats, int]:
        """The variances of the highest likelihood, and the steps to them. scale: of the values, squared."""
        here = self.at(variances)
        for step in range(1, _MOST_STEPS + 1):
            score, information = self._derivatives(here)
            # A variance that is none and would go further down stays none.
            free = (variances > _NOTHING * scale) | (score > 0)
            move = np.zeros_like(variances)
            move[free] = np.linalg.lstsq(information[np.ix_(free, free)], score[free], rcond=None)[0]
            moved, ahead = self._step(variances, move, here, scale)
            if ahead is None or np.abs(moved - variances).max() < _CLOSE * scale:
                return moved, step
            variances, here = moved, ahead
        return variances, _MOST_STEPS

    def _step(self, variances: Floats, move: Floats, here: _At, scale: float) -> tuple[Floats, _At | None]:
        """A step halved until the likelihood does not fall; the variances as they are and None where none is."""
        for halving in range(_MOST_HALVINGS):
            tried = np.maximum(variances + move / 2**halving, 0.0)
            tried[-1] = max(tried[-1], _NOTHING * scale)
            ahead = self.at(tried)
            if ahead.log_likelihood >= here.log_likelihood - 1e-12 * abs(here.log_likelihood):
                return tried, ahead
        return variances, None

    def _derivatives(self, here: _At) -> tuple[Floats, Floats]:
        """The slope of the likelihood by each variance, and its expected information."""
        products = [here.p @ g for g in self.shared]
        score = [
            -0.5 * (np.trace(pg) - here.py @ g @ here.py) for pg, g in zip(products, self.shared, strict=True)
        ]
        information = [[0.5 * np.sum(a * b.T) for b in products] for a in products]
        return np.array(score), np.array(information)

    def fitted(self, variances: Floats, steps: int, random: Sequence[Floats]) -> Mixed:
        here = self.at(variances)
        vx = here.inverse @ self.fixed
        weights = vx @ here.covariance
        slopes = np.array([weights.T @ g @ weights for g in self.shared])
        effects = weights.T @ self.values
        rest = self.values - self.fixed @ effects
        for variance, z in zip(variances, random, strict=False):
            rest = rest - z @ (variance * (z.T @ here.py))
        observed = self._observed(here, variances)
        return Mixed(variances, here.log_likelihood, effects, here.covariance, rest, steps, slopes, observed)

    def _observed(self, here: _At, variances: Floats) -> Floats:
        """The covariance of the variances by the observed information; 0 for those that are none."""
        products = [here.p @ g for g in self.shared]
        moved = [g @ here.py for g in self.shared]
        count = len(products)
        information = np.empty((count, count))
        for i in range(count):
            for j in range(count):
                expected = 0.5 * np.sum(products[i] * products[j].T)
                information[i, j] = moved[i] @ here.p @ moved[j] - expected
        free = np.flatnonzero(variances > _NOTHING * variances.max())
        covariance = np.zeros((count, count))
        covariance[np.ix_(free, free)] = np.linalg.inv(information[np.ix_(free, free)])
        return covariance
