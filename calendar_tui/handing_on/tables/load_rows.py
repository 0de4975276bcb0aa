"""What a season takes of the farm by week, as plain data for JSON."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from calendar_tui.handing_on.tables.json_rows import Row
from calendar_tui.planning.capacity.by_week import KINDS, WeekUse
from calendar_tui.planning.capacity.hours import guessed_chores
from calendar_tui.planning.capacity.over_full import not_counted
from calendar_tui.planning.capacity.uses import WEEKLY
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.season.records import Season
from calendar_tui.season.weeks import iso_week

# Kinds whose figure is the week's sum; of others it is the most on one day.
SUMS = (*WEEKLY, "lamps")


def load_data(
    season: Season,
    timelines: Mapping[str, Timeline],
    uses: Iterable[WeekUse],
    kinds: Sequence[str] = KINDS,
) -> Row:
    """weeks: a row for each week, kind and thing, its amounts in `unit`; missing: by kind, what is not counted or compared.

    futures: of a week, the 10th and 90th percentile of its amount, and in how many of how many futures it is over-full; null
    for lamps and circuits.
    """
    return {
        "weeks": [_row(season, use) for use in uses],
        "missing": {kind: list(not_counted(season, timelines, kind)) for kind in kinds},
    }


def _row(season: Season, use: WeekUse) -> Row:
    guesses = guessed_chores(season)
    return {
        "week": use.monday,
        "iso_week": iso_week(use.monday),
        "kind": use.kind,
        "of": use.of,
        "amount": use.amount,
        "unit": use.unit,
        "has": use.has,
        "over": use.over,
        "futures": use.futures and use.futures._asdict(),
        "guessed": use.guessed,
        "day": None if use.kind in SUMS else use.day,
        "cohorts": [
            {"id": s.cohort, "amount": s.amount, "first": s.first, "last": s.last} for s in use.shares
        ]
        or [{"id": name} for name in use.cohorts],
        "tasks": [
            {
                "id": t.id,
                "date": t.date,
                "hours": t.hours,
                "guessed": t.chore in guesses,
                "cohorts": list(t.about),
                "place": t.place,
                "what": t.what,
                "state": t.state,
            }
            for t in use.tasks
        ],
    }
