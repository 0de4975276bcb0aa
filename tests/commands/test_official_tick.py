"""A tick of the work of the official sample records none, and tells how to record it."""

from __future__ import annotations

from pathlib import Path

from sampled_season import sampled_season
from small_season import run

TODAY = "2027-04-12"
WORK = """
[[chore]]
id = "official-sample"
what = "Official sample, cut by the authorised agent"
stage = "flowering"
offset_d = 30

[[task]]
id = "offi"
date = 2027-04-12
what = "Official sample, cut by the authorised agent"
chore = "official-sample"
cohort = "A1"
"""


def test_a_tick_of_the_official_sample_tells_that_none_is_recorded(tmp_path: Path) -> None:
    season = sampled_season(tmp_path, WORK)
    ran = run("done", season, "offi", today=TODAY)
    assert ran.status == 0, ran.said
    assert "the official sample of A1 is not recorded as taken yet; to record it:" in ran.out
    assert "  calendar-tui official A1 taken 2027-04-12 --who AGENT" in ran.out


def test_where_it_is_recorded_nothing_is_told(tmp_path: Path) -> None:
    season = sampled_season(tmp_path, WORK)
    official = ("official", season, "A1", "taken", "2027-04-12", "--who", "agent North", "--yes")
    assert run(*official, today=TODAY).status == 0
    assert "official sample of A1 is not" not in run("done", season, "offi", today=TODAY).out
