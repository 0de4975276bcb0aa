"""What earlier cohorts of a variety taught, carried into the prior of the next one.

The rule: half of the prior's variance is taken to be what one variety differs by from another, half what one cohort
differs by from the next of its variety (placeholder). So a cohort's own curve never comes in narrower than 0.71 of the
prior's standard deviation, and with no earlier cohort the prior stays as it was, exactly.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

import numpy as np

from calendar_tui.nature.cannabinoid_trend.curve_fit import Fit, Floats, believed_plateau, fit
from calendar_tui.nature.cannabinoid_trend.prior import Belief, Fall, Prior

BETWEEN_COHORTS = 0.5  # of the prior's variance. Placeholder
_NOTHING = 1e-6  # a precision, in the prior's, that is none


class Taught(NamedTuple):
    """What one cohort's fit, made with the general prior, believes: plateau (log), midpoint (d), pace (log), falls."""

    plateau_log: Belief
    midpoint_d: Belief
    pace_log: Belief
    falls: tuple[float, ...]


def taught(fitted: Fit) -> Taught:
    """What a cohort's fit has to carry on; the plateau is the top's, whatever positions were sampled.

    Figures are carried one by one; what they share is left behind.
    """
    weight = fitted.weight.sum(axis=0).reshape(-1, len(fitted.prior.falls))
    rises = weight.sum(axis=1)
    return Taught(
        believed_plateau(fitted, "top"),
        _moments(fitted.curves.midpoint_d, rises),
        _moments(np.log(fitted.curves.pace_d), rises),
        tuple(weight.sum(axis=0).tolist()),
    )


def _moments(values: Floats, weight: Floats) -> Belief:
    mean = float(values @ weight)
    return Belief(mean, float(((values - mean) ** 2 @ weight) ** 0.5))


def carried(prior: Prior, cohorts: Iterable[Taught]) -> Prior:
    """The prior of the next cohort of the variety. Each of `cohorts` was fitted with `prior` itself, not with a carried one."""
    every = tuple(cohorts)
    if not every:
        return prior
    nothing = taught(fit([], prior))
    return prior._replace(
        plateau_log=_carried(prior.plateau_log, nothing.plateau_log, [one.plateau_log for one in every]),
        midpoint_d=_carried(prior.midpoint_d, nothing.midpoint_d, [one.midpoint_d for one in every]),
        pace_log=_carried(prior.pace_log, nothing.pace_log, [one.pace_log for one in every]),
        falls=_carried_falls(prior.falls, [one.falls for one in every]),
    )


def _carried(prior: Belief, nothing: Belief, cohorts: Sequence[Belief]) -> Belief:
    """The normal of two levels: cohorts round their variety's mean, that round the prior's.

    nothing: what a fit without results believes, which the grid cuts off at its ends; it is taken out of each cohort.
    """
    variance = prior.sd**2
    between = BETWEEN_COHORTS * variance
    precision = 1 / (variance - between)
    total = prior.mean * precision
    for cohort in cohorts:
        own = 1 / cohort.sd**2 - 1 / nothing.sd**2  # what its results alone said
        if own <= _NOTHING / variance:
            continue
        value = (cohort.mean / cohort.sd**2 - nothing.mean / nothing.sd**2) / own
        weight = 1 / (1 / own + between)
        precision, total = precision + weight, total + weight * value
    return Belief(total / precision, (1 / precision + between) ** 0.5)


def _carried_falls(prior: tuple[Fall, ...], cohorts: Sequence[tuple[float, ...]]) -> tuple[Fall, ...]:
    """The mean of the prior's weights and each cohort's."""
    weights = np.mean([[fall.weight for fall in prior], *cohorts], axis=0)
    return tuple([Fall(fall.a_day, float(weight)) for fall, weight in zip(prior, weights, strict=True)])
