"""Any season file, however it is laid out, under any edits."""

import tempfile
from collections import Counter
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calendar_tui.season.edits import Change, Edit, apply_edits
from calendar_tui.season.sameness import same
from calendar_tui.storage.history.undo import undo_last
from calendar_tui.storage.season_file import load, save_change
from calendar_tui.storage.toml.lines import comments_in, locate
from calendar_tui.storage.toml.rendering import key_text, toml_value
from calendar_tui.storage.toml.splice import spliced
from calendar_tui.storage.toml.splices import apply_splices, reverse, splice_lines
from tests.season_data import data_of

pytestmark = pytest.mark.slow

WHEN = datetime(2026, 10, 5, tzinfo=UTC)
texts = st.text(st.characters(codec="utf-8", exclude_categories=["Cs"]), max_size=8)
days = st.dates(date(2026, 1, 1), date(2027, 12, 31))
scalars = st.one_of(
    st.integers(-(2**60), 2**60),
    st.floats(),
    st.booleans(),
    texts,
    days,
    st.datetimes(datetime(2026, 1, 1), datetime(2027, 1, 1)).map(lambda d: d.replace(microsecond=0)),
)
values = st.one_of(scalars, st.lists(scalars, max_size=3), st.dictionaries(texts, scalars, max_size=2))
keys = st.sampled_from(["x", "state", "a b", "é", "", "x.y", "[t]"])
spaces = st.sampled_from(["", " ", "  ", "\t"])
notes = st.sampled_from(["", "", " # note", '# [[task]] "', "  #"])
fillers = st.lists(st.sampled_from(["", "  ", "# a note", "\t# [x]", "#"]), max_size=3)
kinds = st.sampled_from(["task", "cohort", "place"])


@st.composite
def shown(draw, value):
    """One of the ways to write a value in TOML."""
    if isinstance(value, dict):
        parts = [f"{key_text((k,))}{draw(spaces)}={draw(spaces)}{toml_value(v)}" for k, v in value.items()]
        return f"{{{draw(spaces)}{(draw(spaces) + ',' + draw(spaces)).join(parts)}{draw(spaces)}}}"
    if isinstance(value, list) and value and draw(st.booleans()):
        lines = ["[", *(f"  {toml_value(v)},{draw(notes)}" for v in value), "]"]
        return "\n".join(lines)
    if isinstance(value, str) and draw(st.booleans()):
        body = toml_value(value)[1:-1]
        return '"""\n[[task]]\n' + body.replace("\\n", "\n") + '"""'
    return toml_value(value)


@st.composite
def tables(draw):
    """The lines of a record after its id: keys, an inline, dotted or headed table, and fillers."""
    lines = []
    for key in draw(st.lists(keys, unique=True, max_size=3)):
        text = draw(shown(draw(values)))
        lines += [
            f"{draw(spaces)}{key_text((key,))}{draw(spaces)}={draw(spaces)}{text}{draw(notes)}",
            *draw(fillers),
        ]
    return lines


@st.composite
def records(draw, kind, number):
    header = f"{draw(spaces)}[[{draw(spaces)}{kind}{draw(spaces)}]]{draw(notes)}"
    lines = [header, *draw(fillers), f'id = "{kind}{number}"{draw(notes)}', *draw(tables())]
    inner = draw(st.dictionaries(keys, scalars, max_size=3))
    form = draw(st.sampled_from(["none", "inline", "dotted", "headed"]))
    if form == "inline":
        lines.append(f"planned = {draw(shown(inner))}{draw(notes)}")
    elif form == "dotted":
        lines += [f"planned.{key_text((k,))} = {toml_value(v)}{draw(notes)}" for k, v in inner.items()]
    elif form == "headed":
        lines += [*draw(fillers), f"[{kind}.planned]"]
        lines += [f"{key_text((k,))} = {toml_value(v)}{draw(notes)}" for k, v in inner.items()]
    return [*lines, *draw(fillers)]


@st.composite
def lists(draw):
    """The lines of tasks that stand in `[records]`: one to a line or several, with notes and fillers between them."""
    lines = [f"{draw(spaces)}[records]{draw(notes)}", *draw(fillers)]
    lines.append(f"task{draw(spaces)}={draw(spaces)}[{draw(notes)}")
    size = draw(st.integers(0, 5))
    joined = ""
    for number in range(size):
        dated = {"date": draw(days)} if draw(st.booleans()) else {}
        record = {"id": f"row{number}", **dated, **draw(st.dictionaries(keys, values, max_size=2))}
        comma = "" if number == size - 1 and draw(st.booleans()) else f"{draw(spaces)},"
        joined += f"{draw(spaces)}{draw(shown(record))}{comma}"
        if number < size - 1 and draw(st.sampled_from([False, False, True])):
            continue
        lines += [joined + draw(notes), *draw(fillers)]
        joined = ""
    return [*lines, f"{draw(spaces)}]{draw(notes)}", *draw(fillers)]


@st.composite
def seasons(draw):
    lines = [*draw(fillers), "format = 3", *draw(fillers), "[season]", *draw(tables())]
    listed = draw(st.integers(0, 8))
    for number, kind in enumerate(draw(st.lists(kinds, max_size=6))):
        lines += draw(records(kind, number))
        lines += draw(lists()) if number == listed else []
    eol = draw(st.sampled_from(["\n", "\r\n"]))
    return "\n".join(lines).replace("\n", eol) + draw(st.sampled_from(["", eol, eol * 2]))


