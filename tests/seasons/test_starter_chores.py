"""The chores a season starts from: the whole list of the season's work, and what each gives a season with every kind of cohort.

The list is the project's own; where its figures come from stands in each chore's mark.
"""

from __future__ import annotations

import tomllib
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

import calendar_tui
from calendar_tui.planning.changes.replan import refresh
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.season.reading import read_season
from calendar_tui.season.records import Season, Task
from tests.planning.farm import TODAY, farm_data

STARTER = Path(calendar_tui.__file__).parent / "starter" / "chores.toml"
CHORES = {c["id"]: c for c in tomllib.loads(STARTER.read_text(encoding="utf-8"))["chore"]}

# Each row of the list: the chores for it, the stage they hang on, and the days from it that they may have.
ROWS = [
    (["licence"], "transplant", (-270, -210)),
    (["agree-buyer"], "transplant", (-270, -150)),
    (["protocol"], "transplant", (-120, -90)),
    (["training"], "transplant", (-60, -30)),
    (["reserve-dryer"], "transplant", (-60, 0)),
    (["storm-plan"], "transplant", (-30, 0)),
    (["order-stock"], "transplant", (-180, -120)),
    (["chase-stock"], "transplant", (-150, -90)),
    (["germination-test"], "seeding", (-28, -21)),
    (["test-mothers", "mothers"], "sticking", (-60, -28)),
    (["soil-test"], "transplant", (-180, -90)),
    (["calibrate-sprayer"], "transplant", (-60, -21)),
    (["form-beds", "weedkiller", "lay-mulch"], "transplant", (-21, -14)),
    (["flush-irrigation"], "transplant", (-7, -7)),
    (["clean-nursery"], "transplant", (-55, -50)),
    (["clean-benches", "empty-nursery"], "transplant", (1, 7)),
    (["seed-trays", "sow-in-place"], "seeding", (0, 0)),
    (["first-count"], "seeding", (5, 5)),
    (["second-count"], "seeding", (7, 7)),
    (["stand-count"], "seeding", (10, 10)),
    (["nursery-light"], "emergence", (0, 0)),
    (["nursery-round"], "seeding", (0, 0)),
    (["cuttings-round"], "sticking", (0, 0)),
    (["thin-trays"], "seeding", (10, 14)),
    (["stick-cuttings"], "sticking", (0, 0)),
    (["grade-roots"], "sticking", (14, 14)),
    (["harden-off"], "transplant", (-10, -7)),
    (["confirm-crew"], "transplant", (-28, -28)),
    (["place-ready"], "transplant", (-7, -7)),
    (["house-ready"], "transplant", (-14, -7)),
    (["transplant"], "transplant", (0, 0)),
    (["record-planting"], "transplant", (0, 0)),
    (["survival-count"], "transplant", (7, 7)),
    (["plot-labels"], "transplant", (0, 3)),
    (["lot-report"], "transplant", (0, 30)),
    (["install-lamps"], "lights_on", (-14, -14)),
    (["emergence"], "emergence", (0, 0)),  # common practice, no source
    (["test-lamps"], "lights_on", (-7, -1)),
    (["first-night", "light-map", "lamp-proof"], "lights_on", (0, 0)),
    (["lamp-walk"], "lights_on", (0, 7)),
    (["lights-off", "stray-light", "score-flowering"], "lights_off", (0, 1)),
    (["remove-lamps"], "lights_off", (1, 14)),
    (["irrigation", "house-week", "house-round", "water-pots", "traps"], "transplant", (0, 7)),
    (["spray-book", "disinfectant"], "transplant", (0, 0)),
    (["feed", "drip-test"], "transplant", (10, 10)),
    (["weed-early"], "transplant", (7, 10)),
    (["weed-again"], "transplant", (14, 21)),
    (["scout"], "transplant", (0, 7)),
    (["scout-late", "scout-rot"], "flowering", (21, 28)),
    (["measure"], "transplant", (14, 14)),
    (["pinch"], "transplant", (21, 28)),
    (["stake"], "transplant", (28, 42)),
    (["check-sex", "check-sex-regular"], "transplant", (14, 14)),
    (["check-sex-dark"], "lights_off", (5, 5)),
    (["check-sex-natural", "check-clones"], "flowering", (-17, -7)),
    (["score-natural"], "transplant", (20, 20)),
    (["flowering"], "flowering", (0, 0)),
    (["book-lab", "tag-plants"], "flowering", (-28, -1)),
    (["weekly-samples"], "sampling", (0, 0)),
    (["project-limit", "chase-results"], "sampling", (0, 7)),
    (["book-agent"], "flowering", (0, 7)),
    (["official-sample"], "flowering", (14, 21)),
    (["official-result"], "flowering", (22, 35)),
    (["harvest", "load-dryer"], "harvest", (0, 0)),
    (["harvest-again", "load-dryer-again"], "harvest", (5, 10)),
    (["waste", "pull-stems"], "harvest", (6, 10)),
    (["dryer-log"], "harvest", (0, 1)),
    (["dried", "strip-cure"], "dried", (0, 0)),
    (["retain-sample", "moving-papers"], "dried", (1, 14)),
    (["clear-place"], "dried", (0, 21)),
    (["annual-report"], "dried", (0, 60)),
]


