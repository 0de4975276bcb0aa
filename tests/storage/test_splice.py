"""Edits as splices of a season's text: what they change, and that they change nothing else."""

import difflib
from datetime import date

import pytest

from calendar_tui.season.edits import TOP, Edit, EditError, apply_edits
from calendar_tui.season.sameness import same
from calendar_tui.storage.problems import StorageError
from calendar_tui.storage.toml.splice import spliced, splices_for
from calendar_tui.storage.toml.splices import apply_splices, reverse
from tests.counting import lines_run
from tests.season_data import data_of

D = date(2026, 11, 8)


def edited(text, *edits):
    """The text after edits, checked against the data and taken back again."""
    data = data_of(text)
    splices = splices_for(text, data, edits)
    after = apply_splices(text, splices)
    assert same(data_of(after), apply_edits(data, edits))
    assert apply_splices(after, reverse(splices)) == text
    return after


def put(kind, name, *field, value):
    return Edit("set", kind, (name,), field, value)


def cut(kind, name, *field):
    return Edit("unset", kind, (name,), field)


def add(kind, name, **rest):
    return Edit("add", kind, (name,), (), {"id": name, **rest})


ONE = '[[t]]\nid = "a"   # first\nx  =  1 # why\n\n# about b\n[[t]]\nid = "b"\n'
INLINE = '[[t]]\nid = "a"\nd = { p = 1, q = 2,  r = 3 } # why\nz = 0\n'
TABLE = '[[t]]\nid = "a"\n\n# dates\n[t.d]\np = 1 # one\n# end of dates\n\n[[t]]\nid = "b"\n'
DOTTED = '[[t]]\nid = "a"\nd.p = 1\nd.q = 2 # two\nz = 0\n'
CASES = {
    "replaced in place": (ONE, [put("t", "a", "x", value=1.0)], ONE.replace("1 # why", "1.0 # why")),
    "inserted after the last key": (
        ONE,
        [put("t", "a", "y", value=D)],
        ONE.replace("# why\n", "# why\ny = 2026-11-08\n"),
    ),
    "unset": (ONE, [cut("t", "a", "x")], ONE.replace("x  =  1 # why\n", "")),
    "unset and set after it": (
        ONE,
        [cut("t", "a", "x"), put("t", "a", "y", value=2)],
        ONE.replace("x  =  1 # why", "y = 2"),
    ),
    "a new inline table": (
        ONE,
        [put("t", "b", "d", "p", value=D)],
        ONE + "d = { p = 2026-11-08 }\n",
    ),
    "a key at the top": (
        "format = 2 # one\n" + ONE,
        [Edit("set", TOP, (), ("format",), 3), Edit("set", TOP, (), ("x",), "y")],
        'format = 3 # one\nx = "y"\n' + ONE,
    ),
    "a table of one's own": (
        "[mine]\na = 1 # why\n" + ONE,
        [Edit("set", "mine", (), ("a",), 2), Edit("set", "mine", (), ("id",), 3)],
        "[mine]\na = 2 # why\nid = 3\n" + ONE,
    ),
    "a whole table at the top": (
        "[mine]\na = 1\n[mine.b]\nc = 2\n" + ONE,
        [Edit("unset", TOP, (), ("mine",)), Edit("set", TOP, (), ("yours",), {"a": 1})],
        ONE + "\n[yours]\na = 1\n",
    ),
    "a whole list at the top": (
        "[[m]]\na = 1\n\n" + ONE,
        [Edit("set", TOP, (), ("m",), [{"a": 1}, {"a": 2}])],
        ONE + "\n[[m]]\na = 1\n\n[[m]]\na = 2\n",
    ),
    "a list at the top becomes a value": (
        "format = 3\n" + ONE,
        [Edit("set", TOP, (), ("t",), [1, 2])],
        "format = 3\nt = [1, 2]\n",
    ),
    "an odd key": (ONE, [put("t", "b", "a b", value="é\n")], ONE + '"a b" = "é\\n"\n'),
    "a list": (ONE, [put("t", "b", "m", value=(1.5, 0.6))], ONE + "m = [1.5, 0.6]\n"),
    "inline replaced": (
        INLINE,
        [put("t", "a", "d", "q", value=D)],
        INLINE.replace("q = 2", "q = 2026-11-08"),
    ),
    "inline added": (
        INLINE,
        [put("t", "a", "d", "s", value=4), put("t", "a", "d", "u", value=5)],
        INLINE.replace("r = 3", "r = 3, s = 4, u = 5"),
    ),
    "inline first gone": (INLINE, [cut("t", "a", "d", "p")], INLINE.replace("p = 1, ", "")),
    "inline middle gone": (INLINE, [cut("t", "a", "d", "q")], INLINE.replace(", q = 2", "")),
    "inline last gone, one added": (
        INLINE,
        [cut("t", "a", "d", "r"), put("t", "a", "d", "s", value=4)],
        INLINE.replace(",  r = 3", ", s = 4"),
    ),
    "inline all gone but a new one": (
        INLINE,
        [put("t", "a", "d", "s", value=4), *(cut("t", "a", "d", k) for k in "pqr")],
        INLINE.replace("{ p = 1, q = 2,  r = 3 }", "{ s = 4 }"),
    ),
    "inline all gone": (
        INLINE,
        [cut("t", "a", "d", k) for k in "pqr"],
        INLINE.replace("d = { p = 1, q = 2,  r = 3 } # why\n", ""),
    ),
    "a table in an inline table": (
        INLINE,
        [put("t", "a", "d", "s", "k", value=True)],
        INLINE.replace("r = 3", "r = 3, s = { k = true }"),
    ),
    "table key replaced": (TABLE, [put("t", "a", "d", "p", value=3)], TABLE.replace("1 # one", "3 # one")),
    "table key added": (
        TABLE,
        [put("t", "a", "d", "q", value=3)],
        TABLE.replace("# one\n", "# one\nq = 3\n"),
    ),
    "table gone": (
        TABLE,
        [cut("t", "a", "d", "p")],
        '[[t]]\nid = "a"\n\n[[t]]\nid = "b"\n',
    ),
    "key of the record, not of its table": (
        TABLE,
        [put("t", "a", "x", value=3)],
        TABLE.replace('id = "a"\n', 'id = "a"\nx = 3\n'),
    ),
    "table becomes a value": (
        TABLE,
        [put("t", "a", "d", value=7)],
        '[[t]]\nid = "a"\nd = 7\n\n[[t]]\nid = "b"\n',
    ),
    "dotted replaced": (DOTTED, [put("t", "a", "d", "q", value=5)], DOTTED.replace("2 # two", "5 # two")),
    "dotted added": (
        DOTTED,
        [put("t", "a", "d", "r", value=5)],
        DOTTED.replace("# two\n", "# two\nd.r = 5\n"),
    ),
    "dotted gone": (
        DOTTED,
        [cut("t", "a", "d", "p"), cut("t", "a", "d", "q")],
        '[[t]]\nid = "a"\nz = 0\n',
    ),
    "record added after its kind": (
        TABLE + "\n# other\n[o]\n",
        [add("t", "c", n=1), add("t", "d")],
        TABLE + '\n[[t]]\nid = "c"\nn = 1\n\n[[t]]\nid = "d"\n' + "\n# other\n[o]\n",
    ),
    "first record of a kind": (ONE, [add("u", "c")], ONE + '\n[[u]]\nid = "c"\n'),
    "record added, then edited": (
        ONE,
        [add("t", "c", n=1), put("t", "c", "n", value=2), put("t", "b", "k", value=1)],
        ONE + 'k = 1\n\n[[t]]\nid = "c"\nn = 2\n',
    ),
    "first record removed": (ONE, [Edit("remove", "t", ("a",))], '# about b\n[[t]]\nid = "b"\n'),
    "last record removed with its comment": (
        ONE,
        [Edit("remove", "t", ("b",))],
        '[[t]]\nid = "a"   # first\nx  =  1 # why\n',
    ),
    "record with a table removed": (TABLE, [Edit("remove", "t", ("a",))], '[[t]]\nid = "b"\n'),
    "all records removed": (ONE, [Edit("remove", "t", ("a",)), Edit("remove", "t", ("b",))], ""),
    "removed and added": (
        ONE,
        [Edit("remove", "t", ("b",)), add("t", "b", n=1)],
        '[[t]]\nid = "a"   # first\nx  =  1 # why\n\n[[t]]\nid = "b"\nn = 1\n',
    ),
    "a section heading stays": (
        '[[t]]\nid = "a"\n# of a\n\n# ---- the rest ----\n\n# of b\n[[t]]\nid = "b"\n',
        [Edit("remove", "t", ("a",))],
        '# ---- the rest ----\n\n# of b\n[[t]]\nid = "b"\n',
    ),
    "a single table's key": (
        "[site] # here\nlat = 1\n",
        [Edit("set", "site", (), ("lat",), -34.3)],
        "[site] # here\nlat = -34.3\n",
    ),
    "a single table that was not there": (
        "format = 3\n",
        [Edit("set", "season", (), ("name",), "x")],
        'format = 3\n\n[season]\nname = "x"\n',
    ),
    "nothing at all": ("", [add("t", "a")], '[[t]]\nid = "a"\n'),
    "no newline at the end": ('[[t]]\nid = "a"', [add("t", "b")], '[[t]]\nid = "a"\n\n[[t]]\nid = "b"'),
    "last line without newline gone": ('[[t]]\nid = "a"\nx = 1', [cut("t", "a", "x")], '[[t]]\nid = "a"\n'),
    "values of several lines": (
        '[[t]]\nid = "a"\nx = [\n  1, # one\n  2,\n] # end\ny = """\n[[t]]\nid = "a"\n"""\n',
        [put("t", "a", "x", value=3), put("t", "a", "z", value=4)],
        '[[t]]\nid = "a"\nx = 3 # end\ny = """\n[[t]]\nid = "a"\n"""\nz = 4\n',
    ),
    "a record in a list of inline tables": (
        't = [ { id = "a", x = 1 }, { id = "b" } ]\n',
        [put("t", "b", "x", value=2)],
        't = [ { id = "a", x = 1 }, { id = "b", x = 2 } ]\n',
    ),
    "parts of a record far apart": (
        '[[t]]\nid = "a"\n[o]\nk = 1\n[t.d]\np = 1\n',
        [add("t", "b"), put("t", "a", "d", "q", value=2)],
        '[[t]]\nid = "a"\n[o]\nk = 1\n[t.d]\np = 1\nq = 2\n\n[[t]]\nid = "b"\n',
    ),
    "a comment in a string is not a comment": (
        '[[t]]\nid = "a"\ny = """\n# text"""\n[[t]]\nid = "b"\n',
        [Edit("remove", "t", ("b",))],
        '[[t]]\nid = "a"\ny = """\n# text"""\n',
    ),
    "indented": ("[[t]]\n  id = 1\n", [put("t", 1, "x", value=2)], "[[t]]\n  id = 1\n  x = 2\n"),
}


