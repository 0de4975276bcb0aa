"""Too little heat: seed that does not come up and flowers that do not come are told, with the season's last day."""

from __future__ import annotations

from calendar_tui.planning.plan import make_plan
from tests.planning.test_heat_plan import TODAY, season, steady


def test_flowers_that_do_not_get_their_heat_within_the_season_are_told_with_its_last_day() -> None:
    timeline = make_plan(season(monthly=steady(4)), TODAY).timelines["S1"]
    assert "induced" in timeline.stages
    assert "flowering" not in timeline.stages
    assert timeline.never.startswith("does not flower by 31 Dec: too little heat; induced + ")


def test_seed_that_never_gets_its_heat_is_told() -> None:
    plan = make_plan(season(monthly=steady(2)), TODAY)
    timeline = plan.timelines["S1"]
    assert "emergence" not in timeline.stages
    assert "flowering" not in timeline.stages
    assert timeline.ready is None
    assert "does not come up by 31 Dec: it gets too little heat" in timeline.never
    assert any(c.kind == "never flowers" for c in plan.clashes_of("S1"))
    assert "too little heat" in plan.timelines["D1"].never
