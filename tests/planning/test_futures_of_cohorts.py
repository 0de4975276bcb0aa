"""The futures of a cohort: each is what the plain engine lays out with the figures of that future, in order, always the same."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from math import inf
from random import Random
from statistics import NormalDist, mean
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calendar_tui.nature.futures import COUNT
from calendar_tui.nature.rounding import whole
from calendar_tui.planning.changes.slips import SHIFT, record_date
from calendar_tui.planning.laying_out.early import early_stages
from calendar_tui.planning.laying_out.figures import figures_of
from calendar_tui.planning.laying_out.light import season_light
from calendar_tui.planning.laying_out.timeline import Timeline, lay_out
from calendar_tui.planning.plan import make_plan
from calendar_tui.season.records import Cohort, Lamps, Season, Span, Variety
from calendar_tui.season.stages import BEFORE
from tests.counting import lines_run
from tests.planning.farm import season_at
from tests.planning.lit_house import EXTEND, cohort, house
from tests.planning.test_light_properties import FIRST, seasons

CLOCK = {"method": "clock", "from": "05:00", "to": "21:00", "kw": 1.0}
SEVERAL = settings(deadline=None, max_examples=25)


def laid_out(season: Season, count: int = COUNT) -> dict[str, Timeline]:
    early = {c.id: early_stages(season, c, None, count) for c in season.cohorts.values()}
    light = season_light(season, early)
    return {c.id: lay_out(season, c, early[c.id], light) for c in season.cohorts.values()}


@pytest.mark.slow
@SEVERAL
@given(seasons())
def test_stages_are_in_order_in_every_future(season: Season) -> None:
    for timeline in laid_out(season).values():
        for stage, at in timeline.stages.items():
            assert len(at.days) == COUNT
            assert at.earliest <= at.likely <= at.latest
            for other in BEFORE[stage] & timeline.stages.keys():
                assert all(map(lambda a, b: a <= b, timeline.stages[other].days, at.days)), (other, stage)


def with_figures_of(season: Season, name: str, future: int) -> Season:
    """The season with a variety of its own for one cohort, of exactly the figures of one of its futures."""
    cohort = season.cohorts[name]
    variety = season.varieties[cohort.variety]
    figures = {
        key: Span.exactly(column[future])
        for key, column in figures_of(variety, cohort.start)._asdict().items()
    }
    own = replace(
        variety,
        id="own",
        critical_day=figures["critical_h"],
        full_response_day=figures["full_h"],
        juvenile_d=figures["juvenile_d"],
        inductive_days=figures["inductive_d"],
        emergence_d=figures["shoot_d"],
        rooting_d=figures["shoot_d"],
        seeding_to_transplant_d=figures["transplant_d"],
        sticking_to_transplant_d=figures["transplant_d"],
        induced_to_flowering_d=figures["flowering_d"],
        emergence_to_flowering_d=figures["flowering_d"],
        flowering_to_harvest_d=figures["harvest_d"],
        drying_d=figures["drying_d"],
    )
    planned = dict(cohort.planned)
    if "lights_off" in planned:
        planned["lights_off"] += timedelta(days=whole(figures["slip_d"].likely))
    changed: Cohort = replace(cohort, variety="own", planned=planned)
    return replace(
        season,
        varieties={**season.varieties, "own": own},
        cohorts={**season.cohorts, name: changed},
    )


@pytest.mark.slow
@SEVERAL
@given(seasons(), st.integers(0, COUNT - 1), st.sampled_from(["A", "B"]))
def test_each_future_is_what_the_plain_engine_lays_out_with_its_figures(
    season: Season, future: int, name: str
) -> None:
    """Up to induction, to which the future adds how far a record may lie from what the light gives."""
    mine = laid_out(season)[name]
    alone = laid_out(with_figures_of(season, name, future), 0)[name]
    for stage, at in alone.stages.items():
        if stage in ("induced", "flowering", "sampling", "harvest", "dried") or stage not in mine.stages:
            continue
        assert mine.stages[stage].days[future] == at.likely.toordinal(), stage
    if "induced" in alone.stages and "induced" in mine.stages:
        error = whole(figures_of(mine.variety, mine.cohort.start).record_d[future])
        trigger, induced = (alone.stages[stage].likely.toordinal() for stage in ("trigger", "induced"))
        assert mine.stages["induced"].days[future] == max(trigger, induced + error)
    elif "induced" in mine.stages:
        assert mine.stages["induced"].days[future] == inf


@pytest.mark.slow
@SEVERAL
@given(seasons())
def test_the_same_season_has_the_same_futures(season: Season) -> None:
    assert laid_out(season) == laid_out(season)
    assert make_plan(season, FIRST).timelines == laid_out(season)


@pytest.mark.slow
@SEVERAL
@given(seasons())
def test_without_futures_the_likely_run_is_the_same(season: Season) -> None:
    for name, timeline in laid_out(season, 0).items():
        full = laid_out(season)[name]
        assert {s: (d.likely, d.reason, d.status) for s, d in timeline.stages.items()} == {
            s: (d.likely, d.reason, d.status) for s, d in full.stages.items()
        }
        assert all(d.earliest == d.likely == d.latest for d in timeline.stages.values())


SITES = {
    "25.5 N": {"latitude": 25.5, "longitude": -80.5, "timezone": "America/New_York"},
    "34.3 S": {"latitude": -34.3, "longitude": -56.7, "timezone": "America/Montevideo"},
    "35.8 N": {"latitude": 35.8, "longitude": -78.7, "timezone": "America/New_York"},
    "44.2 N": {"latitude": 44.2, "longitude": -79.0, "timezone": "America/Toronto"},
    "19.1 N": {"latitude": 19.1, "longitude": -98.0, "timezone": "America/Mexico_City"},
}
SHORT_DAY = {"id": "oil", "response": "short-day", "critical_day": "14:06", "full_response_day": "12:48"}


def field(site: str, sown: date) -> Season:
    """A cohort sown in the field under natural days, of an oil variety of which nothing is known."""
    south = SITES[site]["latitude"] < 0
    first = date(2026, 9, 1) if south else date(2027, 3, 1)
    return season_at(
        SITES[site],
        first,
        first + timedelta(days=330),
        varieties=[SHORT_DAY],
        cohorts=[{"id": "A", "variety": "oil", "start": "seed", "place": "F1", "planned": {"seeding": sown}}],
    )


def sowings(site: str) -> list[date]:
    first = date(2026, 11, 1) if SITES[site]["latitude"] < 0 else date(2027, 5, 1)
    return [first + timedelta(days=n) for n in (0, 21, 42, 63)]


def drawn(chance: Random, variety: Variety) -> Variety:
    """A variety of the type "oil, unknown" of the crop's page of facts: means and standard deviations, placeholders."""
    critical = NormalDist(14.1, 0.5).inv_cdf(chance.uniform(0.001, 0.999))
    width = max(0.1, NormalDist(1.3, 0.6).inv_cdf(chance.uniform(0.001, 0.999)))
    juvenile = max(0.0, NormalDist(25, 7).inv_cdf(chance.uniform(0.001, 0.999)))
    needed = max(1.0, NormalDist(8, 2.5).inv_cdf(chance.uniform(0.001, 0.999)))
    up = NormalDist(5, 2 / 1.2816).inv_cdf(chance.uniform(0.001, 0.999))
    return replace(
        variety,
        critical_day=Span.exactly(critical),
        full_response_day=Span.exactly(critical - width),
        juvenile_d=Span.exactly(juvenile),
        inductive_days=Span.exactly(needed),
        emergence_d=Span.exactly(max(0.0, up)),
    )


