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
