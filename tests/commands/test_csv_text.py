"""Tables as CSV row by row, byte for byte as another library writes the same rows, and without loading it."""

from __future__ import annotations

import csv
import io
from datetime import date
from pathlib import Path

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st
from test_program import modules_loaded

from calendar_tui.commands.table import COMMANDS
from calendar_tui.handing_on.tables.csv_text import spreadsheet_bytes, table_text
from calendar_tui.handing_on.tables.date_and_task_rows import DATE_COLUMNS, date_table_rows, task_table_rows
from calendar_tui.handing_on.tables.quantity_rows import COLUMNS, quantity_rows
from calendar_tui.planning.needs.sums import quantities
from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.spreadsheets.task_table import TASK_COLUMNS
from calendar_tui.season.harmless import harmless
from calendar_tui.storage.finding import example_files
from calendar_tui.storage.opening import need_season

TODAY = date(2026, 8, 3)
CELLS = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(),
    st.floats(allow_nan=False),
    st.dates(),
    st.text(st.characters(exclude_categories=["Cs"])),
)


def by_pandas(columns: tuple[str, ...], rows: list[dict[str, object]], line_end: str) -> str:
    """The rows as pandas writes them (its documentation, read: `DataFrame.to_csv`), each cell as the object that it is."""
    cells = [[harmless(row[c]) if isinstance(row[c], str) else row[c] for c in columns] for row in rows]
    return str(
        pd.DataFrame(cells, columns=list(columns), dtype=object).to_csv(index=False, lineterminator=line_end)
    )


@given(st.lists(st.fixed_dictionaries({"a": CELLS, "b": CELLS, "c": CELLS})), st.sampled_from(["\n", "\r\n"]))
def test_any_rows_are_written_as_pandas_writes_them(rows, line_end) -> None:
    assert table_text(("a", "b", "c"), rows, line_end) == by_pandas(("a", "b", "c"), rows, line_end)


@pytest.mark.parametrize("example", example_files(), ids=lambda path: path.stem)
def test_the_tables_of_an_example_are_those_that_pandas_writes(example: Path) -> None:
    opened, season = need_season(example)
    plan = make_plan(season, TODAY)
    tables = (
        (TASK_COLUMNS, task_table_rows(season)),
        (DATE_COLUMNS, date_table_rows(plan.timelines.values())),
        (COLUMNS, quantity_rows(quantities(plan, opened.data, [], False))),
    )
    for columns, rows in tables:
        assert len(rows) > 50
        text = table_text(columns, rows)
        assert text == by_pandas(columns, rows, "\r\n")
        assert len(list(csv.reader(io.StringIO(text, newline="")))) == len(rows) + 1


def test_a_row_that_lacks_a_column_is_no_table() -> None:
    with pytest.raises(KeyError):
        table_text(("a", "b"), [{"a": 1}])


def test_a_file_for_spreadsheets_begins_with_their_mark() -> None:
    assert spreadsheet_bytes("é") == b"\xef\xbb\xbf\xc3\xa9"


def test_a_missing_number_makes_no_fraction_of_a_whole_one() -> None:
    assert table_text(("growth_d",), [{"growth_d": 12}, {"growth_d": None}], "\n") == 'growth_d\n12\n""\n'


PRINTED = [name for name, command in COMMANDS.items() if command.all_flags().get("--csv", {}).get("action")]
WORDS = {"dates": (), "lamps": ("--nights",), "quantities": (), "response": ("amber", "H1")}


def test_every_command_that_prints_a_table_is_tried() -> None:
    assert {*PRINTED} == {*WORDS}


@pytest.mark.quick(2)
@pytest.mark.parametrize("words", [(name, "--csv", *words) for name, words in WORDS.items()])
def test_a_printed_table_needs_no_large_library(season: Path, words: tuple[str, ...]) -> None:
    assert modules_loaded(
        ("pandas", "calendar_tui.handing_on.tables.csv_text"), *words, cwd=season.parent
    ) == {"calendar_tui.handing_on.tables.csv_text"}


@pytest.mark.quick(1)
@pytest.mark.parametrize("flag", ["--table", "--dates-table", "--lamps-table"])
def test_an_exported_table_needs_no_large_library(season: Path, flag: str) -> None:
    assert modules_loaded(("pandas",), "export", flag, "out.csv", cwd=season.parent) == set()
    assert (season.parent / "out.csv").stat().st_size > 100
