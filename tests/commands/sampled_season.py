"""The season of the other commands' tests, with two cohorts in flower, a laboratory and a sampling plan."""

from __future__ import annotations

from pathlib import Path

from small_season import PLAIN, run

TODAY = "2027-03-16"  # a Tuesday
_PLAN = """
[[chore]]
id = "samples"
what = "Cut samples"
stage = "sampling"
repeat = "FREQ=WEEKLY"
until = "harvest"
shows = ["bags"]
asks = "bag numbers"

[[laboratory]]
id = "lab"
takes = ["mon", "tue", "wed"]
price = 50

[[sampling]]
id = "weekly"
cohorts = ["A1", "D1"]
weekday = "tue"
laboratory = "lab"
"""


# Plots of the plants of A1, each with bags of its own in place of the plan's.
BY_PLOT = """
[[trial]]
id = "K1"
design = "blocks"
factors = { soil = ["bare", "mulch"] }
blocks = 2
place = "H1"

[[sampling]]
id = "plots"
cohorts = ["A1"]
by = "plot"
positions = ["top"]
weekday = "tue"
laboratory = "lab"

[records]
plot = [
  { id = "K1-101", trial = "K1", number = 101, block = 1, row = 1, column = 1, treatment = { soil = "mulch" }, cohort = "A1", place = "H1" },
  { id = "K1-102", trial = "K1", number = 102, block = 1, row = 1, column = 2, treatment = { soil = "bare" }, cohort = "A1", place = "H1" },
  { id = "K1-201", trial = "K1", number = 201, block = 2, row = 2, column = 2, treatment = { soil = "mulch" }, cohort = "A1", place = "H1", lost = 2027-03-02, why = "hail" },
  { id = "K1-202", trial = "K1", number = 202, block = 2, row = 2, column = 1, treatment = { soil = "bare" }, cohort = "A1", place = "H1" },
  { id = "K1-g", trial = "K1", row = 3, column = 1, place = "H1", entry = "guard" },
]
"""


def sampled_season(folder: Path, more: str = "") -> Path:
    """A season file in which A1 and D1 flower since the end of February, its tasks saved."""
    text = PLAIN.replace(
        "recorded = { seeding = 2026-10-05 }",
        "recorded = { seeding = 2026-10-05, transplant = 2026-10-30, lights_off = 2027-02-10, flowering = 2027-02-24 }",
    ).replace(
        "planned = { seeding = 2026-10-20 }",
        "planned = { seeding = 2026-10-20 }\nrecorded = { seeding = 2026-12-20, flowering = 2027-02-27 }",
    )
    path = folder / "season.toml"
    path.write_text(text + _PLAN + more)
    ran = run("tasks", path, "--yes", today=TODAY)
    assert ran.status == 0, ran.said
    return path
