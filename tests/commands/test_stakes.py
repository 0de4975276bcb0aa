"""Labels for the plots of a trial: numbers large, block, place and treatment; on every sheet; in walking order."""

from __future__ import annotations

from pathlib import Path

import pytest
from page_reading import Page, stands_alone
from small_season import PLAIN, TODAY, run

from calendar_tui.handing_on.paper.codes import SquareCode
from calendar_tui.handing_on.paper.label_sheets import SHEETS
from calendar_tui.handing_on.paper.labels import label_parts
from calendar_tui.handing_on.paper.markup import width_of
from calendar_tui.handing_on.paper.stakes import stake_text
from calendar_tui.season.trials import TrialPlot
from tests.season_data import data_of

TRIAL = """
[[trial]]
id = "K1"
design = "blocks"
factors = { soil = ["bare", "mulch", "straw"] }
blocks = 2
place = "F1"
variety = "amber"
date = 2027-01-04
spacing_m = [1.5, 0.6]
border = 1
seed = 20261208
"""
LEVELS = {"date": "2027-01-04", "variety": "amber", "spacing": "1.5x0.6", "soil": "mulch"}
PLOT = TrialPlot(
    id="K1-203",
    trial="K1",
    row=2,
    column=3,
    number=203,
    block=2,
    place="F1",
    cohort="K1-1",
    treatment=LEVELS,
)
CODE = SquareCode(1, ((True,) * 21,) * 21)


@pytest.fixture
def season(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "near-fields.toml"
    path.write_text(PLAIN + TRIAL, encoding="utf-8")
    return path


def refused(season: Path, *words: str) -> str:
    ran = run("labels", season, *words, "--yes", today=TODAY)
    assert ran.status != 0
    return " ".join(ran.said.split())


def test_each_numbered_plot_has_a_stake_in_walking_order_and_guards_have_none(season: Path) -> None:
    assert run("trial", season, "K1", "--draw", "--yes", today=TODAY).status == 0
    plots = {p["number"]: p for p in data_of(season.read_text())["plot"] if "number" in p}
    ran = run("labels", season, "--stakes", "k1", "--yes", today=TODAY)
    assert ran.status == 0, ran.said
    page = Page(season.parent / "near-fields-stakes.html")
    stands_alone(page)
    numbers = [text for text in page.texts if text.isdigit()]
    assert numbers == ["101", "102", "103", "201", "202", "203"]
    soils = [text for text in page.texts if text.startswith("soil ")]
    assert soils == [f"soil {plots[int(number)]['treatment']['soil']}" for number in numbers]
    assert "K1, block 1, F1, K1-1" in page.texts
    assert "PRE-TEST, NOT OFFICIAL" not in page.texts


@pytest.mark.parametrize("sheet", SHEETS.values(), ids=SHEETS)
def test_the_number_of_a_stake_is_large_and_whole_on_every_sheet(sheet) -> None:  # type: ignore[no-untyped-def]
    parts = label_parts(sheet, stake_text(PLOT), CODE)
    (number,) = [part for part in parts if part.kind == "id"]
    assert number.text == "203"
    assert number.height >= 20 * 25.4 / 72
    assert width_of("1203", number.height / 1.2) <= number.width
    lines = [part for part in parts if part.kind == "line"]
    assert [part.text for part in lines][1:3] == ["date 4 Jan", "variety amber"]
    assert all(part.height >= 2.5 for part in lines)
    assert parts[-1].top + parts[-1].height <= sheet.label_h + 1e-9


def test_what_does_not_go_with_stakes_is_refused(season: Path) -> None:
    assert "trial K1 has no plots yet; draw it first" in refused(season, "--stakes", "K1")
    assert "K9" in refused(season, "--stakes", "K9")
    assert "--date does not go with --stakes" in refused(season, "--stakes", "K1", "--date", "1 apr")
    assert "--custody does not go with --stakes" in refused(
        season, "--stakes", "K1", "--custody", "custody.html"
    )
    assert "--stakes does not go with --test-page" in refused(season, "--stakes", "K1", "--test-page")
