"""An invented season of three cohorts for the commands, and a way to run a command in this process."""

from __future__ import annotations

import contextlib
import io
import re
import sys
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import NamedTuple

from calendar_tui.cli import main
from tests.season_data import data_of

TODAY = "2026-11-09"  # a Monday
PLAIN = """\
# The near fields
format = 3

[season]
name = "Near Fields 2026-27"
first_day = 2026-09-01
last_day = 2027-06-30

[site]
latitude = -34.3   # degrees
longitude = -56.7
timezone = "America/Montevideo"

[[place]]
id = "N1"
kind = "nursery"

[[place]]
id = "H1"
kind = "hoop house"
area_m2 = 180
lamps = { target_h = 16.0, kw = 0.9 }

[[place]]
id = "F1"
kind = "field"

[[variety]]
id = "amber"
response = "short-day"
critical_day = "14:00"
full_response_day = "12:30"
inductive_days = [7, 8, 10]
marks = { critical_day = "practice" }

[[variety]]
id = "dayfree"
response = "day-neutral"

[[cohort]]
id = "A1"
variety = "amber"
start = "seed"
nursery = "N1"
place = "H1"
plants = 120
spacing_m = [1.5, 0.6]
planned = { seeding = 2026-10-05, transplant = 2026-10-30, lights_off = 2027-02-10 }
recorded = { seeding = 2026-10-05 }

[[cohort]]
id = "B1"
variety = "amber"
start = "cutting"
place = "F1"
planned = { sticking = 2026-11-20 }

[[cohort]]
id = "D1"
variety = "dayfree"
start = "seed"
place = "F1"
planned = { seeding = 2026-10-20 }

[[outage]]
place = "H1"
from = 2026-11-20
to = 2026-11-21

[[chore]]
id = "transplant"
what = "Transplant by hand"
stage = "transplant"
who = "crew"
hours = 0.85
per = "100 plants"
caution = "Heat: water and shade."

[[chore]]
id = "scout"
what = "Scout pests"
stage = "transplant"
offset_d = 7
repeat = "FREQ=WEEKLY"
until = "harvest"
who = "scout"
hours = 0.5

[[chore]]
id = "harvest"
what = "Harvest"
stage = "harvest"
starts = ["seed"]
"""


CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u200b-\u200f\u2028\u2029\u202a-\u202e\u2066-\u2069]")


class Ran(NamedTuple):
    """What a command answered."""

    status: int
    out: str
    err: str

    @property
    def said(self) -> str:
        return self.out + self.err


def run(*words: object, typed: str | None = None, today: str | None = TODAY) -> Ran:
    """Run a command in this process. typed: what a person types; None where nobody is there."""
    out, err, keyboard = io.StringIO(), io.StringIO(), sys.stdin
    argv = [str(word) for word in words] + (["--today", today] if today else [])
    sys.stdin = io.StringIO(typed or "")
    try:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            try:
                status = main(argv)
            except SystemExit as left:  # words that are not understood
                status = int(left.code or 0)
    finally:
        sys.stdin = keyboard
    return Ran(status, out.getvalue(), err.getvalue())


@cache
def with_tasks(folder: Path) -> str:
    """The season's text with its tasks saved in it, as the program saves them."""
    path = folder / "made.toml"
    path.write_text(PLAIN, encoding="utf-8")
    ran = run("tasks", path, "--yes")
    assert ran.status == 0, ran.said
    return path.read_text(encoding="utf-8")


def line_of(text: str, part: str) -> int:
    """The number, from 1, of the first line that holds `part`."""
    return next(n for n, line in enumerate(text.splitlines(), 1) if part in line)


def swap(old: str, new: str) -> Callable[[str], str]:
    def change(text: str) -> str:
        assert old in text
        return text.replace(old, new, 1)

    return change


def refused_quietly(said: str) -> None:
    assert "Traceback" not in said
    assert not CONTROL.search(said.replace("\n", "")), said


def ids(season: Path) -> list[str]:
    return [task["id"] for task in data_of(season.read_text())["task"]]
