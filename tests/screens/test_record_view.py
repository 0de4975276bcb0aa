"""Recording a late date from the keyboard: both answers shown, the chosen one saved, nothing else."""

from __future__ import annotations

from datetime import date

import pytest
from settling import settled
from small_app import SEASON, SmallApp
from textual.pilot import Pilot

from calendar_tui.planning.changes.replan import refresh
from calendar_tui.screens.asking.answers import Question, answers
from calendar_tui.screens.asking.moves_view import MovesView
from calendar_tui.screens.asking.record_view import RecordView
from calendar_tui.season.refusal import Refusal

TODAY = date(2026, 11, 8)
# Lamps off while the natural day is under the threshold: the trigger follows lights-off.
LATE_SEASON = SEASON.replace("lights_off = 2026-12-20", "lights_off = 2027-02-20")


def _app(cohort: str = "A1", stage: str = "", text: str = SEASON) -> tuple[SmallApp, RecordView]:
    view = RecordView(cohort, stage)
    return SmallApp(view, TODAY, text), view


async def _moves(app: SmallApp, pilot: Pilot[None]) -> MovesView:
    screen = await settled(app, pilot)
    assert isinstance(screen, MovesView), screen
    return screen


def _line(text: str, start: str) -> str:
    return next(line for line in text.splitlines() if line.startswith(start))


def _cohort(app: SmallApp) -> dict[str, object]:
    return next(c for c in app.data["cohort"] if c["id"] == "A1")


async def test_it_opens_on_the_next_decided_stage_and_todays_date() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert view._list.key == "transplant"
        assert view._input.value == "8 Nov 2026"
        assert "transplant recorded on:" in view.text
        assert "Fri 30 Oct 2026 planned" in _line(view.text, "transplant")


async def test_both_answers_stand_side_by_side_before_anything_is_saved() -> None:
    app, _ = _app(text=LATE_SEASON)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("enter")
        moves = await _moves(app, pilot)
        assert app.saved == []
        assert "A1 transplant recorded Sun 8 Nov 2026 (9 d late)  nothing is saved yet" in moves.text
        assert _line(moves.text, "transplant").count("30 Oct -> 8 Nov  +9 d") == 2
        off = _line(moves.text, "lights off  ")
        assert "(*) h hold: chosen" in off
        assert "( ) s shift" in off
        dates = [line for line in moves.text.splitlines() if line.startswith("lights off  ")][1]
        assert dates.split("  ", 1)[1].split() == ["20", "Feb", "20", "Feb", "->", "1", "Mar", "+9", "d"]
        # Transplant to induction: held, nine days of growth are lost; moved, hardly any.
        assert _line(moves.text, "days of growth").split()[3:] == [
            "124",
            "->",
            "115",
            "d",
            "124",
            "->",
            "122",
            "d",
        ]
        assert "6 Nov -> 15 Nov  +9 d" in moves.text
        assert "Shift: it goes 9 d later; about the same days of growth" in " ".join(moves.text.split())


async def test_the_chosen_answer_is_saved_and_the_way_back_is_the_season() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("enter")
        moves = await _moves(app, pilot)
        await pilot.press("s")
        assert moves.chosen.name == "shift"
        assert "(*) s shift: chosen" in moves.text
        await pilot.press("enter")
        await settled(app, pilot)
        assert _cohort(app)["recorded"] == {"seeding": date(2026, 10, 5), "transplant": TODAY}
        assert _cohort(app)["replanned"] == {"lights_off": date(2026, 12, 29)}
        assert _cohort(app)["planned"]["lights_off"] == date(2026, 12, 20)
        assert {t["id"]: t["date"] for t in app.data["task"]}["loff"] == date(2026, 12, 29)
        assert view not in app.screen_stack
        assert moves not in app.screen_stack


async def test_hold_is_what_is_saved_unless_told_otherwise() -> None:
    app, _ = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("enter")
        await _moves(app, pilot)
        await pilot.press("y")
        await settled(app, pilot)
        assert "replanned" not in _cohort(app)
        assert "lights off held on 20 Dec" in app.saved[0].what


async def test_escape_drops_everything() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("enter")
        await _moves(app, pilot)
        await pilot.press("escape")
        assert await settled(app, pilot) is view
        await pilot.press("escape")
        assert await settled(app, pilot) is not view
        assert app.saved == []


async def test_another_lights_off_date_gets_a_column_of_its_own() -> None:
    app, _ = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("enter")
        moves = await _moves(app, pilot)
        await pilot.press("d", *"+4", "enter")
        await settled(app, pilot)
        assert moves.chosen.name == "date"
        dates = [line for line in moves.text.splitlines() if line.startswith("lights off  ")][1]
        assert "20 Dec  20 Dec" in dates
        assert dates.split()[-4:] == ["24", "Dec", "+4", "d"]
        assert all(len(line.rstrip()) <= 80 for line in moves.text.splitlines())
        await pilot.press("enter")
        await settled(app, pilot)
        assert _cohort(app)["replanned"] == {"lights_off": date(2026, 12, 24)}


async def test_a_wrong_date_for_lights_off_is_told_in_full_and_typed_again() -> None:
    app, _ = _app()
    async with app.run_test(size=(60, 20)) as pilot:
        await pilot.press("enter")
        moves = await _moves(app, pilot)
        await pilot.press("d", *"soon", "enter")
        await settled(app, pilot)
        told = " ".join(line.strip() for line in moves.text.splitlines()[:3])
        assert told.startswith('"soon" is not a date; write ')
        assert "a weekday, in 2 weeks, 2026-W45 (its Monday), or today" in told
        assert "Esc back" in moves.text
        await pilot.press("escape")
        await settled(app, pilot)
        assert "is not a date" not in moves.text


