"""A table of records taken in: cells that differ from what the season has, lines with new ids, all as one change.

An empty cell and a line that is not there leave the season as it is; `-` takes a value out. What was recorded stays.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from calendar_tui.planning.changes.field_edits import Path, Typed
from calendar_tui.planning.changes.held_season import HeldSeason, Ident, edited_season
from calendar_tui.planning.changes.joined import joined
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.record_change import RecordChange
from calendar_tui.planning.changes.record_notes import change_notes, date_doubts_of, notes_after
from calendar_tui.planning.changes.record_proposal import proposed
from calendar_tui.planning.changes.record_questions import record_questions
from calendar_tui.planning.changes.replan import overdue_at_once
from calendar_tui.planning.changes.slips import record_dates
from calendar_tui.planning.spreadsheets.cells import cell_text
from calendar_tui.planning.spreadsheets.record_lines import RecordLines, begun, take_line
from calendar_tui.planning.spreadsheets.sheets import Sheet
from calendar_tui.planning.spreadsheets.taken import (
    CellChange,
    Taken,
    counts_text,
    first_of,
    lights_off_notes,
    passed_notes,
)
from calendar_tui.season.edits import Edit
from calendar_tui.season.field_errors import FieldErrors
from calendar_tui.season.kind_words import kinds_text
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.trial_table import TrialTable
from calendar_tui.season.typed_values import is_same
from calendar_tui.season.wording import day_text, stage_text

_MOST_NAMED = 3


def take_records(held: HeldSeason, sheet: Sheet, table: TrialTable) -> Taken:
    """Raises Refusal with a line for each cell that cannot be."""
    taken = begun(held, sheet, table)
    for line in table.lines:
        take_line(taken, line)
    taken.refuse_wrong()
    return _taken(taken, _proposal(taken))


def _proposal(taken: RecordLines) -> Proposal:
    """All that the table brings; stages that are recorded newly follow upon what else is changed."""
    fields = _of_fields(taken)
    if not taken.recorded:
        return replace(fields, verdicts=(*_verdicts(taken), *fields.verdicts))
    try:
        recorded = record_dates(fields.plan, taken.recorded)
    except Refusal as wrong:
        raise Refusal("\n".join(f"{taken.file}: {line}" for line in str(wrong).splitlines())) from wrong
    notes = [*lights_off_notes(fields.plan, taken.recorded)]
    both = joined(taken.held.plan, fields, recorded, _what(taken))
    return replace(both, verdicts=(*_verdicts(taken), *both.verdicts), notes=(*both.notes, *notes))


def _of_fields(taken: RecordLines) -> Proposal:
    held, kind = taken.held, taken.sheet.kind
    every = [*taken.changes, *taken.new]
    edits = [edit for one in every for edit in one.edits]
    idents: list[Ident] = [one.ident for one in every]
    season = _season(taken, edits, idents)
    asked = record_questions(held, season, kind, idents)
    proposal = proposed(held, season, _what(taken), edits, kind, idents)
    return replace(
        proposal,
        questions=(*asked, *proposal.questions),
        doubts=(*asked, *dict.fromkeys(_doubts(taken)), *proposal.doubts),
        notes=(
            *passed_notes(taken.passed),
            *taken.notes,
            *dict.fromkeys(_change_notes(taken)),
            *notes_after(season, kind, idents),
            *_renamed(taken),
            *proposal.notes,
            *(overdue_at_once(proposal.tasks, held.plan.today) if taken.new else ()),
        ),
    )


def _season(taken: RecordLines, edits: Sequence[Edit], idents: Sequence[Ident]) -> Season:
    """The season with the edits. Raises Refusal with the line of each record that cannot be."""
    if not edits:
        return taken.held.plan.season
    try:
        return edited_season(taken.held, edits, {taken.sheet.kind: idents})
    except FieldErrors as wrong:
        for error in wrong.errors:
            line = taken.lines.get(str(error.ident[0]).casefold(), 0) if error.ident else 0
            if line:
                taken.refuse_fields(line, [error])
            else:
                taken.wrong.append(f"{taken.file}: {error.text}")
        taken.refuse_wrong()
        raise


def _doubts(taken: RecordLines) -> Iterator[str]:
    for one in taken.changes:
        yield from date_doubts_of(taken.held, taken.sheet.kind, one.ident, _differing(one))
    for one in taken.new:
        yield from date_doubts_of(taken.held, taken.sheet.kind, None, _differing(one))


def _change_notes(taken: RecordLines) -> Iterator[str]:
    for one in taken.changes:
        yield from one.notes
        yield from change_notes(taken.held, taken.sheet.kind, one.ident, _differing(one))
    for one in taken.new:
        yield from one.notes


def _differing(change: RecordChange) -> dict[Path, Typed]:
    return {p: f for p, f in change.fields.items() if not is_same(f.field, change.stood.get(p), f.value)}


def _what(taken: RecordLines) -> str:
    head = f"{taken.sheet.name} from {taken.file}"
    texts = _texts(taken)
    if len(texts) <= _MOST_NAMED:
        return ": ".join((head, "; ".join(texts) or "nothing new"))
    return f"{head}: {_counts(taken)}"


def _texts(taken: RecordLines) -> list[str]:
    recorded = (f"{r.cohort} recorded {stage_text(r.stage)} {day_text(r.day)}" for r in taken.recorded)
    return [*(one.what for one in (*taken.new, *taken.changes)), *recorded]


def _counts(taken: RecordLines, rest: bool = False) -> str:
    """rest: with what is passed over and what is as it is."""
    changed = {*(one.ident[0] for one in taken.changes), *(r.cohort for r in taken.recorded)}
    cells = sum(len(_differing(one)) for one in taken.changes) + len(taken.recorded)
    new = len(taken.new)
    left = (len(taken.passed), len(taken.lines) - len(changed) - new) if rest else (0, 0)
    return counts_text(new, len(changed), cells, *left)


def _verdicts(taken: RecordLines) -> Iterator[str]:
    yield f"{taken.file}, {taken.sheet.name}: {_counts(taken, rest=True)}"
    yield from first_of(_texts(taken))


def _renamed(taken: RecordLines) -> Iterator[str]:
    """That a record which has no line any more was not renamed by that."""
    missing = [name for name in taken.records if name.casefold() not in taken.lines]
    if taken.new and missing:
        kind = taken.sheet.kind
        yield (
            f"{kinds_text(kind)} without a line stay as they are, such as {missing[0]}; another id is a new "
            f"{kind}, and to rename one: rename {kind} {missing[0]} NEW"
        )


def _taken(taken: RecordLines, proposal: Proposal) -> Taken:
    every = [*taken.new, *taken.changes]
    cells = (
        CellChange(
            taken.lines[str(one.ident[0]).casefold()],
            str(one.ident[0]),
            typed.field.words,
            cell_text(typed.field, one.stood.get(path)),
            cell_text(typed.field, typed.value),
        )
        for one in every
        for path, typed in _differing(one).items()
    )
    touched = {one.ident[0] for one in every} | {r.cohort for r in taken.recorded}
    return Taken(
        taken.sheet.name,
        taken.file,
        proposal,
        (*cells, *taken.cells),
        tuple(taken.passed),
        tuple(str(one.ident[0]) for one in taken.new),
        len(taken.lines) - len(touched),
    )
