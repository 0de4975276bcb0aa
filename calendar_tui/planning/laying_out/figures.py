"""The figures of a variety in each future: what nobody knows of it takes its own value there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

from calendar_tui.nature.futures import COUNT, shares, values
from calendar_tui.planning.laying_out.stages import narrowed
from calendar_tui.season.records import FigureSet, Span, Variety
from calendar_tui.season.variety_types import DEFAULT, type_of, variety_types

# How many days lights off slips (placeholder), and how far a record lies from the day that the light gives (a fit of the
# graded count to open records, docs/how-dates-are-worked-out.md).
SLIP_D, RECORD_D = Span(-1, 0, 2), Span(-3.2, 0, 3.2)
# The same where sets were fitted: between that and the error which the fit takes records to have (nature/looks.py), whose 10th
# and 90th percentile are 4.5 d off. Placeholder, so chosen that simulated records 2 and 4 d off lie in the range as they should.
FITTED_RECORD_D = Span(-4, 0, 4)
# The least width between full-response and critical day (h), and the least count.
LEAST_WIDTH_H, LEAST_INDUCTIVE = 0.1, 1.0

Column = tuple[float, ...]


class Figures(NamedTuple):
    """A value a future of each figure: h for days, d for spans; slip_d and record_d may be below 0."""

    critical_h: Column
    full_h: Column
    juvenile_d: Column
    inductive_d: Column
    shoot_d: Column
    transplant_d: Column
    flowering_d: Column
    harvest_d: Column
    drying_d: Column
    slip_d: Column
    record_d: Column


class _Spans(NamedTuple):
    """The spans of the figures of Figures, but for the last two; width: from the full-response to the critical day, h."""

    critical: Span
    width: Span
    juvenile: Span
    inductive: Span
    shoot: Span
    transplant: Span
    flowering: Span
    harvest: Span
    drying: Span


def figures_of(variety: Variety, start: str, count: int = COUNT) -> Figures:
    """The figures of plants of a variety, from seed or cuttings, in so many futures.

    A critical day and a full-response day go together: what the latter's three figures say is how wide the two may be
    apart. Where records have left sets of figures that go together, each future has one of these, each set as often as any.
    """
    full, critical = spread(variety, "full_response_day"), variety.critical_day
    cut = variety.cutting_spread
    spans = _Spans(
        spread(variety, "critical_day"),
        Span(*(critical.likely - figure for figure in reversed(full))),
        spread(variety, "juvenile_d"),
        narrowed(spread(variety, "inductive_days"), start, cut),
        shoot_span(variety, start),
        transplant_span(variety, start),
        narrowed(flowering_span(variety), start, cut),
        narrowed(variety.flowering_to_harvest_d, start, cut),
        narrowed(variety.drying_d, start, cut),
    )
    drawn = _drawn(spans, count)
    if not variety.sets or not count:
        return drawn
    keep = 1.0 if start == "seed" else cut
    return drawn._replace(**_of_sets(variety.sets, variety.inductive_days.likely, keep, count))


@lru_cache(maxsize=64)
def _of_sets(sets: tuple[FigureSet, ...], needed: float, keep: float, count: int) -> dict[str, Column]:
    """The figures of a set in each future, the one at the future's share of the critical day.

    needed: the likely inductive days; keep: the part of their spread that is kept.
    """
    ranked = sorted(sets)
    critical, full, juvenile, inductive = zip(
        *[ranked[int(share * len(ranked))] for share in shares("critical_h", count)], strict=True
    )
    drawn_in = tuple([max(LEAST_INDUCTIVE, needed + keep * (days - needed)) for days in inductive])
    record = values("record_d", FITTED_RECORD_D, count)
    return {
        "critical_h": critical,
        "full_h": full,
        "juvenile_d": juvenile,
        "inductive_d": drawn_in,
        "record_d": record,
    }


@lru_cache(maxsize=256)
def _drawn(spans: _Spans, count: int) -> Figures:
    critical = values("critical_h", spans.critical, count)
    width = _at_least(LEAST_WIDTH_H, values("width_h", spans.width, count))
    others = zip(Figures._fields[2:9], spans[2:], strict=True)
    least = {"inductive_d": LEAST_INDUCTIVE}
    columns = [
        critical,
        tuple([c - w for c, w in zip(critical, width, strict=True)]),
        *[_at_least(least.get(figure, 0.0), values(figure, span, count)) for figure, span in others],
        values("slip_d", SLIP_D, count),
        values("record_d", RECORD_D, count),
    ]
    return Figures(*columns)


@dataclass(frozen=True, slots=True)
class Futures:
    """The futures of a cohort: which, by their numbers, of so many."""

    variety: Variety
    start: str
    of: int
    numbers: tuple[int, ...]

    def column(self, by_number: Sequence[float]) -> Column:
        """A figure's values, or a share's, in each of these futures, of its values in all there are."""
        return tuple([by_number[n] for n in self.numbers])

    @property
    def figures(self) -> Figures:
        """The figures of the variety in each of these futures."""
        every = figures_of(self.variety, self.start, self.of)
        return every if len(self.numbers) == self.of else Figures(*map(self.column, every))


def _at_least(least: float, column: Column) -> Column:
    return tuple([max(least, value) for value in column])


def spread(variety: Variety, key: str) -> Span:
    """A figure of the response with its spread: as given, or where it is one number that of the variety's type, else the default."""
    span: Span = getattr(variety, key)
    if span.early < span.late:
        return span
    kind = type_of(variety)
    known = kind if kind is not None and key in kind.figures else variety_types()[DEFAULT]
    return Span(*(span.likely + apart for apart in known.spread(key)))


def shoot_span(variety: Variety, start: str) -> Span:
    """Days from seeding to emergence, or from sticking to rooted."""
    return narrowed(
        variety.rooting_d if start == "cutting" else variety.emergence_d, start, variety.cutting_spread
    )


def transplant_span(variety: Variety, start: str) -> Span:
    """Days from seeding or sticking to the transplant, where that has no date."""
    return narrowed(variety.to_transplant_d(start), start, variety.cutting_spread)


def flowering_span(variety: Variety) -> Span:
    """Days from induced, or of a day-neutral variety from emerged or rooted, to flowering."""
    if variety.response == "day-neutral":
        return variety.emergence_to_flowering_d
    return variety.induced_to_flowering_d
