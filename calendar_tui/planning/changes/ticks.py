"""Ticking work that records a stage, and recording a stage that is some task's work: one change for both."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from calendar_tui.language.speaking import file_text, phrase, phrase_form, translated
from calendar_tui.planning.changes.facts import Found, fact_of, found_of, found_text
from calendar_tui.planning.changes.task_edits import task_name, task_names
from calendar_tui.season.edits import Change, Edit
from calendar_tui.season.records import Cohort, Season, Task
from calendar_tui.season.refusal import refuse_all
from calendar_tui.season.rules import OFFICIAL_CHORE
from calendar_tui.season.wording import cohorts_text, full_day_text, span_of_days_text, stage_text

# Typed in place of a day: each task on the date on which it was due.
DUE = "due"


@dataclass(frozen=True, slots=True)
class Tick:
    """A task that was done on a day, and what was found with it; "" leaves what stands there.

    spent: person-hours that it took; None leaves what stands there. cause: why a stage that it records came on another day
    than planned; "" leaves what stands there.
    """

    task: Task
    day: date
    fact: str = ""
    spent: float | None = None
    cause: str = ""

    @property
    def is_new(self) -> bool:
        return self.task.state != "done"

    @property
    def notes(self) -> bool:
        """Whether what was found is other than what stands there."""
        return self.fact not in ("", self.task.fact)

    @property
    def times(self) -> bool:
        """Whether it took other hours than stand there."""
        return self.spent not in (None, self.task.spent)


@dataclass(frozen=True, slots=True)
class StageDay:
    """A stage of a cohort on a day, on which it happened or for which it is planned.

    fact: what to write down with the task that is its work. looked: when the plants were last looked at without it.
    cause: why it came on another day than planned; "" leaves what stands there.
    """

    cohort: str
    stage: str
    day: date
    fact: str = ""
    looked: date | None = None
    cause: str = ""


def tick_edits(tasks: Iterable[Task], today: date) -> tuple[Edit, ...]:
    """The edits that tick these tasks as done on `today`."""
    return tuple(
        edit
        for task in tasks
        for edit in (
            Edit("set", "task", (task.id,), ("state",), "done"),
            Edit("set", "task", (task.id,), ("done_on",), today),
        )
    )


def ticks_texts(tasks: Iterable[Task]) -> tuple[str, ...]:
    """ "ticks k66g: Load the dryer": the notes on work that a record ticks too."""
    return tuple(phrase("ticks {task_id}: {chore}", task_id=task.id, chore=task.what) for task in tasks)


def tick_change(ticks: Sequence[Tick]) -> Change:
    """The change that ticks these tasks, one or several, and writes down what was found; of those done, only that."""
    new, noted = [t for t in ticks if t.is_new], [t for t in ticks if t.notes]
    edits = [edit for t in new for edit in tick_edits([t.task], t.day)]
    edits += [edit for t in noted for edit in fact_edits([t.task], t.fact)]
    edits += spent_edits(ticks)
    facts, spent = noted_text(ticks), spent_text(ticks)
    if new:
        days, names = span_of_days_text(t.day for t in new), task_names([t.task for t in new])
        form = (
            phrase_form("ticked {tasks} on {dates}: {facts}")
            if facts
            else phrase_form("ticked {tasks} on {dates}")
        )
        what = file_text(form, tasks=names, dates=days, facts=facts)
    elif noted:
        what = file_text(
            "found with {tasks}: {facts}", tasks=task_names([t.task for t in noted]), facts=facts
        )
    else:
        names = task_names([t.task for t in ticks if t.times])
        return Change(file_text("{spent} on {tasks}", spent=spent, tasks=names), tuple(edits))
    what = file_text("{what}; {spent}", what=what, spent=spent) if spent else what
    return Change(what, tuple(edits))


def spent_edits(ticks: Iterable[Tick]) -> tuple[Edit, ...]:
    """The edits that write down how long work took, where that is known."""
    return tuple(Edit("set", "task", (t.task.id,), ("spent",), t.spent) for t in ticks if t.times)


def spent_text(ticks: Iterable[Tick]) -> str:
    """ "spent 3.5 h", of all of them together; "" where none took other hours than stand there."""
    hours = [t.spent or 0.0 for t in ticks if t.times]
    return file_text("spent {number} h", number=f"{round(sum(hours), 2):g}") if hours else ""


def noted_text(ticks: Iterable[Tick]) -> str:
    """What these ticks write down, alike once; "" for nothing."""
    return found_text(Found(t.task.about if len(t.task.about) < 2 else (), t.fact) for t in ticks if t.notes)


def not_yet(day: date, today: date) -> str:
    """Why nothing can have been done on that day, as a sentence without its full stop; "" where it can."""
    return (
        phrase(
            "{day} is after today, {last}; tick what has been done",
            day=full_day_text(day),
            last=full_day_text(today),
        )
        if day > today
        else ""
    )


def due_or_today(task: Task, today: date) -> date:
    """The day of a tick "due": the date on which the task was due, never after today."""
    return min(task.date, today)


def stage_to_record(season: Season, task: Task) -> str:
    """The stage that ticking this task records, while it is not recorded of all its cohorts; or ""."""
    return season.chores[task.chore].records if open_cohorts(season, task) else ""


def open_cohorts(season: Season, task: Task) -> tuple[str, ...]:
    """The cohorts of which ticking this task records a stage that is not recorded yet."""
    chore = season.chores.get(task.chore)
    if chore is None or not chore.records:
        return ()
    known = (season.cohorts[name] for name in task.about if name in season.cohorts)
    return tuple([cohort.id for cohort in known if chore.records not in cohort.recorded])


def unknown_cohorts(season: Season, task: Task) -> tuple[str, ...]:
    """The cohorts of which ticking this task records a stage, and which the season does not have."""
    chore = season.chores.get(task.chore)
    if chore is None or not chore.records or task.state == "done":
        return ()
    return tuple([name for name in task.about if name not in season.cohorts])


def works_of_stages(
    season: Season, stages: Iterable[tuple[str, str]]
) -> dict[tuple[str, str], tuple[Task, ...]]:
    """By cohort and stage, of those asked for: the tasks that record it; one that was skipped only where there is no other.

    The season's tasks are gone through once, however many stages there are.
    """
    works: dict[tuple[str, str], list[Task]] = {pair: [] for pair in stages}
    asked = {stage for _, stage in works}
    records = {chore.id: chore.records for chore in season.chores.values() if chore.records in asked}
    for task in [t for t in season.tasks if t.chore in records]:
        stage = records[task.chore]
        for name in task.about:
            if (name, stage) in works:
                works[name, stage].append(task)
    return {pair: tuple([t for t in tasks if t.state != "skipped"] or tasks) for pair, tasks in works.items()}


def cuts_bags(season: Season, task: Task) -> bool:
    """Whether a task is the work of cutting bags for the laboratory, which are recorded with its tick."""
    chore = season.chores.get(task.chore)
    return chore is not None and "bags" in chore.shows


def official_to_record(season: Season, task: Task) -> tuple[str, ...]:
    """The lots of a task that is the work of the authority's sample and of which none is recorded as taken."""
    if task.chore != OFFICIAL_CHORE:
        return ()
    from calendar_tui.season.lots import lots_without_official_sample

    return lots_without_official_sample(season, task.about)


