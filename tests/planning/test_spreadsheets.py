"""Tables that go to a spreadsheet and come back: what did not change changes nothing, what did is exactly that, in whatever way it was saved."""

from __future__ import annotations

import csv
import re
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calendar_tui.planning.spreadsheets.sheets import SHEETS
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.typed_dates import DAY_FIRST, MONTH_FIRST
from tests.planning.kept_farm import TEXT, kept
from tests.planning.spread import (
    DAYS,
    FIGURE,
    ISO,
    cells,
    example,
    exported,
    rows_of,
    set_cell,
    taken,
    text_of,
)

# Office programs count the days of a date from here (checked against a known pair: 1 Jan 2026 is 46023).
DAY_0 = date(1899, 12, 30)


def serial(cell: str) -> str:
    return (
        ISO.sub(lambda d: str((date(*map(int, d.groups())) - DAY_0).days), cell)
        if ISO.fullmatch(cell)
        else cell
    )


# How spreadsheets save what they were given: the cells as they show them, and how the text is then written.
SAVED = {
    "as it was": ("", lambda c: c, {}),
    "everything quoted": ("", lambda c: c, {"quoting": csv.QUOTE_ALL}),
    "with tabs": ("", lambda c: c, {"separator": "\t"}),
    "in German": (
        DAY_FIRST,
        lambda c: (
            FIGURE.sub(r"\1,\2", c)
            if FIGURE.fullmatch(c)
            else ISO.sub(r"\3.\2.\1", c)
            if ISO.fullmatch(c)
            else c
        ),
        {"separator": ";"},
    ),
    "in Uruguay": (
        DAY_FIRST,
        lambda c: ISO.sub(r"\3/\2/\1", c) if ISO.fullmatch(c) else c,
        {"separator": ";"},
    ),
    "in the United States": (MONTH_FIRST, lambda c: ISO.sub(r"\2/\3/\1", c) if ISO.fullmatch(c) else c, {}),
    "as numbers of days": ("", serial, {}),
    "with midnight": ("", lambda c: f"{c} 00:00:00" if ISO.fullmatch(c) else c, {}),
    "with seconds": ("", lambda c: f"{c}:00" if len(c) == 5 and c[2] == ":" else c, {}),
    "with decimals": ("", lambda c: f"{c}.0" if c.isdecimal() else c, {}),
    "with blanks": ("", lambda c: f" {c} " if c else c, {}),
}


@pytest.mark.parametrize("season", DAYS)
@pytest.mark.parametrize("name", SHEETS)
def test_what_is_exported_and_taken_in_changes_nothing(season, name):
    held = example(season)
    back = taken(held, exported(held, name))
    assert back.proposal.change.edits == ()
    assert (back.cells, back.passed, back.new) == ((), (), ())
    assert back.kind == name
    assert back.same == len(rows_of(exported(held, name))) - 1


@pytest.mark.parametrize("way", SAVED)
@pytest.mark.parametrize(
    "name", ["cohorts", "places", "varieties", "chores", "observations", "tasks", "plots"]
)
def test_what_a_spreadsheet_saved_in_its_own_way_changes_nothing(way, name):
    order, change, how = SAVED[way]
    held = example("bright-weir" if name in ("observations", "plots") else "two-rivers")
    rows = rows_of(exported(held, name))
    if way == "with decimals":  # pandas does so with a column of figures in which one is missing
        rows = [rows[0], *([row[0], *map(change, row[1:])] for row in rows[1:])]
    else:
        rows = cells(rows, change)
    back = taken(held, text_of(rows, **how), order=order)
    assert (back.cells, back.proposal.change.edits) == ((), ())


@settings(max_examples=15)
@given(st.randoms(use_true_random=False), st.sampled_from(["cohorts", "places", "chores", "tasks"]))
def test_lines_and_columns_may_stand_in_any_order(random, name):
    held = example("two-rivers")
    rows = rows_of(exported(held, name))
    below = rows[1:]
    random.shuffle(below)
    order = list(range(len(rows[0])))
    random.shuffle(order)
    back = taken(held, text_of([[row[n] for n in order] for row in (rows[0], *below)]))
    assert (back.kind, back.proposal.change.edits, back.passed) == (name, (), ())


COHORTS = ["A1", "A2", "A3", "B1", "B3", "T2", "D1"]
WORDS = st.text(st.characters(whitelist_categories=("L", "N", "P", "S")), min_size=1, max_size=20).filter(
    lambda text: text not in ("-", "none") and not text.startswith("'")
)
# By the head of a column: cells that it may get, and what the season then has.
NEW_CELLS = {
    "plants": st.integers(1, 400).map(lambda n: (str(n), n)),
    "spacing": st.tuples(st.integers(5, 20), st.integers(5, 20)).map(
        lambda two: (f"{two[0] / 10}x{two[1] / 10}".replace(".", ","), [two[0] / 10, two[1] / 10])
    ),
    "harvest by": st.integers(0, 90).map(
        lambda n: (str((date(2027, 2, 1) + timedelta(n) - DAY_0).days), date(2027, 2, 1) + timedelta(n))
    ),
    "note": WORDS.map(lambda text: (f"'{text}" if text[0] in "=+-@＝＋－＠" else text, text)),
}
KEYS = {"plants": "plants", "spacing": "spacing_m", "harvest by": "harvest_by", "note": "note"}


