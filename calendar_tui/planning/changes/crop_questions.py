"""What speaks for another unit or figure in a weight or a share of water that is typed of the harvest."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from calendar_tui.planning.drying.batches import drying_of
from calendar_tui.season.cutting import Batch, DryingReading, Pass
from calendar_tui.season.lots import lot_named
from calendar_tui.season.measures import measured, unit_shown
from calendar_tui.season.records import Season
from calendar_tui.season.wording import day_text, number_text

# Fresh kg of a plant, dry kg of a fresh one, water left in what is out, and what it takes up again between two readings: more than
# this is hardly meant. All common practice, no source.
MOST_KG, MOST_DRY, MOST_WATER, MOST_RISE = 10, 0.5, 0.2, 0.1
_PRACTICE = "common practice, no source"


def crop_questions(before: Season, after: Season, names: Sequence[str]) -> Iterator[str]:
    """names: of the passes, batches or readings that are added or changed; each asked about for what is new in it."""
    for name in names:
        one, was = after.passes.get(name), before.passes.get(name)
        if one is not None and (was is None or (one.fresh_kg, one.lot) != (was.fresh_kg, was.lot)):
            yield from _of_pass(after, one)
        batch, old = after.batches.get(name), before.batches.get(name)
        if batch is not None:
            yield from _of_batch(after, batch, old)
        reading, read = after.readings.get(name), before.readings.get(name)
        if reading is not None and reading.moisture is not None and reading != read:
            yield from _of_reading(after, reading, reading.moisture)


def _of_pass(season: Season, one: Pass) -> Iterator[str]:
    lot = lot_named(season, one.lot)
    plants = None if lot is None else lot.plants or season.cohorts[lot.cohort].plants
    kg = one.weight_kg
    if plants and kg is not None and kg / plants > MOST_KG:
        yield (
            f"{unit_shown('kg')} or {unit_shown('g')}? {measured(kg, 'kg')} of {plants} plants is {measured(kg / plants, 'kg')} a "
            f"plant, over {measured(MOST_KG, 'kg')} ({_PRACTICE})"
        )


def _of_batch(season: Season, batch: Batch, old: Batch | None) -> Iterator[str]:
    fresh = drying_of(season, batch).fresh_kg
    dry, water = batch.dry_kg, batch.moisture
    if dry is not None and fresh and dry > MOST_DRY * fresh and (old is None or old.dry_kg != dry):
        yield (
            f"{measured(dry, 'kg')} dry of {measured(fresh, 'kg')} fresh is over {_percent(MOST_DRY)} of it ({_PRACTICE}); is it the "
            "weight after drying?"
        )
    if water is not None and water > MOST_WATER and (old is None or old.moisture != water):
        yield (
            f"{batch.id} out with {_percent(water)} water: over {_percent(MOST_WATER)} it is not dry enough to be stored "
            f"({_PRACTICE})"
        )


def _of_reading(season: Season, reading: DryingReading, water: float) -> Iterator[str]:
    """That a batch would have taken up water since the reading before."""
    batch = season.batches.get(reading.batch)
    in_turn = () if batch is None else drying_of(season, batch).readings
    before = [one for one in in_turn[: in_turn.index(reading)] if one.moisture is not None] if in_turn else []
    last = before[-1] if before else None
    if last is not None and last.moisture is not None and water - last.moisture > MOST_RISE:
        yield (
            f"{reading.batch} reads {_percent(water)} water, after {_percent(last.moisture)} on {day_text(last.date)}: it would "
            "have taken up water"
        )


def _percent(share: float) -> str:
    return f"{number_text(100 * share)} %"
