"""A laboratory's file: each line ends in rows, in a problem, or in the lines kept aside. Shapes met: common practice, no source."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.nature.legal_limits import ABSOLUTE, RELATIVE, Uncertainty
from calendar_tui.nature.measured import Interval
from calendar_tui.season.laboratory_columns import LaboratoryColumns, columns_data
from calendar_tui.season.laboratory_file import read_laboratory_file
from calendar_tui.season.laboratory_proposal import proposed_columns
from calendar_tui.season.measured_texts import BELOW, NOT_TESTED, VALUE
from calendar_tui.season.table_lines import file_lines

LONG = LaboratoryColumns(
    laboratory="North",
    columns={
        "Sample ID": "sample",
        "Analyte": "analyte",
        "Result": "result",
        "Unit": "unit",
        "LOD": "LOD",
        "LOQ": "LOQ",
        "MU": "uncertainty",
        "Method": "method",
        "Date tested": "tested",
        "Report no.": "report",
    },
    decimal=".",
    uncertainty=ABSOLUTE,
)
LONG_HEADER = "Sample ID,Analyte,Result,Unit,LOD,LOQ,MU,Method,Date tested,Report no."
LONG_FILE = f"""{LONG_HEADER}
A1T07Q,d9-THC,<LOQ,%,0.01,0.05,,HPLC,2026-09-01,R1
A1T07Q,THCa,0.30,%,0.01,0.05,0.03,HPLC,2026-09-01,R1
K7Q2RY,THCA,3.1,mg/g,0.1,0.5,0.3,HPLC,2026-09-01,R1
"""
WIDE = LaboratoryColumns(
    columns={
        "Bag": "sample",
        "Δ9-THC (%)": "THC",
        "THCA (%)": "THCA",
        "THCA LOQ (%)": "THCA LOQ",
        "Total THC (%)": "total THC",
        "CBD (mg/g)": "CBD",
    },
    separator="semicolon",
    decimal=",",
)
WIDE_FILE = """\ufeffBag;Δ9-THC (%);THCA (%);THCA LOQ (%);Total THC (%);CBD (mg/g)\r
A1T07Q;<0,05;0,30;0,05;0,31;\r
K7Q2RY;0,05;<LOQ;0,05;0,0900;31,5\r
"""


def exact(text):
    return Interval.exactly(Decimal(text))


def messages(reading):
    return [(problem.line, problem.message) for problem in reading.problems]


# --- the two shapes


def test_a_file_with_a_line_an_analyte():
    reading = read_laboratory_file(LONG_FILE, LONG)
    assert reading.problems == ()
    assert [(row.line, row.sample, row.analyte, row.text, row.state) for row in reading.rows] == [
        (2, "A1T07Q", "THC", "<LOQ", BELOW),
        (3, "A1T07Q", "THCA", "0.30", VALUE),
        (4, "K7Q2RY", "THCA", "3.1", VALUE),
    ]
    below, measured, in_mg = reading.rows
    assert (below.percent, below.loq) == (Interval.below(Decimal("0.05")), Decimal("0.05"))
    assert measured.uncertainty == Uncertainty(Decimal("0.03"), ABSOLUTE)
    assert (in_mg.percent, in_mg.loq, in_mg.unit) == (exact("0.31"), Decimal("0.05"), "mg/g")
    assert in_mg.uncertainty == Uncertainty(Decimal("0.03"), ABSOLUTE)
    assert (measured.method, measured.tested, measured.report) == ("HPLC", date(2026, 9, 1), "R1")
    assert reading.kept == ((1, LONG_HEADER),)


def test_a_file_with_a_column_an_analyte_a_byte_order_mark_and_decimal_commas():
    reading = read_laboratory_file(WIDE_FILE, WIDE)
    assert reading.problems == ()
    by_name = {(row.sample, row.analyte): row for row in reading.rows}
    assert len(by_name) == len(reading.rows) == 8
    assert by_name["A1T07Q", "THC"].percent == Interval.below(Decimal("0.05"))
    assert by_name["K7Q2RY", "THCA"].percent == Interval.below(Decimal("0.05"))
    assert by_name["K7Q2RY", "THCA"].text == "<LOQ"
    assert by_name["K7Q2RY", "CBD"].percent == exact("3.15")
    assert (by_name["A1T07Q", "CBD"].state, by_name["A1T07Q", "CBD"].percent) == (NOT_TESTED, None)


@pytest.mark.parametrize(("word", "sign"), [("tab", "\t"), ("semicolon", ";"), ("comma", ",")])
def test_the_three_separators(word, sign):
    text = f'Bag{sign}THC (%)\nA1T07Q{sign}"0.31"\n'
    columns = LaboratoryColumns(columns={"Bag": "sample", "THC (%)": "THC"}, separator=word, decimal=".")
    assert read_laboratory_file(text, columns).rows[0].percent == exact("0.31")


def test_percent_and_mg_per_g_side_by_side_are_one_result():
    columns = LaboratoryColumns(columns={"Bag": "sample", "THC (%)": "THC", "THC (mg/g)": "THC"}, decimal=".")
    reading = read_laboratory_file(
        "Bag,THC (%),THC (mg/g)\nA,0.31,3.1\nB,0.31,3.14\nC,,3.1\nD,0.31,31\n", columns
    )
    assert [(row.sample, row.percent, row.also) for row in reading.rows] == [
        ("A", exact("0.31"), ("3.1 mg/g",)),
        ("B", exact("0.31"), ("3.14 mg/g",)),
        ("C", exact("0.31"), ("3.1 mg/g",)),
    ]
    [(line, message)] = messages(reading)
    assert line == 5
    assert "is 0.31 % in one column and 3.1 % in another" in message


def test_a_long_file_may_have_its_results_in_two_units():
    columns = LaboratoryColumns(
        columns={"Bag": "sample", "Analyte": "analyte", "Result (%)": "result", "Result (mg/g)": "result"},
        decimal=".",
    )
    reading = read_laboratory_file(
        "Bag,Analyte,Result (%),Result (mg/g)\nA,THC,0.31,3.1\nA,THCA,0.31,0.31\n", columns
    )
    assert [(row.percent, row.also) for row in reading.rows] == [(exact("0.31"), ("3.1 mg/g",))]
    assert [line for line, _ in messages(reading)] == [3]


def test_letterhead_and_blank_lines_are_kept_aside():
    text = f"sep=,\nNorth Laboratory\n\n{LONG_FILE}\n,,\n"
    reading = read_laboratory_file(text, LONG)
    assert [kept.line for kept in reading.kept] == [1, 2, 3, 4, 8, 9]
    assert [row.line for row in reading.rows] == [5, 6, 7]


def test_a_letterhead_that_names_the_sample_is_no_header():
    text = f"Sample ID,Report no.\nA1,R1\n{LONG_FILE}"
    reading = read_laboratory_file(text, LONG)
    assert ([kept.line for kept in reading.kept], len(reading.rows)) == ([1, 2, 3], 3)


def test_names_of_a_laboratorys_own():
    columns = replace(LONG, analytes={"THC acid (sum)": "THCA"})
    row = "A1T07Q,THC acid (sum),0.30,%,,,,,,\n"
    assert read_laboratory_file(f"{LONG_HEADER}\n{row}", columns).rows[0].analyte == "THCA"


# --- what is wrong on a line


def test_what_is_below_a_limit_that_the_file_does_not_give_has_its_text_alone():
    [row] = read_laboratory_file(f"{LONG_HEADER}\nA1,THC,ND,%,,,,,,\n", LONG).rows
    assert (row.text, row.state, row.percent) == ("ND", BELOW, None)


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ('A1,THC,"0,31",%,,,,,,', 'THC of "A1" is "0,31", a comma in a file with decimal point'),
        ("A1,THC,0,31,%,,,,,,", "the line has 11 cells and the header 10; a decimal comma may part a figure"),
        ("A1,THC,0.31", "the line has 3 cells and the header 10"),
        ("A1,CBT,0.31,%,,,,,,", 'the analyte is "CBT", which is not known; set in the columns what it is'),
        (",THC,0.31,%,,,,,,", "the line has no sample; write the id of its bag"),
        ("A1,THC,0.31,,,,,,,", "without a unit; set the unit of the column"),
        ("A1,THC,0.31,lb,,,,,,", 'has the unit "lb", which is not known'),
        ("A1,THC,-,%,,,,,,", "may be not tested or not detected"),
        ("A1,THC,-0.3,%,,,,,,", "under 0; an amount is 0 or more"),
        ("A1,THC,310,%,,,,,,", "is over 100 %"),
        ("A1,THC,0.31,%,low,,,,,", 'whose LOD is "low"; write a figure'),
        ("A1,THC,0.31,%,,,ten,,,", 'whose uncertainty is "ten"'),
        (
            "A1,THC,0.31,%,,,,,1/9/2026,",
            'tested of "A1" is "1/9/2026", which may be 1 Sep 2026 or 9 Jan 2026',
        ),
        ('"A1,THC,0.31,%,,,,,,', "a quote may be open"),
        ('A1,"THC"x,0.31,%,,,,,,', "cannot be taken apart"),
    ],
)
def test_a_line_that_does_not_read_is_told_and_takes_no_other_with_it(line, words):
    good = "K7Q2RY,THCA,0.31,%,,,,,,"
    reading = read_laboratory_file(f"{LONG_HEADER}\n{line}\n{good}\n", LONG)
    [(at, message)] = messages(reading)
    assert at == 2
    assert words in message
    assert [row.line for row in reading.rows] == [3]


def test_a_decimal_comma_between_commas_is_never_read_as_two_figures():
    """THC 0 and THCA 31 would be read, for the blank cells behind hide that the line has one too many."""
    columns = LaboratoryColumns(
        columns={"Bag": "sample", "THC": "THC", "THCA": "THCA", "CBD": "CBD"}, decimal=".", unit="%"
    )
    reading = read_laboratory_file("Bag,THC,THCA,CBD\nA1,0,31,,\n", columns)
    assert reading.rows == ()
    assert "a decimal comma may part a figure" in reading.problems[0].message


def test_an_uncertainty_that_may_be_two_things_is_refused_until_the_columns_say_which():
    text = f"{LONG_HEADER}\nA1,THC,0.33,%,,,10,,,\n"
    [(_, message)] = messages(read_laboratory_file(text, replace(LONG, uncertainty="")))
    assert 'whose uncertainty is "10", which may be 10 % of the result or 10 % more and less' in message
    [row] = read_laboratory_file(text, replace(LONG, uncertainty=RELATIVE)).rows
    assert row.uncertainty == Uncertainty(Decimal(10), RELATIVE)


def test_a_date_is_read_once_the_order_is_set():
    text = f"{LONG_HEADER}\nA1,THC,0.33,%,,,,,1/9/2026,\n"
    assert read_laboratory_file(text, replace(LONG, date_order="day-first")).rows[0].tested == date(
        2026, 9, 1
    )
    assert read_laboratory_file(text, replace(LONG, date_order="month-first")).rows[0].tested == date(
        2026, 1, 9
    )


def test_a_wrong_value_takes_no_other_of_its_sample_with_it():
    text = "Bag;Δ9-THC (%);THCA (%);THCA LOQ (%);Total THC (%);CBD (mg/g)\nA1;0.05;0,30;0,05;;3,1\n"
    reading = read_laboratory_file(text, WIDE)
    assert [(row.analyte, row.state) for row in reading.rows] == [
        ("THCA", VALUE),
        ("total THC", NOT_TESTED),
        ("CBD", VALUE),
    ]
    [(line, message)] = messages(reading)
    assert line == 2
    assert 'THC of "A1" is "0.05", a point in a file with decimal comma' in message


def test_a_result_that_is_there_already_is_told_and_a_repeat_of_another_report_is_read():
    line = "A1,THC,0.31,%,,,,,,"
    reading = read_laboratory_file(f"{LONG_HEADER}\n{line}R1\n{line}R1\n{line}R2\n", LONG)
    assert [row.line for row in reading.rows] == [2, 4]
    [(at, message)] = messages(reading)
    assert at == 3
    assert 'THC of "A1" is "0.31" here and "0.31" on line 2 already' in message


# --- what is wrong with the columns


def test_a_column_that_nobody_set_is_told_once():
    text = "Bag,THC (%),CBT (%)\nA1,0.31,0.1\nA2,0.32,0.1\n"
    columns = LaboratoryColumns(columns={"Bag": "sample", "THC (%)": "THC"}, decimal=".")
    reading = read_laboratory_file(text, columns)
    assert messages(reading) == [
        (1, 'column "CBT (%)" is not set, so nothing in it is read; set what it is, or "ignored"')
    ]
    assert len(reading.rows) == 2
    ignored = replace(columns, columns={**columns.columns, "CBT (%)": "ignored"})
    assert read_laboratory_file(text, ignored).problems == ()


@pytest.mark.parametrize(
    ("columns", "role", "words"),
    [
        (
            {"Bag": "sample", "THC": "THC"},
            "uncertainty",
            'set of which, such as "THC uncertainty", or "ignored"',
        ),
        ({"Bag": "sample", "THC": "THC"}, "THCA LOQ", 'but no column is set as "THCA"'),
        (
            {"Bag": "sample", "Analyte": "analyte", "THC": "result"},
            "CBD LOQ",
            'line an analyte; set it as "LOQ"',
        ),
    ],
)
def test_a_column_that_stands_where_nothing_is_read_from_it_is_told(columns, role, words):
    every = LaboratoryColumns(columns={**columns, "More": role}, decimal=".", unit="%")
    headers = ",".join(every.columns)
    line, message = messages(read_laboratory_file(f"{headers}\n", every))[0]
    assert line == 1
    assert 'column "More" is set as' in message
    assert words in message


@pytest.mark.parametrize(
    ("text", "columns", "words"),
    [
        (
            "Bag,THC (%)\nA1,0.3\n",
            LONG,
            'no line of the file has the columns "Sample ID", "Analyte", "Result" with a comma',
        ),
        ("", WIDE, "no line of the file has the columns"),
        (
            "Bag,THC,THC\nA1,0.3,0.3\n",
            LaboratoryColumns(columns={"Bag": "sample", "THC": "THC"}),
            'column "THC" stands twice in the header',
        ),
        (
            "Bag,Id,THC\nA1,A1,0.3\n",
            LaboratoryColumns(columns={"Bag": "sample", "Id": "sample", "THC": "THC"}),
            'two columns are set as "sample"',
        ),
        (
            "Bag,Name,THC\nA1,x,0.3\n",
            LaboratoryColumns(columns={"Bag": "sample", "Name": "analyte", "THC": "THC"}),
            'and none that is set as "result"',
        ),
        (
            "Bag,x,THC\nA1,x,0.3\n",
            LaboratoryColumns(columns={"Bag": "sample", "x": "samples", "THC": "THC"}),
            'is no role of a column; did you mean "sample"?',
        ),
    ],
)
def test_a_file_that_its_columns_do_not_fit_is_told_for_all_of_its_lines(text, columns, words):
    reading = read_laboratory_file(text, columns)
    [problem] = reading.problems
    assert words in problem.message
    whole = f"North\n\n{text}"
    letterhead = read_laboratory_file(whole, columns)
    assert _accounted(letterhead) == set(range(1, len(file_lines(whole)) + 1))
    assert letterhead.problems[0].message == problem.message
    assert (reading.rows, problem.last) == ((), len(file_lines(text)))


# --- nothing is dropped

# fmt: off
CELLS = st.sampled_from([
    "", " ", "A1", "A2", "THC", "THCA", "CBT", "0.3", "0,3", "<0.05", "<LOQ", "ND", "-",
    "%", "mg/g", "1/9/2026", '"', "x,y", ";",
]) | st.text(max_size=6)
# fmt: on
LINES = st.lists(st.lists(CELLS, max_size=12).map(",".join), max_size=12)
SEPARATED = st.sampled_from([LONG, replace(LONG, separator="tab"), WIDE, replace(WIDE, separator="comma")])


def _accounted(reading):
    lines = {row.line for row in reading.rows} | {kept.line for kept in reading.kept}
    for problem in reading.problems:
        lines |= set(range(problem.line, problem.last + 1))
    return lines


@given(LINES, st.booleans(), SEPARATED, st.sampled_from(["\n", "\r\n", "\r"]))
def test_every_line_ends_in_rows_in_a_problem_or_aside(lines, with_header, columns, end):
    header = [LONG_HEADER] if with_header else []
    text = end.join([*header, *lines])
    reading = read_laboratory_file(text, columns)
    assert _accounted(reading) == set(range(1, len(file_lines(text)) + 1))


RESULTS = st.sampled_from(["0.31", "<0.05", "<LOQ", "ND", "", "-", "0,31", "-1", "x"])


@given(st.lists(st.lists(RESULTS, min_size=3, max_size=3), max_size=6))
def test_every_cell_of_a_wide_file_is_a_row_or_in_a_problem(lines):
    columns = LaboratoryColumns(
        columns={"Bag": "sample", "THC": "THC", "THCA": "THCA", "CBD": "CBD"},
        separator="semicolon",
        decimal=".",
        unit="%",
    )
    text = "\n".join(["Bag;THC;THCA;CBD", *(f"B{n};{';'.join(cells)}" for n, cells in enumerate(lines))])
    reading = read_laboratory_file(text, columns)
    assert len(reading.rows) + len(reading.problems) == 3 * len(lines)
    for row in reading.rows:
        assert row.text == lines[int(row.sample[1:])][("THC", "THCA", "CBD").index(row.analyte)]


def test_the_proposal_reads_the_file_that_it_was_made_from():
    for text in (LONG_FILE, WIDE_FILE):
        proposal = proposed_columns(text)
        columns = replace(proposal.columns, uncertainty=ABSOLUTE)
        assert read_laboratory_file(text, columns).problems == ()
        assert columns_data(columns)


def test_one_figure_in_two_units_on_two_lines_is_one_result_and_two_figures_are_told():
    twice = LONG_HEADER + "\nA1,THC,0.30,mg/g,,,,,,\nA1,THC,0.03,%,,,,,,\n"
    reading = read_laboratory_file(twice, LONG)
    assert [(row.text, row.unit) for row in reading.rows] == [("0.30", "mg/g")]
    assert reading.problems == ()
    apart = read_laboratory_file(twice.replace("0.03", "0.04"), LONG)
    assert ["already; keep one" in problem.message for problem in apart.problems] == [True]
