"""Tasks named on the command line, and the days that are given for them: what a mistyped one is answered."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import date
from typing import TYPE_CHECKING

from calendar_tui.commands.command_input import confirmed, tell
from calendar_tui.season.refusal import Refusal, refuse_all

if TYPE_CHECKING:
    from calendar_tui.season.records import Task


def tasks_of(tasks: Sequence[Task], words: Sequence[str], verb: str) -> list[Task]:
    """The tasks that the words name, each once. Raises Refusal with a line for each word that names none.

    verb: what is to be done with them.
    """
    if not words:
        raise Refusal(f"name the tasks to {verb} by their ids, as `calendar-tui week` shows them")
    found: list[Task] = []
    refused: list[str] = []
    for word in words:
        try:
            found.append(one_task(tasks, word))
        except Refusal as wrong:
            refused.append(str(wrong))
    refuse_all(refused, len(words))
    return list(dict.fromkeys(found))


def days_of(tasks: Sequence[Task], day: Callable[[Task], date]) -> dict[str, date]:
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


def settle_doubts(doubts: Iterable[str], *, unasked: bool) -> None:
    """Ask whether dates that may be mistyped are meant. unasked: only warn of them. Raises Refusal where they are not."""
    lines = [f"{doubt}." for doubt in doubts]
    if unasked:
        tell(lines)
    elif lines and not confirmed(f"{' '.join(lines)} Save it? [y/N] "):
        raise Refusal("nothing saved.")


def one_task(tasks: Sequence[Task], word: str) -> Task:
    """The task of this id, or of a beginning of it. Raises Refusal."""
    from calendar_tui.planning.tasks.week import find_task, near_ids

    found = find_task(tasks, word)
    if len(found) > 1:
        fits = ", ".join(t.id for t in found[:8]) + (", ..." if len(found) > 8 else "")
        raise Refusal(f'"{word}" fits {len(found)} tasks: {fits}; type more of it')
    if not found:
        near = near_ids(tasks, word)
        guess = f"; did you mean {_either(near)}?" if near else "; `calendar-tui week` shows the ids"
        raise Refusal(f'"{word}" is no task of this season{guess}')
    return found[0]


def _either(names: Sequence[str]) -> str:
    quoted = [f'"{name}"' for name in names]
    return quoted[0] if len(quoted) == 1 else f"{', '.join(quoted[:-1])} or {quoted[-1]}"
