"""What nights without lamps come to, a line a cohort: harm or none, what to do tonight, and when it may be too late."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time, timedelta

import pytest

from calendar_tui.planning.changes.outages import nothing_stands_text, record_outages
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.season.records import Lamps, Season, Span
from tests.planning.acts import record_outage
from tests.planning.farm import farm

# Under the lamps of H1 from 26 Nov to 19 Feb. Its natural day is under 14 h 45 from late in December on, and at 13 h 45
# or less, where a day counts whole, from 3 February.
FIRST_DARK = date(2027, 2, 3)
PLANNED = {"seeding": date(2026, 11, 1), "transplant": date(2026, 11, 26), "lights_off": date(2027, 2, 20)}


def lit_farm(inductive_days: Span | None = None) -> Season:
    season = farm(planned=PLANNED)
    if inductive_days is None:
        return season
    amber = replace(season.varieties["amber"], inductive_days=inductive_days)
    return replace(season, varieties={**season.varieties, "amber": amber})


def verdicts(nights: int, later: int = 0, season: Season | None = None) -> tuple[str, ...]:
    """After so many dark nights from FIRST_DARK, recorded so many days after the last night's morrow."""
    last = FIRST_DARK + timedelta(days=nights - 1)
    plan = make_plan(season or lit_farm(), last + timedelta(days=1 + later))
    return record_outage(plan, "H1", FIRST_DARK, last).verdicts


def test_after_two_nights_it_is_told_to_relight_and_how_long_there_is_time() -> None:
    assert verdicts(2) == (
        "A1: relight tonight: no harm done; 3 more dark days and it may flower, 7 and it probably does",
    )
    assert verdicts(4) == (
        "A1: relight tonight: no harm done in 48 of 50 futures; 1 more dark day and it may flower, 5 and it probably does",
    )


def test_where_it_may_and_probably_does_flower_from_the_same_night_on_one_figure_is_told() -> None:
    """Every figure is known so well that all futures need the same 8 days."""
    season = lit_farm(Span(7.4, 7.5, 7.6))
    known = {"critical_day": Span(14.74, 14.75, 14.76), "full_response_day": Span(13.74, 13.75, 13.76)}
    amber = replace(season.varieties["amber"], **known)
    assert verdicts(2, season=replace(season, varieties={**season.varieties, "amber": amber})) == (
        "A1: relight tonight: no harm done; 6 more dark days and it may flower",
    )


def test_an_outage_recorded_on_its_last_evening_is_to_end_tomorrow() -> None:
    assert verdicts(2, later=-1) == (
        "A1: relight tomorrow: no harm done; 3 more dark days and it may flower, 7 and it probably does",
    )


def test_an_outage_recorded_once_the_lamps_burn_again_did_no_harm() -> None:
    assert verdicts(2, later=1) == ("A1: no harm done: relit on 5 Feb, the count went back to zero",)


@pytest.mark.parametrize(("nights", "futures"), [(5, 5), (7, 14), (8, 20)])
def test_from_the_early_figure_on_flowering_may_have_started_and_is_no_cliff(
    nights: int, futures: int
) -> None:
    (text,) = verdicts(nights)
    assert text.startswith(
        f"A1: relight tonight: flowering may have started ({futures} of 50 futures; {nights}.0 of 8 short days); look at "
        "the tips from 7 Feb, then twice a week"
    )
    (relit,) = verdicts(nights, later=3)
    assert relit.startswith("A1: relit on ")
    assert "relight" not in relit


def test_from_half_of_the_futures_on_it_has_probably_started() -> None:
    assert verdicts(8)[0].startswith("A1: relight tonight: flowering may have started (20 of 50 futures")
    (text,) = verdicts(9)
    assert text == (
        "A1: relight tonight: flowering has probably started (25 of 50 futures; 9.0 of 8 short days); look at the tips "
        "from 7 Feb, then twice a week, and let it flower if they show it; likely trigger 3 Feb, harvest 27 Apr -> 10 Apr "
        "(17 days sooner)"
    )


