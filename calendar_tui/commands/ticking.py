"""The command that ticks tasks; with tasks that are the work of a stage it records the stage's date: all in one change."""

from __future__ import annotations

import argparse
from collections.abc import Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from calendar_tui.commands.changing import NOTHING_SAVED, lights_off_answers, show_and_save
from calendar_tui.commands.command_input import (
    ask,
    at_terminal,
    emit,
    save,
    today_of,
    typed_day,
)
from calendar_tui.commands.tasks_by_id import (
    act_on_tasks,
    are_chosen,
    day_by_task,
    emit_all,
    meant_tasks,
    settled,
    unanswered_lines,
)
from calendar_tui.language.speaking import chore_text, speaking, tr, translated
from calendar_tui.season.refusal import Refusal, refuse_all

if TYPE_CHECKING:
    from calendar_tui.planning.changes.proposal import Proposal
    from calendar_tui.planning.changes.ticks import Tick
    from calendar_tui.planning.plan import Plan
    from calendar_tui.season.records import Season, Task
    from calendar_tui.storage.opening import Opened


def done(args: argparse.Namespace) -> int:
    return act_on_tasks(args, _done)


def _done(args: argparse.Namespace, opened: Opened, season: Season, words: Sequence[str]) -> None:
    """What is saved is made in English, whatever the crew speaks."""
    from calendar_tui.planning.changes.ticks import stage_to_record

    chosen = meant_tasks(
        args, season, words, "tick", until=today_of(args, season.site.timezone), question=False
    )
    _refuse_unknown_cohorts(opened, season, chosen)
    stages = {t.id: stage_to_record(season, t) if t.state != "done" else "" for t in chosen}
    if args.lights_off and not any(stages.values()):
        raise Refusal(tr("--lights-off does not apply: none of these tasks records a date"))
    if args.cause and not any(stages.values()):
        raise Refusal(
            tr(
                "--cause does not apply: none of these tasks records a date; what held other work up stands in a note"
            )
        )
    spent = _spent(args, chosen)
    today = today_of(args, season.site.timezone)
    days = _days(args, season, chosen, stages, today)
    if not any(stages.values()):
        _settle(args, opened, season, chosen, days)
    facts = _facts(args, season, chosen)
    ticks = _ticks(chosen, days, facts, spent, (args.cause or "").strip())
    if any(stages.values()):
        saved = _record(args, opened, ticks)
    else:
        saved = not args.dry_run and _tick(opened, ticks)
    plain = [tick for tick in ticks if not stages[tick.task.id]]
    if saved or args.dry_run:
        _show(args, season, plain, today)
    if saved and (are_chosen(args) or args.yes or not at_terminal()):
        emit(unanswered_lines(season, [t.task for t in ticks if t.is_new and not (t.fact or t.task.fact)]))
    if args.dry_run and plain == ticks:
        emit([tr(NOTHING_SAVED)])


def _refuse_unknown_cohorts(opened: Opened, season: Season, tasks: Sequence[Task]) -> None:
    """Refuse to tick work that records a stage of a cohort which the season does not have, with the file's problems first."""
    from calendar_tui.planning.changes.ticks import unknown_cohorts

    unknown = {task: names for task in tasks if (names := unknown_cohorts(season, task))}
    if not unknown:
        return
    from calendar_tui.season.problems import Problem
    from calendar_tui.storage.opening import sound_season
    from calendar_tui.storage.toml.located import located

    sound_season(opened)
    problems = (
        Problem(("task", season.tasks.index(task)), _unknown_cohort_text(season, task, name))
        for task, names in unknown.items()
        for name in names
    )
    refuse_all([*map(str, located(opened.path, opened.text, tuple(problems)))], len(tasks))


def _unknown_cohort_text(season: Season, task: Task, name: str) -> str:
    from calendar_tui.season.readers import choices
    from calendar_tui.season.wording import stage_text

    stage = stage_text(season.chores[task.chore].records)
    return (
        f'task {task.id} records the {stage} of "{name}", which is not a cohort of this season'
        f"{choices(name, season.cohorts, 'Cohorts')}. Put the right one in the file, or update the tasks to the plan: "
        "calendar-tui tasks"
    )


def _ticks(
    tasks: Sequence[Task],
    days: Mapping[str, date],
    facts: Mapping[str, str],
    spent: Mapping[str, float],
    cause: str,
) -> list[Tick]:
    from calendar_tui.planning.changes.ticks import Tick

    return [Tick(task, days[task.id], facts[task.id], spent.get(task.id), cause) for task in tasks]


