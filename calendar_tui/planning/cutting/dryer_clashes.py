"""What dries together and may not, and batches that take more of the dryer than there is."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from typing import TYPE_CHECKING

from calendar_tui.planning.clash import Clash, Recorded
from calendar_tui.planning.drying.batches import Drying, cohort_of, dryings
from calendar_tui.planning.drying.room import over_laid
from calendar_tui.season.records import Season

if TYPE_CHECKING:
    from calendar_tui.planning.laying_out.timeline import Timeline

MIXED, NO_ROOM = "mixed batch", "dryer room"


def dryer_clashes(season: Season, timelines: Mapping[str, Timeline], today: date) -> Iterator[Clash]:
    """Of every batch; its weight in the dryer is counted with what is still to be cut, in `capacity/over_full.py`."""
    every = dryings(season)
    yield from _mixed(season, timelines, today, [one for one in every if len(one.passes) > 1])
    for n, one in enumerate(every):
        if one.is_in and (text := over_laid(season, one, every[:n], today)):
            text = f"batch {one.batch.id}: {text}"
            yield Clash(
                f"{NO_ROOM}: {one.batch.id}", _cohorts(season, one), text, recorded=_recorded(one, today)
            )


def _mixed(
    season: Season, timelines: Mapping[str, Timeline], today: date, several: list[Drying]
) -> Iterator[Clash]:
    if not several:
        return
    from calendar_tui.planning.drying.mixing import why_apart
    from calendar_tui.planning.results.used import results_of

    results = results_of(season, timelines, today)
    for one in several:
        for n, new in enumerate(one.passes):
            if why := why_apart(season, results, one.passes[:n], new):
                text = (
                    f"batch {one.batch.id}: {why}; they never dry together: give {new.id} a batch of its own"
                )
                yield Clash(f"{MIXED}: {new.id}", _cohorts(season, one), text, recorded=_recorded(one, today))


def _recorded(one: Drying, today: date) -> Recorded:
    return Recorded("batch", one.batch.id, one.batch.out or today)


def _cohorts(season: Season, one: Drying) -> tuple[str, ...]:
    return tuple(dict.fromkeys(cohort_of(season, each) for each in one.passes))
