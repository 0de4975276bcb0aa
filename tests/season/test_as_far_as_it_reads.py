"""A season with problems as far as it reads, and a season read again after an edit."""

from __future__ import annotations

import tomllib
from datetime import date

import pytest

from calendar_tui.season import record_reading
from calendar_tui.season.edits import Edit, apply_edits
from calendar_tui.season.reading import read_season
from tests.counting import lines_run
from tests.season.test_all_problems import TEXT

TASKS = "".join(f'[[task]]\nid = "t{n}"\ndate = 2026-11-09\nwhat = "Hoe"\nchore = "hoe"\n' for n in range(40))


def read(*swaps: tuple[str, str]):
    text = TEXT + TASKS
    for old, new in swaps:
        assert old in text
        text = text.replace(old, new)
    return read_season(tomllib.loads(text))


def test_a_season_without_problems_reads_as_a_whole():
    reading = read()
    assert reading.season is not None
    assert reading.readable is reading.season


def test_the_farm_s_clock_and_name_are_known_though_its_latitude_and_last_day_do_not_read():
    reading = read(("-34.3", '"south"'), ("2027-05-15", '"may"'))
    assert reading.season is None
    assert (reading.readable.site.timezone, reading.readable.name) == ("America/Montevideo", "Two Rivers")
    assert reading.readable.first_day == date(2026, 9, 15)
    assert reading.task_problems == ()


def test_a_chore_s_caution_is_known_though_its_offset_does_not_read():
    reading = read(('who = "crew"', 'who = "crew"\ncaution = "Sharp blades."\noffset_d = "soon"'))
    assert reading.season is None
    assert reading.readable.chores["hoe"].caution == "Sharp blades."
    assert reading.readable.chores["hoe"].offset_d == 0


def test_a_record_that_lacks_what_it_cannot_do_without_is_left_out():
    reading = read(('what = "Hoe"\nstage', "what = 3\nstage"))
    assert reading.readable.chores == {}
    assert len(reading.readable.tasks) == 40


def test_tables_that_are_not_there_do_not_keep_the_tasks_from_being_read():
    reading = read_season({"format": 2, "task": [{"id": "t1", "date": date(2026, 11, 9), "what": "Hoe"}]})
    assert [task.id for task in reading.readable.tasks] == ["t1"]
    assert reading.task_problems == ()
    assert {problem.path[0] for problem in reading.problems} == {"season", "site"}


@pytest.mark.parametrize(
    "swap",
    [('id = "t3"', 'id = "t2"'), ('id = "t3"\ndate', 'id = "t3"\nhours = -1\ndate'), ("format = 3", "")],
)
def test_what_is_wrong_with_the_tasks_or_at_the_top_is_told_of_the_tasks(swap: tuple[str, str]):
    (problem,) = read(swap).task_problems
    assert problem.path[0] in ("task", "format")


def test_records_that_an_edit_left_as_they_were_are_not_read_again(monkeypatch: pytest.MonkeyPatch):
    data = tomllib.loads(TEXT + TASKS)
    before = read_season(data)
    edited = apply_edits(data, [Edit("set", "task", ("t3",), ("state",), "done")])
    given = []
    read_record = record_reading.read_record
    monkeypatch.setattr(
        "calendar_tui.season.reading.read_record",
        lambda form, *rest: given.append(form.kind) or read_record(form, *rest),
    )
    after = read_season(edited, before)
    assert [kind for kind in given if kind not in ("season", "site", "crew")] == ["task"]
    assert after.season == read_season(edited).season
    assert after.season.tasks[3].state == "done"


def test_a_record_that_is_wrong_after_an_edit_is_told_though_the_others_were_read_before():
    data = tomllib.loads(TEXT + TASKS)
    before = read_season(data)
    twice = {**data, "task": [*data["task"], data["task"][0]]}
    (problem,) = read_season(twice, before).problems
    assert problem.message == 'id "t0" is used by two task records; give one another id'
    wrong = apply_edits(data, [Edit("set", "task", ("t3",), ("hours",), -1.0)])
    assert [p.path for p in read_season(wrong, before).problems] == [("task", 3, "hours")]


def test_reading_a_task_more_takes_a_few_lines_for_each_of_its_keys():
    few, many = (tomllib.loads(TEXT), tomllib.loads(TEXT + TASKS))
    work = lines_run(lambda: read_season(many)) - lines_run(lambda: read_season(few))
    assert work / 40 < 90  # of four keys; its record has seventeen fields, each set in a line of its own
