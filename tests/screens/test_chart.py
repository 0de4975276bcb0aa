"""The season view as text: where days, phases, stages and thresholds are drawn."""

from __future__ import annotations

import tomllib
from datetime import date, timedelta

import pytest
from drawn_season import laid, looking, order, sight
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.planning.why.phases import PHASES, covered_on, phase_on
from calendar_tui.screens.kit.actions import footer, footer_runs, in_group
from calendar_tui.screens.kit.canvas import Canvas, crop, fitted, joined, text_of
from calendar_tui.screens.kit.glyphs import ASCII, STYLES, UNICODE, Glyphs
from calendar_tui.screens.kit.spans import changed_spans
from calendar_tui.screens.kit.window import Window, axis_ends, zooms
from calendar_tui.screens.season.bands import draw_band
from calendar_tui.screens.season.chart import chart_rows, season_rows
from calendar_tui.screens.season.details import cursor_row
from calendar_tui.screens.season.legend import legend_rows
from calendar_tui.screens.season.paper import chart_lines
from calendar_tui.screens.season.sky import Mark, Scale, hour_labels, natural_h, written_beside
from calendar_tui.screens.season.view import FOOT
from calendar_tui.season.reading import read_season
from calendar_tui.season.stages import LETTERS
from tests.season_data import TWO_RIVERS

TODAY = date(2026, 12, 8)
SEASON = (
    TWO_RIVERS
    + """\
[[place]]
id = "N1"
kind = "nursery"
[[place]]
id = "H2"
kind = "hoop house"
lamps = { target_h = 16.0 }
[[variety]]
id = "amber"
response = "short-day"
critical_day = "14:00"
full_response_day = "12:30"
[[variety]]
id = "dawn"
response = "day-neutral"
"""
)
COHORTS = """
[[cohort]]
id = "A1"
variety = "amber"
start = "seed"
nursery = "N1"
place = "H2"
planned = { seeding = 2026-10-05, transplant = 2026-10-30, lights_off = 2026-12-20 }
recorded = { seeding = 2026-10-05, transplant = 2026-11-08 }
[[cohort]]
id = "D1"
variety = "dawn"
start = "seed"
place = "H2"
planned = { seeding = 2026-11-20 }
"""


def plan_of(text=SEASON + COHORTS):
    reading = read_season(tomllib.loads(text))
    assert reading.season is not None, reading.problems
    return make_plan(reading.season, TODAY)


PLAN = plan_of()


def look_at(plan, width, zoom=0, selected=0, cursor=TODAY, height=23):
    return looking(plan, (width, height), zoom=zoom, selected=selected, cursor=cursor)


def drawn(plan=PLAN, width=80, height=23, glyphs=UNICODE, **look):
    rows = season_rows(plan, look_at(plan, width, height=height, **look), width, height, glyphs, "a note")
    return [text_of(row) for row in rows]


def band(lines, name):
    return next(line for line in lines[2:] if f"{name} " in line[:8] and "  natural day" not in line)


# --- the time axis


@pytest.mark.slow
@given(st.integers(1, 500), st.integers(1, 300), st.integers(0, 499))
def test_a_day_stands_in_a_column_that_holds_it(days, width, n):
    window = Window(date(2026, 1, 1), days, width)
    day = window.first + timedelta(days=n % days)
    first, last = window.columns(day)
    assert 0 <= first <= last < width
    assert window.day(first) <= day
    assert last == width - 1 or window.day(last + 1) > day


@given(st.integers(1, 500), st.integers(1, 300))
def test_columns_go_up_with_days(days, width):
    window = Window(date(2026, 1, 1), days, width)
    columns = [window.columns(window.first + timedelta(days=n)) for n in range(days)]
    assert columns == sorted(columns)
    assert columns[0][0] == 0
    assert columns[-1][1] == width - 1


@pytest.mark.parametrize("width", [47, 67, 147])
def test_each_zoom_shows_fewer_days(width):
    shown = [days for _, days in zooms(243, width)]
    assert shown == sorted(set(shown), reverse=True)
    assert shown[0] == 243
    assert width // shown[-1] >= 3