@settings(max_examples=25)
@given(
    st.lists(
        st.tuples(st.sampled_from(COHORTS), st.sampled_from([*NEW_CELLS])),
        min_size=1,
        max_size=4,
        unique=True,
    ),
    st.data(),
)
def test_cells_that_are_changed_are_exactly_what_changes(where, data):
    start = kept()
    rows, wanted = rows_of(exported(start.held, "cohorts")), {}
    for cohort, head in where:
        cell, value = data.draw(NEW_CELLS[head])
        stood = start.held.record("cohort", (cohort,)).get(KEYS[head])
        rows = set_cell(rows, cohort, head, cell)
        if value != stood:
            wanted["cohort", (cohort,), (KEYS[head],)] = value
    back = taken(start.held, text_of(rows))
    edits = back.proposal.change.edits
    assert {(e.kind, e.ident, e.field): e.value for e in edits if e.kind == "cohort"} == wanted
    assert {e.kind for e in edits} <= {"cohort", "task"}
    assert len(back.cells) == len(wanted)
    if wanted:
        after = start.saved(back.proposal)
        again = taken(after.held, text_of(rows))
        assert again.proposal.change.edits == ()


# --- cohorts, cell by cell


def back_of(name: str, *changes: tuple[str, str, str], season: str = "two-rivers", order: str = ""):
    held = example(season)
    rows = rows_of(exported(held, name))
    for record, head, value in changes:
        rows = set_cell(rows, record, head, value)
    return taken(held, text_of(rows), order=order)


def refusal(name: str, *changes: tuple[str, str, str], season: str = "two-rivers") -> str:
    with pytest.raises(Refusal) as refused:
        back_of(name, *changes, season=season)
    return str(refused.value)


def edits(back, kind: str) -> list[tuple[object, ...]]:
    return [(e.op, e.ident, e.field, e.value) for e in back.proposal.change.edits if e.kind == kind]


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


# --- which table it is


def test_columns_that_fit_two_kinds_are_told():
    with pytest.raises(Refusal, match=r"fit .* alike; add --kind"):
        taken(example("two-rivers"), "id,plants,note\nA1,90,\n")


def test_a_column_that_is_not_known_is_passed_over_with_the_nearest():
    back = taken(example("two-rivers"), "id,variety,plants,spacin,start\nA1,,99,1x1,\n")
    assert back.cells[0].field == "plants"
    assert any(
        'column "spacin" is passed over' in n and 'did you mean "spacing"?' in n for n in back.proposal.notes
    )


@pytest.mark.parametrize(
    "head", ["planned.transplant", "Planned transplant", "transplant", "planned_transplant"]
)
def test_a_column_goes_by_its_name_or_its_key(head):
    back = taken(example("two-rivers"), f"id,start,{head}\nA3,,2026-12-09\n", "cohorts")
    assert edits(back, "cohort") == [("set", ("A3",), ("replanned", "transplant"), date(2026, 12, 9))]


def test_a_column_in_another_unit_is_refused():
    with pytest.raises(Refusal, match=r'column "area \(ft2\)" is in ft2; it would be area \(m2\)'):
        taken(example("two-rivers"), "id,kind,area (ft2)\nH1,,1900\n", "places")


@pytest.mark.parametrize(
    ("heads", "said"),
    [
        ("cohort,variety,place,plants,stage,n,earliest,likely,latest", "table of dates"),
        ("cohort,variety,item,of,count,unit", "table of quantities"),
        ("plot,plant,number,block,row,column,treatment,date,height (cm)", "sheet of a field book"),
        ("a,b,c", "no column id"),
    ],
)
def test_other_tables_are_told_what_takes_them(heads, said):
    with pytest.raises(Refusal, match=said):
        taken(example("two-rivers"), f"{heads}\n{',' * heads.count(',')}x\n")


# --- the other kinds


def test_lamps_figures_and_chores_are_taken_by_their_columns():
    back = back_of("places", ("H1", "lit day", "16:30"), ("H1", "lamp power", "1,2"))
    assert edits(back, "place") == [
        ("set", ("H1",), ("lamps", "target_h"), 16.5),
        ("set", ("H1",), ("lamps", "kw"), 1.2),
    ]
    back = back_of("varieties", ("amber", "flowering to harvest", "40, 46, 55"))
    assert ("set", ("amber",), ("flowering_to_harvest_d",), [40, 46, 55]) in edits(back, "variety")
    back = back_of("chores", ("seed-trays", "hours", "0,5"))
    assert ("set", ("seed-trays",), ("hours",), 0.5) in edits(back, "chore")


def test_what_a_laboratory_found_stays_and_what_is_empty_is_filled():
    result = example("two-rivers").records("result")[0]["id"]
    back = back_of("results", (result, "amount of THC", "0.9"), (result, "note", "read again"))
    assert edits(back, "result") == [("set", (result,), ("note",), "read again")]
    assert [p.field for p in back.passed] == ["amount of THC"]


