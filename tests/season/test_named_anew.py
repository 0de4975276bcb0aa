"""Which record a change adds or names anew."""

from __future__ import annotations

from calendar_tui.season.edits import Edit, named_anew

ADDED = Edit("add", "cohort", ("B4",), (), {"id": "B4"})
NEXT = Edit("add", "cohort", ("B5",), (), {"id": "B5"})
RENAMED = Edit("set", "cohort", ("A5",), ("id",), "B9")
TASK = Edit("add", "task", ("t1",), (), {"id": "t1"})


def test_of_several_copies_it_is_the_first() -> None:
    assert named_anew((TASK, ADDED, NEXT), ("cohort",)) == ("cohort", ("B4",))


def test_a_renamed_record_is_known_by_its_new_name() -> None:
    assert named_anew((RENAMED,), ("cohort", "place")) == ("cohort", ("B9",))


def test_a_programme_given_another_place_and_night_is_followed_through_both() -> None:
    edits = (
        Edit("set", "programme", ("H2", 1), ("place",), "H3"),
        Edit("set", "programme", ("H3", 1), ("from",), 2),
    )
    assert named_anew(edits, ("programme",)) == ("programme", ("H3", 2))


def test_a_change_of_plants_names_nothing_anew() -> None:
    assert named_anew((Edit("set", "cohort", ("A1",), ("plants",), 9), TASK), ("cohort",)) is None
