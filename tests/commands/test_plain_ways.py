"""set asks what the commands of their own ask, and saves nothing on an n."""

from pathlib import Path

import pytest
from cut_season import cut_season
from small_season import run

BENCH = Path(__file__).parents[2] / "seasons" / "north-bench.toml"


def test_a_closure_is_not_shortened_by_set_without_a_question(tmp_path: Path) -> None:
    path = tmp_path / "north-bench.toml"
    path.write_bytes(BENCH.read_bytes())
    ran = run("set", path, "spray", "s3", "reentry", "1 h", today="2026-06-16", typed="n\n")
    told = " ".join(ran.said.split())
    assert "F2 is closed from Tue 16 Jun 06:10 until Tue 16 Jun 18:55" in told
    assert "with this it would be open" in told
    assert "Save all the same? [y/N]" in told
    assert path.read_bytes() == BENCH.read_bytes()


@pytest.mark.parametrize("part", ["top", "middle"])
def test_a_weight_without_its_kg_is_told_how_it_is_typed(tmp_path: Path, part: str) -> None:
    ran = run("pass", cut_season(tmp_path), "A1", part, "5", "why", "ripe", today="2027-04-20")
    assert ran.status != 0
    assert f'"{part} 5": write {part} 5 kg' in " ".join(ran.said.split())


def test_a_weight_in_another_unit_is_no_date(tmp_path: Path) -> None:
    ran = run("pass", cut_season(tmp_path), "A1", "top", "14", "stone", "why", "ripe", today="2027-04-20")
    assert ran.status != 0
    assert '"top 14 stone": a weight is in kg or lb; write such as top 12.5 kg' in " ".join(ran.said.split())
