"""Further ends of the days to cut: storms by the site's own date, and hours that the tops cut first leave for the rest."""

from datetime import date

import pytest

from calendar_tui.nature.cutting_days import Bound
from calendar_tui.planning.cutting.gains import gain_of
from calendar_tui.planning.cutting.windows import WhatIf, sight_of
from calendar_tui.planning.deciding.decision import CUT
from calendar_tui.planning.plan import make_plan
from calendar_tui.season.reading import read_season
from tests.planning.cut_farm import TODAY, cut, cut_data, official, planned
from tests.planning.farm import season_of

STORMS = date(2027, 4, 18)


def stormy(kind="hoop house", **more):
    data = cut_data(**more)
    data["site"] = data["site"] | {"storms_from": STORMS}
    data["place"] = [place | ({"kind": kind} if place["id"] == "H1" else {}) for place in data["place"]]
    return make_plan(season_of(data), TODAY)


@pytest.mark.parametrize("kind", ["field", "hoop house"])
def test_storms_end_cutting_the_day_before_they_are_to_be_expected(kind):
    assert cut(stormy(kind)).window.latest == Bound(
        date(2027, 4, 17), "storms are to be expected from 18 Apr 2027"
    )


def test_storms_do_not_reach_a_greenhouse_and_are_no_decision_by_themselves():
    assert cut(stormy("greenhouse")).window.latest.rule == "the season's last day"
    assert [one for one in stormy().decisions if one.kind == CUT] == []


def test_storms_of_another_year_are_named():
    data = cut_data()
    data["site"] = data["site"] | {"storms_from": date(2029, 4, 1)}
    (problem,) = read_season(data).problems
    assert problem.path == ("site", "storms_from")
    assert "is it the right year?" in problem.message


# --- hours of each pass

CHORE = {
    "id": "reap",
    "what": "Harvest",
    "stage": "harvest",
    "records": "harvest",
    "who": "crew",
    "hours": 100,
}
REAP = {
    "id": "h1",
    "date": date(2027, 4, 10),
    "what": "Harvest",
    "chore": "reap",
    "cohort": "A1",
    "n": 1,
    "who": "crew",
    "hours": 100.0,
}
# 10 h a day: 100 h are 10 days.
CREW = {"hours_per_week": {"crew": 70}}


def reaped(**more):
    return planned(official=[official(date(2027, 3, 1))], chore=[CHORE], task=[REAP], crew=CREW, **more)


def work(plan, **tried):
    return cut(plan, "A1", WhatIf(**tried)).work


def test_with_the_tops_cut_first_the_rest_takes_its_share_of_the_hours():
    plan = reaped()
    assert work(plan).days == 10
    assert work(plan, tops_first=True).days == 5  # half of the hours, a starting value
    assert "50 % of the lot is left: 50 h of crew at 10 h a day" in work(plan, tops_first=True).why
    gain = gain_of(sight_of(plan.season, plan.ripe, plan.today), cut(plan), WhatIf(tops_first=True))
    assert gain.days == 5


def test_the_tops_share_of_the_hours_is_what_they_weighed():
    """B1 is of the same variety: 30 of its 100 kg were tops, so 70 h are left."""
    weighed = {"id": "p1", "date": date(2027, 4, 2), "lot": "B1", "fresh_kg": {"top": 30.0, "middle": 70.0}}
    assert work(reaped(**{"pass": [weighed]}), tops_first=True).days == 7


def test_what_passes_have_cut_is_not_cut_again():
    tops = {"id": "p1", "date": date(2027, 4, 2), "lot": "A1", "part": "top"}
    assert work(reaped(**{"pass": [tops]})).days == 5
    third = {"id": "p1", "date": date(2027, 4, 2), "lot": "A1", "share": 0.3}
    assert work(reaped(**{"pass": [third]})).days == 7
    unknown = {"id": "p1", "date": date(2027, 4, 2), "lot": "A1"}
    assert work(reaped(**{"pass": [unknown]})).days == 10


def test_a_lot_with_every_part_cut_and_no_last_pass_still_takes_a_day():
    parts = [
        {"id": f"p{n}", "date": date(2027, 4, 2 + n), "lot": "A1", "part": part}
        for n, part in enumerate(("top", "middle", "bottom"))
    ]
    assert work(reaped(**{"pass": parts})).days == 1
