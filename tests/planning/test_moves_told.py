"""What would move, in words: both ranges of a date that stays, which detail of a task changes, and no figure that stays."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from calendar_tui.handing_on.words.moves_text import answer_text, moves_text, ranges_text, stage_move_text
from calendar_tui.handing_on.words.task_moves_text import group_task_lines, spans_text, task_move_text
from calendar_tui.language.catalogue import read_catalogue
from calendar_tui.language.speaking import speaking
from calendar_tui.planning.changes.proposal import Proposal, StageMove, TaskMove
from calendar_tui.planning.laying_out.stages import Range, StageDate
from calendar_tui.planning.plan import make_plan
from calendar_tui.screens.asking.answers import move_text
from calendar_tui.season.edits import Change
from calendar_tui.season.records import Task
from tests.planning.farm import farm_data, season_of

OCT = [date(2026, 10, day) for day in range(1, 32)]
WAS = StageDate("emergence", OCT[19], OCT[24], OCT[29], "projected", "")
NOW = StageDate("emergence", OCT[21], OCT[24], OCT[27], "projected", "")
RANGES = "range 20 Oct - 30 Oct -> 22 Oct - 28 Oct"
TASK = Task(id="k3f7", date=OCT[24], what="Transplant", cohort="A1", place="H2", who="crew", hours=3.1)


def test_a_date_that_stays_shows_both_its_ranges() -> None:
    assert stage_move_text(StageMove("A1", "emergence", WAS, NOW)) == f"25 Oct  stays; {RANGES}"


LATER = StageDate("emergence", OCT[22], OCT[27], OCT[30], "projected", "")


def test_a_date_that_moves_shows_its_new_range() -> None:
    move = StageMove("A1", "emergence", WAS, LATER)
    assert stage_move_text(move) == "25 Oct -> 28 Oct  3 d later (23 Oct - 31 Oct)"
    sure = StageMove("A1", "emergence", WAS, replace(LATER, earliest=OCT[27], latest=OCT[27]))
    assert stage_move_text(sure) == "25 Oct -> 28 Oct  3 d later"
    assert move_text(move, 60) == "25 Oct -> 28 Oct  +3 d (23 Oct - 31 Oct)"
    assert move_text(move, 60, wide=False) == "28 Oct  +3 d (23 Oct - 31 Oct)"
    assert move_text(move, 30) == "25 Oct -> 28 Oct  +3 d"


@pytest.mark.parametrize(("room", "said"), [(60, f"25 Oct  {RANGES}"), (25, "25 Oct  range moves")])
def test_the_screen_shows_both_ranges_where_there_is_room(room: int, said: str) -> None:
    assert move_text(StageMove("A1", "emergence", WAS, NOW), room) == said


@pytest.mark.parametrize(
    ("details", "said"),
    [
        ({"hours": 2.8}, "hours 3.1 -> 2.8 h"),
        ({"hours": 0.0}, "hours 3.1 -> none"),
        ({"cohorts": ("A1", "A2"), "place": "F1"}, "with A2, place H2 -> F1"),
        ({"what": "Plant", "who": ""}, "what Transplant -> Plant, who crew -> none"),
        (
            {"amount": "110 plants", "why": "moved from Sun 25 Oct, no working day"},
            "amount none -> 110 plants",
        ),
    ],
)
def test_a_task_that_stays_on_its_date_says_which_detail_changes(
    details: dict[str, object], said: str
) -> None:
    text = task_move_text(TaskMove(TASK, replace(TASK, **details)))  # type: ignore[arg-type]
    assert text.startswith("k3f7 ")
    assert "25 Oct stays (" in text
    assert said in text


@pytest.mark.parametrize(("growth", "shown"), [((74, 74), False), ((74, 65), True), ((None, None), False)])
def test_days_of_growth_that_stay_are_left_out(growth: tuple[int | None, int | None], shown: bool) -> None:
    plan = make_plan(season_of(farm_data()), date(2026, 10, 1))
    move = StageMove("A1", "emergence", WAS, NOW)
    told = "\n".join(moves_text(Proposal(Change("x", ()), plan, (move,), (), growth)))
    assert ("days of growth before" in told) == shown


DEC, JAN = date(2026, 12, 24), date(2027, 1, 5)


@pytest.mark.parametrize(
    ("old", "new", "shown"), [(DEC, JAN, "24 Dec -> 5 Jan 2027"), (JAN, DEC, "5 Jan -> 24 Dec 2026")]
)
def test_a_move_over_new_year_shows_the_year(old: date, new: date, shown: str) -> None:
    assert task_move_text(TaskMove(replace(TASK, date=old), replace(TASK, date=new))).endswith(shown)
    was, now = (StageDate("harvest", day, day, day, "planned", "") for day in (old, new))
    move = StageMove("A1", "harvest", was, now)
    assert stage_move_text(move).startswith(shown)
    assert move_text(move, 40).startswith(shown)
    assert move_text(move, 20, wide=False).startswith(shown.partition(" -> ")[2])


def test_spans_of_tasks_that_move_over_new_year_show_the_years() -> None:
    assert spans_text([DEC, JAN], [JAN]) == "24 Dec - 5 Jan 2027 -> 5 Jan"
    assert spans_text([JAN], [DEC]) == "5 Jan -> 24 Dec 2026"
    assert spans_text([], [DEC]) == "none -> 24 Dec"
    over = Range(DEC, DEC, JAN)
    assert ranges_text(over, Range(JAN, JAN, JAN)) == "range 24 Dec - 5 Jan 2027 -> 5 Jan - 5 Jan"


def test_what_changes_differently_is_counted_apart_in_a_language_that_has_one_word_for_it() -> None:
    moves = [TaskMove(None, TASK), TaskMove(TASK, None), TaskMove(TASK, replace(TASK, hours=2))]
    moves += [TaskMove(TASK, replace(TASK, date=day)) for day in (OCT[25], OCT[26])]
    assert next(group_task_lines(moves)) == (
        "  5 tasks move: 2 later, 1 new, 1 gone, 1 on the same day, with other details"
    )
    with speaking(read_catalogue("nn", 'msgid "new"\nmsgstr "x"\n\nmsgid "gone"\nmsgstr "x"\n')):
        assert "2 later, 1 x, 1 x, 1 on" in next(group_task_lines(moves))


def test_harvests_of_many_cohorts_are_counted_by_how_they_move_and_ranges_alone_are_not() -> None:
    was, later = (StageDate("harvest", OCT[n], OCT[n], OCT[n + 1], "projected", "") for n in (1, 4))
    wider = replace(was, latest=OCT[5])
    ends = [*[later] * 3, wider, None]
    stages = tuple(StageMove(f"A{n}", "harvest", was, end) for n, end in enumerate(ends))
    proposal = Proposal(Change("x", ()), make_plan(season_of(farm_data()), OCT[0]), stages, (), (None, None))
    assert answer_text("hold", proposal) == "hold lights off: 3 harvests: 3 d later, 1 harvest: falls away"