def open_task(held, **more):
    """An open task that records nothing when it is done."""
    season = held.plan.season
    return next(
        t for t in season.tasks if t.state == "open" and t.chore and not season.chores[t.chore].records
    )


def test_a_task_is_moved_noted_ticked_and_skipped_by_its_cells():
    start = kept()
    season = start.held.plan.season
    plain = [t for t in season.tasks if t.state == "open" and t.chore and not season.chores[t.chore].records]
    moved, ticked, skipped, noted = plain[:4]
    rows = rows_of(exported(start.held, "tasks"))
    for record, head, value in (
        (moved.id, "date", "2027-01-05"),
        (ticked.id, "done_on", "2026-12-07"),
        (ticked.id, "spent", "3,5"),
        (ticked.id, "fact", "118 alive"),
        (skipped.id, "state", "skipped"),
        (noted.id, "note", "two trays short"),
        (noted.id, "what", "Something else"),
    ):
        rows = set_cell(rows, record, head, value)
    back = taken(start.held, text_of(rows))
    after = {t.id: t for t in start.saved(back.proposal).held.plan.season.tasks}
    assert (after[moved.id].date, after[moved.id].moved) == (date(2027, 1, 5), True)
    done = after[ticked.id]
    assert (done.state, done.done_on, done.spent, done.fact) == ("done", date(2026, 12, 7), 3.5, "118 alive")
    assert after[skipped.id].state == "skipped"
    assert after[noted.id].note == "two trays short"
    assert [(p.record, p.field) for p in back.passed] == [(noted.id, "what")]
    again = taken(start.saved(back.proposal).held, text_of(rows))
    assert again.proposal.change.edits == ()


def test_what_is_done_stays():
    held = example("two-rivers")
    done = next(t for t in held.plan.season.tasks if t.state == "done" and not t.fact)
    back = back_of(
        "tasks", (done.id, "state", "open"), (done.id, "date", "2027-01-05"), (done.id, "fact", "118 alive")
    )
    assert edits(back, "task") == [("set", (done.id,), ("fact",), "118 alive")]
    assert {p.field for p in back.passed} == {"state", "date"}


def test_a_task_that_is_the_work_of_a_stage_records_it():
    start = kept()
    season = start.held.plan.season
    task = next(
        t
        for t in season.tasks
        if t.state == "open" and t.chore and season.chores[t.chore].records == "transplant"
    )
    rows = set_cell(rows_of(exported(start.held, "tasks")), task.id, "state", "done")
    back = taken(start.held, text_of(rows))
    after = start.saved(back.proposal)
    assert after.held.plan.season.cohorts[task.cohort].recorded["transplant"] == start.held.plan.today
    assert after.in_step


def test_observations_are_new_corrected_and_taken_out():
    held = example("bright-weir")
    season = held.plan.season
    number = next(
        n for n, o in enumerate(season.observations) if season.variables[o.variable].scale == "number"
    )
    first, second, third = season.observations[number : number + 3]
    rows = rows_of(exported(held, "observations"))
    assert rows[number + 1][:3] == [first.date.isoformat(), first.at, first.variable]
    rows[number + 1][3], rows[number + 2][3], rows[number + 3][5] = "99,5", "-", "Ana"
    at = next(p.id for p in season.plots.values() if p.trial == season.plots[first.unit].trial and not p.lost)
    rows.append([held.plan.today.isoformat(), at, first.variable, "71", "", "Ana", "windy"])
    back = taken(held, text_of(rows))
    assert edits(back, "observation") == [
        ("set", (first.date, first.at, first.variable), ("value",), "99.5"),
        ("remove", (second.date, second.at, second.variable), (), None),
        (
            "add",
            (held.plan.today, at, first.variable),
            (),
            {
                "date": held.plan.today,
                "at": at,
                "variable": first.variable,
                "value": "71",
                "who": "Ana",
                "note": "windy",
            },
        ),
        ("set", (third.date, third.at, third.variable), ("who",), "Ana"),
    ]


@pytest.mark.parametrize(
    ("row", "said"),
    [
        (["2026-06-20", "{at}", "{variable}", "7", "", "", ""], "is after today"),
        (["2026-06-09", "{at}", "heigth", "7", "", "", ""], "is not a variable"),
        (["2026-06-09", "{at}", "{variable}", "tall", "", "", ""], "value"),
        (["2026-06-09", "nowhere", "{variable}", "7", "", "", ""], "nowhere"),
        (["2026-06-09", "{at}", "{variable}", "7", "acres", "", ""], "is not the unit"),
        (["9/6/2026", "{at}", "{variable}", "7", "", "", ""], "9 Jun 2026"),
    ],
)
def test_an_observation_that_cannot_be_is_told(row, said):
    held = example("bright-weir")
    first = held.plan.season.observations[0]
    rows = [
        rows_of(exported(held, "observations"))[0],
        [c.format(at=first.at, variable=first.variable) for c in row],
    ]
    with pytest.raises(Refusal, match=said) as refused:
        taken(held, text_of(rows))
    assert str(refused.value).startswith("x.csv:2, ")
