"""Merge three versions of a season file, for a person or for git."""

from __future__ import annotations

import argparse
from collections.abc import Collection, Iterable, Iterator, Mapping
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from calendar_tui.commands.command_input import emit, now, print_json, tell, today_of, who
from calendar_tui.commands.output import note_saved
from calendar_tui.season.refusal import Refusal
from calendar_tui.storage.problems import FileProblem, SeasonFileError

if TYPE_CHECKING:
    from calendar_tui.planning.changes.proposal import TaskMove
    from calendar_tui.planning.plan import Plan
    from calendar_tui.season.edits import Data, Edit
    from calendar_tui.season.merging import Conflict
    from calendar_tui.season.task_ids import TaskKey
    from calendar_tui.storage.merge_file import Merged
    from calendar_tui.storage.season_file import Loaded

TO_SETTLE = 1
_GIT_FILE = ".merge_file_"  # how the names begin that git gives to the files it makes for a merge


class _Outcome(NamedTuple):
    """What a merge has come to. season: the file as messages name it; out_of_step: tasks, not with the plan; clashes: of neither side alone."""

    season: str
    merged: Merged
    conflicts: list[tuple[Conflict, int | None]]
    problems: tuple[FileProblem, ...]
    out_of_step: int
    clashes: tuple[str, ...] = ()

    @property
    def settled(self) -> bool:
        return not self.conflicts and not self.problems


def merge(args: argparse.Namespace) -> int:
    if len(args.words) not in (3, 4):
        raise Refusal("name three season files: BASE OURS THEIRS, and after them PATH where git gives it")
    named = args.words[3] if len(args.words) == 4 else ""
    try:
        ours, outcome = _outcome(args, named)
        beside = None if args.dry_run else _write(args, named, ours, outcome)
        if not args.dry_run:
            note_saved(
                f"the merge, into {outcome.season}" + (f"; what is to settle, as {beside}" if beside else "")
            )
    except SeasonFileError as refused:
        raise _by_known_names(refused, args.words, named) from refused
    if args.json:
        _print_row(args, outcome, beside)
    else:
        emit(_lines(args, outcome, beside))
    return 0 if outcome.settled else TO_SETTLE


def _by_known_names(refused: SeasonFileError, words: list[str], named: str) -> SeasonFileError:
    """The error with the path that git gave in place of the names of the files it made."""
    from calendar_tui.handing_on.tables.merge_rows import SIDES

    labels = {word: f"{named} ({side})" for side, word in zip(SIDES, words, strict=False)} if named else {}
    problems = [p._replace(file=labels.get(p.file, p.file)) for p in refused.problems]
    return SeasonFileError(problems)


def _outcome(args: argparse.Namespace, named: str) -> tuple[Loaded, _Outcome]:
    from calendar_tui.handing_on.words.conflicts_text import conflict_line
    from calendar_tui.storage.merge_file import merged
    from calendar_tui.storage.season_file import load
    from calendar_tui.storage.toml.lines import locate
    from calendar_tui.storage.toml.located import located

    base, ours, theirs = (load(word) for word in args.words[:3])
    season = args.output or named or ("SEASON" if _made_by_git(ours) else str(ours.path))
    place = Path(named) if named else ours.path
    result = merged(base, ours, theirs, _task_name, lambda data, keys: _laid_out(args, place, data, keys))
    lines = locate(result.made.text)
    conflicts = [(c, conflict_line(result.made.data, lines, c)) for c in result.conflicts]
    problems = located(Path(season), result.made.text, result.problems)
    both = result.made.edits and ours.text != base.text
    plan = _planned(args, place, result.made.data) if both else None
    if plan is None:
        return ours, _Outcome(season, result, conflicts, problems, 0)
    clashes = tuple(_only_together(plan, (_planned(args, place, one.data) for one in (ours, theirs))))
    return ours, _Outcome(season, result, conflicts, problems, len(_moves(plan)), clashes)


def _only_together(plan: Plan, sides: Iterable[Plan | None]) -> Iterator[str]:
    """The clashes of a merged season that neither side had alone, such as lots that were put into one batch."""
    from calendar_tui.planning.clash import new_clashes

    if plan.clashes:
        before = [clash for side in sides if side is not None for clash in side.clashes]
        yield from (clash.text for clash in new_clashes(before, plan.clashes))


def _made_by_git(ours: Loaded) -> bool:
    return ours.path.name.startswith(_GIT_FILE)


def _task_name(task: Mapping[str, Any], taken: Collection[str]) -> str:
    from calendar_tui.planning.tasks.by_chore import task_id
    from calendar_tui.season.records import Task
    from calendar_tui.season.task_ids import task_key

    chore, cohort, n = task_key(task) or ("", "", 1)
    return task_id(Task(id="", date=date.min, what="", chore=chore, cohort=cohort, n=n), taken)


