"""Tables that go to a spreadsheet and come back: what did not change changes nothing, what did is exactly that, in whatever way it was saved."""

from __future__ import annotations

import csv
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calendar_tui.planning.spreadsheets.sheets import SHEETS
from calendar_tui.season.typed_dates import DAY_FIRST, MONTH_FIRST
from calendar_tui.season.units_in_use import shown_in
from tests.example_days import EXAMPLE_DAYS
from tests.planning.kept_farm import kept
from tests.planning.spread import (
    FIGURE,
    ISO,
    back_of,
    cells,
    edits,
    example,
    exported,
    rows_of,
    set_cell,
    taken,
    text_of,
)

# Office programs count the days of a date from here: 1 Feb 2006 is 38749 (ECMA-376 part 1, 18.17.4.1, read in a copy of it).
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


@pytest.mark.quick(12)
@pytest.mark.parametrize("season", EXAMPLE_DAYS)
@pytest.mark.parametrize("name", SHEETS)
def test_what_is_exported_and_taken_in_changes_nothing(season, name):
    held = example(season)
    back = taken(held, exported(held, name))
    assert back.proposal.change.edits == ()
    assert (back.cells, back.passed, back.new) == ((), (), ())
    assert back.kind == name
    assert back.same == len(rows_of(exported(held, name))) - 1


@pytest.mark.parametrize("name", SHEETS)
def test_where_us_units_are_shown_a_table_is_metric_as_its_heads_say(name):
    held = example("two-rivers")
    metric = exported(held, name)
    with shown_in("us", "12"):
        assert exported(held, name) == metric
        back = taken(held, metric)
    assert (back.cells, back.proposal.change.edits) == ((), ())


@pytest.mark.parametrize(("cell", "area_m2"), [("190", 190), ("190,5", 190.5), ("2000 sq ft", 185.80608)])
def test_a_cell_without_a_unit_has_that_of_its_head(cell, area_m2):
    with shown_in("us"):
        back = back_of("places", ("H1", "area", cell))
    assert edits(back, "place") == [("set", ("H1",), ("area_m2",), area_m2)]


@pytest.mark.quick(20)
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


@pytest.mark.slow
@settings(max_examples=12)
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
