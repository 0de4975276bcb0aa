"""Why a stage falls on its date, as plain data for JSON."""

from __future__ import annotations

from calendar_tui.handing_on.tables.json_rows import Row, stage_row
from calendar_tui.planning.lamps.onset import onsets
from calendar_tui.planning.laying_out.outcomes import Outcome, outcomes
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.why.chain import chain, days_behind
from calendar_tui.planning.why.heat import HeatRun, heat_behind
from calendar_tui.planning.why.widths import Width, width_of


def why_row(plan: Plan, cohort_id: str, stage: str) -> Row:
    """cohort, stage, rests_on (a row a stage), days (a row a day; hours rounded to a second), heat (a row a sum), outages, outcomes, width.

    outages: those that may have started flowering, each with in how many futures it has.
    outcomes: where the futures of the stage lie weeks apart, each of the two with its median date, null where it does not
    come within the season, and how many futures it is; else empty. width: null where the date is certain; else how wide its range is and why, and what would narrow it most.
    """
    return {
        "cohort": cohort_id,
        "stage": stage,
        "rests_on": [
            {"stage": stage_date.stage, **(stage_row(stage_date) or {})}
            for stage_date in chain(plan.timelines[cohort_id], stage)
        ],
        "days": [
            {
                "date": d.day,
                "place": d.place,
                "natural_h": round(d.natural_h, 4),
                "lit_for": list(d.lit_for),
                "felt_h": round(d.felt_h, 4),
                "covered": d.covered,
                "adds": round(d.adds, 4),
                "count": round(d.count, 4),
            }
            for d in days_behind(plan, cohort_id, stage)
        ],
        "heat": [_heat_row(run) for run in heat_behind(plan, cohort_id, stage)],
        "outages": [
            {
                "place": outage.place,
                "from": outage.first,
                "to": outage.last,
                "futures": begun.begun,
                "of": len(begun.days),
            }
            for outage, begun in onsets(plan.season, plan.timelines[cohort_id], plan.light)
        ],
        "outcomes": [_outcome_row(one) for one in _outcomes(plan, cohort_id, stage)],
        "width": _width_row(width_of(plan, cohort_id, stage)),
    }


def _outcomes(plan: Plan, cohort_id: str, stage: str) -> tuple[Outcome, ...]:
    stage_date = plan.timelines[cohort_id].stages.get(stage)
    return () if stage_date is None else outcomes(stage_date)


def _outcome_row(one: Outcome) -> Row:
    return {"date": one.date, "futures": one.futures}


def _width_row(width: Width | None) -> Row | None:
    if width is None:
        return None
    look, record = width.look, width.record
    return {
        "days": width.days,
        "shares": [
            {"figure": width.name_of(figure), "share": round(share, 2)} for figure, share in width.shares
        ],
        "rest": round(width.rest, 2),
        "look": look and {"stage": look.stage, "date": look.day, "days_left": width.left_d(look)},
        "record": record and {"stage": record.stage, "days_left": width.left_d(record)},
    }


def _heat_row(run: HeatRun) -> Row:
    return {
        "what": run.what,
        "unit": run.unit,
        "method": run.method,
        "needed": round(run.needed, 1),
        "year": run.year,
        "days": [
            {
                "date": d.day,
                "place": d.place,
                "low_c": round(d.low_c, 2),
                "high_c": round(d.high_c, 2),
                "adds": round(d.adds, 2),
                "sum": round(d.total, 2),
            }
            for d in run.days
        ],
    }
