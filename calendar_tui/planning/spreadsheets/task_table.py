"""The table of tasks: a line a task; taken in again what is done with one by hand: its date, its state, what was found, its note."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import KW_ONLY, dataclass, field, replace
from datetime import date
from typing import Any

from calendar_tui.planning.changes.doubts import move_doubts, season_days
from calendar_tui.planning.changes.held_season import HeldSeason, edited_season
from calendar_tui.planning.changes.joined import joined
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.replan import propose
from calendar_tui.planning.changes.slips import records_of, tick_tasks
from calendar_tui.planning.changes.spent import typed_hours
from calendar_tui.planning.changes.task_edits import (
    move_change,
    near_season,
    note_change,
    plan_keeps,
    skip_change,
    stage_stays,
)
from calendar_tui.planning.changes.ticks import Tick, not_yet
from calendar_tui.planning.spreadsheets.cells import CLEAR, is_as_written, plain_cell
from calendar_tui.planning.spreadsheets.columns import is_id
from calendar_tui.planning.spreadsheets.sheets import Sheet, strange_notes
from calendar_tui.planning.spreadsheets.taken import (
    CellChange,
    Gathering,
    PassedOver,
    Taken,
    counts_text,
    first_of,
    lights_off_notes,
    passed_notes,
)
from calendar_tui.planning.tasks.week import works_of
from calendar_tui.season.edits import Edit
from calendar_tui.season.readers import Unreadable, near, shown, words
from calendar_tui.season.records import Season, Task
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.trial_table import Line, TrialTable
from calendar_tui.season.wording import WEEKDAYS
from calendar_tui.season.yes_no import yes_no_text

# What docs/handing-on.md says of them stands there in the same order.
TASK_COLUMNS = (
    "id",
    "date",
    "weekday",
    "what",
    "cohort",
    "place",
    "who",
    "hours",
    "hours_mark",
    "spent",
    "amount",
    "state",
    "done_on",
    "fact",
    "moved",
    "why",
    "note",
    "caution",
    "chore",
)
_OPEN, _DONE, _SKIPPED = STATES = ("open", "done", "skipped")
# Worked out from other columns, so that nobody means them.
_FOLLOWING = ("id", "weekday", "hours_mark", "moved", "why", "caution")


def task_values(season: Season, task: Task) -> dict[str, Any]:
    """What stands in each column of a task."""
    chore = season.chores.get(task.chore)
    return {
        **{name: getattr(task, name) for name in TASK_COLUMNS if hasattr(task, name)},
        "weekday": WEEKDAYS[task.date.weekday()],
        "cohort": " ".join(task.about),
        "hours_mark": (chore.hours_mark or chore.mark) if chore is not None and task.hours else "",
        "moved": yes_no_text(task.moved),
        "caution": chore.caution if chore is not None else "",
    }


@dataclass(slots=True)
class _TakenIn(Gathering):
    """A table on its way in: what is to become of each task, by its id."""

    _: KW_ONLY
    tasks: Mapping[str, Task]
    moves: dict[str, date] = field(default_factory=dict)
    skips: dict[str, Task] = field(default_factory=dict)
    ticks: dict[str, Tick] = field(default_factory=dict)
    texts: dict[str, str] = field(default_factory=dict)

    def take(self, line: int, task: Task, column: str, now: str) -> None:
        was = _text(task_values(self.held.plan.season, task)[column])
        self.cells.append(CellChange(line, task.id, column, was, now))

    def leave(self, line: int, task: Task, column: str, cell: str, why: str) -> None:
        self.passed.append(PassedOver(line, task.id, column, plain_cell(cell), why))


def take_tasks(held: HeldSeason, sheet: Sheet, table: TrialTable) -> Taken:
    """Raises Refusal with a line for each cell that cannot be."""
    tasks = {task.id.casefold(): task for task in held.plan.season.tasks}
    taken = _TakenIn(table.file, held, tasks=tasks)
    taken.notes.update(dict.fromkeys(strange_notes(sheet, table)))
    heads = ["id" if is_id(sheet.kind, head) else head.casefold() for head in table.headers]
    for line in table.lines:
        cells = {head: cell for head, cell in zip(heads, line.cells, strict=True) if head in TASK_COLUMNS}
        _take_line(taken, sheet, line, cells)
    taken.refuse_wrong()
    return _taken(taken, sheet)


def _take_line(taken: _TakenIn, sheet: Sheet, line: Line, cells: Mapping[str, str]) -> None:
    name = plain_cell(cells["id"])
    task = taken.tasks.get(name.casefold())
    if task is None:
        known = [one.id for one in taken.tasks.values()]
        taken.refuse(line.number, "id", f"there is no task {shown(name)}{near(name, known)}; {sheet.instead}")
        return
    if not taken.is_first(line.number, "id", task.id, task.id):
        return
    values = task_values(taken.held.plan.season, task)
    differing = {
        column: cell
        for column, cell in cells.items()
        if column not in _FOLLOWING and cell.strip() and not is_as_written(cell, _text(values[column]))
    }
    _take_done(taken, line.number, task, differing)
    for column, cell in differing.items():
        if column in _TAKES:
            _guarded(taken, line.number, task, column, cell)
        elif column not in _OF_DONE:
            why = f"a task has it from its chore: chores {task.chore or 'CHORE'}"
            taken.leave(line.number, task, column, cell, why)


def _text(value: Any) -> str:
    """A value as the table of tasks has it."""
    return "" if value is None else value.isoformat() if isinstance(value, date) else str(value)


def _guarded(taken: _TakenIn, line: int, task: Task, column: str, cell: str) -> None:
    try:
        _TAKES[column](taken, line, task, cell)
    except (Refusal, Unreadable, ValueError) as wrong:
        taken.refuse(line, column, str(wrong))


def _take_date(taken: _TakenIn, line: int, task: Task, cell: str) -> None:
    """Raises ValueError."""
    if task.state != _OPEN:
        taken.leave(line, task, "date", cell, _settled(task))
        return
    day = near_season(taken.day("date", cell), *season_days(taken.held.plan.season, taken.held.plan.today))
    if day != task.date:
        taken.moves[task.id] = day
        taken.take(line, task, "date", day.isoformat())


def _settled(task: Task) -> str:
    return f"{task.id} is {task.state}, which stays; to open it again: reopen {task.id}"


def _take_note(taken: _TakenIn, line: int, task: Task, cell: str) -> None:
    """Raises Unreadable."""
    text = "" if cell.strip() == CLEAR else words(plain_cell(cell))
    taken.texts[task.id] = text
    taken.take(line, task, "note", text)


_TAKES: Mapping[str, Callable[[_TakenIn, int, Task, str], None]] = {"date": _take_date, "note": _take_note}
# What goes with a tick.
_OF_DONE = ("state", "done_on", "fact", "spent")


def _take_done(taken: _TakenIn, line: int, task: Task, differing: Mapping[str, str]) -> None:
    """What is done of a task, skipped, or found with it."""
    cells = {column: plain_cell(cell) for column, cell in differing.items() if column in _OF_DONE}
    for column in ("state", "done_on") if task.state != _OPEN else ():
        if column in cells:
            taken.leave(line, task, column, cells.pop(column), _settled(task))
    state = cells.get("state", _DONE if "done_on" in cells else task.state).casefold()
    if not cells:
        return
    if state not in STATES:
        taken.refuse(line, "state", f"{shown(cells['state'])}; it must be one of: {', '.join(STATES)}")
    elif state == _SKIPPED and task.state == _OPEN:
        taken.skips[task.id] = task
        taken.take(line, task, "state", state)
        _leave_found(taken, line, task, cells)
    elif state == _DONE:
        _tick(taken, line, task, cells)
    else:
        _leave_found(taken, line, task, cells)


def _leave_found(taken: _TakenIn, line: int, task: Task, cells: Mapping[str, str]) -> None:
    for column in ("fact", "spent"):
        if column in cells:
            taken.leave(line, task, column, cells[column], "it goes with a task that is done")


def _tick(taken: _TakenIn, line: int, task: Task, cells: Mapping[str, str]) -> None:
    """A task as done, with its day and what was found; of one that is done only what was not known of it."""
    column, today = "done_on", taken.held.plan.today
    day, fact, spent = task.done_on or today, "", None
    try:
        if "done_on" in cells:
            day = taken.day("done_on", cells["done_on"])
        if wrong := not_yet(day, today):
            raise Refusal(wrong)
        column = "fact"
        if "fact" in cells and _is_open(taken, line, task, column, cells):
            fact = words(cells["fact"])
        column = "spent"
        if "spent" in cells and _is_open(taken, line, task, column, cells):
            spent = typed_hours(cells["spent"])
    except ValueError as wrong_cell:
        taken.refuse(line, column, str(wrong_cell))
        return
    tick = Tick(task, day, fact, spent)
    if not (tick.is_new or tick.notes or tick.times):
        return
    taken.ticks[task.id] = tick
    for name, now in (
        ("state", _DONE),
        ("done_on", day.isoformat()),
        ("fact", fact),
        ("spent", _text(spent)),
    ):
        if now and now != _text(getattr(task, name)):
            taken.take(line, task, name, now)


def _is_open(taken: _TakenIn, line: int, task: Task, column: str, cells: Mapping[str, str]) -> bool:
    """Whether nothing stands there yet, which would stay."""
    stood = _text(getattr(task, column))
    if stood:
        why = f"{stood} stays; to correct it: done {task.id} --{column} VALUE"
        taken.leave(line, task, column, cells[column], why)
    return not stood


# --- all of it


def _taken(taken: _TakenIn, sheet: Sheet) -> Taken:
    touched = {cell.record for cell in taken.cells}
    counts, same = (0, len(touched), len(taken.cells)), len(taken.lines) - len(touched)
    what = f"{sheet.name} from {taken.file}: {counts_text(*counts)}"
    proposal = _proposal(taken, what)
    texts = [f"{c.record} {c.field}: {c.was or 'none'} -> {c.now or 'none'}" for c in taken.cells]
    first = f"{taken.file}, {sheet.name}: {counts_text(*counts, len(taken.passed), same)}"
    proposal = replace(
        proposal,
        verdicts=(first, *first_of(texts), *proposal.verdicts),
        notes=(*passed_notes(taken.passed), *taken.notes, *proposal.notes),
    )
    return Taken(sheet.name, taken.file, proposal, tuple(taken.cells), tuple(taken.passed), (), same)


def _proposal(taken: _TakenIn, what: str) -> Proposal:
    """What is moved, skipped and noted by hand, and then what is ticked, which may record dates."""
    plan = taken.held.plan
    by_id = {task.id: task for task in plan.season.tasks}
    moves = [(by_id[name], day) for name, day in taken.moves.items()]
    edits = [*_edits_by_hand(taken, by_id)]
    season = edited_season(taken.held, edits, {}) if edits else plan.season
    doubts = move_doubts(plan.season, moves, plan.today)
    works, recorded = works_of(plan.season), {c.id: c.recorded for c in plan.season.cohorts.values()}
    stays = (*plan_keeps(works, moves), *stage_stays(works, recorded, taken.skips.values(), "skip"))
    by_hand = propose(plan, season, what, edits)
    by_hand = replace(by_hand, doubts=(*doubts, *by_hand.doubts), notes=(*stays, *by_hand.notes))
    if not taken.ticks:
        return by_hand
    now = {task.id: task for task in by_hand.plan.season.tasks}
    ticks = [replace(tick, task=now[name]) for name, tick in taken.ticks.items()]
    ticked = tick_tasks(by_hand.plan, ticks)
    both = joined(plan, by_hand, ticked, what)
    notes = lights_off_notes(by_hand.plan, records_of(by_hand.plan, ticks))
    return replace(both, notes=(*both.notes, *notes))


def _edits_by_hand(taken: _TakenIn, by_id: Mapping[str, Task]) -> Iterator[Edit]:
    if taken.moves:
        yield from move_change([(by_id[name], day) for name, day in taken.moves.items()]).edits
    if taken.skips:
        yield from skip_change([*taken.skips.values()], "").edits
    for name, text in taken.texts.items():
        yield from note_change([by_id[name]], text).edits
