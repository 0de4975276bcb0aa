"""The response of the date for many sites, varieties and weather years: pieces of work that need nothing from one another.

Any process can do a piece, on this machine or another: it takes plain records and gives plain columns.
"""

from __future__ import annotations

from array import array
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from calendar_tui.planning.laying_out.stages import Range
from calendar_tui.planning.laying_out.warmth import Warmth, season_warmth
from calendar_tui.planning.response.outcomes import RANGED, Outcome, Planting, around, outcome, timelines
from calendar_tui.season.records import Season

# Date columns of a piece, as days since 1 January of the year 1 (its number is 1); 0 where there is no date.
DATES = (
    *("planted", "begun", "up", "transplant", "lights_off"),
    *(f"{stage}{end}" for stage in RANGED for end in ("", "_earliest", "_latest")),
)
NO_GROWTH = -1


@dataclass(frozen=True, slots=True)
class Piece:
    """One planting at one site, for the dates from first to last, every so many days.

    season: at the site; each_year: a row a date and weather year, else the range over all years on one row.
    """

    site: str
    season: Season
    planting: Planting
    first: date
    last: date
    every_d: int = 1
    each_year: bool = True


@dataclass(frozen=True, slots=True)
class OutcomeColumns:
    """The rows of a piece. dates: by the names in DATES; growth_d: NO_GROWTH where there are none.

    years: the weather year of each row, "" where temperatures play no part or all years are together. notes: what the
    temperatures lack.
    """

    site: str
    planting: Planting
    years: tuple[str, ...]
    dates: dict[str, array[int]]
    growth_d: array[int]
    never: tuple[str, ...]
    notes: tuple[str, ...]


def work(piece: Piece) -> OutcomeColumns:
    """The rows of a piece, by weather year and then by date."""
    span = around(piece.season, piece.planting, piece.first, piece.last)
    warmth = season_warmth(span)
    count = (piece.last - piece.first).days // piece.every_d + 1
    days = [piece.first + timedelta(days=n * piece.every_d) for n in range(count)]
    rows = [
        (year, outcome(timeline))
        for year, own in _years(warmth, piece.each_year)
        for timeline in timelines(span, piece.planting, days, own)
    ]
    outcomes = [row for _, row in rows]
    return OutcomeColumns(
        piece.site,
        piece.planting,
        tuple(year for year, _ in rows),
        {
            name: array("i", column)
            for name, column in zip(DATES, zip(*map(_numbers, outcomes), strict=True), strict=True)
        },
        array("h", [NO_GROWTH if o.growth_d is None else o.growth_d for o in outcomes]),
        tuple(o.never for o in outcomes),
        () if warmth is None else warmth.notes,
    )


def _years(warmth: Warmth | None, each: bool) -> Iterator[tuple[str, Warmth | None]]:
    """Each weather year alone, by its name; all together where they are not taken apart, or there is none."""
    names = [year.name for year in next(iter(warmth.places.values()))] if warmth is not None else []
    if warmth is None or not each or not names:
        yield "", warmth
        return
    for n, name in enumerate(names):
        yield name, Warmth({place: (years[n],) for place, years in warmth.places.items()})


def _numbers(outcome: Outcome) -> tuple[int, ...]:
    """The dates of DATES as numbers."""
    single = (outcome.planted, outcome.begun, outcome.up, outcome.transplant, outcome.lights_off)
    ranged = (_three(getattr(outcome, stage)) for stage in RANGED)
    return (
        *(0 if day is None else day.toordinal() for day in single),
        *(n for three in ranged for n in three),
    )


def _three(dates: Range | None) -> tuple[int, int, int]:
    if dates is None:
        return 0, 0, 0
    return dates.likely.toordinal(), dates.earliest.toordinal(), dates.latest.toordinal()
