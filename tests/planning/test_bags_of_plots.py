"""Bags by the plots of a trial: planned, given ids, lost with their plot, kept apart from guards; the trend pools them."""

from datetime import timedelta

import pytest

from calendar_tui.planning.changes.bags import Cutting, bags_of_cohorts, bags_of_trip, record_bags
from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.new_bags import bag_again, bags_of_plots
from calendar_tui.planning.deciding.crop import bag_decisions
from calendar_tui.planning.needs.quantities import amounts_of, basis_of
from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.results.trend import trend_of
from calendar_tui.planning.sampling.planned import bags_at_once, planned_bags
from calendar_tui.planning.sampling.week import sampling_week
from calendar_tui.season.edits import apply_edits
from calendar_tui.season.reading import read_season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.sample_ids import check_sign
from tests.planning.farm import season_of
from tests.planning.sampled_farm import FLOWERING, PLAN, TODAY, sampled_data

BY_PLOT = {**PLAN, "cohorts": ["A1"], "by": "plot", "positions": ["top"]}
TRIAL = {"id": "K1", "design": "blocks", "factors": {"soil": ["bare", "mulch"]}, "blocks": 2, "place": "H1"}


def plot(number, block, **more):
    base = {"id": f"K1-{number}", "trial": "K1", "number": number, "block": block, "row": block}
    return base | {"column": number % 100, "cohort": "A1", "place": "H1", "plants": 30} | more


GUARD = {"id": "K1-g", "trial": "K1", "row": 3, "column": 1, "entry": "guard"}
BARE = {"id": "K1-301", "trial": "K1", "number": 301, "row": 4, "column": 1}
PLOTS = [plot(202, 2), plot(101, 1), plot(102, 1), plot(201, 2), GUARD]


def data(*plots, plan=BY_PLOT, **more):
    return sampled_data(plan, format=3, trial=[TRIAL], plot=list(plots or PLOTS), **more)


def held(*plots, **more):
    made = data(*plots, **more)
    return HeldSeason(make_plan(season_of(made), TODAY), made)


def planned(*plots, **more):
    was = held(*plots, **more)
    return planned_bags(was.plan.season, was.plan.timelines, ("A1",))


def test_each_plot_has_a_bag_in_walking_order_and_a_guard_has_none():
    bags = planned()
    assert [bag.plot for bag in bags[:4]] == ["K1-101", "K1-102", "K1-201", "K1-202"]
    assert {bag.plot for bag in bags} == {"K1-101", "K1-102", "K1-201", "K1-202"}
    assert {(bag.lot, bag.block) for bag in bags} == {("", "")}


def test_a_lost_plot_has_bags_up_to_its_day_and_none_from_it_on():
    lost = TODAY + timedelta(days=7)
    bags = planned(plot(101, 1, lost=lost), plot(102, 1))
    assert lost in {bag.day for bag in bags}
    assert {bag.day < lost for bag in bags if bag.plot == "K1-101"} == {True}
    assert {bag.day >= lost for bag in bags if bag.plot == "K1-102"} == {True, False}
    assert bags_at_once(held(plot(101, 1, lost=lost), plot(102, 1)).plan.season, "A1") == 1


def test_a_block_is_sampled_until_its_last_plot_is_lost():
    by_block = {**BY_PLOT, "by": "block"}
    first, second = TODAY + timedelta(days=7), TODAY + timedelta(days=14)
    bags = planned(plot(101, 1, lost=first), plot(102, 1, lost=second), plot(201, 2), plan=by_block)
    assert max(bag.day for bag in bags if bag.block == "1") == first
    assert max(bag.day for bag in bags if bag.block == "2") > second


def test_the_blocks_of_the_plan_leave_the_plots_of_others_out():
    assert {bag.plot for bag in planned(plan={**BY_PLOT, "blocks": ["2"]})} == {"K1-201", "K1-202"}


def test_a_plot_is_of_the_lot_that_has_its_block():
    lots = [{"id": "A1-n", "cohort": "A1", "blocks": ["1"]}, {"id": "A1-s", "cohort": "A1", "blocks": ["2"]}]
    assert {(bag.lot, bag.plot[:4]) for bag in planned(lot=lots)} == {("A1-n", "K1-1"), ("A1-s", "K1-2")}


def test_a_cohort_without_plots_is_sampled_by_its_lot():
    assert {(bag.cohort, bag.plot) for bag in planned(GUARD)} == {("A1", "")}


def test_bags_follow_from_plots_in_quantities_week_and_trip():
    was = held()
    basis = basis_of(was.plan, was.data)
    count = amounts_of(basis, was.plan.timelines["A1"]).find("bags").count
    assert count == len(planned()) == 4 * len({bag.day for bag in planned()})
    week = sampling_week(was.plan.season, was.plan.timelines, TODAY)
    assert [one.bag.plot for one in week.bags] == ["K1-101", "K1-102", "K1-201", "K1-202"]
    assert [bag.plot for bag in bags_of_trip(was, TODAY)] == ["K1-101", "K1-102", "K1-201", "K1-202"]


