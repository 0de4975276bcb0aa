"""A cohort that stands in several places in turn: light, lamps, room, heat, work and warnings follow it."""

from copy import deepcopy
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.planning.capacity.space import room_taken
from calendar_tui.planning.capacity.uses import tray_uses
from calendar_tui.planning.changes.carrying import add_stays
from calendar_tui.planning.changes.outages import lamp_places, nothing_stands_text
from calendar_tui.planning.lamps.runs import lamp_sheet
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.planning.why.chain import counted_days
from calendar_tui.planning.why.heat import heat_runs
from calendar_tui.screens.lamps.view import heading_row
from calendar_tui.screens.response.opening import first_planting
from calendar_tui.season.records import Cohort, Season, WrittenStay
from calendar_tui.season.refusal import Refusal
from tests.planning.acts import record_outage
from tests.planning.farm import TODAY, farm_data, season_of
from tests.planning.test_light_properties import QUICK, days, seasons

MOVED, CARRIED = date(2026, 11, 26), date(2026, 12, 26)
THREE = [{"place": "N1"}, {"place": "H1", "from": "transplant"}, {"place": "F1", "from": CARRIED}]


def data_with(stays: list[dict[str, Any]], **keys: Any) -> dict[str, Any]:
    """The farm, its first cohort with these stays."""
    data = farm_data()
    own = data["cohort"][0]
    del own["nursery"], own["place"]
    own.update(stays=deepcopy(stays), **keys)
    return data


def planned(data: dict[str, Any]) -> Plan:
    return make_plan(season_of(data), TODAY)


def numbers(plan: Plan, *days_: date) -> list[int]:
    return [plan.light.index(day) for day in days_]


def test_the_felt_day_is_that_of_each_place_in_turn():
    plan = planned(data_with(THREE))
    felt, light = plan.timelines["A1"].felt_h, plan.light
    n, m = numbers(plan, MOVED, CARRIED)
    assert felt == light.places["N1"].felt_h[:n] + light.places["H1"].felt_h[n:m] + light.natural_h[m:]
    assert (felt[n - 1], felt[n], felt[m - 1]) == (18.0, 16.0, 16.0)
    assert felt[m] == light.natural_h[m] < 14.75


def test_short_days_count_from_the_day_the_pots_are_carried_into_the_dark_before_lights_off():
    """Lights off is on 10 Jan in the house; in the field nothing is lit for it."""
    plan = planned(data_with(THREE))
    assert plan.timelines["A1"].likely("trigger") == CARRIED
    assert "until then under the lamps of H1" in plan.timelines["A1"].stages["trigger"].reason
    assert {day.place for day in counted_days(plan, "A1") if day.day < CARRIED} == {"H1"}
    assert {day.place for day in counted_days(plan, "A1") if day.day >= CARRIED} == {"F1"}


def test_lamps_are_asked_for_only_while_the_cohort_stands_under_them():
    light = planned(data_with(THREE)).light
    assert [tuple(a) for who, a in light.places["N1"].asked if who == "A1"] == [(date(2026, 11, 1), MOVED)]
    assert [tuple(a) for who, a in light.places["H1"].asked if who == "A1"] == [(MOVED, CARRIED)]
    n, m = light.index(MOVED), light.index(CARRIED)
    assert light.places["H1"].lit == (False,) * n + (True,) * (m - n) + (False,) * (len(light.natural_h) - m)


def test_a_neighbour_s_lamps_hold_a_cohort_back_only_while_it_stands_there():
    data = farm_data()
    data["cohort"][1].update(variety="amber", place="H1")
    beside = planned(data)
    (clash,) = [c for c in beside.clashes_of("F1") if c.kind == "held back"]
    data["cohort"][1]["stays"] = [
        {"place": "N1"},
        {"place": "H1", "from": "transplant"},
        {"place": "F1", "from": CARRIED},
    ]
    del data["cohort"][1]["nursery"], data["cohort"][1]["place"]
    carried = planned(data)
    (shorter,) = [c for c in carried.clashes_of("F1") if c.kind == "held back"]
    assert "up to 9 Jan: H1 is lit for A1" in clash.text
    assert "up to 25 Dec: H1 is lit for A1" in shorter.text
    assert carried.timelines["F1"].likely("trigger") == CARRIED
    assert carried.light.places["H1"].lit == beside.light.places["H1"].lit


