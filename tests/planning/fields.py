"""A field of one short-day variety, sown on several days, and what plants of given figures would show there."""

from __future__ import annotations

from datetime import date, timedelta

from calendar_tui.nature.plant import Response, induction
from calendar_tui.planning.plan import make_plan
from tests.planning.farm import season_of

RALEIGH = {"latitude": 35.8, "longitude": -78.7, "timezone": "America/New_York"}
UP_D = 5


def field_data(sowings, induced=(), year=2027, site=RALEIGH, variety=None, **tables):
    """A1, A2 ... of the variety v, sown in F1 on these days (month, day), up 5 days later. induced: recorded dates, or None."""
    seen = [*induced, *[None] * (len(sowings) - len(induced))]
    return {
        "format": 3,
        "season": {"name": f"Field {year}", "first_day": date(year, 3, 1), "last_day": date(year, 12, 20)},
        "site": site,
        "place": [{"id": "F1", "kind": "field"}],
        "variety": [{"id": "v", "response": "short-day", "type": "oil-unknown"} | (variety or {})],
        "cohort": [
            _cohort(n, date(year, *day), at) for n, (day, at) in enumerate(zip(sowings, seen, strict=True), 1)
        ],
    } | tables


def _cohort(n, sown, induced):
    recorded = {"seeding": sown, "emergence": sown + timedelta(days=UP_D)}
    if induced is not None:
        recorded["induced"] = induced
    return {
        "id": f"A{n}",
        "variety": "v",
        "start": "seed",
        "place": "F1",
        "planned": {"seeding": sown},
        "recorded": recorded,
    }


def field_plan(sowings, induced=(), **more):
    data = field_data(sowings, induced, **more)
    return make_plan(season_of(data), data["season"]["last_day"])


def true_day(plan, cohort, figures):
    """The day on which plants of these figures (critical h, width h, juvenile d, inductive d) are induced; None for never."""
    critical, width, juvenile, needed = figures
    timeline = plan.timelines[cohort]
    up = (timeline.likely("emergence") - plan.light.first).days
    run = induction(timeline.felt_h, up + round(juvenile), Response(critical, critical - width, needed))
    return None if run is None else plan.light.first + timedelta(days=run.induced)


def true_days(sowings, figures, **more):
    plan = field_plan(sowings, **more)
    return [true_day(plan, f"A{n}", figures) for n in range(1, len(sowings) + 1)]
