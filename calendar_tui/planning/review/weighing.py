"""Figures that a season's own counts and weights give: drying days, water and weight of the crop, plants alive, the laboratory's days."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from statistics import fmean, median
from typing import NamedTuple

from calendar_tui.nature.quantities import wet_to_dry
from calendar_tui.planning.changes.variety_change import FIGURES, value_text, written
from calendar_tui.planning.drying.weighed import Weighed, weighed_of
from calendar_tui.planning.evidence.figures import with_figure
from calendar_tui.season.field_names import field_words, find_field
from calendar_tui.season.measures import as_written, figure, unit_shown
from calendar_tui.season.measures import measured as measured_text
from calendar_tui.season.records import Season, Span, Variety
from calendar_tui.season.typed_values import typed_text

# A figure rests on so many records at least; a starting value, no source.
ENOUGH = 3
_DIGITS = 3


class Measured(NamedTuple):
    """A figure that was counted or weighed beside the one that stands.

    word: what its id begins with; kind, name: the record; field: in words; old, new: as they are shown; n: records. measure: what it
    is held against, in `unit`: as the old figure says it, as the new one does, and as it was, None where that is 0 by itself.
    typed: the new one as it is typed, "" where that is as it is shown.
    """

    word: str
    kind: str
    name: str
    field: str
    old: str
    new: str
    n: int
    measure: str
    unit: str
    before: float
    after: float
    recorded: float | None
    typed: str = ""


def measured(season: Season) -> Iterator[Measured]:
    """Every figure of the season that its own counts and weights would change."""
    for variety in season.varieties.values():
        weighed = weighed_of(season, variety)
        if weighed is not None:
            yield from _drying(variety, weighed)
            yield from _weight(variety, weighed)
            yield from _water(variety, weighed)
        yield from _alive(season, variety)
    yield from _turnarounds(season)


def _drying(variety: Variety, weighed: Weighed) -> Iterator[Measured]:
    days = sorted(weighed.days)
    if not days or (likely := float(median(days))) == variety.drying_d.likely or likely < 1:
        return
    new = with_figure(variety, "drying_d", likely, tuple(map(float, days)))
    off = [fmean(abs(n - one.drying_d.likely) for n in days) for one in (variety, new)]
    measure = "mean days between drying as planned and as it was"
    yield _of_variety("drying", variety, new, "drying_d", len(days), measure, "d", off[0], off[1], None)


def _weight(variety: Variety, weighed: Weighed) -> Iterator[Measured]:
    """Fresh crop of a plant: what all cut plants would have weighed."""
    old = variety.fresh_kg_per_plant
    if not weighed.fresh_kg or old is None or round(weighed.fresh_kg, _DIGITS) in (0, old):
        return
    new, plants = round(weighed.fresh_kg, _DIGITS), weighed.plants
    field = find_field("variety", "fresh_kg_per_plant")
    yield Measured(
        "fresh",
        "variety",
        variety.id,
        field.words,
        measured_text(old, "kg", as_written),
        measured_text(new, "kg", as_written),
        weighed.passes,
        f"fresh crop of {plants} plants",
        "kg",
        round(old * plants, 1),
        round(new * plants, 1),
        round(weighed.fresh_kg * plants, 1),
        typed_text(field, new),
    )


def _water(variety: Variety, weighed: Weighed) -> Iterator[Measured]:
    """Water in the fresh crop, by what was weighed wet and dry: the dry crop that the fresh one would have come to."""
    share, dry = weighed.moisture_fresh, weighed.moisture_dry
    if (
        share is None
        or dry is None
        or round(share, _DIGITS) == variety.moisture_fresh
        or not dry <= share < 1
    ):
        return
    new, fresh = round(share, _DIGITS), weighed.fresh_in
    by_moisture_kg = fresh / wet_to_dry(
        variety.moisture_fresh, min(variety.moisture_dry, variety.moisture_fresh)
    )
    yield Measured(
        "water",
        "variety",
        variety.id,
        field_words("variety", "moisture_fresh"),
        f"{variety.moisture_fresh:g}",
        f"{new:g}",
        weighed.batches,
        f"dry crop of {figure(fresh, 'kg', as_written)} {unit_shown('kg')} fresh",
        "kg",
        round(by_moisture_kg, 1),
        round(fresh / wet_to_dry(new, dry), 1),
        round(weighed.dry_out, 1),
    )


def _alive(season: Season, variety: Variety) -> Iterator[Measured]:
    """The share of plants alive, by the last count of each plot or cohort that is held against its plants."""
    counts = {v.id for v in season.variables.values() if v.planned == "plants"}
    last = {
        (one.variable, one.at): one.value
        for one in sorted(season.observations, key=lambda one: one.date)
        if one.variable in counts and one.value.isdecimal()
    }
    pairs = [(int(value), _plants(season, at, variety)) for (_, at), value in sorted(last.items())]
    known = [(alive, plants) for alive, plants in pairs if plants]
    planted, alive = sum(plants for _, plants in known), sum(alive for alive, _ in known)
    new = round(alive / planted, _DIGITS) if planted else 0.0
    if len(known) < ENOUGH or not 0 < new <= 1 or new == variety.survival:
        return
    yield Measured(
        "alive",
        "variety",
        variety.id,
        field_words("variety", "survival"),
        f"{variety.survival:g}",
        f"{new:g}",
        len(known),
        f"plants alive of {planted}",
        "plants",
        round(variety.survival * planted, 1),
        round(new * planted, 1),
        float(alive),
    )


def _plants(season: Season, at: str, variety: Variety) -> int:
    """The plants of a plot or cohort of the variety; 0 for others."""
    plot = season.plots.get(at)
    cohort = season.cohorts.get(at if plot is None else plot.cohort)
    if cohort is None or cohort.variety != variety.id:
        return 0
    return (cohort.plants if plot is None else plot.plants) or 0


def _turnarounds(season: Season) -> Iterator[Measured]:
    for laboratory in season.laboratories.values():
        days = sorted(_waited(season, laboratory.id))
        if len(days) < ENOUGH:
            continue
        old, new = laboratory.turnaround_d, Span(days[0], median(days), days[-1])
        if new == old or new.likely < 1:
            continue
        off = [fmean(abs(n - span.likely) for n in days) for span in (old, new)]
        yield Measured(
            "turnaround",
            "laboratory",
            laboratory.id,
            field_words("laboratory", "turnaround_d"),
            _span(old),
            _span(new),
            len(days),
            "mean days between results as expected and as they came",
            "d",
            off[0],
            off[1],
            None,
        )


def _waited(season: Season, laboratory: str) -> Iterator[int]:
    """Days from sending to the report, of each result."""
    for result in season.results.values():
        sample = season.samples.get(result.sample)
        if sample is not None and laboratory in (result.laboratory, sample.laboratory):
            yield (result.date - (sample.sent or sample.date)).days


def _span(span: Span) -> str:
    return ", ".join(f"{n:g}" for n in span)


def _of_variety(
    word: str,
    variety: Variety,
    new: Variety,
    key: str,
    n: int,
    measure: str,
    unit: str,
    before: float,
    after: float,
    recorded: float | None,
) -> Measured:
    texts: Sequence[str] = [
        value_text(written(FIGURES[key], getattr(one, key))).strip("[]") for one in (variety, new)
    ]
    return Measured(
        word,
        "variety",
        variety.id,
        field_words("variety", key),
        texts[0],
        texts[1],
        n,
        measure,
        unit,
        before,
        after,
        recorded,
    )