def test_what_is_drawn_from_the_type_is_seen_inside_the_range_in_three_to_nineteen_cases_of_twenty() -> None:
    """Truths drawn apart from the futures, with a record 2.5 d off; 20 sowings at 5 latitudes, 15 varieties each."""
    chance, inside, cases = Random(20261128), 0, 0
    for site in SITES:
        for sown in sowings(site):
            season = field(site, sown)
            projected = laid_out(season)["A"].stages["induced"]
            for _ in range(15):
                truth = replace(season, varieties={"oil": drawn(chance, season.varieties["oil"])})
                true = laid_out(truth, 0)["A"].stages.get("induced")
                seen = (
                    season.last_day
                    if true is None
                    else true.likely + timedelta(days=whole(chance.gauss(0, 2.5)))
                )
                cases += 1
                inside += projected.earliest <= seen <= projected.latest
    assert 0.75 <= inside / cases <= 0.95, inside / cases


def test_fifty_and_five_hundred_futures_give_the_same_ends() -> None:
    apart = []
    for site in SITES:
        for sown in sowings(site):
            few, many = (laid_out(field(site, sown), count)["A"] for count in (50, 500))
            for stage in ("emergence", "trigger", "induced", "flowering", "harvest"):
                a, b = few.stages[stage], many.stages[stage]
                apart += [abs((a.earliest - b.earliest).days), abs((a.latest - b.latest).days)]
    assert mean(apart) < 1.5


