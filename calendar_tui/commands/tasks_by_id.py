"""Tasks named on the command line, and the days that are given for them: what a mistyped one is answered."""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date
from typing import TYPE_CHECKING

from calendar_tui.commands.command_input import (
    confirmed,
    emit,
    load_as_of,
    picked_season,
    refuse_unasked,
    tell,
)
from calendar_tui.commands.crew_language import crew_speaks
from calendar_tui.handing_on.words.plain_text import hanging, task_count_text
from calendar_tui.language.speaking import chore_text, tr, tr_in, tr_n, translated
from calendar_tui.season.refusal import Refusal, refuse_all
from calendar_tui.season.wording import cohorts_text, full_day_text, some_text, span_of_days_text

if TYPE_CHECKING:
    from calendar_tui.season.records import Season, Task
    from calendar_tui.storage.opening import Opened


OPEN, SETTLED = ("open",), ("done", "skipped")


def act_on_tasks(
    args: argparse.Namespace, act: Callable[[argparse.Namespace, Opened, Season, Sequence[str]], None]
) -> int:
    """Do something with the season as far as it reads and the words behind its file's name, told in the crew's language."""
    from calendar_tui.storage.opening import need_tasks

    path, words = picked_season(args)
    opened, season = need_tasks(path, load_as_of(args, path))
    with crew_speaks(args, season):
        act(args, opened, season, words)
    return 0


def are_chosen(args: argparse.Namespace) -> bool:
    """Whether flags choose the tasks, so that no word names one."""
    from calendar_tui.commands.chosen import is_choice

    return bool(args.work) or is_choice(args)


def meant_tasks(
    args: argparse.Namespace,
    season: Season,
    words: Sequence[str],
    verb: str,
    *,
    until: date | None = None,
    states: tuple[str, ...] = OPEN,
    question: bool = True,
) -> list[Task]:
    """The tasks that the words name, or that the flags choose: these are shown, and asked about. Raises Refusal.

    until, states: of the tasks that flags choose; verb: what is to be done with them; question: whether to ask here.
    """
    from calendar_tui.commands.chosen import work_of
    from calendar_tui.season.choosing import chosen_tasks

    work = work_of(args, season, until, states)
    if work is None:
        return tasks_of(season.tasks, words, verb)
    if words:
        raise Refusal(
            tr(
                '"{word}" is named, and tasks are chosen by flags too; either name tasks, or choose them',
                word=words[0],
            )
        )
    tasks = list(chosen_tasks(season, work))
    emit(hanging(chosen_text(tasks)))
    if question:
        emit_all(args, tasks)
        settled(args, tasks, verb)
    return tasks


def emit_all(args: argparse.Namespace, tasks: Iterable[Task]) -> None:
    """Print each task that flags chose on a line of its own, with the flag --all."""
    from calendar_tui.planning.changes.task_edits import task_name

    for task in tasks if args.all and are_chosen(args) else ():
        emit(hanging(f"  {full_day_text(task.date)}  {translated(task_name(task))}", indent=" " * 4))


def settled(args: argparse.Namespace, tasks: Sequence[Task], verb: str, doubts: Iterable[str] = ()) -> bool:
    """Ask once where flags chose the tasks, or where there are doubts; whether it was asked.

    doubts: why dates may be mistyped, or the work was not to be done; they are only warned of where nothing is asked. Raises Refusal for a no.
    """
    lines = [f"{doubt}." for doubt in doubts]
    refuse_unasked(args, lines)
    if args.yes or args.dry_run:
        tell(lines)
        return False
    choosing = are_chosen(args)
    if not lines and not choosing:
        return False
    question = _question(verb, len(tasks)) if choosing else tr("Save it?")
    if not confirmed(" ".join([*lines, question])):
        raise Refusal(tr("nothing saved."))
    return True


def _question(verb: str, count: int) -> str:
    """ "Tick these 18?"."""
    act = tr_in("act", verb).capitalize()
    return tr_n("{act} it?", "{act} these {count}?", count, act=act)