def _laid_out(
    args: argparse.Namespace, place: Path, data: Data, keys: frozenset[TaskKey]
) -> tuple[Edit, ...]:
    from calendar_tui.planning.changes.task_moves import task_edits
    from calendar_tui.planning.tasks.by_chore import task_key

    plan = _planned(args, place, data)
    moves = () if plan is None else _moves(plan)
    return task_edits(m for m in moves if task_key(m.task) in keys)


def _planned(args: argparse.Namespace, place: Path, data: Data) -> Plan | None:
    """The plan of a season that stands at `place`; None where it has problems."""
    from calendar_tui.planning.plan import make_plan
    from calendar_tui.storage.opening import opened_from

    season = opened_from(place, "", data).season
    return None if season is None else make_plan(season, today_of(args, season.site.timezone))


def _moves(plan: Plan) -> tuple[TaskMove, ...]:
    """How the tasks of a season differ from its plan. No task's date hangs on today."""
    from calendar_tui.planning.changes.replan import refresh

    return refresh(plan).tasks


def _write(args: argparse.Namespace, named: str, ours: Loaded, outcome: _Outcome) -> Path | None:
    """Write the merged season and, where there is something to settle, the text beside it; gives its path."""
    from calendar_tui.storage.merge_file import write_apart, write_conflicts, write_merged
    from calendar_tui.storage.season_file import Note

    made, in_place = outcome.merged.made, not (named or _made_by_git(ours))
    beside = None
    if not outcome.settled:
        season = Path(args.output or named or (ours.path if in_place else ours.path.with_name("season.toml")))
        # Git's own files are for nobody else to read; the season's permissions are the ones meant.
        like = Path(named) if named and Path(named).is_file() else ours.path
        beside = write_conflicts(season, "\n".join(_text(outcome)) + "\n", like)
    try:
        if args.output:
            write_apart(Path(args.output), made.text, ours.path)
        else:
            note = Note(f"merge of {Path(args.words[2]).name}", who(), now()) if in_place else None
            tell(write_merged(ours, made, note))
    except SeasonFileError:
        if beside is not None:
            beside.unlink()
        raise
    return beside


def _text(outcome: _Outcome) -> list[str]:
    from calendar_tui.handing_on.words.conflicts_text import conflicts_text
    from calendar_tui.season.readers import plain

    merged = outcome.merged
    text = conflicts_text(outcome.season, outcome.conflicts, outcome.problems, merged.left_behind)
    return [plain(line) for line in text]


def _lines(args: argparse.Namespace, outcome: _Outcome, beside: Path | None) -> list[str]:
    from calendar_tui.handing_on.words.conflicts_text import short_text
    from calendar_tui.handing_on.words.plain_text import count_text, differing_text
    from calendar_tui.season.edits import TOP

    taken = count_text(len(outcome.merged.made.edits), "edit")
    lines = [f"{outcome.season}: {taken} {'would come' if args.dry_run else 'came'} from theirs."]
    if any(edit.kind == TOP and edit.field == ("format",) for edit in outcome.merged.made.edits):
        lines.append(
            f"Ours was of an older format; it {'would be' if args.dry_run else 'is'} upgraded to theirs."
        )
    if outcome.merged.laid_out:
        now_are = "laid out anew from the merged dates" if outcome.merged.reads else "ours stay"
        tasks = count_text(outcome.merged.laid_out, "task")
        lines.append(f"{tasks} laid out differently on both sides: {now_are}.")
    if outcome.out_of_step:
        lines.append(
            f"{differing_text(outcome.out_of_step)}: calendar-tui tasks {outcome.season} shows and saves them."
        )
    lines += [
        f"{one.kind} {one.old} of theirs {'would be' if args.dry_run else 'is'} {one.new} here: both sides had recorded one of "
        "that id; where both mean one thing, take one of them out"
        for one in outcome.merged.renamed
    ]
    lines += [f"clash of both together: {text}" for text in outcome.clashes]
    lines += [f"left behind, a comment of theirs: {line}" for line in outcome.merged.left_behind]
    lines += [f"conflict: {short_text(conflict)}" for conflict, _ in outcome.conflicts]
    lines += [f"problem: {problem}" for problem in outcome.problems]
    if beside is not None:
        lines.append(f"To settle: {beside} has both values, their places, and what to type then.")
    return lines


def _print_row(args: argparse.Namespace, outcome: _Outcome, beside: Path | None) -> None:
    from calendar_tui.handing_on.tables.merge_rows import conflict_row, edit_row

    made = outcome.merged.made
    print_json(
        {
            "season": outcome.season,
            "saved": not args.dry_run,
            "edits": [edit_row(edit) for edit in made.edits],
            "conflicts": [conflict_row(*conflict) for conflict in outcome.conflicts],
            "problems": [problem._asdict() for problem in outcome.problems],
            "laid_out_anew": outcome.merged.laid_out,
            "out_of_step": outcome.out_of_step,
            "clashes": list(outcome.clashes),
            "renamed": [one._asdict() for one in outcome.merged.renamed],
            "left_behind": list(outcome.merged.left_behind),
            "conflicts_file": None if beside is None else str(beside),
        }
    )
