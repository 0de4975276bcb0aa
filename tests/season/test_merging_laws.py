"""What holds of any merge: laws over many seasons, and edits that do not meet."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calendar_tui.season.edits import TOP, Edit, apply_edits
from calendar_tui.season.kinds import identity
from calendar_tui.season.merging import differences, merge
from calendar_tui.season.sameness import same
from calendar_tui.season.task_ids import task_key
from tests.counting import lines_run

DAY = date(2026, 11, 8)
scalars = st.one_of(
    st.integers(0, 2), st.sampled_from([0.0, 1.0, True, "a", "b"]), st.lists(st.integers(0, 1), max_size=2)
)
tables = st.recursive(
    st.dictionaries(st.sampled_from(["p", "q"]), scalars, max_size=2),
    lambda inner: st.dictionaries(st.sampled_from(["p", "q"]), scalars | inner, max_size=2),
    max_leaves=4,
)
fields = st.dictionaries(st.sampled_from(["x", "y", "z"]), scalars | tables, max_size=3)
days = st.integers(0, 3).map(lambda n: DAY + timedelta(days=n))


def records(kind, ids, rest=fields):
    made = st.tuples(st.sampled_from(ids), rest).map(lambda r: {"id": r[0], **r[1]})
    return st.lists(made, max_size=len(ids), unique_by=lambda r: r["id"])


def laid_out(task):
    return task | {"chore": "scout", "cohort": "A1"} if "n" in task else task


hand_made = st.fixed_dictionaries({}, optional={"state": st.sampled_from(["open", "done"]), "date": days})
made_by_chores = st.fixed_dictionaries(
    {"n": st.integers(1, 3)},
    optional={"state": st.sampled_from(["open", "done"]), "date": days, "moved": st.booleans()},
).map(laid_out)


def seasons(tasks=hand_made):
    """Seasons without chores' tasks, of few ids and values, so that they meet often."""
    outage = st.fixed_dictionaries({"place": st.sampled_from(["H1", "H2"]), "from": days, "to": days})
    return st.fixed_dictionaries(
        {"format": st.just(1)},
        optional={
            "season": tables,
            "mine": scalars | tables,
            "tags": st.lists(st.integers(0, 2), max_size=2),
            "cohort": records("cohort", ["A1", "A2", "A3"]),
            "task": records("task", ["t1", "t2", "t3", "t4"], tasks),
            "note": st.lists(fields, max_size=2),
            "outage": st.lists(outage, max_size=3, unique_by=lambda r: (r["place"], r["from"])),
        },
    )


any_season = seasons(hand_made | made_by_chores)


def fresh(task, taken):
    return next(name for name in map("new{}".format, range(9)) if name not in taken)


def plainly(value, kind=""):
    """Data as the laws compare them: without empty tables and lists, and records in no order."""
    if isinstance(value, dict):
        inner = {k: plainly(v, "" if kind else k) for k, v in value.items()}
        return {k: v for k, v in inner.items() if v not in ({}, [])}
    if kind in ("cohort", "task", "outage") and isinstance(value, list):
        return {repr(identity(kind, r)): plainly(r, kind) for r in value}
    return value


def result(base, ours, theirs):
    return apply_edits(ours, merge(base, ours, theirs, fresh).edits)


def equal(one, other):
    return same(plainly(one), plainly(other))


@pytest.mark.slow
@settings(deadline=None, max_examples=300)
@given(any_season, any_season)
def test_a_side_that_changed_nothing_gives_way(base, changed):
    for ours, theirs in ((changed, base), (base, changed), (changed, changed)):
        found = merge(base, ours, theirs, fresh)
        assert found.conflicts == ()
        assert found.laid_out_twice == frozenset()
        assert equal(apply_edits(ours, found.edits), changed)
    assert merge(base, changed, base, fresh).edits == ()
    assert merge(base, changed, changed, fresh).edits == ()
    assert equal(apply_edits(base, differences(base, changed)), changed)


def without(data, conflicts):
    """The data without what the conflicts are about, where one side's value had to win."""
    for c in conflicts:
        if not c.field:
            continue
        records = [data] if c.kind == TOP else data[c.kind] if c.ident else [data[c.kind]]
        tables = [r for r in records if not c.ident or identity(c.kind, r) == c.ident]
        for key in c.field[:-1]:
            tables = [t[key] for t in tables if isinstance(t.get(key), dict)]
        for table in tables:
            table.pop(c.field[-1], None)
    return data


@pytest.mark.slow
@settings(deadline=None, max_examples=300)
@given(seasons(), seasons(), seasons())
def test_the_sides_may_be_swapped_but_for_whose_value_stays_in_a_conflict(base, ours, theirs):
    one, other = merge(base, ours, theirs, fresh), merge(base, theirs, ours, fresh)
    swapped = sorted(repr((c.kind, c.ident, c.field, c.base, c.theirs, c.ours)) for c in other.conflicts)
    assert swapped == sorted(
        repr((c.kind, c.ident, c.field, c.base, c.ours, c.theirs)) for c in one.conflicts
    )
    first = without(deepcopied(apply_edits(ours, one.edits)), one.conflicts)
    second = without(deepcopied(apply_edits(theirs, other.edits)), other.conflicts)
    assert equal(first, second)


