"""What was weighed of a variety: fresh crop a plant, fresh to dry, water, days of drying; and what that would set. Sets nothing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from statistics import median
from typing import Any, NamedTuple

from calendar_tui.nature.quantities import wet_to_dry
from calendar_tui.planning.drying.batches import Drying, cohort_of, dryings
from calendar_tui.planning.evidence.figures import with_figure
from calendar_tui.season.lots import cut_through, passes_of
from calendar_tui.season.records import Season, Variety
from calendar_tui.season.variety_types import with_figures

# To what figures are rounded: g of a plant, and tenths of a percent of water.
_DIGITS = 3


class Weighed(NamedTuple):
    """fresh_kg: a plant, of cohorts that are cut through and weighed in every pass, with how many passes and plants.

    fresh_in, dry_out: kg of the batches weighed before and after; moisture_dry: of them, by their dry weight; days: each batch
    dried. None and () for what is not known.
    """

    variety: Variety
    fresh_kg: float | None
    passes: int
    plants: int
    fresh_in: float
    dry_out: float
    batches: int
    moisture_dry: float | None
    days: tuple[int, ...]

    @property
    def wet_to_dry(self) -> float | None:
        """kg fresh to one kg dry."""
        return self.fresh_in / self.dry_out if self.dry_out else None

    @property
    def moisture_fresh(self) -> float | None:
        """Water in the fresh crop, as the dry matter has it that came out: fresh x (1 - fresh water) = dry x (1 - dry water)."""
        if self.moisture_dry is None or not self.fresh_in:
            return None
        return 1 - self.dry_out * (1 - self.moisture_dry) / self.fresh_in


def weighed_of(season: Season, variety: Variety) -> Weighed | None:
    """What was weighed of a variety; None where nothing was."""
    if not season.passes:
        return None
    kg, passes, plants = _cut(season, variety)
    of_variety = [one for one in dryings(season) if _is_of(season, one, variety)]
    days = tuple(one.days for one in of_variety if one.days is not None)
    dried = [one for one in of_variety if one.wet_to_dry is not None]
    if not plants and not dried and not days:
        return None
    fresh = sum(one.fresh_kg or 0.0 for one in dried)
    dry = sum(one.batch.dry_kg or 0.0 for one in dried)
    return Weighed(
        variety,
        kg / plants if plants else None,
        passes,
        plants,
        fresh,
        dry,
        len(dried),
        _moisture(dried),
        days,
    )


def weighed_each(season: Season, variety: Variety) -> float | None:
    """Fresh crop of a plant, kg, by all that was cut of the variety; None where nothing was weighed whole."""
    kg, _, plants = _cut(season, variety)
    return round(kg / plants, _DIGITS) if plants and kg else None


def _cut(season: Season, variety: Variety) -> tuple[float, int, int]:
    """Fresh kg, passes and plants of the cohorts of which all that was cut is known."""
    kg, count, plants = 0.0, 0, 0
    for cohort in season.cohorts.values():
        if cohort.variety != variety.id or not cohort.plants or cut_through(season, cohort.id) is None:
            continue
        weights = [one.weight_kg for one in passes_of(season, cohort.id)]
        if None in weights:
            continue
        kg += sum(weight or 0.0 for weight in weights)
        count += len(weights)
        plants += cohort.plants
    return kg, count, plants


def _is_of(season: Season, one: Drying, variety: Variety) -> bool:
    """Whether all that dried in a batch is of the variety."""
    cohorts = [season.cohorts[cohort_of(season, p)] for p in one.passes]
    return bool(cohorts) and all(cohort.variety == variety.id for cohort in cohorts)


def _moisture(dried: Sequence[Drying]) -> float | None:
    """The share of water of what came out together; None where that of a batch is not known."""
    shares = [(one.batch.moisture, one.batch.dry_kg or 0.0) for one in dried]
    if not shares or any(moisture is None for moisture, _ in shares):
        return None
    return sum((moisture or 0.0) * kg for moisture, kg in shares) / sum(kg for _, kg in shares)


def offers(weighed: Weighed) -> Iterator[tuple[str, Variety]]:
    """The figures of the variety that differ from what was weighed, each with the variety as it would be."""
    variety = weighed.variety
    for key, value in (("fresh_kg_per_plant", weighed.fresh_kg), ("moisture_dry", weighed.moisture_dry)):
        if value is not None and round(value, _DIGITS) not in (getattr(variety, key), 0):
            figures: dict[str, Any] = {key: round(value, _DIGITS)}
            yield key, with_figures(variety, **figures)
    if weighed.days and (likely := float(median(weighed.days))) != variety.drying_d.likely and likely >= 1:
        yield "drying_d", with_figure(variety, "drying_d", likely, tuple(map(float, weighed.days)))


class Expected(NamedTuple):
    """What a batch comes to dry, kg, by `ratio` kg fresh to 1 dry; own: by own weighing, else by the figures of the variety."""

    dry_kg: float
    ratio: float
    own: bool


def expected_dry(season: Season, drying: Drying) -> Expected | None:
    """Of a batch of one variety that was weighed as it went in; None for others."""
    varieties = {season.cohorts[cohort_of(season, one)].variety for one in drying.passes}
    if len(varieties) != 1 or not drying.fresh_kg:
        return None
    variety = season.varieties[varieties.pop()]
    weighed = weighed_of(season, variety)
    own = None if weighed is None else weighed.wet_to_dry
    ratio = own or wet_to_dry(variety.moisture_fresh, variety.moisture_dry)
    return Expected(drying.fresh_kg / ratio, ratio, own is not None)


def weighed_values(season: Season, name: str) -> dict[str, float | list[int]]:
    """What was weighed of a variety by the keys of its figures; nothing of what is not known."""
    weighed = weighed_of(season, season.varieties[name])
    if weighed is None:
        return {}
    shares = {
        "fresh_kg_per_plant": weighed.fresh_kg,
        "moisture_fresh": weighed.moisture_fresh,
        "moisture_dry": weighed.moisture_dry,
    }
    known: dict[str, float | list[int]] = {
        key: round(value, _DIGITS) for key, value in shares.items() if value is not None
    }
    return known | ({"drying_d": list(weighed.days)} if weighed.days else {})
