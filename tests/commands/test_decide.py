"""The command `decide`, and its line in `week --brief`."""

from __future__ import annotations

import json
from pathlib import Path

from small_season import run

MORNING = "2026-11-09"
SPRAY = """spray = [
  { id = "s1", date = 2026-11-09, place = "H1", product = "Soap", start = "07:00", end = "08:00", reentry = "12 h" },
]
"""


def sprayed(season: Path) -> Path:
    text = season.read_text()
    assert text.count("[records]") == 1
    season.write_text(text + SPRAY)
    return season


def test_the_list_begins_with_what_is_past_and_ends_with_what_has_no_day(season: Path) -> None:
    ran = run("decide", sprayed(season), today=MORNING)
    assert ran.status == 0, ran.said
    first, *lines = ran.out.splitlines()
    assert first.startswith("Near Fields 2026-27  Mon 9 Nov 2026: ")
    assert lines[0] == "  H1: A1 emergence to record: to come by 12 Oct at the latest; look for"
    assert "  H1 closed until Mon 9 Nov 20:00: Soap" in lines
    assert lines[-2:] == [
        "  H1: record of Soap, 9 Nov: missing: registration number, total, area, who",
        "    applied it",
    ]


def test_as_json_each_row_has_what_where_by_when_and_why(season: Path) -> None:
    found = json.loads(run("decide", sprayed(season), "--json", today=MORNING).out)
    assert found["date"] == MORNING
    (closed,) = [row for row in found["decisions"] if row["kind"] == "closed"]
    assert closed == {
        "kind": "closed",
        "about": "H1",
        "cohorts": [],
        "what": "H1 closed until Mon 9 Nov 20:00",
        "where": "H1",
        "by": MORNING,
        "too_late_since": None,
        "why": "Soap",
        "stage": "",
        "rules": "",
    }
    late = next(row for row in found["decisions"] if row["kind"] == "record")
    assert late["too_late_since"] > late["by"]


def test_more_words_are_refused(season: Path) -> None:
    ran = run("decide", season, "A1")
    assert ran.status == 2
    assert "A1" in ran.err


def test_the_line_of_a_login_counts_what_is_to_be_decided_and_names_the_first(season: Path) -> None:
    before = run("week", season, "--brief", today=MORNING).out
    assert "decide" not in before
    line = run("week", sprayed(season), "--brief", today=MORNING).out
    assert (
        line
        == f"{before.rstrip()}; do not enter: H1 until Mon 9 Nov 20:00; decide: 1, first record of Soap, 9 Nov\n"
    )
    assert "decide" not in run("week", season, "--brief", "--role", "crew", today=MORNING).out
