"""What the trend of a lot takes in: which results, and which cohorts before it. Without numpy."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from datetime import date
from typing import Protocol

from calendar_tui.nature.cannabinoid_trend.results import (
    Result,
    check,
    dates_missing,
    deciding_position,
    since_flowering,
)
from calendar_tui.nature.measured import Interval
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.results.used import Results, Used
from calendar_tui.season.records import Season
from calendar_tui.season.rules import Lot

# Sorted, all from flowering on.
Rows = tuple[Result, ...]


class Sampled(Protocol):
    """What a season has of it."""

    @property
    def season(self) -> Season: ...
    @property
    def timelines(self) -> Mapping[str, Timeline]: ...
    @property
    def results(self) -> Results: ...


def of_lot(results: Results, lot: Lot) -> Iterator[Used]:
    """What counts of a lot: its own bags, and those of its cohort that are of no lot in particular."""
    return (one for one in results.of_cohort(lot.cohort) if one.sample.lot in ("", lot.id))


def why_not(one: Used) -> str:
    """Why a total is none that a crop can have, so that no trend takes it; "" for a good one."""
    try:
        check(results_for((one,), "thc"))
    except ValueError as why:
        return str(why)
    return ""


def results_for(used: Iterable[Used], analyte: str) -> list[Result]:
    """The results as the trend takes them, of "thc" or "cbd"; those in which it was not tested are left out."""
    out = []
    for one in used:
        found: Interval | None = getattr(one.figures, analyte)
        if found is None or (analyte == "cbd" and not found.high):
            continue
        laboratory = one.result.laboratory or one.sample.laboratory
        out.append(
            Result(float(one.day), one.sample.position, float(found.low), float(found.high), laboratory)
        )
    return out


def rows_of(used: Iterable[Used], analyte: str) -> Rows:
    """The good ones, sorted."""
    return since_flowering(results_for([one for one in used if not why_not(one)], analyte))


def what_decides(rows: Rows, cut: Collection[str]) -> tuple[str | None, Rows]:
    """The position that is held against the limit, with its results; None for no results. rows: of a lot; cut: positions that are cut.

    Of what stands, once that has results of enough dates; until then of all, so that no limit is lost by cutting.
    """
    for among in (tuple(row for row in rows if row.position not in cut), rows):
        position = deciding_position(among)
        own = tuple(row for row in among if row.position == position)
        if among is rows or not dates_missing(own):
            break
    return position, own


def earlier_cohorts(seen: Sampled, cohort: str) -> tuple[str, ...]:
    """The cohorts of its variety with results that flowered before it; of one day, those before it in the season."""
    order = {name: at for at, name in enumerate(seen.season.cohorts)}
    variety = seen.season.cohorts[cohort].variety
    sampled = {one.sample.cohort for one in seen.results.used}

    def when(name: str) -> tuple[date, int]:
        return seen.timelines[name].likely("flowering") or date.max, order[name]

    own = [name for name in order if seen.season.cohorts[name].variety == variety and name in sampled]
    return tuple(sorted((name for name in own if when(name) < when(cohort)), key=when))


def earlier_rows(seen: Sampled, earlier: Iterable[str], analyte: str) -> tuple[Rows, ...]:
    """The results of those cohorts, all positions of one together; those without any are left out."""
    rows = (rows_of(seen.results.of_cohort(name), analyte) for name in earlier)
    return tuple(filter(None, rows))
