"""Labels as JSON: what stands on each and where, the sheet, the files that were written."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from sampled_season import TODAY, sampled_season
from small_season import run

from calendar_tui.handing_on.paper.label_sheets import SHEETS


@pytest.fixture
def season(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    path = sampled_season(tmp_path)
    assert run("sample", path, "A1", "--yes", today=TODAY).status == 0
    return path


def as_json(*words: object) -> dict[str, Any]:
    ran = run("labels", *words, "--json", today=TODAY)
    assert ran.status == 0, ran.said
    data: dict[str, Any] = json.loads(ran.out)
    return data


def test_each_label_is_told_with_its_lines_and_its_place_on_the_sheet(season: Path) -> None:
    told = as_json(season, "--sheet", "a4-24", "--first", "24")
    bags = json.loads(run("sample", season, "--json", today=TODAY).out)["held"]
    assert [one["id"] for one in told["labels"]] == [one["id"] for one in bags]
    assert [one["page"] for one in told["labels"]] == [1, 2, 2]
    sheet = SHEETS["a4-24"]
    second = told["labels"][1]
    assert (second["left_mm"], second["top_mm"]) == (round(sheet.left, 3), round(sheet.top, 3))
    assert second["lines"][0] == "A1  amber"
    assert second["lines"][1].startswith("middle  ")
    assert "NOT OFFICIAL" in second["notice"]
    (file,) = told["files"]
    assert (Path(file["path"]).stat().st_size, told["sheet"]["id"]) == (file["bytes"], "a4-24")


def test_a_file_that_is_there_is_not_written_over_unasked(season: Path) -> None:
    (file,) = as_json(season)["files"]
    before = Path(file["path"]).read_bytes()
    ran = run("labels", season, "--json", "--first", "2", today=TODAY)
    assert ran.status == 2
    assert "is there already: give --yes, or another file" in ran.said
    assert Path(file["path"]).read_bytes() == before
    as_json(season, "--first", "2", "--yes")
    assert Path(file["path"]).read_bytes() != before


def test_the_sheets_and_the_page_to_try_are_told_too(season: Path) -> None:
    assert [one["id"] for one in as_json(season, "--sheet", "list")["sheets"]] == list(SHEETS)
    tried = as_json(season, "--test-page")
    assert (tried["labels"], len(tried["files"]), tried["square_codes"]) == ([], 1, None)


def test_no_bag_is_an_empty_list_and_no_file_is_written(season: Path) -> None:
    told = as_json(season, "--date", "2027-12-30", "--custody", "custody.html")
    assert (told["labels"], told["files"]) == ([], [])
    assert not [*season.parent.glob("*.html")]
    assert run("labels", season, "--date", "2027-12-30", today=TODAY).status == 2
    assert run("labels", season, "NOBAG9", "--json", today=TODAY).status == 2