def chosen_text(tasks: Sequence[Task]) -> str:
    """ "18 tasks: 18 x Second weeding; due 22 May to 31 May 2027; A1 B1 C1 D1 +14"."""
    works = Counter(task.what for task in tasks)
    kinds = some_text([f"{count} x {chore_text(what)}" for what, count in works.most_common()], "; ")
    names = cohorts_text(tuple(dict.fromkeys(name for task in tasks for name in task.about)))
    text = tr(
        "{tasks}: {works}; due {days}",
        tasks=task_count_text(len(tasks)),
        works=kinds,
        days=span_of_days_text(t.date for t in tasks),
    )
    return f"{text}; {names}" if names else text


def tasks_of(tasks: Sequence[Task], words: Sequence[str], verb: str) -> list[Task]:
    """The tasks that the words name, each once. Raises Refusal with a line for each word that names none.

    verb: what is to be done with them.
    """
    if not words:
        raise Refusal(
            tr(
                "name the tasks to {act} by their ids, as `calendar-tui week` shows them, or choose them, such as: {flags}",
                act=tr_in("act", verb),
                flags='--work "weeding" --place F1',
            )
        )
    named: list[Task] = []
    refused: list[str] = []
    for word in words:
        try:
            named.append(one_task(tasks, word))
        except Refusal as wrong:
            refused.append(str(wrong))
    refuse_all(refused, len(words))
    return list(dict.fromkeys(named))


def unanswered_lines(season: Season, tasks: Sequence[Task]) -> Iterator[str]:
    """Of which of these ticked tasks, of which nothing is noted, the chores ask for something; of several the first."""
    from calendar_tui.planning.changes.ticks import asks_of

    asking = [task for task in tasks if asks_of(season, task)]
    if not asking:
        return
    first, asks = asking[0].id, chore_text(asks_of(season, asking[0]))
    if len(asking) == 1:
        text = tr("{task} asks for {asks}, and nothing is noted yet; to note it:", task=first, asks=asks)
    else:
        text = tr(
            "{number} of these tasks ask for something, and nothing is noted yet; to note {asks}:",
            number=len(asking),
            asks=asks,
        )
    yield from hanging(text)
    yield f"  calendar-tui done {first} --fact TEXT"


def day_by_task(tasks: Sequence[Task], day: Callable[[Task], date]) -> dict[str, date]:
    """The day of each task by its id. Raises Refusal with the reason of each task whose day cannot be; day: raises it."""
    days: dict[str, date] = {}
    refused: dict[str, str] = {}
    for task in tasks:
        try:
            days[task.id] = day(task)
        except Refusal as wrong:
            refused[task.id] = str(wrong)
    alike = len(refused) == len(tasks) and len(set(refused.values())) == 1
    refuse_all([why if alike else f"{name}: {why}" for name, why in refused.items()], len(tasks))
    return days


def one_task(tasks: Sequence[Task], word: str) -> Task:
    """The task of this id, or of a beginning of it. Raises Refusal."""
    from calendar_tui.planning.tasks.week import find_task, near_ids

    fitting = find_task(tasks, word)
    if len(fitting) > 1:
        fits = ", ".join(t.id for t in fitting[:8]) + (", ..." if len(fitting) > 8 else "")
        raise Refusal(
            tr(
                '"{word}" fits {number} tasks: {tasks}; type more of it',
                word=word,
                number=len(fitting),
                tasks=fits,
            )
        )
    if not fitting:
        raise Refusal(_no_task_text(word, near_ids(tasks, word)))
    return fitting[0]


def _no_task_text(word: str, near: Sequence[str]) -> str:
    """That a word is no task. near: the ids that may be meant."""
    if word.casefold().endswith(".toml"):
        return tr('"{word}" is no task, but a season file: name it before the tasks', word=word)
    if not near:
        return tr('"{word}" is no task of this season; `calendar-tui week` shows the ids', word=word)
    return tr('"{word}" is no task of this season; did you mean {tasks}?', word=word, tasks=_either(near))


def _either(names: Sequence[str]) -> str:
    *others, last = (f'"{name}"' for name in names)
    return tr_in("list", " or ").join(filter(None, (", ".join(others), last)))
