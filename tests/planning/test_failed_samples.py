"""After the authority's sample of a lot failed: the harvest waits, and names for what."""

from datetime import date

from calendar_tui.planning.plan import make_first_plan, make_plan
from tests.planning.cut_farm import TODAY, bags, cut_data, official, planned
from tests.planning.farm import season_of


def harvest(plan):
    return plan.timelines["A1"].stages["harvest"]


def test_after_a_failed_sample_the_harvest_names_what_it_waits_for_and_no_limit_pulls_it_forward():
    failed = official(date(2027, 3, 20), outcome="failed")
    for plan in (planned(official=[failed]), planned(official=[failed], **bags())):
        assert harvest(plan).likely == plan.ripe["A1"].stages["harvest"].likely
        assert harvest(plan).reason.startswith(
            "not before your authority allows it, as the official sample of 20 Mar 2027 failed; ripe 10 Apr: flowering"
        )
        assert harvest(plan).reason.endswith("check with your authority")


def test_a_sample_booked_after_one_that_failed_leaves_the_harvest_waiting():
    failed, again = (
        official(date(2027, 3, 20), outcome="failed"),
        official(date(2027, 4, 12), "booked"),
    )
    data = season_of(cut_data(official=[failed, again]))
    for plan in (make_plan(data, TODAY), make_first_plan(data, TODAY)):
        assert harvest(plan).reason.startswith("not before your authority allows it")
