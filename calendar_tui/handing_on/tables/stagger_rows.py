"""A scheme of staggered cohorts as plain data for JSON."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from datetime import date

from calendar_tui.handing_on.tables.json_rows import Row
from calendar_tui.planning.staggering.scheme import Measures, Scheme, Sown


def scheme_data(scheme: Scheme) -> Row:
    """The scheme as plain data. Limits not kept, notes and clashes are sentences; best: whether no better choice can be."""
    tasks = tasks_added(scheme)
    return {
        "wish": scheme.wish_text,
        "best": scheme.best,
        "over_hard_limits": list(scheme.hard_texts),
        "cohorts": [_sown_data(sown, tasks.get(sown.cohort.id, 0)) for sown in scheme.sown],
        "not_kept": [
            {
                "what": o.limit.kind,
                "of": o.limit.of,
                "day": o.day,
                "needed": round(o.needed, 2),
                "has": round(o.has, 2),
            }
            for o in scheme.overs
        ],
        "notes": list(scheme.notes),
        "clashes": list(scheme.clashes),
        "remarks": list(scheme.remarks),
        "measures": _measures_data(scheme.measures),
    }


def tasks_added(scheme: Scheme) -> dict[str | None, int]:
    """New tasks by cohort; those that cohorts share, or that are the whole season's, under None."""
    new = (move.task.about for move in scheme.proposal.tasks if move.old is None)
    return dict(Counter(about[0] if len(about) == 1 else None for about in new))


def _sown_data(sown: Sown, tasks: int) -> Row:
    harvest, load = sown.timeline.stages.get("harvest"), sown.load
    likely: Callable[[str], date | None] = sown.timeline.likely
    return {
        "id": sown.cohort.id,
        "place": sown.cohort.place,
        "part": sown.cohort.part,
        "plants": sown.cohort.plants,
        "begun": likely(sown.cohort.first_stage),
        "transplant": likely("transplant"),
        "lights_on": likely("lights_on"),
        "lights_off": likely("lights_off"),
        "harvest_earliest": None if harvest is None else harvest.earliest,
        "harvest": None if harvest is None else harvest.likely,
        "harvest_latest": None if harvest is None else harvest.latest,
        "planting_gap_d": sown.planting_gap_d,
        "harvest_gap_d": sown.harvest_gap_d,
        "harvest_gap_least_d": sown.harvest_gap and sown.harvest_gap.least,
        "harvest_gap_most_d": sown.harvest_gap and sown.harvest_gap.most,
        "growth_d": sown.timeline.growth_d,
        "lamp_h": None if load is None else round(load.h, 1),
        "lamp_kwh": None if load is None or load.kwh is None else round(load.kwh, 1),
        "lamp_cost": None if load is None or load.cost is None else round(load.cost, 2),
        "tasks_added": tasks,
    }


def _measures_data(measures: Measures) -> Row:
    dryer = measures.peak_dryer_kg
    return {
        "first_harvest": measures.first_harvest,
        "last_harvest": measures.last_harvest,
        "harvest_spread_d": measures.spread_d,
        "shortest_gap_d": measures.shortest_gap_d,
        "longest_gap_d": measures.longest_gap_d,
        "peak_dryer_kg": None if dryer is None else round(dryer[0], 1),
        "peak_hours": {role: round(hours, 2) for role, (hours, _) in measures.peak_hours.items()},
        "lamp_kwh": None if measures.lamp_kwh is None else round(measures.lamp_kwh, 1),
        "lamp_cost": None if measures.lamp_cost is None else round(measures.lamp_cost, 2),
        "growth_d": measures.growth_d,
        "clashes": measures.clashes,
    }