def test_room_is_taken_in_each_place_only_while_the_plants_stand_there():
    plan = planned(data_with(THREE, spacing_m=[1.5, 0.6]))
    timeline = plan.timelines["A1"]
    house, field = room_taken(plan.season, timeline)
    harvest = timeline.likely("harvest")
    assert (house[0], house[1].first, house[1].last) == ("H1", MOVED, date(2026, 12, 25))
    assert (field[0], field[1].first, field[1].last) == ("F1", CARRIED, harvest - timedelta(days=1))


def test_two_cohorts_that_change_places_on_one_day_do_not_crowd_each_other():
    data = data_with(THREE, spacing_m=[1.5, 0.6])
    for place in data["place"][1:]:
        place["area_m2"] = 110
    other = {"variety": "amber", "start": "seed", "plants": 120, "spacing_m": [1.5, 0.6]}
    there = [{"place": "F1"}, {"place": "H1", "from": CARRIED}]
    data["cohort"] = [data["cohort"][0], {"id": "B1", "stays": there, "planned": {"seeding": MOVED}, **other}]
    assert [c.kind for c in planned(data).clashes if c.kind.startswith("crowded")] == []
    data["cohort"][1]["stays"][1]["from"] = CARRIED - timedelta(days=1)
    (crowded,) = [c for c in planned(data).clashes if c.kind.startswith("crowded")]
    assert "H1 is too small from 25 Dec to 25 Dec" in crowded.text


def test_trays_stand_on_the_benches_of_each_nursery_in_turn():
    data = data_with([{"place": "N1"}, {"place": "N2", "from": "emergence"}, *THREE[1:]])
    data["place"].append({"id": "N2", "kind": "nursery"})
    data["place"][0]["tray_cells"] = 50
    plan = planned(data)
    uses = [(u.limit.of, u.first, u.end) for u in tray_uses(plan.season, plan.timelines["A1"])]
    up = plan.timelines["A1"].likely("emergence")
    assert uses == [("N1", date(2026, 11, 1), up), ("N2", up, MOVED)]
    assert plan.season.cohorts["A1"].nursery == "N1"
    data["cohort"][0]["stays"][1]["from"] = MOVED
    plan = planned(data)
    passed_over = [(u.limit.of, u.first, u.end) for u in tray_uses(plan.season, plan.timelines["A1"])]
    assert passed_over == [("N1", date(2026, 11, 1), MOVED)]


def test_heat_is_that_of_the_place_of_the_day():
    data = data_with([{"place": "F1"}, {"place": "H1", "from": date(2026, 11, 9)}])
    data["cohort"][0]["planned"] = {"seeding": date(2026, 11, 1)}
    data["heat"] = {}
    data["site"] |= {"monthly_low_c": [8.0] * 12, "monthly_high_c": [18.0] * 12}
    data["place"][1]["warmer_c"] = 6.0
    plan = planned(data)
    runs = {run.what: run for run in heat_runs(plan, "A1", "emergence")}
    found = {day.place: (day.low_c, day.high_c) for run in runs.values() for day in run.days}
    assert found == {"F1": (8.0, 18.0), "H1": (14.0, 24.0)}
    cold = planned({**data, "cohort": [{**data["cohort"][0], "stays": [{"place": "F1"}]}]})
    assert plan.timelines["A1"].likely("emergence") < cold.timelines["A1"].likely("emergence")


def test_lamps_can_fail_in_every_place_in_which_it_stands_and_only_then_for_it():
    plan = planned(data_with([*THREE[:2], {"place": "F1", "from": TODAY - timedelta(days=3)}]))
    assert list(lamp_places(plan.season, plan.season.cohorts["A1"])) == ["N1", "H1"]
    gone = TODAY - timedelta(days=2)
    after = record_outage(plan, "H1", gone, gone)
    assert after.verdicts == ()
    assert any("no cohort asked for the lamps of H1" in text for text in after.new_clashes)


def test_of_a_place_that_is_empty_for_a_while_the_day_is_told_on_which_the_pots_come_back():
    data = data_with([*THREE, {"place": "H1", "from": date(2027, 1, 5)}])
    day = date(2026, 12, 28)
    empty = nothing_stands_text(planned(data), "H1", day, day)
    assert empty == "nothing stands there then; A1 comes on 5 Jan"


