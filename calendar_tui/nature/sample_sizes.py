"""How many plants to pool in a bag, and how far a result may then lie off the lot. Spreads are CV: SD over the mean, in %.

Plants within a clone scatter by 8 to 15 %, from seed by 20 to 30 %; a sub-sample and one laboratory by 3 to 5 % (memory).
"""

from __future__ import annotations

from math import ceil, sqrt

from calendar_tui.nature.spans import t_cdf

# Of 95 % between both ends: the normal distribution's, and the share below the upper end.
_Z, _BELOW = 1.959963984540054, 0.975
_MOST = 10_000


def plants_for(plant_cv: float, error: float) -> int:
    """Plants so that their mean is within an error (%) of the lot's at 95 %, where the spread is known: (z CV / E)^2 up."""
    _over_zero(plant_cv=plant_cv, error=error)
    return ceil((_Z * plant_cv / error) ** 2)


def plants_for_unknown_spread(plant_cv: float, error: float) -> int:
    """The same where the spread is only estimated from those plants: the first n of 2 or more with n >= (t CV / E)^2.

    Raises ValueError for more than 10,000.
    """
    _over_zero(plant_cv=plant_cv, error=error)
    # With t_cdf at hand no quantile is needed: n plants are enough where t of their mean's error is far enough out.
    for n in range(2, _MOST + 1):
        if t_cdf(error * sqrt(n) / plant_cv, n - 1) >= _BELOW:
            return n
    raise ValueError(
        f"an error of {error:g} % at a CV of {plant_cv:g} % needs over {_MOST} plants; allow a larger error"
    )


def pooled_cv(plant_cv: float, plants: int, sub_cv: float, laboratory_cv: float, bags: int = 1) -> float:
    """The CV of the mean of so many bags of so many plants each, every bag with a sub-sample and a result of its own."""
    _over_zero(plants=plants, bags=bags)
    return sqrt((plant_cv**2 / plants + sub_cv**2 + laboratory_cv**2) / bags)


def _over_zero(**figures: float) -> None:
    for name, figure in figures.items():
        if not figure > 0:
            raise ValueError(f"{name} is {figure:g}; it must be over 0")