def test_once_it_has_started_in_nine_of_ten_futures_relighting_is_not_advised() -> None:
    (text,) = verdicts(17)
    assert text == (
        "A1: let it flower, or cut it out: flowering has started (46 of 50 futures; 17.0 of 8 short days); relighting "
        "does not call it back; likely trigger 3 Feb, harvest 27 Apr -> 10 Apr (17 days sooner)"
    )


def test_of_a_figure_with_a_range_the_quickest_plants_decide() -> None:
    narrow = lit_farm(Span(7, 8, 10))
    (text,) = verdicts(4, season=narrow)
    assert text.startswith("A1: relight tonight: no harm done; ")
    (text,) = verdicts(9, season=narrow)
    assert "look at the tips from 10 Feb" in text
    assert "look at the tips from 4 Feb" in verdicts(2, season=lit_farm(Span(1, 8, 10)))[0]


def test_a_count_that_is_not_quite_full_is_not_rounded_up_to_it() -> None:
    plan = make_plan(lit_farm(), date(2027, 2, 10))
    (text,) = record_outage(plan, "H1", date(2027, 2, 1), date(2027, 2, 8)).verdicts
    assert " futures; 7.9 of 8 short days)" in text


def test_the_figures_behind_a_verdict_are_told_below_it() -> None:
    last = FIRST_DARK + timedelta(days=5)
    made = record_outage(make_plan(lit_farm(), last + timedelta(days=1)), "H1", FIRST_DARK, last)
    assert made.new_clashes == (
        "A1: 6 nights without the lamps of H1 from 3 Feb (natural day 13 h 42 or less, under 14 h 45)",
    )


def test_an_outage_that_runs_on_into_lights_off_says_what_stops_it() -> None:
    plan = make_plan(lit_farm(), date(2027, 3, 1))
    (text,) = record_outage(plan, "H1", date(2027, 2, 17), date(2027, 2, 19)).verdicts
    assert text == (
        "A1: relight for a night, or let it flower (no lit night follows): trigger 17 Feb, harvest 27 Apr -> 24 Apr (3 days "
        "sooner)"
    )


def test_what_may_have_started_is_told_with_the_dates_too() -> None:
    last = FIRST_DARK + timedelta(days=5)
    plan = record_outage(make_plan(lit_farm(), last + timedelta(days=1)), "H1", FIRST_DARK, last).plan
    (text,) = (c.text for c in plan.clashes_of("A1") if c.kind == "outage H1 2027-02-03")
    assert text == (
        "urgent: A1, relight tonight: flowering may have started (8 of 50 futures; 6.0 of 8 short days); look at the tips "
        "from 7 Feb, then twice a week; 6 nights without the lamps of H1 from 3 Feb (natural day 13 h 42 or less, under "
        "14 h 45)"
    )


def test_a_record_of_what_came_leaves_no_question() -> None:
    last = FIRST_DARK + timedelta(days=7)
    season = farm(planned=PLANNED, recorded={"induced": date(2027, 2, 9)})
    plan = make_plan(season, last + timedelta(days=9))
    assert record_outage(plan, "H1", FIRST_DARK, last).verdicts == ("A1: induced is recorded on 9 Feb",)


def with_neighbours() -> Season:
    """In H1 with A1: D2, day-neutral; N2, planted on natural days; L1, that comes later."""
    season = lit_farm()
    old = season.cohorts["A1"]
    more = {
        "D2": replace(season.cohorts["D1"], id="D2", place="H1", planned={"seeding": date(2026, 12, 25)}),
        "N2": replace(old, id="N2", planned={k: d for k, d in PLANNED.items() if k != "lights_off"}),
        "L1": replace(
            old,
            id="L1",
            recorded={},
            planned={"seeding": date(2027, 3, 1), "transplant": date(2027, 3, 25)},
        ),
    }
    return replace(season, cohorts={**season.cohorts, **more})


def test_every_cohort_in_the_house_has_a_line_and_the_worst_is_first() -> None:
    texts = verdicts(8, season=with_neighbours())
    assert [text.split(":")[0] for text in texts] == ["A1", "N2", "D2"]
    assert texts[1].startswith("N2: asked for no lamps on these nights, but was held back by them: trigger ")
    assert texts[2] == "D2: no harm: it flowers by age"


