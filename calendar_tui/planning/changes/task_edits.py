"""What a person does to saved tasks by hand: skip, move to another date, note. Several at once are one change."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from typing import Any

from calendar_tui.language.speaking import file_text, phrase, phrase_form
from calendar_tui.season.edits import Change, Edit
from calendar_tui.season.records import Task
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.wording import (
    MOST_COHORTS,
    cohorts_text,
    full_day_text,
    span_of_days_text,
    stage_text,
    year_day_text,
)

# Of more tasks than this a change names none; it has the fields of each.
MOST_NAMED = 3
# How a task that is settled comes to be skipped or moved all the same: by the verb, and whether it is one.
_OPEN_FIRST = {
    ("skip", True): phrase_form("{tasks}; to skip it all the same, open it again first"),
    ("skip", False): phrase_form("{tasks}; to skip them all the same, open them again first"),
    ("move", True): phrase_form("{tasks}; to move it all the same, open it again first"),
    ("move", False): phrase_form("{tasks}; to move them all the same, open them again first"),
}
_SETTLED = {"done": phrase_form("{task_id} is done"), "skipped": phrase_form("{task_id} is skipped")}


def task_name(task: Task) -> str:
    """A task with its cohorts, else its place: "k66g Transplant by hand (A3)"; `translated` knows it again."""
    whose = cohorts_text(task.about) or task.place
    chore = file_text("{chore} ({whose})", chore=task.what, whose=whose) if whose else task.what
    return file_text("{task_id} {chore}", task_id=task.id, chore=chore)


def skip_change(tasks: Sequence[Task], why: str) -> Change:
    """Skips these tasks and keeps the reason in their notes, behind what stands there. Raises Refusal for one that is done.

    A task that is skipped already takes the new reason in place of its note. why: "" for none.
    """
    _refuse_done(tasks, "skip")
    reason = " ".join(why.split())
    edits: list[Edit] = []
    for task in tasks:
        if task.state != "skipped":
            edits.append(_set(task, "state", "skipped"))
        kept = task.note if task.state != "skipped" else ""
        note = "; ".join(part for part in (kept, reason) if part)
        if reason and note != task.note:
            edits.append(_set(task, "note", note))
    form = phrase_form("skipped {tasks}: {note}") if reason else phrase_form("skipped {tasks}")
    return Change(file_text(form, tasks=task_names(tasks), note=reason), tuple(edits))


def move_change(moves: Sequence[tuple[Task, date]]) -> Change:
    """Puts tasks on dates by hand, where they stay when the season is planned anew. Raises Refusal for one done or skipped."""
    _refuse_done([task for task, _ in moves], "move")
    edits: list[Edit] = []
    for task, day in moves:
        if day != task.date:
            edits.append(_set(task, "date", day))
            edits += [] if task.moved else [_set(task, "moved", True)]
            # Why it was not on the day of its chore is no longer true.
            edits += [Edit("unset", "task", (task.id,), ("why",))] if task.why else []
    tasks, days = task_names([task for task, _ in moves]), span_of_days_text(day for _, day in moves)
    return Change(file_text("moved {tasks} to {dates}", tasks=tasks, dates=days), tuple(edits))


def reopen_change(tasks: Sequence[Task]) -> Change:
    """Opens tasks again that were done or skipped; their notes stay."""
    what = file_text("opened again {tasks}", tasks=task_names(tasks))
    return Change(what, _untick_edits(t for t in tasks if t.state != "open"))


def near_season(day: date, first_day: date, last_day: date) -> date:
    """The day, where it is in the years of the season or next to them. Raises Refusal for another."""
    if not first_day.year - 1 <= day.year <= last_day.year + 1:
        raise Refusal(
            phrase(
                "{day} is far from the season, {first} to {last}; is it the right year?",
                day=full_day_text(day),
                first=year_day_text(first_day),
                last=year_day_text(last_day),
            )
        )
    return day


def note_change(tasks: Sequence[Task], text: str) -> Change:
    """Writes a note on these tasks in place of the one there was; "" takes it away."""
    written = " ".join(text.split())
    edits = [
        _set(task, "note", written) if written else Edit("unset", "task", (task.id,), ("note",))
        for task in tasks
        if task.note != written
    ]
    form = phrase_form("noted on {tasks}: {note}") if written else phrase_form("took the note off {tasks}")
    return Change(file_text(form, tasks=task_names(tasks), note=written), tuple(edits))


def plan_keeps(works: Mapping[str, str], moves: Iterable[tuple[Task, date]]) -> Iterator[str]:
    """That moving the work of a stage leaves the stage's date, and the command that moves it: once for each date.

    works: by chore id, the stage that it is the work of, or "".
    """
    by_day: dict[tuple[str, date], list[str]] = {}
    for task, day in moves:
        stage = works.get(task.chore, "")
        if stage and day != task.date:
            by_day.setdefault((stage, day), []).extend(task.about)
    for (stage, day), names in by_day.items():
        if names:
            yield phrase(
                "{stage} itself stays where it is planned; with all that follows it moves by: {command}",
                stage=_stage_of(names, stage),
                command=f"calendar-tui plan {_typed_names(names)} {stage} {day}",
            )


def stage_stays(
    works: Mapping[str, str], recorded: Mapping[str, Mapping[str, date]], tasks: Iterable[Task], verb: str
) -> Iterator[str]:
    """That the stage whose work is skipped is planned as before, or that of a task opened again is still recorded.

    works: by chore id, the stage that it is the work of, or ""; recorded: by cohort id. verb: "skip" or "reopen".
    """
    by_day: dict[tuple[str, date | None], list[str]] = {}
    for task in tasks:
        stage = works.get(task.chore, "")
        for name in task.about if stage else ():
            day = recorded.get(name, {}).get(stage)
            if (day is None) == (verb == "skip"):
                by_day.setdefault((stage, day), []).append(name)
    for (stage, day), names in by_day.items():
        itself, typed = _stage_of(names, stage), f"{_typed_names(names)} {stage} DATE"
        if day is not None:
            yield phrase(
                "{stage} itself stays recorded on {day}; to correct that: {command}",
                stage=itself,
                day=full_day_text(day),
                command=f"calendar-tui record {typed}",
            )
        else:
            yield phrase(
                "{stage} itself stays planned; for another date: {command}",
                stage=itself,
                command=f"calendar-tui plan {typed}",
            )


def _stage_of(names: Iterable[str], stage: str) -> str:
    """ "A1 B2 transplant"."""
    return f"{cohorts_text(tuple(dict.fromkeys(names)))} {stage_text(stage)}"


def _typed_names(names: Iterable[str]) -> str:
    """Cohorts as a command takes them; of many only that they come there."""
    each = dict.fromkeys(names)
    return " ".join(each) if len(each) <= MOST_COHORTS else "COHORT ..."


def settled_by_others(edits: Iterable[Edit], tasks: Iterable[Task]) -> str:
    """Why a skip or a move by hand does not stand with the tasks as they are saved by now; "" where it does."""
    sets = {
        (edit.ident[0], *edit.field): edit.value for edit in edits if edit.op == "set" and edit.kind == "task"
    }
    for task in tasks:
        skips = sets.get((task.id, "state")) == "skipped"
        moves = (task.id, "date") in sets and ((task.id, "moved") in sets or task.moved)
        try:
            _refuse_done([task] if skips else [], "skip")
            _refuse_done([task] if moves else [], "move")
        except Refusal as refused:
            return str(refused)
    return ""


def settled_before(edits: Iterable[Edit], back: Iterable[Edit]) -> Iterator[str]:
    """What was settled otherwise when these edits were saved, and is no more. back: the edits that take them back."""
    was = {edit.ident: edit.value for edit in back if edit.op == "set" and _of_state(edit)}
    for edit in edits:
        if edit.op == "set" and _of_state(edit) and was.get(edit.ident, edit.value) != edit.value:
            state = phrase(str(edit.value))
            yield phrase(
                "{task_id} was {before} before; it is {state} now",
                task_id=edit.ident[0],
                before=phrase(str(was[edit.ident])),
                state=state,
            )


def _of_state(edit: Edit) -> bool:
    return edit.kind == "task" and edit.field == ("state",)


def _refuse_done(tasks: Iterable[Task], verb: str) -> None:
    shut = ("done",) if verb == "skip" else ("done", "skipped")
    if settled := [phrase(_SETTLED[task.state], task_id=task.id) for task in tasks if task.state in shut]:
        raise Refusal(phrase(_OPEN_FIRST[verb, len(settled) == 1], tasks=", ".join(settled)))


def task_names(tasks: Sequence[Task]) -> str:
    if len(tasks) == 1:
        return task_name(tasks[0])
    if len(tasks) > MOST_NAMED:
        return file_text("{count} tasks", count=len(tasks))
    ids = ", ".join(task.id for task in tasks)
    return file_text("{count} tasks ({ids})", count=len(tasks), ids=ids)


def _set(task: Task, key: str, value: Any) -> Edit:
    return Edit("set", "task", (task.id,), (key,), value)


def _untick_edits(tasks: Iterable[Task]) -> tuple[Edit, ...]:
    """The edits that open these done tasks again."""
    return tuple(
        Edit("unset", "task", (t.id,), (key,))
        for t in tasks
        for key in ("state", "done_on")
        if key == "state" or t.done_on is not None
    )