@pytest.mark.parametrize(("text", "edits", "after"), CASES.values(), ids=CASES.keys())
def test_text_after_edits(text, edits, after):
    assert edited(text, *edits) == after


@pytest.mark.parametrize(("text", "edits", "after"), CASES.values(), ids=CASES.keys())
def test_line_endings_are_kept(text, edits, after):
    if '"""' in text or not text:
        pytest.skip("a string of several lines has its own line ends; an empty file has none")
    assert edited(text.replace("\n", "\r\n"), *edits) == after.replace("\n", "\r\n")


def test_ticking_a_task_changes_three_lines():
    record = '[[task]]\nid = "T%d"\nstate = "open" # so far\nhours = 1\n'
    text = "\n".join(record % i for i in range(9))
    after = edited(
        text,
        Edit("set", "task", ("T4",), ("state",), "done"),
        Edit("set", "task", ("T4",), ("done_on",), D),
    )
    changed = [x for x in difflib.ndiff(text.splitlines(), after.splitlines()) if x[:1] in "+-"]
    assert changed == ['- state = "open" # so far', '+ state = "done" # so far', "+ done_on = 2026-11-08"]


def test_edits_that_change_nothing_make_no_splice():
    text = '[[t]]\nid = "a"\nx = 1\n'
    assert splices_for(text, data_of(text), [put("t", "a", "x", value=1)]) == []
    assert splices_for(text, data_of(text), []) == []


