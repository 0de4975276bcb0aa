"""A trial's sheet: written in walking order, printed, and taken in again by the ids of its plots."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from observed_season import TODAY, book, observe, season, sheet, take, there
from small_season import run

__all__ = ["season"]


def test_a_sheet_stands_in_walking_order_without_guards_and_lost_plots(season):
    observe(season, "201", "height", "70.5", "--yes")
    rows = sheet(season)
    assert rows[0] == [
        "plot",
        "plant",
        "number",
        "block",
        "row",
        "column",
        "treatment",
        "date",
        "height (cm)",
        "stand",
    ]
    assert [row[0] for row in rows[1:]] == ["K1-101", "K1-102", "K1-201"]
    assert rows[3] == ["K1-201", "", "201", "2", "2", "2", "mulch", "2027-01-20", "70.5", ""]


def test_a_sheet_has_a_line_for_each_plant_that_is_measured(season):
    book(season, "K1", "--csv", "sheet.csv", "--variables", "stem", "--yes")
    rows = list(csv.reader(io.StringIO(Path("sheet.csv").read_text(encoding="utf-8-sig"))))
    assert [(row[0], row[1]) for row in rows[1:4]] == [("K1-101", "1"), ("K1-101", "2"), ("K1-102", "1")]


def test_the_filled_sheet_comes_back_as_one_change_with_new_changed_and_same(season):
    observe(season, "101", "height", "84.5", "--yes")
    observe(season, "102", "height", "80", "--yes")
    rows = sheet(season, K1_101_height="85", K1_201_height="77,5", K1_101_stand="35", K1_201_stand=".")
    ran = take(season, rows, typed="y\n")
    assert "Observations: 3 new, 1 changed, 1 same" in ran.out
    assert "Saved: K1: 5 observations from filled.csv" in ran.out
    assert sorted(there(season)) == [
        ("2027-01-20", "K1-101", "height", "85"),
        ("2027-01-20", "K1-101", "stand", "35"),
        ("2027-01-20", "K1-102", "height", "80"),
        ("2027-01-20", "K1-201", "height", "77.5"),
        ("2027-01-20", "K1-201", "stand", "not looked"),
    ]
    run("undo", season, "--yes", today=TODAY)
    assert len(there(season)) == 2


def test_a_sheet_sorted_otherwise_brings_the_same(season):
    rows = sheet(season, K1_101_height="85", K1_201_height="70")
    take(season, [rows[0], *reversed(rows[1:])], "--yes")
    assert {(at, value) for _, at, _, value in there(season)} == {("K1-101", "85"), ("K1-201", "70")}


def test_a_blank_cell_leaves_what_is_recorded_and_is_told(season):
    observe(season, "101", "height", "84.5", "--yes")
    ran = take(season, sheet(season, K1_101_height="", K1_102_height="80"), "--yes")
    assert "1 cell blank in the sheet, where a value is recorded, which stays" in ran.out
    assert len(there(season)) == 2


def test_every_cell_that_cannot_be_is_told_with_its_line_and_nothing_is_saved(season):
    rows = sheet(season, K1_101_height="tall", K1_102_height="1,200", K1_201_stand="3.5")
    rows.append(["K2-101", *rows[3][1:]])
    rows.append(["K1-g", "", "", "", "", "", "", "2027-01-20", "5", ""])
    ran = take(season, rows, "--yes")
    assert ran.status != 0
    for wrong in (
        'filled.csv:2: K1-101 height: "tall" is no number',
        "filled.csv:3: 1,200 may be 1200 or 1.200; write it so",
        'filled.csv:4: K1-201 stand: "3.5" is no count; write a whole number, 0 for none',
        "filled.csv:5: plot K2-101 is of trial K2, and this sheet is taken in for K1",
        "filled.csv:6: plot K1-g is a guard, which is never measured",
    ):
        assert wrong in ran.err
    assert there(season) == []


@pytest.mark.parametrize(
    ("head", "wrong"),
    [
        ("height", 'column "height" has no unit; it would be height (cm)'),
        ("height (m)", 'column "height (m)" is in m; it would be height (cm)'),
        ("hight (cm)", 'column "hight (cm)" is no variable of this season; did you mean "height"?'),
    ],
)
def test_a_column_without_its_unit_or_with_another_is_refused(season, head, wrong):
    rows = sheet(season, K1_101_height="85")
    rows[0][8] = head
    ran = take(season, rows, "--yes")
    assert wrong in ran.err
    assert there(season) == []


def test_a_value_that_stands_twice_in_a_sheet_with_two_values_is_refused(season):
    rows = sheet(season, K1_101_height="85")
    ran = take(season, [*rows, [*rows[1][:8], "86", ""]], "--yes")
    said = "K1-101 height stands twice for 2027-01-20: 85 in filled.csv:2 and 86 here; keep one"
    assert f"filled.csv:5: {said}" in ran.err
    assert there(season) == []


def test_rows_in_any_order_come_to_the_same_season(season):
    rows = sheet(season, K1_101_height="85", K1_102_height="86", K1_201_height=".")
    take(season, rows, "--yes")
    first, before = there(season), season.read_bytes()
    ran = take(season, [rows[0], *reversed(rows[1:])], "--yes")
    assert there(season) == first
    assert season.read_bytes() == before, ran.out


def test_the_printed_sheet_has_units_in_its_heads_and_room_to_write(season):
    assert book(season, "K1", "--html", "sheet.html", "--variables", "height,flowers").status == 0
    page = Path("sheet.html").read_text(encoding="utf-8")
    assert page.index("height (cm)") < page.index(">101<") < page.index(">102<") < page.index(">201<")
    assert ">202<" not in page
    assert "first open pistils at the tip of half the plants" in page
    assert "what is left blank is missing, never zero" in page


def test_a_formula_in_a_sheet_is_taken_as_text_and_written_as_text(season):
    ran = take(season, sheet(season, K1_101_height="=1+1"), "--yes")
    assert '"=1+1" is no number' in ran.err


def test_a_date_in_a_sheet_that_may_be_two_is_refused_with_its_line(season):
    rows = sheet(season, K1_101_height="85")
    rows[1][7] = "8/12"
    ran = take(season, rows, "--yes")
    assert ran.status != 0
    assert 'filled.csv:2: "8/12" is ' in ran.err
    rows[1][7] = "2027-01-21"
    assert "filled.csv:2: 2027-01-21 is after today, 2027-01-20" in take(season, rows, "--yes").err
