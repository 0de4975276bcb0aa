"""A small season with a trial that is observed, and the commands for it."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from small_season import PLAIN, run

from tests.season_data import data_of

TODAY = "2027-01-20"
TRIALS = """
[[trial]]
id = "K1"
design = "blocks"
factors = { soil = ["bare", "mulch", "straw"] }
blocks = 2
place = "F1"

[[trial]]
id = "K2"
design = "blocks"
factors = { soil = ["bare", "mulch"] }
place = "F1"

[[variable]]
id = "height"
unit = "cm"
low = 0
high = 400

[[variable]]
id = "stem"
unit = "mm"
per = "plant"
plants = 2

[[variable]]
id = "stand"
unit = "1"
scale = "count"
planned = "plants"

[[variable]]
id = "flowers"
unit = "%"
scale = "share"
stage = "flowering"
definition = "first open pistils at the tip of half the plants"

[[chore]]
id = "measure"
what = "Measure plots"
stage = "sticking"
offset_d = 59
repeat = "FREQ=WEEKLY;COUNT=3"
until = "harvest"
starts = ["cutting"]
observe = ["height", "stand"]

[records]
task = [
  { id = "m1", date = 2027-01-11, what = "Measure plots", chore = "measure", cohort = "B1", n = 1 },
  { id = "m2", date = 2027-01-18, what = "Measure plots", chore = "measure", cohort = "B1", n = 2 },
]
plot = [
  { id = "K1-101", trial = "K1", number = 101, block = 1, row = 1, column = 1, treatment = { soil = "bare" }, cohort = "B1", place = "F1", plants = 36 },
  { id = "K1-102", trial = "K1", number = 102, block = 1, row = 1, column = 2, treatment = { soil = "straw" }, cohort = "B1", place = "F1", plants = 36 },
  { id = "K1-202", trial = "K1", number = 202, block = 2, row = 2, column = 1, treatment = { soil = "bare" }, cohort = "B1", place = "F1", lost = 2027-01-15, why = "deer" },
  { id = "K1-201", trial = "K1", number = 201, block = 2, row = 2, column = 2, treatment = { soil = "mulch" }, cohort = "B1", place = "F1" },
  { id = "K1-g", trial = "K1", row = 3, column = 1, entry = "guard", place = "F1" },
  { id = "K2-101", trial = "K2", number = 301, row = 9, column = 1, treatment = { soil = "bare" }, place = "F1" },
]
"""


@pytest.fixture
def season(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "near-fields.toml"
    path.write_text(PLAIN.replace("format = 3", "format = 3") + TRIALS, encoding="utf-8")
    return path


def observe(path, *words, typed="", today=TODAY):
    return run("observe", path, *words, today=today, typed=typed)


def book(path, *words, typed="", today=TODAY):
    return run("field-book", path, *words, today=today, typed=typed)


def there(path):
    rows = data_of(path.read_text()).get("observation", [])
    return [
        (str(row["date"]), row["at"], row["variable"], row.get("value", row.get("state"))) for row in rows
    ]


def sheet(path, **cells):
    """A sheet of the trial, its cells by plot and variable filled in: K1_101_height="84.5"."""
    assert book(path, "K1", "--csv", "sheet.csv", "--variables", "height,stand", "--yes").status == 0
    rows = list(csv.reader(io.StringIO(Path("sheet.csv").read_text(encoding="utf-8-sig"))))
    heads = [head.partition(" (")[0] for head in rows[0]]
    for name, value in cells.items():
        *plot, variable = name.split("_")
        row = next(row for row in rows if row[0] == "-".join(plot))
        row[heads.index(variable)] = value
    return rows


def take(path, rows, *words, typed=""):
    text = "\n".join(",".join(f'"{cell}"' for cell in row) for row in rows)
    Path("filled.csv").write_text(text, encoding="utf-8")
    return book(path, "K1", "--take", "filled.csv", *words, typed=typed)
