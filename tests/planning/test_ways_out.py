"""The ways out told to a cohort that is held back: followed as they are written, they come to what they say."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calendar_tui.planning.plan import Plan
from calendar_tui.season.checks import CHECKS
from calendar_tui.season.records import Lamps, Season
from calendar_tui.season.wording import day_text
from tests.counting import lines_run
from tests.planning.lit_house import EXTEND, VARIETY, cohort, house, laid_out, texts

DAY = timedelta(days=1)
BEGIN = date(2026, 6, 1)
QUICK = settings(deadline=None, max_examples=40)


def two(late: int, soon: int, lamps: dict[str, Any] = EXTEND, *, seed: bool = False) -> Season:
    """A1 lit up to `late` days from 1 June and B1 up to `soon`, from seed or from cuttings, in one house."""
    first = {"seeding": BEGIN} if seed else {"sticking": BEGIN}
    kind = {"start": "seed"} if seed else {}
    return house(
        lamps,
        cohorts=[
            cohort("A1", planned={"sticking": BEGIN, "lights_off": BEGIN + late * DAY}),
            cohort("B1", planned={**first, "lights_off": BEGIN + soon * DAY}, **kind),
        ],
        varieties=[VARIETY | {"id": "onyx", "critical_day": "13:30"}],
    )


def told(plan: Plan) -> str:
    (text,) = texts(plan, "B1", "held back")
    return text


def problems(season: Season) -> list[str]:
    return [p.message for check in CHECKS for p in check(season)]


@QUICK
@given(late=st.integers(60, 190), soon=st.integers(10, 190), seed=st.booleans())
def test_a_cohort_written_into_the_place_that_is_told_has_the_trigger_that_is_told(
    late: int, soon: int, seed: bool
) -> None:
    season = two(late, soon, seed=seed)
    held = [c.text for c in laid_out(season).clashes_of("B1") if c.kind == "held back"]
    found = re.search(r'in its record place = "F1", no lights_off\): trigger on (\d+ \w+)', "".join(held))
    if found is None:
        return
    own = season.cohorts["B1"]
    dates = {stage: day for stage, day in own.planned.items() if stage != "lights_off"}
    there = replace(season, cohorts=season.cohorts | {"B1": replace(own, place="F1", planned=dates)})
    assert problems(there) == []
    trigger = laid_out(there).timelines["B1"].likely("trigger")
    assert trigger is not None
    assert day_text(trigger) == found[1]


@QUICK
@given(late=st.integers(80, 190), soon=st.integers(10, 190))
def test_the_common_lights_off_leaves_the_other_the_growth_that_is_told(late: int, soon: int) -> None:
    season = two(late, soon)
    plan = laid_out(season)
    held = [c.text for c in plan.clashes_of("B1") if c.kind == "held back" and c.cohorts[0] == "B1"]
    found = re.search(r"one lights-off for both on (\d+ \w+) \(leaves A1 (.*?) of growth\)", "".join(held))
    if found is None:
        return
    day = next(d for n in range(300) if day_text(d := BEGIN + n * DAY) == found[1])
    both = {
        n: replace(c, planned={**c.planned, "lights_off": min(day, c.planned["lights_off"])})
        for n, c in season.cohorts.items()
    }
    after = laid_out(replace(season, cohorts=both))
    assert texts(after, "B1", "held back") == []
    was, now = (p.timelines["A1"].growth_d for p in (plan, after))
    assert found[2] == (f"all its {was} days" if now == was else f"{now} of {was} days")


def test_a_common_lights_off_for_more_than_two_is_one_for_all() -> None:
    season = two(111, 75)
    more = season.cohorts | {"C1": replace(season.cohorts["A1"], id="C1")}
    text = told(laid_out(replace(season, cohorts=more)))
    assert "one lights-off for all on 15 Aug (leaves A1 73 of 100 days of growth, C1 73 of" in text


def test_of_many_neighbours_the_dearest_are_told_and_the_others_counted() -> None:
    season = two(111, 75)
    more = {
        f"C{n}": replace(
            season.cohorts["A1"],
            id=f"C{n}",
            planned={"sticking": BEGIN, "lights_off": BEGIN + (111 + n) * DAY},
        )
        for n in range(1, 5)
    }
    text = told(laid_out(replace(season, cohorts=season.cohorts | more)))
    assert "(leaves C4 73 of 104 days of growth, C3 73 of 104 days of growth, C2 73 of" in text
    assert ", 2 more with fewer too)" in text


@pytest.mark.slow
def test_what_ways_out_cost_does_not_grow_with_every_pair_of_a_place() -> None:
    """Counted in lines of Python run for each cohort: 80 more in the place are not gone through again for each."""

    def lines(count: int) -> float:
        season = two(111, 75)
        many = {
            f"C{n}": replace(
                season.cohorts["B1"],
                id=f"C{n}",
                planned={"sticking": BEGIN, "lights_off": BEGIN + (60 + n % 10) * DAY},
            )
            for n in range(count)
        }
        plan = laid_out(replace(season, cohorts=many))
        return lines_run(lambda: [clash.text for clash in plan.clashes]) / count

    assert lines(160) - lines(80) < 80, (lines(160), lines(80), lines(40))


def standing(**place: Any) -> str:
    """What is told to B1, which stands in the house already. place: keys of the house."""
    season = two(111, 75)
    own = replace(season.cohorts["B1"], recorded={"sticking": BEGIN})
    kept = replace(season.places[own.place], **place)
    here = replace(season, cohorts=season.cohorts | {"B1": own}, places={**season.places, own.place: kept})
    return told(laid_out(here))


@pytest.mark.parametrize("place", [{"kind": "greenhouse"}, {"kind": "hoop house", "pot_l": 11.0}])
def test_plants_in_pots_that_stand_there_already_are_carried_and_given_no_date(place: dict[str, Any]) -> None:
    text = standing(**place)
    assert "carry it to a place that is dark then, such as F1" in text
    assert "(calendar-tui plan B1 stay F1 2026-08-15)" in text
    assert "plant it in" not in text


def test_of_many_dark_places_the_first_three_are_named() -> None:
    season = two(111, 75)
    own = replace(season.cohorts["B1"], recorded={"sticking": BEGIN})
    pots = replace(season.places["H1"], pot_l=11.0)
    fields = {f"F{n}": replace(season.places["F1"], id=f"F{n}") for n in range(2, 6)}
    season = replace(
        season, cohorts=season.cohorts | {"B1": own}, places={**season.places, "H1": pots, **fields}
    )
    assert "dark then, such as F1, F2, F3 (calendar-tui plan B1 stay F1 2" in told(laid_out(season))


def test_lamps_up_to_just_the_critical_day_hold_a_neighbour_back() -> None:
    season = two(111, 75)
    just = replace(season.places["H1"], lamps=Lamps(target_h=14.0))
    lit = laid_out(replace(season, places={**season.places, "H1": just}))
    assert "held back 36 nights" in told(lit)
    short = replace(season.places["H1"], lamps=Lamps(target_h=13.99))
    dark = laid_out(replace(season, places={**season.places, "H1": short}))
    assert texts(dark, "B1", "held back") == []


@pytest.mark.parametrize("kind", ["hoop house", "field"])
def test_plants_that_stand_in_the_ground_are_not_carried(kind: str) -> None:
    text = standing(kind=kind)
    assert "carry" not in text
    assert "plant it in" not in text
    assert "Ways out: one lights-off for both on" in text
    assert "; or a screen: " in text


def test_a_place_with_lamps_of_its_own_keeps_the_lights_off() -> None:
    season = two(111, 75)
    second = replace(season.places["H1"], id="H2")
    plan = laid_out(replace(season, places={"H1": season.places["H1"], "H2": second} | dict(season.places)))
    assert 'plant it in H2 instead (in its record place = "H2"): trigger on 15 Aug' in told(plan)


@pytest.mark.parametrize(
    ("moved", "programmes", "says"),
    [
        (date(2026, 7, 1), [], "; step down to 15-16 h before transplant"),  # 14 h 34 by the sun
        (date(2026, 9, 20), [], "; step down to 14 h 00 to "),  # 12 h 12
        (date(2026, 11, 1), [], "; step down in H1, under lamps there at first"),  # 10 h 43
        (date(2026, 7, 1), [("18:00", "08:00")], "; begin the covers of H1 some days after the transplant"),
    ],
)
def test_a_step_down_is_told_only_where_it_helps(
    moved: date, programmes: list[tuple[str, str]], says: str
) -> None:
    covers = [
        {"from": date(2026, 6, 1), "to": date(2026, 8, 1), "method": "blackout", "on": on, "off": off}
        for on, off in programmes
    ]
    young = cohort("A1", nursery="N1", planned={"sticking": moved - 20 * DAY, "transplant": moved})
    season = house(None, *covers, cohorts=[young])
    lit = replace(season.places["N1"], lamps=Lamps(target_h=18.0))
    plan = laid_out(replace(season, places={**season.places, "N1": lit}))
    (text,) = texts(plan, "A1", "shock")
    assert says in text


def test_where_no_other_place_is_dark_none_is_told() -> None:
    season = two(111, 75)
    text = told(laid_out(replace(season, places={n: p for n, p in season.places.items() if n != "F1"})))
    assert "plant it in" not in text
    assert "carry it" not in text
    assert "; or a screen:" in text
