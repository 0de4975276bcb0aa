"""Three versions of a season file made one: the text of ours with what theirs changed, and where it is written."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping
from contextlib import nullcontext
from dataclasses import dataclass
from itertools import count
from pathlib import Path
from typing import Any

import tomli

from calendar_tui.season.edits import TOP, Data, Edit, EditError, apply_edits, outcome
from calendar_tui.season.merging import Conflict, Merge, differences, merge, settled_by_hand
from calendar_tui.season.problems import Problem
from calendar_tui.season.reading import read_season
from calendar_tui.season.record_ids import Renamed
from calendar_tui.season.sameness import same
from calendar_tui.season.task_ids import NameTask, TaskKey, task_key
from calendar_tui.season.upgrades import FORMAT, form_of, is_newer, newer, upgrade_edits
from calendar_tui.storage.disk.by_process import apart_path
from calendar_tui.storage.disk.lock import locked
from calendar_tui.storage.disk.whole_file import parted_text, put_beside, reason, refused, replace_whole
from calendar_tui.storage.problems import StorageError
from calendar_tui.storage.season_file import Loaded, Made, Note, put_in_place, real_path, step_of
from calendar_tui.storage.toml.line_merge import left_behind, lines_changed, merged_lines
from calendar_tui.storage.toml.raising import raised
from calendar_tui.storage.toml.splice import Spliced, spliced
from calendar_tui.storage.toml.values import data_in

# The edits that lay these tasks out anew in a season's data, by chore, cohort and number.
LayOut = Callable[[Data, frozenset[TaskKey]], tuple[Edit, ...]]
_SITE = ("latitude", "longitude")


@dataclass(frozen=True, slots=True)
class Merged:
    """Ours with what theirs changed.

    problems: what the season has now that is wrong and was not wrong in ours alone; reads: whether it has no problem
    at all; laid_out: how many open tasks both sides had laid out differently. They are laid out anew where it reads.
    left_behind: the lines with a comment that theirs wrote and that found no place. renamed: see `Merge`.
    """

    made: Spliced
    conflicts: tuple[Conflict, ...]
    problems: tuple[Problem, ...]
    reads: bool
    laid_out: int
    left_behind: tuple[str, ...]
    renamed: tuple[Renamed, ...] = ()


def merged(base: Loaded, ours: Loaded, theirs: Loaded, name_task: NameTask, lay_out: LayOut) -> Merged:
    """Merge three versions of a season file by record and field.

    Where ours is still base, byte for byte, theirs is taken whole. Else ours takes theirs' edits, and the comments and
    order of lines that only theirs changed.

    base: may be empty; then nothing stood before.
    name_task, lay_out: see `NameTask`, `LayOut`.
    Raises SeasonFileError where the versions are not of one season, or ours cannot take the edits as it is written.
    """
    _refuse_unlike(base, ours, theirs)
    form = max(form_of(side.data) or 0 for side in (ours, theirs))
    mine = ours
    base, ours, theirs = (_raised(side, form) for side in (base, mine, theirs))
    merging = merge(base.data, ours.data, theirs.data, name_task)
    if merging.laid_out_twice:
        sides = (_typed(side.data, merging.laid_out_twice, lay_out) for side in (ours, theirs))
        merging = settled_by_hand(merging, {typed for side in sides for typed in side})
    try:
        if ours.text == base.text:
            made = _taken_whole(ours, theirs, merging)
        else:
            made = _edited(ours, merging, lay_out)
            # In a conflict ours stays, and so do its lines.
            made = made if merging.conflicts else _with_their_lines(base, ours, theirs, made)
    except (EditError, StorageError) as error:
        line = error.line if isinstance(error, StorageError) else None
        raise refused(ours.path, f"not merged: {error}", line) from error
    if ours is not mine:
        made = _from(mine, made)
    had = {problem.message for problem in read_season(ours.data).problems}
    has = read_season(made.data).problems
    fresh = tuple(p for p in has if p.message not in had)
    lost = left_behind(base.text, theirs.text, made.text)
    laid_out = len(merging.laid_out_twice)
    return Merged(made, merging.conflicts, fresh, not has, laid_out, lost, merging.renamed)


def _typed(data: Data, keys: frozenset[TaskKey], lay_out: LayOut) -> Iterator[tuple[TaskKey, str]]:
    """The tasks of a side, and their fields, that its own plan would lay out otherwise: a person has typed them."""
    tasks = {task["id"]: task for task in data.get("task", ())}
    for edit in lay_out(data, keys):
        key = task_key(edit.value if edit.op == "add" else tasks[edit.ident[0]])
        if key is not None:
            yield key, edit.field[0] if edit.field else ""


def _raised(side: Loaded, form: int) -> Loaded:
    """A version in a newer form, comments and all; itself where it has that. Raises SeasonFileError."""
    if not upgrade_edits(side.data, form):
        return side
    try:
        made = raised(side.text, side.data, form)
    except StorageError as error:
        raise refused(
            side.path, f"not merged: format {form} cannot be written: {error}", error.line
        ) from error
    return Loaded(side.path, made.text, made.data)


def _from(mine: Loaded, made: Spliced) -> Spliced:
    """What was made of a version in a newer form, as made of the version itself."""
    first = upgrade_edits(mine.data, form_of(made.data) or 0)
    back = (*made.back, *outcome(mine.data, first).back)
    return Spliced(made.text, made.data, lines_changed(mine.text, made.text), (*first, *made.edits), back)


def _taken_whole(ours: Loaded, theirs: Loaded, merging: Merge) -> Spliced:
    back = outcome(ours.data, merging.edits).back
    return Spliced(theirs.text, theirs.data, lines_changed(ours.text, theirs.text), merging.edits, back)


def _edited(ours: Loaded, merging: Merge, lay_out: LayOut) -> Spliced:
    edits = merging.edits
    if merging.laid_out_twice:
        edits += lay_out(apply_edits(ours.data, edits), merging.laid_out_twice)
    return spliced(ours.text, ours.data, edits)


def _with_their_lines(base: Loaded, ours: Loaded, theirs: Loaded, made: Spliced) -> Spliced:
    """What was made, in the lines of both sides where these can be brought to say the same."""
    if theirs.text == base.text:
        return made
    text = merged_lines(base.text, ours.text, theirs.text)
    try:
        data = data_in(text)
        rest = differences(data, made.data)
        new = spliced(text, data, rest)
    except (tomli.TOMLDecodeError, EditError, StorageError):
        return made  # The lines do not fit together, as where both added a table.
    # A record that the lines have lost, or have twice since both added it, would have to be written anew.
    if any(edit.op == "add" or edit.kind == TOP for edit in rest) or differences(new.data, made.data):
        return made
    return Spliced(new.text, new.data, lines_changed(ours.text, new.text), made.edits, made.back)


def _refuse_unlike(base: Loaded, ours: Loaded, theirs: Loaded) -> None:
    """Raise SeasonFileError where the three are not versions of one season, in one form."""
    for side in (ours, theirs):
        if not isinstance(side.data.get("season"), dict):
            raise refused(
                side.path, "not merged: there is no [season] in it; name three versions of a season file"
            )
    forms = [side.data.get("format") for side in (ours, theirs)]
    for side in (ours, theirs):
        if is_newer(side.data):
            raise refused(side.path, f"not merged: {newer(side.data).message}")
        if form_of(side.data) is None and not same(*forms):
            raise refused(side.path, f"not merged: write format = {FORMAT} at its top")
    for side in (theirs, base):
        if side.data and not _of_one_season(ours.data, side.data):
            raise refused(
                side.path,
                f"not merged: this is another season than {ours.path}: another name, another site, and no "
                "cohort in common; name three versions of one season",
            )


def _of_one_season(one: Data, other: Data) -> bool:
    """Whether two versions have the season's name, its site, or a cohort planned for the same dates in common."""
    names, sites = ([_table(data, kind) for data in (one, other)] for kind in ("season", "site"))
    if "name" in names[0] and same(names[0]["name"], names[1].get("name")):
        return True
    if all(key in sites[0] and same(sites[0][key], sites[1].get(key)) for key in _SITE):
        return True
    plans = _plans(one)
    return any(name in plans and same(plans[name], plan) for name, plan in _plans(other).items())


