"""Cells of a table of cohorts, one by one: what each brings, what is passed over, what cannot be."""

from __future__ import annotations

import re
from datetime import date

import pytest

from calendar_tui.planning.changes.replan import is_moved
from calendar_tui.planning.spreadsheets.cells import day_cell, is_as_written
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.typed_dates import DAY_FIRST
from tests.planning.kept_farm import TEXT, kept
from tests.planning.spread import (
    back_of,
    edits,
    example,
    exported,
    refusal,
    rows_of,
    set_cell,
    taken,
    text_of,
)


def test_a_planned_date_that_moves_is_planned_again_with_all_that_follows():
    back = back_of("cohorts", ("A3", "planned transplant", "10/12/2026"), order=DAY_FIRST)
    assert edits(back, "cohort") == [("set", ("A3",), ("replanned", "transplant"), date(2026, 12, 10))]
    assert "harvest" in {move.stage for move in back.proposal.stages}
    assert back.proposal.tasks


def test_a_recorded_date_is_never_written_over():
    back = back_of("cohorts", ("A1", "recorded transplant", "2026-10-13"), ("A1", "recorded sticking", "-"))
    assert back.proposal.change.edits == ()
    assert [(p.line, p.record, p.field, p.cell) for p in back.passed] == [
        (2, "A1", "recorded sticking", "-"),
        (2, "A1", "recorded transplant", "2026-10-13"),
    ]
    assert any("11 Oct 2026 is recorded and stays" in note for note in back.proposal.notes)


def test_a_planned_date_of_what_has_happened_is_passed_over():
    back = back_of("cohorts", ("A1", "planned transplant", "2026-10-20"))
    assert back.proposal.change.edits == ()
    assert "so it is not planned again" in back.passed[0].why


def test_a_date_that_is_recorded_newly_ticks_its_work_as_the_command_does():
    start = kept()
    rows = set_cell(rows_of(exported(start.held, "cohorts")), "A3", "recorded transplant", "2026-12-07")
    back = taken(start.held, text_of(set_cell(rows, "A3", "plants", "105")))
    assert ("set", ("A3",), ("recorded", "transplant"), date(2026, 12, 7)) in edits(back, "cohort")
    assert ("set", ("A3",), ("plants",), 105) in edits(back, "cohort")
    assert "done" in [value for _, _, field, value in edits(back, "task") if field == ("state",)]
    after = start.saved(back.proposal)
    assert after.held.plan.season.cohorts["A3"].recorded["transplant"] == date(2026, 12, 7)
    assert after.in_step
    assert any("lights off of A3 stays" in note for note in back.proposal.notes)


def test_what_is_planned_and_what_is_recorded_at_once_is_told_together():
    """Each against the season as it was, though the one is laid out upon the other."""
    alone = back_of("cohorts", ("A4", "planned transplant", "2027-01-28"))
    back = back_of(
        "cohorts", ("A4", "planned transplant", "2027-01-28"), ("A3", "recorded transplant", "2026-12-07")
    )
    moved = {(m.cohort, m.stage): (m.old, m.new) for m in back.proposal.stages}
    assert {"A3", "A4"} <= {cohort for cohort, _ in moved}
    for move in filter(is_moved, alone.proposal.stages):
        assert moved[move.cohort, move.stage][0] == move.old
    assert {m.task.id for m in alone.proposal.tasks if m.old} <= {m.task.id for m in back.proposal.tasks}
    assert back.proposal.cohorts == ("A4", "A3")


def test_a_date_that_is_to_come_is_not_recorded():
    assert refusal("cohorts", ("A3", "recorded transplant", "2026-12-10")).startswith(
        'x.csv:4, recorded transplant: "2026-12-10": 10 Dec 2026 is after today'
    )


def test_a_dash_takes_a_value_out_and_an_empty_cell_leaves_it():
    back = back_of("cohorts", ("A1", "note", "-"), ("A2", "note", ""), ("A2", "plants", "  "))
    assert edits(back, "cohort") == [("unset", ("A1",), ("note",), None)]


def test_a_line_that_is_not_there_leaves_its_record_alone():
    held = example("two-rivers")
    rows = rows_of(exported(held, "cohorts"))
    assert taken(held, text_of(rows[:3])).proposal.change.edits == ()


def test_a_new_id_with_enough_cells_is_a_new_cohort():
    start = kept()
    rows = rows_of(exported(start.held, "cohorts"))
    for head, value in (
        ("variety", "Amber"),
        ("start", "seed"),
        ("nursery", "N1"),
        ("place", "H2"),
        ("plants", "80"),
        ("planned seeding", "13 Jan 2027"),
    ):
        rows = set_cell(rows, "Z9", head, value)
    back = taken(start.held, text_of(rows))
    assert back.new == ("Z9",)
    after = start.saved(back.proposal)
    made = after.held.plan.season.cohorts["Z9"]
    assert (made.variety, made.plants, made.planned) == ("amber", 80, {"seeding": date(2027, 1, 13)})
    assert after.in_step


