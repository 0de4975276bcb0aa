"""What a merge could not settle, as plain text."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from calendar_tui.handing_on.tables.merge_rows import SIDES
from calendar_tui.handing_on.words.plain_text import count_text
from calendar_tui.season.cells import cut_text
from calendar_tui.season.edits import TOP, Data
from calendar_tui.season.merging import Conflict
from calendar_tui.storage.problems import FileProblem
from calendar_tui.storage.toml.lines import Lines
from calendar_tui.storage.toml.rendering import record_lines, toml_value
from calendar_tui.storage.toml.splice import path_of

_TITLES = {"base": "before", "ours": "ours", "theirs": "theirs"}


def conflict_name(conflict: Conflict) -> str:
    """What a conflict is about: cohort A1 recorded.transplant."""
    kind = "" if conflict.kind == TOP else conflict.kind
    return " ".join((kind, *map(str, conflict.ident), ".".join(conflict.field))).strip()


def conflict_line(data: Data, lines: Lines, conflict: Conflict) -> int | None:
    """The line, from 1, of a conflict in the merged season, of which these are the data and the text."""
    return lines.line(path_of(data, conflict.kind, conflict.ident, conflict.field))


def short_text(conflict: Conflict) -> str:
    """One line: what it is about, what stays, and what the other side has."""
    name = conflict_name(conflict)
    if conflict.field:
        return f"{name}: ours {_short(conflict.ours)} stays, theirs is {_short(conflict.theirs)}"
    gone, changed = ("ours", "theirs") if conflict.ours is None else ("theirs", "ours")
    return f"{name}: taken away in {gone}, changed in {changed}; it stays"


def _short(value: Any) -> str:
    return "nothing" if value is None else cut_text(toml_value(value), 60)


def conflicts_text(
    season: str,
    conflicts: Sequence[tuple[Conflict, int | None]],
    problems: Sequence[FileProblem],
    left_behind: Sequence[str] = (),
) -> list[str]:
    """The lines of the text that is put beside a merged season.

    season: its file, as a person types it; conflicts: each with its line in that file, from 1.
    left_behind: the lines of theirs with a comment that found no place.
    """
    lines = [f"Two versions of {season} were merged. To settle: {_counts(conflicts, problems)}."]
    for number, (conflict, line) in enumerate(conflicts, 1):
        lines += ["", f"{number}. {conflict_name(conflict)}", *_sides(conflict)]
        lines.append(f"   place:   {season}" + (f", line {line}" if line else ""))
    if problems:
        lines += ["", "Wrong in the merged season, and right in ours alone:"]
        lines += [f"   {problem}" for problem in problems]
    if left_behind:
        lines += ["", "Comments of theirs that are left behind; copy in what you want to keep:"]
        lines += [f"   {line}" for line in left_behind]
    return [*lines, "", *_how_to_settle(season)]


def _counts(conflicts: Sequence[Any], problems: Sequence[Any]) -> str:
    counts = [count_text(len(conflicts), "conflict")] if conflicts else []
    return " and ".join(counts + ([count_text(len(problems), "problem")] if problems else []))


def _sides(conflict: Conflict) -> Iterator[str]:
    for side in SIDES:
        title = f"   {_TITLES[side] + ':':<9}"
        first, *rest = _written(conflict, getattr(conflict, side))
        yield title + first + ("   <- in the file" if side == conflict.kept else "")
        yield from (" " * len(title) + line for line in rest)


def _written(conflict: Conflict, value: Any) -> list[str]:
    """A value as it can be put into the season file."""
    if value is None:
        return ["(not there)"]
    if not conflict.field and isinstance(value, Mapping):
        return record_lines(f"[[{conflict.kind}]]", value)
    return [toml_value(value)]


def _how_to_settle(season: str) -> list[str]:
    return [
        "How to settle:",
        '1. The season file holds what is marked "<- in the file". Where the other value is right, write it there in an',
        "   editor, at the line named; take a record away, or copy one in, where that is right.",
        f"2. calendar-tui check {season}      shows whether all is well",
        f"   calendar-tui tasks {season}      updates the saved tasks, where dates changed",
        "3. Delete this file.",
        f"4. Where git asked for the merge: git add {season}, then git commit (or git rebase --continue).",
    ]
