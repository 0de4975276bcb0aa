"""A farm whose bags are planned: two cohorts in flower, one with two lots, and a laboratory that takes bags on some days."""

from copy import deepcopy
from datetime import date

from calendar_tui.planning.plan import make_plan
from tests.planning.farm import FARM, season_of

# A Tuesday in the third week of flowering.
TODAY = date(2027, 3, 16)
FLOWERING = date(2027, 2, 24)  # a Wednesday
CUT = {
    "id": "samples",
    "what": "Cut samples",
    "stage": "sampling",
    "repeat": "FREQ=WEEKLY",
    "until": "harvest",
    "who": "sampler",
    "hours": 0.25,
    "shows": ["bags"],
}
PLAN = {"id": "weekly", "weekday": "tue", "laboratory": "lab"}
LAB = {"id": "lab", "takes": ["mon", "tue", "wed"], "price": 50}


def sampled_data(*plans, **more):
    """The farm's data: A1 in hoop house H1, B1 like it in field F1. plans: of sampling, else one weekly on Tuesdays."""
    data = deepcopy(FARM)
    first = data["cohort"][0]
    first["recorded"] |= {"transplant": date(2026, 11, 26), "flowering": FLOWERING}
    second = deepcopy(first) | {"id": "B1", "place": "F1"}
    del second["planned"]["lights_off"]
    data["cohort"] = [first, second]
    data["chore"] = [deepcopy(CUT)]
    return data | {"laboratory": [dict(LAB)], "sampling": [dict(p) for p in plans or (PLAN,)]} | more


def sampled(*plans, today=TODAY, **more):
    """The plan of such a farm."""
    return make_plan(season_of(sampled_data(*plans, **more)), today)
