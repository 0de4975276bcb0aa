"""What an edit would move, before it is saved."""

from __future__ import annotations

from dataclasses import dataclass

from calendar_tui.planning.laying_out.stages import StageDate
from calendar_tui.planning.plan import Plan
from calendar_tui.season.edits import Change
from calendar_tui.season.records import Task
from calendar_tui.season.wording import alike_text


@dataclass(frozen=True, slots=True)
class StageMove:
    """A stage of a cohort before and after; None where it is not there."""

    cohort: str
    stage: str
    old: StageDate | None
    new: StageDate | None


@dataclass(frozen=True, slots=True)
class TaskMove:
    """A task before and after; None before: a new task; None after: it falls away."""

    old: Task | None
    new: Task | None

    @property
    def task(self) -> Task:
        task = self.new or self.old
        assert task is not None
        return task


@dataclass(frozen=True, slots=True)
class Proposal:
    """What would be saved, and what would move.

    stages: every stage of the edited cohort, where it is one, moved or not, and the moved stages of the others.
        cohorts: those that are edited. growth_d: days of growth before induction of the one edited cohort, before and after.
    verdicts: what it comes to, in a line for each cohort; told first. doubts: why a date may be mistyped.
        questions: those of the doubts that are asked about expressly: a stage passed over, a record replaced, a night to come.
        evidence: what a record says about the variety and its other cohorts. notes: what to know of the change itself.
    """

    change: Change
    plan: Plan
    stages: tuple[StageMove, ...]
    tasks: tuple[TaskMove, ...]
    growth_d: tuple[int | None, int | None] = (None, None)
    new_clashes: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()
    questions: tuple[str, ...] = ()
    evidence: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    verdicts: tuple[str, ...] = ()
    cohorts: tuple[str, ...] = ()

    @property
    def marked_doubts(self) -> tuple[tuple[str, str], ...]:
        """Every doubt with its mark: "?" for what is asked before it is saved, "!" for what is only told."""
        return tuple(("?" if text in self.questions else "!", text) for text in self.doubts)

    @property
    def marked_warnings(self) -> tuple[tuple[str, str], ...]:
        """The doubts and the clashes that come new, with their marks; what several cohorts have alike is one text, each mark's together."""
        told = (*self.marked_doubts, *(("!", text) for text in self.new_clashes))
        marks = dict.fromkeys(mark for mark, _ in told)
        return tuple(
            (mark, text)
            for mark in marks
            for text in alike_text([one for of, one in told if of == mark], self.plan.timelines)
        )

    @property
    def cohort(self) -> str:
        """The edited cohort, "" where there is none or several are."""
        return self.cohorts[0] if len(self.cohorts) == 1 else ""