@pytest.mark.parametrize("value", [1.0, True, "1"])
def test_a_value_of_another_type_is_a_change(value):
    text = '[[t]]\nid = "a"\nx = 1\n'
    assert splices_for(text, data_of(text), [put("t", "a", "x", value=value)])


BY_HAND = {
    "a list of inline tables grows": ('t = [ { id = "a" } ]\n', [add("t", "b")]),
    "a list of inline tables shrinks": (
        't = [ { id = "a" }, { id = "b" } ]\n',
        [Edit("remove", "t", ("a",))],
    ),
    "an empty list": ("t = []\n", [add("t", "b")]),
    "a value TOML has no form for": ('[[t]]\nid = "a"\n', [put("t", "a", "x", value=1j)]),
    "a nothing inside a value": ('[[t]]\nid = "a"\n', [put("t", "a", "x", value=[None])]),
}


@pytest.mark.parametrize(("text", "edits"), BY_HAND.values(), ids=BY_HAND.keys())
def test_what_cannot_be_written_is_left_to_a_person(text, edits):
    with pytest.raises(StorageError, match="by hand") as caught:
        splices_for(text, data_of(text), edits)
    assert caught.value.line == 1


def test_data_that_are_not_the_text_s_are_noticed():
    text = '[[t]]\nid = "a"\nx = 1\n'
    with pytest.raises(StorageError, match="by hand"):
        splices_for(text, {"t": [{"id": "a", "x": 5}]}, [put("t", "a", "y", value=1)])