def test_a_cohort_that_asked_for_no_lamps_then_and_does_not_move_has_its_line_too() -> None:
    season = lit_farm()
    dark = replace(season.cohorts["A1"], id="N2", recorded={"trigger": date(2027, 1, 12)})
    dark = replace(dark, planned={k: d for k, d in PLANNED.items() if k != "lights_off"})
    season = replace(season, cohorts={**season.cohorts, "N2": dark})
    assert verdicts(2, season=season)[1] == "N2: no harm: it asked for no lamps on these nights"


def test_after_it_is_induced_no_harm_is_done() -> None:
    season = farm(planned=PLANNED, recorded={"induced": date(2027, 1, 20)})
    assert verdicts(2, season=season) == ("A1: no harm: it was induced on 20 Jan",)


def test_lamps_that_leave_a_short_day_do_little_more_harm_when_they_fail() -> None:
    season = lit_farm()
    weak = replace(season.places["H1"], lamps=Lamps(target_h=14.5))
    season = replace(season, places={**season.places, "H1": weak})
    night = date(2026, 12, 20)
    proposal = record_outage(make_plan(season, night + timedelta(days=1)), "H1", night, night)
    assert proposal.verdicts == ("A1: no harm: lit, its days would be 14 h 30 or less and count too",)
    assert proposal.new_clashes == ()


def test_the_evening_before_lamps_by_the_clock_failed_in_the_morning_is_told_by_its_felt_day() -> None:
    """Lamps from 05:00 to 21:00: on 18 Feb none burn, so the day before has lamps in the evening and none after."""
    season = lit_farm()
    lamps = Lamps(target_h=None, method="clock", on=time(5), off=time(21))
    house = replace(season.places["H1"], lamps=lamps)
    season = replace(season, places={**season.places, "H1": house})
    night = date(2027, 2, 18)
    proposal = record_outage(make_plan(season, night), "H1", night, night)
    (text,) = proposal.new_clashes
    assert text.startswith("A1: 2 nights without the lamps of H1 from 17 Feb (a day of 14 h ")
    natural = record_outage(make_plan(lit_farm(), night), "H1", night, night)
    assert "1 night without the lamps of H1 from 18 Feb (natural day 13 h " in natural.new_clashes[0]


def test_lamps_up_to_just_the_critical_day_hold_the_plants_and_are_missed() -> None:
    season = lit_farm()
    just = replace(season.places["H1"], lamps=Lamps(target_h=14.75))
    season = replace(season, places={**season.places, "H1": just})
    assert verdicts(2, season=season)[0].startswith("A1: relight tonight: no harm done in 49 of 50 futures; ")
    assert make_plan(season, FIRST_DARK).timelines["A1"].likely("trigger") == PLANNED["lights_off"]


def test_a_cohort_that_is_cut_is_not_told_of() -> None:
    season = with_neighbours()
    cut = replace(season.cohorts["D2"], recorded={"harvest": date(2027, 1, 30)})
    season = replace(season, cohorts={**season.cohorts, "D2": cut})
    assert [text.split(":")[0] for text in verdicts(8, season=season)] == ["A1", "N2"]


def test_no_harm_is_told_with_its_reason_and_is_no_warning() -> None:
    plan = make_plan(lit_farm(), date(2026, 12, 1))
    proposal = record_outage(plan, "H1", date(2026, 11, 28), date(2026, 11, 29))
    assert proposal.verdicts == ("A1: no harm: its plants are juvenile until 1 Dec",)
    assert proposal.new_clashes == ()


def test_dates_that_do_not_move_are_left_out_for_the_cohort_on_screen_too() -> None:
    plan = make_plan(lit_farm(), FIRST_DARK + timedelta(days=20))
    few = record_outage(plan, "H1", FIRST_DARK, FIRST_DARK, "A1")
    assert few.stages == ()
    many = record_outage(plan, "H1", FIRST_DARK, FIRST_DARK + timedelta(days=10), "A1")
    assert [m.stage for m in many.stages] == [
        "trigger",
        "induced",
        "flowering",
        "sampling",
        "harvest",
        "dried",
    ]


def empty_house() -> Plan:
    """Nothing stands in H1 before A1 comes on 26 Nov."""
    return make_plan(lit_farm(), date(2026, 11, 20))


