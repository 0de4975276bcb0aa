"""The batches of a season: what went in, how dry it is, when it is out, and what it takes of the dryer."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import NamedTuple

from calendar_tui.language.speaking import phrase
from calendar_tui.nature.rounding import whole
from calendar_tui.season.capacity import Capacity
from calendar_tui.season.cutting import Batch, DryingReading, Pass
from calendar_tui.season.lots import lot_named
from calendar_tui.season.records import Season, Variety
from calendar_tui.season.wording import day_text, number_text


class Drying(NamedTuple):
    """A batch with its passes and its readings, both by date.

    due: the day it is likely out: the recorded one, else by the drying time set for the dryer or for the variety. latest: the last
    day for it in the dryer: the recorded one, else the first on which it was measured dry, else by the longest drying time; why:
    of that day, "" once it is out. dry_since: when it was first measured as dry as wanted.
    """

    batch: Batch
    passes: tuple[Pass, ...]
    readings: tuple[DryingReading, ...]
    due: date
    latest: date
    why: str = ""
    dry_since: date | None = None

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
    passes = sorted(
        (one for one in season.passes.values() if one.batch == batch.id), key=lambda one: one.date
    )
    readings = [one for one in season.readings.values() if one.batch == batch.id]
    in_turn = sorted(readings, key=lambda one: (one.date, one.time is not None, one.time))
    own = [_variety(season, one) for one in passes]
    begun = Drying(batch, tuple(passes), tuple(in_turn), batch.date, batch.date)
    if batch.out is not None:
        return begun._replace(due=batch.out, latest=batch.out)
    likely, late = _drying_days(season, own)
    due, latest = (batch.date + timedelta(days=days) for days in (likely, late))
    wanted = min((variety.moisture_dry for variety in own), default=None)
    dry = _dry_since(in_turn, wanted)
    water, whys = _water_text(in_turn, wanted), [] if dry else [_time_text(batch, likely, late)]
    why = "; ".join(filter(None, (water, *whys)))
    return begun._replace(due=due, latest=dry or latest, why=why, dry_since=dry)


def _dry_since(in_turn: Sequence[DryingReading], wanted: float | None) -> date | None:
    """The first of the days since which every measure is as dry as wanted; None where the last one is not."""
    since = None
    for one in in_turn:
        if one.moisture is not None and wanted is not None:
            since = (since or one.date) if one.moisture <= wanted else None
    return since


def _water_text(in_turn: Sequence[DryingReading], wanted: float | None) -> str:
    """ "30 % water on 15 Jun, 10 % wanted"; "" where none was measured."""
    last = next((one for one in reversed(in_turn) if one.moisture is not None), None)
    if last is None or last.moisture is None or wanted is None:
        return ""
    return phrase(
        "{water} % water on {day}, {wanted} % wanted",
        water=number_text(100 * last.moisture),
        day=day_text(last.date),
        wanted=number_text(100 * wanted),
    )


def _time_text(batch: Batch, likely: int, late: int) -> str:
    span = f"{likely} d" if likely == late else phrase("{days} to {most} d", days=likely, most=late)
    return phrase("in since {day}, drying takes {span}", day=day_text(batch.date), span=span)


def dryings(season: Season) -> tuple[Drying, ...]:
    """Every batch, by the day on which it went in."""
    return tuple(
        drying_of(season, one) for one in sorted(season.batches.values(), key=lambda b: (b.date, b.id))
    )


def drying_days(season: Season, one: Pass) -> int:
    """How long a pass likely dries: as set for the dryer, else as its variety does."""
    return _drying_days(season, [_variety(season, one)])[0]


def _drying_days(season: Season, varieties: Sequence[Variety]) -> tuple[int, int]:
    """How many days these dry together, likely and at most: as set for the dryer, else as the slowest does; 0 where neither is known."""
    capacity = season.capacity or Capacity()
    if capacity.dryer_d is not None:
        return capacity.dryer_d, capacity.dryer_d
    likely = max((whole(variety.drying_d.likely) for variety in varieties), default=0)
    return likely, max((whole(variety.drying_d.late) for variety in varieties), default=likely)


def _variety(season: Season, one: Pass) -> Variety:
    return season.varieties[season.cohorts[cohort_of(season, one)].variety]


def cohort_of(season: Season, one: Pass) -> str:
    """The cohort that a pass is of."""
    lot = lot_named(season, one.lot)
    return one.lot if lot is None else lot.cohort


def free_again(season: Season, drying: Drying) -> date:
    """From when its room can be filled again: once it is out and the dryer is cleaned."""
    return drying.due + timedelta(days=(season.capacity or Capacity()).dryer_clean_d)
