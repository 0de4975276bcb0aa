"""What moves where many cohorts move: told by group, as the commands tell it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from calendar_tui.handing_on.words.moves_text import answer_text, group_stage_lines, is_group
from calendar_tui.handing_on.words.task_moves_text import group_task_lines
from calendar_tui.screens.asking.answers import Answer
from calendar_tui.screens.kit.drawing import (
    BOLD,
    HEADING,
    PLAIN,
    WARNING,
    ListRow,
    evidence_rows,
    row,
    wrapped,
)
from calendar_tui.season.wording import alike_text


def are_grouped(choices: Sequence[Answer]) -> bool:
    """Whether any answer moves so many cohorts or tasks that they are shown by group."""
    return any(answer.proposal is not None and is_group(answer.proposal) for answer in choices)


def group_rows(choices: Sequence[Answer], chosen: Answer, width: int) -> Iterator[ListRow]:
    """A row for each answer and what it comes to, then all of the chosen one, since the page scrolls."""
    for answer in choices:
        if answer.name:
            mark = "(*)" if answer.name == chosen.name else "( )"
            text = answer.error if answer.proposal is None else answer_text(answer.name, answer.proposal)
            style = BOLD if answer.name == chosen.name else PLAIN
            yield from wrapped(text, width, f"{mark} ", "    ", style)
    if chosen.proposal is None:
        return
    yield row(("Dates that move", HEADING))
    for line in group_stage_lines(chosen.proposal, width):
        yield row(line)
    brings = alike_text(chosen.proposal.new_clashes, chosen.proposal.plan.timelines)
    if brings:
        yield row(("New clashes", WARNING))
    for text in brings:
        yield from wrapped(text, width, "! ", "  ")
    for text in chosen.proposal.notes:
        yield from wrapped(text, width, "- ", "  ")
    if chosen.proposal.evidence:
        yield row(("What the record says", HEADING))
    for text in chosen.proposal.evidence:
        yield from evidence_rows(text, width)
    yield row(("Tasks", HEADING))
    tasks = chosen.proposal.tasks
    for line in group_task_lines(tasks, width, kinds=len(tasks)):
        yield row(line)