def test_a_window_moves_by_halves_and_stays_on_the_axis():
    begin, end = date(2026, 1, 1), date(2026, 12, 31)
    window = Window(begin, 30, 60)
    assert window.around(date(2026, 1, 31), begin, end).first == date(2026, 1, 16)
    assert window.around(end, begin, end).last == end
    assert window.around(begin, begin, end) == window


def test_the_axis_reaches_late_dates_but_not_without_limit():
    late = plan_of(SEASON + COHORTS.replace("lights_off = 2026-12-20", "lights_off = 2027-02-01"))
    first, last = axis_ends(late)
    assert first == date(2026, 9, 15)
    assert last >= late.timelines["A1"].stages["harvest"].latest or last == date(2027, 7, 14)


# --- rows


@pytest.mark.parametrize("glyphs", [UNICODE, ASCII])
@pytest.mark.parametrize(("width", "height"), [(60, 15), (80, 23), (160, 44)])
@pytest.mark.parametrize("zoom", [0, 1, 2, 3])
def test_the_view_fills_its_size_exactly(glyphs, width, height, zoom):
    lines = drawn(width=width, height=height, glyphs=glyphs, zoom=zoom)
    assert [len(line) for line in lines] == [width] * height


def test_the_ascii_set_is_ascii():
    for zoom in range(4):
        assert "\n".join(drawn(glyphs=ASCII, zoom=zoom, height=44)).isascii()


def test_every_style_in_use_is_known():
    rows = season_rows(PLAN, look_at(PLAN, 80), 80, 44, UNICODE, "a note")
    used = {name for row in rows for _, names in row for name in names.split()}
    assert used <= set(STYLES)
    assert {"curve", "threshold", "cursor", "lamps", "clash", "pointed"} <= used


def test_the_title_says_season_today_and_notice():
    assert drawn()[0].split("  ")[:3] == ["Two Rivers", "Tue 8 Dec 2026", "a note"]


def test_phases_and_letters_stand_at_their_dates():
    lines, look = drawn(width=200), look_at(PLAN, 200)
    label = laid(PLAN, 200, 23).label
    row = band(lines, "A1")[label:]
    stages = PLAN.timelines["A1"].stages
    assert row[look.window.column(date(2026, 10, 5))] == "S"
    assert row[look.window.column(date(2026, 11, 8))] == "T"
    assert row[look.window.column(stages["emergence"].likely)] == "e"
    assert row[look.window.column(date(2026, 12, 20))] == "o"
    assert row[look.window.column(date(2026, 11, 20))] == UNICODE.phases["lamps"]
    assert row[look.window.column(date(2026, 10, 20))] == UNICODE.phases["nursery"]
    assert row[look.window.column(date(2026, 12, 25))] == UNICODE.phases["natural"]


def test_phases_follow_each_other():
    timeline = PLAN.timelines["A1"]
    days = [PLAN.season.first_day + timedelta(days=n) for n in range(243)]
    seen = list(dict.fromkeys(phase_on(PLAN, timeline, day) for day in days))
    assert seen == [None, "nursery", "lamps", "natural", "run", "induced", "flower", "drying"]
    assert set(seen[1:]) == set(PHASES) - {"covers"}


def under_covers() -> Plan:
    """A1 under covers from 10 December to 15 January: its trigger is their first evening."""
    covers = """
[[programme]]
place = "H2"
from = 2026-12-10
to = 2027-01-15
method = "blackout"
on = "18:00"
off = "08:00"
"""
    season = read_season(tomllib.loads(SEASON + COHORTS + covers)).season
    assert season is not None
    return make_plan(season, TODAY)


