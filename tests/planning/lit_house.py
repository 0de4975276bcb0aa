"""One house under lamps or covers, with the cohorts and programmes a test gives it."""

from __future__ import annotations

from datetime import date
from typing import Any

from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.season.records import Season
from tests.planning.farm import season_of

FIRST, LAST = date(2026, 3, 1), date(2026, 12, 31)
# At 35.8 N the natural day falls under 14 h 00 on 31 July (computed with Skyfield, a day either way).
SITE = {"latitude": 35.8, "longitude": -78.7, "timezone": "America/New_York"}
VARIETY = {"id": "amber", "response": "short-day", "critical_day": "14:00", "full_response_day": "12:30"}
EXTEND = {"target_h": 16.0, "kw": 1.0}


def cohort(name: str, place: str = "H1", **keys: Any) -> dict[str, Any]:
    """Cuttings stuck in place on 1 June, asking for lamps up to 20 September, but for these keys."""
    planned = {"sticking": date(2026, 6, 1), "lights_off": date(2026, 9, 20)}
    return {
        "id": name,
        "variety": "amber",
        "start": "cutting",
        "place": place,
        "planned": keys.pop("planned", planned),
        **keys,
    }


def house(
    lamps: dict[str, Any] | None,
    *programmes: dict[str, Any],
    cohorts: Any = None,
    varieties: Any = (),
    **keys: Any,
) -> Season:
    """House H1 with these lamps, a dark nursery N1 and a field F1; keys are more keys of H1."""
    own = {"id": "H1", "kind": "hoop house", **keys} | ({"lamps": lamps} if lamps else {})
    season: Season = season_of(
        {
            "format": 1,
            "season": {"name": "Check", "first_day": FIRST, "last_day": LAST},
            "site": SITE,
            "place": [own, {"id": "N1", "kind": "nursery"}, {"id": "F1", "kind": "field"}],
            "variety": [VARIETY, *varieties],
            "cohort": [cohort("A1")] if cohorts is None else cohorts,
            "programme": [{"place": "H1", **p} for p in programmes],
        }
    )
    return season


def laid_out(season: Season) -> Plan:
    return make_plan(season, FIRST)


def felt_h(plan: Plan, day: date, name: str = "H1") -> float:
    return plan.light.places[name].felt_h[plan.light.index(day)]


def natural_h(plan: Plan, day: date) -> float:
    return plan.light.natural_h[plan.light.index(day)]


def texts(plan: Plan, cohort_id: str, kind: str) -> list[str]:
    return [c.text for c in plan.clashes_of(cohort_id) if c.kind.startswith(kind)]
