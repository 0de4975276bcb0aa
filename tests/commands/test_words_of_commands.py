"""What commands print for people: no name of a file's key, no date as files have it, one as one and several as several."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from small_season import run

from calendar_tui.storage.finding import example_files

TODAY = "2026-12-08"
KEY = re.compile(r"[a-z0-9]_[a-z0-9]")
ISO = re.compile(r"\d{4}-\d\d-\d\d")
# "1 cohorts", "planned / planned", "from cutting".
SLIPS = re.compile(
    r"(?<![\d.,:/-])1 (cohorts|tasks|days|nights|plants|changes|weeks|records|warnings|problems|places|futures)\b"
    r"|\b([a-z]{3,}) / \2\b|\bfrom cutting\b|\b(is|are) not given\b"
)
# What may hold a key or such a date all the same, and why.
ALLOWED = {
    r"^(ours|theirs|base): ": "a merge shows what the file has",
    r"calendar-tui ": "a command to be typed",
}
READING = (
    "dates",
    "chart",
    "lamps",
    "quantities",
    "today",
    "week",
    "week --print",
    "week --brief",
    "cohort",
    "variety",
    "chores",
    "load",
    "tasks --dry-run",
    "check",
    "history",
)
WHOLE_STORY = (
    "why A1 harvest",
    "why A3 trigger",
    "variety amber critical day",
    "variety amber type",
    "variety amber --fit --dry-run",
    "variety dayfree critical day 14:00 --dry-run",
    "record A3 transplant 2026-12-08 --dry-run",
    "record A3 transplant 2027-12-08",
    "record H3 outage 2026-12-01 2026-12-04 --dry-run",
    "record H3 outage 2026-12-04 2026-12-01 --dry-run",
    "record A4 stay H2 2026-12-08 --dry-run",
    "plan A3 transplant 2026-12-24 --lights-off shift --dry-run",
    "plan A3 transplant 2025-12-24",
    "done k66g --dry-run",
    "done b7n8",
    "done b7n8 --on 2026-12-20",
    "skip rkp8 --why wet",
    "move 769b 2026-12-11",
    "note 769b hello",
    "variety amber critical day 14 h 10 --mark own --yes",
    "cohort A1 A2 spacing 1.5x0.7 --yes",
    "cohort A3 place H2 --yes",
    "chores scout offset 8 --yes",
    "chores scout until offset 20 --yes",
    "chores scout",
    "chores harvest-first stage",
    "history --full",
    "undo",
    "redo",
    "undo 3",
    "tasks --dry-run",
    "add cohort B4 --like B3 --later 14d --dry-run",
    "add place H7 kind nowhere",
    "set cohort B3 plants 10 --dry-run",
    "set cohort B3 transplant 3 oct 2026 --yes",
    "set place H1 lit day 30",
    "set place H1 lit day 14 h 30 --dry-run",
    "set variety amber critical day 12:00",
    "set crew days off 1 jan 2029",
    "rename place H1 H9 --dry-run",
    "remove place H1",
    "remove cohort B3 --dry-run",
    "record A3 lights off 2026-10-01",
    "record A1 induced 2026-11-10 --not-yet --dry-run",
)


@pytest.fixture(params=[file.stem for file in example_files()])
def example(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    return _copy(request.param, tmp_path)


def _copy(name: str, folder: Path) -> Path:
    (file,) = (file for file in example_files() if file.stem == name)
    path = folder / file.name
    path.write_bytes(file.read_bytes())
    return path


def _slips(text: str) -> list[str]:
    return [
        line
        for line in text.splitlines()
        if any(p.search(line) for p in (KEY, ISO, SLIPS))
        and not any(re.search(allowed, line) for allowed in ALLOWED)
    ]


@pytest.mark.slow
@pytest.mark.parametrize("command", READING)
def test_what_a_command_prints_has_no_key_no_date_of_files_and_no_slip(example: Path, command: str) -> None:
    name, *flags = command.split()
    ran = run(name, example, *flags, today=TODAY)
    assert ran.status in (0, 1), ran.said
    assert _slips(ran.said.replace(str(example), "")) == []


@pytest.mark.slow
def test_what_is_changed_asked_and_refused_has_no_key_no_date_of_files_and_no_slip(tmp_path: Path) -> None:
    season = _copy("two-rivers", tmp_path)
    told = {}
    for command in WHOLE_STORY:
        name, *words = command.split()
        ran = run(name, season, *words, today=TODAY)
        told[command] = _slips(ran.said.replace(str(tmp_path), ""))
    assert {command: lines for command, lines in told.items() if lines} == {}


def test_check_counts_clashes_under_the_same_names_and_figures_as_the_day(tmp_path: Path) -> None:
    season = _copy("two-rivers", tmp_path)
    day = " ".join(run("today", season, today=TODAY).out.split("\n\n")[0].split())
    check = run("check", season, today=TODAY).out.splitlines()[0]
    assert day.endswith(": 9 to decide, 4 overdue, 2 today, 1 to record, 3 clashes")
    assert check == "11 cohorts, 358 tasks, 1 to record, 3 clashes (see dates)."
