"""What a farm can hold and handle, and proposals kept as drafts beside the plan."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True, kw_only=True)
class Capacity:
    """None: not set, and not checked.

    dryer_kg: fresh crop at once, or dryer_m2 with dryer_kg_per_m2, or dryer_trays with dryer_kg_per_tray;
    dryer_d: None: the variety's likely drying time; dryer_clean_d: added to each drying. planting_ and harvest_: windows that the grower sets, both ends counted.
    samples_per_week: what the laboratory takes; samples: what may be tested in a season; sample_money: for tests.
    """

    dryer_kg: float | None = None
    dryer_m2: float | None = None
    dryer_kg_per_m2: float | None = None
    dryer_trays: int | None = None
    dryer_kg_per_tray: float | None = None
    dryer_d: int | None = None
    dryer_clean_d: int = 1
    samples_per_week: int | None = None
    planting_from: date | None = None
    planting_to: date | None = None
    harvest_from: date | None = None
    harvest_to: date | None = None
    samples: int | None = None
    sample_money_per_week: float | None = None
    sample_money: float | None = None

    @property
    def dryer_holds_kg(self) -> float | None:
        """Fresh crop (kg) that the dryer holds at once, by weight, by area or by trays."""
        if self.dryer_kg is not None:
            return self.dryer_kg
        laid = ((self.dryer_m2, self.dryer_kg_per_m2), (self.dryer_trays, self.dryer_kg_per_tray))
        return next((of * each for of, each in laid if of is not None and each is not None), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Drafted:
    """One cohort of a draft: where it would grow, how many plants, and its dates by stage."""

    place: str
    dates: Mapping[str, date]
    part: str = ""
    plants: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """Cohorts that might be planted. Nothing rests on them until they are accepted."""

    id: str
    variety: str
    start: str
    cohorts: tuple[Drafted, ...]
    wish: str = ""
    nursery: str | None = None
    spacing_m: tuple[float, float] | None = None