def test_where_nothing_stands_it_is_told_who_comes_next() -> None:
    plan, day = empty_house(), date(2026, 11, 10)
    proposal = record_outage(plan, "H1", day, day)
    assert proposal.verdicts == ()
    assert proposal.new_clashes == (
        "no cohort asked for the lamps of H1 on these nights (nothing stands there then; A1 comes on 26 Nov): is it the "
        "right place?",
    )
    assert nothing_stands_text(plan, "N1", day, day) == ""
    assert nothing_stands_text(plan, "N1", date(2026, 9, 5), date(2026, 9, 6)).endswith("comes on 1 Nov")
    last = date(2027, 6, 20)
    assert nothing_stands_text(plan, "H1", last, last) == "nothing stands there then"


@pytest.mark.parametrize(("nights", "warned"), [(8, False), (12, False), (17, True)])
def test_no_warning_bids_keep_dark_while_the_verdict_bids_relight(nights: int, warned: bool) -> None:
    last = FIRST_DARK + timedelta(days=nights - 1)
    season = farm(planned={**PLANNED, "lights_off": date(2027, 3, 20)})
    made = record_outage(make_plan(season, last + timedelta(days=1)), "H1", FIRST_DARK, last)
    assert made.plan.timelines["A1"].likely("trigger") == FIRST_DARK
    assert any("keep its days short" in text for text in made.new_clashes) is warned
    assert not any("light it sooner" in text for text in made.new_clashes)


def test_once_it_is_seen_that_they_flower_their_days_are_to_be_kept_short() -> None:
    last = FIRST_DARK + timedelta(days=7)
    season = farm(planned=PLANNED, recorded={"induced": date(2027, 2, 10)})
    made = record_outage(make_plan(season, last + timedelta(days=9)), "H1", FIRST_DARK, last)
    kinds = [c.kind for c in made.plan.clashes_of("A1")]
    assert "long days after induction" in kinds


def test_a_trigger_before_lights_off_without_an_outage_is_told_as_before() -> None:
    season = farm(planned={**PLANNED, "lights_on": date(2027, 2, 18)})
    kinds = [c.kind for c in make_plan(season, FIRST_DARK).clashes_of("A1")]
    assert "trigger before lights off" in kinds


def test_of_several_places_the_worst_verdict_comes_first_whichever_is_named_first() -> None:
    season = lit_farm()
    twin = replace(season.places["H1"], id="H0")
    young = replace(
        season.cohorts["A1"],
        id="B1",
        place="H0",
        recorded={},
        planned={
            "seeding": date(2027, 1, 10),
            "transplant": date(2027, 2, 1),
            "lights_off": date(2027, 4, 20),
        },
    )
    season = replace(season, places={"H0": twin, **season.places}, cohorts={"B1": young, **season.cohorts})
    last = FIRST_DARK + timedelta(days=7)
    plan = make_plan(season, last + timedelta(days=1))
    texts = record_outages(plan, ["H0", "H1"], FIRST_DARK, last).verdicts
    assert [text.split(":")[0] for text in texts] == ["A1", "B1"]
    assert texts[0].startswith("A1: relight tonight: flowering may have started (20 of 50 futures; ")
    assert texts[1].startswith("B1: relight tonight: flowering may have started (5 of 50 futures; ")


def test_long_after_it_would_be_induced_anyway_nothing_is_urgent_of_a_failure() -> None:
    last = FIRST_DARK + timedelta(days=7)
    season = record_outage(
        make_plan(lit_farm(), last + timedelta(days=1)), "H1", FIRST_DARK, last
    ).plan.season
    by_day = {
        day: next(c.text for c in make_plan(season, day).clashes_of("A1") if c.kind.startswith("outage"))
        for day in (date(2027, 2, 12), date(2027, 4, 20))
    }
    assert by_day[date(2027, 2, 12)].startswith(
        "urgent: A1, relit on 11 Feb: flowering may have started (20 "
    )
    assert by_day[date(2027, 4, 20)] == (
        "A1: 8 nights without the lamps of H1 from 3 Feb (natural day 13 h 42 or less, under 14 h 45)"
    )
