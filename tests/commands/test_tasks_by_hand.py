"""The commands skip, move, note and reopen."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from small_season import PLAIN, ids, run

from calendar_tui.commands import by_hand
from tests.season_data import data_of


def _task(season: Path, name: str) -> dict[str, Any]:
    return next(t for t in data_of(season.read_text())["task"] if t["id"] == name)


def _open(season: Path, chore: str) -> str:
    """The id of a chore's first task."""
    return str(next(t["id"] for t in data_of(season.read_text())["task"] if t.get("chore") == chore))


def test_several_are_skipped_at_once_and_one_undo_takes_that_back(season: Path) -> None:
    before, two = season.read_bytes(), ids(season)[:2]
    ran = run("skip", season, two[0].upper(), two[1], "--why", "rain all day")
    assert ran.status == 0
    assert ran.out.splitlines()[0] == f"Saved: skipped 2 tasks ({', '.join(two)}): rain all day"
    assert [(_task(season, i)["state"], _task(season, i)["note"]) for i in two] == [
        ("skipped", "rain all day")
    ] * 2
    assert run("undo", season).status == 0
    assert season.read_bytes() == before


def test_a_task_is_moved_and_the_plan_leaves_it_there(season: Path) -> None:
    name = _open(season, "scout")
    ran = run("move", season, name, "fri", "20", "nov")
    assert "to Fri 20 Nov 2026" in ran.out
    assert (str(_task(season, name)["date"]), _task(season, name)["moved"]) == ("2026-11-20", True)
    run("tasks", season, "--yes")
    assert str(_task(season, name)["date"]) == "2026-11-20"


def test_days_are_counted_from_each_task_s_own_date(season: Path) -> None:
    two = ids(season)[:2]
    was = [_task(season, i)["date"].toordinal() for i in two]
    assert run("move", season, *two, "+2", today="2026-10-30").status == 0
    assert [_task(season, i)["date"].toordinal() - w for i, w in zip(two, was, strict=True)] == [2, 2]
    assert run("move", season, *two, "-2", today="2026-10-30").status == 0
    assert [_task(season, i)["date"].toordinal() for i in two] == was


def test_moving_the_work_of_a_stage_says_how_to_move_the_stage(season: Path) -> None:
    ran = run("move", season, _open(season, "transplant"), "2026-11-12")
    assert "moves by: calendar-tui plan A1 transplant 2026-11-12" in ran.out


def test_a_move_to_a_day_that_is_not_worked_is_told(season: Path) -> None:
    crew = '\n[crew]\nwork_days = ["mon", "tue"]\nblocked = [2026-11-17]\n'
    season.write_text(season.read_text() + crew)
    name = _open(season, "scout")
    assert "Sat 21 Nov is no working day" in run("move", season, name, "2026-11-21").err
    assert "Tue 17 Nov is no working day" in run("move", season, name, "2026-11-17").err
    assert run("move", season, name, "2026-11-16").err == ""


def test_a_note_is_written_told_and_taken_off(season: Path) -> None:
    name = ids(season)[0]
    assert run("note", season, name, "two", "trays", "short").status == 0
    assert _task(season, name)["note"] == "two trays short"
    assert "the note before: two trays short" in run("note", season, name, "").out
    assert "note" not in _task(season, name)


def test_a_task_ticked_by_another_while_a_move_is_asked_about_stays_where_it_is(
    season: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    name = ids(season)[0]
    was = _task(season, name)["date"]
    monkeypatch.setattr(by_hand, "settled", lambda *_: run("done", season, name, "--yes"))
    ran = run("move", season, name, "2026-09-20")
    assert ran.status == 2
    assert (
        f"{name} is done; to move it all the same, open it again first: calendar-tui reopen {name}" in ran.err
    )
    assert (_task(season, name)["date"], _task(season, name)["state"]) == (was, "done")


def test_a_done_task_says_how_to_open_it(season: Path) -> None:
    name = ids(season)[0]
    run("done", season, name)
    ran = run("skip", season, name)
    assert ran.status == 2
    assert (
        f"{name} is done; to skip it all the same, open it again first: calendar-tui reopen {name}" in ran.err
    )
    assert run("reopen", season, name).status == 0
    assert run("skip", season, name).status == 0
    assert "No change" in run("skip", season, name).out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["skip"], "name the tasks to skip"),
        (["reopen"], "name the tasks to open again"),
        (["move", "{}"], "and then the date"),
        (["move", "{}", "someday"], '"someday" is not a date; write'),
        (["move", "{}", "2026-02-30"], "not a day of the calendar"),
        (["move", "{}", "2062-12-09"], "Sat 9 Dec 2062 is far from the season, 1 Sep 2026 to 30 Jun 2027"),
        (
            ["move", "{}", "9", "dec", "2062"],
            "Sat 9 Dec 2062 is far from the season, 1 Sep 2026 to 30 Jun 2027",
        ),
        (["note", "{}"], "then what to write"),
        (["skip", "zzzz"], '"zzzz" is no task of this season'),
    ],
)
def test_what_cannot_be_is_told_and_nothing_is_lost(season: Path, words: list[str], said: str) -> None:
    before = season.read_bytes()
    ran = run(words[0], season, *(w.format(ids(season)[0]) for w in words[1:]))
    assert ran.status == 2
    assert said in ran.err
    assert season.read_bytes() == before


