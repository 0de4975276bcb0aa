"""The harvest and the dryer on the screen: a pass, a reading and what came out, each in a few keys."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from season_on_disk import TEXT, app_of
from settling import settled
from small_app import SmallApp

from calendar_tui.screens.drying.view import DryingView
from tests.season_data import TWO_RIVERS

TODAY = date(2027, 3, 16)
SEASON = (
    TWO_RIVERS
    + """\
[[place]]
id = "F1"
kind = "field"
[[variety]]
id = "amber"
response = "day-neutral"
drying_d = [8, 10, 12]
[capacity]
dryer_kg = 40
[[cohort]]
id = "A1"
variety = "amber"
start = "seed"
place = "F1"
planned = { seeding = 2026-12-20 }
recorded = { seeding = 2026-12-20, flowering = 2027-01-24 }
"""
)


def _app(text: str = SEASON) -> tuple[SmallApp, DryingView]:
    view = DryingView("A1")
    return SmallApp(view, TODAY, text), view


async def pressed(app: SmallApp, pilot, *keys: str) -> None:
    for key in keys:
        await pilot.press(key)
        await settled(app, pilot)


@pytest.mark.slow
async def test_a_pass_with_weight_and_batch_takes_five_keys_beside_what_is_typed() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(
            app, pilot, "p", *"top", "space", *"12.5", "enter", *"ripe", "enter", *"D1", "ctrl+s", "enter"
        )
        (one,) = app.data["pass"]
        assert one["id"] == "A1-1"
        assert (one["lot"], one["fresh_kg"], one["why"], one["batch"]) == ("A1", {"top": 12.5}, "ripe", "D1")
        assert [b["id"] for b in app.data["batch"]] == ["D1"]
        assert "D1  in since Tue 16 Mar 2027, day 0: A1-1, 12.5 kg fresh;\n    out about" in view.text
        assert "12.5 of 40 kg taken, 27.5 fit" in view.text
        assert "blocked exits" in " ".join(view.text.split())


@pytest.mark.slow
async def test_a_batch_is_read_and_taken_out_from_its_row() -> None:
    text = SEASON + (
        '\n[records]\npass = [{ id = "A1-1", date = 2027-03-06, lot = "A1", fresh_kg = { top = 12.5 }, batch = "D1" }]\n'
        'batch = [{ id = "D1", date = 2027-03-06 }]\n'
    )
    app, view = _app(text)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        view.select_record("batch", ("D1",))
        await pressed(app, pilot, "r", *"0.35", "ctrl+s", "enter")
        assert [(r["id"], r["moisture"]) for r in app.data["reading"]] == [("D1-1", 0.35)]
        assert "35 % water" in " ".join(view.text.split())
        view.select_record("batch", ("D1",))
        await pressed(app, pilot, "o", *"3.1", "enter", *"0.1", "ctrl+s", "enter")
        (batch,) = app.data["batch"]
        assert (batch["out"], batch["dry_kg"], batch["moisture"]) == (TODAY, 3.1, 0.1)
        assert "Out of it" in view.text
        assert "In the dryer" not in view.text


async def test_from_the_row_of_a_pass_the_batch_in_which_it_dries_is_read() -> None:
    text = SEASON + (
        '\n[records]\npass = [{ id = "A1-1", date = 2027-03-06, lot = "A1", fresh_kg = { top = 12.5 }, batch = "D1" }]\n'
        'batch = [{ id = "D1", date = 2027-03-06 }]\n'
    )
    app, view = _app(text)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        view.select_record("pass", ("A1-1",))
        await pressed(app, pilot, "r", *"0.35", "ctrl+s", "enter")
        assert [(r["batch"], r["moisture"]) for r in app.data["reading"]] == [("D1", 0.35)]


async def test_without_a_batch_a_reading_says_where_one_begins() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(app, pilot, "r")
        assert "none yet: p records one" in view.text
        assert app.screen is view


async def test_the_harvest_opens_from_today_by_a_key(tmp_path: Path) -> None:
    path = tmp_path / "two.toml"
    path.write_text(TEXT, encoding="utf-8")
    app = app_of(path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        for key in ("t", "H"):
            await pilot.press(key)
            await settled(app, pilot)
        assert isinstance(app.screen, DryingView)


async def test_at_80x24_every_figure_of_a_batch_is_whole_with_what_is_expected_of_it() -> None:
    text = SEASON + (
        "\n[records]\npass = [\n"
        '  { id = "A1-1", date = 2027-02-20, lot = "A1", part = "top", fresh_kg = { top = 20.0 }, batch = "D1" },\n'
        '  { id = "A1-2", date = 2027-03-06, lot = "A1", part = "the rest", fresh_kg = { middle = 12.5, bottom = 7.5 }, batch = "D2", why = "window" },\n'
        ']\nbatch = [\n  { id = "D1", date = 2027-02-20, out = 2027-03-02, moisture = 0.11, dry_kg = 5.0, trays = 22 },\n'
        '  { id = "D2", date = 2027-03-06, trays = 20 },\n]\n'
        'reading = [{ id = "D2-1", date = 2027-03-15, batch = "D2", moisture = 0.3 }]\n'
    )
    app, view = _app(text)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert view.text.splitlines()[1:10] == [
            "In the dryer",
            "D2  in since Sat 6 Mar 2027, day 10: A1-2, 20 kg fresh; 20 trays;",
            "    30 % water; out about Tue 16 Mar 2027, by 18 Mar at the latest;",
            "    about 5 kg dry, at 4.0 kg fresh to 1 as weighed",
            "  Dryer on 16 Mar: 20 of 40 kg taken, 20 fit.",
            "  Dryer on 17 Mar: 0 of 40 kg taken, 40 fit.",
            "Out of it",
            "D1  Sat 20 Feb 2027 to 2 Mar, 10 d: A1-1, 20 kg fresh; 22 trays; 11 % water;",
            "    5 kg dry, 4.0 kg fresh to 1 dry",
        ]
        assert all(len(line.rstrip()) <= 80 for line in view.text.splitlines())
        view.select_record("batch", ("D1",))
        assert view.chosen is not None
        assert view.chosen.ident == ("D1",)


async def test_before_anything_was_weighed_dry_the_figures_of_the_variety_are_taken_and_named() -> None:
    text = SEASON + (
        '\n[records]\npass = [{ id = "A1-1", date = 2027-03-06, lot = "A1", fresh_kg = { top = 12.5 }, batch = "D1" }]\n'
        'batch = [{ id = "D1", date = 2027-03-06 }]\n'
    )
    app, view = _app(text)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        told = " ".join(view.text.split())
        assert "about 3.47 kg dry, at 3.6 kg fresh to 1 by the figures of its variety" in told


async def test_the_form_of_a_pass_names_a_lot_with_something_left_to_cut() -> None:
    """Opened from a cohort that is cut through, it would have the next weights of another under its name."""
    b1 = SEASON[SEASON.index("[[cohort]]") :].replace('id = "A1"', 'id = "B1"')
    done = '[records]\npass = [{ id = "A1-1", date = 2027-03-10, lot = "A1", last = true, why = "ripe" }]\n'
    text = (
        SEASON.replace("flowering = 2027-01-24", "flowering = 2027-01-24, harvest = 2027-03-10", 1)
        + b1
        + done
    )
    app, _ = _app(text)
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(app, pilot, "p", *"top", "space", *"12.5", "ctrl+s", "enter")
        assert [one["lot"] for one in app.data["pass"]] == ["A1", "B1"]
