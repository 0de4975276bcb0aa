"""The text of a table as spreadsheets save it, against the readers of Python's csv and what cannot be taken apart."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.season.harmless import harmless, unguarded
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.spreadsheet_text import read_spreadsheet

CELLS = st.text(st.characters(blacklist_categories=("Cs",), blacklist_characters="\x00\r"), max_size=12)


def written(rows: list[list[str]], separator: str, end: str, quoting: int = csv.QUOTE_MINIMAL) -> str:
    out = io.StringIO()
    csv.writer(out, delimiter=separator, lineterminator=end, quoting=quoting).writerows(rows)
    return out.getvalue()


@given(
    st.lists(st.lists(CELLS, min_size=3, max_size=3), min_size=1, max_size=5),
    st.sampled_from([",", ";", "\t"]),
    st.sampled_from(["\r\n", "\n"]),
    st.sampled_from([csv.QUOTE_MINIMAL, csv.QUOTE_ALL]),
    st.booleans(),
)
def test_every_cell_comes_back_as_it_was_written(rows, separator, end, quoting, marked):
    text = written([["id", "a", "b"], *rows], separator, end, quoting)
    table = read_spreadsheet("\ufeff" * marked + text, "x.csv")
    assert table.headers == ("id", "a", "b")
    assert [list(line.cells) for line in table.lines] == [row for row in rows if any(c.strip() for c in row)]


def test_a_line_is_told_by_where_it_begins_in_the_file():
    """Lines within quotes count."""
    table = read_spreadsheet('id,note\nA1,"two\nlines"\n\nA2,one\n', "x.csv")
    assert [(line.number, line.cells) for line in table.lines] == [
        (2, ("A1", "two\nlines")),
        (5, ("A2", "one")),
    ]


def test_commas_in_quoted_heads_and_in_decimals_are_no_separators():
    table = read_spreadsheet('id;"a, b, c, d";area\nA1;x, y, z;1,5\n', "x.csv")
    assert table.headers == ("id", "a, b, c, d", "area")
    assert table.lines[0].cells == ("A1", "x, y, z", "1,5")


def test_a_first_line_may_tell_the_separator():
    assert read_spreadsheet("sep=;\nid;a\nA1;2\n", "x.csv").lines[0].cells == ("A1", "2")


def test_short_lines_are_filled_and_blank_columns_at_the_end_are_nothing():
    table = read_spreadsheet("id,a,b\nA1\nA2,1,2,,\n", "x.csv")
    assert [line.cells for line in table.lines] == [("A1", "", ""), ("A2", "1", "2")]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "x.csv: no table"),
        ("id\nA1\n", "x.csv: no table"),
        ("PK\x03\x04\x14", "x.csv is no text"),
        ("id,a\nA1,\x00\n", "x.csv is no text"),
        ("id,a\nA1,2,3\n", 'x.csv:2: "3" stands behind the last of the 2 columns'),
        ('id,a\nA1,1\nA2,"two\nA3,3\n', "x.csv:3: cannot be taken apart"),
        ("id,a,A\nA1,2,3\n", 'x.csv:1: two columns are called "a"'),
    ],
)
def test_what_is_no_table_is_refused_with_its_line(text, said):
    with pytest.raises(Refusal) as refused:
        read_spreadsheet(text, "x.csv")
    assert str(refused.value).startswith(said)


@given(CELLS)
def test_a_text_that_was_guarded_comes_back(text):
    """A text that begins with an apostrophe and a sign of a formula is the one that cannot be told from a guarded one."""
    if not (text[:1] == "'" and unguarded(text) != text):
        assert unguarded(harmless(text)) == text
