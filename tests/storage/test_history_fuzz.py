"""2,000 histories gone wrong: told and passed over or refused with a sentence; nothing taken as true that is not."""

import json
from random import Random

import pytest

from calendar_tui.storage.history.as_it_was import as_it_was_on
from calendar_tui.storage.history.undo import read_history, redo_last, undo_last
from calendar_tui.storage.problems import SeasonFileError
from tests.storage.small_farm import WHEN, farm, save, tick

pytestmark = pytest.mark.slow

CASES, BATCHES = 2000, 4
BY = {"who": "ana", "when": WHEN}
ODD = [None, True, 0, -1, 1e9, 10**30, "", "x", "2026-13-45", [], [[]], {}, {"$date": "x"}, {"$float": "inf"}, [1, 2], "\x1b[2J", "\ud800"]  # fmt: skip


def begun(path):
    """A season with a history of saves, an undo and a redo."""
    path.write_text(farm(4))
    for n in range(4):
        save(path, tick(f"T{n}"))
    undo_last(path, 2, **BY)
    redo_last(path, **BY)


def places(value, at=()):
    """The paths of all values in a JSON value."""
    yield at
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, one in inner:
        yield from places(one, (*at, key))


def odd_line(line, chance):
    """A line with one of its values gone wrong, or taken away."""
    row = json.loads(line)
    *way, last = chance.choice(list(places(row))[1:])
    inner = row
    for key in way:
        inner = inner[key]
    if chance.random() < 0.2:
        del inner[last]
    else:
        inner[last] = chance.choice(ODD)
    return json.dumps(row).encode() + b"\n"


def odd_lines(lines, chance):
    """Lines doubled, dropped, swapped, cut or with a value or some bytes gone wrong."""
    out = list(lines)
    at, to = chance.randrange(len(out)), chance.randrange(len(out))
    way = chance.randrange(6)
    if way == 0:
        out[at], out[to] = out[to], out[at]
    elif way == 1:
        out.insert(to, out[at])
    elif way == 2:
        del out[at]
    elif way == 3:
        out[at] = out[at][: chance.randrange(len(out[at]))]
    elif way == 4:
        out[at] = out[at][:to] + chance.randbytes(3) + out[at][to + 1 :]
    else:
        out[at] = odd_line(out[at], chance)
    return b"".join(out)


def tried(work):
    """What went well, or None where it was refused with a sentence."""
    try:
        return work()
    except SeasonFileError:
        return None


@pytest.mark.parametrize("batch", range(BATCHES))
def test_a_history_gone_wrong_is_no_trap(memory_folder, batch):
    path = memory_folder / "farm.toml"
    history = path.with_name("farm.history.jsonl")
    begun(path)
    text, lines = path.read_bytes(), history.read_bytes().splitlines(keepends=True)
    undone = 0
    for n in range(batch, CASES, BATCHES):
        path.write_bytes(text)
        history.write_bytes(odd_lines(lines, Random(f"history {n}")))
        try:
            tried(lambda: read_history(path))
            tried(lambda: as_it_was_on(path, WHEN.date(), WHEN.tzinfo))
            undone += tried(lambda: undo_last(path, **BY)) is not None
            # Where a line is lost, an older change may be the newest: its field goes back, and nothing else.
            assert path.read_text().replace('"done"', '"open"') == farm(4)
            tried(lambda: redo_last(path, **BY))
            assert save(path, tick("T0", "skipped")).n
        except Exception as error:
            error.add_note(f"case {n}")
            raise
    assert undone > CASES / BATCHES / 4
