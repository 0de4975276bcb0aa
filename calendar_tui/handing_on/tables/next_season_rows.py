"""A season made of another one, as plain data for JSON."""

from __future__ import annotations

from calendar_tui.handing_on.tables.json_rows import Row
from calendar_tui.handing_on.tables.review_rows import carried_row
from calendar_tui.planning.next_season.making import NextSeason


def next_season_row(next_season: NextSeason, file: str, saved: bool) -> Row:
    """left: what is not carried over, with how many records or values; not_taken: as the review has them; dates as ISO 8601."""
    season = next_season.season
    return {
        "file": file,
        "saved": saved,
        "name": season.name,
        "first_day": season.first_day,
        "last_day": season.last_day,
        "years": next_season.years,
        "carried": [{"kind": kind, "count": count} for kind, count in next_season.carried],
        "dates": [one._asdict() for one in next_season.moved],
        "varieties": [
            {
                "variety": one.variety,
                "figures": [figure._asdict() for figure in one.figures],
                "sets": one.sets,
                "not_fitted": one.as_it_was,
                "doubted": list(one.doubted),
            }
            for one in next_season.varieties
        ],
        "trials": [one._asdict() for one in next_season.trials],
        "left": [one._asdict() for one in next_season.left],
        "not_taken": [carried_row(one) for one in next_season.open_proposals],
        "notes": list(next_season.notes),
        "clashes": [clash.text for clash in next_season.plan.clashes],
        "tasks": len(season.tasks),
        "tasks_before_today": next_season.past,
    }
