"""What cohorts take by week, against a plain count day by day; and over-full weeks and places as clashes."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.planning.capacity.by_week import WeekUse, most_by_week
from calendar_tui.planning.capacity.over_full import not_counted, over_full_uses
from calendar_tui.planning.capacity.uses import Limit, Use
from calendar_tui.planning.lamps.runs import lamp_runs
from calendar_tui.planning.needs.by_week import week_uses
from calendar_tui.planning.plan import Plan, make_plan
from tests.counting import lines_run
from tests.planning.farm import TODAY, season_of
from tests.planning.staggered import empty_data

KG, DRYER_D, CLEAN_D, SAMPLES = 1.5, 9, 2, 3
PLANTS = {"A": 40, "B": 60, "C": 50}


def _data(capacity: dict[str, Any] | None = None, trays: int | None = None) -> dict[str, Any]:
    """Three cohorts of amber, two in H1 some days apart and one in H2 later."""
    data = empty_data()
    data["variety"][0] |= {"fresh_kg_per_plant": KG}
    data["place"][0].pop("trays")
    if trays is not None:
        data["place"][0]["trays"] = trays
    if capacity is not None:
        data["capacity"] = capacity
    for name, place, days in (("A", "H1", 0), ("B", "H1", 5), ("C", "H2", 50)):
        later = timedelta(days=days)
        data["cohort"].append(
            {
                "id": name,
                "variety": "amber",
                "start": "seed",
                "nursery": "N1",
                "place": place,
                "plants": PLANTS[name],
                "spacing_m": [1.5, 0.6],
                "planned": {
                    "seeding": date(2026, 12, 10) + later,
                    "transplant": date(2027, 1, 4) + later,
                    "lights_off": date(2027, 2, 1) + later,
                },
            }
        )
    return data


def _laid_out(data: dict[str, Any]) -> tuple[Plan, tuple[WeekUse, ...]]:
    plan = make_plan(season_of(data), TODAY)
    return plan, week_uses(plan, data)


def _days(plan: Plan) -> Iterator[date]:
    first = plan.season.first_day
    return (first + timedelta(days=n) for n in range((plan.season.last_day - first).days + 40))


def _taken_on(plan: Plan, kind: str, of: str, day: date) -> float:
    """Of one day, from the dates of the stages alone."""
    total = 0.0
    for name, timeline in plan.timelines.items():
        likely = {stage: found.likely for stage, found in timeline.stages.items()}
        if kind == "dryer":
            dry = likely["harvest"] <= day < likely["harvest"] + timedelta(days=DRYER_D + CLEAN_D)
            total += dry * PLANTS[name] * KG
        elif kind == "room":
            here = timeline.cohort.place == of and likely["transplant"] <= day < likely["harvest"]
            total += here * PLANTS[name] * 1.5 * 0.6
        elif kind == "samples":
            total += SAMPLES * sum(day == taken for taken in timeline.stages["sampling"].dates)
    return total


@pytest.mark.parametrize(
    ("kind", "of"), [("dryer", ""), ("room", "H1"), ("room", "H2"), ("samples", "")], ids=str
)
def test_weeks_are_those_of_a_count_day_by_day(kind: str, of: str) -> None:
    plan, found = _laid_out(_data({"dryer_kg": 100, "dryer_d": DRYER_D, "dryer_clean_d": CLEAN_D}))
    expected: dict[date, float] = {}
    for day in _days(plan):
        monday, taken = day - timedelta(days=day.weekday()), _taken_on(plan, kind, of, day)
        before = expected.get(monday, 0.0)
        expected[monday] = before + taken if kind == "samples" else max(before, taken)
    own = {use.monday: use.amount for use in found if (use.kind, use.of) == (kind, of) and use.amount}
    assert own == pytest.approx({monday: taken for monday, taken in expected.items() if taken})
    assert len(own) > 2


_USES = st.lists(
    st.tuples(st.integers(0, 60), st.integers(1, 40), st.integers(1, 90)).map(
        lambda u: Use(
            Limit("dryer"),
            date(2027, 1, 1) + timedelta(days=u[0]),
            date(2027, 1, 1) + timedelta(days=u[0] + u[1]),
            u[2],
            f"c{u}",
        )
    ),
    min_size=1,
    max_size=8,
)


@given(_USES)
def test_the_most_of_a_week_is_that_of_its_fullest_day_and_so_are_the_cohorts(uses: list[Use]) -> None:
    season = season_of(_data({"dryer_kg": 100}))
    for week in most_by_week(season, uses):
        sums = {
            day: sum(use.amount for use in uses if use.first <= day < use.end)
            for day in (week.monday + timedelta(days=n) for n in range(7))
        }
        assert (week.amount, week.day) == (max(sums.values()), max(sums, key=lambda day: sums[day]))
        assert week.over == max(week.amount - 100, 0)
        assert sum(share.amount for share in week.shares) == week.amount
        amounts = [share.amount for share in week.shares]
        assert amounts == sorted(amounts, reverse=True)
        taken = [(use.first, use.end - timedelta(days=1)) for use in uses if use.first <= week.day < use.end]
        assert sorted((share.first, share.last) for share in week.shares) == sorted(taken)


def test_a_week_of_lamps_is_the_sum_of_its_nights() -> None:
    plan, found = _laid_out(_data())
    runs = list(lamp_runs(plan.season, "H1", plan.light))
    weeks = [use for use in found if (use.kind, use.of) == ("lamps", "H1")]
    assert sum(use.amount for use in weeks) == pytest.approx(sum(run.kwh or 0 for run in runs), abs=0.05)
    for use in weeks:
        nights = [run for run in runs if use.monday <= run.date < use.monday + timedelta(days=7)]
        assert use.amount == pytest.approx(sum(run.kwh or 0 for run in nights), abs=0.005)
    shared = next(use for use in weeks if len(use.shares) == 2)
    assert {share.cohort for share in shared.shares} == {"A", "B"}
    nights = {run.date for run in runs if date(2027, 1, 4) <= run.date < date(2027, 2, 1)}
    of_a = [share for use in weeks for share in use.shares if share.cohort == "A"]
    assert (of_a[0].first, of_a[-1].last) == (min(nights), max(nights))
    expected = sum(run.kwh or 0 for run in runs if run.date in nights)
    assert sum(share.amount for share in of_a) == pytest.approx(expected, abs=0.05)


def test_a_circuit_that_carries_too_much_is_over_full_while_lamps_burn() -> None:
    """0.8 x 230 V x 16 A = 2.944 kW; 3.5 kW is over on one circuit and not on two. 80 %: a value from memory."""
    for circuits, over in ((1, 0.556), (2, 0.0)):
        data = _data()
        house = data["place"][1]
        house["lamps"] = house["lamps"] | {"kw": 3.5, "circuit_v": 230, "circuit_a": 16, "circuits": circuits}
        found = [use for use in _laid_out(data)[1] if use.kind == "circuits"]
        assert {use.of for use in found} == {"H1"}
        assert {use.over for use in found} == {over}
        lit = [use.monday for use in _laid_out(data)[1] if (use.kind, use.of) == ("lamps", "H1")]
        assert [use.monday for use in found] == lit


def _kinds(data: dict[str, Any]) -> dict[str, str]:
    return {clash.kind: clash.text for clash in make_plan(season_of(data), TODAY).clashes}


def test_without_a_capacity_nothing_is_over_full() -> None:
    data = _data()
    for place in data["place"]:
        place.pop("area_m2", None)
    assert not [kind for kind in _kinds(data) if kind.split()[0] in ("dryer", "trays", "samples", "crowded:")]
    assert not [use for use in _laid_out(data)[1] if use.over]


def test_over_full_dryer_benches_and_samples_are_clashes_with_their_cohorts() -> None:
    data = _data({"dryer_kg": 100, "dryer_d": 9, "samples_per_week": 3}, trays=2)
    plan = make_plan(season_of(data), TODAY)
    found = {clash.kind: clash for clash in plan.clashes}
    (dryer, *_) = (clash for kind, clash in found.items() if kind.startswith("dryer 2027-W"))
    assert set(dryer.shown_with) == {"A", "B"}
    assert "B 90 + A 60 = 150 of 100 kg, 50 too many" in dryer.text
    (bench, *_) = (clash for kind, clash in found.items() if kind.startswith("trays N1 2026-W"))
    assert "trays on the benches of N1" in bench.text
    assert [kind for kind in found if kind.startswith("samples 2027-W")]
    assert dryer in plan.clashes_of("A")
    assert dryer not in plan.clashes_of("C")
    roomy = _kinds(_data({"dryer_kg": 1000, "samples_per_week": 30}, trays=200))
    assert not [kind for kind in roomy if kind.split()[0] in ("dryer", "trays", "samples")]


def test_an_over_full_week_that_is_over_is_no_clash() -> None:
    data = _data({"dryer_kg": 100})
    later = make_plan(season_of(data), date(2027, 6, 29))
    assert not [clash for clash in later.clashes if clash.kind.startswith("dryer")]


def test_a_crowded_place_is_one_clash_of_its_worst_days() -> None:
    """A and B take 36 and 54 m2 of H1: 60 m2 are too few for both, and not for one."""
    data = _data()
    data["place"][1]["area_m2"] = 60
    (clash,) = (c for c in make_plan(season_of(data), TODAY).clashes if c.kind.startswith("crowded"))
    assert (clash.kind, clash.cohorts) == ("crowded: H1", ("A", "B"))
    assert "A 36 m2 + B 54 m2 = 90 m2 of 60 m2" in clash.text
    data["place"][1]["area_m2"] = 30  # A alone is too many at first, and B alone at last
    (worst,) = (c for c in make_plan(season_of(data), TODAY).clashes if c.kind.startswith("crowded"))
    assert worst.cohorts == ("A", "B")
    later = make_plan(season_of(data), date(2027, 6, 29))
    assert not [c for c in later.clashes if c.kind.startswith("crowded")]


def test_no_crop_is_assumed_and_that_is_told() -> None:
    data = _data({"dryer_kg": 100})
    data["variety"][0].pop("fresh_kg_per_plant")
    plan, found = _laid_out(data)
    assert not [use for use in found if use.kind == "dryer"]
    (told,) = not_counted(plan.season, plan.timelines, "dryer")
    assert told.startswith("The fresh weight of a plant is not set for amber")


def test_what_rests_on_a_guess_is_marked() -> None:
    capacity = {"dryer_kg": 100, "dryer_d": 9, "dryer_clean_d": 1}
    own, guessed = _data(capacity), _data(capacity)
    guessed["variety"][0]["marks"] = {"fresh_kg_per_plant": "placeholder"}
    for data, mark in ((own, False), (guessed, True)):
        assert {use.guessed for use in _laid_out(data)[1] if use.kind == "dryer"} == {mark}
        (said, *_) = (text for kind, text in _kinds(data).items() if kind.startswith("dryer"))
        assert ("B ~90 + A ~60 = ~150 of 100 kg" in said) == mark


def test_four_times_the_cohorts_are_four_times_the_work() -> None:
    """Over-full weeks of the dryer among them: 3.1 times."""

    def work(count: int) -> int:
        data = _data({"dryer_kg": 599, "dryer_d": 9, "samples_per_week": 1000}, trays=1000)
        first, *_ = data["cohort"]
        data["cohort"] = [
            first | {"id": f"A{n}", "planned": {s: day + timedelta(n) for s, day in first["planned"].items()}}
            for n in range(count)
        ]
        plan = make_plan(season_of(data), TODAY)
        return lines_run(lambda: list(over_full_uses(plan.season, plan.timelines, TODAY)))

    assert work(40) < 4.5 * work(10)
