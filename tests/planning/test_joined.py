"""Two proposals as one: what it tells is what the plan before and the plan after both of them differ by."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.joined import joined
from calendar_tui.planning.changes.record_change import set_fields
from calendar_tui.planning.changes.replan import is_moved, propose
from calendar_tui.planning.changes.slips import record_date
from calendar_tui.season.edits import apply_edits
from calendar_tui.season.reading import read_season
from tests.planning.spread import example

LATER = {"transplant": "2026-09-01", "plants": "5000"}
AS_BEFORE = {"transplant": "2026-08-07", "plants": "130"}


def after(held, proposal):
    return HeldSeason(proposal.plan, apply_edits(held.data, proposal.change.edits))


def two(held, *typed):
    """Both changes of cohort L2."""
    first = set_fields(held, "cohort", ("L2",), typed[0])
    return first, set_fields(after(held, first), "cohort", ("L2",), typed[1])


def moved(proposal):
    return {
        (m.cohort, m.stage): (m.old and m.old.range, m.new and m.new.range)
        for m in proposal.stages
        if is_moved(m)
    }


def listed(proposal):
    return {(move.cohort, move.stage) for move in proposal.stages}


def work(proposal):
    """Each task that differs, by its chore and its number: the dates before and after."""
    return sorted(
        (m.task.chore, m.task.about, m.task.n, str(m.old and m.old.date), str(m.new and m.new.date))
        for m in proposal.tasks
    )


@pytest.mark.parametrize("second", [{"seeding": "2026-07-20"}, AS_BEFORE, {"plants": "260"}])
def test_dates_and_work_are_those_of_one_step(second):
    held = example("north-bench")
    first, then = two(held, LATER, second)
    both = joined(held.plan, first, then, "both")
    season = read_season(apply_edits(held.data, [e for e in both.change.edits if e.kind != "task"])).season
    direct = propose(held.plan, season, "at once", (), ("L2",))
    assert moved(both) == moved(direct)
    assert listed(both) == listed(direct)
    assert work(both) == work(direct)
    assert both.growth_d == direct.growth_d
    assert sorted(both.new_clashes) == sorted(direct.new_clashes)


def test_a_clash_that_the_second_ends_is_not_told():
    held = example("north-bench")
    first, then = two(held, LATER, AS_BEFORE)
    assert any("is too small" in text for text in first.new_clashes)
    assert joined(held.plan, first, then, "both").new_clashes == ()


def test_all_edits_are_one_change_and_what_both_say_is_told_once():
    held = example("north-bench")
    first = set_fields(held, "cohort", ("L2",), LATER)
    then = record_date(first.plan, first.plan.season.cohorts["E3"], "transplant", date(2026, 6, 14))
    both = joined(held.plan, first, then, "L2 later, E3 planted")
    assert both.change.what == "L2 later, E3 planted"
    assert both.change.edits == (*first.change.edits, *then.change.edits)
    assert both.cohorts == ("L2", "E3")
    assert {"L2", "E3"} <= {move.cohort for move in both.stages}
    assert all(map(is_moved, both.stages)), "every stage is listed of one edited cohort alone"
    assert len(set(both.doubts)) == len(both.doubts)
    assert {*first.doubts, *then.doubts} == {*both.doubts}


@pytest.mark.parametrize("told", ["questions", "notes", "verdicts", "evidence", "doubts"])
def test_what_either_asks_or_tells_is_there_once(told):
    held = example("north-bench")
    first, then = two(held, LATER, AS_BEFORE)
    both = joined(
        held.plan, replace(first, **{told: ("a", "b")}), replace(then, **{told: ("b", "c")}), "both"
    )
    assert getattr(both, told) == ("a", "b", "c")
