"""Which records a table holds is read from its columns; places, varieties, chores, results, tasks and observations taken in."""

from __future__ import annotations

from datetime import date

import pytest

from calendar_tui.season.refusal import Refusal
from tests.planning.kept_farm import kept
from tests.planning.spread import (
    back_of,
    edits,
    example,
    exported,
    rows_of,
    set_cell,
    taken,
    text_of,
)


def test_columns_that_fit_two_kinds_are_told():
    with pytest.raises(Refusal, match=r"fit .* alike; add --kind"):
        taken(example("two-rivers"), "id,plants,note\nZ9,90,\n")


def test_columns_that_fit_two_kinds_go_by_the_ids_of_one():
    back = taken(example("two-rivers"), "id,plants,note\nA1,90,\n")
    assert edits(back, "cohort") == [("set", ("A1",), ("plants",), 90)]


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
        ("place,night,state,on_local,off_local,on_utc,off_utc", "table of lamps"),
        ("a,b,c", "no column id"),
    ],
)
def test_other_tables_are_told_what_takes_them(heads, said):
    with pytest.raises(Refusal, match=said):
        taken(example("two-rivers"), f"{heads}\n{',' * heads.count(',')}x\n")


@pytest.mark.parametrize(
    ("kind", "heads", "lacking"),
    [
        ("cohorts", "variety,plants", "column id"),
        ("tasks", "what,hours", "column id"),
        ("observations", "date,value", "column at, no column variable"),
    ],
)
def test_a_kind_that_is_said_needs_the_columns_that_tell_its_lines_apart(kind, heads, lacking):
    with pytest.raises(Refusal, match=f"^x.csv has no {lacking}, by which lines of {kind} are told apart$"):
        taken(example("two-rivers"), f"{heads}\na,3\n", kind)


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