def deepcopied(value):
    if isinstance(value, dict):
        return {k: deepcopied(v) for k, v in value.items()}
    return [deepcopied(v) for v in value] if isinstance(value, list) else value


@pytest.mark.slow
@settings(deadline=None, max_examples=300)
@given(any_season, any_season, any_season)
def test_no_id_names_two_tasks_and_merging_again_changes_nothing(base, ours, theirs):
    found = merge(base, ours, theirs, fresh)
    data = apply_edits(ours, found.edits)
    names = [task["id"] for task in data.get("task", [])]
    assert len(set(names)) == len(names)
    sides = [t for side in (ours, theirs) for t in side.get("task", [])]
    kept = {(t.get("id"), task_key(t)) for t in data.get("task", [])}
    # Every task of the result is one that a side has; a new id is given only to a task of theirs.
    assert {key for _, key in kept} <= {task_key(t) for t in sides}
    assert merge(theirs, data, theirs, fresh).edits == ()


def test_the_work_grows_with_the_season_and_no_faster():
    def work(tasks):
        def side(first, ticked):
            made = [
                {
                    "id": f"{first if n % 3 == 0 else 'k'}{n}",
                    "date": DAY,
                    "chore": "c",
                    "cohort": "A1",
                    "n": n,
                }
                for n in range(tasks)
            ]
            return {"task": [t | {"state": "done"} if t["n"] % 2 == ticked else t for t in made]}

        base, ours, theirs = side("k", 2), side("o", 0), side("t", 1)
        return lines_run(lambda: merge(base, ours, theirs, fresh))

    assert work(800) < 2.5 * work(400)


# --- edits that do not meet

BASE = {
    "format": 1,
    "season": {"a": 1, "b": 1, "c": {"p": 1, "q": 1}},
    "mine": {"id": 1, "b": 1},
    "cohort": [{"id": name, "x": 1, "y": 1, "planned": {"p": 1, "q": 1}} for name in ("A1", "A2", "A3")],
    "task": [{"id": name, "date": DAY, "state": "open"} for name in ("t1", "t2", "t3")],
    "outage": [{"place": "H1", "from": DAY, "to": DAY}],
}
# Each slot is one side's alone: (kind, identity, field), or a whole record.
SLOTS = [
    *(("season", (), f) for f in (("a",), ("b",), ("c", "p"), ("c", "q"), ("d", "e"))),
    *(("mine", (), f) for f in (("id",), ("b",))),
    *(
        ("cohort", ("A1",), f)
        for f in (("x",), ("y",), ("planned", "p"), ("planned", "q"), ("recorded", "p"))
    ),
    *((TOP, (), (f,)) for f in ("format", "fresh")),
    *(("cohort", (name,), ()) for name in ("A2", "A3", "B1", "B2")),
    *(("task", (name,), ()) for name in ("t1", "t2", "t9")),
    ("outage", ("H1", DAY), ()),
    ("spray", ("S1",), ()),
]


def there(data, slot):
    kind, ident, path = slot
    value = data if kind == TOP else data.get(kind)
    if ident:
        value = next((r for r in value or [] if identity(kind, r) == ident), None)
    for key in path:
        value = value.get(key) if isinstance(value, dict) else None
    return value is not None


@st.composite
def edit_of(draw, slot):
    kind, ident, path = slot
    if not path:
        keys = ("place", "from") if kind == "outage" else ("id",)
        made = dict(zip(keys, ident, strict=True)) | draw(fields)
        return Edit("remove", kind, ident) if there(BASE, slot) else Edit("add", kind, ident, (), made)
    if there(BASE, slot) and draw(st.booleans()):
        return Edit("unset", kind, ident, path)
    return Edit("set", kind, ident, path, draw(st.integers(5, 9)))


@st.composite
def two_hands(draw):
    slots = draw(st.permutations(SLOTS))
    cut, end = sorted((draw(st.integers(0, len(slots))), draw(st.integers(0, len(slots)))))
    return [[draw(edit_of(slot)) for slot in part] for part in (slots[:cut], slots[cut:end])]


@settings(deadline=None, max_examples=80)
@given(two_hands())
def test_edits_that_do_not_meet_commute_and_are_the_one_after_the_other(hands):
    one, two = hands
    ours, theirs = apply_edits(BASE, one), apply_edits(BASE, two)
    found = merge(BASE, ours, theirs, fresh)
    assert found.conflicts == ()
    both = apply_edits(apply_edits(BASE, one), two)
    assert equal(apply_edits(ours, found.edits), both)
    assert equal(result(BASE, theirs, ours), both)
    assert equal(apply_edits(BASE, [*two, *one]), both)
