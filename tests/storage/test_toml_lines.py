"""Lines of tables, records and keys in TOML text."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.storage.toml.lines import locate
from tests.counting import lines_run
from tests.season_data import data_of

TEXT = '''\
format = 3
"odd key".part = 2
note = """
[[task]]
id = "not a record" \\""" """
rows = [
  [1, 2], # ] a bracket in a comment
  ["[[x]]", 4],
]

[season]            # the season
name = "a # b [c]"

[[cohort]]
id = "A1"
planned = { seeding = 2026-10-05, lamps = { kw = 0.9 } }

  [cohort.recorded]
  transplant = 2026-11-08

[[cohort]]
id = 'A2'
planned.seeding = 2026-10-06
planned.transplant = 2026-11-01
[[cohort.bag]]
n = 1
[[cohort.bag]]
n = 2
[ cohort . "re corded" ]
x = \'\'\'
[site]\'\'\'

[[task]]
id = "T1"
[a.b]
c = 1
'''

LINES = {
    ("format",): 1,
    ("odd key", "part"): 2,
    ("odd key",): 2,
    ("note",): 3,
    ("rows",): 6,
    ("rows", 1): 8,
    ("rows", 1, 1): 8,
    ("season",): 11,
    ("season", "name"): 12,
    ("season", "missing"): 11,
    ("cohort",): 14,
    ("cohort", 0): 14,
    ("cohort", 0, "id"): 15,
    ("cohort", 0, "planned", "seeding"): 16,
    ("cohort", 0, "planned", "lamps", "kw"): 16,
    ("cohort", 0, "planned", "harvest"): 16,
    ("cohort", 0, "recorded"): 18,
    ("cohort", 0, "recorded", "transplant"): 19,
    ("cohort", 0, "recorded", "harvest"): 18,
    ("cohort", 0, "place"): 14,
    ("cohort", 1, "planned"): 23,
    ("cohort", 1, "planned", "transplant"): 24,
    ("cohort", 1, "bag", 1, "n"): 28,
    ("cohort", 1, "re corded", "x"): 30,
    ("task", 0, "id"): 34,
    ("task", 7, "id"): None,
    ("site", "latitude"): None,
    ("a",): 35,
    ("a", "b", "c"): 36,
    (): None,
}


@pytest.mark.parametrize("eol", ["\n", "\r\n"])
@pytest.mark.parametrize(("path", "line"), LINES.items(), ids=map(str, LINES))
def test_line_of_a_path(path, line, eol):
    data_of(TEXT)
    assert locate(TEXT.replace("\n", eol)).line(path) == line


@given(st.text(alphabet="[]{}=\"'#.,\\ab1 \r\n\t", max_size=60))
def test_text_that_is_not_toml_is_no_error(text):
    lines = locate(text)
    for block in lines.blocks:
        lines.entries(block)
        lines.line((*block.path, "a", 0))


def test_nothing_but_newline_ends_a_line():
    text = 'a = "x\u2028y\x85"\r\nb = 1'
    assert locate(text).line(("b",)) == 2


def test_locating_grows_no_faster_than_the_file():
    record = '[[task]]\nid = "T%d"\nwhat = "walk [the] rows"\nhours = 1.5\na = 1\nb = 2\nc = 3\nd = 4\n'

    def work(records):
        text = "\n".join(record % i for i in range(records))
        assert locate(text).line(("task", records - 1, "hours")) == (records - 1) * 9 + 4
        return lines_run(lambda: locate(text))

    assert work(2000) < 2.5 * work(1000)


def test_a_list_of_records_is_gone_through_once():
    def work(records):
        rows = "\n".join(f'  {{ id = "t{n}", note = "a # b" }},' for n in range(records))
        lines = locate(f"format = 3\n[records]\ntask = [\n{rows}\n]\n")
        assert lines.place(("task", records // 2, "note")) == (4 + records // 2, 15 + len(str(records // 2)))
        return lines_run(lambda: lines.place(("task", records // 2)))

    assert work(400) < work(40) + 20
