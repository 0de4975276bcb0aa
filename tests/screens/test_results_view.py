"""The laboratory's results on the screen: due, in, kept aside; entered by hand; a file taken in as one change."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest
from settling import settled
from small_app import SmallApp

from calendar_tui.planning.plan import make_plan
from calendar_tui.screens.forms.add_view import AddView
from calendar_tui.screens.forms.form_view import FormView
from calendar_tui.screens.results.view import ResultsView
from calendar_tui.screens.samples.rows import first_bags
from calendar_tui.screens.samples.view import BagsView
from calendar_tui.season.analyte_names import MEASURED
from calendar_tui.season.laboratory_columns import IGNORED, ROLES
from calendar_tui.season.reading import read_season
from tests.season_data import TWO_RIVERS, data_of

TODAY = date(2027, 3, 20)
SEASON = (
    TWO_RIVERS
    + """\
[[place]]
id = "F1"
kind = "field"
[[variety]]
id = "amber"
response = "day-neutral"
[[laboratory]]
id = "lab"
[[cohort]]
id = "A1"
variety = "amber"
start = "seed"
place = "F1"
planned = { seeding = 2026-12-20 }
recorded = { seeding = 2026-12-20, flowering = 2027-02-24 }

[records]
sample = [
  { id = "26A1TA", date = 2027-03-10, cohort = "A1", laboratory = "lab", state = "sent", sent = 2027-03-10 },
  { id = "K7Q2RY", date = 2027-03-10, cohort = "A1", position = "middle", laboratory = "lab", state = "sent", sent = 2027-03-10 },
]
"""
)
RESULTS = """
result = [
  { id = "26A1TA-1", date = 2027-03-16, sample = "26A1TA", laboratory = "lab", found = { THC = "<0.05", THCA = "0.28" }, loq = { THC = "0.05" }, report = "R-77", method = "HPLC", tested = 2027-03-15 },
  { id = "26A1TA-2", date = 2027-03-18, sample = "26A1TA", found = { THC = "0.05", THCA = "0.29" } },
]
"""
FILE = "Sample;THC;THCA;Remark\n26A1TA;<0,05;0,28;\nk7q-2ry;0,05;0,30;ok\nZZZZZZ;0,1;0,1;\nbad line\n"


def _app(text: str = SEASON) -> tuple[SmallApp, ResultsView]:
    view = ResultsView()
    return SmallApp(view, TODAY, text), view


async def pressed(app: SmallApp, pilot: Any, *keys: str) -> None:
    for key in keys:
        await pilot.press(key)
        await settled(app, pilot)


def typed(text: str) -> list[str]:
    named = {
        " ": "space",
        "-": "minus",
        ".": "full_stop",
        "<": "less_than_sign",
        "/": "slash",
        "%": "percent_sign",
    }
    return [named.get(sign, sign) for sign in text]


def form(app: SmallApp) -> FormView:
    assert isinstance(app.screen, FormView)
    return app.screen


async def fill(app: SmallApp, pilot: Any, values: dict[str, str]) -> None:
    view = form(app)
    for words, text in values.items():
        view._list.stand_on(words)
        await pressed(app, pilot, *typed(text))


async def test_what_is_out_in_and_kept_aside_stands_in_one_list() -> None:
    app, view = _app(SEASON + RESULTS.lstrip())
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        text = " ".join(view.text.split())
        assert "Results 1 count, 1 kept aside" in text
        assert (
            "At a laboratory 1 out, 1 overdue K7Q-2RY A1 middle overdue since Thu 18 Mar: ask the laboratory"
            in text
        )
        assert "16 Mar A1 top 0.2456-0.2956 % dry; THC <0.05; 26A-1TA lab" in text
        assert "Kept aside, not used 18 Mar 26A1TA-2: a second report of this bag; 26A1TA-1 counts" in text
        view._list.stand_on("result 26A1TA-1")
        await settled(app, pilot)
        below = " ".join(view._detail.text.split())
        assert (
            "THC <0.05, THCA 0.28 % dry, LOQ of THC 0.05, report R-77 of 16 Mar by lab, HPLC, tested 15 Mar"
            in below
        )
        assert max(map(len, view.text.splitlines())) <= 80


@pytest.mark.slow
async def test_a_result_is_typed_for_the_bag_under_the_cursor_in_one_change() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pressed(app, pilot, "enter")
        assert form(app).value("sample") == "26A-1TA"
        await fill(
            app,
            pilot,
            {
                "amount of THC": "<0.05",
                "amount of THCA": "0.28",
                "LOQ": "0.05",
                "date": "16 mar",
                "uncertainties": "THC 0.02 abs, THCA 10 % rel",
            },
        )
        assert "total THC 0.2456-0.2956 %" in " ".join(form(app).text.split())
        await pressed(app, pilot, "ctrl+s", "enter")
        (one,) = app.data["result"]
        assert (one["sample"], one["found"]) == ("26A1TA", {"THC": "<0.05", "THCA": "0.28"})
        assert one["uncertainties"] == {"THC": "0.02 abs", "THCA": "10 % rel"}
        assert (one["loq"], one["laboratory"], one["date"]) == (
            {"THC": "0.05", "THCA": "0.05"},
            "lab",
            date(2027, 3, 16),
        )
        assert len(app.saved) == 1
        assert "1 count, 0 kept aside" in view.text


@pytest.mark.slow
@pytest.mark.parametrize(
    ("bag", "understood"),
    [("k7q-2ry", "K7Q-2RY"), ("26a1ta", "26A-1TA"), ("26AITA", "26A-1TA"), ("26alta", "26A-1TA")],
)
async def test_the_id_of_a_bag_is_read_with_its_slips(bag: str, understood: str) -> None:
    app, _ = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pressed(app, pilot, "a")
        await fill(app, pilot, {"sample": bag})
        assert form(app)._filled.notes["sample"] == understood


async def test_an_id_of_which_one_sign_is_wrong_names_the_nearest() -> None:
    app, _ = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pressed(app, pilot, "a")
        await fill(app, pilot, {"sample": "26A1TB", "amount of THC": "0.1"})
        assert "near it in this season: 26A-1TA" in form(app)._filled.errors["sample"]


@pytest.mark.parametrize(
    ("words", "text", "right"),
    [
        ("amount of THC", "0,05", "write a point before the decimals: 0.05"),
        ("amount of THC", "-0.05", "it cannot be under 0"),
        ("other amounts", "CBX 0.1", 'has "CBX", which is no analyte'),
        ("uncertainty", "10 %", 'write "10 % rel" or "10 abs"'),
    ],
)
async def test_what_cannot_be_is_told_beside_its_field(words: str, text: str, right: str) -> None:
    app, _ = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pressed(app, pilot, "enter")
        await fill(app, pilot, {words: text})
        assert right in form(app)._filled.errors[words]


@pytest.mark.slow
async def test_an_uncertainty_is_typed_with_its_unit_and_other_analytes_in_one_line() -> None:
    app, _ = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pressed(app, pilot, "enter")
        given = {
            "amount of THC": "0.33",
            "amount of THCA": "0",
            "other amounts": "CBG 0.10; d8-THC <0.02",
            "uncertainty": "10 % rel",
        }
        await fill(app, pilot, given)
        await pressed(app, pilot, "ctrl+s", "enter")
        (one,) = app.data["result"]
        assert one["found"] == {"THC": "0.33", "THCA": "0", "CBG": "0.10", "THC8": "<0.02"}
        assert (one["uncertainty"], one["uncertainty_is"]) == ("10", "relative")


async def test_enter_on_a_bag_at_a_laboratory_opens_the_form_of_its_result() -> None:
    season = read_season(data_of(SEASON)).season
    assert season is not None
    view = BagsView(first_bags(make_plan(season, TODAY)))
    app = SmallApp(view, TODAY, SEASON)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        view._list.stand_on("K7Q2RY")
        await pressed(app, pilot, "enter")
        assert isinstance(app.screen, AddView)
        assert form(app).value("sample") == "K7Q-2RY"


async def _file_form(app: SmallApp, pilot: Any, path: Path) -> None:
    await settled(app, pilot)
    await pressed(app, pilot, "i", *typed(str(path)), "enter")


@pytest.mark.slow
async def test_a_file_is_taken_in_after_its_columns_are_set_as_one_change(tmp_path: Path) -> None:
    path = tmp_path / "lab.csv"
    path.write_text(FILE)
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await _file_form(app, pilot, path)
        assert "still to be set: column Remark, unit" in form(app).text
        assert form(app).value("column THCA") == "THCA"
        await fill(app, pilot, {"column Remark": "ignored", "unit": "%"})
        await pressed(app, pilot, "ctrl+s")
        told = " ".join(app.screen.text.split())  # type: ignore[attr-defined]
        assert '"THC" is THC, "THCA" is THCA, "Remark" is ignored' in told
        assert (
            "taken: K7Q2RY-1 of K7Q-2RY, A1 middle, cut 10 Mar: THC 0.05, THCA 0.30 %: total THC 0.3131 %"
            in told
        )
        assert "kept aside: r1 of ZZZZZZ: there is no bag ZZZ-ZZZ" in told
        assert "lab.csv:5: the line has 1 cells and the header 4" in told
        assert app.saved == []
        await pressed(app, pilot, "enter")
        assert [one["sample"] for one in app.data["result"]] == ["26A1TA", "K7Q2RY", "ZZZZZZ"]
        assert app.data["laboratory"][0]["columns"]["Remark"] == "ignored"
        assert len(app.saved) == 1
        assert app.screen is view


@pytest.mark.slow
async def test_a_file_that_is_mapped_already_asks_for_nothing_and_brings_nothing_twice(
    tmp_path: Path,
) -> None:
    path = tmp_path / "lab.csv"
    path.write_text("Sample,THC (%),THCA (%)\n26A1TA,0.05,0.30\n")
    app, _ = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await _file_form(app, pilot, path)
        await pressed(app, pilot, "ctrl+s", "enter")
        await _file_form(app, pilot, path)
        assert "passed over, for they are in the season already: 1; nothing is added" in " ".join(
            form(app).text.split()
        )
        await pressed(app, pilot, "ctrl+s")
        assert len(app.saved) == 1


@pytest.mark.slow
async def test_a_file_that_is_not_there_is_told_and_its_name_stays_to_be_put_right(tmp_path: Path) -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await _file_form(app, pilot, tmp_path / "none.csv")
        assert app.screen is view
        assert "cannot be read" in " ".join(view.text.split())
        assert view._input.value.endswith("none.csv")
        await pressed(app, pilot, "escape")
        assert app.screen is view
        assert not view._input.asked


async def test_without_results_or_bags_it_says_so() -> None:
    app, view = _app(SEASON.partition("\n[records]")[0])
    async with app.run_test(size=(40, 12)) as pilot:
        await settled(app, pilot)
        assert "none yet" in view.text
        await pressed(app, pilot, "enter", "a")
        assert form(app).value("sample") == ""


@pytest.mark.slow
async def test_a_file_of_which_no_header_is_known_has_a_line_for_each(tmp_path: Path) -> None:
    path = tmp_path / "lab.csv"
    path.write_text("Our code;Peak 7;Peak 9\n26A1TA;0,05;0,30\n")
    app, _ = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await _file_form(app, pilot, path)
        given = {"column Our code": "sample", "column Peak 7": "THC", "column Peak 9": "THCA"}
        await fill(app, pilot, {**given, "unit": "%", "decimal sign": "comma", "separator": "semicolon"})
        await pressed(app, pilot, "ctrl+s", "enter")
        assert [one["found"] for one in app.data["result"]] == [{"THC": "0.05", "THCA": "0.30"}]


@pytest.mark.slow
async def test_what_a_column_may_hold_is_listed_in_full_where_it_takes_more_than_a_line(
    tmp_path: Path,
) -> None:
    path = tmp_path / "lab.csv"
    path.write_text(FILE)
    app, _ = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await _file_form(app, pilot, path)
        await pressed(app, pilot, *["down"] * 4)
        assert form(app).field == "column Remark"
        text = " ".join(form(app).text.split())
        listed = text.partition("Fits column Remark: ")[2].split(", ")
        assert [role for role in (*MEASURED, *ROLES, IGNORED) if role not in " ".join(listed)] == []
        await pressed(app, pilot, "down")
        assert "Fits column Remark" not in form(app).text


@pytest.mark.slow
async def test_a_word_that_does_not_read_leaves_the_other_lines_of_the_form(tmp_path: Path) -> None:
    path = tmp_path / "lab.csv"
    path.write_text(FILE)
    app, _ = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await _file_form(app, pilot, path)
        await fill(app, pilot, {"column Remark": "ignroed"})
        assert form(app).value("column THCA") == "THCA"
        assert form(app).value("column Remark") == "ignroed"
        assert 'has "ignroed" for "Remark", which is no role' in form(app)._filled.errors["column Remark"]
