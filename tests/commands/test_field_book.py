"""The field book by command: values typed, a trial's sheet written and taken in, what is due, missing, risen and counted."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest
from small_season import PLAIN, run

from tests.season_data import data_of

TODAY = "2027-01-20"
TRIALS = """
[[trial]]
id = "K1"
design = "blocks"
factors = { soil = ["bare", "mulch", "straw"] }
blocks = 2
place = "F1"

[[trial]]
id = "K2"
design = "blocks"
factors = { soil = ["bare", "mulch"] }
place = "F1"

[[variable]]
id = "height"
unit = "cm"
low = 0
high = 400

[[variable]]
id = "stem"
unit = "mm"
per = "plant"
plants = 2

[[variable]]
id = "stand"
unit = "1"
scale = "count"
planned = "plants"

[[variable]]
id = "flowers"
unit = "%"
scale = "share"
stage = "flowering"
definition = "first open pistils at the tip of half the plants"

[[chore]]
id = "measure"
what = "Measure plots"
stage = "sticking"
offset_d = 59
repeat = "FREQ=WEEKLY;COUNT=3"
until = "harvest"
starts = ["cutting"]
observe = ["height", "stand"]

[records]
task = [
  { id = "m1", date = 2027-01-11, what = "Measure plots", chore = "measure", cohort = "B1", n = 1 },
  { id = "m2", date = 2027-01-18, what = "Measure plots", chore = "measure", cohort = "B1", n = 2 },
]
plot = [
  { id = "K1-101", trial = "K1", number = 101, block = 1, row = 1, column = 1, treatment = { soil = "bare" }, cohort = "B1", place = "F1", plants = 36 },
  { id = "K1-102", trial = "K1", number = 102, block = 1, row = 1, column = 2, treatment = { soil = "straw" }, cohort = "B1", place = "F1", plants = 36 },
  { id = "K1-202", trial = "K1", number = 202, block = 2, row = 2, column = 1, treatment = { soil = "bare" }, cohort = "B1", place = "F1", lost = 2027-01-15, why = "deer" },
  { id = "K1-201", trial = "K1", number = 201, block = 2, row = 2, column = 2, treatment = { soil = "mulch" }, cohort = "B1", place = "F1" },
  { id = "K1-g", trial = "K1", row = 3, column = 1, entry = "guard", place = "F1" },
  { id = "K2-101", trial = "K2", number = 301, row = 9, column = 1, treatment = { soil = "bare" }, place = "F1" },
]
"""


@pytest.fixture
def season(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "near-fields.toml"
    path.write_text(PLAIN.replace("format = 3", "format = 3") + TRIALS, encoding="utf-8")
    return path


def observe(path, *words, typed="", today=TODAY):
    return run("observe", path, *words, today=today, typed=typed)


def book(path, *words, typed="", today=TODAY):
    return run("field-book", path, *words, today=today, typed=typed)


def there(path):
    rows = data_of(path.read_text()).get("observation", [])
    return [
        (str(row["date"]), row["at"], row["variable"], row.get("value", row.get("state"))) for row in rows
    ]


def sheet(path, **cells):
    """A sheet of the trial, its cells by plot and variable filled in: K1_101_height="84.5"."""
    assert book(path, "K1", "--csv", "sheet.csv", "--variables", "height,stand", "--yes").status == 0
    rows = list(csv.reader(io.StringIO(Path("sheet.csv").read_text(encoding="utf-8-sig"))))
    heads = [head.partition(" (")[0] for head in rows[0]]
    for name, value in cells.items():
        *plot, variable = name.split("_")
        row = next(row for row in rows if row[0] == "-".join(plot))
        row[heads.index(variable)] = value
    return rows


def take(path, rows, *words, typed=""):
    text = "\n".join(",".join(f'"{cell}"' for cell in row) for row in rows)
    Path("filled.csv").write_text(text, encoding="utf-8")
    return book(path, "K1", "--take", "filled.csv", *words, typed=typed)


def test_a_value_is_saved_as_it_is_typed_with_its_day_and_who_looked(season):
    ran = observe(season, "k1-101", "height", "84.50", "--who", "Ana", "--yes")
    assert (ran.status, ran.err) == (0, "")
    assert "K1-101 height 20 Jan: 84.50 cm" in ran.out
    assert (
        '{ date = 2027-01-20, at = "K1-101", variable = "height", value = "84.50", who = "Ana" },'
        in season.read_text()
    )


def test_a_value_changed_is_shown_with_what_stood_there_and_one_change_takes_it_back(season):
    observe(season, "101", "height", "84.5", "--yes")
    ran = observe(season, "101", "height", "86 cm", "--yes")
    assert "84.5 cm -> 86 cm" in ran.out
    assert there(season) == [("2027-01-20", "K1-101", "height", "86")]
    run("undo", season, "--yes", today=TODAY)
    assert there(season) == [("2027-01-20", "K1-101", "height", "84.5")]


def test_a_dot_is_not_looked_and_missing_takes_a_value_out_and_neither_is_zero(season):
    observe(season, "101", "height", "0", "--yes")
    assert there(season)[0][3] == "0"
    observe(season, "101", "height", ".", "--yes")
    assert there(season) == [("2027-01-20", "K1-101", "height", "not looked")]
    assert "value" not in data_of(season.read_text())["observation"][0]
    assert "-> missing" in observe(season, "101", "height", "missing", "--yes").out
    assert there(season) == []


def test_a_value_out_of_range_is_asked_back(season):
    ran = observe(season, "101", "height", "840", typed="n\n")
    assert "K1-101 height: 840 cm is over 400 cm; is that right?" in ran.out
    assert "Save all the same? [y/N]" in ran.out + ran.err
    assert there(season) == []


@pytest.mark.parametrize(
    ("words", "wrong"),
    [
        (("K1-101", "height", "8.4", "m"), 'height is in cm, and "8.4 m" is in m; write it in cm'),
        (("K1-101", "height", "tall"), 'K1-101 height: "tall" is no number'),
        (("K1-101", "hight", "8"), 'did you mean "height"?'),
        (("K1-g", "height", "8"), "plot K1-g is a guard, which is never measured"),
        (
            ("K1-202", "height", "8"),
            "plot K1-202 is lost from Fri 15 Jan 2027 on (deer), and nothing of it counts",
        ),
        (
            ("K9-101", "height", "8"),
            '"K9-101" is neither a plot nor a cohort of this season; did you mean "K2-101"?',
        ),
        (("K1-101", "stem", "8"), "stem is of each plant; name the plant behind K1-101, such as K1-101 1"),
        (("K1-101", "height"), "give a plot or cohort, a variable and its value"),
        (("K1-101", "height", "8", "--date", "2027-01-21"), "--date 2027-01-21 is after today, 2027-01-20"),
    ],
)
def test_what_cannot_be_is_refused_with_what_would_be_right(season, words, wrong):
    before = season.read_text()
    ran = observe(season, *words, "--yes")
    assert ran.status != 0
    assert wrong in ran.err
    assert season.read_text() == before


def test_what_was_measured_before_a_plot_was_lost_is_taken(season):
    assert observe(season, "K1-202", "height", "60", "--date", "2027-01-14", "--yes").status == 0


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
    assert "1 cell blank in the sheet, where a value is recorded, which stays" in ran.err
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
    assert "K1-101 height stands twice for 2027-01-20, with two values; keep one" in ran.err


def test_the_book_has_what_is_due_this_week_and_what_is_missing_from_before(season):
    observe(season, "101", "height", "84.5", "--yes")
    observe(season, "102", "height", "84.5", "--date", "2027-01-12", "--yes")
    out = book(season).out
    due, late = out.split("Missing from before")
    assert "18 Jan  height (cm): 1 of 3; missing K1-102, K1-201" in due
    assert "18 Jan  stand: 0 of 3; missing K1-101, K1-102, K1-201" in due
    assert "11 Jan  height (cm): 1 of 4; missing K1-101, K1-201, K1-202" in late.replace("\n    ", " ")


def test_shares_of_two_days_give_the_day_of_a_half_to_be_recorded(season):
    observe(season, "101", "flowers", "3/10", "--date", "2027-01-10", "--yes")
    observe(season, "101", "flowers", "7/10", "--date", "2027-01-16", "--yes")
    out = book(season).out
    assert (
        "B1 flowering: 13 Jan, 9 Jan to 17 Jan (95 %), from 10 Jan 3 of 10 and 16 Jan 7 of 10"
        in out.replace("\n    ", " ")
    )
    assert "calendar-tui record B1 flowering 2027-01-13" in out


def test_plots_of_a_cohort_are_taken_together_and_a_lost_one_is_not(season):
    observe(season, "101", "flowers", "1/10", "--date", "2027-01-14", "--yes")
    observe(season, "102", "flowers", "3/10", "--date", "2027-01-14", "--yes")
    (rise,) = json.loads(book(season, "--json").out)["rises"]
    assert rise["shares"] == [{"date": "2027-01-14", "share": 0.2, "of": 20}]
    assert (rise["half"], rise["not_yet"]) == (None, "2027-01-14")
    assert "calendar-tui record B1 flowering 2027-01-14 --not-yet" in book(season).out


def test_a_count_stands_beside_what_was_planned(season):
    observe(season, "101", "stand", "31", "--yes")
    assert "K1-101 stand: 31 of 36 on 20 Jan" in book(season).out
    (row,) = json.loads(book(season, "--json").out)["counts"]
    assert row == {"at": "K1-101", "variable": "stand", "planned": 36, "recorded": 31.0, "date": "2027-01-20"}


def test_the_printed_sheet_has_units_in_its_heads_and_room_to_write(season):
    assert book(season, "K1", "--html", "sheet.html", "--variables", "height,flowers").status == 0
    page = Path("sheet.html").read_text(encoding="utf-8")
    assert page.index("height (cm)") < page.index(">101<") < page.index(">102<") < page.index(">201<")
    assert ">202<" not in page
    assert "first open pistils at the tip of half the plants" in page
    assert "what is left blank is missing, never zero" in page


def test_a_season_without_variables_says_how_one_is_added(tmp_path):
    path = tmp_path / "near-fields.toml"
    path.write_text(PLAIN, encoding="utf-8")
    assert "calendar-tui add variable height unit cm" in book(path).out.replace("\n  ", " ")


def test_a_formula_in_a_sheet_is_taken_as_text_and_written_as_text(season):
    ran = take(season, sheet(season, K1_101_height="=1+1"), "--yes")
    assert '"=1+1" is no number' in ran.err


def test_what_two_people_observed_apart_comes_together(season, tmp_path):
    ours, theirs = tmp_path / "ours.toml", tmp_path / "theirs.toml"
    for side in (ours, theirs):
        side.write_bytes(season.read_bytes())
    observe(ours, "101", "height", "84", "--yes")
    observe(ours, "102", "height", "80", "--yes")
    observe(theirs, "102", "stand", "33", "--yes")
    assert run("merge", season, ours, theirs, today=TODAY).status == 0
    assert {row[1:] for row in there(ours)} == {
        ("K1-101", "height", "84"),
        ("K1-102", "height", "80"),
        ("K1-102", "stand", "33"),
    }


def test_a_value_that_two_people_recorded_otherwise_is_to_be_settled(season, tmp_path):
    ours, theirs = tmp_path / "ours.toml", tmp_path / "theirs.toml"
    for side in (ours, theirs):
        side.write_bytes(season.read_bytes())
    observe(ours, "101", "height", "84", "--yes")
    observe(theirs, "101", "height", "48", "--yes")
    ran = run("merge", season, ours, theirs, today=TODAY)
    assert ran.status == 1
    assert "K1-101 height" in ran.out + ran.err


def test_a_value_by_hand_that_cannot_be_is_found_by_check_with_its_line(season):
    season.write_text(
        season.read_text()
        + 'observation = [\n  { date = 2027-01-10, at = "K1-g", variable = "height", value = "8" },\n]\n',
        encoding="utf-8",
    )
    ran = run("check", season, today=TODAY)
    assert ran.status == 1
    assert "plot K1-g is a guard, which is never measured" in ran.out
