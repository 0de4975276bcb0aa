"""The season of the tests of results: two bags of A1 at a laboratory, and what is read of it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from sampled_season import TODAY, sampled_season
from small_season import Ran, run

from tests.season_data import data_of

BAGS = """
[records]
sample = [
  { id = "26A1TA", date = 2027-03-10, cohort = "A1", laboratory = "lab", state = "sent", sent = 2027-03-10 },
  { id = "K7Q2RY", date = 2027-03-10, cohort = "A1", position = "middle", laboratory = "lab", state = "sent", sent = 2027-03-10 },
]
"""
LONG = "Sample ID;Analyte;Result;Unit;LOQ\n26A1TA;d9-THC;<0,02;%;0,02\n26A1TA;THCA;0,25;%;0,02\nK7Q2RY;THC;0,05;%;\nK7Q2RY;THCA;0,30;%;\n"


@pytest.fixture
def season(tmp_path: Path) -> Path:
    path = sampled_season(tmp_path)
    text = path.read_text()
    assert "[records]\n" in text
    path.write_text(text.replace("[records]\n", BAGS.lstrip(), 1))
    assert run("check", path, today=TODAY).status == 0
    return path


def result(season: Path, *words: object) -> Ran:
    return run("result", season, *words, today=TODAY)


def one_line(ran: Ran) -> str:
    return " ".join(ran.said.split())


def results(season: Path) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = data_of(season.read_text()).get("result", [])
    return found


def file(season: Path, text: str, name: str = "lab.csv") -> Path:
    path = season.with_name(name)
    path.write_bytes(text.encode())
    return path


def with_factor(season: Path, factor: str) -> None:
    """The shipped rules with another acid factor, "" for none."""
    assert run("rules", season, "us", "--yes", today=TODAY).status == 0
    set_to = f"acid_factor = {factor}\n" if factor else ""
    text = season.read_text()
    assert "acid_factor = 0.877\n" in text
    season.write_text(text.replace("acid_factor = 0.877\n", set_to, 1))
    assert run("check", season, today=TODAY).status == 0
