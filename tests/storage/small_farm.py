"""A season file of a few tasks, and changes to it, for the trials of saving."""

from datetime import UTC, datetime

from calendar_tui.season.edits import Change, Edit
from calendar_tui.storage.season_file import save_change

WHEN = datetime(2026, 10, 5, 7, 30, tzinfo=UTC)


def farm(tasks):
    """A season file with tasks T0, T1, ..., all open."""
    rows = "".join(f'  {{ id = "T{i}", state = "open" }},   # mine\n' for i in range(tasks))
    return f"# The farm\n[records]\ntask = [\n{rows}]\n"


def tick(name="T1", state="done"):
    return Change(f"tick {name}", (Edit("set", "task", (name,), ("state",), state),))


def save(path, change, **rest):
    return save_change(path, change, **{"who": "ana", "when": WHEN, **rest})


def left(folder):
    """What lies in a folder, but for the lock."""
    return sorted(p.name for p in folder.iterdir() if not p.name.endswith(".lock"))