@pytest.mark.parametrize("glyphs", [UNICODE, ASCII])
def test_covers_have_a_fill_of_their_own_up_to_flowering(glyphs: Glyphs) -> None:
    plan = under_covers()
    timeline = plan.timelines["A1"]
    trigger, induced = timeline.likely("trigger"), timeline.likely("induced")
    assert trigger == date(2026, 12, 10)
    assert induced is not None
    assert phase_on(plan, timeline, trigger) == "run"
    look = look_at(plan, 200)
    canvas = Canvas(look.window.width, 1)
    draw_band(canvas, 0, plan, timeline, look.window, glyphs)
    cells = [(character, style) for text, style in canvas.rows()[0] for character in text]
    for day, phase in ((trigger + timedelta(days=1), "run"), (induced + timedelta(days=1), "induced")):
        assert covered_on(plan, timeline.stays, day)
        assert cells[look.window.column(day)] == (glyphs.phases["covers"], phase)
    said = text_of(cursor_row(plan, timeline, trigger + timedelta(days=1)))
    assert "covers: 10 h 00  A1: short days, trigger to induced, under covers" in said
    # A day-neutral neighbour grows on under them.
    assert phase_on(plan, plan.timelines["D1"], induced) == "covers"
    legend = "\n".join(text_of(row) for row in legend_rows(200, glyphs, 9))
    assert f"{glyphs.phases['covers'] * 2} under covers" in legend
    assert len(set(glyphs.phases.values())) == len(PHASES)
    assert STYLES["covers"] not in {STYLES[name] for name in PHASES if name != "covers"}
    assert any(glyphs.phases["covers"] in line for line in chart_lines(plan, 120, glyphs is ASCII))


def test_a_neighbours_lamps_show_on_a_cohort_that_asks_for_none():
    day = date(2026, 12, 1)
    assert "lights_on" not in PLAN.timelines["D1"].stages
    assert phase_on(PLAN, PLAN.timelines["D1"], day) == "lamps"


def test_ranges_stand_in_brackets():
    lines, look = drawn(width=200), look_at(PLAN, 200)
    row = band(lines, "A1")[laid(PLAN, 200, 23).label :]
    for name, brackets in (("flowering", "()"), ("harvest", "[]")):
        stage = PLAN.timelines["A1"].stages[name]
        found = row[look.window.column(stage.earliest)], row[look.window.columns(stage.latest)[1]]
        letters = set("".join(LETTERS.values()))
        assert all(a == b or a in letters for a, b in zip(found, brackets, strict=True)), found
    assert "[" in row
    assert "]" in row


def test_weekly_samples_are_drawn_one_by_one():
    lines = drawn(width=160)
    assert band(lines, "A1").count("x") == len(PLAN.timelines["A1"].stages["sampling"].dates) - 1


# --- the plot


def test_the_scale_puts_hours_in_order():
    scale = Scale(9.5, 14.5, 6)
    assert [scale.row(h) for h in (9.5, 14.4, 14.5)] == [5, 0, 0]
    assert hour_labels(scale) == {scale.row(h): h for h in range(10, 15)}
    assert len(hour_labels(Scale(0, 24, 6))) <= 6


def test_the_curve_is_highest_at_the_longest_day():
    look = look_at(PLAN, 80)
    layout = laid(PLAN, 80, 23)
    rows = chart_rows(sight(PLAN, look, layout))[: layout.sky]
    styles = [[style for text, style in row for _ in text][layout.label :] for row in rows]

    def height(day):
        x = look.window.column(day)
        return next(y for y, row in enumerate(styles) if "curve" in row[x].split())

    # The December solstice is the longest day of the south.
    assert height(date(2026, 12, 21)) < height(date(2026, 10, 15)) < height(date(2027, 5, 10))


def test_the_limits_of_the_selected_cohort_alone_stand_beside_the_sky_and_the_lamps_of_its_place():
    chart = "\n".join(drawn())
    assert "critical day 14 h 00" in chart
    assert "full response 12 h 30" in chart
    assert "lamps in H2 16 h 00" in chart
    neutral = "\n".join(drawn(selected=order(PLAN).index("D1")))
    assert "critical day" not in neutral
    assert "lamps in H2 16 h 00" in neutral


def test_a_limit_is_drawn_where_the_hill_does_not_reach_it():
    look, layout = look_at(PLAN, 80), laid(PLAN, 80, 23)
    rows = chart_rows(sight(PLAN, look, layout))[: layout.sky]
    cells = [[style for text, style in row for _ in text][layout.label :] for row in rows]
    levels = {x for row in cells for x, style in enumerate(row[: look.window.width]) if style == "threshold"}
    days = {x: natural_h(PLAN.light, look.window.day(x)) for x in range(look.window.width)}
    short = {x for x, hours in days.items() if hours is None or hours < 14.0}
    # A dash stands in its row's blank cells: where the day is longer, the hill covers it.
    assert levels
    assert len(levels - short) <= 2
    assert {0, look.window.width - 1} <= levels


