"""Every projected date that a command hands on has its range, in order, and the same question has the same bytes."""

from __future__ import annotations

import csv
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from small_season import run

from calendar_tui.storage.finding import example_files

EXAMPLES = {path.stem: path for path in example_files()}
TODAY = "2026-12-08"
ASKED = {
    "dates": ("dates",),
    "why": ("why", "{cohort}", "harvest"),
    "response": ("response", "{variety}", "{place}", "--from", "2026-12-01", "--to", "2026-12-20"),
    "load": ("load",),
    "plan": ("plan", "{cohort}", "lights_off", "2027-02-03", "--dry-run"),
}
COHORTS = {"two-rivers": ("A3", "amber", "H3")}
TRIPLES = (
    ("earliest", "likely", "latest"),
    ("low", "amount", "high"),
    *((f"{s}_earliest", s, f"{s}_latest") for s in ("trigger", "induced", "flowering", "harvest")),
    ("harvest_gap_least_d", "harvest_gap_d", "harvest_gap_most_d"),
)
PROJECTED = ("trigger", "induced", "flowering", "harvest", "dried")


def objects(found: Any) -> Iterator[dict[str, Any]]:
    """Every object in what a command prints, however deep; of a week's futures with the amount that they are of."""
    if isinstance(found, dict):
        futures = found.get("futures")
        yield found | futures if isinstance(futures, dict) else found
    for value in found.values() if isinstance(found, dict) else found if isinstance(found, list) else ():
        yield from objects(value)


def printed(example: str, asked: str) -> str:
    cohort, variety, place = COHORTS[example]
    words = [word.format(cohort=cohort, variety=variety, place=place) for word in ASKED[asked]]
    ran = run(words[0], EXAMPLES[example], *words[1:], "--json", today=TODAY)
    assert ran.status == 0, ran.err
    return ran.out


@pytest.mark.quick(2)
@pytest.mark.parametrize("asked", ASKED)
def test_what_is_printed_as_json_is_earliest_then_likely_then_latest(asked: str) -> None:
    seen = 0
    for found in objects(json.loads(printed("two-rivers", asked))):
        for low, likely, high in TRIPLES:
            if found.get(low) is not None and found.get(likely) is not None:
                assert found[low] <= found[likely] <= found[high], found
                seen += 1
    assert seen > 3


@pytest.mark.quick(1)
@pytest.mark.parametrize("asked", ASKED)
def test_the_same_question_has_the_same_bytes(asked: str) -> None:
    assert printed("two-rivers", asked) == printed("two-rivers", asked)


@pytest.mark.parametrize("example", EXAMPLES)
def test_every_projected_date_of_the_examples_has_its_range(example: str) -> None:
    rows = json.loads(run("dates", EXAMPLES[example], "--json", today=TODAY).out)["dates"]
    projected = [row for row in rows if row["stage"] in PROJECTED and row["status"] == "projected"]
    assert projected
    assert all(row["earliest"] <= row["likely"] <= row["latest"] for row in projected)
    wide = [row for row in projected if row["earliest"] < row["latest"]]
    assert len(wide) > len(projected) / 2


def test_table_and_calendar_have_the_ranges_of_the_dates(tmp_path: Path) -> None:
    season = EXAMPLES["two-rivers"]
    table, calendar = tmp_path / "dates.csv", tmp_path / "season.ics"
    ran = run("export", season, "--dates-table", table, "--calendar", calendar, "--yes", today=TODAY)
    assert ran.status == 0, ran.err
    rows = list(csv.DictReader(table.open(encoding="utf-8-sig")))
    dates = json.loads(run("dates", season, "--json", today=TODAY).out)["dates"]
    ranges = {(row["cohort"], row["stage"]): (row["earliest"], row["latest"]) for row in dates}
    own = {(row["cohort"], row["stage"]): (row["earliest"], row["latest"]) for row in rows if row["n"] == "1"}
    assert own == ranges
    text = calendar.read_text(encoding="utf-8").replace("\r\n ", "").replace("\n ", "")
    assert text.count("range: ") >= sum(earliest < latest for earliest, latest in ranges.values()) / 2
