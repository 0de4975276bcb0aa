"""The invented farm with four cohorts of one variety, to tell what the records of one say about the others."""

from copy import deepcopy
from datetime import date, timedelta

from calendar_tui.planning.plan import make_plan
from tests.planning.farm import farm_data, season_of

LATER = date(2027, 6, 1)


def days(n):
    return timedelta(days=n)


def ambers_data(recorded):
    """The farm with two more seed cohorts and one from cuttings of the first one's variety, each in a house of its own."""
    data = farm_data()
    first = data["cohort"][0]
    for n in (2, 3, 4):
        cohort = deepcopy(first)
        cohort |= {"id": f"A{n}", "place": f"H{n}", "recorded": {}}
        start = "sticking" if n == 4 else "seeding"
        cohort["start"] = "cutting" if n == 4 else "seed"
        cohort["planned"] = {
            start: date(2026, 11, 1 + 5 * n),
            "transplant": date(2026, 11, 26) + days(5 * n),
            "lights_off": date(2027, 1, 10) + days(5 * n),
        }
        data["place"].append({"id": f"H{n}", "kind": "hoop house", "lamps": {"target_h": 16.0}})
        data["cohort"].append(cohort)
    for cohort in data["cohort"]:
        if cohort["id"] in recorded:
            cohort["recorded"] = {**cohort.get("recorded", {}), **recorded[cohort["id"]]}
    return data


def three_ambers(**recorded):
    return season_of(ambers_data(recorded))


def warm_ambers(figures, **recorded):
    """The same on heat, by monthly means of invented temperatures; figures: of the first variety."""
    data = ambers_data(recorded)
    data["heat"] = {}
    data["site"]["monthly_low_c"] = [17, 17, 15, 12, 9, 7, 6, 7, 9, 11, 13, 16]
    data["site"]["monthly_high_c"] = [29, 28, 26, 22, 18, 15, 14, 16, 18, 21, 24, 27]
    data["variety"][0] |= figures
    return season_of(data)


def planned(**recorded):
    return make_plan(three_ambers(**recorded), LATER)


def likely(stage, name="A1", **recorded):
    return planned(**recorded).timelines[name].likely(stage)


def shift_by(plan, cohort, **stages):
    """The recorded dates of a cohort, each so many days from its projection."""
    return {s: plan.timelines[cohort].likely(s) + days(n) for s, n in stages.items()}
