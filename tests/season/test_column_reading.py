"""Many records read key by key are those that are read one by one, and where any has a problem they are read one by one."""

from __future__ import annotations

import random
from collections.abc import Callable, Mapping
from dataclasses import FrozenInstanceError, fields, replace
from datetime import date, datetime
from typing import Any

import pytest

from calendar_tui.season import reading
from calendar_tui.season.column_reading import MANY, read_many
from calendar_tui.season.problems import Problem
from calendar_tui.season.reading import read_season
from calendar_tui.season.record_reading import form_of_record, read_record
from calendar_tui.season.records import Task
from tests.counting import lines_run

DAY = date(2026, 11, 9)
# What each key of a task may hold, and what none of its readers takes.
GOOD: Mapping[str, tuple[Any, ...]] = {
    "date": (DAY, date(2027, 1, 1)),
    "what": ("Hoe", "Scout", "water\u00adlogged", ""),
    "chore": ("hoe", "scout"),
    "cohort": ("A1",),
    "cohorts": (["A1", "B2"], ["C3", "D4"], []),
    "place": ("H1", "H1 east"),
    "n": (1, 2),
    "hours": (0, 0.0, -0.0, 1, 1.0, 2.5),
    "why": ("Sun 13 Dec is no working day", "rain"),
    "state": ("open", "done"),
    "done_on": (DAY,),
    "moved": (True, False),
    "note": ("a note",),
}
BAD: tuple[tuple[str, Any], ...] = (
    *(("n", value) for value in (True, 1.0, 0, "1")),
    *(("hours", value) for value in (True, -1, float("nan"), "2")),
    *(("date", value) for value in (datetime(2026, 11, 9), "2026-11-09", date(1066, 1, 1))),
    *(("what", value) for value in (1, "a\u202eb", ["x"])),
    *(("cohorts", value) for value in ("A1", ["A1", 2], {"A1": 1})),
    *(("moved", value) for value in (1, 0.0)),
    *(("state", value) for value in ("opened", True)),
    ("mark", "own"),
    ("whats", "Hoe"),
    ("ID", "x"),
)


def tables(chance: random.Random, count: int) -> list[dict[str, Any]]:
    keys = [key for key in GOOD if key in ("date", "what") or chance.random() < 0.7]
    return [
        {"id": f"t{n}"}
        | {key: chance.choice(GOOD[key]) for key in keys if key in ("date", "what") or chance.random() < 0.7}
        for n in range(count)
    ]


def one_by_one(given: list[Any]) -> list[Any] | None:
    """The tasks, or None where there is a problem."""
    problems: list[Problem] = []
    read = [read_record(form_of_record("task"), ("task", i), row, problems) for i, row in enumerate(given)]
    return None if problems else read


def exactly(tasks: list[Any] | None) -> list[str] | None:
    """With the types of all that is in them, and the sign of 0."""
    return None if tasks is None else list(map(repr, tasks))


@pytest.mark.parametrize("seed", range(20))
def test_tasks_read_together_are_those_read_one_by_one(seed: int) -> None:
    given = tables(random.Random(seed), MANY)
    together = read_many(form_of_record("task"), given)
    assert together is not None
    assert exactly(together) == exactly(one_by_one(given))


def test_values_that_are_equal_and_not_the_same_stay_apart() -> None:
    given = [{"id": f"t{n}", "date": DAY, "what": "Hoe", "hours": (0.0, -0.0)[n % 2]} for n in range(MANY)]
    assert exactly(read_many(form_of_record("task"), given)) == exactly(one_by_one(given))


@pytest.mark.parametrize("amiss", BAD, ids=repr)
@pytest.mark.parametrize("seed", range(3))
def test_one_that_does_not_read_has_all_read_one_by_one(seed: int, amiss: tuple[str, Any]) -> None:
    chance = random.Random(seed)
    given = tables(chance, MANY)
    chance.choice(given)[amiss[0]] = amiss[1]
    assert read_many(form_of_record("task"), given) is None


@pytest.mark.parametrize("key", ["id", "date", "what"])
def test_one_that_lacks_what_it_needs_does_too(key: str) -> None:
    given = tables(random.Random(1), MANY)
    del given[7][key]
    assert read_many(form_of_record("task"), given) is None
    for table in given:
        table.pop(key, None)
    assert read_many(form_of_record("task"), given) is None


@pytest.mark.parametrize("row", ["a task", None, [1]])
def test_what_is_no_table_does_too(row: Any) -> None:
    assert read_many(form_of_record("task"), [*tables(random.Random(1), MANY), row]) is None


def test_keys_that_are_named_otherwise_in_the_record_are_read_together_too() -> None:
    given = [{"place": "H1", "from": date(2027, 1, 1 + n % 28), "to": date(2027, 2, 1)} for n in range(MANY)]
    form = form_of_record("outage")
    assert read_many(form, given) == [read_record(form, (), row, []) for row in given]


def _fields(task: Task) -> dict[str, Any]:
    return {field.name: getattr(task, field.name) for field in fields(task)}


def test_the_data_stay_as_they_were_and_a_task_cannot_be_changed() -> None:
    given = tables(random.Random(3), MANY)
    before = [dict(table) for table in given]
    tasks = read_many(form_of_record("task"), given) or []
    assert given == before
    with pytest.raises(FrozenInstanceError):
        tasks[0].what = "Dig"
    assert replace(tasks[0], what="Dig") == replace(Task(**_fields(tasks[0])), what="Dig")
    assert len({*tasks, *(Task(**_fields(task)) for task in tasks)}) == MANY


def data(count: int) -> dict[str, Any]:
    return {"format": 3, "task": tables(random.Random(5), count)}


@pytest.mark.parametrize("spoil", [lambda rows: None, lambda rows: rows[7].update(n="two")])
def test_a_season_reads_alike_either_way(
    spoil: Callable[[list[dict[str, Any]]], None], monkeypatch: pytest.MonkeyPatch
) -> None:
    rows = data(MANY)
    spoil(rows["task"])
    together = read_season(rows)
    monkeypatch.setattr(reading, "read_many", lambda form, tables: None)
    singly = read_season(rows)
    assert together.problems == singly.problems
    assert exactly(list(together.readable.tasks)) == exactly(list(singly.readable.tasks))


def test_of_tasks_that_were_read_before_none_is_read_again() -> None:
    rows = data(2 * MANY)
    before = read_season(rows)
    more = {**rows, "task": [*tables(random.Random(6), MANY), *rows["task"]]}
    for n, table in enumerate(more["task"][:MANY]):
        table["id"] = f"new{n}"
    after = read_season(more, before)
    assert [task.id for task in after.readable.tasks] == [table["id"] for table in more["task"]]
    assert all(
        one is other for one, other in zip(after.readable.tasks[MANY:], before.readable.tasks, strict=True)
    )


def test_a_task_more_takes_few_lines_more() -> None:
    """Read one by one each takes more than 60."""
    form = form_of_record("task")
    few, many = (
        [{"id": f"t{n}", "date": DAY, "what": "Hoe", "n": n + 1} for n in range(c)] for c in (100, 300)
    )
    more = lines_run(lambda: read_many(form, many)) - lines_run(lambda: read_many(form, few))
    assert more / 200 < 30


def test_records_whose_figures_follow_from_others_are_read_one_by_one() -> None:
    """Figures of a type are filled in: of fifty varieties as of one."""
    given = [{"id": f"v{n}", "response": "short-day", "type": "fibre-northern"} for n in range(MANY)]
    form = form_of_record("variety")
    together = read_many(form, given)
    assert together is None or together == [read_record(form, (), row, []) for row in given]
