"""What a field book brings a cohort's record: a half that agrees, or a look that is earlier than all that is likely, never widens."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from functools import cache

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from calendar_tui.planning.field_book.findings import Offer, offer_of, rises
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.season.observing import Observation
from calendar_tui.season.records import Season
from calendar_tui.storage.finding import example_files
from calendar_tui.storage.opening import need_season

COHORT, SHARE, TODAY = "E2", "flowering-share", date(2026, 10, 1)
FEW = settings(deadline=None, max_examples=12)
PLOTS = ("S1-101", "S1-202", "S1-303")


@cache
def plan() -> Plan:
    return make_plan(need_season(next(f for f in example_files() if f.stem == "north-bench"))[1], TODAY)


def looked(season: Season, shares: list[tuple[date, int]]) -> Season:
    """Each of some plots at so many of 20 plants on a day."""
    found = [
        Observation(date=day, at=plot, variable=SHARE, value=f"{count} of 20")
        for day, count in shares
        for plot in PLOTS
    ]
    return replace(season, observations=(*season.observations, *found))


def offered(season: Season) -> Offer:
    (rise,) = [one for one in rises(season) if one.cohort == COHORT]
    offer = offer_of(season, rise)
    assert offer is not None
    return offer


def taken(offer: Offer) -> Timeline:
    season = plan().season
    cohort = season.cohorts[COHORT]
    table = "not_yet" if offer.not_yet else "recorded"
    cohort = replace(cohort, **{table: {**getattr(cohort, table), offer.stage: offer.day}})
    return make_plan(replace(season, cohorts={**season.cohorts, COHORT: cohort}), TODAY, plan()).timelines[
        COHORT
    ]


def width_d(of: Timeline, stage: str) -> int:
    return (of.stages[stage].latest - of.stages[stage].earliest).days


@FEW
@given(off=st.integers(-30, 30), before=st.integers(0, 9), after=st.integers(10, 20), apart=st.integers(1, 7))
def test_a_half_within_the_range_never_widens_the_dates_behind_it(off, before, after, apart):
    """Ends are whole days, so a day is lost or won in rounding."""
    own = plan().timelines[COHORT]
    at = own.stages["flowering"]
    first = at.likely + timedelta(days=off)
    offer = offered(looked(plan().season, [(first, before), (first + timedelta(days=apart), after)]))
    assume(at.earliest <= offer.day <= at.latest)
    then = taken(offer)
    assert then.stages["flowering"].likely == offer.day
    assert width_d(then, "flowering") == 0
    for stage in ("harvest", "dried"):
        assert width_d(then, stage) <= width_d(own, stage) + 1, stage


@FEW
@given(early=st.integers(1, 40), count=st.integers(0, 9))
def test_a_look_before_all_that_is_likely_changes_no_date(early, count):
    """It agrees with every future, and so leaves each of them."""
    own = plan().timelines[COHORT]
    first = date.fromordinal(int(min(own.stages["flowering"].days))) - timedelta(days=early)
    offer = offered(looked(plan().season, [(first, count)]))
    assert offer == Offer(COHORT, "flowering", first, True)
    then = taken(offer)
    assert {s: d.range for s, d in then.stages.items()} == {s: d.range for s, d in own.stages.items()}


@FEW
@given(into=st.floats(0, 0.95))
def test_a_look_within_the_range_rules_out_what_came_before_it(into):
    own = plan().timelines[COHORT]
    at = own.stages["flowering"]
    first = at.earliest + timedelta(days=round(into * width_d(own, "flowering")))
    then = taken(offered(looked(plan().season, [(first, 3)])))
    assert then.stages["flowering"].earliest > first
    assert then.stages["flowering"].earliest >= at.earliest
    assert then.stages["flowering"].latest >= at.latest, "what is later is as likely as before, or more"
