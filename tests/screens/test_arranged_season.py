"""The season view arranged, folded, filtered; its calm bars, columns and clashes."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from drawn_season import looking
from settling import settled

from calendar_tui.planning.plan import make_plan
from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.kit.canvas import text_of
from calendar_tui.screens.kit.glyphs import UNICODE
from calendar_tui.screens.kit.window import crop_ends
from calendar_tui.screens.season.bands import band_row
from calendar_tui.screens.season.chart import season_rows
from calendar_tui.screens.season.panes import work_rows
from calendar_tui.screens.season.title import title_row
from calendar_tui.screens.season.view import SeasonView
from calendar_tui.storage.finding import example_files
from calendar_tui.storage.opening import open_season

TODAY = date(2026, 12, 8)
(EXAMPLE,) = (file for file in example_files() if file.stem == "two-rivers")
SEASON = open_season(EXAMPLE).season
assert SEASON is not None
PLAN = make_plan(SEASON, TODAY)


@pytest.fixture
def app(tmp_path: Path) -> CalendarApp:
    path = tmp_path / "two.toml"
    path.write_bytes(EXAMPLE.read_bytes())
    return CalendarApp(open_season(path), TODAY, "Ana", lambda: datetime(2026, 12, 8, 9, tzinfo=UTC))


def view(app: CalendarApp) -> SeasonView:
    assert isinstance(app.screen, SeasonView)
    return app.screen


def rows(app: CalendarApp) -> list[str]:
    """The first cells of the rows of cohorts, from the pointer on."""
    lines = view(app).text.splitlines()[7:18]
    return [line[:17].rstrip() for line in lines if line[:4].strip()]


def test_a_bar_has_four_letters_at_the_most_and_the_selected_one_all() -> None:
    window = looking(PLAN, (200, 44), cursor=TODAY).window
    for name, timeline in PLAN.timelines.items():
        calm = text_of(band_row(PLAN, timeline, window, UNICODE))
        assert len(re.findall(r"[A-Za-z()\[\]]", calm)) <= 4, name
        whole = text_of(band_row(PLAN, timeline, window, UNICODE, whole=True))
        assert len(re.findall(r"[a-zA-Z]", whole)) > 6, name


def test_today_is_one_line_through_all_rows() -> None:
    look = looking(PLAN, (160, 44), cursor=TODAY)
    lines = season_rows(PLAN, look, 160, 44, UNICODE)
    x = 9 + 4 + look.window.column(TODAY)
    cells = [[(c, style) for text, style in line for c in text] for line in lines]
    first = next(y for y, line in enumerate(lines) if "▶" in text_of(line))
    x = next(n for n, (_, style) in enumerate(cells[first]) if "today" in style.split())
    for y in range(first, first + len(PLAN.timelines)):
        character, style = cells[y][x]
        assert "today" in style.split()
        assert character == UNICODE.upright or character.isalpha()


async def test_it_opens_arranged_by_place_and_fitted_to_the_crops(app: CalendarApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        assert rows(app)[0].startswith("H1 ▶ A1 amber")
        assert "\ncrops " in view(app).text
        assert app.plan is not None
        first, last = crop_ends(app.plan)
        assert (last - first).days < (app.plan.season.last_day - app.plan.season.first_day).days
        assert "closed to Wed 06:55" in view(app).text
        assert "transplant 4 d late" in view(app).text


async def test_b_arranges_by_the_next_and_the_selected_cohort_stays(app: CalendarApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("down", "down")
        assert view(app).cohort_id == "A2"
        for heading in ("amber", "5 Oct", "Dec 2026", "H1"):
            await pilot.press("b")
            assert view(app).cohort_id == "A2"
            assert rows(app)[0].startswith(heading)


async def test_a_group_is_folded_into_one_row_and_unfolded(app: CalendarApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("down", "z")
        assert view(app).cohort_id is None
        assert rows(app)[0].startswith("H1 ▶ 2 cohorts")
        await pilot.press("space", "r", "down", "up")
        assert view(app).cohort_id is None
        await pilot.press("enter")
        assert view(app).cohort_id == "A1"
        assert len(rows(app)) == len(set(rows(app)))


async def test_what_is_marked_is_meant_on_the_row_of_a_folded_group_too(app: CalendarApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("down", "down", "space", "z")
        assert view(app).cohort_id is None
        await pilot.press("r")
        await settled(app, pilot)
        assert "A2" in app.screen.text


async def test_cohorts_are_found_as_one_types_and_marked_together(app: CalendarApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("slash", *"amber", "enter")
        assert "only amber: 4 of 11" in view(app).text.splitlines()[0]
        await pilot.press("M")
        assert "4 marked" in view(app).text.splitlines()[0]
        await pilot.press("escape")
        assert "B1 brook" in view(app).text
        assert "4 marked" in view(app).text.splitlines()[0]
        await pilot.press("escape")
        assert "marked" not in view(app).text.splitlines()[0]


async def test_words_that_find_nothing_say_so_and_esc_shows_all(app: CalendarApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await pilot.press("slash", *"xyz", "enter", "enter", "r", "b", "z", "space", "M", "exclamation_mark")
        assert 'No cohort has "xyz"; Esc shows all.' in view(app).text
        await pilot.press("escape")
        assert "A1 H1" in view(app).text


async def test_the_next_clash_is_a_key_away(app: CalendarApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        seen = []
        for _ in range(5):
            await pilot.press("exclamation_mark")
            seen.append(view(app).cohort_id)
        assert app.plan is not None
        warned = {clash.own for clash in app.plan.clashes if clash.own}
        assert set(seen) == warned
        assert seen[0] == seen[len(warned)]


def test_a_large_screen_shows_the_story_and_this_weeks_open_work() -> None:
    drawn = "\n".join(
        text_of(row) for row in season_rows(PLAN, looking(PLAN, (160, 44), cursor=TODAY), 160, 44, UNICODE)
    )
    assert "Overdue: 4" in drawn
    assert "Transplant by hand; water in  crew" in drawn
    for stage in PLAN.timelines["A1"].stages:
        assert re.search(rf"^[> ] {stage.replace('_', ' ')} ", drawn, re.MULTILINE), stage


def test_work_that_has_no_room_is_counted() -> None:
    whole = work_rows(PLAN, 160, 200, UNICODE, 0, "w")
    tasks = sum(text_of(row).startswith("  ") for row in whole)
    for height in (3, 8, 12):
        rows = [text_of(row).rstrip() for row in work_rows(PLAN, 160, height, UNICODE, 0, "w")]
        assert len(rows) == height
        shown = sum(row.startswith("  ") for row in rows)
        assert rows[-1] == f"… {tasks - shown} more: w"


@pytest.mark.parametrize(
    ("width", "begins", "ends"),
    [
        (
            100,
            "Two Rivers 2026-27  Tue 8 Dec 2026  set by hand ",
            "4 overdue, 2 today, 1 to record, 3 clashes",
        ),
        (84, "Two Rivers 2026-27  Tue 8 Dec 2026  ", "4 overdue, 2 today, 1 to record, 3 clashes"),
        (76, "Two Rivers 2026-27  Tue 8 Dec  ", "4 overdue, 2 today, 1 to record, 3 clashes"),
        (70, "Two Rivers 2026-27  Tue 8 Dec  ", "4 overdue, 2 today, 1 to record"),
        (60, "Two Rivers 2026-27  Tue 8 Dec  ", "4 overdue, 2 today"),
        (40, "Two Rivers 2026-27  Tue 8 Dec  ", "4 overdue"),
        (36, "Two Rivers 20…  Tue 8 Dec  ", "4 overdue"),
        (30, "Two Rivers 2026-27  Tue 8 Dec", ""),
    ],
)
def test_where_there_is_no_room_what_is_aside_goes_then_the_year_the_end_of_what_waits_and_then_of_the_name(
    width: int, begins: str, ends: str
) -> None:
    waits = "4 overdue, 2 today, 1 to record, 3 clashes"
    row = title_row(PLAN, width, UNICODE, waits, aside="set by hand")
    assert {style for text, style in row if "by hand" in text} <= {"faint"}
    title = text_of(row)
    assert len(title) == width
    assert title.startswith(begins)
    assert title.endswith(ends)
