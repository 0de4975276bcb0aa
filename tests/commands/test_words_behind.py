"""Words that stand where a command does not look for them: what would be right is named."""

from __future__ import annotations

from pathlib import Path

import pytest
from small_season import run

EXAMPLE = Path(__file__).parents[2] / "seasons" / "north-bench.toml"
TODAY = "2026-06-16"
BAG = "FYPN2V"


@pytest.fixture
def season(tmp_path: Path) -> Path:
    path = tmp_path / "north-bench.toml"
    path.write_bytes(EXAMPLE.read_bytes())
    return path


def said(season: Path, words: str, status: int = 2) -> str:
    command, *rest = words.split()
    ran = run(command, season, *rest, today=TODAY)
    assert ran.status == status, ran.said
    assert season.read_bytes() == EXAMPLE.read_bytes()
    return " ".join(ran.said.split())


@pytest.mark.parametrize(
    ("words", "right"),
    [
        (
            "pass E1-south top 14 kg 15 jun why ripe",
            '"15 jun" behind "top 14 kg" is no field; a date stands first, or behind the word date: date 15 jun',
        ),
        ("pass E1-south top 14kg last yesterday", '"yesterday" behind "top 14kg last" is no field'),
        (
            f"result {BAG} THC 0.02 THCA 7.1 mg/g",
            "the unit of all figures stands behind the word unit: unit mg/g",
        ),
        ("spray s99", '"s99" is not a place of this season. Known: N1, G1, G2, F1, F2'),
        ("spray s99", "Sprays: s1, s2"),
        ("set cohort E1 rules eu", '"rules" is not a field of a cohort, but of a lot. Fields: '),
    ],
)
def test_what_would_be_right_is_told(season: Path, words: str, right: str) -> None:
    assert right in said(season, words)


def test_a_pass_with_its_date_first_or_named_is_taken(season: Path) -> None:
    for words in (
        "15 jun top 14 kg why ripe",
        "top 14 kg date 15 jun why ripe",
        "top 14 kg middle 3 kg last yes",
    ):
        assert "fresh weight of top 14" in said(season, f"pass E1-south {words} --dry-run", status=0)


@pytest.mark.parametrize(
    ("typed", "taken"),
    [
        ("MU 0.04", "uncertainty 0.04"),
        ("mu=0.04", "uncertainty 0.04"),
        ("MU of THC 0.01 abs", "uncertainty of THC 0.01 abs"),
    ],
)
def test_the_laboratorys_mu_is_the_uncertainty(season: Path, typed: str, taken: str) -> None:
    words = f"result {BAG} THC 0.02 THCA 0.1 report R-9 {typed} --keep --dry-run"
    assert taken in said(season, words, status=0)


def test_an_official_samples_mu_is_its_uncertainty(season: Path) -> None:
    assert "uncertainty 0.03 -> 0.05" in said(season, "set official o2 mu 0.05 --dry-run", status=0)
