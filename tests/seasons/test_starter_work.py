"""That the starter's chores come in the order and as often as the work of a crop asks for.

Figures: published crops of two cultivars came to the limit 41 and 50 d after their flowers were initiated (Linder et al.
2022, Horticulturae 8:959); a harvest is complete within 30 d of its official sample (7 CFR 990.26); the rest is common
practice, no source.
"""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise
from pathlib import Path

import pytest

from calendar_tui import starter
from calendar_tui.planning.changes.replan import refresh
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.season.reading import read_season
from calendar_tui.season.records import Task
from tests.planning.farm import TODAY, farm_data
from tests.seasons.test_starter_chores import CHORES

WINDOW_D, SOONEST_LIMIT_D = 30, 41


def laid_out(
    *, seed_kind: str = "feminised", house: str = "hoop house", storms: str = "", **later: int
) -> tuple[Plan, list[Task]]:
    """The farm with all the starter's chores at work. storms: the repeat of the storm plan.

    later: days by which a cohort is planted later.
    """
    data = farm_data()
    data["chore"] = [{k: v for k, v in c.items() if k != "active"} for c in CHORES.values()]
    if storms:
        next(c for c in data["chore"] if c["id"] == "storm-plan")["repeat"] = storms
    data["place"][1]["kind"] = house
    for variety in data["variety"]:
        variety["seed_kind"] = seed_kind
    for cohort in data["cohort"]:
        cohort |= {"plants": 100, "spacing_m": [1.5, 0.6]}
        if days := later.get(cohort["id"]):
            cohort["planned"] = {k: d + timedelta(days=days) for k, d in cohort["planned"].items()}
    season = read_season(data).season
    assert season is not None
    plan = make_plan(season, TODAY)
    return plan, [m.new for m in refresh(plan).tasks if m.new is not None]


def of(tasks: list[Task], *chores: str, about: str = "", place: str = "") -> list[Task]:
    found = [t for t in tasks if t.chore in chores]
    return [t for t in found if (not about or about in t.about) and (not place or t.place == place)]


def likely(plan: Plan, cohort: str, stage: str) -> date:
    found = plan.timelines[cohort].likely(stage)
    assert found is not None
    return found


@pytest.mark.parametrize("cohort", ["A1", "F1", "D1"])
def test_males_of_regular_seed_are_looked_for_until_the_last_have_shown(cohort: str) -> None:
    """From first signs on; every other day from 5 d after lights off, where there are lamps, to 14 d after flowering."""
    plan, tasks = laid_out(seed_kind="regular")
    checks = sorted(
        t.date for t in of(tasks, "check-sex-regular", "check-sex-dark", "check-sex-natural", about=cohort)
    )
    flowering = likely(plan, cohort, "flowering")
    lit = "lights_off" in plan.timelines[cohort].stages
    often = likely(plan, cohort, "lights_off") + timedelta(days=5) if lit else flowering - timedelta(days=17)
    planted = likely(plan, cohort, "emergence" if cohort == "D1" else "transplant")
    assert min(checks) == min(planted + timedelta(days=14), often)
    assert flowering + timedelta(days=12) <= max(checks) < flowering + timedelta(days=14)
    assert all((b - a).days <= (2 if a >= often else 3) for a, b in pairwise(checks))


def test_clones_and_feminised_plants_are_looked_over_for_male_flowers() -> None:
    plan, tasks = laid_out()
    for chore, cohort in (("check-sex", "A1"), ("check-clones", "C1")):
        checks = of(tasks, chore, about=cohort)
        assert (max(t.date for t in checks) - likely(plan, cohort, "flowering")).days >= 21
        assert all("outage" in t.what for t in checks)


def test_lamps_come_down_once_a_place_soon_after_its_last_lights_off() -> None:
    plan, tasks = laid_out()
    (down,) = of(tasks, "remove-lamps")
    assert (down.place, down.cohort) == ("H1", "")
    assert 0 < (down.date - likely(plan, "A1", "lights_off")).days <= 14


def test_a_drip_line_stays_while_a_neighbour_stands_on_it() -> None:
    plan, tasks = laid_out(C1=20)
    cleared = of(tasks, "clear-place", place="F1")
    assert len(cleared) == 1
    for cohort in ("F1", "C1", "D1"):
        assert cleared[0].date > likely(plan, cohort, "harvest") + timedelta(days=7)
    assert len(of(tasks, "pull-stems")) == len(plan.timelines)


def test_the_weedkiller_goes_on_formed_beds_and_the_mulch_over_it_after_its_wait() -> None:
    _, tasks = laid_out()
    for cohort in ("F1", "C1", "D1"):
        beds, spray, mulch = (of(tasks, c, about=cohort) for c in ("form-beds", "weedkiller", "lay-mulch"))
        assert beds[0].date < spray[0].date < mulch[0].date
    assert {t.place for t in of(tasks, "weedkiller")} == {"F1"}
    assert of(tasks, "calibrate-sprayer")[0].date < min(t.date for t in of(tasks, "weedkiller"))


