"""Which results count, what they come to, and which are kept aside, due or overdue."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from calendar_tui.nature.legal_limits import Uncertainty
from calendar_tui.nature.measured import Interval
from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.results.due import due_results
from calendar_tui.planning.results.figures import figures_of, percent_text
from calendar_tui.planning.results.used import results_of
from calendar_tui.season.records import Season
from calendar_tui.season.sampling import Result
from tests.planning.farm import farm_data, season_of

TODAY = date(2027, 4, 20)
FLOWERING = date(2027, 2, 24)
SAMPLES = [
    {
        "id": "26A1TA",
        "date": date(2027, 3, 10),
        "cohort": "A1",
        "state": "sent",
        "sent": date(2027, 3, 10),
        "laboratory": "lab",
    },
    {
        "id": "K7Q2RY",
        "date": date(2027, 3, 17),
        "cohort": "A1",
        "state": "sent",
        "sent": date(2027, 3, 19),
        "laboratory": "lab",
    },
]
RESULT = {
    "id": "r1",
    "date": date(2027, 3, 16),
    "sample": "26A1TA",
    "found": {"THC": "0.05", "THCA": "0.30", "CBD": "0.2", "CBDA": "5.0"},
}


def season(*results, samples=SAMPLES, **more) -> Season:
    data = farm_data()
    data["cohort"][0]["recorded"] |= {"flowering": FLOWERING}
    data |= {"sample": list(samples), "result": list(results), "laboratory": [{"id": "lab"}]} | more
    return season_of(data)


def sorted_out(*results, today=TODAY, **more):
    farm = season(*results, **more)
    plan = make_plan(farm, today)
    return results_of(farm, plan.timelines, today)


def result(**keys) -> Result:
    return Result(**{"id": "r1", "date": TODAY, "sample": "26A1TA", "found": RESULT["found"]} | keys)


def interval(low: str, high: str | None = None) -> Interval:
    return Interval(Decimal(low), Decimal(high or low))


@pytest.mark.parametrize(
    ("keys", "thc"),
    [
        ({}, interval("0.31310")),  # 7 CFR 990: THC + 0.877 x THCA (computed)
        ({"found": {"THC": "<0.05", "THCA": "0.30"}}, interval("0.26310", "0.31310")),  # computed: both ends
        ({"found": {"THC": "<0.05", "THCA": "0.28"}}, interval("0.24556", "0.29556")),  # computed
        ({"unit": "mg/g", "found": {"THC": "0", "THCA": "3.1"}}, interval("0.271870")),  # 3.1 mg/g = 0.31 %
        ({"unit": "ppm", "found": {"THC": "2900", "THCA": "0"}}, interval("0.29")),  # computed
        ({"found": {"THC": "ND", "THCA": "0.30"}, "limits": {"THC": "0.02"}}, interval("0.2631", "0.2831")),
    ],
)
def test_a_total_is_exact_or_keeps_both_its_ends(keys, thc):
    found = figures_of(result(**keys)).thc
    assert found is not None
    assert (found.low, found.high) == (thc.low, thc.high)


@pytest.mark.parametrize(
    ("water_is", "thc"),
    # As received THC 0.03, THCA 0.24, water 10 %: 0.24048 -> 0.2672 or 0.264528 (computed).
    [("of total", "0.2672"), ("of dry matter", "0.264528")],
)
def test_water_is_taken_out_once(water_is, thc):
    found = {"THC": "0.03", "THCA": "0.24"}
    figures = figures_of(result(found=found, basis="as received", water="10", water_is=water_is))
    assert figures.thc is not None
    assert figures.thc.low == Decimal(thc)
    assert figures.basis == "dry"
    assert figures_of(result(found=found, water="10")).thc == interval("0.24048")


def test_figures_as_received_without_their_water_are_kept_aside_and_never_held_against_a_limit():
    wet = RESULT | {"basis": "as received"}
    (aside,) = sorted_out(wet).aside
    assert "as received, and the water of the sample is not set" in aside.why
    assert sorted_out(wet | {"water": "10"}).aside == ()


def test_a_report_whose_own_total_is_another_is_told_from_0_005_on():
    assert figures_of(result(total="0.3131")).gap == ""
    assert figures_of(result(total="0.318")).gap == ""
    assert "0.319 %, and by its parts it is 0.3131 %" in figures_of(result(total="0.319")).gap


def test_an_uncertainty_out_of_proportion_is_refused_with_both_readings():
    with pytest.raises(ValueError, match="10 % is more than the result"):
        figures_of(result(uncertainty="10"))
    assert figures_of(result(uncertainty="10", uncertainty_is="relative")).uncertainty is not None


def test_what_counts_stands_on_its_day_after_flowering():
    (one,) = sorted_out(RESULT).used
    assert (one.day, one.sample.position, one.figures.ratio) == (
        14,
        "top",
        Decimal("4.585") / Decimal("0.3131"),
    )


@pytest.mark.parametrize(
    ("keys", "why"),
    [
        ({"sample": "26A1TB"}, "there is no bag 26A-1TB; near it: 26A-1TA"),
        (
            {"sample": "26a-1TA"},
            'its bag is written "26a-1TA", and an id has capitals and no dashes: write 26A1TA',
        ),
        ({"sample": "ZZZ-ZZZ"}, "there is no bag ZZZ-ZZZ; look"),
        ({"sample": "ZZZZZZ"}, "there is no bag ZZZ-ZZZ"),
        ({"date": date(2027, 5, 1)}, "its report is of 1 May, which is to come"),
        ({"date": date(2027, 3, 9)}, "its report is of 9 Mar, before its bag was cut on 10 Mar"),
        ({"aside": "spilt"}, "spilt"),
        ({"found": {"THC": "0.05"}}, "THC or THCA was not tested"),
        ({"found": {"THC": "120", "THCA": "0"}}, "over 100 %"),
        ({"found": {"THC": "<LOQ", "THCA": "0.3"}}, "it is not zero: enter the limit"),
    ],
)
def test_what_does_not_count_is_kept_with_its_reason(keys, why):
    found = sorted_out(RESULT | keys)
    assert found.used == ()
    (aside,) = found.aside
    assert why in aside.why


def test_a_second_report_of_a_bag_does_not_count_and_one_set_aside_makes_room_for_it():
    second = RESULT | {"id": "r2", "date": date(2027, 3, 20)}
    found = sorted_out(RESULT, second)
    assert [one.result.id for one in found.used] == ["r1"]
    assert [(one.result.id, one.why) for one in found.aside] == [
        (
            "r2",
            "a second report of this bag; r1 counts: where this one is right, write under aside of r1 why that is not used: "
            "set result r1 aside WHY",
        )
    ]
    found = sorted_out(RESULT | {"aside": "the bag had been mixed up"}, second)
    assert [one.result.id for one in found.used] == ["r2"]


def test_a_bag_cut_before_flowering_is_aside():
    early = [SAMPLES[0] | {"date": date(2027, 2, 20)}]
    (aside,) = sorted_out(RESULT, samples=early).aside
    assert (
        aside.why
        == "its bag was cut before 50 % flowering of A1, which is on 24 Feb: where it flowered sooner, record that"
    )


def test_every_result_is_used_or_aside():
    rows = [RESULT | {"id": f"r{n}", "sample": ("26A1TA", "K7Q2RY", "XXXXXX")[n % 3]} for n in range(9)]
    found = sorted_out(*rows)
    names = [one.result.id for one in (*found.used, *found.aside)]
    assert sorted(names) == [f"r{n}" for n in range(9)]


def test_a_result_of_another_cohort_changes_nothing():
    alone = sorted_out(RESULT)
    other = SAMPLES[1] | {"cohort": "C1"}
    both = sorted_out(RESULT, RESULT | {"id": "r2", "sample": "K7Q2RY"}, samples=[SAMPLES[0], other])
    assert both.of_cohort("A1") == alone.used


def test_bags_that_were_sent_are_due_by_the_days_of_their_laboratory():
    """Sent on Fri 19 Mar and taken in on weekdays; 5 d, at most 7 (placeholder)."""
    due = due_results(season())
    assert [(one.sample.id, one.likely, one.latest) for one in due] == [
        ("26A1TA", date(2027, 3, 15), date(2027, 3, 17)),
        ("K7Q2RY", date(2027, 3, 24), date(2027, 3, 26)),
    ]
    assert [one.is_overdue(date(2027, 3, 18)) for one in due] == [True, False]
    assert [one.sample.id for one in due_results(season(RESULT))] == ["K7Q2RY"]


def test_a_laboratory_that_takes_bags_in_on_mondays_alone_has_them_until_then():
    weekly = {"laboratory": [{"id": "lab", "takes": ["mon"], "turnaround_d": [2, 3, 4]}]}
    due = due_results(season(samples=[SAMPLES[1]], **weekly))
    assert [(one.likely, one.latest) for one in due] == [(date(2027, 3, 25), date(2027, 3, 26))]


def test_an_uncertainty_of_which_the_kind_is_not_written_is_in_percentage_points():
    found = sorted_out(RESULT | {"uncertainty": "0.04"})
    assert found.aside == ()
    assert found.used[0].figures.uncertainty == Uncertainty(Decimal("0.04"), "absolute")


OLD_AND_NEW_RULES = [
    {
        "id": "old",
        "name": "Old rules",
        "limit_percent": "0.3",
        "acid_factor": "0.877",
        "starts": date(2026, 1, 1),
        "as_of": date(2026, 11, 28),
    },
    {
        "id": "new",
        "name": "New rules",
        "limit_percent": "0.3",
        "acid_factor": "0.8",
        "starts": date(2027, 4, 1),
        "as_of": date(2026, 11, 28),
    },
]


@pytest.mark.parametrize(
    # 0.05 + 0.30 x 0.877, and x 0.8 (computed)
    ("today", "thc"),
    [(date(2027, 3, 20), "0.3131"), (date(2027, 4, 20), "0.29")],
)
def test_a_result_is_totalled_by_the_factor_of_the_rules_that_judge_it(today, thc):
    (one,) = sorted_out(RESULT, today=today, profile=OLD_AND_NEW_RULES).used
    assert one.figures.thc is not None
    assert one.figures.thc.low == Decimal(thc)


def test_what_the_rules_count_beside_thc_is_in_the_total_and_never_left_out():
    rules = OLD_AND_NEW_RULES[0] | {"also_counted": ["THC8"]}
    tested = RESULT | {"found": RESULT["found"] | {"THC8": "0.01"}}
    (one,) = sorted_out(tested, profile=[rules]).used
    assert one.figures.thc == interval("0.3231")
    (aside,) = sorted_out(RESULT, profile=[rules]).aside
    assert "THC8 was not tested; the total under" in aside.why


@pytest.mark.parametrize("total", ["BLOQ", "<LOQ", "ND"])
def test_a_total_that_the_report_only_has_under_its_limit_keeps_no_result_from_use(total):
    result = Result(id="r1", date=TODAY, sample="26A1TA", found={"THC": "0.02", "THCA": "0.03"}, total=total)
    figures = figures_of(result)
    assert figures.thc is not None
    assert figures.gap == ""


def test_a_total_that_has_no_end_is_told_to_four_decimals():
    """0.24048 / 0.9 = 0.2672; 0.24 x 0.877 / 0.93 has no end (computed)."""
    wet = RESULT | {"found": {"THC": "0", "THCA": "0.24"}, "basis": "as received", "water": "7"}
    (one,) = sorted_out(wet).used
    assert percent_text(one.figures.thc) == "0.2263 %"
    assert one.figures.thc.high != Decimal("0.226323")