def asks_of(season: Season, task: Task) -> str:
    """What a task's chore asks to be written down; "" for nothing."""
    chore = season.chores.get(task.chore)
    return "" if chore is None else chore.asks


def recorded_day(season: Season, task: Task) -> date | None:
    """The day recorded for the stage that ticking this task records, of several the last; None where one has none."""
    chore = season.chores.get(task.chore)
    known = [season.cohorts[name] for name in task.about if name in season.cohorts]
    days = [cohort.recorded.get(chore.records) for cohort in known] if chore else []
    there = [day for day in days if day is not None]
    return max(there) if there and len(there) == len(days) else None


def skipped_before(works: Iterable[Task]) -> Iterator[str]:
    """That a record ticks a task that was skipped, and why it was. works: the tasks that record the stage."""
    for task in works:
        if task.state == "skipped":
            form = phrase_form("{task_id} was skipped; the record says that the work was done, and ticks it")
            if task.note:
                form = phrase_form(
                    "{task_id} was skipped ({note}); the record says that the work was done, and ticks it"
                )
            yield phrase(form, task_id=task.id, note=task.note)


def ticked(works: Iterable[Task], day: date, fact: str = "") -> tuple[tuple[Task, ...], tuple[Edit, ...]]:
    """The tasks that record a stage as ticked on that day, and the edits that tick them; without those that were so.

    fact: what was found; "" leaves what stands there.
    """
    open_ones = [t for t in works if t.state != "done" or t.done_on != day or fact]
    done = tuple([replace(t, state="done", done_on=day, fact=fact or t.fact) for t in open_ones])
    return done, (*tick_edits(open_ones, day), *fact_edits(open_ones, fact))