@pytest.mark.parametrize(
    "words", [["move", "k66g", "+2"], ["move", "k66g", "fri", "4", "dec"], ["skip", "k66g"]]
)
def test_a_season_without_tasks_has_none_to_change(tmp_path: Path, words: list[str]) -> None:
    path = tmp_path / "near.toml"
    path.write_text(PLAIN)
    ran = run(words[0], path, *words[1:])
    assert (ran.status, ran.err) == (
        2,
        '"k66g" is no task of this season; `calendar-tui week` shows the ids\n',
    )


def test_control_characters_in_a_note_never_reach_the_file(season: Path) -> None:
    before = season.read_bytes()
    ran = run("note", season, ids(season)[0], "red\x1b[31m")
    assert ran.status == 2
    assert "control or hidden character" in ran.err
    assert season.read_bytes() == before


def test_a_skipped_task_opened_again_says_that_the_reason_stays_as_its_note(season: Path) -> None:
    name = _open(season, "scout")
    run("skip", season, name, "--why", "flood")
    ran = run("reopen", season, name)
    assert f'{name} keeps its note: flood; to take it off: calendar-tui note {name} ""' in ran.out


def test_a_skipped_task_that_flags_alone_choose_is_named_with_its_note(season: Path) -> None:
    name = _open(season, "scout")
    run("skip", season, name, "--why", "flood")
    ran = run("reopen", season, "--work", "scout", "--yes")
    assert f"{name} keeps its note: flood" in ran.out, ran.said


def test_skipping_the_work_of_a_stage_says_that_the_stage_stays_planned(season: Path) -> None:
    ran = run("skip", season, _open(season, "transplant"))
    assert (
        "A1 transplant itself stays planned; for another date: calendar-tui plan A1 transplant DATE"
        in ran.out
    )
    assert "stays" not in run("skip", season, _open(season, "scout")).out


@pytest.mark.parametrize("verb", ["skip", "reopen", "move", "done"])
def test_all_that_cannot_be_is_named_and_nothing_of_the_change_is_done(season: Path, verb: str) -> None:
    before = season.read_bytes()
    ran = run(verb, season, ids(season)[0], "zzzz", "yyyy", *(["20 nov"] if verb == "move" else []))
    assert (ran.status, ran.out) == (2, "")
    assert [line.split(" is ")[0] for line in ran.err.splitlines()] == ['"zzzz"', '"yyyy"', "nothing saved."]
    assert season.read_bytes() == before


MISTYPED = {
    "2026-10-01": "Thu 1 Oct 2026 is before A1 was sown (5 Oct 2026) and before today.",
    "2026-08-12": "Wed 12 Aug 2026 is outside the season (1 Sep 2026 to 30 Jun 2027) and before A1 was sown "
    "(5 Oct 2026) and 89 days before today.",
    "2027-02-03": "Wed 3 Feb 2027 is 86 days after today.",
    "yesterday": "Sun 8 Nov 2026 is before today.",
}


@pytest.mark.parametrize("day", MISTYPED)
def test_a_move_to_the_past_or_by_months_asks_first(season: Path, day: str) -> None:
    before, name = season.read_bytes(), _open(season, "transplant")
    ran = run("move", season, name, day)
    assert ran.status == 2
    assert ran.out == f"{MISTYPED[day]} Save it? [y/N] \n"
    assert "add --yes" in ran.err
    assert run("move", season, name, day, typed="n\n").err == "nothing saved.\n"
    assert season.read_bytes() == before
    assert run("move", season, name, day, typed="y\n").status == 0
    assert _task(season, name)["moved"]
    run("undo", season)
    ran = run("move", season, name, day, "--yes")
    assert (ran.status, ran.err.splitlines()[0]) == (0, MISTYPED[day])


def test_numbers_that_are_two_dates_are_not_moved_to(season: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before, name = season.read_bytes(), _open(season, "transplant")
    ran = run("move", season, name, "12/8")
    assert (ran.status, ran.err) == (2, '"12/8" is 12 Aug 2026 or 8 Dec 2026; write 12 aug or 8 dec\n')
    monkeypatch.setenv("CALENDAR_TUI_DATES", "mdy")
    ran = run("move", season, name, "12/8")
    assert ran.err == 'CALENDAR_TUI_DATES is "mdy"; set it to day-first or month-first, or unset it\n'
    assert season.read_bytes() == before
    monkeypatch.setenv("CALENDAR_TUI_DATES", "month-first")
    assert "to Tue 8 Dec 2026" in run("move", season, name, "12/8").out


def test_a_move_may_be_looked_at_first(season: Path) -> None:
    before, name = season.read_bytes(), _open(season, "scout")
    ran = run("move", season, name, "2026-11-20", "--dry-run")
    assert (ran.status, season.read_bytes()) == (0, before)
    assert ran.out == f"would move  {name} A1 Scout pests  6 Nov -> 20 Nov\nNothing saved.\n"
    ran = run("move", season, _open(season, "transplant"), "2026-11-12", "--dry-run")
    assert "moves by: calendar-tui plan A1 transplant 2026-11-12" in ran.out
    past = run("move", season, name, "2026-11-01", "--dry-run")
    assert (past.status, past.err) == (0, "Sun 1 Nov 2026 is before today.\n")
    assert season.read_bytes() == before
