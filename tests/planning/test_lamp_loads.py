"""What lamps draw, in all and for a cohort, and the load on circuits."""

from datetime import date

import pytest

from calendar_tui.planning.lamps.runs import kwh_of, lamp_runs
from calendar_tui.planning.needs.sums import quantities
from calendar_tui.planning.plan import make_plan
from tests.counting import lines_run
from tests.planning.farm import TODAY, season_of
from tests.planning.one_cohort import data_of, two_in_h1, worked_out


def test_lamps_are_those_of_the_programme():
    data = data_of(nursery={"lamps": {"target_h": 18.0}})
    plan, found = make_plan(season_of(data), TODAY), worked_out(data)
    runs = list(lamp_runs(plan.season, "H1", plan.light))
    loads = {load.light: load for load in found.loads}
    assert loads["H1"].kwh == pytest.approx(kwh_of(runs))
    assert loads["H1"].kwh == pytest.approx(0.9 * sum(r.lamp_h for r in runs))
    assert loads["H1"].nights == (date(2027, 1, 10) - date(2026, 11, 26)).days
    assert (loads["N1"].kw, loads["N1"].kwh, loads["N1"].h > 0) == (None, None, True)
    (growing,) = (a for a in found.cohorts[0].amounts if (a.item, a.of) == ("lamps", "H1"))
    assert (growing.count, growing.unit) == (pytest.approx(loads["H1"].kwh), "kWh")


def test_a_night_that_two_cohorts_share_burns_once_in_the_sum():
    data = two_in_h1()
    found = worked_out(data)
    plan = make_plan(season_of(data), TODAY)
    (load,) = (load for load in found.loads if load.light == "H1")
    assert load.kwh == pytest.approx(kwh_of(list(lamp_runs(plan.season, "H1", plan.light))))
    each = [a.count for c in found.cohorts for a in c.amounts if (a.item, a.of) == ("lamps", "H1")]
    assert len(each) == 2
    assert sum(each) > load.kwh


def test_lamps_of_some_cohorts_are_those_of_the_nights_they_ask_for():
    """A1 asks from 26 November up to the evening before 10 January: 45 nights; A2 up to 9 February."""
    data = two_in_h1()
    data["cohort"][1]["planned"]["lights_off"] = date(2027, 2, 10)
    found = worked_out(data, "A1")
    (load,) = (load for load in found.loads if load.light == "H1")
    assert (load.nights, load.first, load.last) == (45, date(2026, 11, 26), date(2027, 1, 9))
    (own,) = (a for a in found.cohorts[0].amounts if (a.item, a.of) == ("lamps", "H1"))
    assert own.count == pytest.approx(load.kwh)
    assert "in 45 nights, 26 Nov - 9 Jan" in own.how
    (both,) = (load for load in worked_out(data).loads if load.light == "H1")
    assert both.nights == 76


def circuits(**lamps):
    return worked_out(data_of(place={"lamps": {"target_h": 16.0} | lamps})).circuits


def test_a_circuit_carries_four_fifths_for_continuous_use():
    """0.8 x 230 x 16 = 2944 W; 3.5 kW on one is too much, on two it is not. 80 %: a value from memory."""
    (fits,) = circuits(kw=2.9, circuit_v=230, circuit_a=16)
    assert not fits.over
    assert fits.text.endswith("at most 0.80 x 230 V x 16 A = 2.94 kW")
    (over,) = circuits(kw=3.5, circuit_v=230, circuit_a=16)
    assert over.over
    assert "H1: 3.5 kW on 1 circuit is over 0.80 x 230 V x 16 A = 2.94 kW" in over.text
    assert "2 circuits of this kind" in over.text
    (two,) = circuits(kw=3.5, circuit_v=230, circuit_a=16, circuits=2)
    assert (two.over, two.text.startswith("H1: 3.5 kW on 2 circuits, 1.75 kW each; ")) == (False, True)
    (edge,) = circuits(kw=2.944, circuit_v=230, circuit_a=16)
    assert not edge.over
    assert circuits(kw=2.9) == ()
    (unset,) = circuits(circuit_v=230, circuit_a=16)
    assert unset.text.endswith("at most 0.80 x 230 V x 16 A = 2.94 kW; the lamp power is not set")
    assert not unset.over


def houses(count):
    """A1 as often as told, each in a lit house of its own, 20 days long."""
    data = data_of(cohort={"plants": 120, "spacing_m": [1.5, 0.6]}, place={"area_m2": 180})
    house, cohort = data["place"][1], data["cohort"][0]
    cohort["planned"]["lights_off"] = date(2026, 12, 16)
    data["place"][1:2] = [house | {"id": f"G{n}"} for n in range(count)]
    data["cohort"] = [cohort | {"id": f"A{n}", "place": f"G{n}"} for n in range(count)]
    return data


@pytest.mark.slow
def test_four_times_the_cohorts_in_as_many_houses_are_four_times_the_work():
    """4.1 times; were each cohort looked for among the lamps of every house, 5.7."""

    def work(count):
        data = houses(count)
        plan = make_plan(season_of(data), TODAY)
        return lines_run(lambda: quantities(plan, data))

    work(1)  # what is kept from the first time on is made
    assert work(64) < 4.8 * work(16)
