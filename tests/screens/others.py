"""A season that others change while it is open: how they write to it, and how the full screen is made to look."""

from __future__ import annotations

import os
from datetime import UTC, datetime
from threading import Thread

import pytest
from season_on_disk import notes
from settling import settled

from calendar_tui.season.edits import Change, Edit
from calendar_tui.storage.season_file import save_change

WHEN = datetime(2026, 12, 8, 10, tzinfo=UTC)
MORE = """\
[[cohort]]
id = "A2"
variety = "amber"
start = "seed"
place = "H2"
plants = 20
planned = { seeding = 2026-10-19, lights_off = 2026-12-28 }
[[cohort]]
id = "A3"
variety = "amber"
start = "seed"
place = "H2"
planned = { seeding = 2026-11-02, lights_off = 2027-01-08 }
"""


def set_plants(n, cohort="A1"):
    return Change(f"{cohort} {n} plants", (Edit("set", "cohort", (cohort,), ("plants",), n),))


def save(path, change, who="ben"):
    """Save a change as another program does, from a thread of its own."""
    thread = Thread(target=lambda: save_change(path, change, who=who, when=WHEN))
    thread.start()
    thread.join()


def by_rename(path, text):
    new = path.with_name("two.toml~")
    new.write_text(text, encoding="utf-8")
    os.replace(new, path)


def in_place(path, text):
    path.write_text(text, encoding="utf-8")


WAYS = pytest.mark.parametrize("write", [by_rename, in_place], ids=["by rename", "in place"])


async def looked(app, pilot, times=1):
    """After this many looks, two seconds apart in life."""
    for _ in range(times):
        app.look()
        await settled(app, pilot)


async def begun(app, pilot):
    await settled(app, pilot)
    await looked(app, pilot, 2)
    assert notes(app) == []