def test_a_stay_from_flowering_moves_no_date_and_is_felt_from_there():
    house, carried = THREE[:2], [*THREE[:2], {"place": "F1", "from": "flowering"}]
    before, plan = planned(data_with(house)), planned(data_with(carried))
    old, new = before.timelines["A1"], plan.timelines["A1"]
    assert new.stages == old.stages
    day = new.likely("flowering")
    assert new.stay_on(day).place == "F1"
    assert new.stay_on(day - timedelta(days=1)).place == "H1"
    assert new.felt_h[plan.light.index(day)] == plan.light.places["F1"].felt_h[plan.light.index(day)]


def test_a_stay_that_never_comes_about_is_a_clash():
    def left_out(*stays: dict[str, Any]) -> list[str]:
        return [c.text for c in planned(data_with([*THREE[:2], *stays])).clashes if "left out" in c.kind]

    assert left_out({"place": "F1", "from": CARRIED}) == []
    (late,) = left_out({"place": "F1", "from": date(2027, 6, 1)})
    assert "A1 never stands in F1: it begins on 1 Jun, and harvest is on" in late
    (early,) = left_out({"place": "F1", "from": date(2026, 11, 20)})
    assert "A1 never stands in H1: it would begin on 26 Nov, when the next one does, or later" in early


@pytest.mark.parametrize(
    ("day", "problem"),
    [
        (date(2026, 11, 1), "A1 begins on Sun 1 Nov 2026; a further stay comes after that"),
        (date(2026, 12, 5), "A1 was harvested on Sat 5 Dec 2026; a further stay comes before that"),
    ],
)
def test_pots_are_not_carried_on_the_day_of_sowing_nor_on_that_of_harvest(day: date, problem: str):
    data = data_with(THREE[:2])
    data["cohort"][0]["recorded"]["harvest"] = date(2026, 12, 5)
    plan = planned(data)
    with pytest.raises(Refusal, match=problem):
        add_stays(plan, [plan.season.cohorts["A1"]], "F1", day, done=True)


def test_seedlings_of_a_hoop_house_are_carried_on_in_the_pots_they_were_planted_into():
    """Begun in trays in a hoop house, of which no pot_l is set; H1 holds pots, or the plants are in its ground."""
    for pot_l, doubts in ((11.0, 0), (None, 1)):
        data = data_with(THREE[:2])
        data["place"][0]["kind"] = "hoop house"
        data["place"][1] |= {} if pot_l is None else {"pot_l": pot_l}
        plan = planned(data)
        carried = add_stays(plan, [plan.season.cohorts["A1"]], "F1", CARRIED, done=False)
        assert sum("only plants in pots" in text for text in carried.doubts) == doubts


def test_a_cohort_is_of_its_last_place_in_lists():
    own = season_of(data_with(THREE)).cohorts["A1"]
    assert (own.place, own.light, own.nursery) == ("F1", "F1", "N1")
    assert own.lights == ("N1", "H1", "F1")
    assert own.growing_lights == ("H1", "F1")


def in_stays(cohort: Cohort) -> Cohort:
    """The same cohort, its nursery and place written as stays."""
    return replace(cohort, written_stays=cohort.stays)


@pytest.mark.slow
@QUICK
@given(seasons())
def test_stays_that_say_the_same_as_nursery_and_place_give_the_same_plan(season: Season):
    written = replace(season, cohorts={name: in_stays(c) for name, c in season.cohorts.items()})
    short, long = make_plan(season, season.first_day), make_plan(written, season.first_day)
    assert long.light == short.light
    for name, timeline in short.timelines.items():
        other = long.timelines[name]
        assert (other.stages, other.felt_h, other.never) == (timeline.stages, timeline.felt_h, timeline.never)
        assert other.stays == timeline.stays
    assert [(c.kind, c.cohorts) for c in long.clashes] == [(c.kind, c.cohorts) for c in short.clashes]


