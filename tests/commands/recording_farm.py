"""The small season with a task whose tick records a stage, and what its file holds."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

from small_season import PLAIN, swap

from tests.season_data import data_of

RECORDING = (
    swap('stage = "transplant"\nwho = "crew"', 'stage = "transplant"\nrecords = "transplant"\nwho = "crew"')(
        PLAIN
    )
    + """
[[chore]]
id = "count"
what = "Count survivors"
stage = "transplant"
offset_d = 7
starts = ["seed"]
asks = "plants alive"

[[chore]]
id = "note"
what = "Record count and plot"
stage = "transplant"
"""
)


def data(path: Path) -> dict[str, Any]:
    return data_of(path.read_text(encoding="utf-8"))


def task(path: Path, chore: str, n: int = 1) -> dict[str, Any]:
    return next(t for t in data(path)["task"] if (t["chore"], t["n"], t["cohort"]) == (chore, n, "A1"))


def recorded(path: Path) -> dict[str, date]:
    found: dict[str, date] = data(path)["cohort"][0]["recorded"]
    return found


def changes(path: Path) -> int:
    return len(path.with_suffix("").with_name("near-fields.history.jsonl").read_text().splitlines())
