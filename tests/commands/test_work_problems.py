"""What makes no sense in chores and crew is told with file and line, and nothing is lost or written."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from small_season import PLAIN, run, swap

CREW = '\n[crew]\nwork_days = ["mon", "tues"]\nblocked = [2026-12-25]\n'
# What is wrong: (change, words of the sentence, a part of the line that it names).
CASES: dict[str, tuple[Callable[[str], str], str, str]] = {
    "a repeat without an end": (
        swap('until = "harvest"\n', ""),
        "repeat and until go together; a repeat ends at the stage in until",
        'repeat = "FREQ=WEEKLY"',
    ),
    "negative hours": (swap("hours = 0.5", "hours = -0.5"), "it must be from 0 to 10000", "hours = -0.5"),
    "two chores of one id": (
        swap('id = "scout"', 'id = "harvest"'),
        'id "harvest" is used by two chore records; give one another id',
        'id = "harvest"\nwhat = "Harvest"',
    ),
    "an unknown stage": (
        swap('stage = "harvest"', 'stage = "harvested"'),
        'did you mean "harvest"?',
        'stage = "harvested"',
    ),
    "an unknown work day": (lambda text: text + CREW, 'did you mean "tue"?', 'work_days = ["mon", "tues"]'),
    "a blocked day far off": (
        lambda text: text + CREW.replace('"tues"', '"tue"').replace("2026-12-25", "2062-12-25"),
        "is it the right year?",
        "blocked = [2062-12-25]",
    ),
    "a stage recorded again and again": (
        swap('until = "harvest"', 'until = "harvest"\nrecords = "harvest"'),
        "a chore that repeats cannot record it",
        'records = "harvest"',
    ),
    "daylight at no hour": (
        swap('stage = "harvest"', 'stage = "harvest"\ndaylight = true'),
        'add time = "07:00"',
        "daylight = true",
    ),
}


@pytest.mark.parametrize("case", CASES)
def test_it_is_told_with_its_line_and_nothing_is_written(case: str, tmp_path: Path) -> None:
    change, said, part = CASES[case]
    path = tmp_path / "wrong.toml"
    text = change(PLAIN)
    path.write_text(text, encoding="utf-8")
    ran = run("check", path)
    assert ran.status == 1
    line = text[: text.index(part)].count("\n") + 1
    assert f"{path}:{line}: " in ran.out, ran.out
    assert said in ran.out
    for words in (("tasks", path, "--yes"), ("record", path, "A1", "transplant", "today", "--yes")):
        assert run(*words).status == 2
    assert path.read_text(encoding="utf-8") == text