def test_an_edit_that_does_not_fit_is_an_edit_error():
    with pytest.raises(EditError, match="t z is not there"):
        splices_for(ONE, data_of(ONE), [put("t", "z", "x", value=1)])


def test_splices_do_not_fit_another_text():
    splices = splices_for(ONE, data_of(ONE), [put("t", "a", "x", value=5)])
    with pytest.raises(StorageError, match="not as they were"):
        apply_splices(ONE.replace("why", "hand"), splices)


def test_work_grows_no_faster_than_the_file_and_its_edits():
    record = '[[task]]\nid = "T%d"\nwhat = "walk the rows"\nstate = "open"\na = 1\n'

    def work(records):
        text = "\n".join(record % i for i in range(records))
        data = data_of(text)
        edits = [Edit("set", "task", (f"T{i}",), ("state",), "done") for i in range(0, records, 5)]
        return lines_run(lambda: spliced(text, data, edits))

    assert work(800) < 2.5 * work(400)


BEFORE_RECORDS = """format = 3
[season]
name = "x"  # why

# what comes in hundreds
[records]
# by date
task = [
  { id = "k1", date = 2026-10-05 },
]
"""


@pytest.mark.parametrize("eol", ["\n", "\r\n"])
def test_the_first_block_of_a_kind_stands_before_the_records_which_stay_the_last_table(eol):
    text = BEFORE_RECORDS.replace("\n", eol)
    block = '[[trial]]\nid = "K1"\n\n'.replace("\n", eol)
    after = edited(text, add("trial", "K1"))
    head, comment, rest = text.partition("# what")
    assert after == head + block + comment + rest


@pytest.mark.parametrize(
    ("edits", "fresh"),
    [
        ([Edit("set", "crew", (), ("hours_week",), 40)], "[crew]\nhours_week = 40\n\n"),
        ([Edit("set", TOP, (), ("yours",), {"a": 1})], "[yours]\na = 1\n\n"),
        ([Edit("set", TOP, (), ("m",), [{"a": 1}, {"a": 2}])], "[[m]]\na = 1\n\n[[m]]\na = 2\n\n"),
        ([add("trial", "K1"), add("lot", "L1")], '[[trial]]\nid = "K1"\n\n[[lot]]\nid = "L1"\n\n'),
    ],
)
def test_whatever_table_is_new_stands_before_the_records(edits, fresh):
    assert edited(BEFORE_RECORDS, *edits) == BEFORE_RECORDS.replace("# what", fresh + "# what")


def test_a_block_that_takes_the_place_of_all_of_its_kind_stands_before_the_records():
    text = BEFORE_RECORDS.replace("# what", '[[t]]\nid = "a"\n\n# what')
    assert edited(text, Edit("remove", "t", ("a",)), add("t", "b")) == text.replace('"a"', '"b"')
