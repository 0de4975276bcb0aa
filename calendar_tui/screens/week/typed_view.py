"""One line to type for a change of tasks: why they are skipped, which date they move to, a note."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.screen import Screen
from textual.widgets import Input

from calendar_tui.language.speaking import marked, phrase, tr, translated
from calendar_tui.planning.changes.doubts import move_doubts
from calendar_tui.planning.changes.task_edits import (
    move_change,
    near_season,
    note_change,
    skip_change,
    task_name,
)
from calendar_tui.planning.tasks.week import works_of
from calendar_tui.screens.kit.actions import bindings
from calendar_tui.screens.kit.crew_words import crew_words
from calendar_tui.screens.kit.drawing import BOLD, DIM, HEADING, WARNING, Bar, first_rows, row, wrapped
from calendar_tui.screens.kit.host import host
from calendar_tui.screens.kit.keys import Keys
from calendar_tui.season.edits import Change
from calendar_tui.season.records import Season, Task
from calendar_tui.season.typed_dates import FROM_DUE, typed_in_season
from calendar_tui.season.wording import stage_text, weekday_text

FOOT = ("typed",)
ABOUT_LINES, ERROR_LINES = 6, 3
# Doubts about more dates than this are not read in the lines that there are.
MOST_DOUBTS = 1


def skip_view(tasks: Sequence[Task], season: Season) -> TypedView:
    """Raises Refusal where one of the tasks cannot be skipped."""
    skip_change(tasks, "")
    given = {task.note for task in tasks if task.state == "skipped"}
    return TypedView(
        marked("Skip"),
        tasks,
        marked("Why? Kept in the note; may be left empty."),
        skip_change,
        given.pop() if len(given) == len(tasks) == 1 else "",
        more=_stays(tasks, season),
    )


def move_view(tasks: Sequence[Task], season: Season, today: date, order: str) -> TypedView:
    """order: of day and month in a date of numbers. Raises Refusal where one of the tasks cannot be moved."""
    move_change([(task, task.date) for task in tasks])

    def day(typed: str, task: Task) -> date:
        day = typed_in_season(
            typed, season, today=today, planned=task.date, past=False, order=order, counted=FROM_DUE
        )
        return near_season(day, season.first_day, season.last_day)

    question = marked("To which date? 2026-12-09, 9 dec, a weekday to come, or +2 days from each task's own.")

    def doubts(now: Sequence[Task], typed: str) -> tuple[str, ...]:
        moves = [(t, day(typed, t)) for t in now]
        return move_doubts(season, moves, today)

    return TypedView(
        marked("Move"),
        tasks,
        question,
        lambda now, typed: move_change([(t, day(typed, t)) for t in now]),
        more=_stays(tasks, season),
        doubts=doubts,
    )


def _stays(tasks: Sequence[Task], season: Season) -> list[str]:
    """That the date of a stage is planned as before, whatever becomes of the task that is its work."""
    works = works_of(season)
    stages = [
        f"{t.cohort} {stage_text(works[t.chore])}"
        for t in tasks
        if works.get(t.chore)
        and t.cohort in season.cohorts
        and works[t.chore] not in season.cohorts[t.cohort].recorded
    ]
    return (
        [
            phrase(
                "! The plan keeps {stages} where it is; the record form plans a stage anew.",
                stages=", ".join(dict.fromkeys(stages)),
            )
        ]
        if stages
        else []
    )


def note_view(tasks: Sequence[Task]) -> TypedView:
    notes = {task.note for task in tasks}
    typed = notes.pop() if len(notes) == 1 else ""
    question = marked("What to note? In place of what stands there; nothing takes it off.")
    before = {task.id: task.note for task in tasks}

    def doubts(now: Sequence[Task], typed: str) -> tuple[str, ...]:
        return tuple(
            phrase('{task_id} has another note by now, "{note}"', task_id=t.id, note=t.note)
            for t in now
            if t.note != before[t.id]
        )

    return TypedView(marked("Note"), tasks, question, note_change, typed, doubts=doubts)


class TypedView(Screen[Change | None]):
    """Asks for a line of text; gives the change that comes of it, None where it is left."""

    CSS = (
        "Input { border: none; height: 1; padding: 0 2; } #about { height: 6; } #question { height: 2; } "
        "#error { height: 3; } #keys { dock: bottom; }"
    )
    CREW: ClassVar[bool] = True
    BINDINGS: ClassVar[list[BindingType]] = bindings("view")

    def __init__(
        self,
        heading: str,
        tasks: Sequence[Task],
        question: str,
        make: Callable[[Sequence[Task], str], Change],
        typed: str = "",
        more: Sequence[str] = (),
        doubts: Callable[[Sequence[Task], str], Sequence[str]] = lambda now, typed: (),
    ) -> None:
        """make: the change of the tasks, as they are by then, for what is typed, raises ValueError with what is wrong;
        typed: what stands there at first; more: what else to know before, told first; doubts: why what is typed may be
        mistyped, which a second Enter confirms.
        """
        super().__init__()
        self._doubts, self._doubted = doubts, ""
        self._tasks = tuple(tasks)
        self._heading, self._question_text, self._make = heading, question, make
        self._more = tuple(more)
        self._about, self._error = Bar(id="about"), Bar(id="error")
        self._question = Bar(id="question")
        self._input = Input(typed, id="typed", select_on_focus=False)

    def compose(self) -> ComposeResult:
        with crew_words(self):
            heading = Bar(row((tr(self._heading), HEADING)))
        yield heading
        yield self._about
        yield self._question
        yield self._input
        yield self._error
        yield Keys(FOOT, id="keys")

    def on_mount(self) -> None:
        self._input.focus()

    def on_resize(self) -> None:
        with crew_words(self):
            self._say_what()

    def _say_what(self) -> None:
        """What the tasks are, and what is asked."""
        width = self.app.size.width - 1
        tasks = (f"{weekday_text(task.date)}: {translated(task_name(task))}" for task in self._tasks)
        lines = (*map(translated, self._more), *tasks)
        rows = [r for line in lines for r in wrapped(line, width, "", "  ")]
        if len(rows) > ABOUT_LINES:
            more = tr("and more: {count} tasks in all", count=len(self._tasks))
            rows = [*rows[: ABOUT_LINES - 1], row((more, DIM))]
        self._about.say(*rows)
        self._question.say(*first_rows(wrapped(tr(self._question_text), width, style=BOLD), 2, width))

    @property
    def text(self) -> str:
        """All that the view shows, as plain text."""
        return "\n".join(bar.text for bar in (self._about, self._question, self._error))

    def _now(self) -> list[Task]:
        """The tasks as others have left them since this view was opened; one that is gone as it was."""
        plan = host(self).plan
        saved = {} if plan is None else {task.id: task for task in plan.season.tasks}
        return [saved.get(task.id, task) for task in self._tasks]

    def on_input_submitted(self) -> None:
        typed = " ".join(self._input.value.split())
        now = self._now()
        try:
            change, doubts = self._make(now, typed), self._doubts(now, typed)
        except ValueError as wrong:
            self._warn(str(wrong))
            return
        if doubts and typed != self._doubted:
            self._doubted = typed
            self._warn(
                " ".join((*(f"{doubt}." for doubt in doubts[:MOST_DOUBTS]), phrase("Enter again saves it.")))
            )
        else:
            self.dismiss(change)

    def _warn(self, message: str) -> None:
        width = self.size.width - 1
        with crew_words(self):
            self._error.say(
                *first_rows(wrapped(translated(message), width, style=WARNING), ERROR_LINES, width)
            )

    def action_back(self) -> None:
        self.dismiss(None)