async def test_no_question_where_lights_off_is_not_touched() -> None:
    app, _ = _app("A3", "transplant")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("enter")
        moves = await _moves(app, pilot)
        assert "Hold:" not in moves.text
        assert _line(moves.text, "transplant").split() == [
            "transplant",
            "30",
            "Oct",
            "->",
            "8",
            "Nov",
            "+9",
            "d",
        ]
        await pilot.press("s", "h", "d", "enter")
        await settled(app, pilot)
        assert app.saved == [], "the seeding is not recorded: that is asked about"
        await pilot.press("y")
        await settled(app, pilot)
        assert len(app.saved) == 1


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("soon", '"soon" is not a date'),
        ("2026-11-30", "is after today"),
        ("2026-09-20", "before seeding"),
        ("2026-08-01", "outside the season"),
        ("", "is not a date"),
    ],
)
async def test_a_wrong_date_is_told_under_the_input_and_nothing_is_saved(typed: str, said: str) -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        view._input.value = typed
        await pilot.press("enter")
        assert await settled(app, pilot) is view
        assert said in " ".join(view._error.text.split())
        assert app.saved == []


async def test_arrows_choose_the_stage_while_the_date_is_typed() -> None:
    app, _ = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("up", *"19 oct", "enter")
        moves = await _moves(app, pilot)
        assert "A1 emergence recorded Mon 19 Oct 2026" in moves.text


async def test_a_stage_can_be_planned_again() -> None:
    app, view = _app(stage="lights_off")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("ctrl+t")
        assert "emergence" not in view.text
        assert view._input.value == "20 Dec 2026"
        view._input.value = "28 dec"
        await pilot.press("enter")
        moves = await _moves(app, pilot)
        assert "planned for Mon 28 Dec 2026 (8 d late)" in moves.text
        await pilot.press("enter")
        await settled(app, pilot)
        assert _cohort(app)["replanned"] == {"lights_off": date(2026, 12, 28)}


async def test_what_is_not_there_yet_is_noted() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("ctrl+t", "ctrl+t")
        assert view.text.splitlines()[0].startswith("Note a look without a stage of A1")
        assert "transplant" not in view.text
        await pilot.press(*"today", "enter")
        moves = await _moves(app, pilot)
        assert "A1 emergence not yet on Sun 8 Nov 2026" in moves.text
        assert "lights off" not in moves.text.split("days of growth")[0]
        await pilot.press("enter")
        await settled(app, pilot)
        assert _cohort(app)["not_yet"] == {"emergence": date(2026, 11, 8)}


async def test_a_date_that_may_be_mistyped_is_questioned_above_what_moves() -> None:
    app, view = _app(stage="lights_off")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("ctrl+t")
        view._input.value = "4 nov"
        await pilot.press("enter")
        moves = await _moves(app, pilot)
        assert moves.text.splitlines()[1] == "! Wed 4 Nov 2026 is before today"
        assert app.saved == []


async def test_moves_are_worked_out_again_when_the_season_changes() -> None:
    app, _ = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("enter")
        moves = await _moves(app, pilot)
        await pilot.press("s")
        _cohort(app)["planned"]["transplant"] = date(2026, 11, 1)
        app.reload()
        await settled(app, pilot)
        assert "(7 d late)" in moves.text
        assert "1 Nov -> 8 Nov  +7 d" in moves.text
        assert moves.chosen.name == "shift"


async def test_a_season_that_no_longer_allows_the_date_leaves_nothing_to_save() -> None:
    app, _ = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("enter")
        moves = await _moves(app, pilot)
        _cohort(app)["recorded"]["harvest"] = date(2026, 11, 7)
        app.reload()
        await settled(app, pilot)
        assert moves.chosen.proposal is None
        assert "before transplant" in moves.text
        await pilot.press("enter")
        assert app.saved == []


def test_an_answer_that_cannot_be_is_shown_with_its_reason() -> None:
    text = SEASON.replace("lights_off = 2026-12-20", "lights_off = 2027-05-10")
    app, _ = _app(text=text)
    assert app.plan is not None
    hold, shift = answers(app.plan, Question("A1", "transplant", TODAY))
    assert hold.proposal is not None
    assert shift.proposal is None
    assert "outside the season" in shift.error


def test_an_unknown_cohort_is_refused() -> None:
    app, _ = _app()
    assert app.plan is not None
    with pytest.raises(Refusal, match="not a cohort"):
        answers(app.plan, Question("Z9", "transplant", TODAY))


async def test_tasks_are_brought_in_step_from_the_same_view() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        assert app.plan is not None
        app.data["task"] = [t for t in app.data["task"] if t["id"] != "surv"]
        app.reload()
        moves = MovesView.for_refresh(refresh(app.plan))
        app.push_screen(moves)
        await pilot.pause()
        assert "new 6 Nov" in moves.text
        assert "Hold" not in moves.text
        await pilot.press("enter")
        await settled(app, pilot)
        assert app.screen is view
        assert refresh(app.plan).tasks == ()


async def test_a_late_date_takes_its_cause_behind_it() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        view._input.value = "today because rain on the road"
        await pilot.press("enter")
        await _moves(app, pilot)
        await pilot.press("enter")
        await pilot.pause()
        assert _cohort(app)["causes"] == {"transplant": "rain on the road"}
        assert _cohort(app)["recorded"]["transplant"] == TODAY  # type: ignore[index]


async def test_no_cause_is_kept_of_a_plan() -> None:
    app, view = _app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("ctrl+t")
        await pilot.pause()
        view._input.value = "12 nov because rain"
        await pilot.press("enter")
        await settled(app, pilot)
        assert "A cause goes with a date that is recorded" in " ".join(view._error.text.split())
