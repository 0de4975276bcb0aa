"""What the season view keeps between moves: the same as drawn anew, and little work however many cohorts there are."""

from __future__ import annotations

import asyncio
import random
import tomllib
from datetime import UTC, date, datetime, timedelta
from functools import partial
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from drawn_season import laid, looking
from hypothesis import given, settings
from hypothesis import strategies as st
from rich.style import Style
from settling import settled
from test_season_view import HEAD

from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.screens.app import CalendarApp
from calendar_tui.screens.kit.canvas import Runs, joined, restyled, text_of
from calendar_tui.screens.kit.glyphs import UNICODE
from calendar_tui.screens.kit.kept import Kept
from calendar_tui.screens.kit.spans import SHORT_GAP, changed_spans
from calendar_tui.screens.kit.themes import style_of
from calendar_tui.screens.kit.window import axis_ends
from calendar_tui.screens.season.chart import season_rows
from calendar_tui.screens.season.sight import Look
from calendar_tui.screens.season.view import SeasonView
from calendar_tui.season.reading import read_season
from calendar_tui.storage.opening import open_season
from tests.counting import lines_run

TODAY = date(2026, 12, 8)
COHORT = """
[[cohort]]
id = "C{n:03}"
variety = "amber"
start = "seed"
place = "H2"
plants = 20
planned = {{ seeding = {seeding}, lights_off = {dark} }}
"""
OUTAGE = '[[outage]]\nplace = "H2"\nfrom = 2026-12-12\nto = 2026-12-15\n'
KEYS = [
    *("up", "down", "left", "right", "pageup", "pagedown", "home", "end", "0", "+", "-", "+"),
    *("down", "right", "pagedown", "space"),
]


def season_text(cohorts: int) -> str:
    days = [date(2026, 9, 20) + timedelta(days=n % 60) for n in range(cohorts)]
    text = (COHORT.format(n=n, seeding=day, dark=day + timedelta(days=70)) for n, day in enumerate(days))
    return HEAD + OUTAGE + "".join(text)


def app_of(folder: Path, cohorts: int) -> CalendarApp:
    path = folder / "two.toml"
    path.write_text(season_text(cohorts), encoding="utf-8")
    return CalendarApp(open_season(path), TODAY, "Ana", lambda: datetime(2026, 12, 8, 9, tzinfo=UTC))


def view(app: CalendarApp) -> SeasonView:
    assert isinstance(app.screen, SeasonView)
    return app.screen


# --- the same as drawn anew


PLANS: list[Plan] = []


def plans() -> list[Plan]:
    """A season on two days."""
    if not PLANS:
        season = read_season(tomllib.loads(season_text(30))).season
        assert season is not None
        PLANS.extend(make_plan(season, TODAY + timedelta(days=n)) for n in (0, 30))
    return PLANS


LOOKS = st.lists(
    st.tuples(
        st.sampled_from([0, 0, 0, 1]),
        st.sampled_from([(80, 23), (80, 23), (160, 44)]),
        st.integers(0, 3),
        st.integers(0, 29),
        st.integers(0, 240),
    ),
    min_size=2,
    max_size=6,
)


def look_at(plan: Plan, size: tuple[int, int], zoom: int, selected: int, day: int) -> Look:
    cursor = axis_ends(plan)[0] + timedelta(days=day)
    return looking(plan, size, zoom=zoom, selected=selected, cursor=cursor)


@pytest.mark.slow
@settings(max_examples=60)
@given(LOOKS)
def test_rows_that_are_kept_are_those_drawn_anew(looks: list[tuple[int, tuple[int, int], int, int, int]]):
    kept = Kept()
    for which, size, zoom, selected, day in looks:
        plan = plans()[which]
        look = look_at(plan, size, zoom, selected, day)
        drawn = season_rows(plan, look, *size, UNICODE, "a note", kept=kept)
        assert drawn == season_rows(plan, look, *size, UNICODE, "a note")


def test_a_move_in_time_draws_only_the_rows_the_cursor_stands_in_anew():
    plan, kept = plans()[0], Kept()
    look = look_at(plan, (80, 23), 0, 3, 60)
    before = season_rows(plan, look, 80, 23, UNICODE, kept=kept)
    now = season_rows(
        plan, look._replace(cursor=look.cursor + timedelta(days=30)), 80, 23, UNICODE, kept=kept
    )
    layout = laid(plan, 80, 23)
    cohorts = slice(layout.first_row, layout.first_row + layout.rows)
    assert all(a is b for a, b in zip(before[cohorts], now[cohorts], strict=True))
    sky = slice(1, layout.first_row)
    assert sum(a is not b for a, b in zip(before[sky], now[sky], strict=True)) == 1


def shown(app: CalendarApp) -> list[list[tuple[str, object]]]:
    """Every cell on screen, as its widgets have it after what they were told to draw again."""
    strips = app.screen._compositor.render_strips()
    return [[(c, looks_of(s.style)) for s in strip for c in s.text] for strip in strips]


def cells(rows: list[Runs]) -> list[list[tuple[str, object]]]:
    return [[(c, looks_of(style_of(names))) for text, names in row for c in text] for row in rows]


def looks_of(style: Style | None) -> tuple[object, ...]:
    """What of a style the view sets; the ground that Textual adds is left out."""
    return () if style is None else (style.color and style.color.name, style.bold, style.reverse)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(3))
