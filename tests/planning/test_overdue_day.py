"""A result that is late is overdue since one day, wherever that is told."""

from __future__ import annotations

from datetime import date

from calendar_tui.handing_on.words.decisions_text import decision_text
from calendar_tui.handing_on.words.results_text import results_text
from calendar_tui.planning.deciding.decision import RESULT
from tests.planning.cut_farm import IDS, TODAY, planned


def test_a_late_result_is_overdue_since_the_same_day_in_the_list_of_results_and_in_what_is_to_be_decided():
    sent = date(2027, 3, 30)
    bag = {"id": IDS[0], "date": sent, "cohort": "A1", "position": "top", "laboratory": "lab"}
    plan = planned(sample=[bag | {"state": "sent", "sent": sent}])
    (row,) = [row for row in plan.decisions if row.kind == RESULT]
    (since,) = {part.partition(": ask")[0] for part in decision_text(row, TODAY).split("overdue since ")[1:]}
    assert f"overdue since {since}: ask the laboratory" in " ".join(" ".join(results_text(plan)).split())
