"""Work that must not be done stands as held wherever the crew reads it: a failed lot, a closed place."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from small_season import run

TODAY = "2026-06-16"
FAILED = "HOLD: do not cut: the official sample o3 of E1-north of Tue 9 Jun 2026 failed"
CLOSED = "HOLD: do not enter: F2 is closed from Tue 16 Jun 06:10 until Tue 16 Jun 18:55"


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    """The example on a day on which a lot of E1 has failed and F2 is closed."""
    path = tmp_path / "north-bench.toml"
    path.write_bytes((Path(__file__).parents[2] / "seasons" / "north-bench.toml").read_bytes())
    return path


def words(bench: Path, *command: str, today: str = TODAY) -> str:
    ran = run(command[0], bench, *command[1:], today=today)
    assert ran.status == 0, ran.said
    return " ".join(ran.out.split())


@pytest.mark.parametrize("flags", [(), ("--print",)])
def test_the_crew_is_not_told_to_harvest_a_failed_lot_without_a_word(
    bench: Path, flags: tuple[str, ...]
) -> None:
    harvest = words(bench, "week", *flags).split("Harvest, all at once")[1]
    assert FAILED in harvest.split("Load the dryer")[0]


def test_each_work_in_a_closed_place_is_marked_with_why_once_a_place(bench: Path) -> None:
    text = words(bench, "week")
    assert text.count(CLOSED) == 1
    assert text.split(CLOSED)[1].count("HOLD to 18:55, as above") == 1


def test_on_paper_each_work_has_why_by_itself(bench: Path) -> None:
    assert words(bench, "week", "--print").count(CLOSED) == 2


def test_the_work_of_a_failed_lot_has_why_once_and_is_marked_each_time(bench: Path) -> None:
    text = words(bench, "week")
    assert text.count(FAILED) == 1
    assert "HOLD E1-north G2, as above" in text.split(FAILED)[1]


def test_the_sheet_has_them(bench: Path, tmp_path: Path) -> None:
    sheet = tmp_path / "week.html"
    words(bench, "export", "--sheet", str(sheet))
    text = sheet.read_text(encoding="utf-8")
    assert FAILED in text
    assert text.count(CLOSED) == 2


def test_today_has_them(bench: Path) -> None:
    text = words(bench, "today")
    assert text.count(CLOSED) == 2  # of two places: what stands in F2, and a trip that goes there
    assert FAILED in words(bench, "today", today="2026-06-20")


def test_as_json_each_task_has_its_hold(bench: Path) -> None:
    week = json.loads(run("week", bench, "--json", today=TODAY).out)
    tasks = {task["id"]: task for day in week["days"] for task in day["tasks"]}
    assert tasks["hvtb"]["hold"].startswith("do not cut: ")
    assert tasks["2r59"]["hold"].startswith("do not enter: ")
    assert tasks["b876"]["hold"] is None


def test_work_in_a_closed_place_is_not_ticked_without_a_question(bench: Path) -> None:
    before = bench.read_bytes()
    ran = run("done", bench, "2r59", "--fact", "40 %", today=TODAY, typed="n\n")
    asked = " ".join(ran.said.split())
    assert CLOSED in asked
    assert "Save it? [y/N]" in asked
    assert bench.read_bytes() == before
    yes = run("done", bench, "2r59", "--fact", "40 %", today=TODAY, typed="y\n")
    assert yes.status == 0, yes.said
    assert bench.read_bytes() != before


def test_work_done_before_the_place_was_closed_is_ticked_without_one(bench: Path) -> None:
    ran = run("done", bench, "2r59", "--on", "2026-06-15", "--fact", "40 %", today=TODAY)
    assert ran.status == 0, ran.said
    assert "HOLD" not in ran.said


def test_the_harvest_of_a_failed_lot_is_not_ticked_without_a_question(bench: Path) -> None:
    before = bench.read_bytes()
    ran = run("done", bench, "hvtb", "--on", "2026-06-20", "--fact", "20 kg", today="2026-06-20", typed="n\n")
    asked = " ".join(ran.said.split())
    assert FAILED in asked
    assert "Save all the same? [y/N]" in asked
    assert bench.read_bytes() == before
