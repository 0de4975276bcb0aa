"""The sampled farm with rules, results of the tops of A1, official samples and passes, as asked."""

from datetime import date, timedelta

from calendar_tui.planning.cutting.windows import lot_cut, sight_of
from calendar_tui.planning.plan import make_plan
from calendar_tui.season.lots import lot_named
from tests.planning.farm import season_of
from tests.planning.sampled_farm import FLOWERING, sampled_data

# The day on which the newest of the results below is in.
TODAY = date(2027, 4, 10)
US = {
    "id": "us",
    "name": "here",
    "limit_percent": 0.3,
    "acid_factor": 0.877,
    "uncertainty": "taken off",
    "harvest_within_d": 30,
    "sample_before_harvest_d": 30,
    "starts": date(2026, 1, 1),
    "as_of": date(2026, 11, 28),
    "after_failure": ["another test", "disposal"],
}
# Total THC, %, of the tops by days after flowering: check A of the trend.
A = {21: "0.08", 28: "0.14", 35: "0.20", 42: "0.24"}
IDS = ("26A1TA", "K7Q2RY", "A1T07Q", "000000")


def bags(totals=A, cohort="A1", position="top"):
    """A bag and its result, three days later, for each total."""
    names = IDS[: len(totals)]
    cut = [FLOWERING + timedelta(days=day) for day in totals]
    samples = [
        {"id": name, "date": day, "cohort": cohort, "position": position, "laboratory": "lab"}
        for name, day in zip(names, cut, strict=True)
    ]
    results = [
        {
            "id": f"r{n}",
            "date": day + timedelta(days=3),
            "sample": name,
            "found": {"THC": total, "THCA": "0"},
        }
        for n, (name, day, total) in enumerate(zip(names, cut, totals.values(), strict=True))
    ]
    return {"sample": samples, "result": results}


def official(day, state="taken", lot="A1", **more):
    return {"id": f"o-{day:%m%d}", "date": day, "lot": lot, "state": state} | more


def cut_data(rules=US, **more):
    return sampled_data() | {"profile": [dict(rules)]} | more


def planned(today=TODAY, rules=US, **more):
    return make_plan(season_of(cut_data(rules, **more)), today)


def cut(plan, lot="A1", *tried):
    """The next pass of a lot."""
    return lot_cut(sight_of(plan.season, plan.ripe, plan.today), lot_named(plan.season, lot), *tried)
