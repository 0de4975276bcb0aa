"""Which tasks of two copies of a season are the same: ids are made on each side, and short ones can meet by chance.

A task that a chore made is known by chore, cohort and number as well as by its id; work that is for a place, or for the
season, and not for a cohort, by chore, place and number.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from typing import Any

from calendar_tui.season.edits import Data
from calendar_tui.season.sameness import same

RecordData = Mapping[str, Any]
TaskKey = tuple[str, str, int]
_KEYS = (("chore", ""), ("cohort", ""), ("place", ""), ("n", 1))
# Gives an id to a task whose own is taken: the task, and the ids that are taken.
NameTask = Callable[[RecordData, Collection[str]], str]


def task_key(task: RecordData) -> TaskKey | None:
    """Chore, whose it is, and number of a task that a chore made; None for another."""
    chore, cohort, place, n = (task.get(key, other) for key, other in _KEYS)
    if (
        isinstance(chore, str)
        and isinstance(cohort, str)
        and isinstance(place, str)
        and type(n) is int
        and chore
    ):
        return chore, whose(cohort, place), n
    return None


def whose(cohort: str, place: str) -> str:
    """Whose a task is: its cohort, or else "@" and its place, which may have the id of a cohort; "@" for the season's."""
    return cohort or f"@{place}"


def aligned_tasks(base: Data, ours: Data, theirs: Data, name_task: NameTask) -> tuple[Data, Data]:
    """Base and theirs with the ids of ours for the tasks that are the same, and with no id for two different tasks.

    A task in base keeps its id for good, whatever a side writes into it. Copies whose tasks cannot be told apart by
    their ids are given back as they are.
    """
    was, mine, other = (_by_id(data) for data in (base, ours, theirs))
    if was is None or mine is None or other is None:
        return base, theirs
    names = _new_names(was, mine, other, name_task)
    if not names:
        return base, theirs
    kept = {old: new for old, new in names.items() if old in was}
    return _renamed(base, kept), _renamed(theirs, names)


def _by_id(data: Data) -> dict[str, RecordData] | None:
    tasks = data.get("task", [])
    if not isinstance(tasks, list) or not all(
        isinstance(t, dict) and type(t.get("id")) is str for t in tasks
    ):
        return None
    by_id: dict[str, RecordData] = {task["id"]: task for task in tasks}
    return by_id if len(by_id) == len(tasks) else None


def _new_names(
    base: Mapping[str, RecordData],
    ours: Mapping[str, RecordData],
    theirs: Mapping[str, RecordData],
    name_task: NameTask,
) -> dict[str, str]:
    """The ids of theirs that change, each with its new one."""
    ours_by_key = {key: name for name, task in ours.items() if (key := task_key(task))}
    names: dict[str, str] = {}
    taken, given = {*base, *ours, *theirs}, set[str]()
    for name, task in theirs.items():
        key = task_key(task)
        own = ours_by_key.get(key) if key else None
        if own == name:
            continue
        if own is not None and own not in given and _is_one_task(base, ours, theirs, own, name):
            names[name] = own
            given.add(own)
        elif name in ours and name not in base and task_key(ours[name]) != key:
            names[name] = name_task(task, taken)
            taken.add(names[name])
    return names


def _is_one_task(
    base: Mapping[str, RecordData],
    ours: Mapping[str, RecordData],
    theirs: Mapping[str, RecordData],
    own: str,
    name: str,
) -> bool:
    """Whether the task `own` of ours and `name` of theirs, of one key, are one task under two ids."""
    if name in base:  # ours took it away and laid it out anew
        return name not in ours and own not in theirs and own not in base
    if own not in base:  # both sides laid it out
        return own not in theirs or task_key(theirs[own]) != task_key(ours[own])
    # Theirs took it away and laid it out anew, while ours worked on it.
    return own not in theirs and not same(base[own], ours[own])


def _renamed(data: Data, names: Mapping[str, str]) -> Data:
    if not names:
        return data
    tasks = [{**task, "id": names.get(task["id"], task["id"])} for task in data["task"]]
    return {**data, "task": tasks}
