"""A variety fitted to the records of its cohorts: what is used, what is left out, what is learnt, what is still to be asked."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from calendar_tui.handing_on.words.fit_text import fit_text
from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.record_change import set_fields
from calendar_tui.planning.changes.variety_fit import take_fit
from calendar_tui.planning.laying_out.figures import figures_of
from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.refit.choice import Choice
from calendar_tui.planning.refit.fit import fit
from calendar_tui.planning.refit.start import before_records
from calendar_tui.season.edits import apply_edits
from calendar_tui.season.fitted_sets import IN_SETS, figures_of_sets
from calendar_tui.season.reading import read_season
from calendar_tui.season.records import Span
from calendar_tui.season.refusal import Refusal
from tests.planning.farm import season_of
from tests.planning.fields import field_data, field_plan, true_days

TRUE = (14.0, 1.5, 25, 8)
FOUR = [(5, 1), (5, 20), (6, 10), (7, 1)]
SEEN = true_days(FOUR, TRUE)
LESS_A2 = Choice(without=frozenset({"A2"}))


def fitted(sowings=FOUR, induced=SEEN, **more):
    return fit([field_plan(sowings, induced, **more)], "v")


def taught(found):
    return {one.key: one for one in found.figures}


# --- records


def test_a_may_sowing_teaches_the_critical_day_a_lot_and_the_juvenile_time_nothing():
    """At 35.8 N one record of 20 May leaves .46, .57, 1.0 and .97 of the spreads (simulated)."""
    learnt = taught(fitted([(5, 15)], true_days([(5, 15)], TRUE)))
    assert [learnt[key].left for key in IN_SETS] == pytest.approx([0.46, 0.57, 1.0, 0.97], abs=0.08)
    assert [learnt[key].how for key in IN_SETS] == ["learnt", "learnt", "not at all", "not at all"]


def test_figures_that_are_known_only_together_are_named():
    tie = fitted().pairs[0]
    assert {tie.one, tie.other} == {"critical_day", "full_response_day"}
    assert abs(tie.correlation) >= 0.4


def test_each_record_is_held_against_what_the_others_give():
    found = fitted()
    assert [one.name.cohort for one in found.records] == ["A1", "A2", "A3", "A4"]
    assert all(abs(one.error_d) <= 2 for one in found.records)
    assert sum(abs(one.error_before_d) for one in found.records) > sum(
        abs(one.error_d) for one in found.records
    )
    assert found.contradicted == ()


def test_a_record_a_month_off_is_named_and_the_others_count():
    found = fitted(induced=[*SEEN[:3], SEEN[3] + timedelta(days=30)])
    assert [one.name.cohort for one in found.records] == ["A1", "A2", "A3"]
    (odd,) = found.contradicted
    assert odd.name.cohort == "A4"
    assert odd.error_d > 20
    assert found.fitted.marks["critical_day"] == "measured, 3 cohorts, 2027"


def test_of_two_records_that_contradict_each_other_neither_counts_and_either_may_be_left_out():
    """Nobody knows which of them is wrong."""
    plan = field_plan(FOUR[:2], [SEEN[0], SEEN[1] - timedelta(days=60)])
    found = fit([plan], "v")
    assert [one.name.cohort for one in found.contradicted] == ["A1", "A2"]
    assert " ".join(fit_text(found, 500)).count("--count A1 A2") == 2
    assert found.records == found.figures == ()
    assert found.changed == ("emergence_d",)
    assert [one.name.cohort for one in fit([plan], "v", LESS_A2).records] == ["A1"]


def test_where_records_contradict_each_other_and_no_span_is_recorded_there_is_no_fit_until_a_person_says_which_count():
    data = field_data([(7, 20), (7, 21)])
    for cohort, induced in zip(data["cohort"], (date(2027, 8, 25), date(2027, 9, 28)), strict=True):
        stuck = cohort["planned"].pop("seeding")
        cohort |= {"start": "cutting", "planned": {"sticking": stuck}}
        cohort["recorded"] = {"sticking": stuck, "induced": induced}
    plans = [make_plan(season_of(data), date(2027, 12, 1))]
    with pytest.raises(Refusal, match=r"those of A1, A2 contradict each other.*--without A2;.*--count A1 A2"):
        fit(plans, "v")
    assert [one.name.cohort for one in fit(plans, "v", LESS_A2).records] == ["A1"]
    assert len(fit(plans, "v", Choice(counted=frozenset({"A1", "A2"}))).records) == 2


def test_a_cohort_of_which_nothing_is_seen_is_left_out_and_said():
    found = fitted(induced=[SEEN[0], None, None, None])
    assert [one.name.cohort for one in found.left_out] == ["A2", "A3", "A4"]
    assert {one.why for one in found.left_out} == {"nothing is recorded of its induction or flowering"}


def test_where_only_flowering_is_recorded_induction_lies_in_the_span_before_it():
    data = field_data([(5, 1)])
    data["cohort"][0]["recorded"]["flowering"] = date(2027, 9, 10)
    (one,) = fit([make_plan(season_of(data), date(2027, 12, 1))], "v").records
    assert (one.by, one.after, one.until) == ("flowering", date(2027, 8, 20), date(2027, 8, 31))


def looked(**cohort):
    data = field_data([(5, 1)])
    data["cohort"][0]["not_yet"] = cohort.pop("not_yet")
    data["cohort"][0]["recorded"] |= cohort
    return fit([make_plan(season_of(data), date(2027, 12, 1))], "v")


@pytest.mark.parametrize(
    ("cohort", "shows"),
    [
        ({"not_yet": {"induced": date(2027, 8, 5)}}, ("look", date(2027, 8, 5), None)),
        ({"not_yet": {"flowering": date(2027, 9, 5)}}, ("look", date(2027, 8, 16), None)),
        (
            {"not_yet": {"induced": date(2027, 8, 5)}, "induced": date(2027, 8, 20)},
            ("induced", date(2027, 8, 5), date(2027, 8, 20)),
        ),
        (
            {"not_yet": {"induced": date(2027, 8, 25)}, "flowering": date(2027, 9, 10)},
            ("flowering", date(2027, 8, 25), date(2027, 8, 31)),
        ),
    ],
)
def test_looks_at_which_it_was_not_there_yet_are_the_early_end_of_its_interval(cohort, shows):
    """Induced to flowering takes 10 to 20 d."""
    (one,) = looked(**cohort).records
    assert (one.by, one.after, one.until) == shows


def test_a_look_alone_teaches_a_part_of_what_a_record_does():
    """Not yet on 5 August at 35.8 N leaves .73, .81, 1.0 and .99 of the spreads (simulated)."""
    learnt = taught(looked(not_yet={"induced": date(2027, 8, 5)}))
    assert [learnt[key].left for key in IN_SETS] == pytest.approx([0.73, 0.81, 1.0, 0.99], abs=0.07)


def test_a_look_that_leaves_no_day_before_the_flowering_is_left_out_and_said():
    """Up on 6 May it would teach its emergence: so of the span alone there is something to fit."""
    found = looked(not_yet={"induced": date(2027, 9, 5)}, flowering=date(2027, 9, 10))
    assert (found.records, found.figures) == ((), ())
    (one,) = found.left_out
    assert one.why.startswith(
        "by its looks it was induced less than the early time from induced to flowering"
    )
    assert found.changed == ("emergence_d",)


def test_the_light_is_that_which_the_plants_had_covers_among_it():
    """Under 12 h covers from 1 July plants are induced 8 days later, whatever their critical day: it teaches that count."""
    covers = {"place": "F1", "from": date(2027, 7, 1), "to": date(2027, 10, 1), "method": "blackout"}
    # No longer than 12 h of light between two covers; plants are ready long before.
    covered = {"programme": [covers | {"on": "19:00", "off": "07:00"}]}
    found = fitted([(5, 15)], [date(2027, 7, 8)], **covered)
    (one,) = found.records
    assert one.by_none == date(2027, 7, 8)
    learnt = taught(found)
    assert learnt["inductive_days"].left < 0.85 < learnt["critical_day"].left


def test_cuttings_are_ripe_from_the_first_day_and_teach_no_juvenile_time():
    data = field_data([(7, 20)])
    data["cohort"][0] |= {
        "start": "cutting",
        "planned": {"sticking": date(2027, 7, 20)},
        "recorded": {"sticking": date(2027, 7, 20), "induced": date(2027, 8, 25)},
    }
    learnt = taught(fit([make_plan(season_of(data), date(2027, 12, 1))], "v"))
    assert learnt["juvenile_d"].left == pytest.approx(1)
    assert learnt["critical_day"].left < 0.9


HOT = {"monthly_low_c": [21.0] * 12, "monthly_high_c": [29.0] * 12}


def test_where_a_season_runs_on_heat_the_juvenile_time_is_as_quick_as_the_heat_lets_it():
    """At 25 C a day gives 24 C d over 1 C, where a day at the reference of 20 C gives 19: 25 d are over in 20."""
    from calendar_tui.planning.refit.records import light_of

    site = {"latitude": 35.8, "longitude": -78.7, "timezone": "America/New_York", **HOT}
    plan = field_plan([(7, 1)], site=site, heat={"method": "average"})
    up = (date(2027, 7, 6) - date(2027, 3, 1)).days
    (start,) = light_of(plan, plan.timelines["A1"], (25,)).starts
    assert start - up == pytest.approx(25 * 19 / 24, abs=1)


# --- spans


# --- several seasons


def test_records_of_two_seasons_count_together_and_are_named_in_the_mark():
    before = field_plan(FOUR[:2], true_days(FOUR[:2], TRUE, year=2026), year=2026)
    found = fit([field_plan(FOUR[2:], SEEN[2:]), before], "v")
    assert [one.name.season for one in found.records] == ["2027", "2027", "2026", "2026"]
    assert found.fitted.marks["critical_day"] == "measured, 4 cohorts, 2027 2026"
    assert found.sites == ()


def test_a_season_at_another_site_counts_by_the_light_there_and_is_named():
    south = {"latitude": -34.3, "longitude": -56.7, "timezone": "America/Montevideo"}
    with_south = [field_plan(FOUR, SEEN), field_plan([(3, 2)], [date(2026, 4, 10)], year=2026, site=south)]
    assert fit(with_south, "v").sites == ("Field 2026",)


def test_a_cohort_that_stands_in_both_files_counts_once():
    same = field_plan(FOUR[:1], SEEN[:1])
    found = fit([field_plan(FOUR[:1], SEEN[:1]), same], "v")
    assert len(found.records) == 1
    assert [one.why for one in found.left_out] == ["it stands in Field 2027 too, and counts once"]


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (
            {"response": "day-neutral", "type": "day-neutral"},
            "v is day-neutral in Field 2027: it flowers by age",
        ),
        (
            {},
            r"v has no record to fit \(A1: nothing is recorded of its induction or flowering\); record induced or flowering",
        ),
    ],
)
def test_what_cannot_be_fitted_is_refused(change, says):
    data = field_data([(5, 1)], variety=change)
    del data["cohort"][0]["recorded"]
    with pytest.raises(Refusal, match=says):
        fit([make_plan(season_of(data), date(2027, 12, 1))], "v")


def test_a_season_without_the_variety_is_refused_by_its_name():
    other = field_data([], year=2026)
    other["variety"][0]["id"] = "w"
    with pytest.raises(Refusal, match="Field 2026 has no variety v; its varieties are w"):
        fit([field_plan(FOUR, SEEN), make_plan(season_of(other), date(2026, 12, 1))], "v")


# --- what is asked


def test_a_cohort_whose_days_no_record_had_is_named():
    """July and August sowings are ready under days of 14 h and less; a May sowing waits through those of 14 h and more."""
    late = [(7, 25), (8, 5)]
    found = fitted([*late, (4, 20)], true_days(late, TRUE))
    (beyond,) = found.outlook.gaps
    assert beyond.cohort == "A3"
    assert beyond.low_h > 13.6
    assert fitted([*FOUR, (5, 10)]).outlook.gaps == ()


def test_where_the_days_are_short_already_it_says_that_the_juvenile_time_decides():
    assert fitted([*FOUR, (8, 20)]).outlook.by_age == ("A5",)


def test_the_sowing_that_would_teach_most_stands_first():
    """After May sowings the juvenile time is what is not known: only a late sowing shows it."""
    found = fitted([*FOUR[:2], (5, 25), (8, 10)], SEEN[:2])
    first, second = found.outlook.lessons
    assert (first.cohort, second.cohort) == ("A4", "A3")
    assert first.left["juvenile_d"] < 0.8 < second.left["juvenile_d"]


# --- taken over


def test_a_fit_is_taken_over_with_likely_figures_marks_and_fifty_sets():
    found = fitted()
    plan = field_plan(FOUR, SEEN)
    data = apply_edits(field_data(FOUR, SEEN), take_fit(plan, found).change.edits)
    reading = read_season(data)
    assert reading.problems == ()
    variety = reading.season.varieties["v"]
    assert len(variety.sets) == 50
    assert {key: getattr(variety, key) for key in IN_SETS} == figures_of_sets(variety.sets)
    assert (
        [variety.marks[key] for key in IN_SETS]
        == [
            *["measured, 4 cohorts, 2027"] * 2,
            "placeholder",  # juvenile time and inductive days: the records teach nothing of them, so they are the type's
            "placeholder",
        ]
    )
    assert variety == found.fitted


def test_futures_take_the_figures_of_the_sets_together_each_set_once():
    variety = fitted().fitted
    figures = figures_of(variety, "seed")
    drawn = zip(figures.critical_h, figures.full_h, figures.juvenile_d, figures.inductive_d, strict=True)
    assert sorted(drawn) == sorted(variety.sets)


def test_plants_from_cuttings_keep_part_of_the_spread_of_inductive_days():
    variety = fitted().fitted
    spread = [
        max(days) - min(days) for days in (figures_of(variety, s).inductive_d for s in ("seed", "cutting"))
    ]
    assert spread[1] == pytest.approx(spread[0] / 2)


def test_the_next_fit_starts_where_this_one_did_so_that_a_record_counts_once():
    own = {"type": None, "critical_day": "14:30", "full_response_day": "13:00", "juvenile_d": 20}
    own = {key: value for key, value in own.items() if value is not None}
    data = field_data(FOUR, SEEN)
    data["variety"] = [{"id": "v", "response": "short-day"} | own]
    first = fit([make_plan(season_of(data), date(2027, 12, 1))], "v")
    plan = make_plan(season_of(data), date(2027, 12, 1))
    after = season_of(apply_edits(data, take_fit(plan, first).change.edits))
    assert before_records(after.varieties["v"]).critical_day == Span.exactly(14.5)
    again = fit([make_plan(after, date(2027, 12, 1))], "v")
    assert again.fitted == first.fitted
    assert again.aside == first.changed


def test_a_figure_changed_by_hand_takes_the_sets_away_and_says_so():
    plan = field_plan(FOUR, SEEN)
    data = apply_edits(field_data(FOUR, SEEN), take_fit(plan, fitted()).change.edits)
    after = make_plan(season_of(data), date(2027, 12, 1))
    proposal = set_fields(HeldSeason(after, data), "variety", ("v",), {"juvenile_d": "20"}, "read")
    assert any("taken away" in note for note in proposal.notes)
    changed = apply_edits(data, proposal.change.edits)
    assert "sets" not in changed["variety"][0]
    assert season_of(changed).varieties["v"].juvenile_d == Span.exactly(20)
    harvest = set_fields(HeldSeason(after, data), "variety", ("v",), {"drying": "9"}, "read")
    assert "sets" in apply_edits(data, harvest.change.edits)["variety"][0]


def test_sets_that_contradict_their_figures_are_a_problem():
    data = apply_edits(field_data(FOUR, SEEN), take_fit(field_plan(FOUR, SEEN), fitted()).change.edits)
    data["variety"][0]["critical_day"] = "15:10"
    (problem,) = read_season(data).problems
    assert problem.path == ("variety", 0, "sets")
    assert "its sets contradict its figures: critical_day 15 h 10, by the sets [" in problem.message


@pytest.mark.parametrize(
    ("sets", "says"),
    [
        ("none", "write 10 to 500 sets"),
        ([["14:00", "12:30", 25, 8]] * 3, "is a list of 3; write 10 to 500 sets"),
        ([["14:00", "12:30", 25]] * 20, "as set 1; write each as"),
        ([["12:00", "12:30", 25, 8]] * 20, "its full-response day must be under its critical day"),
    ],
)
def test_sets_that_do_not_read_are_a_problem(sets, says):
    (problem,) = read_season(field_data(FOUR, variety={"sets": sets})).problems
    assert says in problem.message


def test_a_figure_before_the_fit_that_does_not_read_is_a_problem():
    wrong = field_data(FOUR, variety={"before_fit": {"juvenile_d": "long"}})
    (problem,) = read_season(wrong).problems
    assert "before_fit has juvenile_d that is" in problem.message
    (problem,) = read_season(field_data(FOUR, variety={"before_fit": {"colour": 3}})).problems
    assert 'before_fit has "colour", which no fit changes' in problem.message