async def test_after_any_keys_the_screen_shows_what_is_drawn_from_scratch(tmp_path: Path, seed: int):
    app, keys = app_of(tmp_path, 40), random.Random(seed)
    async with app.run_test(size=[(80, 24), (160, 45), (60, 16)][seed]) as pilot:
        await pilot.pause()
        for _ in range(25):
            await pilot.press(keys.choice(KEYS))
            await asyncio.sleep(0)
            await pilot.pause()
            screen = view(app)
            before = screen._sheet.rows
            kept, screen._kept = screen._kept, Kept()
            anew, screen._kept = screen._rows(*app.size), kept
            assert before == anew
            assert shown(app) == cells(anew)


@pytest.mark.slow
@given(st.lists(st.tuples(st.text("ab", max_size=4), st.sampled_from(["", "x", "y"]))), st.integers(-2, 12))
def test_a_cell_that_is_restyled_leaves_the_rest_as_it_is(runs: list[tuple[str, str]], x: int):
    row = joined(runs)
    before = [(c, style) for text, style in row for c in text]
    after = [(c, style) for text, style in restyled(row, x, "cursor") for c in text]
    wanted = [(c, f"{s} cursor".strip()) if i == x else (c, s) for i, (c, s) in enumerate(before)]
    assert after == wanted


CELLS = st.lists(st.tuples(st.sampled_from("ab"), st.sampled_from(["", "x"])), min_size=30, max_size=30)


@pytest.mark.slow
@given(CELLS, st.sets(st.integers(0, 29)))
def test_the_stretches_that_are_sent_hold_every_cell_that_differs_and_begin_and_end_with_one(
    some: list[tuple[str, str]], differing: set[int]
):
    others = [("c" if x in differing else c, style) for x, (c, style) in enumerate(some)]
    spans = list(changed_spans(joined(some), joined(others)))
    sent = {x for first, end in spans for x in range(first, end)}
    assert differing <= sent
    assert all({first, end - 1} <= differing for first, end in spans)
    assert all(later[0] - earlier[1] >= SHORT_GAP for earlier, later in pairwise(spans))


# --- little work


@pytest.fixture
async def wide(tmp_path: Path):
    """200 cohorts on a screen of 200x60, as lines run by a move of each kind."""
    app = app_of(tmp_path, 200)
    async with app.run_test(size=(200, 60)) as pilot:
        await pilot.pause()
        yield view(app)


# All 57 rows drawn anew take some 300,000 lines.
@pytest.mark.slow
@pytest.mark.parametrize("by", [1, -1])
async def test_a_move_in_time_among_200_cohorts_is_little_work(wide: SeasonView, by: int):
    wide.action_time(by)
    assert lines_run(lambda: wide.action_time(by)) < 9_000


@pytest.mark.slow
@pytest.mark.parametrize("by", [1, -1])
async def test_a_move_to_the_next_cohort_of_200_is_little_work(wide: SeasonView, by: int):
    wide.action_cohort(3)
    assert lines_run(lambda: wide.action_cohort(by)) < 25_000


@pytest.mark.slow
async def test_a_page_back_to_cohorts_that_were_on_screen_draws_no_row_anew(wide: SeasonView):
    wide.action_page(1)
    assert lines_run(lambda: wide.action_page(-1)) < 25_000


@pytest.mark.slow
async def test_a_move_among_200_cohorts_is_no_more_work_than_among_60(tmp_path: Path, wide: SeasonView):
    app = app_of(tmp_path, 60)
    async with app.run_test(size=(200, 60)) as pilot:
        await pilot.pause()
        few = view(app)
        few.action_time(1), wide.action_time(1)
        assert lines_run(lambda: wide.action_time(1)) < 1.2 * lines_run(lambda: few.action_time(1))


@pytest.mark.slow
async def test_a_move_in_the_list_of_a_small_terminal_counts_nothing_anew(tmp_path: Path):
    lines = []
    for cohorts in (30, 300):
        app = app_of(tmp_path, cohorts)
        async with app.run_test(size=(40, 12)) as pilot:
            await settled(app, pilot)
            await pilot.press("escape")
            await settled(app, pilot)
            small = view(app)
            small._pictured()  # not waited for: its picture is sent by a timer
            await settled(app, pilot)
            assert " to record, " in small.text
            small.action_cohort(1)
            lines.append(lines_run(lambda view=small: view.action_cohort(1)))
    few, many = lines
    assert many < 1.2 * few


# --- the first picture


def test_clashes_that_are_not_worked_out_yet_are_not_passed_over_in_silence():
    plan = plans()[0]
    look = look_at(plan, (80, 23), 0, 3, 60)
    early = [text_of(row) for row in season_rows(plan, look._replace(clashes=False), 80, 23, UNICODE)]
    assert any(line.startswith("Looking for clashes ...") for line in early)
    assert not any(line.startswith("! ") for line in early)
    assert any(
        line.startswith("! ") for line in (text_of(row) for row in season_rows(plan, look, 80, 23, UNICODE))
    )


def test_work_begun_with_a_plan_is_not_named_by_the_whole_season_in_it():
    assert repr(partial(season_text, plans()[0])).endswith(", Plan('Two Rivers', 2026-12-08))")


async def test_the_first_picture_does_not_wait_for_clashes_and_they_follow(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    told: list[bool] = []

    def drawn(plan: Plan, look: Look, *others: Any) -> list[Runs]:
        told.append(look.clashes)
        return season_rows(plan, look, *others)

    monkeypatch.setattr("calendar_tui.screens.season.view.season_rows", drawn)
    app = app_of(tmp_path, 3)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await settled(app, pilot)
        await settled(app, pilot)
        assert (told[0], told[-1]) == (False, True)
        assert "! " in view(app).text
        assert "Looking for clashes" not in view(app).text