def test_a_new_id_with_too_few_cells_is_told_with_what_it_lacks():
    said = refusal("cohorts", ("A11", "plants", "80"))
    assert said.startswith(
        'x.csv:13, id: there is no cohort "A11"; did you mean "A1"?; a new one needs variety, start, place'
    )


def test_ids_are_known_in_any_case_of_letters():
    held = example("two-rivers")
    rows = [["ID", "Plants"], ["a1", "99"]]
    assert edits(taken(held, text_of(rows), "cohorts"), "cohort") == [("set", ("A1",), ("plants",), 99)]


def test_another_place_takes_the_part_that_stands_beside_it():
    text = re.sub(r'^id = "(H[123])"$', r'id = "\1"\nscreened = ["east", "west"]', TEXT, flags=re.M)
    text = re.sub(r'^place = "(H[123])"$', r'place = "\1"\npart = "east"', text, flags=re.M)
    held = kept(text).held
    back = taken(held, text_of(set_cell(rows_of(exported(held, "cohorts")), "A3", "place", "H2")))
    assert edits(back, "cohort") == [("set", ("A3",), ("place",), "H2")]


def test_the_number_of_a_day_is_the_date_that_the_standard_has_for_it():
    """ECMA-376 part 1, 18.17.4.1 (read in a copy of it)."""
    cell = day_cell("38749")
    assert cell.text == "2006-02-01"
    assert "38749 is read as 1 Feb 2006" in cell.note


# --- what cannot be


@pytest.mark.parametrize(
    ("name", "change", "said"),
    [
        ("cohorts", ("A1", "plants", "many"), 'x.csv:2, plants: "many": write a whole number'),
        ("cohorts", ("A1", "plants", "1,200"), 'x.csv:2, plants: "1,200": it may be 1200 or 1.200'),
        ("cohorts", ("A1", "plants", "12.5"), 'x.csv:2, plants: "12.5": write a whole number'),
        ("cohorts", ("A1", "plants", "#REF!"), 'x.csv:2, plants: "#REF!": write a whole number'),
        (
            "cohorts",
            ("A1", "variety", "ambre"),
            'x.csv:2, variety: "ambre" is not a variety of this season; did you mean "amber"?',
        ),
        ("cohorts", ("A3", "planned transplant", "4/12/2027"), "x.csv:4, planned transplant: "),
        ("cohorts", ("A3", "planned transplant", "Dec-26"), "x.csv:4, planned transplant: "),
        ("cohorts", ("A1", "start", "-"), 'x.csv:2, start: "none": it is needed'),
        ("places", ("H1", "area", "a lot"), 'x.csv:3, area (m2): "a lot": '),
        ("tasks", ("zzzz", "note", "x"), 'x.csv:360, id: there is no task "zzzz"'),
        ("samples", ("ZZZZZZ", "note", "x"), 'x.csv:13, id: there is no sample "ZZZZZZ"'),
    ],
)
def test_a_cell_that_cannot_be_is_told_with_its_line_and_column(name, change, said):
    assert refusal(name, change).startswith(said)


def test_a_point_before_three_figures_may_stand_between_thousands_where_commas_are_decimals():
    held = example("two-rivers")
    with pytest.raises(Refusal, match=r'"1\.200": it may be 1200 or 1\.200'):
        taken(held, "id;kind;area (m2)\nH1;;1.200\n", "places")
    assert edits(taken(held, "id,kind,area (m2)\nH1,,1.250\n", "places"), "place") == [
        ("set", ("H1",), ("area_m2",), 1.25)
    ]


@pytest.mark.parametrize(
    ("cell", "text", "same"),
    [
        (".5", "0.5", True),
        (",50", "0.5", True),
        ("12", "12.0", True),
        ("7", "007", True),
        ("0,5", "0.6", False),
        ("2,5", "1,5", False),
        ("1,50", "1,5", False),
    ],
)
def test_a_number_may_lose_its_noughts_and_a_text_with_a_comma_is_no_number(cell, text, same):
    assert is_as_written(cell, text) is same


def test_a_date_that_may_be_two_is_refused_with_both():
    said = refusal("cohorts", ("A3", "planned transplant", "4/12/2026"))
    assert "12 Apr 2026 or 4 Dec 2026" in said or "4 Dec 2026 or 12 Apr 2026" in said


def test_all_wrong_cells_are_told_and_nothing_is_taken():
    said = refusal("cohorts", ("A1", "plants", "x"), ("A2", "plants", "y"), ("A3", "spacing", "z"))
    assert [line.partition(": ")[0] for line in said.splitlines()] == [
        "x.csv:2, plants",
        "x.csv:3, plants",
        "x.csv:4, spacing (m)",
    ]


def test_an_id_that_stands_twice_is_refused():
    held = example("two-rivers")
    with pytest.raises(Refusal, match=r'x\.csv:3, id: "A1" stands in line 2 too'):
        taken(held, "id,plants,variety\nA1,90,\na1,91,\n", "cohorts")


def test_what_does_not_fit_the_season_is_told_by_its_line():
    """Found by the checks of the season as a whole, after every cell read well."""
    said = refusal("cohorts", ("A3", "planned transplant", "2026-10-01"))
    assert said.startswith("x.csv:4, planned transplant: ")
