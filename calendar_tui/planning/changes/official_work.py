"""The work that a step of an official sample is: booked by the grower, taken by the agent, its report read."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date
from typing import NamedTuple

from calendar_tui.nature.legal_limits import RELATIVE
from calendar_tui.planning.changes.ticks import fact_edits, tick_edits
from calendar_tui.planning.cutting.official_state import ASKED, TAKEN
from calendar_tui.season.edits import Edit
from calendar_tui.season.lots import lots_of_cohort, officials_of
from calendar_tui.season.records import Season, Task
from calendar_tui.season.rules import BOOKING_CHORE, OFFICIAL_CHORE, REPORT_CHORE, Lot, Official


class _Work(NamedTuple):
    """chore: of the task; has: whether a sample is that far; day: on which it was, None for today; fact: what to write down."""

    chore: str
    has: Callable[[Official], bool]
    day: Callable[[Official], date | None]
    fact: Callable[[Official], str]


def _report_text(one: Official) -> str:
    total = f", total {one.total} %" if one.total else ""
    of_it = " of it" if one.uncertainty_is == RELATIVE else ""
    return f"{one.outcome}{total}" + (f" +- {one.uncertainty} %{of_it}" if one.uncertainty else "")


_WORKS = (
    _Work(BOOKING_CHORE, lambda one: one.state != ASKED, lambda one: None, lambda one: ""),
    _Work(OFFICIAL_CHORE, lambda one: one.state == TAKEN, lambda one: one.date, lambda one: one.who),
    _Work(REPORT_CHORE, lambda one: bool(one.outcome), lambda one: one.reported, _report_text),
)


def official_work(
    season: Season, lots: Iterable[Lot], today: date
) -> tuple[tuple[Task, ...], tuple[Edit, ...]]:
    """The open tasks that the official samples of these lots have done, and the edits that tick them with what they ask for.

    A task is done once its step is recorded of every lot of its cohorts, on the last of their days. season: with the step.
    """
    cohorts, done, edits = {lot.cohort for lot in lots}, list[Task](), list[Edit]()
    for work in _WORKS:
        for task in season.tasks:
            if task.chore != work.chore or task.state != "open" or cohorts.isdisjoint(task.about):
                continue
            if samples := _samples(season, task, work):
                days = [work.day(one) or today for one in samples]
                fact = ", ".join(dict.fromkeys(filter(None, map(work.fact, samples))))
                done.append(task)
                edits += [*tick_edits([task], min(max(days), today)), *fact_edits([task], fact)]
    return tuple(done), tuple(edits)


def _samples(season: Season, task: Task, work: _Work) -> Sequence[Official]:
    """The newest sample of each lot of a task that is as far as its work; none where a lot has none."""
    newest = [next(_so_far(season, lot, work), None) for lot in _lots(season, task)]
    there = [one for one in newest if one is not None]
    return there if len(there) == len(newest) else []


def _so_far(season: Season, lot: Lot, work: _Work) -> Iterator[Official]:
    return (one for one in reversed(officials_of(season, lot)) if work.has(one))


def _lots(season: Season, task: Task) -> Iterator[Lot]:
    for name in task.about:
        yield from lots_of_cohort(season, name) if name in season.cohorts else ()