@pytest.mark.parametrize(("sown", "least", "most"), [(date(2027, 5, 1), 42, 100), (date(2027, 7, 15), 7, 28)])
def test_an_unknown_variety_may_flower_small_in_june_or_wait_for_august(
    sown: date, least: int, most: int
) -> None:
    """Where the longest day lies near the critical day: six weeks and more for May sowings, two weeks for July ones.

    Tried outside the project with 50 and 500 futures (the crop's page of facts, "Types to start from").
    """
    induced = laid_out(field("35.8 N", sown))["A"].stages["induced"]
    assert least <= (induced.latest - induced.earliest).days <= most


@pytest.mark.parametrize("lamps", [EXTEND, CLOCK], ids=["extend", "clock"])
def test_lamps_for_which_only_a_future_asks_burn_in_it(lamps: dict[str, Any]) -> None:
    """Lights off on the first day: the likely run never asks for the lamps of the house, a future in which it slips does."""
    first = date(2026, 8, 15)
    season = house(lamps, cohorts=[cohort("A1", planned={"sticking": first, "lights_off": first})])
    mine = laid_out(season)["A1"]
    for future in range(0, COUNT, 7):
        alone = laid_out(with_figures_of(season, "A1", future), 0)["A1"]
        assert mine.stages["trigger"].days[future] == alone.stages["trigger"].likely.toordinal()


@st.composite
def lit_nurseries(draw: st.DrawFn) -> Season:
    """Cohort A out of a nursery whose lamps hold it to 20 h, into a house with lamps up to its lights off."""
    season = draw(seasons())
    cohort = season.cohorts["A"]
    begun = next(iter(cohort.planned.values()))
    planted = begun + timedelta(days=draw(st.integers(35, 60)))
    off = planted + timedelta(days=draw(st.integers(1, 60)))
    cohort = replace(
        cohort, nursery="N1", planned={**cohort.planned, "transplant": planted, "lights_off": off}
    )
    held = replace(season.places["N1"], lamps=Lamps(target_h=20.0))
    return replace(season, places={**season.places, "N1": held}, cohorts={**season.cohorts, "A": cohort})


@pytest.mark.slow
@SEVERAL
@given(lit_nurseries(), st.integers(1, 30))
def test_a_later_transplant_with_lights_off_shifted_moves_no_stage_earlier(season: Season, late: int) -> None:
    """In no future, nor at either end of a range; the plants are held to 20 h while they wait."""
    cohort = season.cohorts["A"]
    day = cohort.planned["transplant"] + timedelta(days=late)
    plan = make_plan(season, day)
    after = record_date(plan, cohort, "transplant", day, SHIFT).plan.timelines["A"]
    for stage, at in plan.timelines["A"].stages.items():
        if stage not in after.stages:
            continue
        moved = after.stages[stage]
        assert all(a <= b for a, b in zip(at.range, moved.range, strict=True)), stage
        assert all(a <= b for a, b in zip(at.days, moved.days, strict=True)), stage


def test_the_work_grows_in_a_line_with_futures_and_cohorts() -> None:
    """Lines run of the package, not seconds: four times the futures, or cohorts, are at most some four times the work."""

    def work(cohorts: int, count: int) -> int:
        own = [
            cohort(
                f"C{n}",
                planned={"sticking": date(2026, 6, 1 + n % 28), "lights_off": date(2026, 9, 1 + n % 28)},
            )
            for n in range(cohorts)
        ]
        season = house(EXTEND, cohorts=own)
        return lines_run(lambda: laid_out(season, count))

    few, futures, cohorts = work(4, 50), work(4, 200), work(16, 50)
    assert futures < 4.2 * few
    assert cohorts < 4.6 * few