def _days(
    args: argparse.Namespace,
    season: Season,
    tasks: Sequence[Task],
    stages: Mapping[str, str],
    today: date,
) -> dict[str, date]:
    """The day on which each task was done: as given, as recorded, as the person answers, else today.

    Of tasks that flags chose the person answers once for each stage. Raises Refusal with a line for each that cannot be.
    """
    from calendar_tui.planning.changes.ticks import recorded_day

    answers: dict[str, str] = {}
    at_once = are_chosen(args)

    def answer(task: Task, stage: str) -> str:
        key = stage if at_once else task.id
        if key not in answers:
            alike = [t for t in tasks if stages[t.id] == stage] if at_once else [task]
            answers[key] = _day_answer(args, alike, stage, today)
        return answers[key]

    def day(task: Task) -> date:
        if args.on is not None:
            return _typed_day(args.on, season, today, task, "--on ")
        if stage := stages[task.id]:
            _refuse_late(args, task, stage, today)
            return _typed_day(answer(task, stage), season, today, task)
        return recorded_day(season, task) or today

    return day_by_task(tasks, day)


def _refuse_late(args: argparse.Namespace, task: Task, stage: str, today: date) -> None:
    """Refuse to record as of today, unasked, what was due long before."""
    from calendar_tui.planning.changes.doubts import late_doubt

    if args.yes and not args.dry_run and (late := late_doubt(task, stage, today, today)):
        ways = tr("With --yes add the day: --on due for {day}, --on today, or --on DATE", day=task.date)
        raise Refusal(f"{late} {ways}")


def _typed_day(text: str, season: Season, today: date, task: Task, flag: str = "") -> date:
    """A day up to today; "due" is the task's own, and +2 and -1 count from that. Raises Refusal."""
    from calendar_tui.planning.changes.doubts import season_days
    from calendar_tui.planning.changes.ticks import DUE, due_or_today, not_yet

    if text.strip().casefold() == DUE:
        return due_or_today(task, today)
    first, last = season_days(season, today)
    day = typed_day(
        text, today=today, planned=task.date, first_day=first, last_day=last, past=True, flag=flag
    )
    if wrong := not_yet(day, today):
        raise Refusal(f"{flag}{wrong}")
    return day


def _day_answer(args: argparse.Namespace, tasks: Sequence[Task], stage: str, today: date) -> str:
    """The day that a person types for these tasks, which record a stage; "today" where nobody is asked, or types none."""
    from calendar_tui.planning.changes.doubts import late_doubt
    from calendar_tui.season.wording import cohorts_text, full_day_text, span_of_days_text, stage_text

    if args.yes or args.dry_run or not at_terminal():
        return "today"
    names = tuple(dict.fromkeys(name for task in tasks for name in task.about))
    late = [task.date for task in tasks if late_doubt(task, stage, today, today)]
    due = tr("; due for {days}", days=span_of_days_text(late)) if late else ""
    question = tr(
        "{stage} on which day? Enter for today, {day}{due}: ",
        stage=f"{cohorts_text(names)} {stage_text(stage)}",
        day=full_day_text(today),
        due=due,
    )
    return _answer(question) or "today"


def _facts(args: argparse.Namespace, season: Season, tasks: Sequence[Task]) -> dict[str, str]:
    """What was found with each task: as given, else as the person answers where the task asks for it; "" for nothing.

    Of tasks that flags chose nothing is asked for: there may be very many.
    """
    from calendar_tui.planning.changes.facts import fact_with, typed_facts
    from calendar_tui.planning.changes.ticks import asks_of

    if args.fact is not None:
        names = dict.fromkeys(name for task in tasks for name in task.about)
        given = typed_facts(args.fact, season, names)
        with speaking(None):
            return {task.id: fact_with(season, task, given) for task in tasks}
    silent = args.yes or args.dry_run or are_chosen(args) or not at_terminal()
    facts = dict.fromkeys((task.id for task in tasks), "")
    for task in tasks:
        if not silent and not task.fact and (asks := asks_of(season, task)):
            whose = f"{task.id}  {_about(task)}: " if len(tasks) > 1 else ""
            offer = _offer(season, task)
            question = tr("{asks}? Enter leaves it open{offer}: ", asks=chore_text(asks), offer=offer)
            typed = typed_facts([_answer(f"{whose}{question}")], season, task.about)
            with speaking(None):
                facts[task.id] = fact_with(season, task, typed)
    return facts


def _spent(args: argparse.Namespace, tasks: Sequence[Task]) -> Mapping[str, float]:
    """The hours that each task took, by id; nothing where none are given."""
    from calendar_tui.planning.changes.spent import shared_out, typed_hours

    return {} if args.spent is None else shared_out(typed_hours(args.spent), tasks)


def _offer(season: Season, task: Task) -> str:
    """ ", = for 24 plants": how to write down what was planned; "" where the work is not of an amount."""
    from calendar_tui.planning.changes.facts import offered_text, own_amount
    from calendar_tui.season.wording import amount_text

    if not task.amount:
        return ""
    offered = offered_text(amount_text(own_amount(season, task, name)) for name in task.about or ("",))
    return tr(", = for {amount}", amount=offered) if offered else ""


