"""After the authority's sample of a lot failed: the harvest waits, and names for what."""

from datetime import date

from calendar_tui.handing_on.words.cut_text import end_texts
from calendar_tui.planning.cutting.windows import WhatIf
from calendar_tui.planning.plan import make_first_plan, make_plan
from tests.planning.cut_farm import TODAY, bags, cut, cut_data, official, planned
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


SOUTH, NORTH = ({"id": f"A1-{side}", "cohort": "A1"} for side in ("south", "north"))
SPRAY = {
    "id": "s1",
    "date": date(2027, 3, 30),
    "place": "H1",
    "product": "soap",
    "end": "10:00",
    "reentry": "12 h",
    "preharvest": "1 d",
}


def test_a_lot_that_waits_for_the_authority_has_no_earliest_day_though_its_spray_has_one():
    failed = official(date(2027, 3, 20), outcome="failed")
    window = cut(planned(official=[failed], spray=[SPRAY])).window
    assert window.earliest is None
    assert window.not_before.day == date(2027, 3, 31)
    assert window.days is None


def test_another_sample_tried_after_one_that_failed_still_waits_for_the_authority():
    failed = official(date(2027, 3, 20), outcome="failed")
    plan = planned(official=[failed])
    tried = cut(plan, "A1", WhatIf(official=date(2027, 4, 12))).window
    assert tried.earliest is None
    assert "failed; follow its procedure" in tried.waits_for[0]
    assert tried.latest.rule == "official sample as tried 12 Apr 2027 + 30 d"


def test_a_sample_that_is_booked_on_a_day_to_come_gives_the_earliest_day_and_is_not_waited_for():
    window = cut(planned(official=[official(date(2027, 4, 15), "booked")])).window
    assert window.earliest.day == date(2027, 4, 15)
    assert window.earliest.rule == "official sample, booked for 15 Apr 2027"
    assert window.waits_for == ()


def test_a_lot_whose_newest_sample_failed_is_covered_by_no_older_one_that_passed():
    """What `cut` waits for and what clashes go by one sample: the newest of those taken by the day of the cut."""
    passed = official(date(2027, 3, 20), outcome="passed")
    failed = official(date(2027, 3, 25), outcome="failed")
    before, after = (
        planned(official=[passed, failed], **{"pass": [{"id": "p1", "date": day, "lot": "A1"}]})
        for day in (date(2027, 3, 23), date(2027, 4, 2))
    )
    assert [one.text for one in before.clashes if one.recorded] == []
    (text,) = [one.text for one in after.clashes if one.recorded]
    assert "the official sample o-0325 of A1 of Thu 25 Mar 2027 failed" in text
    assert cut(after).official.failed


def test_the_harvest_of_two_lots_names_the_one_that_binds_and_the_one_that_waits():
    passed = official(date(2027, 3, 1), lot="A1-south", outcome="passed")
    failed = official(date(2027, 3, 2), lot="A1-north", outcome="failed")
    plan = planned(lot=[SOUTH, NORTH], official=[passed, failed])
    assert harvest(plan).likely == date(2027, 3, 31)
    assert harvest(plan).reason.startswith(
        "window 31 Mar of A1-south: official sample taken 1 Mar 2027 + 30 d; A1-north not before your authority allows it, "
        "as the official sample of 2 Mar 2027 failed; ripe 10 Apr"
    )


def test_the_harvest_of_two_lots_that_are_alike_names_neither_and_where_they_differ_the_earlier():
    alike = planned(lot=[SOUTH, NORTH], official=[official(date(2027, 3, 1), lot="A1")])
    assert harvest(alike).reason.startswith("window 31 Mar: official")
    days = (("A1-south", date(2027, 3, 5)), ("A1-north", date(2027, 3, 1)))
    differ = planned(lot=[SOUTH, NORTH], official=[official(day, lot=lot) for lot, day in days])
    assert harvest(differ).reason.startswith("window 31 Mar of A1-north: official sample taken 1 Mar 2027")


def test_the_harvest_of_two_lots_that_both_failed_names_both():
    both = [
        official(date(2027, 3, day), lot=lot, outcome="failed")
        for day, lot in ((1, "A1-south"), (2, "A1-north"))
    ]
    reason = harvest(planned(lot=[SOUTH, NORTH], official=both)).reason
    assert (
        "A1-south not before your authority allows it, as the official sample of 1 Mar 2027 failed" in reason
    )
    assert (
        "A1-north not before your authority allows it, as the official sample of 2 Mar 2027 failed" in reason
    )


def test_what_held_a_waiting_lot_up_to_a_day_gone_by_is_not_told_any_more():
    """Of a spray on 30 Mar, of which the wait is over on the 31st."""
    failed = official(date(2027, 3, 20), outcome="failed")

    def told(today):
        one = cut(planned(today, official=[failed], spray=[SPRAY]))
        return [text for text in end_texts(one, today) if "not before" in text and "waits for" not in text]

    assert told(date(2027, 3, 31)) == ["and not before Wed 31 Mar 2027: intervals after soap are over"]
    assert told(date(2027, 4, 1)) == []
