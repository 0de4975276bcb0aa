"""How far the result of a bag may lie off its lot, by the plants that are pooled in it. Spreads are CV: SD over the mean, in %.

Plants within a clone scatter by 8 to 15 %, from seed by 20 to 30 %; a sub-sample and one laboratory by 3 to 5 % (memory).
"""

from __future__ import annotations

from math import ceil, log, sqrt

from calendar_tui.nature.field_analysis.distributions import t_of_two_tails

# What leaves 5 % on both sides of the normal distribution together.
_Z = 1.959964


def pooled_cv(plant_cv: float, plants: int, sub_cv: float, laboratory_cv: float, bags: int = 1) -> float:
    """The CV of the mean of so many bags of so many plants each, every bag with a sub-sample and a result of its own."""
    _over_zero(plants=plants, bags=bags)
    return sqrt((plant_cv**2 / plants + sub_cv**2 + laboratory_cv**2) / bags)


def plants_for_error(plant_cv: float, error: float) -> tuple[int, int]:
    """Plants, tested one by one, whose mean is within `error` % of the lot's, 95 % sure: where their spread is known beforehand,
    (z CV / E)^2; and where it is worked out from these plants themselves, by Student's t. plant_cv: their CV in %.
    """
    _over_zero(plant_cv=plant_cv, error=error)
    known = max(ceil((_Z * plant_cv / error) ** 2), 1)
    own = max(known, 2)
    while t_of_two_tails(0.05, own - 1) * plant_cv / sqrt(own) > error:
        own += 1
    return known, own


def plants_to_meet_one(share: float, sure: float = 0.95) -> int:
    """How many plants to test one by one to meet, so sure, at least one of those that are this share (%) of a large lot."""
    if not 0 < share < 100:
        raise ValueError(f"share is {share:g} %; it must be over 0 and under 100")
    return ceil(log(1 - sure) / log(1 - share / 100))


def plants_of_lot(acres: int, share: float = 1, sure: float = 0.95) -> int:
    """How many plants are cut of a lot of so many whole acres: n0 / (1 + (n0 - 1) / N), N in acres, n0 those of a large lot.

    The scheme is that of the USDA, from memory: check with the authority.
    """
    if acres < 1:
        raise ValueError(f"acres is {acres}; it must be 1 or more")
    of_a_large_lot = plants_to_meet_one(share, sure)
    return ceil(of_a_large_lot / (1 + (of_a_large_lot - 1) / acres))


def _over_zero(**figures: float) -> None:
    for name, figure in figures.items():
        if not figure > 0:
            raise ValueError(f"{name} is {figure:g}; it must be over 0")