def _table(data: Data, kind: str) -> Mapping[str, Any]:
    table = data.get(kind)
    return table if isinstance(table, dict) else {}


def _plans(data: Data) -> dict[str, Any]:
    """The planned dates of each cohort, where it has any."""
    cohorts = data.get("cohort")
    listed = [c for c in cohorts if isinstance(c, dict)] if isinstance(cohorts, list) else []
    return {str(c.get("id")): c["planned"] for c in listed if c.get("planned")}


def write_merged(ours: Loaded, made: Spliced, note: Note | None) -> tuple[str, ...]:
    """Write what was merged over ours, whole or not at all; gives sentences about what else came of it.

    note: what the history beside it says; None for a file that has no history, such as one that git has made for
    the merge. Raises SeasonFileError, also where ours is not as it was read any more, and then nothing is written.
    """
    real = real_path(ours.path)
    old, new = ours.text.encode(), made.text.encode()
    if old == new:
        return ()
    warnings = parted_text(real)
    if note is None:
        replace_whole(real, old, new, nullcontext())
        return warnings
    with locked(real, note.who):
        whole = Made(made.text, made.data, [step_of(ours.text, made)])
        put_in_place(ours.path, ours.text, whole, note, None)
    return warnings


def write_conflicts(season: Path, text: str, like: Path) -> Path:
    """Write a text about conflicts beside a season and give its path: one of an earlier merge stays.

    like: the file whose permissions it gets. Raises SeasonFileError if it cannot be written.
    """
    names = (f"{season.stem}.conflicts{f'-{n}' if n > 1 else ''}.txt" for n in count(1))
    path = next(path for path in map(season.with_name, names) if not os.path.lexists(path))
    write_apart(path, text, like)
    return path


def write_apart(path: Path, text: str, like: Path) -> None:
    """Write a file that is not there yet, whole or not at all, with the permissions of another.

    Raises SeasonFileError where it is there, or cannot be written.
    """
    if os.path.lexists(path):
        raise refused(path, "this file is there already; give the name of a new file")
    try:
        put_beside(path, text.encode(), like.stat(), apart_path(path.parent))
    except OSError as error:
        raise refused(path, f"cannot be written: {reason(error)}") from error
