"""Several records taken out: one change, one undo."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest

from calendar_tui.planning.changes.group_removal import remove_records
from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.plan import make_plan
from calendar_tui.season.edits import apply_edits, outcome
from calendar_tui.season.reading import read_season
from calendar_tui.season.refusal import Refusal
from tests.season_data import data_of

TODAY = date(2026, 12, 8)
EXAMPLE = Path("seasons/two-rivers.toml").read_text(encoding="utf-8")


def _held() -> HeldSeason:
    data: dict[str, Any] = data_of(EXAMPLE)
    reading = read_season(data)
    assert reading.season is not None
    return HeldSeason(make_plan(reading.season, TODAY), data)


def test_two_cohorts_go_in_one_change_and_come_back_with_one() -> None:
    held = _held()
    proposal = remove_records(held, "cohort", [("B2",), ("B3",)])
    assert proposal.change.what == "cohorts B2, B3 taken out"
    changed = outcome(held.data, proposal.change.edits)
    ids = [c["id"] for c in changed.data["cohort"]]
    assert "B2" not in ids
    assert "B3" not in ids
    assert not [t for t in changed.data["task"] if t.get("cohort") in ("B2", "B3")]
    back = apply_edits(changed.data, changed.back)["cohort"]
    assert sorted(back, key=lambda c: str(c["id"])) == sorted(held.data["cohort"], key=lambda c: str(c["id"]))
    assert len({m.task.id for m in proposal.tasks}) == len(proposal.tasks)
    assert {m.task.id for m in proposal.tasks if m.new is None} == {
        t["id"] for t in held.data["task"] if t["id"] not in {u["id"] for u in changed.data["task"]}
    }


def test_of_one_that_is_stood_on_nothing_goes() -> None:
    with pytest.raises(Refusal, match="H1"):
        remove_records(_held(), "place", [("H1",)])
