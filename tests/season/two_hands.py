"""A small season, changes to copies of it, and the copies merged."""

from __future__ import annotations

from copy import deepcopy
from datetime import date

from calendar_tui.season.edits import apply_edits
from calendar_tui.season.merging import merge

D = date(2026, 11, 8)


def season():
    return {
        "format": 1,
        "season": {"name": "Two Rivers"},
        "site": {"latitude": -34.3},
        "mine": {"a": 1, "deep": {"b": 2}},
        "tags": ["x"],
        "place": [{"id": "H1", "lamps": {"target_h": 16.0, "kw": 0.9}}, {"id": "F1"}],
        "cohort": [
            {"id": "A1", "plants": 120, "planned": {"seeding": date(2026, 10, 5)}},
            {"id": "A2", "plants": 80, "planned": {"seeding": date(2026, 10, 19)}},
        ],
        "outage": [{"place": "H1", "from": D, "to": D}],
        "task": [task("k7d2"), task("mmmm", n=2), {"id": "own1", "date": D, "what": "Mow"}],
    }


def task(name, n=1, chore="scout", cohort="A1", **rest):
    return {"id": name, "date": D, "what": "Scout", "chore": chore, "cohort": cohort, "n": n, **rest}


def fresh(record, taken):
    return next(name for name in ("new1", "new2", "new3") if name not in taken)


def record(data, kind, name):
    return next(r for r in data[kind] if r["id"] == name)


def by_id(data):
    """Data with its lists of records as tables, so that their order does not count."""
    return {
        key: {repr([r.get(k) for k in ("id", "place", "from")]): r for r in value}
        if isinstance(value, list) and value and isinstance(value[0], dict)
        else value
        for key, value in data.items()
        if value not in ({}, [])
    }


def merged(mine, other, base=None):
    """The merged data and what was found, for two functions that change a copy of a base in place."""
    base = season() if base is None else base
    ours, theirs = deepcopy(base), deepcopy(base)
    mine(ours)
    other(theirs)
    kept = deepcopy((base, ours, theirs))
    found = merge(base, ours, theirs, fresh)
    assert (base, ours, theirs) == kept
    return apply_edits(ours, found.edits), found


def put(kind, name, *path, value):
    def change(data):
        table = data[kind] if name is None else record(data, kind, name)
        for key in path[:-1]:
            table = table.setdefault(key, {})
        if value is None:
            del table[path[-1]]
        else:
            table[path[-1]] = value

    return change


def add(kind, **values):
    return lambda data: data.setdefault(kind, []).append(dict(values))


def drop(kind, name):
    return lambda data: data[kind].remove(record(data, kind, name))


def top(key, value):
    return lambda data: data.pop(key) if value is None else data.__setitem__(key, value)


def all_of(*changes):
    def change(data):
        for one in changes:
            one(data)

    return change


def nothing(data):
    pass
