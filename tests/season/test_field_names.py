"""The names of fields in words: one for every key, found however they are typed, and the nearest told where they are not."""

from __future__ import annotations

import pytest

from calendar_tui.season.field_names import (
    KINDS_BY_FIELDS,
    a_kind,
    field_named,
    fields_of,
    find_field,
    words_for,
)
from calendar_tui.season.fields import FIELDS, NAMED
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.stages import KEPT_AT

ALL = [field for kind in KINDS_BY_FIELDS for field in fields_of(kind)]


@pytest.mark.parametrize("kind", KINDS_BY_FIELDS)
def test_no_two_fields_of_a_kind_have_one_name(kind):
    words = [field.words for field in fields_of(kind)]
    assert sorted(words) == sorted(set(words))


@pytest.mark.parametrize("kind", KINDS_BY_FIELDS)
def test_every_key_of_the_file_has_a_name_but_for_what_the_program_keeps_for_itself(kind):
    kept = {"id", "sets", "before_fit", "marks", "starter_list", "stays", "replanned", "forecast"}
    kept |= set(KEPT_AT.values())
    assert {field.path[0] for field in fields_of(kind)} == {f.key for f in FIELDS[kind]} - kept


@pytest.mark.parametrize("kind", KINDS_BY_FIELDS)
def test_names_are_in_words_without_a_key_or_a_unit(kind):
    for field in fields_of(kind):
        assert "_" not in field.words
        assert field.words == field.words.strip()


@pytest.mark.parametrize("kind", KINDS_BY_FIELDS)
def test_a_field_is_found_by_its_name_in_any_letters_with_blanks_or_dashes(kind):
    for field in fields_of(kind):
        for words in (field.words, field.words.upper(), field.words.replace(" ", "-")):
            form = f"{words} amber" if field.takes_name else words
            assert find_field(kind, form).path[: len(field.path)] == field.path


def test_the_keys_of_the_file_are_taken_too():
    assert find_field("cohort", "spacing_m").words == "spacing"
    assert find_field("variety", "full-response-day").key == "full_response_day"
    assert find_field("place", "lamps").words == "lit day"


def test_the_hours_of_a_role_and_the_seeds_of_a_variety_are_fields_of_their_own():
    assert find_field("crew", "hours of nursery").path == ("hours_per_week", "nursery")
    assert find_field("stock", "Seeds of amber").path == ("seeds", "amber")
    assert field_named("crew", "hours of") is None


def test_a_wrong_name_is_told_with_the_nearest_and_all_there_are():
    with pytest.raises(
        Refusal, match='"plats" is not a field of a cohort; did you mean "plants"\\? Fields: variety'
    ):
        find_field("cohort", "plats")


@pytest.mark.parametrize("kind", KINDS_BY_FIELDS)
def test_a_problem_at_a_key_of_the_file_is_told_by_the_name_of_the_field(kind):
    for field in fields_of(kind):
        assert words_for(kind, field.path) == field.words
        assert words_for(kind, (*field.path, "amber")) == (
            f"{field.words} amber" if field.takes_name else field.words
        )


def test_a_date_planned_again_is_the_same_field_as_the_one_planned_first():
    assert words_for("cohort", ("replanned", "transplant")) == "transplant"


def test_named_tables_have_fields_that_take_a_name():
    named = {f.path[-1] for f in ALL if f.takes_name}
    tables = {
        f.key
        for kind in KINDS_BY_FIELDS
        for f in FIELDS[kind]
        if f.table in NAMED and f.table not in ("dates", "forecasts", "marks", "supply_marks")
    }
    assert named == tables


def test_kinds_are_named_with_their_article():
    assert [a_kind(kind) for kind in ("cohort", "outage", "crew")] == ["a cohort", "an outage", "the crew"]