@st.composite
def edits_on(draw, data, turn=0):
    """Edits that fit the data, one after another."""
    edits = []
    for number in range(draw(st.integers(0, 5))):
        now = apply_edits(data, edits)
        places = [(kind, r["id"]) for kind in ("task", "cohort", "place") for r in now.get(kind, [])]
        op = draw(
            st.sampled_from(["set", "set", "set", "unset", "add", "remove"] if places else ["add", "season"])
        )
        if op == "season":
            edits.append(Edit("set", "season", (), (draw(keys),), draw(values)))
            continue
        if op == "add":
            name = f"new{turn}.{number}"
            kind, rest = draw(kinds), draw(st.dictionaries(keys, values, max_size=2))
            edits.append(Edit("add", kind, (name,), (), {"id": name, **rest}))
            continue
        kind, name = draw(st.sampled_from(places))
        record = next(r for r in now[kind] if r["id"] == name)
        inner = record.get("planned")
        if op == "remove":
            edits.append(Edit("remove", kind, (name,)))
        elif op == "set":
            field = ("planned", draw(keys)) if draw(st.booleans()) else (draw(keys),)
            edits.append(Edit("set", kind, (name,), field, draw(values)))
        else:
            fields = [(k,) for k in record if k != "id"] + [("planned", k) for k in inner or ()]
            if fields:
                edits.append(Edit("unset", kind, (name,), draw(st.sampled_from(fields))))
    return edits


@settings(deadline=None, max_examples=150)
@given(st.data())
def test_edits_change_the_data_as_they_say_and_the_text_no_further(data):
    text = data.draw(seasons())
    old = data_of(text)
    edits = data.draw(edits_on(old))
    made = spliced(text, old, edits)
    assert same(by_name(data_of(made.text)), by_name(apply_edits(old, edits)))
    assert same(data_of(made.text), made.data)
    if all(edit.op in ("set", "add") for edit in edits):
        assert not Counter(comments_in(text)) - Counter(comments_in(made.text))
    assert apply_splices(text, made.splices) == made.text
    assert apply_splices(made.text, reverse(made.splices)) == text
    lines = text.split("\n")
    splice_lines(lines, made.splices)
    assert "\n".join(lines) == made.text
    named = {(e.kind, *e.ident) for e in edits}
    spared = [
        kept
        for kind in ("task", "cohort", "place")
        for i, record in enumerate(old.get(kind, []))
        if (kind, record["id"]) not in named
        for kept in key_lines(text, (kind, i))
    ]
    assert not lost(spared, made.text)


def by_name(data):
    """Data with the tasks in the order of their ids: new ones go to their places by date."""
    return {**data, "task": sorted(data.get("task", []), key=lambda task: task["id"])}


def key_lines(text, path):
    """The lines of a record's headers and keys; of one that stands in a list, its own text."""
    lines = locate(text)
    path = lines.in_file(path)
    if path[0] == "records":
        _, found, _ = lines.trail(path)
        return [text[found[-1].start : found[-1].end]]
    return [
        line
        for block in lines.under(path)
        for first, last in [
            (block.header, block.header),
            *((lines.line_at(e.start), lines.line_at(e.end)) for e in lines.entries(block)),
        ]
        for line in lines.pieces[first : last + 1]
    ]


def lost(spared, text):
    left = text.split("\n")
    for line in spared:
        if line.startswith("{"):
            if line not in text:
                return line
            continue
        # A last line without an end gets one when something is put below it.
        found = next((x for x in (line, line + "\r") if x in left), None)
        if found is None:
            return line
        left.remove(found)
    return None


@settings(deadline=None, max_examples=40)
@given(st.data())
def test_saves_and_undos_restore_every_byte(data):
    text = data.draw(seasons())
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "farm.toml"
        path.write_bytes(text.encode())
        seen = [text]
        for turn in range(2):
            edits = data.draw(edits_on(load(path).data, turn))
            saved = save_change(path, Change("some edits", tuple(edits)), who="ana", when=WHEN)
            if saved.n is not None:
                seen.append(saved.text)
            assert load(path).text == saved.text
            assert same(load(path).data, saved.data)
        for before in reversed(seen[:-1]):
            assert undo_last(path, who="ana", when=WHEN + timedelta(days=1)).exact
            assert path.read_bytes() == before.encode()


@settings(deadline=None, max_examples=60)
@given(st.data())
def test_undo_after_an_edit_by_hand_elsewhere_gives_the_data_back(data):
    text = data.draw(seasons())
    old = data_of(text)
    edits = [e for e in data.draw(edits_on(old)) if e.op in ("set", "add")]
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "farm.toml"
        path.write_bytes(text.encode())
        saved = save_change(path, Change("some edits", tuple(edits)), who="ana", when=WHEN)
        if saved.n is None:
            return
        path.write_bytes(b"# by hand\n" + saved.text.encode())
        undone = undo_last(path, who="ana", when=WHEN)
        assert not undone.exact
        assert path.read_bytes().startswith(b"# by hand\n")
        assert same(by_name(without_empty(undone.data)), by_name(without_empty(old)))


def without_empty(value):
    """Data without the empty tables, which taking a key away again does not leave behind."""
    if not isinstance(value, dict | list):
        return value
    if isinstance(value, list):
        return [without_empty(v) for v in value]
    return {k: without_empty(v) for k, v in value.items() if v != {}}


@settings(deadline=None, max_examples=60)
@given(st.data())
def test_every_key_is_found_on_its_line(data):
    text = data.draw(seasons())
    lines = locate(text)
    pieces = text.split("\n")
    for kind in ("task", "cohort", "place"):
        for i, record in enumerate(data_of(text).get(kind, [])):
            assert f'"{record["id"]}"' in pieces[lines.line((kind, i, "id")) - 1]
            for key in record:
                assert key_text((key,)) in pieces[lines.line((kind, i, key)) - 1]
