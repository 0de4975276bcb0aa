"""The immutable records of the harvest: a round of cutting, what dries together, and how dry it is."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field

RIPE = "ripe"
WHYS = (RIPE, "limit", "window", "weather", "room")


@dataclass(frozen=True, slots=True, kw_only=True)
class Pass:
    """One round of cutting in a lot. part: which part of the plants; share: of the lot's plants, where not all are cut.

    fresh_kg: weighed, by part. why: for what it was cut on this day. last: whether nothing is left to cut. batch: in which it
    dries.
    """

    id: str
    date: dt.date
    lot: str
    part: str = ""
    plots: tuple[str, ...] = ()
    share: float | None = None
    fresh_kg: Mapping[str, float] = field(default_factory=dict)
    why: str = ""
    last: bool = False
    batch: str = ""
    note: str = ""

    @property
    def is_forced(self) -> bool:
        """Whether something else than ripeness set the day: it shows nothing of when the plants are ripe."""
        return self.why not in ("", RIPE)

    @property
    def weight_kg(self) -> float | None:
        """All that was weighed fresh; None where nothing was."""
        return sum(self.fresh_kg.values()) if self.fresh_kg else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """What dries together, from `date` on. out: the day it was out; moisture: share of water then; retained_g: kept sample."""

    id: str
    date: dt.date
    area_m2: float | None = None
    trays: int | None = None
    out: dt.date | None = None
    moisture: float | None = None
    dry_kg: float | None = None
    retained_g: float | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DryingReading:
    """How a batch stands on a day: its share of water, its weight, and the air of the room."""

    id: str
    date: dt.date
    batch: str
    time: dt.time | None = None
    moisture: float | None = None
    kg: float | None = None
    air_c: float | None = None
    air_humidity: float | None = None
    note: str = ""
