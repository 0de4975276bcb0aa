"""The soil of a place in the growers' page, and where it is not recorded."""

from __future__ import annotations

import json
from pathlib import Path

from reported_season import TODAY, trial_season
from small_season import run


def test_the_soil_of_a_place_is_told_and_where_it_is_not_recorded_that_is_said(tmp_path: Path) -> None:
    path, text = tmp_path / "near-fields.toml", trial_season()
    path.write_text(text, encoding="utf-8")
    assert "Soil is not recorded of " in _page(path)
    for kind in ("field", "hoop house"):
        text = text.replace(f'kind = "{kind}"\n', f'kind = "{kind}"\nsoil = "loam, pH 6.4"\n')
    path.write_text(text, encoding="utf-8")
    told = _page(path)
    assert "soil: loam, pH 6.4" in told
    assert "Soil is not recorded" not in told


def _page(path: Path) -> str:
    ran = run("report", path, "--json", today=TODAY)
    assert ran.status == 0, ran.said
    return str(json.loads(ran.out))