@st.composite
def with_stays(draw: st.DrawFn) -> Season:
    """A drawn season of which the first cohort stands in further places from dates or stages on."""
    season = draw(seasons())
    own = season.cohorts["A"]
    further = draw(
        st.lists(st.tuples(st.sampled_from(["F1", "H1", "N1"]), days(60, 300)), min_size=1, max_size=3)
    )
    dated = [WrittenStay(place, "", day) for place, day in sorted(further, key=lambda pair: pair[1])]
    late = [WrittenStay("F1", "", "flowering")] if draw(st.booleans()) else []
    return replace(
        season, cohorts=season.cohorts | {"A": replace(own, written_stays=(*own.stays, *dated, *late))}
    )


@pytest.mark.slow
@QUICK
@given(with_stays())
def test_each_day_is_felt_where_the_stays_say_the_plants_stand(season: Season):
    plan = make_plan(season, season.first_day)
    timeline = plan.timelines["A"]
    for n, felt_h in enumerate(timeline.felt_h):
        day = season.first_day + timedelta(days=n)
        assert felt_h == plan.light.places[timeline.stay_on(day).light].felt_h[n]


@pytest.mark.slow
@QUICK
@given(with_stays())
def test_what_is_taken_over_from_the_plan_before_is_what_would_be_worked_out(season: Season):
    plan = make_plan(season, season.first_day)
    again = make_plan(season, season.first_day, plan)
    assert again.timelines == plan.timelines
    assert again.light == plan.light
    moved = replace(
        season,
        cohorts=season.cohorts
        | {
            "B": replace(
                season.cohorts["B"], planned={**season.cohorts["B"].planned, "lights_off": season.last_day}
            )
        },
    )
    assert make_plan(moved, season.first_day, plan).timelines == make_plan(moved, season.first_day).timelines


@pytest.mark.slow
@QUICK
@given(with_stays())
def test_the_past_is_felt_as_before_when_a_stay_is_added(season: Season):
    """The added stay begins after all others: every day before it is as it was."""
    own = season.cohorts["A"]
    short = replace(
        season, cohorts=season.cohorts | {"A": replace(own, written_stays=own.written_stays[:-1])}
    )
    before, after = (make_plan(s, s.first_day) for s in (short, season))
    begun = after.timelines["A"].stays[-1].first
    n = after.light.index(begun)
    for name, timeline in after.timelines.items():
        assert timeline.felt_h[:n] == before.timelines[name].felt_h[:n]
        for stage, found in timeline.stages.items():
            if found.status == "recorded":
                assert found == before.timelines[name].stages[stage]


def test_plants_carried_out_of_the_lamps_before_lights_off_are_told_what_to_do():
    (text,) = [
        c.text for c in planned(data_with(THREE)).clashes_of("A1") if c.kind == "trigger before lights off"
    ]
    assert (
        "it is carried into F1 then, which has no lamps: carry it later, or plan lights off for that day"
        in text
    )


def test_lamps_are_lit_from_the_day_the_pots_come_under_them():
    """Planted in a house without lamps; no lights-on date is planned."""
    data = data_with(
        [{"place": "N1"}, {"place": "F1", "from": "transplant"}, {"place": "H1", "from": CARRIED}]
    )
    on = planned(data).timelines["A1"].stages["lights_on"]
    assert (on.likely, on.reason) == (CARRIED, "when it comes into H1")


def test_long_days_after_induction_name_the_place_in_which_it_is_lit():
    """Back under the lamps for February alone."""
    back = [{"place": "H1", "from": date(2027, 2, 1)}, {"place": "F1", "from": date(2027, 3, 1)}]
    data = data_with([*THREE, *back])
    data["cohort"][0]["planned"]["lights_off"] = date(2027, 3, 20)
    (text,) = [c.text for c in planned(data).clashes_of("A1") if c.kind == "long days after induction"]
    assert "from 1 Feb feels 28 days of up to 16 h 00" in text
    assert "(H1 is lit for A1)" in text


def test_a_planting_is_tried_out_where_the_cohort_is_planted():
    planting = first_planting(planned(data_with(THREE)), "A1")
    assert planting is not None
    assert (planting.nursery, planting.place) == ("N1", "H1")


def test_the_lamps_view_tells_when_a_cohort_stands_under_its_lamps():
    plan = planned(data_with(THREE))
    sheet = lamp_sheet(plan.season, "H1", plan.light, plan.timelines)
    heading = heading_row(sheet, plan.timelines["A1"], TODAY)
    assert "".join(part.text for part in heading.segments).endswith("; A1 stands here 26 Nov to 25 Dec")
