"""The text of a season file with the step of a change taken back: exactly, or by its fields."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal

from calendar_tui.season.edits import Data, Edit, EditError, outcome
from calendar_tui.season.field_names import path_words
from calendar_tui.season.sameness import same
from calendar_tui.storage.disk.whole_file import refused
from calendar_tui.storage.history.lines_back import with_lines_back
from calendar_tui.storage.history.stacks import Standing, later, newer, touched_by_both
from calendar_tui.storage.journal.file import digest
from calendar_tui.storage.journal.lines import Step
from calendar_tui.storage.problems import StorageError
from calendar_tui.storage.season_file import parse, step_of
from calendar_tui.storage.toml.splice import spliced
from calendar_tui.storage.toml.splices import anchors_of, apply_splices, reverse

Way = Literal["undo", "redo"]
DONE = {"undo": "undone", "redo": "redone"}


@dataclass(frozen=True, slots=True)
class Others:
    """The other changes of a history: those that stand, and those that are undone."""

    done: tuple[Standing, ...]
    undone: tuple[Standing, ...]


@dataclass(frozen=True, slots=True)
class TakenBack:
    """A text with a step taken back. step: what did that; exact: whether the lines are put back, and not only the
    fields; over: newer changes, which stay in the text.
    """

    text: str
    step: Step
    exact: bool
    over: tuple[Standing, ...]


def taken_back(path: Path, text: str, standing: Standing, others: Others, way: Way) -> TakenBack:
    """The text with the step of a change taken back. Raises SeasonFileError, naming the change and what is in the way."""
    exact = digest(text.encode()) == standing.step.after
    over = newer(standing, others.done)
    try:
        _refuse_touched(standing, over)
        if exact:
            made, step = _put_back(text, standing.step)
        else:
            made, step = _over_others(path, text, standing, others)
    except (EditError, StorageError) as error:
        name = f"change {standing.n} ({standing.what}) cannot be {DONE[way]}"
        line = error.line if isinstance(error, StorageError) else None
        raise refused(path, f"{name}: {error}; nothing is {DONE[way]}", line) from error
    named = replace(step, undoes=standing.n) if way == "undo" else replace(step, redoes=standing.n)
    return TakenBack(made, named, exact, over)


def _put_back(text: str, step: Step) -> tuple[str, Step]:
    """The text before the step, exactly. Raises StorageError if the history does not lead there."""
    splices = tuple(reverse(step.splices))
    new = apply_splices(text, splices)
    if digest(new.encode()) != step.before:
        raise StorageError("its history does not lead back to what was there before")
    anchors = anchors_of(text, splices)
    return new, Step(step.back, step.edits, splices, step.after, step.before, anchors=anchors)


def _refuse_touched(standing: Standing, others: Sequence[Standing]) -> None:
    """Raise StorageError where one of the other changes touches what this one touches, naming the newest."""
    for other in reversed(others):
        edit = touched_by_both(standing, other)
        if edit is not None:
            raise StorageError(
                f"change {other.n} of {other.who} ({other.what}) is newer and touches {field_name(edit)} too; undo that first"
            )


def _over_others(path: Path, text: str, standing: Standing, others: Others) -> tuple[str, Step]:
    """By fields; where that cannot be, a later undo or redo may be in the way. Raises EditError or StorageError."""
    try:
        return _fields_back(text, parse(path, text), standing.step)
    except (EditError, StorageError):
        _refuse_touched(standing, later(standing, (*others.done, *others.undone)))
        raise


def _fields_back(text: str, data: Data, step: Step) -> tuple[str, Step]:
    """The text as it is now with the step's fields as they were before it."""
    try:
        expected = outcome(data, step.back)
        made = with_lines_back(text, step, expected) or spliced(text, data, step.back)
    except EditError as error:
        raise StorageError(f"the file was edited since, and {error}") from error
    # Taking this back must be the step itself, else somebody gave these fields other values since.
    differing = first_difference(made.back, step.edits)
    if made.splices and differing is not None:
        raise StorageError(f"{field_name(differing)} was edited since; edit the file by hand")
    return made.text, step_of(text, made)


def field_name(edit: Edit) -> str:
    """ "cohort A3 recorded transplant", "variety amber critical day"."""
    return " ".join(
        part for part in (edit.kind, *map(str, edit.ident), path_words(edit.kind, edit.field)) if part
    )


def first_difference(found: Sequence[Edit], expected: Sequence[Edit]) -> Edit | None:
    """The first of the expected edits that was found to be another."""
    for one, other in zip(found, expected, strict=True):
        if one.op != other.op or not same(one.value, other.value):
            return other
    return None
