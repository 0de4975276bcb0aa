"""A wish as it is typed into fields, and drafts that are kept, found, laid out again and no longer fit; no solver."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest

from calendar_tui.planning.laying_out.stages import Range
from calendar_tui.planning.staggering.asking import (
    FIELDS,
    WishSetting,
    answered_wish,
    every_d,
    first_answers,
    place_fields,
    read_answers,
    spacing,
    understood,
    whole,
)
from calendar_tui.planning.staggering.drafts import (
    accepted,
    draft_change,
    drop_change,
    find_draft,
    laid_out,
    scheme_of_draft,
)
from calendar_tui.planning.staggering.scheme import moved_text
from calendar_tui.planning.staggering.wish import GROWN_D
from calendar_tui.season.edits import apply_edits
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.units_in_use import SYSTEMS, shown_in
from tests.planning.farm import season_of
from tests.planning.staggered import FIRST, empty_data, planned

ANSWERS = {
    "first": "1 mar",
    "count": "",
    "until": "2w",
    "variety": "amber",
    "start": "seed",
    "nursery": "N1",
    "plants": "60",
    "spacing_m": "1.5 x 0.6 m",
    "grown_d": "30",
    "H1": "yes",
    "H2": "yes",
    "F1": "no",
}
ROW = {
    "place": "H1",
    "plants": 60,
    "seeding": date(2026, 11, 16),
    "transplant": date(2026, 12, 11),
    "lights_off": date(2027, 2, 3),
}
DRAFT = {
    "id": "later",
    "wish": "1 cohort of amber",
    "variety": "amber",
    "start": "seed",
    "nursery": "N1",
    "spacing_m": [1.5, 0.6],
    "cohorts": [ROW],
}


@pytest.mark.parametrize(
    ("word", "days"),
    [("14d", 14), ("2w", 14), ("14", 14), (" 3w ", 21), ("14 d", 14), ("2 weeks", 14), ("2  w", 14)],
)
def test_time_between_harvests_is_in_days_or_weeks(word: str, days: int) -> None:
    assert every_d(word) == days


@pytest.mark.parametrize("word", ["", "d", "14 h", "2m", "1.5w"])
def test_what_is_no_time_between_harvests_is_refused(word: str) -> None:
    with pytest.raises(
        Refusal, match="is no time between harvests; write a number of days, such as 14, or weeks"
    ):
        every_d(word, "--every")


@pytest.mark.parametrize("word", ["-2w", "1000d", "0"])
def test_a_time_between_harvests_that_cannot_be_is_refused_where_it_is_typed(word: str) -> None:
    with pytest.raises(Refusal, match="days between harvests cannot be; give 1 to 120"):
        every_d(word, "--every")
    _, wrong = read_answers(asked(), ANSWERS | {"until": word})
    assert list(wrong) == ["until"]


def test_a_bare_number_of_days_between_harvests_is_no_date() -> None:
    assert answered_wish(asked(), ANSWERS | {"until": "14"}).every_d == 14


@pytest.mark.parametrize("word", ["Yes", "on", "TRUE"])
def test_yes_in_any_of_its_words_and_letters_lets_a_place_be_used(word: str) -> None:
    assert answered_wish(asked(), ANSWERS | {"F1": word, "start": "Seed"}).lights == ("H1", "H2", "F1")


@pytest.mark.parametrize(
    ("word", "read"),
    [
        ("1.5x0.6", (1.5, 0.6)),
        ("1.5 x 0.6", (1.5, 0.6)),
        ("1.5 x 0.6 m", (1.5, 0.6)),
        ("5 ft x 2 ft", (1.524, 0.6096)),
        ("100x0.01", (100.0, 0.01)),
    ],
)
def test_spacing_is_between_rows_and_in_the_row(word: str, read: tuple[float, float]) -> None:
    assert spacing(word) == read


def test_beside_a_spacing_stands_what_it_is_in_the_other_units() -> None:
    assert understood("1.5x0.6", spacing("1.5x0.6")) == ""
    assert understood("5x2 ft", spacing("5x2 ft")) == "5x2 ft is 1.524x0.6096 m"
    with shown_in("us"):
        assert understood("1.5x0.6 m", spacing("1.5x0.6 m")) == "4.92x1.97 ft"
        assert understood("5x2", spacing("5x2")) == "5x2 ft is 1.524x0.6096 m"


@pytest.mark.parametrize("word", ["1.5", "0x1", "1x0", "1.5x", "1 5x0.6", "101x1", "1x101", "1,5x0,6"])
def test_what_is_no_spacing_is_refused(word: str) -> None:
    with pytest.raises(Refusal, match="is no spacing"):
        spacing(word)


@pytest.mark.slow
@pytest.mark.parametrize("word", ["twelve", "-1", "1.5", "١٢", "123456789"])
def test_what_is_no_whole_number_is_refused(word: str) -> None:
    with pytest.raises(Refusal, match="is no whole number; write it as 12"):
        whole(word, "plants")


def asked() -> WishSetting:
    return WishSetting(season_of(empty_data(cohort=[])), FIRST)


def test_answers_to_all_fields_are_a_wish_with_the_names_of_the_season() -> None:
    wish = answered_wish(asked(), ANSWERS)
    assert (wish.variety, wish.lights, wish.nursery, wish.start) == ("amber", ("H1", "H2"), "N1", "seed")
    assert (wish.plants, wish.count, wish.first) == (60, None, date(2027, 3, 1))
    assert (wish.every_d, wish.last, wish.spacing_m, wish.grown_d) == (14, None, (1.5, 0.6), 30)


def test_what_is_left_empty_is_open_and_a_last_harvest_may_be_a_date() -> None:
    empty = {"nursery": "none", "plants": "", "first": "", "until": "1 apr", "spacing_m": "", "grown_d": ""}
    wish = answered_wish(asked(), ANSWERS | empty)
    assert (wish.nursery, wish.plants, wish.first, wish.spacing_m) == (None, None, None, None)
    assert (wish.every_d, wish.last, wish.grown_d) == (None, date(2027, 4, 1), GROWN_D)


def test_one_cohort_has_no_time_between_harvests() -> None:
    wish = answered_wish(asked(), ANSWERS | {"count": "1"})
    assert (wish.count, wish.every_d, wish.last) == (1, None, None)


@pytest.mark.parametrize(
    ("key", "text", "message"),
    [
        ("variety", "onyx", '"onyx" is not a variety'),
        ("H1", "maybe", '"maybe" is neither yes nor no'),
        ("start", "layers", "is no way to start; write seed or cutting"),
        ("nursery", "N7", '"N7" is not a place'),
        ("plants", "many", 'plants "many" is no whole number'),
        ("count", "few", 'cohorts "few" is no whole number'),
        ("first", "soon", '"soon" is not a date'),
        ("spacing_m", "wide", 'spacing "wide" is no spacing'),
        ("grown_d", "long", 'days of growth "long" is no whole number'),
    ],
)
def test_an_answer_that_does_not_read_is_refused_and_told_of_its_field(
    key: str, text: str, message: str
) -> None:
    with pytest.raises(ValueError, match=message):
        answered_wish(asked(), ANSWERS | {key: text})
    _, wrong = read_answers(asked(), ANSWERS | {key: text})
    assert list(wrong) == [key]


def test_without_a_place_to_use_it_is_refused() -> None:
    with pytest.raises(ValueError, match="no place may be used; set one of them to yes"):
        answered_wish(asked(), ANSWERS | {"H1": "no", "H2": "no"})


def test_fields_offer_what_the_season_has() -> None:
    season = asked().season
    offered = {field.key: tuple(field.names(season)) for field in FIELDS}
    assert offered["variety"] == ("amber", "plain", "byage")
    assert offered["start"] == ("seed", "cutting")
    assert offered["nursery"] == ("N1", "none")
    assert offered["plants"] == ()
    assert [field.key for field in place_fields(season)] == ["H1", "H2", "F1"]


@pytest.mark.parametrize("units", SYSTEMS)
def test_what_stands_there_at_first_is_one_more_like_the_selected_cohort_two_weeks_behind_it(
    units: str,
) -> None:
    cohort = {"id": "A1", "variety": "amber", "start": "seed", "nursery": "N1", "place": "H2", "plants": 77}
    dates = {"seeding": date(2026, 10, 1), "transplant": date(2026, 10, 26), "lights_off": date(2026, 12, 1)}
    plan = planned(empty_data(cohort=[cohort | {"spacing_m": [1.8, 0.9], "planned": dates}]))
    harvest, growth_d = plan.timelines["A1"].likely("harvest"), plan.timelines["A1"].growth_d
    assert harvest is not None
    with shown_in(units):
        wish = answered_wish(WishSetting(plan.season, FIRST), first_answers(plan, "A1"))
    assert (wish.variety, wish.lights, wish.start, wish.nursery) == ("amber", ("H2",), "seed", "N1")
    assert (wish.plants, wish.spacing_m, wish.count, wish.grown_d) == (77, (1.8, 0.9), 1, growth_d)
    assert wish.first == harvest + timedelta(days=14)


def test_without_a_cohort_every_place_may_be_used_and_the_harvest_is_open() -> None:
    plan = planned(empty_data())
    wish = answered_wish(WishSetting(plan.season, FIRST), first_answers(plan, ""))
    assert (wish.variety, wish.lights, wish.first) == ("amber", ("H1", "H2", "F1"), None)


def data(**keys: Any) -> dict[str, Any]:
    return empty_data(draft=[DRAFT | keys])


def test_a_scheme_is_kept_as_a_draft_and_laid_out_again_as_it_was() -> None:
    plan = planned(data())
    scheme = scheme_of_draft(plan, plan.season.drafts["later"])
    change = draft_change(plan.season, "early", scheme)
    assert change.what == "draft early: 1 cohort of amber"
    after = apply_edits(data(), change.edits)
    assert after["draft"][1] == DRAFT | {"id": "early"}
    again = laid_out(planned(after))
    assert list(again) == ["later", "early"]
    cohorts = [[(s.cohort.light, s.cohort.planned) for s in found.sown] for found in again.values()]  # type: ignore[union-attr]
    assert cohorts[0] == cohorts[1]


def test_a_draft_of_the_same_name_takes_its_place() -> None:
    plan = planned(data())
    scheme = scheme_of_draft(plan, plan.season.drafts["later"])
    change = draft_change(plan.season, "later", scheme)
    assert [edit.op for edit in change.edits] == ["remove", "add"]
    assert apply_edits(data(), change.edits)["draft"] == [DRAFT]


def test_a_name_that_is_no_id_is_refused() -> None:
    plan = planned(data())
    scheme = scheme_of_draft(plan, plan.season.drafts["later"])
    with pytest.raises(Refusal, match="a draft's name is"):
        draft_change(plan.season, "my draft", scheme)


def test_a_draft_is_found_in_any_case_and_another_name_is_refused() -> None:
    season = planned(data()).season
    assert find_draft(season, "LATER").id == "later"
    with pytest.raises(Refusal, match='"sooner" is not a draft of this season'):
        find_draft(season, "sooner")
    with pytest.raises(Refusal, match="there is none yet: keep one with --draft NAME"):
        find_draft(planned(empty_data()).season, "later")


def test_an_accepted_draft_makes_its_cohorts_and_is_gone() -> None:
    plan = planned(data(cohorts=[ROW, ROW | {"place": "H2"}]))
    scheme = accepted(plan, plan.season.drafts["later"])
    names = [s.cohort.id for s in scheme.sown]
    assert scheme.proposal.change.what == f"draft later accepted: {names[0]} to {names[1]}"
    after = apply_edits(data(cohorts=[ROW, ROW | {"place": "H2"}]), scheme.proposal.change.edits)
    assert [cohort["id"] for cohort in after["cohort"]] == names
    assert not after.get("draft")
    one = accepted(planned(data()), planned(data()).season.drafts["later"])
    assert one.proposal.change.what == f"draft later accepted: {one.sown[0].cohort.id}"


def test_a_draft_taken_out_is_gone() -> None:
    draft = planned(data()).season.drafts["later"]
    assert not apply_edits(data(), drop_change(draft).edits).get("draft")


@pytest.mark.parametrize(
    ("keys", "message"),
    [
        ({"variety": "onyx"}, '"onyx" is not a variety'),
        ({"nursery": "N7"}, '"N7" is not a place'),
        ({"cohorts": [ROW | {"place": "H7"}]}, '"H7" is not a place'),
        ({"cohorts": [ROW | {"part": "east"}]}, "draft later: H1 has no part 'east' any more"),
        ({"start": "cutting"}, "draft later: a cohort in H1 has no sticking date; make the draft anew"),
        (
            {"cohorts": [ROW | {"seeding": date(2026, 8, 1)}]},
            "Sat 1 Aug 2026 is outside the season, 1 Sep 2026 to 30 Jun 2027",
        ),
        ({"cohorts": [ROW | {"place": "F1"}]}, "F1 has no lamps any more"),
        ({"cohorts": [ROW | {"transplant": date(2026, 11, 1)}]}, "draft later: "),
    ],
)
def test_a_draft_that_no_longer_fits_says_why(keys: dict[str, Any], message: str) -> None:
    """The season changed since: the draft is put into it as the file had it, whatever a check of the file would say."""
    plan = planned(data())
    fitting = plan.season.drafts["later"]
    rows = keys.get("cohorts")
    changed = {key: value for key, value in keys.items() if key != "cohorts"}
    if rows is not None:
        (row,) = rows
        dates = {key: day for key, day in row.items() if key in fitting.cohorts[0].dates}
        one = replace(fitting.cohorts[0], place=row["place"], part=row.get("part", ""), dates=dates)
        changed["cohorts"] = (one,)
    draft = replace(fitting, **changed)
    with pytest.raises(Refusal) as refused:
        scheme_of_draft(plan, draft)
    assert message in str(refused.value)
    there = replace(plan, season=replace(plan.season, drafts={"later": draft}))
    assert laid_out(there) == {"later": str(refused.value)}


def test_a_cohort_of_which_only_the_range_changes_is_not_told_as_moved_to_the_same_day() -> None:
    days = [date(2027, 2, n) for n in (20, 22, 27, 28)]
    assert moved_text("A4 trigger", Range(days[0], days[1], days[2]), Range(days[0], days[1], days[3])) == (
        "it changes the range of A4 trigger from 20 Feb - 27 Feb to 20 Feb - 28 Feb"
    )
    assert moved_text("A4 trigger", Range(days[0], days[0], days[2]), Range(days[0], days[1], days[2])) == (
        "it moves A4 trigger from 20 Feb to 22 Feb"
    )
