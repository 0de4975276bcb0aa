"""A projected harvest that has gone by and is not recorded is asked about, and what hangs on it is not."""

from __future__ import annotations

from datetime import date, timedelta

from calendar_tui.planning.deciding.decision import RECORD
from calendar_tui.planning.plan import Plan
from tests.planning.cut_farm import TODAY, official, planned

DAY = timedelta(days=1)


def asked(plan: Plan) -> dict[str, str]:
    rows = [row for row in plan.decisions if row.kind == RECORD and row.about == "A1"]
    return {row.stage: f"{row.what} {row.why}" for row in rows if row.stage in ("harvest", "dried")}


def gone_by(**more) -> date:
    """The day after the latest day of the projected harvest."""
    return planned(**more).timelines["A1"].stages["harvest"].latest + DAY


def test_a_harvest_whose_latest_day_has_passed_is_to_be_recorded_or_planned_again() -> None:
    late = gone_by()
    row = asked(planned(late))["harvest"]
    assert row.startswith("A1 harvest to come by ")
    assert (
        "record the cut, or plan it again: until then what stands has its work to the end of next week" in row
    )
    assert "harvest" not in asked(planned(late - DAY))
    (clash,) = [c for c in planned(late).clashes if c.stage == "harvest" and c.own == "A1"]
    assert "is not recorded; record the day it was cut, or plan it for another" in clash.text


def test_until_then_nobody_is_asked_how_dry_it_is() -> None:
    far = planned().timelines["A1"].stages["dried"].latest + 5 * DAY
    assert asked(planned(far)).keys() == {"harvest"}


def test_what_is_recorded_planned_or_known_to_stand_is_not_asked_about() -> None:
    late = gone_by()
    cut = [{"id": "p1", "date": late - 2 * DAY, "lot": "A1", "why": "ripe"}]
    assert "harvest" not in asked(planned(late, **{"pass": cut}))
    failed = [official(TODAY - timedelta(days=20), outcome="failed")]
    assert "harvest" not in asked(planned(late, official=failed))
    last = [cut[0] | {"last": True}]
    assert "harvest" not in asked(planned(late, **{"pass": last}))
