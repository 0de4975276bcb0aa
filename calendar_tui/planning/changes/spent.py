"""Hours spent on work as typed, and shared out over tasks that were ticked together."""

from __future__ import annotations

import re
from collections.abc import Sequence

from calendar_tui.language.speaking import phrase
from calendar_tui.season.records import Task
from calendar_tui.season.refusal import Refusal

_DECIMAL = re.compile(r"(\d+(?:[.,]\d+)?)\s*(?:h|hours?)?", re.IGNORECASE)
_CLOCK = re.compile(r"(\d+)\s*(?:h|:)\s*([0-5]?\d)(?:\s*min)?", re.IGNORECASE)
_MINUTES = re.compile(r"(\d+)\s*min(?:utes)?", re.IGNORECASE)
# Person-hours: more than a crew of fifty works in a week is a slip of the finger; a starting value, no source.
MOST_H = 2000.0


def typed_hours(text: str) -> float:
    """Person-hours of "3.5", "3,5 h", "3 h 30", "3:30" and "210 min", to hundredths. Raises Refusal."""
    words = text.strip()
    if found := _CLOCK.fullmatch(words):
        hours = int(found[1]) + int(found[2]) / 60
    elif found := _DECIMAL.fullmatch(words):
        hours = float(found[1].replace(",", "."))
    elif found := _MINUTES.fullmatch(words):
        hours = int(found[1]) / 60
    else:
        raise Refusal(phrase('hours spent "{words}" are no hours; write 3.5, 3 h 30 or 45 min', words=words))
    if hours > MOST_H:
        raise Refusal(
            phrase(
                "hours spent {words} are over {number} h; write those of this work alone",
                words=words,
                number=f"{MOST_H:g}",
            )
        )
    return round(hours, 2)


def shared_out(hours: float, tasks: Sequence[Task]) -> dict[str, float]:
    """The hours of tasks done together, by task: in proportion to those planned; evenly where a task has none planned.

    hours: person-hours of them all; the parts, to hundredths, add up to it.
    """
    planned = [task.hours for task in tasks]
    weights = planned if all(planned) else [1.0] * len(tasks)
    whole, parts, given, so_far = sum(weights), dict[str, float](), 0.0, 0.0
    for task, weight in zip(tasks, weights, strict=True):
        so_far += weight
        until = round(hours * so_far / whole, 2)
        parts[task.id] = round(until - given, 2)
        given = until
    return parts
