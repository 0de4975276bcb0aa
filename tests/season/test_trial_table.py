"""Tables of plots from anywhere: every way to write one that is in use, and what is refused by its line."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.season.refusal import Refusal
from calendar_tui.season.trial_table import alike_levels, levels, numbers, read_trial_table

HEAD, ROWS = ("block", "gen", "yield"), (("1", "amber", "3.5"), ("1", "beryl", "4"), ("2", "amber", "2.25"))


def text_of(separator: str, rows: object = ROWS) -> str:
    return "\n".join(separator.join(row) for row in (HEAD, *rows)) + "\n"  # type: ignore[misc]


@pytest.mark.parametrize("separator", ["\t", ";", ","])
@pytest.mark.parametrize("begin", ["", "\ufeff"])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_tab_semicolon_and_comma_with_and_without_a_mark(separator: str, begin: str, end: str) -> None:
    table = read_trial_table(begin + text_of(separator).replace("\n", end), "t.csv")
    assert table.headers == HEAD
    assert levels(table, "gen") == ("amber", "beryl", "amber")
    assert numbers(table, "yield").values == (3.5, 4.0, 2.25)


@pytest.mark.parametrize("separator", ["\t", ";"])
def test_a_decimal_comma_is_read_in_values_and_levels(separator: str) -> None:
    rows = (("0,2", "amber", "3,5"), ("0,4", "beryl", "4"), ("0,2", "amber", "2,25"))
    table = read_trial_table(text_of(separator, rows), "t.csv")
    assert numbers(table, "yield").values == (3.5, 4.0, 2.25)
    assert levels(table, "block") == ("0.2", "0.4", "0.2")


def test_quoted_cells_with_a_comma_are_one() -> None:
    table = read_trial_table('block,gen,yield\n1,"amber, early","3,5"\n', "t.csv")
    assert levels(table, "gen") == ("amber, early",)
    assert numbers(table, "yield").values == (3.5,)


def test_commas_in_quoted_headings_are_no_separators() -> None:
    table = read_trial_table(
        '"block, as marked, north first";"gen, early or late";yield\n1;amber;3,5\n', "t.csv"
    )
    assert table.headers == ("block, as marked, north first", "gen, early or late", "yield")


@pytest.mark.parametrize("cell", ["", ".", "NA", "n/a"])
def test_a_missing_value_is_missing_and_never_zero(cell: str) -> None:
    table = read_trial_table(text_of(";", (*ROWS, ("2", "beryl", cell))), "t.csv")
    assert numbers(table, "yield").values[-1] is None


@pytest.mark.parametrize("cell", ["<0.05", "< 0,05", "<LOQ", "ND"])
def test_a_value_under_a_limit_is_no_number(cell: str) -> None:
    found = numbers(read_trial_table(text_of(";", (*ROWS, ("2", "beryl", cell))), "t.csv"), "yield")
    assert (found.values[-1], found.under) == (None, frozenset({3}))


@pytest.mark.parametrize(
    ("cells", "message"),
    [
        (("3.5", "wet", "4"), 't.csv:3: yield is "wet"; write a number, or leave the cell empty or a point'),
        (("3.5 kg", "-", "4"), 't.csv:2, 3: yield is "3.5 kg"; write a number'),
        (("3.5", "4,2", "4"), 't.csv:2: yield is "3.5" in a column with a decimal comma'),
        (
            ("1,234", "2,500", "4"),
            't.csv:2, 3: yield is "1,234", with a comma before thousands or decimals; add --decimal',
        ),
        (("1.234,5", "2", "4"), 't.csv:2: yield is "1.234,5"; write a number'),
        (("inf", "2", "4"), 't.csv:2: yield is "inf"; write a number'),
        (("nan", "2", "4"), 't.csv:2: yield is "nan"; write a number'),
    ],
)
def test_what_is_no_number_is_named_by_its_line(cells: tuple[str, ...], message: str) -> None:
    rows = [(block, gen, cell) for (block, gen, _), cell in zip(ROWS, cells, strict=True)]
    table = read_trial_table(text_of(";", rows), "t.csv")
    with pytest.raises(Refusal) as wrong:
        numbers(table, "yield")
    assert str(wrong.value).startswith(message)


def test_a_comma_before_three_figures_is_read_as_it_is_set() -> None:
    table = read_trial_table(text_of(";", (("1", "amber", "1,234"),)), "t.csv")
    assert numbers(table, "yield", "comma").values == (1.234,)
    with pytest.raises(Refusal, match="in a column with a decimal point"):
        numbers(table, "yield", "point")


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "t.csv has no rows"),
        ("block,gen,yield\n\n", "t.csv has no rows"),
        ("block\n1\n", "t.csv:1: one column only"),
        ("block,gen,Gen\n1,a,2\n", 't.csv:1: two columns are called "gen"'),
        (
            "block,gen,yield\n1,a,2\n\n1,b\n1,c,2,3\n",
            "t.csv:4: 2 cells under 3 columns with a comma between them, and 1 more",
        ),
        ('block,gen,yield\n1,"a,2\n', "t.csv:2: cannot be taken apart"),
    ],
)
def test_what_is_no_table_is_refused_with_its_line(text: str, message: str) -> None:
    with pytest.raises(Refusal) as wrong:
        read_trial_table(text, "t.csv")
    assert str(wrong.value).startswith(message)


def test_an_empty_level_is_named() -> None:
    table = read_trial_table("block,gen,yield\n1,a,2\n,b,3\n", "t.csv")
    with pytest.raises(Refusal, match=r"t\.csv:3: block is empty"):
        levels(table, "block")


def test_a_column_is_found_whatever_its_capitals_and_the_nearest_is_proposed() -> None:
    table = read_trial_table(text_of(","), "t.csv")
    assert table.find("Yield", "--value") == "yield"
    with pytest.raises(
        Refusal,
        match=r'--value yeild: t.csv has no such column; did you mean "yield"\? Columns: block, gen, yield',
    ):
        table.find("yeild", "--value")


@pytest.mark.parametrize(
    ("labels", "pair"),
    [
        (("amber", "Amber", "beryl"), {"amber", "Amber"}),
        (("0.2", "0.20"), {"0.2", "0.20"}),
        (("a", "b"), None),
    ],
)
def test_levels_that_may_be_one_are_found(labels: tuple[str, ...], pair: set[str] | None) -> None:
    found = alike_levels(labels)
    assert (None if found is None else set(found)) == pair


@given(
    values=st.lists(st.floats(-1e6, 1e6).map(lambda n: round(n, 4)), min_size=1, max_size=30),
    comma=st.booleans(),
)
def test_numbers_come_back_as_they_were_written(values: list[float], comma: bool) -> None:
    cells = [repr(value).replace(".", ",") if comma else repr(value) for value in values]
    table = read_trial_table(text_of("\t", [("1", "a", cell) for cell in cells]), "t.txt")
    decimal = "comma" if comma else "point"
    plain = [cell for cell in cells if "e" not in cell]
    if len(plain) == len(cells):
        assert numbers(table, "yield", decimal).values == tuple(values)