def test_levels_in_one_row_are_written_in_rows_side_by_side():
    marks = Mark(14.0, "one", ""), Mark(13.9, "other", ""), Mark(10.0, "low", "")
    assert {y: m.words for y, m in written_beside(marks, Scale(9.5, 14.5, 5)).items()} == {
        0: "one",
        1: "other",
        4: "low",
    }
    assert len(written_beside(marks, Scale(9.5, 14.5, 2))) == 2


# --- what stands below


def test_the_cursor_line_says_natural_day_and_lamps():
    line = next(line for line in drawn() if line.startswith("Tue 8 Dec 2026"))
    # 16.0 h is the target of the place's lamps.
    assert "natural day 14 h 2" in line
    assert "; lamps to 16 h 00  A1: growing under lamps" in line


@pytest.mark.parametrize(
    ("cursor", "says"),
    [
        (date(2026, 9, 20), "A1: before seeding"),
        (date(2027, 5, 14), "A1: ended"),
        (date(2026, 10, 10), "A1: nursery"),
    ],
)
def test_the_cursor_line_says_where_the_cohort_is(cursor, says):
    assert any(line.rstrip().endswith(says) for line in drawn(cursor=cursor)), says


@pytest.mark.parametrize(
    ("cursor", "stage"), [(date(2026, 9, 15), "seeding"), (date(2026, 12, 9), "lights off")]
)
def test_the_stage_at_or_after_the_cursor_is_marked(cursor, stage):
    marked = [line for line in drawn(cursor=cursor) if line.startswith("> ")]
    assert len(marked) == 1
    assert marked[0][2:].startswith(stage)


def test_clashes_are_marked_and_never_hidden():
    assert PLAN.clashes_of("A1")
    for height in (15, 23):
        assert any(line.startswith("! ") for line in drawn(height=height))


def test_a_season_without_cohorts_says_how_to_add_one():
    text = " ".join(" ".join(drawn(plan_of(SEASON))).split())
    assert "No cohort yet: press a to add one." in text
    assert "[[" not in text


# --- runs and the footer


def test_rows_are_cropped_and_compared_by_cell():
    row = joined((("ab", ""), ("cd", "x"), ("", "y"), ("ef", "x")))
    assert row == (("ab", ""), ("cdef", "x"))
    assert crop(row, 1, 4) == (("b", ""), ("cd", "x"))
    assert list(changed_spans(row, (("ab", ""), ("cXef", "x")))) == [(3, 4)]
    assert list(changed_spans(row, (("ab", "z"), ("cdef", "x")))) == [(0, 2)]
    assert list(changed_spans(row, row)) == []
    assert text_of(fitted(row, 4, "…")) == "abc…"
    assert text_of(fitted(row, 8, "…")) == "abcdef  "


def test_the_footer_leaves_out_what_is_known_rather_than_cut():
    keys = in_group(*(group for group in FOOT if group != "past"))
    wide, narrow = footer(keys, 200, {}), footer(keys, 78, {})
    assert ("t", "today") in wide
    assert sum(len(f"{k} {w}  ") for k, w in narrow) - 2 <= 78
    assert {("u", "undo"), ("?", "help"), ("q", "quit")} <= set(narrow)


def test_a_footer_that_fills_its_row_is_not_cut():
    keys = in_group("response", "help", "view")
    whole = text_of(footer_runs(keys, 1000, {}))
    assert not whole.endswith(" ")
    assert text_of(fitted(footer_runs(keys, len(whole), {}), len(whole), "…")) == whole


def test_arrows_with_one_word_stand_together_and_are_named_in_one_word_where_the_terminal_has_none():
    keys = in_group("chart")
    assert ("↑↓←→", "move") in footer(keys, 200, UNICODE.arrows)
    assert ("arrows", "move") in footer(keys, 200, ASCII.arrows)
    assert ("+-", "zoom") in footer(keys, 200, ASCII.arrows)
    assert ("Left/Right", "place") in footer(in_group("lamps"), 200, ASCII.arrows)
