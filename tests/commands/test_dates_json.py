"""`dates --json`: a row a date, and the clashes each once, as the text has them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
import small_season

from tests.trial_season import trial_text

TWO_RIVERS = Path(__file__).parents[2] / "seasons" / "two-rivers.toml"


def _told(path: Path, today: str, *names: str) -> tuple[dict[str, Any], str]:
    """The dates as JSON, and as text in one line."""
    ran, text = (small_season.run("dates", path, *names, *flags, today=today) for flags in (("--json",), ()))
    assert (ran.status, text.status) == (0, 0)
    return json.loads(ran.out), " ".join(text.out.split())


@pytest.fixture
def trial(tmp_path: Path) -> Path:
    path = tmp_path / "trial.toml"
    path.write_text(trial_text(54), encoding="utf-8")
    return path


def test_dates_as_json_have_the_clashes_that_the_text_has() -> None:
    told, text = _told(TWO_RIVERS, "2026-12-08")
    assert set(told) == {"dates", "clashes", "remarks"}
    single = [c["clashes"][0]["text"] for c in told["clashes"] if len(c["clashes"]) == 1]
    assert len(single) >= 3
    assert all(" ".join(sentence.split()) in text for sentence in single)


def test_a_clash_stands_once_however_many_cohorts_it_touches(trial: Path) -> None:
    told, text = _told(trial, "2027-06-04")
    about = [(c["about"], c["place"], *c["cohorts"]) for c in told["clashes"]]
    assert len(about) == len(set(about))
    (grower,) = (c for c in told["clashes"] if c["about"] == "crew: grower")
    (week,) = grower["clashes"]
    assert len(grower["cohorts"]) == 54
    assert (grower["place"], week["day"], week["has"], week["unit"]) == (None, "2027-10-04", 40.0, "h")
    assert week["amount"] > week["has"]
    shocks = [c for c in told["clashes"] if c["about"] == "shock"]
    assert [len(c["cohorts"]) for c in shocks] == [len(c["clashes"]) for c in shocks] == [6, 6, 6]
    assert set(shocks[0]["clashes"][0]) == {"text"}
    assert text.count("moves from a day of") == 3


def test_dates_of_one_cohort_have_the_clashes_that_touch_it() -> None:
    all_told, one = (_told(TWO_RIVERS, "2026-12-08", *names)[0] for names in ((), ("A3",)))
    assert {row["cohort"] for row in one["dates"]} == {"A3"}
    touching = [c for c in all_told["clashes"] if "A3" in c["cohorts"]]
    assert touching
    assert [c for c in one["clashes"] if "A3" in c["cohorts"]] == touching
