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


def test_as_json_the_counts_are_those_of_the_heading_and_of_the_line_of_a_login() -> None:
    """6 to decide, as `week --brief` and the heading count them: counted by hand, 2 of them are past on 16 Jun."""
    farm = Path(__file__).parents[2] / "seasons" / "north-bench.toml"
    found = json.loads(run("decide", farm, "--json", today="2026-06-16").out)
    assert found["counts"] == {"to_decide": 6, "to_look_at": 0, "to_record": 1, "closed": 1, "overdue": 2}
    assert "6 to decide, 1 to record, 1 not to enter" in run("decide", farm, today="2026-06-16").out
    line = run("week", farm, "--brief", today="2026-06-16").out
    assert "; decide: 6, first overdue since 10 Jun: E1-north" in line
    assert (found["first"]["too_late_since"], found["first"]["where"]) == ("2026-06-10", "G2")
    assert found["first"]["what"].startswith("E1-north result of bag")
    assert found["first"] in found["decisions"]


def test_as_json_what_has_nothing_to_decide_has_no_first(season: Path) -> None:
    found = json.loads(run("decide", season, "--json", today=MORNING).out)
    assert found["first"] is None
    assert found["counts"] == {
        "to_decide": 0,
        "to_look_at": 0,
        "to_record": len(found["decisions"]),
        "closed": 0,
        "overdue": 0,
    }


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
