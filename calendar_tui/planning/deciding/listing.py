"""All that is to be decided, by the day on which it is too late: the one list that `decide`, Today and the week draw on."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, NamedTuple

from calendar_tui.language.speaking import tr
from calendar_tui.planning.clash import Clash
from calendar_tui.planning.deciding.dates import (
    look_decisions,
    looks_of,
    record_decisions,
    relight_decisions,
    relight_of,
    stage_decisions,
)
from calendar_tui.planning.deciding.decision import CLOSED, LOOK, RECORD, RELIGHT, Decision
from calendar_tui.planning.laying_out.light import Light
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.season.records import Season

if TYPE_CHECKING:
    from calendar_tui.planning.results.used import Results

# These have parts of their own in Today, or a count of their own.
APART = (CLOSED, RELIGHT, LOOK, RECORD)


def find_decisions(
    season: Season,
    timelines: Mapping[str, Timeline],
    light: Light,
    clashes: Iterable[Clash],
    today: date,
    results: Results | None = None,
) -> tuple[Decision, ...]:
    """Every row, what is past first, and what has no day last. results: of the season, where they are known already."""
    relight = relight_of(season, timelines, light, today)
    rows = [
        *relight_decisions(relight, today),
        *look_decisions(looks_of(season, timelines, light, today, relight), today),
        *stage_decisions(season, timelines, light, today),
        *record_decisions(timelines, clashes, today),
        *_of_crop(season, timelines, clashes, today, results),
    ]
    return tuple(sorted(rows, key=lambda row: row.order))


def _of_crop(
    season: Season,
    timelines: Mapping[str, Timeline],
    clashes: Iterable[Clash],
    today: date,
    known: Results | None,
) -> Iterator[Decision]:
    kept = season.sprays, season.samples, season.results, season.officials, season.passes, season.batches
    if not any((*kept, season.profiles, season.lots, season.samplings)):
        return
    from calendar_tui.planning.deciding.crop import (
        bag_decisions,
        closed_decisions,
        official_decisions,
        result_decisions,
        spray_record_decisions,
    )
    from calendar_tui.planning.deciding.harvest import batch_decisions, cut_decisions, made_decisions
    from calendar_tui.planning.deciding.over import over_decisions, variety_decisions
    from calendar_tui.planning.results.used import results_of

    results = results_of(season, timelines, today) if known is None else known
    yield from over_decisions(season, timelines, today, results)
    yield from variety_decisions(season, today, results)
    yield from closed_decisions(season, today)
    yield from spray_record_decisions(season, today)
    yield from bag_decisions(season, timelines, today)
    yield from result_decisions(season, timelines, today, results)
    yield from official_decisions(season, timelines, today)
    yield from cut_decisions(season, timelines, today, results)
    yield from batch_decisions(season, today)
    yield from made_decisions(timelines, clashes, today)


def to_decide(rows: Iterable[Decision]) -> tuple[Decision, ...]:
    """What is neither closed, nor to relight or to look at, and no date to record."""
    return tuple(row for row in rows if row.kind not in APART)


class Tally(NamedTuple):
    """How much there is of the list: to decide, to look at, to record (each cohort by itself), and places to keep out of."""

    to_decide: int
    to_look_at: int
    to_record: int
    closed: int

    @property
    def text(self) -> str:
        """ "6 to decide, 1 to record, 1 not to enter"; "" for nothing."""
        counts = (
            (self.to_decide, tr("{count} to decide", count=self.to_decide)),
            (self.to_look_at, tr("{count} to look at", count=self.to_look_at)),
            (self.to_record, tr("{count} to record", count=self.to_record)),
            (self.closed, tr("{count} not to enter", count=self.closed)),
        )
        return ", ".join(text for count, text in counts if count)


def tally_of(rows: Sequence[Decision]) -> Tally:
    """Counts the list, for every place that tells how much waits."""
    return Tally(
        urgent_count(rows),
        sum(row.kind == LOOK for row in rows),
        sum(len(row.cohorts) for row in rows if row.kind == RECORD),
        sum(row.kind == CLOSED for row in rows),
    )


def urgent_count(rows: Iterable[Decision]) -> int:
    """How much is to be decided: all but what is closed, or to be looked at or recorded."""
    return len(urgent_rows(rows))


def urgent_rows(rows: Iterable[Decision]) -> tuple[Decision, ...]:
    """What is to be decided, and neither left alone, looked at nor recorded."""
    return tuple(row for row in rows if row.kind not in (CLOSED, LOOK, RECORD))
