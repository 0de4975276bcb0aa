"""The answers to "what moves?": one proposal for each, and the rows that set old beside new."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from rich.style import Style

from calendar_tui.handing_on.words.moves_text import new_range, ranges_text
from calendar_tui.handing_on.words.task_moves_text import task_details_text
from calendar_tui.language.speaking import chore_text, marked, tr, translated
from calendar_tui.planning.changes.facts import Facts
from calendar_tui.planning.changes.looks import note_looks
from calendar_tui.planning.changes.outages import record_outages
from calendar_tui.planning.changes.proposal import Proposal, StageMove, TaskMove
from calendar_tui.planning.changes.slips import (
    HOLD,
    SHIFT,
    asking_records,
    plan_dates,
    record_as_proposed,
    records_of,
    tick_tasks,
)
from calendar_tui.planning.changes.ticks import StageDay, Tick
from calendar_tui.planning.laying_out.stages import StageDate
from calendar_tui.planning.plan import Plan
from calendar_tui.screens.kit.drawing import (
    BOLD,
    HEADING,
    PLAIN,
    WARNING,
    ListRow,
    evidence_rows,
    fitted,
    row,
    wrapped,
)
from calendar_tui.season.cells import cell_len
from calendar_tui.season.finders import find_cohort, find_light
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.stages import STAGES
from calendar_tui.season.wording import cohorts_text, dates_in_turn, day_move_text, day_text, stage_text

LABEL_WIDTH, WAS_WIDTH, LEAST_COLUMN = 16, 8, 28
DATE = "date"


@dataclass(frozen=True, slots=True)
class Question:
    """A date that is to be recorded, planned again, or noted as a look without it, for a stage.

    table: "recorded", "planned" or "not_yet".
    cohort: the first of them, whose dates stand for all; others: for which it is too. lights_off: a date the grower gave
    for it. facts: what was found with the work. cause: why it came on another day than planned.
    """

    cohort: str
    stage: str
    day: date
    table: str = "recorded"
    lights_off: date | None = None
    others: tuple[str, ...] = ()
    facts: Facts = Facts()
    cause: str = ""

    @property
    def edited(self) -> str:
        """The one cohort that is edited, "" where several are."""
        return "" if self.others else self.cohort

    def days(self, plan: Plan) -> tuple[StageDay, ...]:
        """The stage and day of each cohort, and what was found. Raises Refusal for one that is not in the season."""
        names = (self.cohort, *self.others)
        found = [find_cohort(plan.season, name).id for name in names]
        return tuple(
            StageDay(name, self.stage, self.day, self.facts.of(name), cause=self.cause) for name in found
        )


@dataclass(frozen=True, slots=True)
class Nights:
    """Nights without lamps that are to be recorded for places where a cohort or several stand; both ends count.

    cohort: the one they are for, "" where it is several.
    """

    cohort: str
    places: tuple[str, ...]
    first: date
    last: date

    @property
    def edited(self) -> str:
        return self.cohort


@dataclass(frozen=True, slots=True)
class OneChange:
    """A change of a figure, or of a chore. typed: as it was typed; make: the proposal, raises Refusal.

    edited: no single cohort is.
    """

    typed: str
    make: Callable[[Plan], Proposal]
    cohort: ClassVar[str] = ""
    edited: ClassVar[str] = ""


@dataclass(frozen=True, slots=True)
class Ticks:
    """Tasks that were done, of which one or several record a date: one change. edited: no single cohort is."""

    ticks: tuple[Tick, ...]
    cohort: ClassVar[str] = ""
    edited: ClassVar[str] = ""


Act = Question | Nights | OneChange | Ticks


@dataclass(frozen=True, slots=True)
class Answer:
    """One way to go on. name: hold, shift, date, or "" where there is no choice; error: why it cannot be."""

    name: str
    title: str
    proposal: Proposal | None
    error: str = ""


def answers(plan: Plan, act: Act) -> tuple[Answer, ...]:
    """Every answer, in the order shown. Raises Refusal where none of them can be."""
    if isinstance(act, Nights):
        names = [find_light(plan.season, place) for place in act.places]
        return (Answer("", "", record_outages(plan, names, act.first, act.last, act.cohort)),)
    if isinstance(act, OneChange):
        return (Answer("", "", act.make(plan)),)
    if not _is_choice(plan, act):
        return (Answer("", "", _propose(plan, act, HOLD)),)
    choices: list[tuple[str, str, str | date]] = [
        (HOLD, marked("h hold"), HOLD),
        (SHIFT, marked("s shift"), SHIFT),
    ]
    if isinstance(act, Question) and act.lights_off is not None:
        choices.append((DATE, marked("d date"), act.lights_off))
    tried = tuple(_answer(plan, act, *choice) for choice in choices)
    if all(a.proposal is None for a in tried):
        raise Refusal(tried[0].error)
    return tried


def _is_choice(plan: Plan, act: Question | Ticks) -> bool:
    """Whether there is a choice of what lights off does."""
    if isinstance(act, Question) and act.table == "not_yet":
        return False
    records = records_of(plan, act.ticks) if isinstance(act, Ticks) else act.days(plan)
    return bool(asking_records(plan, records))


def _answer(plan: Plan, act: Question | Ticks, name: str, title: str, lights_off: str | date) -> Answer:
    try:
        return Answer(name, title, _propose(plan, act, lights_off))
    except Refusal as error:
        return Answer(name, title, None, str(error))


def _propose(plan: Plan, act: Question | Ticks, lights_off: str | date) -> Proposal:
    if isinstance(act, Ticks):
        return tick_tasks(plan, act.ticks, lights_off)
    if act.table == "not_yet":
        return note_looks(plan, act.days(plan))
    make = plan_dates if act.table == "planned" else record_as_proposed
    return make(plan, act.days(plan), lights_off)


def compared_rows(choices: Sequence[Answer], edited: str, chosen: str, width: int) -> Iterator[ListRow]:
    """A column for each answer: days of growth, tasks and clashes first, then every stage, old and new.

    edited: the cohort whose every stage is shown, and its days of growth; "" where several move alike.
    """
    moved = {key: _label(*key, edited) for key in _moved_stages(choices, edited)}
    labels = (*moved.values(), *(tr(label) for label, _ in _SUMS))
    label_width = max(LABEL_WIDTH, *(cell_len(label) + 1 for label in labels))
    wide = (width - label_width) // len(choices) >= LEAST_COLUMN
    left = label_width if wide else label_width + WAS_WIDTH
    column = (width - left) // len(choices)
    if choices[0].name:
        yield _titles(choices, chosen, left, column, wide)
    for label, words in _SUMS:
        if edited or words is not _growth:
            texts = [fitted(words(a.proposal) if a.proposal else "-", column) for a in choices]
            yield row(fitted(tr(label), left), *texts)
    if _same_growth(choices):
        yield from wrapped(
            tr("Here every answer leaves the same days of growth: lights off does not decide the induction."),
            width,
        )
    for (cohort, stage), label in moved.items():
        moves = [_move(a, cohort, stage) for a in choices]
        was = "" if wide else _was(moves)
        parts = [(fitted(move_text(m, column, wide), column), BOLD if _moves(m) else PLAIN) for m in moves]
        yield row(fitted(label, label_width) + ("" if wide else fitted(was, WAS_WIDTH)), *parts)
    if not moved and any(a.proposal for a in choices):
        yield row(tr("No date of a cohort moves."))
    for answer in choices:
        if answer.error:
            cannot = tr("{answer} cannot be: ", answer=tr(answer.name))
            yield from wrapped(translated(answer.error), width, cannot, "  ", WARNING)


def _label(cohort: str, stage: str, edited: str) -> str:
    return stage_text(stage) if cohort == edited else f"{cohort} {stage_text(stage)}"


def _same_growth(choices: Sequence[Answer]) -> bool:
    """Whether the choice makes no difference to the plants."""
    left = [a.proposal.growth_d[1] for a in choices if a.proposal]
    return len(left) > 1 and len(set(left)) == 1


def _titles(choices: Sequence[Answer], chosen: str, left: int, column: int, wide: bool) -> ListRow:
    parts = [
        (
            fitted(
                f"(*) {tr('{answer}: chosen', answer=tr(a.title))}"
                if a.name == chosen
                else f"( ) {tr(a.title)}",
                column,
            ),
            BOLD if a.name == chosen else PLAIN,
        )
        for a in choices
    ]
    off = stage_text("lights_off")
    lead = off if wide else fitted(off, left - WAS_WIDTH) + tr("now")
    return row((fitted(lead, left), HEADING), *parts)


def _moved_stages(choices: Sequence[Answer], edited: str) -> list[tuple[str, str]]:
    """Every stage of the edited cohort, then those of other cohorts that any answer moves."""
    keys = {(m.cohort, m.stage) for a in choices if a.proposal for m in a.proposal.stages}
    return sorted(keys, key=lambda k: (k[0] != edited, k[0], STAGES.index(k[1])))


def _move(answer: Answer, cohort: str, stage: str) -> StageMove:
    """How the stage moves with this answer; the same old and new where it does not."""
    if answer.proposal is None:
        return StageMove(cohort, stage, None, None)
    for move in answer.proposal.stages:
        if (move.cohort, move.stage) == (cohort, stage):
            return move
    stays = answer.proposal.plan.timelines[cohort].stages.get(stage)
    return StageMove(cohort, stage, stays, stays)


def _moves(move: StageMove) -> bool:
    return move.old is None or move.new is None or move.old.likely != move.new.likely


def move_text(move: StageMove, room: int, wide: bool = True) -> str:
    """ "30 Oct -> 8 Nov  +9 d (4 Nov - 12 Nov)" in so many columns; without the old date where that has a column of its own."""
    old, new = move.old, move.new
    if new is None:
        return "-" if old is None else f"{day_text(old.likely)} -> {tr('no date')}"
    if old is None:
        return f"{day_text(new.likely)}  {tr('new')}"
    days = (new.likely - old.likely).days
    if days:
        dates = dates_in_turn(old.likely, new.likely)
        text = f"{' -> '.join(dates) if wide else dates[1]}  {days:+d} d"
        ranged = text + new_range(new)
        return ranged if len(ranged) <= room else text
    return day_text(new.likely) + _change(old, new, room - len(day_text(new.likely)))


def _change(old: StageDate, new: StageDate, room: int) -> str:
    """What is new about a stage whose likely date stays; its ranges where there is room for both."""
    if old.status != new.status:
        return f"  {tr('now {status}', status=tr(new.status))}"
    if old.range == new.range:
        return ""
    ranges = f"  {ranges_text(old.range, new.range)}"
    return ranges if len(ranges) <= room else f"  {tr('range moves')}"


def _was(moves: Sequence[StageMove]) -> str:
    return next((day_text(m.old.likely) for m in moves if m.old is not None), "-")


def _growth(proposal: Proposal) -> str:
    old, new = (tr("none") if n is None else str(n) for n in proposal.growth_d)
    return f"{new} d" if old == new else f"{old} -> {new} d"


def _tasks(proposal: Proposal) -> str:
    return str(len(proposal.tasks))


def _clashes(proposal: Proposal) -> str:
    return str(len(proposal.new_clashes)) if proposal.new_clashes else tr("none")


_SUMS = (
    (marked("days of growth"), _growth),
    (marked("tasks that move"), _tasks),
    (marked("new clashes"), _clashes),
)


def detail_rows(answer: Answer, width: int) -> Iterator[ListRow]:
    """The new clashes and every task move of one answer."""
    if answer.proposal is None:
        return
    with_answer = f" {tr('with {answer}', answer=tr(answer.name))}" if answer.name else ""
    if answer.proposal.new_clashes:
        yield row()
        yield row((f"{tr('New clashes')}{with_answer}", WARNING))
        for text in map(translated, answer.proposal.new_clashes):
            yield from wrapped(text, width, "! ", "  ")
    if answer.proposal.notes:
        yield row()
        yield row((tr("To know"), HEADING))
        for text in map(translated, answer.proposal.notes):
            yield from wrapped(text, width, "- ", "  ")
    if answer.proposal.evidence:
        yield row()
        yield row((tr("What the record says"), HEADING))
        for text in map(translated, answer.proposal.evidence):
            yield from evidence_rows(text, width)
    yield row()
    moves = answer.proposal.tasks
    yield row((f"{tr('Tasks that move')}{with_answer}: {len(moves) or tr('none')}", HEADING))
    for move in moves:
        yield row(*task_parts(move, width))


def task_parts(move: TaskMove, width: int) -> tuple[str, str, tuple[str, Style]]:
    """Old and new date, cohort, and what is to be done, with what else changes."""
    task = move.task
    if move.old is None:
        dates = tr("new {day}", day=day_text(task.date))
    elif move.new is None:
        dates = tr("falls away {day}", day=day_text(task.date))
    elif move.old.date == move.new.date:
        dates = tr("{day} stays", day=day_text(task.date))
    else:
        days = (move.new.date - move.old.date).days
        dates = f"{day_move_text(move.old.date, move.new.date)}  {days:+d} d"
    what = chore_text(task.what) + task_details_text(move)
    whose = cohorts_text(task.about) or task.place
    return (
        fitted(dates, LEAST_COLUMN),
        f"{whose}  ",
        (fitted(what, width - LEAST_COLUMN - cell_len(whose) - 2), PLAIN),
    )
