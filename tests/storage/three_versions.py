"""Three versions of an invented season, and what they come to."""

from __future__ import annotations

from datetime import UTC, datetime

from calendar_tui.storage.merge_file import merged
from calendar_tui.storage.season_file import Note, load

WHEN = datetime(2026, 11, 8, 7, 30, tzinfo=UTC)
NOTE = Note("merge of theirs.toml", "ana", WHEN)
BASE = """\
# Two Rivers, an invented farm
format = 3

[season]
name = "Two Rivers"   # its name
first_day = 2026-09-15
last_day = 2027-05-15

[site]
latitude = -34.3
longitude = -56.7
timezone = "America/Montevideo"

[[place]]
id = "F1"
kind = "field"

[[place]]
id = "F2"
kind = "field"   # by the river

[[variety]]
id = "amber"
response = "short-day"

# --- cohorts
[[cohort]]
id = "A1"
variety  =  "amber"
start = "seed"
place = "F1"
plants = 120   # counted
planned = { seeding = 2026-10-05 }

[[cohort]]
id = "A2"
variety = "amber"
start = "seed"
place = "F1"
planned = { seeding = 2026-10-19 } # later
"""
SEEDED = "planned = { seeding = 2026-10-05 }\nrecorded = { seeding = 2026-10-06 }\n"


def no_names(task, taken):
    raise AssertionError("no task of these seasons needs another id")


def not_laid_out(data, keys):
    raise AssertionError("no task of these seasons is laid out twice")


def swap(text, *pairs):
    for old, new in zip(pairs[::2], pairs[1::2], strict=True):
        assert old in text
        text = text.replace(old, new, 1)
    return text


OURS = swap(BASE, "plants = 120   # counted", "plants = 118   # counted twice", "# --- cohorts", "# --- ours")
THEIRS = swap(
    BASE,
    "planned = { seeding = 2026-10-05 }\n",
    SEEDED,
    "# later",
    '# theirs say so\nnote = "sandy"',
    'kind = "field"   # by the river',
    'kind = "hoop house"',
)


def brought_together(folder, ours, theirs, base=BASE):
    """Write three versions and merge them; gives ours as it was read, and what was found."""
    sides = []
    for name, text in (("base", base), ("ours", ours), ("theirs", theirs)):
        (folder / f"{name}.toml").write_bytes(text.encode())
        sides.append(load(folder / f"{name}.toml"))
    return sides[1], merged(*sides, no_names, not_laid_out)
