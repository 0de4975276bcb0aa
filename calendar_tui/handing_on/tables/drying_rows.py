"""Passes and batches as rows for JSON. Weights in kg, shares from 0 to 1, dates by ISO 8601."""

from __future__ import annotations

from typing import Any

from calendar_tui.planning.drying.batches import Drying, cohort_of, free_again
from calendar_tui.planning.drying.weighed import Weighed, expected_dry
from calendar_tui.season.cutting import DryingReading, Pass
from calendar_tui.season.records import Season

_DIGITS = 6


def pass_row(season: Season, one: Pass) -> dict[str, Any]:
    """One round of cutting; fresh_kg: by part; weight_kg: all of it."""
    return {
        "id": one.id,
        "date": one.date.isoformat(),
        "lot": one.lot,
        "cohort": cohort_of(season, one),
        "part": one.part,
        "plots": list(one.plots),
        "share": one.share,
        "fresh_kg": dict(one.fresh_kg),
        "weight_kg": _rounded(one.weight_kg),
        "why": one.why,
        "last": one.last,
        "batch": one.batch,
        "note": one.note,
    }


def batch_row(season: Season, drying: Drying) -> dict[str, Any]:
    """One batch. due: when it is likely out; latest: the last day for it; free: from when its room can be filled again; wet_to_dry: kg fresh to 1 kg dry."""
    batch, expected = drying.batch, expected_dry(season, drying)
    return {
        "id": batch.id,
        "date": batch.date.isoformat(),
        "passes": [one.id for one in drying.passes],
        "fresh_kg": _rounded(drying.fresh_kg),
        "trays": batch.trays,
        "area_m2": batch.area_m2,
        "readings": [_reading_row(one) for one in drying.readings],
        "moisture": drying.moisture,
        "due": drying.due.isoformat(),
        "latest": drying.latest.isoformat(),
        "out": None if batch.out is None else batch.out.isoformat(),
        "free": free_again(season, drying).isoformat(),
        "dry_kg": batch.dry_kg,
        "retained_g": batch.retained_g,
        "wet_to_dry": _rounded(drying.wet_to_dry),
        "expected_dry_kg": None if expected is None or batch.dry_kg else _rounded(expected.dry_kg),
        "expected_by": "" if expected is None or batch.dry_kg else ("own" if expected.own else "figures"),
        "days": drying.days,
        "note": batch.note,
    }


def weighed_row(weighed: Weighed) -> dict[str, Any]:
    """Own weighing of a variety: fresh crop a plant, of its batches kg fresh and dry, kg fresh to 1 dry, water, days of drying."""
    return {
        "variety": weighed.variety.id,
        "fresh_kg_per_plant": _rounded(weighed.fresh_kg),
        "passes": weighed.passes,
        "plants": weighed.plants,
        "fresh_kg": _rounded(weighed.fresh_in),
        "dry_kg": _rounded(weighed.dry_out),
        "batches": weighed.batches,
        "wet_to_dry": _rounded(weighed.wet_to_dry),
        "moisture_fresh": _rounded(weighed.moisture_fresh),
        "moisture_dry": _rounded(weighed.moisture_dry),
        "drying_d": list(weighed.days),
    }


def _reading_row(one: DryingReading) -> dict[str, Any]:
    return {
        "id": one.id,
        "date": one.date.isoformat(),
        "time": None if one.time is None else f"{one.time:%H:%M}",
        "moisture": one.moisture,
        "kg": one.kg,
        "air_c": one.air_c,
        "air_humidity": one.air_humidity,
        "note": one.note,
    }


def _rounded(figure: float | None) -> float | None:
    return None if figure is None else round(figure, _DIGITS)
