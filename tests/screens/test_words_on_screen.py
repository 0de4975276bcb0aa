"""What lines of the screen say where there is little room: whole keys, one mark for what is cut, the season's name."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from settling import settled
from small_app import SEASON, SmallApp
from textual.widget import Widget

from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.kit.actions import in_group, keys_with_room
from calendar_tui.screens.kit.drawing import Bar, TextLines, fitted
from calendar_tui.screens.kit.every_key import KEYS
from calendar_tui.screens.kit.glyphs import UNICODE
from calendar_tui.screens.kit.keys import Keys
from calendar_tui.screens.kit.sheet import Sheet
from calendar_tui.screens.lamps.view import LampsView, first_sheet
from calendar_tui.screens.response.opening import first_curve
from calendar_tui.screens.response.view import ResponseView
from calendar_tui.screens.season.title import title_row
from calendar_tui.storage.finding import example_files
from calendar_tui.storage.opening import open_season

TODAY = date(2026, 12, 8)
VIEWS = (
    "open('week')",
    "open('chores')",
    "open_varieties",
    "open_about('lamps')",
    "open('load')",
    "open_about('response')",
    "open_about('stagger')",
    "open_about('quantities')",
    "open_cohort",
    "act('record')",
    "act('outage')",
    "act('stay')",
    "history",
    "help",
)
NAMED = [
    *in_group("tasks in a list")[:1],
    *in_group("tasks in a list")[2:3],
    *in_group("help"),
    *in_group("week")[1:2],
    *in_group("view"),
]
# The words of a footer in another language, longer and shorter than the English ones.
OTHER = {"tick": "marcar", "mark": "elegir", "help": "ayuda", "group": "agrupar", "back": "volver"}


@pytest.fixture
def season(tmp_path: Path) -> Path:
    (example,) = (file for file in example_files() if file.stem == "two-rivers")
    path = tmp_path / "two.toml"
    path.write_bytes(example.read_bytes())
    return path


def _app(season: Path, *, ascii_only: bool = False) -> CalendarApp:
    return CalendarApp(
        open_season(season),
        TODAY,
        "Cleo",
        lambda: datetime(2026, 12, 8, 9, tzinfo=UTC),
        ascii_only=ascii_only,
    )


async def _shown(app: CalendarApp, action: str, pilot: object) -> None:
    await settled(app, pilot)
    target = app if action in ("history", "help") else app.screen
    await app.run_action(action, target)
    await settled(app, pilot)


def _drawn(app: CalendarApp) -> str:
    """Every line of the screen as it is drawn."""
    widgets = [w for w in app.screen.walk_children(Widget) if isinstance(w, Bar | TextLines | Sheet)]
    return "\n".join(w.render_line(y).text for w in widgets for y in range(w.size.height))


@pytest.mark.parametrize(
    ("width", "kept"),
    [
        (80, "Space tick  m mark  ? help  g group  Esc back"),
        (44, "Space tick  m mark  ? help  Esc back"),
        (30, "Space tick  ? help  Esc back"),
        (17, "? help  Esc back"),
        (9, "Esc back"),
        (3, "Esc back"),
    ],
)
def test_keys_without_room_are_left_out_whole_and_never_the_way_out(width: int, kept: str) -> None:
    assert "  ".join(f"{key.shown} {key.foot}" for key in keys_with_room(NAMED, width)) == kept


def test_help_stays_in_a_footer_of_another_language_too() -> None:
    spanish = [key._replace(foot=OTHER[key.foot]) for key in NAMED]
    kept = keys_with_room(spanish, 36)
    assert "  ".join(f"{key.shown} {key.foot}" for key in kept) == "Space marcar  ? ayuda  Esc volver"


@pytest.mark.slow
@pytest.mark.parametrize("action", VIEWS)
@pytest.mark.parametrize("width", [80, 64, 48])
async def test_no_key_line_is_cut_and_escape_is_called_back(season: Path, action: str, width: int) -> None:
    app = _app(season)
    async with app.run_test(size=(width, 24)) as pilot:
        await _shown(app, action, pilot)
        lines = [keys.render_line(0).text.rstrip() for keys in app.screen.query(Keys)]
        for keys, line in zip(app.screen.query(Keys), lines, strict=True):
            assert line == keys.text.rstrip()
            assert "back" in line


def test_escape_is_back_in_every_footer() -> None:
    """What is found as one types is left by showing all again."""
    feet = {key.foot for keys in KEYS.values() for key in keys if key.shown == "Esc"}
    assert feet == {"back", "show all"}


@pytest.mark.slow
@pytest.mark.parametrize("action", VIEWS)
async def test_what_is_cut_ends_in_one_mark(season: Path, action: str) -> None:
    app = _app(season)
    async with app.run_test(size=(60, 24)) as pilot:
        await _shown(app, action, pilot)
        assert not re.search(r"\w\.\.(\s|$)|\w\.\.\.(\s|$)", _drawn(app))


@pytest.mark.slow
@pytest.mark.parametrize("action", VIEWS)
async def test_what_is_cut_ends_in_dots_where_the_terminal_has_no_more(season: Path, action: str) -> None:
    app = _app(season, ascii_only=True)
    async with app.run_test(size=(60, 24)) as pilot:
        await _shown(app, action, pilot)
        drawn = _drawn(app)
        assert "…" not in drawn
        assert not re.search(r"\w\.\.(\s|$)", drawn)


@pytest.mark.parametrize(
    ("width", "cut"), [(0, ""), (1, "…"), (2, "w…"), (6, "water…"), (8, "water in"), (9, "water in ")]
)
def test_a_text_fits_its_width_exactly(width: int, cut: str) -> None:
    assert fitted("water in", width) == cut


async def test_the_name_of_the_season_stays_beside_a_long_notice() -> None:
    app = SmallApp(LampsView(), TODAY, SEASON.replace("Two Rivers", "Two Rivers 2026-27"))
    assert app.plan is not None
    shown = "".join(
        text for text, _ in title_row(app.plan, 60, UNICODE, notice="set by hand, example copy in /tmp/ab")
    )
    assert shown.startswith("Two Rivers 2026-27  Tue 8 Dec  set by hand")
    assert len(shown) == 60
    assert shown.endswith("…")


async def test_the_lamps_open_on_a_house_with_something_to_set() -> None:
    app = SmallApp(LampsView(), date(2026, 10, 7), SEASON)
    assert app.plan is not None
    sheet = first_sheet(app.plan, "")
    assert sheet is not None
    assert sheet.runs
    # A1 stands in the nursery until its transplant on 30 Oct, and only the nursery burns.
    assert (first_sheet(app.plan, "A1") or sheet).name == "N1"


async def test_a_cohort_whose_place_has_nothing_to_set_opens_another() -> None:
    nursed = 'nursery = "N1"\nplace = "H2"\nplanned = { seeding = 2026-10-05, transplant = 2026-10-30, lights_off = 2026-12-20 }'
    unlit = 'place = "H2"\nplanned = { seeding = 2026-10-05 }'
    idle = SEASON.replace(nursed, unlit)
    assert idle != SEASON
    app = SmallApp(LampsView(), date(2026, 10, 20), idle)
    assert app.plan is not None
    assert app.plan.season.cohorts["A1"].nursery is None
    sheet = first_sheet(app.plan, "A1")
    assert sheet is not None
    assert sheet.name == "N1"  # of A3


@pytest.mark.slow
async def test_keys_of_the_planting_dates_that_change_nothing_say_why() -> None:
    app = SmallApp(LampsView(), TODAY, SEASON)
    assert app.plan is not None
    view = ResponseView(first_curve(app.plan, "A3"), TODAY)
    app = SmallApp(view, TODAY, SEASON)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("o")
        assert app.messages == ["F1 has no lamps: its days are natural ones."]
        await pilot.press("enter")
        assert app.messages[1].startswith(
            "Planted on 8 Dec 2026 it had to be started on 13 Nov 2026, before today"
        )
        await pilot.press("v")
        assert app.messages[2] == "The season has no other variety."