@pytest.mark.parametrize(("ids", "stage", "days"), ROWS)
def test_each_row_of_the_list_has_its_chore_at_its_time(
    ids: list[str], stage: str, days: tuple[int, int]
) -> None:
    for name in ids:
        assert CHORES[name]["stage"] == stage
        assert days[0] <= CHORES[name].get("offset_d", 0) <= days[1]


def test_no_chore_is_outside_the_list() -> None:
    assert {name for ids, _, _ in ROWS for name in ids} == set(CHORES)


def season_with_all() -> Season:
    """The farm and a greenhouse with the starter's chores, all of them at work; from every kind of seed and cuttings."""
    data = farm_data()
    data["place"].append({"id": "G1", "kind": "greenhouse"})
    data["cohort"].append(data["cohort"][3] | {"id": "G1a", "place": "G1"})
    data["chore"] = [{k: v for k, v in c.items() if k != "active"} for c in CHORES.values()]
    for variety in data["variety"][:2]:
        variety["seed_kind"] = "regular"
    for cohort in data["cohort"]:
        cohort["plants"] = 100
        cohort["spacing_m"] = [1.5, 0.6]
    season = read_season(data).season
    assert season is not None
    return season


def laid_out(season: Season) -> tuple[Plan, list[Task]]:
    plan = make_plan(season, TODAY)
    return plan, [m.new for m in refresh(plan).tasks if m.new is not None]


def test_every_chore_makes_a_task_somewhere() -> None:
    _, tasks = laid_out(season_with_all())
    assert {t.chore for t in tasks} == set(CHORES)


def test_trays_are_for_what_is_raised_in_a_nursery_and_the_rest_is_sown_in_its_place() -> None:
    """Common practice, no source."""
    plan, tasks = laid_out(season_with_all())
    seeded = {name: c.nursery is not None for name, c in plan.season.cohorts.items() if c.start == "seed"}
    assert set(seeded.values()) == {True, False}
    for chore, raised in (("seed-trays", True), ("thin-trays", True), ("sow-in-place", False)):
        at_work = {name for task in tasks if task.chore == chore for name in task.about}
        assert at_work == {name for name, nursery in seeded.items() if nursery is raised}


def test_what_is_not_everybody_s_work_waits_until_it_is_switched_on() -> None:
    waiting = {name for name, chore in CHORES.items() if chore.get("active") is False}
    assert waiting == {
        "mothers",
        "water-pots",
        "house-round",
        "nursery-light",
        "nursery-round",
        "cuttings-round",
        "lamp-proof",
        "pinch",
        "stake",
        "dryer-log",
    }


# Work together of which each cohort, plant or m2 takes its part.
OF_EACH = {
    "clear-place": "100 m2",
    "thin-trays": "100 plants",
    "transplant": "100 plants",
    "plot-labels": "cohort",
    "project-limit": "cohort",
}


def test_work_together_takes_its_hours_once_or_for_each_of_its_cohorts() -> None:
    for name, chore in CHORES.items():
        if "together" in chore and "hours" in chore:
            assert chore.get("per", "cohort") == OF_EACH.get(name, "place"), name
    _, tasks = laid_out(season_with_all())
    assert [t.hours for t in tasks if t.chore == "licence"] == [CHORES["licence"]["hours"]]


def test_scouting_is_weekly_and_then_twice_a_week() -> None:
    plan, tasks = laid_out(season_with_all())
    alone = plan.timelines["A1"]
    turn = alone.stages["flowering"].likely + timedelta(days=21)
    house = [t for t in tasks if t.place == "H1" and t.chore in ("scout", "scout-late")]
    assert all((t.chore == "scout-late") == (t.date >= turn) for t in house)
    assert {t.cohorts for t in house} == {("A1",)}


def test_only_work_that_needs_daylight_is_told_to_begin_in_the_dark() -> None:
    """At 34 S the sun rises before 7 h in November and after it in May, when the last cohorts are cut."""
    _, tasks = laid_out(season_with_all())
    told = [t for t in tasks if t.why]
    assert told
    assert {t.chore for t in told} == {"harvest"}
    assert all(t.why.startswith("07:00 is before sunrise at 07:") for t in told)
    assert min(t.date.month for t in told) >= 3


def test_each_stage_that_the_crew_brings_about_has_a_task_that_records_it() -> None:
    recorded = {chore["records"] for chore in CHORES.values() if "records" in chore}
    decided = {"seeding", "sticking", "transplant", "lights_on", "lights_off", "harvest"}
    assert recorded == decided | {"emergence", "flowering", "dried"}


def test_a_farm_that_is_closed_on_sundays_has_no_work_on_one_but_of_stages() -> None:
    season = season_with_all()
    data = {"work_days": ["mon", "tue", "wed", "thu", "fri", "sat"]}
    crew = read_season({**farm_data(), "crew": data}).season
    assert crew is not None
    _, tasks = laid_out(replace(season, crew=crew.crew))
    daily = {name for name, chore in CHORES.items() if chore.get("repeat") == "FREQ=DAILY"}
    for task in tasks:
        if task.date.weekday() == 6 and task.chore not in daily:
            assert task.why.endswith("it stays on its date"), task
            assert not CHORES[task.chore].get("offset_d")
