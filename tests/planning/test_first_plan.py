"""The plan of the first picture: what is in no future yet is laid out once it is asked for, and is then what it always is."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from calendar_tui.planning.changes.slips import record_date
from calendar_tui.planning.laying_out import later
from calendar_tui.planning.plan import Plan, make_first_plan, make_plan
from calendar_tui.season.reading import read_season
from calendar_tui.season.records import Season
from tests.bench.big_season import heated
from tests.season_data import data_of

SEASONS = sorted((Path(__file__).parents[2] / "seasons").glob("*.toml"))
TODAY = date(2026, 12, 8)


def season_of(path: Path) -> Season:
    season = read_season(data_of(path.read_text(encoding="utf-8"))).season
    assert season is not None
    return season


def looked_at(season: Season) -> Season:
    """Every cohort that is not induced was looked at a week before its harvest was likely, and was not in flower."""
    timelines = make_plan(season, TODAY).timelines
    cohorts = {
        name: replace(cohort, not_yet={"flowering": harvest - timedelta(days=30)})
        for name, cohort in season.cohorts.items()
        if (harvest := timelines[name].likely("harvest")) is not None and "flowering" not in cohort.recorded
    }
    assert cohorts
    return replace(season, cohorts={**season.cohorts, **cohorts})


def same(first: Plan, plan: Plan) -> None:
    assert (first.light, first.warmth) == (plan.light, plan.warmth)
    for name, whole in plan.timelines.items():
        timeline = first.timelines[name]
        for stage, at in whole.stages.items():
            mine = timeline.stages[stage]
            # The likely ones first, and each thing by itself: a comparison of the two asks for the rest.
            assert (mine.stage, mine.likely, mine.status, mine.reason) == (
                at.stage,
                at.likely,
                at.status,
                at.reason,
            )
            assert (mine.intended, mine.dates, mine.status_text) == (at.intended, at.dates, at.status_text)
            assert (mine.earliest, mine.latest, mine.days) == (at.earliest, at.latest, at.days)
            assert (mine.range, mine.course) == (at.range, at.course)
            assert mine == at
            assert at == mine
            assert hash(mine) == hash(at)
        assert list(timeline.stages) == list(whole.stages)
        assert (timeline.felt_h, timeline.never, timeline.stays) == (whole.felt_h, whole.never, whole.stays)
        assert timeline.futures == whole.futures
        assert (timeline.ready is None) == (whole.ready is None)
        if timeline.ready is not None and whole.ready is not None:
            assert (timeline.ready.likely, timeline.ready.days) == (whole.ready.likely, whole.ready.days)
    assert first.clashes == plan.clashes


@pytest.mark.parametrize("path", SEASONS, ids=lambda path: path.stem)
def test_it_is_what_the_season_laid_out_in_every_future_is(path: Path) -> None:
    season = season_of(path)
    for today in (season.first_day, TODAY, season.last_day):
        same(make_first_plan(season, today), make_plan(season, today))


def test_so_it_is_on_heat() -> None:
    season = heated(season_of(SEASONS[-1]), 5)
    same(make_first_plan(season, TODAY), make_plan(season, TODAY))


def test_so_it_is_where_looks_at_the_plants_move_the_likely_dates() -> None:
    season = looked_at(season_of(SEASONS[-1]))
    same(make_first_plan(season, TODAY), make_plan(season, TODAY))


def test_likely_dates_lay_out_no_future(monkeypatch: pytest.MonkeyPatch) -> None:
    asked = laid_out_whole(monkeypatch)
    plan = make_first_plan(season_of(SEASONS[-1]), TODAY).by_ripeness
    for timeline in plan.timelines.values():
        assert timeline.likely("harvest") or timeline.never
        assert all(at.status_text for at in timeline.stages.values())
    assert asked == []
    name = next(iter(plan.timelines))
    for _ in range(2):
        assert all(at.earliest <= at.latest for at in plan.timelines[name].stages.values())
    assert asked == [name]


@pytest.mark.slow
def test_a_date_recorded_on_it_keeps_the_forecast_there_was() -> None:
    season = season_of(SEASONS[-1])
    plans = [make(season, season.last_day) for make in (make_first_plan, make_plan)]
    kept = 0
    for cohort in season.cohorts.values():
        stages = plans[1].timelines[cohort.id].stages
        day = next(at.likely for s, at in stages.items() if s in ("induced", "flowering"))
        acts = [record_date(plan, cohort, "flowering", day, "hold") for plan in plans]
        assert acts[0].change.edits == acts[1].change.edits
        assert acts[0].stages == acts[1].stages
        kept += any(edit.field[:1] == ("forecast",) for edit in acts[0].change.edits)
    assert kept


def test_a_plan_made_upon_it_is_the_one_made_upon_the_whole() -> None:
    season = season_of(SEASONS[-1])
    name, late = "A1", season.cohorts["A1"]
    moved = replace(late, replanned={**late.replanned, "lights_off": TODAY + timedelta(days=20)})
    after = replace(season, cohorts={**season.cohorts, name: moved})
    same(make_plan(after, TODAY, make_first_plan(season, TODAY)), make_plan(after, TODAY))


def laid_out_whole(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The cohorts that are laid out in every future from now on, in turn."""
    names: list[str] = []
    lay_out = later.lay_out

    def noted(season, cohort, early, *others):  # type: ignore[no-untyped-def]
        if early[cohort.first_stage].days:
            names.append(cohort.id)
        return lay_out(season, cohort, early, *others)

    monkeypatch.setattr(later, "lay_out", noted)
    return names
