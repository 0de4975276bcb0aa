"""The keys named at the foot of a view are clicked as they are pressed; a second click on a row is Enter."""

from __future__ import annotations

from pathlib import Path

import pytest
from season_on_disk import TEXT, app_of
from settling import settled
from test_every_key import FEET, WORDS

from calendar_tui.screens.kit.actions import footer_runs, in_group
from calendar_tui.screens.kit.clicked import key_clicked
from calendar_tui.screens.kit.drawing import Picker
from calendar_tui.screens.kit.glyphs import ASCII, UNICODE
from calendar_tui.screens.opening_views import name_of

MORE = """\
[[cohort]]
id = "B1"
variety = "amber"
start = "seed"
place = "H2"
planned = { seeding = 2026-11-02, lights_off = 2027-01-10 }
[[task]]
id = "hoe2"
date = 2026-12-09
what = "Hoe again"
cohort = "A1"
"""


@pytest.fixture
def season(tmp_path: Path) -> Path:
    path = tmp_path / "two.toml"
    path.write_text(TEXT + MORE, encoding="utf-8")
    return path


def place_of(text: str, word: str) -> tuple[int, int]:
    """The column and line of a word in what is drawn."""
    lines = text.splitlines()
    (y,) = [n for n, line in enumerate(lines) if word in line]
    return lines[y].index(word), y


@pytest.mark.slow
@pytest.mark.parametrize("foot", FEET)
def test_every_key_that_a_footer_names_is_pressed_where_it_or_its_word_is_clicked(foot: str) -> None:
    keys = [key._replace(foot=key.foot.format(**WORDS)) for key in in_group(*FEET[foot])]
    runs = footer_runs(keys, 1000, UNICODE.arrows)
    names = {name for key in keys for name in key.names.split(",")}
    at = 0
    for text, style in runs:
        if style == "key" and not text.startswith("due:"):
            assert key_clicked(runs, at) in names, text
            assert key_clicked(runs, at + len(text) + 1) in names, text
        at += len(text)
    assert key_clicked(runs, at + 5) == ""


def test_keys_that_are_named_together_are_each_pressed_where_they_stand() -> None:
    runs = (
        ("+-", "key"),
        (" zoom  ", "footer"),
        ("n/Esc", "key"),
        (" no  ", "footer"),
        ("↑↓←→", "key"),
        (" m", "footer"),
    )
    pressed = [key_clicked(runs, x) for x in range(25)]
    assert pressed[:9] == ["plus", "minus", *["plus"] * 5, "", ""]
    assert pressed[9:16] == ["n", *["escape"] * 4, "n", "n"]
    assert pressed[19:23] == ["up", "down", "left", "right"]


def test_what_is_told_and_words_for_many_keys_press_nothing() -> None:
    told = (("ticked Hoe, A1", "message"), ("   ", ""), ("  ", "footer"), ("?", "key"), (" help", "footer"))
    assert [key_clicked(told, x) for x in (0, 5, 15)] == ["", "", ""]
    assert key_clicked(told, 20) == "question_mark"
    runs = footer_runs(in_group("chart"), 1000, ASCII.arrows)
    assert key_clicked(runs, "".join(text for text, _ in runs).index("arrows")) == ""


@pytest.mark.slow
async def test_the_week_is_opened_a_task_is_ticked_and_the_season_come_back_to_by_clicks_alone(
    season: Path,
) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        ground = await settled(app, pilot)
        await pilot.click(offset=place_of(ground.text, "w week"))
        week = await settled(app, pilot)
        assert name_of(week) == "week"
        y = week._keys.region.y
        await pilot.click(offset=(week._keys.text.index("Space tick") + 7, y))
        await settled(app, pilot)
        assert 'state = "done"' in season.read_text(encoding="utf-8")
        await pilot.click(offset=(week._keys.text.index("? help"), y))
        shown = await settled(app, pilot)
        assert name_of(shown) == "help"
        await pilot.click(offset=(shown._keys.text.index("Esc"), y))
        await settled(app, pilot)
        assert app.screen is week


@pytest.mark.slow
async def test_a_second_click_on_a_cohort_opens_it_and_one_elsewhere_only_goes_there(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        ground = await settled(app, pilot)
        b1, a1 = (place_of(ground.text, f"{name} amber") for name in ("B1", "A1"))
        await pilot.click(offset=b1)
        await settled(app, pilot)
        assert (app.screen, ground.cohort_id) == (ground, "B1")
        await pilot.click(offset=a1)
        await pilot.click(offset=(b1[0] + 30, b1[1]))
        await pilot.click(offset=(b1[0] + 20, b1[1]))
        await settled(app, pilot)
        assert (app.screen, ground.cohort_id) == (ground, "B1")
        await pilot.click(offset=(b1[0] + 20, b1[1]))
        assert name_of(await settled(app, pilot)) == "cohort"


@pytest.mark.slow
async def test_a_second_click_on_a_row_of_a_list_is_enter(season: Path) -> None:
    app = app_of(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("t")
        today = await settled(app, pilot)
        shown = today.query_one(Picker)
        keys = [row.key for row in shown.rows]
        hoe, lamps = keys.index("hoe1"), keys.index("lamps H2")
        for y in (lamps, hoe):
            await pilot.click(shown, offset=(12, y))
            await settled(app, pilot)
            assert app.screen is today
        await pilot.click(shown, offset=(12, hoe))
        assert name_of(await settled(app, pilot)) == "cohort"
