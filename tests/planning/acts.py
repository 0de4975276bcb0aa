"""Acts on one cohort, or one place, as the tests have them."""

from __future__ import annotations

from datetime import date

from calendar_tui.planning.changes.outages import record_outages
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.slips import HOLD, plan_dates
from calendar_tui.planning.changes.ticks import StageDay
from calendar_tui.planning.plan import Plan
from calendar_tui.season.records import Cohort


def plan_date(plan: Plan, cohort: Cohort, stage: str, day: date, lights_off: str | date = HOLD) -> Proposal:
    return plan_dates(plan, [StageDay(cohort.id, stage, day)], lights_off)


def record_outage(plan: Plan, name: str, first: date, last: date, cohort: str = "") -> Proposal:
    return record_outages(plan, [name], first, last, cohort)