def work_of_records(
    season: Season,
    records: Sequence[StageDay],
    works: Mapping[tuple[str, str], Sequence[Task]],
    cohorts: Mapping[str, Cohort],
) -> tuple[list[Task], list[Edit], list[str]]:
    """The tasks that these records tick, the edits that do, and what that is in words.

    cohorts: with all that is recorded. Raises Refusal for each record with a fact that no task takes.
    """
    finished = [*_finished(season, records, works, cohorts)]
    taken = {task.id for _, task in finished}
    lost = [
        _lost_fact_text(r, works[r.cohort, r.stage], cohorts)
        for r in records
        if r.fact and taken.isdisjoint(task.id for task in works[r.cohort, r.stage])
    ]
    refuse_all(lost, len(records))
    worked, edits, found = list[Task](), list[Edit](), list[Found]()
    for record, task in finished:
        of_task = found_of(season, task, {r.cohort: r.fact for r in records if r.stage == record.stage})
        tasks, tick_edits = ticked([task], record.day, fact_of(task, of_task))
        edits += tick_edits
        worked += tasks
        found += of_task
    form = phrase_form("ticked {tasks}: {facts}") if found else phrase_form("ticked {tasks}")
    what = file_text(form, tasks=task_names(worked), facts=found_text(found))
    return worked, edits, [what] if worked else []


def _lost_fact_text(record: StageDay, works: Sequence[Task], cohorts: Mapping[str, Cohort]) -> str:
    """Why no task takes what was found. works: the tasks that record the stage; cohorts: with all that is recorded."""
    stage = stage_text(record.stage)
    if not works:
        return phrase(
            'no task records the {stage} of {cohort}, so there is none to write down "{fact}" with; '
            "record it without a fact, and note it on another task: calendar-tui note TASK TEXT",
            stage=stage,
            cohort=record.cohort,
            fact=record.fact,
        )
    others = tuple([n for n in works[0].about if n in cohorts and record.stage not in cohorts[n].recorded])
    return phrase(
        '{task} is done once the {stage} of {cohorts} is recorded too, so "{fact}" has to wait; '
        "record {cohort} without a fact, or all of them together",
        task=translated(task_name(works[0])),
        stage=stage,
        cohorts=cohorts_text(others),
        fact=record.fact,
        cohort=record.cohort,
    )


def _finished(
    season: Season,
    records: Iterable[StageDay],
    works: Mapping[tuple[str, str], Sequence[Task]],
    cohorts: Mapping[str, Cohort],
) -> Iterator[tuple[StageDay, Task]]:
    """The tasks that are the work of these records, each with the last of them; one that several cohorts share is
    finished once its stage is recorded of all of them.
    """
    last = {
        task.id: (r, task) for r in sorted(records, key=lambda r: r.day) for task in works[r.cohort, r.stage]
    }
    for record, task in last.values():
        if all(record.stage in cohorts[name].recorded for name in task.about if name in cohorts) and not (
            record.stage == "harvest" and is_of_earlier_pass(season, task)
        ):
            yield record, task


def is_of_earlier_pass(season: Season, task: Task) -> bool:
    """Whether a task was done with a pass that left something to cut: it is not done again with the last one."""
    from calendar_tui.season.lots import passes_of

    names = [name for name in task.about if name in season.cohorts] if task.state == "done" else []
    return any(one.date == task.done_on and not one.last for name in names for one in passes_of(season, name))


def fact_edits(tasks: Iterable[Task], fact: str) -> tuple[Edit, ...]:
    """The edits that write down what was found with these tasks; none for ""."""
    return tuple(Edit("set", "task", (task.id,), ("fact",), fact) for task in tasks if fact)
