"""Records that the type of a variety makes improbable: they count where others bear them out, and the type is doubted with them."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise

import pytest

from calendar_tui.handing_on.tables.fit_rows import fit_row
from calendar_tui.handing_on.words.fit_text import fit_text
from calendar_tui.nature import refit
from calendar_tui.planning.changes.variety_fit import take_fit
from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.refit.fit import fit
from tests.planning.farm import season_of
from tests.planning.fields import RALEIGH, field_data, field_plan, true_days

FOUR = [(5, 1), (5, 20), (6, 10), (7, 1)]
NORTHERN = (15.9, 1.0, 9, 5)
AT_45_N = RALEIGH | {"latitude": 45.0}
SEVENTEEN_DAYS = [(4, 20), (5, 15), (7, 10)]
SEVENTEEN_DAYS_LATER = [date(2027, 5, 12), date(2027, 6, 6), date(2027, 8, 1)]
LAMPS = {"target_h": 18.0}


def names(records):
    return [one.name.cohort for one in records]


def words(fitted):
    return " ".join(" ".join(fit_text(fitted, 300)).split())


def northern(site=RALEIGH, count=4, kind="oil-unknown"):
    days = true_days(FOUR, NORTHERN, site=site)
    variety = {"type": kind}
    return field_plan(FOUR[:count], days[:count], site=site, variety=variety)


def lamps_that_failed():
    """Induced in July under lamps that burn until 20 August."""
    data = field_data([(5, 1)], [date(2027, 7, 10)])
    data["place"].append({"id": "H1", "kind": "hoop house", "lamps": LAMPS})
    data["cohort"][0] |= {
        "place": "H1",
        "planned": {"seeding": date(2027, 5, 1), "lights_off": date(2027, 8, 20)},
    }
    return data


def test_a_record_that_two_others_of_the_same_plants_bear_out_counts():
    found = fit([field_plan(SEVENTEEN_DAYS, SEVENTEEN_DAYS_LATER)], "v")
    assert names(found.records) == ["A1", "A2", "A3"]
    assert found.left_out == ()
    assert "A2" in names_outside(found)
    assert found.outside.better == ("fibre-northern",)


def names_outside(found):
    return [name.cohort for name in found.outside.names]


@pytest.mark.slow
@pytest.mark.parametrize("site", [RALEIGH, AT_45_N], ids=["35.8 N", "45 N"])
@pytest.mark.parametrize("count", [2, 3, 4])
def test_records_that_agree_all_count_although_the_type_allows_none_of_them(site, count):
    found = fit([northern(site, count)], "v")
    assert len(found.records) == count
    assert found.left_out == ()
    assert names_outside(found) != []
    assert found.outside.better == ("fibre-northern",)
    said = words(found)
    assert "outside what the type oil-unknown allows" in said
    assert "another type fits better: fibre-northern" in said
    assert fit_row(found)["outside"]["better_types"] == ["fibre-northern"]


def test_under_the_type_they_are_of_nothing_is_doubted():
    found = fit([northern(kind="fibre-northern")], "v")
    assert found.outside is None
    assert fit_row(found)["outside"] is None
    assert "outside what" not in words(found)


def test_one_record_that_the_rest_speak_against_is_left_out_and_they_count():
    days = true_days(FOUR, (14.0, 1.5, 25, 8))
    found = fit([field_plan(FOUR, [days[0], days[1], days[2] + timedelta(days=60), days[3]])], "v")
    assert names(found.records) == ["A1", "A2", "A4"]
    assert names(found.left_out) == ["A3"]
    assert found.outside is None


def test_one_northern_record_alone_is_no_fit_and_the_type_is_named_with_the_light():
    found = fit([northern(AT_45_N, 1)], "v")
    assert found.records == found.figures == ()
    (one,) = found.left_out
    for cause in ("its date", "light", "lamps", "outages", "the type", "fibre-northern"):
        assert cause in one.why
    assert "v: no fit" in words(found)
    assert "! Left out: A1" in words(found), "a warning, unlike a cohort of which nothing is recorded"


def test_a_type_that_would_not_give_the_record_either_is_not_named():
    (one,) = fit([make_plan(season_of(lamps_that_failed()), date(2027, 12, 1))], "v").left_out
    assert "the type oil-unknown" in one.why
    assert "fibre" not in one.why


def test_spans_that_are_taken_over_without_induction_are_no_fit_of_the_response():
    plan = make_plan(season_of(lamps_that_failed()), date(2027, 12, 1))
    found = fit([plan], "v")
    assert found.changed == ("emergence_d",)
    assert "v: no fit" in next(iter(fit_text(found)))
    what = take_fit(plan, found).change.what
    assert "fitted" not in what
    assert what.startswith("v, spans by records of 2027: emergence time")


def test_a_grid_that_is_wider_has_the_values_it_had_and_more_by_the_same_steps():
    wide = refit.wider(refit.GRID)
    assert set(refit.GRID.critical_h) < set(wide.critical_h)
    assert {round(b - a, 9) for a, b in pairwise(wide.critical_h)} == {0.125}
    assert wide.juvenile_d == tuple(range(1, 47, 3))
    assert (wide.width_h, wide.inductive_d) == (refit.GRID.width_h, refit.GRID.inductive_d)
