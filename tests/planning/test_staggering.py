"""Cohorts proposed backwards from harvest: the solver against every choice there is, and the calendar run forward."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from itertools import pairwise, product

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.response.outcomes import Planting, response
from calendar_tui.planning.staggering.options import bench_of, options_in
from calendar_tui.planning.staggering.problem import Held, cost_of, problem_of
from calendar_tui.planning.staggering.proposing import stagger
from calendar_tui.planning.staggering.room import overs, room_of, rows_of, uses_of
from calendar_tui.planning.staggering.shared_light import disputes
from calendar_tui.planning.staggering.solve import solve
from calendar_tui.planning.staggering.wish import Wish, checked, harvests
from calendar_tui.season.edits import apply_edits
from calendar_tui.season.refusal import Refusal
from tests.planning.farm import farm_data, season_at, season_of
from tests.planning.staggered import AREA_M2, FIRST, area_on, days, empty_data, planned, samples_in, wish

pytestmark = pytest.mark.needs("ortools")

FLORIDA = {"latitude": 25.5, "longitude": -80.5, "timezone": "America/New_York"}


# --- the choice, against every choice there is


def small_problem(plants: int, every_d: int, capacity: dict, each: int = 4):
    """Three harvests, and for each the cheapest few options in each place."""
    plan = planned(empty_data(capacity=capacity))
    asked = checked(plan.season, wish(plants=plants, every_d=every_d))
    bench = bench_of(plan.season, asked, plan.warmth, FIRST)
    targets = dict(enumerate(harvests(asked, FIRST, FIRST)))
    options = []
    for light in asked.lights:
        found = options_in(bench, light, targets)
        for n in targets:
            options += [o for o in found if o.target == n][:each]
    options.sort(key=lambda o: o.target)
    rows = rows_of(room_of(plan.season, plan.timelines, plan.today), options)
    return problem_of(options, rows, disputes(plan.season, options), as_many_as_fit=False)


def in_dispute(problem, taken):
    """Whether some of these are dark while others under the same light are lit."""
    chosen = set(taken)
    return any(chosen & set(d.lit) and chosen & set(d.dark) for d in problem.disputes)


def every_choice(problem):
    """Each choice of one option or none from each group that the shared light allows."""
    for choice in product(*((*group, None) for group in problem.groups)):
        taken = tuple(n for n in choice if n is not None)
        if not in_dispute(problem, taken):
            yield taken


def keeps_limits(problem, taken):
    return all(sum(a for n, a in row.amounts if n in taken) <= row.left + 1e-6 for row in problem.rows)


TIGHT = [
    (60, 14, {}),
    (110, 7, {}),
    (60, 2, {"dryer_kg": 100}),
    (60, 7, {"samples_per_week": 6}),
    (60, 7, {"samples_per_week": 0}),
]


@pytest.mark.slow
@pytest.mark.parametrize(("plants", "every_d", "capacity"), TIGHT)
def test_the_solver_finds_what_trying_every_choice_finds(plants, every_d, capacity):
    problem = small_problem(plants, every_d, capacity)
    assert len(problem.options) > 12
    choices = list(every_choice(problem))
    within = min(cost_of(problem, taken) for taken in choices if keeps_limits(problem, taken))
    kept = solve(problem, seconds=20)
    assert kept.best
    assert kept.cost == within
    assert keeps_limits(problem, kept.taken)
    assert not in_dispute(problem, kept.taken)
    broken = solve(problem, seconds=20, held=Held.NONE)
    assert broken.best
    assert broken.cost == min(cost_of(problem, taken) for taken in choices)


@pytest.mark.slow
def test_the_instances_are_tight_enough_to_tell_a_solver_that_forgets_a_limit():
    free = [
        sum(min(p.options[n].cost for n in g) for g in p.groups) for p in (small_problem(*t) for t in TIGHT)
    ]
    kept = [solve(small_problem(*t), seconds=20).cost for t in TIGHT]
    assert sum(a != b for a, b in zip(free, kept, strict=True)) >= 3


@pytest.mark.slow
def test_a_question_has_one_answer():
    plan = planned(empty_data())
    first, second = (stagger(plan, wish(count=5, every_d=7)) for _ in range(2))
    assert [s.cohort for s in first.sown] == [s.cohort for s in second.sown]


# --- the calendar run forward

WISHES = st.builds(
    wish,
    count=st.integers(1, 4) | st.none(),
    first=st.dates(date(2027, 1, 10), date(2027, 4, 10)),
    every_d=st.integers(3, 25),
    plants=st.none() | st.integers(20, 200),
    start=st.sampled_from(("seed", "cutting")),
    nursery=st.sampled_from((None, "N1")),
    lights=st.sampled_from((("H1",), ("H1", "F1"), ("H1", "H2", "F1"))),
    variety=st.sampled_from(("amber", "plain", "byage")),
    grown_d=st.integers(14, 45),
)


@pytest.mark.slow
@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(asked=WISHES, with_cohort=st.booleans())
def test_the_calendar_gives_the_dates_that_a_proposal_promised(asked: Wish, with_cohort: bool) -> None:
    data = empty_data(capacity={"samples_per_week": 12, "dryer_kg": 150})
    if with_cohort:
        data["cohort"] = farm_data()["cohort"][:1]
    plan = planned(data)
    try:
        scheme = stagger(plan, asked, seconds=0.1)
    except Refusal:
        return
    assert not [
        text
        for text in scheme.notes
        if "with all cohorts in its light" in text or text.startswith("it moves")
    ]
    season = season_of(apply_edits(data, scheme.proposal.change.edits))
    forward = make_plan(season, FIRST)
    for sown in scheme.sown:
        stages = forward.timelines[sown.cohort.id].stages
        assert {s: d.range for s, d in stages.items()} == {
            s: d.range for s, d in sown.timeline.stages.items()
        }
        assert season.cohorts[sown.cohort.id] == sown.cohort
    for name, timeline in plan.timelines.items():
        assert {s: d.range for s, d in timeline.stages.items()} == {
            s: d.range for s, d in forward.timelines[name].stages.items()
        }
    made = [c.text for c in forward.clashes if c.kind in ("held back", "long days after induction")]
    assert not made
    if not scheme.overs and asked.plants is not None and not with_cohort:
        for light in asked.lights:
            most = 900.0 if light == "F1" else AREA_M2
            assert max(area_on(scheme, light, day) for day in days(scheme)) <= most + 1e-6
        mondays = [day for day in days(scheme) if day.weekday() == 0]
        assert max((samples_in(scheme, monday) for monday in mondays), default=0) <= 12


def test_every_harvest_is_as_near_as_asked_and_the_gaps_stand_side_by_side():
    scheme = stagger(planned(empty_data()), wish(within_d=2, grown_d=1))
    wanted = [date(2027, 3, 1), date(2027, 3, 15), date(2027, 3, 29)]
    found = [s.timeline.likely("harvest") for s in scheme.sown]
    assert all(abs((a - b).days) <= 2 for a, b in zip(found, wanted, strict=True))
    assert scheme.sown[0].planting_gap_d is None
    for before, one in pairwise(scheme.sown):
        assert one.planting_gap_d == (one.planted - before.planted).days
        assert one.harvest_gap_d == (one.timeline.likely("harvest") - before.timeline.likely("harvest")).days
    assert scheme.measures.spread_d == (found[-1] - found[0]).days


@pytest.mark.slow
def test_screened_parts_are_lights_of_their_own():
    """One house of three parts: three cohorts that would be dark while others are lit, each behind a screen."""
    data = empty_data()
    data["place"][1] |= {"screened": ["east", "middle", "west"]}
    asked = wish(lights=("H1",), plants=20, first=date(2027, 3, 25))
    scheme = stagger(planned(data), asked)
    assert [s.cohort.place for s in scheme.sown] == ["H1"] * 3
    assert all(s.timeline.growth_d >= 21 for s in scheme.sown)
    assert len({s.cohort.part for s in scheme.sown}) == 3
    forward = make_plan(season_of(apply_edits(data, scheme.proposal.change.edits)), FIRST)
    for sown in scheme.sown:
        assert forward.timelines[sown.cohort.id].likely("harvest") == sown.timeline.likely("harvest")
    assert not [c for c in forward.clashes if c.kind == "held back"]


# --- limits


@pytest.mark.slow
def test_a_limit_that_cannot_be_kept_is_told_with_how_much():
    scheme = stagger(planned(empty_data(capacity={"samples_per_week": 0})), wish(count=1))
    assert len(scheme.sown) == 1
    assert {o.limit.kind for o in scheme.overs} == {"samples"}
    assert "3 samples of 0, 3 too many" in scheme.overs[0].text


@pytest.mark.slow
def test_as_many_as_fit_breaks_no_limit():
    data = empty_data(capacity={"dryer_kg": 60})
    asked = wish(count=None, last=date(2027, 4, 15), every_d=7, grown_d=5)
    scheme = stagger(planned(data), asked)
    assert scheme.overs == ()
    # 60 kg a cohort, dried in 10 days and cleaned in one: no two harvests within 11 days.
    found = [s.timeline.likely("harvest") for s in scheme.sown]
    assert all((b - a).days >= 11 for a, b in pairwise(found))
    assert len(stagger(planned(empty_data()), asked).sown) > len(found) > 2


@pytest.mark.slow
@pytest.mark.parametrize("most", [3, 6])
def test_samples_are_kept_to_what_the_laboratory_takes_or_told(most):
    """Three samples a week for the 45 days from flowering to harvest: cohorts 25 days apart overlap in twos."""
    asked = wish(first=date(2027, 2, 20), every_d=25, grown_d=1)
    scheme = stagger(planned(empty_data(capacity={"samples_per_week": most})), asked)
    mondays = [day for day in days(scheme) if day.weekday() == 0]
    busiest = max(samples_in(scheme, monday) for monday in mondays)
    told = [o.needed for o in scheme.overs if o.limit.kind == "samples"]
    assert len(scheme.sown) == 3
    assert (busiest <= most and not told) or busiest == max(told)
    assert bool(told) == (most == 3)


@pytest.mark.slow
def test_where_as_many_as_fit_are_wanted_none_is_planted_to_stay_small():
    asked = wish(count=None, first=date(2027, 3, 24), last=date(2027, 4, 15), every_d=7)
    scheme = stagger(planned(empty_data()), asked)
    assert {s.cohort.place for s in scheme.sown} == {"H1", "H2"}
    assert all(s.timeline.growth_d >= 21 for s in scheme.sown)
    (told,) = [text for text in scheme.notes if text.startswith("nothing is planted in F1")]
    assert "under 21 d; for " in told
    assert "lamps to 17 h 00 in F1 would make it possible" in told


@pytest.mark.slow
def test_where_not_even_one_fits_the_limit_in_the_way_is_told():
    data = empty_data(capacity={"samples_per_week": 2})
    with pytest.raises(Refusal) as refused:
        stagger(planned(data), wish(count=None, last=date(2027, 4, 15)))
    assert "not even one cohort fits" in str(refused.value)
    assert "3 samples of 2, 1 too many" in str(refused.value)


def heat_data():
    """Invented monthly means, on which emergence and flowering run."""
    data = empty_data(heat={})
    data["site"]["monthly_low_c"] = [17, 17, 15, 12, 9, 7, 6, 7, 9, 11, 13, 16]
    data["site"]["monthly_high_c"] = [29, 28, 26, 22, 18, 15, 14, 16, 18, 21, 24, 27]
    return data


@pytest.mark.slow
def test_on_heat_the_calendar_gives_the_promised_dates_too():
    data = heat_data()
    scheme = stagger(planned(data), wish(within_d=4, grown_d=1))
    forward = make_plan(season_of(apply_edits(data, scheme.proposal.change.edits)), FIRST)
    assert len(scheme.sown) == 3
    assert not [text for text in scheme.notes if "with all cohorts in its light" in text]
    for sown in scheme.sown:
        assert forward.timelines[sown.cohort.id].likely("harvest") == sown.timeline.likely("harvest")


@pytest.mark.slow
def test_as_many_as_fit_is_as_good_as_trying_every_choice():
    plan = planned(empty_data(capacity={"dryer_kg": 100}))
    asked = checked(plan.season, wish(count=None, last=date(2027, 3, 8), every_d=7))
    bench = bench_of(plan.season, asked, plan.warmth, FIRST)
    targets = dict(enumerate(harvests(asked, FIRST, FIRST)))
    options = [
        o for light in asked.lights for n in targets for o in _of(options_in(bench, light, targets), n)[:3]
    ]
    rows = rows_of(room_of(plan.season, plan.timelines, plan.today), options)
    problem = problem_of(options, rows, disputes(plan.season, options), as_many_as_fit=True)
    assert len(problem.groups) == 6
    within = min(cost_of(problem, t) for t in every_choice(problem) if keeps_limits(problem, t))
    assert solve(problem, seconds=20).cost == within


def _of(options, target):
    return [o for o in options if o.target == target]


def test_trays_on_benches_are_kept_by_the_counts_of_the_tables():
    """500 plants at 0.90 x 0.92 x 0.95 are 636 seeds (computed), and 9 trays of 72 cells."""
    data = empty_data()
    data["place"][0] |= {"trays": 8}
    data["place"][3] |= {"area_m2": 5000}
    scheme = stagger(
        planned(data), wish(plants=500, count=1, lights=("F1",), first=date(2027, 3, 25), within_d=20)
    )
    (over,) = [o for o in scheme.overs if o.limit.kind == "trays"]
    assert (over.needed, over.has) == (9, 8)


def test_without_plants_a_place_is_filled_by_the_spacing():
    """43,560 square feet at 5 x 4 ft hold 2,178 plants (computed)."""
    data = empty_data()
    data["place"][3] |= {"area_m2": 43_560 * 0.3048**2}
    asked = wish(plants=None, count=1, lights=("F1",), first=date(2027, 3, 25), within_d=20)
    scheme = stagger(planned(data), replace(asked, spacing_m=(5 * 0.3048, 4 * 0.3048)))
    assert scheme.sown[0].cohort.plants == 2178


@pytest.mark.slow
def test_frost_windows_and_blocked_days_are_kept():
    data = empty_data(capacity={"planting_from": date(2026, 11, 20), "harvest_to": date(2027, 4, 10)})
    data["site"] |= {"first_frost": date(2027, 3, 20)}
    harvest = stagger(planned(data), wish(count=1)).sown[0].timeline.likely("harvest")
    data["crew"] = {"work_days": ["mon", "tue", "wed", "thu", "fri"], "blocked": [harvest]}
    scheme = stagger(planned(data), wish())
    for sown in scheme.sown:
        found = sown.timeline.likely("harvest")
        assert sown.planted >= date(2026, 11, 20)
        assert sown.planted.weekday() < 5
        assert found.weekday() < 5
        assert found != harvest
        assert sown.cohort.place != "F1" or found < date(2027, 3, 20)


@pytest.mark.slow
def test_what_is_over_is_told_once_for_each_limit_and_for_each_week():
    plan = planned(empty_data(capacity={"samples_per_week": 0}))
    scheme = stagger(plan, wish(count=1))
    uses = list(uses_of(plan.season, scheme.sown[0].cohort.light, scheme.sown[0].timeline))
    found = overs(room_of(plan.season, {}, plan.today), [*uses, *uses, *uses, *uses])
    room = [o for o in found if o.limit.kind == "room"]
    assert [o.needed for o in room] == ([] if scheme.sown[0].cohort.place == "F1" else [216.0])
    weeks = [o.day for o in found if o.limit.kind == "samples"]
    assert len(weeks) == len(set(weeks)) == len(scheme.sown[0].timeline.stages["sampling"].dates)


# --- against the outside


def test_staggering_at_25_5_n_is_compressed_as_in_the_records():
    """Open trial records, University of Florida tropical centre, 2019: sowings over 78 days, half induction within 47-49.

    Figures as in test_response: flowering and harvest come a fixed time after induction. Asked backwards: harvests so
    many days apart as those of the first and the last sowing need plantings over 78 days.
    """
    oil = {
        "id": "oil",
        "response": "short-day",
        "critical_day": "14:12",
        "full_response_day": "12:00",
        "inductive_days": [12, 12, 12],
        "induced_to_flowering_d": 14,
        "flowering_to_harvest_d": 45,
    }
    season = season_at(FLORIDA, date(2019, 4, 1), date(2019, 12, 31), varieties=[oil])
    curve = response(season, Planting(variety="oil", place="F1"), date(2019, 5, 1), date(2019, 7, 18))
    first, last = (o.harvest.likely for o in (curve.outcomes[0], curve.outcomes[-1]))
    asked = Wish(variety="oil", lights=("F1",), count=4, first=first, last=last, within_d=0, plants=10)
    scheme = stagger(make_plan(season, date(2019, 4, 1)), asked)
    assert 46 <= scheme.measures.spread_d <= 50
    assert abs((scheme.sown[-1].planted - scheme.sown[0].planted).days - 78) <= 2
    assert sum(s.planting_gap_d for s in scheme.sown[1:]) > sum(s.harvest_gap_d for s in scheme.sown[1:]) + 25
