"""A fit goes by the light that each cohort had: lamps, nights on which they failed, neighbours, places where it stood in turn."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from calendar_tui.nature import refit
from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.refit.fit import NOT_BY_THIS_LIGHT, fit, kind_text
from calendar_tui.planning.why.widths import FITTED_NAME, width_of
from calendar_tui.season.refusal import Refusal
from tests.planning.farm import season_of
from tests.planning.fields import RALEIGH, field_data, field_plan, true_day, true_days

TRUE = (14.0, 1.5, 25, 8)
OFF = date(2027, 8, 20)
LAMPS = {"target_h": 16.0}


def lit_data(**more):
    """A1, sown in H1 on 1 May under lamps up to 20 August, by natural days from then on."""
    data = field_data([(5, 1)], **more)
    data["place"].append({"id": "H1", "kind": "hoop house", "lamps": LAMPS})
    (cohort,) = data["cohort"]
    cohort |= {"place": "H1", "planned": cohort["planned"] | {"lights_off": OFF}}
    return data


def with_record(data, days=0):
    """The cohort seen induced on the day that the true figures give under its light, or so many days from it."""
    at = true_day(make_plan(season_of(data), date(2027, 12, 1)), "A1", TRUE)
    data["cohort"][0]["recorded"]["induced"] = at + timedelta(days=days)
    return data


def by_none(data):
    (one,) = fit([make_plan(season_of(data), date(2027, 12, 1))], "v").records
    return one.by_none


def test_each_light_is_counted_once_however_many_records_are_held_against_each_other(monkeypatch):
    """Four records, held against one another in turn, and two cohorts to come that stand in one light."""
    counted = []

    def count(felt_h, starts, grid):
        counted.append(starts)
        return count_days(felt_h, starts, grid)

    count_days = refit.induction_days
    monkeypatch.setattr(refit, "induction_days", count)
    four = [(5, 1), (5, 20), (6, 10), (7, 1)]
    fit([field_plan([*four, (7, 20), (7, 20)], true_days(four, TRUE))], "v")
    assert len(counted) == 5


def test_under_lamps_nothing_counts_before_they_go_off():
    assert by_none(with_record(lit_data())) > OFF


def test_nights_without_lamps_let_plants_be_induced_before_the_lamps_go_off():
    failed = {"outage": [{"place": "H1", "from": date(2027, 7, 25), "to": date(2027, 8, 19)}]}
    assert by_none(with_record(lit_data(**failed))) < by_none(with_record(lit_data()))


def test_a_neighbour_s_lamps_hold_a_cohort_that_asks_for_none():
    data = lit_data()
    quiet = data["cohort"][0] | {"id": "A2", "planned": {"seeding": date(2027, 5, 1)}}
    data["cohort"].append(quiet | {"recorded": {"seeding": date(2027, 5, 1)}})
    plan = make_plan(season_of(data), date(2027, 12, 1))
    at = true_day(plan, "A2", TRUE)
    data["cohort"][1]["recorded"]["induced"] = at
    assert at > OFF
    assert by_none(data) > OFF


def test_a_cohort_carried_out_of_the_light_is_induced_by_the_days_there():
    data = lit_data()
    (cohort,) = data["cohort"]
    del cohort["place"]
    cohort["stays"] = [{"place": "H1"}, {"place": "F1", "from": date(2027, 7, 25)}]
    cohort["planned"] = {"seeding": date(2027, 5, 1), "lights_off": OFF}
    with_stays = by_none(with_record(data))
    assert date(2027, 7, 25) < with_stays < by_none(with_record(lit_data()))


def test_a_date_that_the_light_on_file_cannot_give_is_left_out_with_what_to_look_at():
    """Induced in July under lamps that burn until 20 August: they failed, and nobody wrote it down."""
    data = lit_data()
    data["cohort"][0]["recorded"]["induced"] = date(2027, 7, 10)
    found = fit([make_plan(season_of(data), date(2027, 12, 1))], "v")
    (one,) = found.left_out
    assert one.why.startswith(NOT_BY_THIS_LIGHT.format(kind=kind_text(found.start)))
    assert found.figures == ()
    data["cohort"][0]["recorded"].pop("emergence")
    with pytest.raises(Refusal, match="at lamps and outages that were not recorded, and at the type"):
        fit([make_plan(season_of(data), date(2027, 12, 1))], "v")


def test_fitted_figures_have_one_share_of_a_range_since_they_vary_as_one():
    four = [(5, 1), (5, 20), (6, 10), (7, 1)]
    fitted = fit([field_plan(four, true_days(four, TRUE))], "v").fitted
    data = field_data([(5, 10)], year=2028)
    season = season_of(data)

    plan = make_plan(replace(season, varieties={"v": fitted}), date(2028, 5, 12))
    width = width_of(plan, "A1", "induced")
    assert width is not None
    assert [width.name_of(one.figure) for one in width.shares][:2] == ["error of the count", FITTED_NAME]
    assert sum(one.share for one in width.shares) == pytest.approx(1, abs=0.05)


def test_two_farms_of_one_year_are_told_apart_and_the_spans_of_both_count():
    south = {"latitude": 25.5, "longitude": -80.5, "timezone": "America/New_York"}
    farms = [
        field_data([(5, 1)], true_days([(5, 1)], TRUE, site=site), site=site) for site in (RALEIGH, south)
    ]
    farms[1]["season"]["name"] = "South field 2027"
    found = fit([make_plan(season_of(farm), date(2027, 12, 1)) for farm in farms], "v")
    assert [one.name.season for one in found.records] == ["Field 2027", "South field 2027"]
    (span,) = found.spans
    assert [days for _, days in span.recorded] == [5, 5]
    assert found.fitted.marks["critical_day"] == "measured, 2 cohorts, 2027"


def test_the_spans_of_a_cohort_that_stands_in_two_files_count_once():
    (span,) = fit([field_plan([(5, 1)]), field_plan([(5, 1)])], "v").spans
    assert [days for _, days in span.recorded] == [5]


def test_on_heat_a_fit_goes_by_the_heat_and_its_futures_take_each_set_with_its_own_juvenile_time():
    """At 25 C and a reference of 20 C over 1 C, a day of juvenile time is over in 19/24 of a day."""
    warm = {**RALEIGH, "monthly_low_c": [21.0] * 12, "monthly_high_c": [29.0] * 12}
    late = [(7, 20), (8, 1), (8, 12), (8, 20)]
    heat = {"site": warm, "heat": {"method": "average"}}
    found = fit([field_plan(late, true_days(late, TRUE), **heat)], "v")
    assert {one.key: one.how for one in found.figures}["juvenile_d"] != "not at all"
    assert [span.key for span in found.spans] == [], "emergence runs on heat"
    plan = make_plan(
        replace(season_of(field_data([(7, 20)], **heat)), varieties={"v": found.fitted}), date(2027, 7, 22)
    )
    timeline = plan.timelines["A1"]
    up = timeline.likely("emergence").toordinal()
    days = sorted(day - up for day in timeline.ready.days)
    sets = sorted(one.juvenile_d * 19 / 24 for one in found.fitted.sets)
    assert days == pytest.approx(sets, abs=1.01)
