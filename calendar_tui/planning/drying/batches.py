"""The batches of a season: what went in, how dry it is, when it is out, and what it takes of the dryer."""

from __future__ import annotations

from datetime import date, timedelta
from typing import NamedTuple

from calendar_tui.nature.rounding import whole
from calendar_tui.season.capacity import Capacity
from calendar_tui.season.cutting import Batch, DryingReading, Pass
from calendar_tui.season.lots import lot_named
from calendar_tui.season.records import Season


class Drying(NamedTuple):
    """A batch with its passes and its readings, both by date.

    due: the day it is out: the recorded one, else by the drying time set for the dryer or for the variety.
    """

    batch: Batch
    passes: tuple[Pass, ...]
    readings: tuple[DryingReading, ...]
    due: date

    @property
    def fresh_kg(self) -> float | None:
        """All that went in; None where a pass was not weighed."""
        weights = [one.weight_kg for one in self.passes]
        known = [weight for weight in weights if weight is not None]
        return sum(known) if known and len(known) == len(weights) else None

    @property
    def is_in(self) -> bool:
        """Whether it is not recorded as out."""
        return self.batch.out is None

    @property
    def moisture(self) -> float | None:
        """Its share of water: when it came out, else as last measured."""
        read = [one.moisture for one in self.readings if one.moisture is not None]
        return self.batch.moisture if self.batch.moisture is not None else (read[-1] if read else None)

    @property
    def days(self) -> int | None:
        """Days it dried; None while it is in."""
        return None if self.batch.out is None else (self.batch.out - self.batch.date).days

    @property
    def wet_to_dry(self) -> float | None:
        """kg fresh to one kg dry, as weighed; None while one of them is not known."""
        fresh, dry = self.fresh_kg, self.batch.dry_kg
        return fresh / dry if fresh and dry else None


def drying_of(season: Season, batch: Batch) -> Drying:
    """One batch with what belongs to it."""
    passes = [one for one in season.passes.values() if one.batch == batch.id]
    readings = [one for one in season.readings.values() if one.batch == batch.id]
    in_turn = sorted(readings, key=lambda one: (one.date, one.time is not None, one.time))
    days = max([drying_days(season, one) for one in passes], default=drying_days(season, None))
    due = batch.out or batch.date + timedelta(days=days)
    return Drying(batch, tuple(sorted(passes, key=lambda one: one.date)), tuple(in_turn), due)


def dryings(season: Season) -> tuple[Drying, ...]:
    """Every batch, by the day on which it went in."""
    return tuple(
        drying_of(season, one) for one in sorted(season.batches.values(), key=lambda b: (b.date, b.id))
    )


def drying_days(season: Season, one: Pass | None) -> int:
    """How long a pass dries: as set for the dryer, else as its variety likely does; 0 where neither is known."""
    capacity = season.capacity or Capacity()
    if capacity.dryer_d is not None or one is None:
        return capacity.dryer_d or 0
    return whole(season.varieties[season.cohorts[cohort_of(season, one)].variety].drying_d.likely)


def cohort_of(season: Season, one: Pass) -> str:
    """The cohort that a pass is of."""
    lot = lot_named(season, one.lot)
    return one.lot if lot is None else lot.cohort


def free_again(season: Season, drying: Drying) -> date:
    """From when its room can be filled again: once it is out and the dryer is cleaned."""
    return drying.due + timedelta(days=(season.capacity or Capacity()).dryer_clean_d)
