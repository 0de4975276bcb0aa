"""How the text of a small season begins, records of a crop, and the data in such a text by the reader of Python's own library."""

from __future__ import annotations

import tomllib

from calendar_tui.season.edits import Data
from calendar_tui.season.kinds import by_kind

# The season and its site; places, varieties and cohorts follow.
TWO_RIVERS = """\
format = 3
[season]
name = "Two Rivers"
first_day = 2026-09-15
last_day = 2027-05-15
[site]
latitude = -34.3
longitude = -56.7
timezone = "America/Montevideo"
"""


def data_of(text: str) -> Data:
    """The data, each kind of record under its own name."""
    return by_kind(tomllib.loads(text))


def without_crop(text: str) -> str:
    """The text of an example without its rules, lots, laboratory and plans, and of its records with the tasks alone."""
    head, _, rest = text.partition("\n# --- rules, the laboratory")
    chores, _, tasks = rest.partition("\n[records]\n")
    tasks = tasks.partition("\n]\n")[0]
    return "\n".join((head + chores[chores.index("\n# --- chores") :], "[records]", tasks, "]", ""))


def crop_text(cohort: str, place: str) -> str:
    """Rules, a lot of a cohort and a laboratory; then, in the table of records, a spray of a place, a bag, its result, a pass and its batch."""
    return f"""
[[profile]]
id = "us"
name = "here"
limit_percent = 0.3
as_of = 2026-11-28
source = "a page"
[[lot]]
id = "L1"
cohort = "{cohort}"
rules = "us"
[[laboratory]]
id = "lab"
[records]
spray = [{{ id = "s1", date = 2026-12-01, place = "{place}", product = "soap", reentry = "12 h", start = "16:30", end = "17:15" }}]
sample = [{{ id = "26A1TA", date = 2027-02-23, cohort = "{cohort}", lot = "L1", laboratory = "lab" }}]
result = [{{ id = "r1", date = 2027-03-02, sample = "26A1TA", found = {{ THC = "0.02" }} }}]
pass = [{{ id = "p1", date = 2027-03-24, lot = "L1", fresh_kg = {{ top = 31.5 }}, batch = "D1" }}]
batch = [{{ id = "D1", date = 2027-03-24, out = 2027-03-30 }}]
"""
