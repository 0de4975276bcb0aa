"""The pages that are only read: a cohort in full, help, a file's problems."""

from __future__ import annotations

import re
from datetime import date
from types import SimpleNamespace

import pytest
from small_app import SmallApp

from calendar_tui.handing_on.words.why_text import why_text
from calendar_tui.planning.why.chain import chain, days_behind
from calendar_tui.screens.asking.record_view import RecordView
from calendar_tui.screens.kit.actions import BY_ID
from calendar_tui.screens.kit.drawing import EDGE, ListRow
from calendar_tui.screens.kit.glyphs import ASCII
from calendar_tui.screens.pages.cohort_view import CohortView
from calendar_tui.screens.pages.help_view import KEY_WIDTH, HelpView, help_rows
from calendar_tui.screens.pages.problems_view import ProblemsView
from calendar_tui.screens.pages.why_view import WhyView
from calendar_tui.storage.problems import FileProblem

TODAY = date(2026, 11, 8)


def _words(text: str) -> str:
    return " ".join(text.split())


async def test_a_cohort_shows_every_stage_with_its_whole_reason() -> None:
    view = CohortView("A1")
    app = SmallApp(view, TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert app.plan is not None
        timeline = app.plan.timelines["A1"]
        for found in timeline.stages.values():
            assert _words(found.reason) in _words(view.text)
        assert f"Days of growth: {timeline.growth_d}, from transplant to induction" in view.text
        for clash in app.plan.clashes_of("A1"):
            assert _words(clash.text) in _words(view.text)
        assert max(map(len, view.text.splitlines())) < 80
        await pilot.press("r")
        await pilot.pause()
        assert isinstance(app.screen, RecordView)


@pytest.mark.slow
async def test_a_cohort_is_told_day_by_day_as_the_command_tells_it() -> None:
    view = CohortView("A1")
    app = SmallApp(view, TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("d")
        await pilot.pause()
        why = app.screen
        assert isinstance(why, WhyView)
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert app.plan is not None
        told = " ".join(list(why_text(app.plan, "A1", "harvest"))[1:])
        assert _words("\n".join(why.text.splitlines()[1:])) == _words(told)
        # The last columns are the margin and the mark that lines go on: nothing may stand under them.
        assert max(map(len, why.text.splitlines())) <= why.size.width - EDGE
        app.data["cohort"] = [c for c in app.data["cohort"] if c["id"] != "A1"]
        app.reload()
        await pilot.pause()
        assert why.text == "A1 is not in this season any more."
        await pilot.press("escape")
        assert app.screen is view


async def test_day_by_day_on_a_narrow_screen_no_status_and_no_reason_is_cut() -> None:
    view = WhyView("A1")
    app = SmallApp(view, TODAY)
    async with app.run_test(size=(40, 12)) as pilot:
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert app.plan is not None
        words = _words(view.text)
        for stage_date in chain(app.plan.timelines["A1"], "harvest"):
            assert _words(stage_date.status_text) in words, stage_date.stage


@pytest.mark.parametrize(("size", "columns"), [((40, 12), 3), ((60, 20), 5), ((80, 24), 7)])
async def test_day_by_day_the_count_stands_on_every_screen(size: tuple[int, int], columns: int) -> None:
    view = WhyView("A1")
    app = SmallApp(view, TODAY)
    async with app.run_test(size=size) as pilot:
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert app.plan is not None
        days = days_behind(app.plan, "A1", "harvest")
        heads = [re.split(" {2,}", line.strip()) for line in view.text.splitlines() if "felt day" in line]
        assert [(len(head), head[-1]) for head in heads] == [(columns, "count")]
        lines = [line.split() for line in view.text.splitlines()]
        for day in days:
            assert f"{day.count:.2f}" in [
                words[-1] for words in lines if words[1:3] == [str(day.day.day), f"{day.day:%b}"]
            ]
        assert max(map(len, view.text.splitlines())) <= view.size.width - EDGE


async def test_a_page_left_before_its_range_is_worked_out_does_no_harm() -> None:
    view = CohortView("A1")
    app = SmallApp(view, TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("d", "escape")
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert app.screen is view


async def test_what_the_temperatures_lack_stands_with_the_cohort() -> None:
    view = CohortView("A1")
    app = SmallApp(view, TODAY)
    app.data["heat"] = {}
    app.data["site"] |= {"monthly_low_c": [10.0] * 12, "monthly_high_c": [20.0] * 12}
    app.reload()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "taken to be as cold as the site outside" in _words(view.text)


async def test_a_cohort_taken_out_of_the_season_is_said_to_be_gone() -> None:
    view = CohortView("A3")
    app = SmallApp(view, TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        app.data["cohort"] = [c for c in app.data["cohort"] if c["id"] != "A3"]
        app.reload()
        await pilot.press("r")
        assert view.text == "A3 is not in this season any more."
        assert app.screen is view


async def test_help_names_every_action_and_the_cautions() -> None:
    view = HelpView()
    app = SmallApp(view, TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        text = _words(view.text)
        for key in BY_ID.values():
            if key.text:
                assert _words(f"{key.shown} {key.text}") in text
        for word in ("planning aid", "ground-fault", "licence", "Official", "label is the law"):
            assert word in text
        await pilot.press("escape")
        assert app.screen is not view


def _text_of(shown: ListRow) -> str:
    return "".join(s.text for s in shown.segments)


def test_help_begins_with_the_keys_of_the_view_it_is_opened_from() -> None:
    whole = sorted(map(_text_of, help_rows(ASCII, 79)))
    for name, title in (
        ("week", "In the week view"),
        ("lamps", "In the lamps view"),
        ("", "In the season view"),
    ):
        rows = list(map(_text_of, help_rows(ASCII, 79, name)))
        assert rows[0] == title
        assert sorted(rows) == whole


def test_help_needs_no_more_than_ascii_where_the_terminal_has_no_more() -> None:
    text = "".join(s.text for r in help_rows(ASCII, 79) for s in r.segments)
    assert text.isascii()


async def test_problems_stand_with_their_lines_and_the_file_can_be_read_again() -> None:
    view = ProblemsView()
    app = SmallApp(view, TODAY)
    app.opened = SimpleNamespace(problems=(FileProblem("s.toml", 12, "latitude 120 is not -90 to 90"),))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert view.text.startswith("This season has 1 problem")
        assert "s.toml:12:" in view.text
        assert "latitude 120 is not -90 to 90" in view.text
        assert "read-only" in view.text
        app.opened = SimpleNamespace(problems=())
        await pilot.press("R")
        await pilot.pause()
        assert "0 problems" in view.text
        await pilot.press("q")
    assert app.return_code == 0


def test_help_says_how_to_copy_with_the_mouse() -> None:
    rows = list(map(_text_of, help_rows(ASCII, 79)))
    at = rows.index("With the mouse")
    (shift,) = (line for line in rows[at:] if line.startswith(f"{'Shift':<{KEY_WIDTH}}"))
    assert shift[KEY_WIDTH:].startswith("Hold it while you drag")
    assert "copy" in shift