def test_the_official_sample_is_cut_before_the_limit_and_the_harvest_is_inside_its_window() -> None:
    plan, tasks = laid_out()
    for cohort in plan.timelines:
        (cut,) = of(tasks, "official-sample", about=cohort)
        assert 14 <= (cut.date - likely(plan, cohort, "flowering")).days <= 21
        if cohort != "D1":  # which is not induced by short days
            assert (cut.date - likely(plan, cohort, "induced")).days < SOONEST_LIMIT_D
        (last,) = of(tasks, "harvest-again", about=cohort)
        assert (last.date - cut.date).days <= WINDOW_D
        (booked,) = of(tasks, "book-agent", about=cohort)
        assert 14 <= (cut.date - booked.date).days <= 21


def test_samples_and_the_look_for_rot_go_on_to_the_last_pass() -> None:
    plan, tasks = laid_out()
    for cohort in plan.timelines:
        last = of(tasks, "harvest-again", about=cohort)[0].date
        for chore in ("weekly-samples", "scout-rot", "irrigation"):
            assert 0 <= (last - max(t.date for t in of(tasks, chore, about=cohort))).days < 7, chore


def test_plants_are_tagged_and_the_laboratory_booked_before_the_first_sample() -> None:
    plan, tasks = laid_out()
    first = min(t.date for t in of(tasks, "weekly-samples"))
    assert of(tasks, "book-lab")[0].date < first
    for cohort in plan.timelines:
        assert of(tasks, "tag-plants", about=cohort)[0].date < min(
            t.date for t in of(tasks, "weekly-samples", about=cohort)
        )


def test_the_nursery_is_cleaned_before_the_first_plants_and_after_the_last() -> None:
    """Also where there are cuttings alone; in a full house only what came free is washed."""
    plan, tasks = laid_out(A1=30)
    (first,), (last,) = of(tasks, "clean-nursery"), of(tasks, "empty-nursery")
    raised = ("A1", "F1", "C1")
    assert first.date < min(likely(plan, c, plan.timelines[c].cohort.first_stage) for c in raised)
    assert last.date > max(likely(plan, c, "transplant") for c in raised)
    turns = of(tasks, "clean-benches")
    assert [t.about for t in turns] == [("F1", "C1"), ("A1",)]
    assert {t.place for t in (first, last, *turns)} == {"N1"}


def test_pots_in_a_greenhouse_are_watered_every_day() -> None:
    _, tasks = laid_out(house="greenhouse")
    water = [t.date for t in of(tasks, "water-pots")]
    assert all((b - a).days == 1 for a, b in pairwise(water))
    assert {t.place for t in of(tasks, "water-pots", "traps", "house-week")} == {"H1"}


def test_the_planting_crew_is_confirmed_once_a_planting_and_the_soil_tested_once_a_field() -> None:
    _, tasks = laid_out()
    assert [(t.place, t.about) for t in of(tasks, "confirm-crew")] == [("", ("A1", "F1", "C1"))]
    assert sorted(t.place for t in of(tasks, "soil-test")) == ["F1", "H1"]


def test_seed_is_ordered_and_tested_once_a_lot() -> None:
    """F1 and C1 are of one variety, from seed and from cuttings."""
    _, tasks = laid_out()
    lots = [t.about for t in of(tasks, "order-stock")]
    assert ("C1",) in lots
    assert sorted(name for lot in lots for name in lot) == ["A1", "C1", "D1", "F1"]
    assert ("C1",) not in [t.about for t in of(tasks, "germination-test")]


def test_the_storm_plan_keeps_to_the_months_of_storms_that_are_set() -> None:
    """As the comment of the chore says."""
    text = (Path(starter.__file__).parent / "chores.toml").read_text(encoding="utf-8")
    assert '# repeat = "FREQ=MONTHLY;BYMONTH=6,7,8,9,10,11"' in text
    assert len({t.date.month for t in of(laid_out()[1], "storm-plan")}) > 2
    _, tasks = laid_out(storms="FREQ=MONTHLY;BYMONTH=12,1")
    assert {t.date.month for t in of(tasks, "storm-plan")} == {12, 1}


def test_a_light_map_is_drawn_once_a_night_and_place() -> None:
    _, tasks = laid_out()
    assert [t.place for t in of(tasks, "light-map")] == ["H1"]


def test_stripping_is_spread_over_days() -> None:
    """250 person-hours an acre of 1,210 plants (trade, read): 20.7 h for 100 plants, more than anyone strips in a day."""
    plan, tasks = laid_out()
    strip = of(tasks, "strip-cure", about="A1")
    assert len({t.date for t in strip}) == 5
    assert strip[0].date == likely(plan, "A1", "dried")
    assert sum(t.hours for t in strip) == pytest.approx(20.7, abs=0.5)


def test_the_storm_plan_is_looked_at_each_month_whatever_the_crop_does() -> None:
    plan, tasks = laid_out()
    plans = of(tasks, "storm-plan")
    assert plans[0].date < min(likely(plan, c, "transplant") for c in ("A1", "F1", "C1"))
    assert all(28 <= (b.date - a.date).days <= 31 for a, b in pairwise(plans))


def test_every_chore_at_work_takes_hours_and_those_without_a_source_are_guesses() -> None:
    assert [name for name, c in CHORES.items() if not c.get("hours")] == []
    assert 4 <= CHORES["harvest"]["hours"] <= 6
