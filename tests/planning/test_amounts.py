"""Hours and quantities of tasks. Expected figures are worked out by hand from the shares and sizes given here."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from calendar_tui.planning.changes.replan import refresh
from calendar_tui.planning.lamps.runs import kwh_of, lamp_runs
from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.tasks.amounts import area_of_light_m2, cuttings_of, lamp_kwh, seeds_of
from calendar_tui.season.edits import apply_edits
from tests.planning.farm import TODAY, farm_data, season_of
from tests.planning.typed_changes import typed_change

SHARES = {"germination": 0.90, "usable": 0.92, "survival": 0.95, "rooting": 0.8}


def data_of(chore, *, variety=None, cohort=None, index=0, cells=72, chores=()):
    data = farm_data()
    data["chore"] = [{"id": "x", "what": "x", "stage": "transplant"} | chore, *chores]
    data["place"][0]["tray_cells"] = cells
    data["cohort"] = [data["cohort"][index] | (cohort or {})]
    for record in data["variety"]:
        record.update(SHARES | (variety or {}))
    return data


def task_of(chore, **more):
    (move,) = refresh(make_plan(season_of(data_of(chore, **more)), TODAY)).tasks
    return move.new


def test_seeds_and_trays_of_feminised_and_of_regular_seed():
    """500 / (0.90 x 0.92 x 0.95) = 635.7; half of it males: 1271.3."""
    sow = {"stage": "seeding", "shows": ["seeds", "trays", "plants"]}
    assert task_of(sow, cohort={"plants": 500}).amount == "636 seeds, 9 trays, 500 plants"
    regular = {"seed_kind": "regular"}
    assert task_of(sow, cohort={"plants": 500}, variety=regular).amount == "1272 seeds, 18 trays, 500 plants"


def test_cuttings_and_trays():
    """100 / (0.8 x 0.95) = 131.6."""
    stick = {"stage": "sticking", "shows": ["cuttings", "trays", "seeds"]}
    assert task_of(stick, index=2, cohort={"plants": 100}).amount == "132 cuttings, 2 trays"


def test_what_cannot_be_worked_out_is_left_out():
    sow = {"stage": "seeding", "shows": ["seeds", "trays", "plants"]}
    assert task_of(sow, index=1).amount == ""
    data = data_of(sow, cohort={"plants": 500})
    del data["place"][0]["tray_cells"]
    (move,) = refresh(make_plan(season_of(data), TODAY)).tasks
    assert move.new.amount == "636 seeds, 500 plants"


def test_bags_for_top_middle_and_bottom():
    assert task_of({"shows": ["bags"]}).amount == "3 bags"
    one = task_of({"stage": "seeding", "shows": ["trays"]}, cohort={"plants": 10})
    assert one.amount == "1 tray"


def test_kwh_are_those_of_the_lamp_sheet_where_nothing_fails():
    """0.9 kW for the evenings from 26 November to 9 January, by the lamp programme's own runs."""
    data = data_of({"stage": "lights_off", "shows": ["kWh"]})
    plan = make_plan(season_of(data), TODAY)
    planned = lamp_kwh(plan.season, plan.timelines["A1"])
    assert planned == pytest.approx(kwh_of(lamp_runs(plan.season, "H1", plan.light)), rel=0.01)
    assert task_of({"stage": "lights_off", "shows": ["kWh"]}).amount == f"about {planned:.0f} kWh"


def test_an_outage_leaves_the_kwh_that_were_planned():
    data = data_of({"stage": "lights_off", "shows": ["kWh"]})
    data["outage"] = [{"place": "H1", "from": date(2026, 12, 1), "to": date(2026, 12, 5)}]
    (move,) = refresh(make_plan(season_of(data), TODAY)).tasks
    assert move.new.amount == task_of({"stage": "lights_off", "shows": ["kWh"]}).amount


HOURS = [
    ({"per": "cohort", "hours": 2}, {"plants": 120}, 2.0),
    ({"per": "100 plants", "hours": 2}, {"plants": 120}, 2.4),
    ({"per": "100 m2", "hours": 2}, {"plants": 100, "spacing_m": [1.5, 1.0]}, 3.0),
    ({"per": "100 m2", "hours": 2}, {"plants": 100}, 3.6),  # the place's 180 m2
    ({"per": "place", "hours": 2}, {"plants": 120}, 2.0),
]


@pytest.mark.parametrize(("chore", "cohort", "hours"), HOURS)
def test_hours_of_one_cohort(chore, cohort, hours):
    data = data_of(chore, cohort=cohort)
    data["place"][1]["area_m2"] = 180
    (move,) = refresh(make_plan(season_of(data), TODAY)).tasks
    assert move.new.hours == hours


def test_hours_stay_as_written_where_area_and_plants_are_not_known():
    for per in ("100 plants", "100 m2"):
        assert task_of({"per": per, "hours": 2}, index=1).hours == 2


FITS = [
    ({"seed_kinds": ["regular"]}, 0, {}, 0),
    ({"seed_kinds": ["regular"]}, 0, {"seed_kind": "regular"}, 1),
    ({"seed_kinds": ["feminised"]}, 0, {}, 1),
    ({"seed_kinds": ["clone"]}, 2, {}, 1),
    (
        {"seed_kinds": ["feminised"]},
        2,
        {"seed_kind": "feminised"},
        0,
    ),  # cut from a plant of such seed: a clone
    ({"responses": ["day-neutral"]}, 0, {}, 0),
    ({"responses": ["day-neutral"], "stage": "seeding"}, 3, {}, 1),
    ({"place_kinds": ["field"]}, 0, {}, 0),
    ({"place_kinds": ["field", "hoop house"]}, 0, {}, 1),
    ({"active": False}, 0, {}, 0),
]


