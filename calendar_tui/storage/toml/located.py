"""On which line of a file a problem of its season stands."""

from __future__ import annotations

from pathlib import Path

from calendar_tui.season.problems import Problem
from calendar_tui.storage.problems import FileProblem
from calendar_tui.storage.toml.lines import locate


def located(path: Path, text: str, problems: tuple[Problem, ...]) -> tuple[FileProblem, ...]:
    """The problems with the line each stands on."""
    if not problems:
        return ()
    lines = locate(text)
    places = (lines.place(problem.path) or (None, None) for problem in problems)
    return tuple(
        FileProblem(str(path), line, problem.message, column)
        for problem, (line, column) in zip(problems, places, strict=True)
    )
