"""How far the result of a bag may lie off its lot, by the plants that are pooled in it. Spreads are CV: SD over the mean, in %.

Plants within a clone scatter by 8 to 15 %, from seed by 20 to 30 %; a sub-sample and one laboratory by 3 to 5 % (memory).
"""

from __future__ import annotations

from math import sqrt


def pooled_cv(plant_cv: float, plants: int, sub_cv: float, laboratory_cv: float, bags: int = 1) -> float:
    """The CV of the mean of so many bags of so many plants each, every bag with a sub-sample and a result of its own."""
    _over_zero(plants=plants, bags=bags)
    return sqrt((plant_cv**2 / plants + sub_cv**2 + laboratory_cv**2) / bags)


def _over_zero(**figures: float) -> None:
    for name, figure in figures.items():
        if not figure > 0:
            raise ValueError(f"{name} is {figure:g}; it must be over 0")