def test_a_recorded_bag_stands_for_the_one_that_is_planned_of_its_plot():
    was = held()
    proposal, new = record_bags(was, bags_of_plots(was, ("K1-102",), ("top",)), Cutting(TODAY))
    season = season_of(apply_edits(was.data, proposal.change.edits))
    week = sampling_week(season, was.plan.timelines, TODAY)
    assert [one.sample and one.sample.id for one in week.bags] == [None, new[0].id, None, None]
    assert season.samples[new[0].id].plot == "K1-102"
    assert bag_again(season, new[0].id).plot == "K1-102"


def test_bags_of_alike_plots_have_ids_of_their_own():
    was = held()
    _, new = record_bags(was, bags_of_cohorts(was, ["A1"], TODAY), Cutting(TODAY))
    assert len({bag.id for bag in new}) == len({bag.plot for bag in new}) == 4


def test_a_plot_that_is_lost_already_is_left_out_where_its_cohort_is_sampled():
    was = held(plot(101, 1, lost=TODAY), plot(102, 1))
    assert {bag.plot for bag in bags_of_cohorts(was, ["A1"], TODAY)} == {"K1-102"}
    before = TODAY - timedelta(days=1)
    assert {bag.plot for bag in bags_of_cohorts(was, ["A1"], before)} == {"K1-101", "K1-102"}


def test_a_bag_of_a_lost_plot_is_told_when_it_is_recorded():
    was = held(plot(101, 1, lost=TODAY), plot(102, 1))
    proposal, _ = record_bags(was, bags_of_plots(was, ("K1-101",), ("top",)), Cutting(TODAY))
    assert (
        "plot K1-101 is lost from Tue 16 Mar 2027 on: what is found in its bag does not count"
        in proposal.doubts
    )


@pytest.mark.parametrize(
    ("name", "message"),
    [
        ("K1-g", "plot K1-g is a guard, which is never sampled"),
        ("K1-301", "plot K1-301 has no cohort; set whose plants it has"),
    ],
)
def test_a_guard_and_a_plot_without_plants_are_refused(name, message):
    with pytest.raises(Refusal, match=message):
        bags_of_plots(held(*PLOTS, BARE), (name,))


# --- as records


def bag(name, **more):
    whole = name + check_sign(name)
    return {"id": whole, "date": TODAY, "cohort": "A1", "plot": "K1-101"} | more


@pytest.mark.parametrize(
    ("more", "message"),
    [
        ({"plot": "K1-109"}, 'plot "K1-109" is not a plot of this season; did you mean "K1-1'),
        ({"plot": "K1-g"}, "of A1: plot K1-g is a guard, which is never sampled; name a plot with a number"),
        ({"cohort": "B1"}, "of B1: plot K1-101 has plants of A1; name the plot that the bag is of, or that"),
    ],
)
def test_a_bag_of_a_plot_that_cannot_be_is_told(more, message):
    told = [problem.message for problem in read_season(data(sample=[bag("K7Q2R", **more)])).problems]
    assert any(message in one for one in told), told


# --- results


def result(sample, week, thca):
    return {
        "id": f"r{sample['id']}",
        "date": sample["date"] + timedelta(days=5),
        "sample": sample["id"],
        "found": {"THC": "0.01", "THCA": f"{thca}"},
    } | week


def with_results(*pairs, plots=PLOTS, keep_plots=True):
    samples = [
        bag(f"K7Q{n:02}", plot=name, date=FLOWERING + timedelta(days=day))
        for n, (name, day, _) in enumerate(pairs)
    ]
    if not keep_plots:
        samples = [{key: value for key, value in one.items() if key != "plot"} for one in samples]
    results = [result(one, {}, thca) for one, (_, _, thca) in zip(samples, pairs, strict=True)]
    made = data(*plots, sample=samples, result=results)
    return make_plan(season_of(made), FLOWERING + timedelta(days=40))


FOUND = [
    ("K1-101", 7, 0.10),
    ("K1-102", 7, 0.14),
    ("K1-101", 14, 0.20),
    ("K1-102", 14, 0.16),
    ("K1-101", 21, 0.26),
    ("K1-102", 21, 0.30),
]


def test_the_trend_of_a_lot_takes_every_bag_alike_whichever_plot_it_is_of():
    apart, pooled = (trend_of(with_results(*FOUND, keep_plots=keep), "A1") for keep in (True, False))
    assert len(apart.used) == 6
    assert apart.thc == pooled.thc


def test_a_result_of_a_bag_cut_when_its_plot_was_lost_is_kept_aside():
    lost = FLOWERING + timedelta(days=14)
    plots = [plot(101, 1, lost=lost), plot(102, 1)]
    results = with_results(*FOUND, plots=plots).results
    assert [one.sample.plot for one in results.used if one.day >= 14] == ["K1-102", "K1-102"]
    assert [one.sample.plot for one in results.used if one.day < 14] == ["K1-101", "K1-102"]
    assert "plot K1-101 is lost from 10 Mar on, and its bag was cut on 10 Mar" in [
        one.why for one in results.aside
    ]


def test_what_is_missed_is_named_by_its_plot():
    was = held().plan
    day = planned()[0].day + timedelta(days=3)
    (missed,) = bag_decisions(was.season, was.timelines, day)
    assert missed.why == "plot K1-101 top, plot K1-102 top, plot K1-201 top, plot K1-202 top"