def _answer(question: str) -> str:
    try:
        return ask(question).strip()
    except EOFError:
        emit([""])
        raise Refusal(tr("nothing saved: no answer")) from None


def _settle(
    args: argparse.Namespace,
    opened: Opened,
    season: Season,
    tasks: Sequence[Task],
    days: Mapping[str, date],
) -> None:
    """Ask once about tasks of which none records a date: whether those that flags chose are meant, their days, what held them."""
    from calendar_tui.commands.holding import tick_hold_texts
    from calendar_tui.planning.changes.doubts import tick_doubts

    emit_all(args, tasks)
    ticks = _ticks(tasks, days, dict.fromkeys(days, ""), {}, "")
    today = today_of(args, season.site.timezone)
    holds = tick_hold_texts(opened, season, [(t.task, t.day) for t in ticks if t.is_new])
    doubts = tick_doubts(season, ticks, today, typed=args.on is not None)
    settled(args, tasks, "tick", (*(tr("HOLD: {why}", why=text) for text in holds), *doubts))


def _tick(opened: Opened, ticks: Sequence[Tick]) -> bool:
    """Tick tasks of which none records a date; that is done, also where all were before."""
    from calendar_tui.planning.changes.ticks import tick_change

    with speaking(None):
        change = tick_change(ticks)
    if change.edits:
        save(opened.path, change, opened)
    return True


def _record(args: argparse.Namespace, opened: Opened, ticks: Sequence[Tick]) -> bool:
    """Show what the recorded dates move, and save them with all ticks as one change; whether it was saved."""
    from calendar_tui.planning.plan import make_plan
    from calendar_tui.storage.opening import sound_season, with_weather

    with speaking(None):
        season = sound_season(with_weather(opened))
        now = make_plan(season, today_of(args, season.site.timezone))
        proposals = _proposals(args, now, ticks)
    return show_and_save(args, opened, proposals)


def _proposals(args: argparse.Namespace, now: Plan, ticks: Sequence[Tick]) -> Mapping[Any, Proposal]:
    from calendar_tui.planning.changes.slips import HOLD, records_of, tick_tasks

    answers = lights_off_answers(args, now, records_of(now, ticks))
    try:
        return {answer: tick_tasks(now, ticks, answer or HOLD) for answer in answers}
    except Refusal as wrong:
        refuse_all(str(wrong).splitlines(), len(ticks))
        raise


def _show(
    args: argparse.Namespace,
    season: Season,
    ticks: Sequence[Tick],
    today: date,
) -> None:
    """Say what was ticked of what records no date, and what that leaves open; of a dry run what it would be."""
    from calendar_tui.handing_on.words.plain_text import hanging, task_count_text
    from calendar_tui.planning.changes.ticks import noted_text
    from calendar_tui.season.wording import span_of_days_text

    if are_chosen(args) and ticks:
        what = tr(
            "{task} on {day}",
            task=task_count_text(len(ticks)),
            day=span_of_days_text(tick.day for tick in ticks),
        )
        lines = [(True, what + _written_text(ticks, noted_text(ticks)))]
    else:
        lines = [(tick.is_new, _ticked_text(tick, today)) for tick in ticks]
    for is_new, text in lines:
        done = tr("would be done") if args.dry_run and is_new else tr("done")
        emit(hanging(f"{done}  {text}"))
    if args.dry_run:
        return
    from calendar_tui.commands.left_open import left_open_lines

    emit(left_open_lines(season, [tick for tick in ticks if tick.is_new]))


def _about(task: Task) -> str:
    from calendar_tui.season.wording import cohorts_text

    return " ".join(part for part in (cohorts_text(task.about) or task.place, chore_text(task.what)) if part)


def _ticked_text(tick: Tick, today: date) -> str:
    from calendar_tui.season.wording import full_day_text, weekday_text

    task = tick.task
    text = f"{task.id}  {_about(task)}"
    if task.date != today:
        text += f" ({tr('due {day}', day=weekday_text(task.date))})"
    if tick.is_new:
        text = tr("{task} on {day}", task=text, day=full_day_text(tick.day))
    elif task.done_on:
        text += f" ({tr('already, on {day}', day=full_day_text(task.done_on))})"
    else:
        text += f" ({tr('already')})"
    return text + _written_text([tick], tick.fact if tick.notes else "")


def _written_text(ticks: Sequence[Tick], fact: str) -> str:
    """ "; found: 24 plants; spent 3.5 h"; "" for nothing. fact: what is written down with these ticks."""
    from calendar_tui.planning.changes.ticks import spent_text

    parts = (tr("found: {fact}", fact=fact) if fact else "", translated(spent_text(ticks)))
    return "".join(f"; {part}" for part in parts if part)
