"""What a season's work uses up, and what of it there is: supplies and stock."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True, kw_only=True)
class Supplies:
    """How much of a thing is used for one of another.

    tray_cells: of a tray whose nursery gives none; media_l_per_tray: litres; bags_per_sampling: one for each position in
    the canopy; labels_per_tray, labels_per_cohort: beside one for each bag. marks: where each figure comes from.
    """

    tray_cells: int = 242
    media_l_per_tray: float = 4.0
    bags_per_sampling: int = 3
    labels_per_tray: int = 1
    labels_per_cohort: int = 2
    marks: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """What there is for the whole season, used ones included; None if it is not set.

    seeds, cuttings: by variety; media_l: litres.
    """

    seeds: Mapping[str, int] = field(default_factory=dict)
    cuttings: Mapping[str, int] = field(default_factory=dict)
    trays: int | None = None
    media_l: float | None = None
    bags: int | None = None
    labels: int | None = None