@pytest.mark.parametrize(("chore", "index", "variety", "count"), FITS)
def test_which_cohorts_a_chore_is_for(chore, index, variety, count):
    data = data_of(chore, index=index, variety=variety)
    assert len(refresh(make_plan(season_of(data), TODAY)).tasks) == count


def test_a_change_of_germination_changes_the_seeds_to_sow():
    data = data_of({"stage": "seeding", "shows": ["seeds"]}, cohort={"plants": 500})
    data = apply_edits(data, refresh(make_plan(season_of(data), TODAY)).change.edits)
    moves = typed_change(data, "variety", "amber", {"germination": "0.5"}, "own").tasks
    assert [(m.old.amount, m.new.amount) for m in moves] == [("636 seeds", "1145 seeds")]


def test_work_from_flowering_on_may_begin_where_other_work_ends():
    """Scouting is weekly up to flowering + 21 d and twice a week from there: no day is left out or doubled."""
    weekly = {"repeat": "FREQ=WEEKLY", "until": "flowering", "until_offset_d": 21}
    late = {
        "id": "late",
        "what": "Late",
        "stage": "flowering",
        "offset_d": 21,
        "repeat": "FREQ=WEEKLY;BYDAY=TU,FR",
        "until": "harvest",
    }
    data = data_of(weekly, chores=[late])
    plan = make_plan(season_of(data), TODAY)
    tasks = [m.new for m in refresh(plan).tasks]
    turn = plan.timelines["A1"].likely("flowering").toordinal() + 21
    assert all((t.chore == "late") == (t.date.toordinal() >= turn) for t in tasks)
    assert {t.date.weekday() for t in tasks if t.chore == "late"} == {1, 4}


def test_a_female_share_of_ones_own_stands_for_that_of_the_seed_kind():
    """500 / (0.90 x 0.92 x 0.95 x 0.55) = 1155.8."""
    sow = {"stage": "seeding", "shows": ["seeds"]}
    own = {"seed_kind": "regular", "female_share": 0.55}
    assert task_of(sow, cohort={"plants": 500}, variety=own).amount == "1156 seeds"


def test_supplies_give_the_cells_that_the_nursery_does_not_and_the_bags():
    """636 seeds / 242 cells = 2.6."""
    data = data_of({"stage": "seeding", "shows": ["trays", "bags"]}, cohort={"plants": 500})
    data["supplies"] = {"bags_per_sampling": 4}
    (move,) = refresh(make_plan(season_of(data), TODAY)).tasks
    assert move.new.amount == "9 trays, 4 bags"
    del data["place"][0]["tray_cells"]
    (move,) = refresh(make_plan(season_of(data), TODAY)).tasks
    assert move.new.amount == "3 trays, 4 bags"


def test_a_cohort_sown_in_place_has_the_work_of_a_transplant_from_another_stage():
    scout = {"repeat": "FREQ=WEEKLY", "until": "harvest", "offset_d": 7}
    data = data_of(scout, index=3)
    assert refresh(make_plan(season_of(data), TODAY)).tasks == ()
    data["chore"][0]["without_nursery"] = "emergence"
    plan = make_plan(season_of(data), TODAY)
    first = refresh(plan).tasks[0].new
    assert (first.date - plan.timelines["D1"].likely("emergence")).days == 7


def test_a_cohort_with_a_nursery_keeps_to_the_stage():
    scout = {"repeat": "FREQ=WEEKLY", "until": "harvest", "without_nursery": "emergence"}
    assert refresh(make_plan(season_of(data_of(scout)), TODAY)).tasks[0].new.date == date(2026, 11, 26)


@pytest.mark.parametrize("days", [0, 20, 90])
def test_lamps_that_two_cohorts_share_burn_once(days):
    """Lamps hung once for a place draw what they burn, and not what each of its cohorts asks for in turn."""
    hang = {"stage": "lights_on", "lamps": True, "shows": ["kWh"], "together": "place", "once": "first"}
    data = data_of(hang)
    first = data["cohort"][0]
    later = {stage: day + timedelta(days=days) for stage, day in first["planned"].items()}
    data["cohort"].append(first | {"id": "A2", "planned": later, "recorded": {}})
    plan = make_plan(season_of(data), TODAY)
    burnt = kwh_of(lamp_runs(plan.season, "H1", plan.light))
    (move,) = refresh(plan).tasks
    assert float(move.new.amount.split()[1]) == pytest.approx(burnt, rel=0.02)


def test_seed_needs_no_cuttings_and_cuttings_no_seed():
    data = farm_data()
    for cohort in data["cohort"]:
        cohort["plants"] = 100
    season = season_of(data)
    seed, cutting = season.cohorts["F1"], season.cohorts["C1"]
    assert cuttings_of(season, seed) is None
    assert seeds_of(season, cutting) is None
    assert seeds_of(season, seed) >= 100
    assert cuttings_of(season, cutting) >= 100
    assert cuttings_of(season, replace(cutting, plants=None)) is None


def test_a_part_of_a_screened_place_has_its_equal_share_of_the_area():
    data = farm_data()
    data["place"][1] |= {"area_m2": 180, "screened": ["east", "west"]}
    data["cohort"][0]["part"] = "east"
    season = season_of(data)
    assert area_of_light_m2(season, "H1") == 180
    assert area_of_light_m2(season, "H1 east") == 90
    assert area_of_light_m2(season, "F1") is None
    assert area_of_light_m2(season, "H7") is None
