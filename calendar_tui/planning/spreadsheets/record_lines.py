"""The lines of a table of records, each held against its record: cells that differ, new ids, dates that are recorded newly."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import KW_ONLY, dataclass, field

from calendar_tui.planning.changes.field_edits import read_typed, value_at
from calendar_tui.planning.changes.held_season import HeldSeason, Record
from calendar_tui.planning.changes.record_change import RecordChange, changed_record, new_record
from calendar_tui.planning.changes.ticks import StageDay
from calendar_tui.planning.spreadsheets.cells import CLEAR, cell_text, is_as_written, plain_cell, read_cell
from calendar_tui.planning.spreadsheets.columns import ID, Column, column_named, refuse_other_unit
from calendar_tui.planning.spreadsheets.sheets import Sheet, strange_notes
from calendar_tui.planning.spreadsheets.taken import (
    CellChange,
    Gathering,
    PassedOver,
)
from calendar_tui.season.field_errors import FieldError, FieldErrors
from calendar_tui.season.field_names import NamedField
from calendar_tui.season.finders import find_stage
from calendar_tui.season.readers import near, shown
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.trial_table import Line, TrialTable
from calendar_tui.season.typed_values import NONE, NotRight, is_same, plain_value, typed_text
from calendar_tui.season.wording import stage_text, year_day_text

_NEEDED = "it is needed"


@dataclass(slots=True)
class RecordLines(Gathering):
    """A table on its way in. columns: by their place in a line; records: as the season has them, by id."""

    _: KW_ONLY
    sheet: Sheet
    table: TrialTable
    columns: Mapping[int, Column]
    records: Mapping[str, Record]
    folded: Mapping[str, str]
    changes: list[RecordChange] = field(default_factory=list)
    new: list[RecordChange] = field(default_factory=list)
    recorded: list[StageDay] = field(default_factory=list)

    def refuse_fields(self, line: int, errors: Sequence[FieldError]) -> None:
        heads = {c.field.words: c.head for c in self.columns.values() if c.field is not None}
        for error in errors:
            value = f"{shown(error.typed)}: " if error.typed and not error.right.startswith('"') else ""
            self.refuse(line, heads.get(error.words, error.words), f"{value}{error.right}")

    def record(self, line: int, name: str, named: NamedField, text: str) -> None:
        """Keep a stage that is recorded newly, whose work is ticked with it."""
        try:
            read = read_typed(self.held, self.sheet.kind, {named.words: text}, self.records[name])
            day = read[named.path].value
            stage = find_stage(self.held.plan.season, self.held.plan.season.cohorts[name], named.key)
        except FieldErrors as wrong:
            self.refuse_fields(line, wrong.errors)
        except Refusal as wrong:
            self.refuse_fields(line, [FieldError(named.words, text, str(wrong))])
        else:
            self.recorded.append(StageDay(name, stage, day))
            self.cells.append(CellChange(line, name, named.words, "", cell_text(named, day)))


def begun(held: HeldSeason, sheet: Sheet, table: TrialTable) -> RecordLines:
    columns = {
        n: c for n, head in enumerate(table.headers) if (c := column_named(sheet.kind, head)) is not None
    }
    for column in columns.values():
        refuse_other_unit(column)
    _refuse_twice(table, columns)
    records = {str(record[ID]): record for record in held.records(sheet.kind)}
    folded = {name.casefold(): name for name in records}
    taken = RecordLines(
        table.file, held, sheet=sheet, table=table, columns=columns, records=records, folded=folded
    )
    taken.notes.update(dict.fromkeys(strange_notes(sheet, table)))
    return taken


def _refuse_twice(table: TrialTable, columns: Mapping[int, Column]) -> None:
    heads: dict[tuple[str, ...], str] = {}
    for _, column in sorted(columns.items()):
        path = () if column.field is None else column.field.path
        if path in heads:
            raise Refusal(
                f"{table.file}: columns {shown(heads[path])} and {shown(column.head)} mean the same; keep one"
            )
        heads[path] = column.head


def take_line(taken: RecordLines, line: Line) -> None:
    name = next(plain_cell(line.cells[n]) for n, column in taken.columns.items() if column.field is None)
    if not name:
        taken.refuse(
            line.number, ID, f"it is empty; write the id of the {taken.sheet.kind} that this line is of"
        )
        return
    name = name if name in taken.records else taken.folded.get(name.casefold(), name)
    if not taken.is_first(line.number, ID, name.casefold(), name):
        return
    cells = [(c, line.cells[n]) for n, c in taken.columns.items() if c.field is not None]
    filled = [(column.field, cell) for column, cell in cells if column.field is not None and cell.strip()]
    try:
        if name in taken.records:
            _change(taken, line, name, filled)
        else:
            _add(taken, line, name, filled)
    except FieldErrors as wrong:
        taken.refuse_fields(line.number, wrong.errors)


# --- a line of a record that is there


def _change(taken: RecordLines, line: Line, name: str, filled: Sequence[tuple[NamedField, str]]) -> None:
    record = taken.records[name]
    typed: dict[str, str] = {}
    for named, cell in filled:
        if is_as_written(cell, cell_text(named, value_at(record, named.path))):
            continue
        text = _typed(taken, line, named, cell)
        if text is None or _is_there(taken, named, record, text):
            continue
        if named.path[0] == "recorded" and value_at(record, named.path) is None and text != NONE:
            taken.record(line.number, name, named, text)
        elif why := _stays(taken.sheet, name, record, named, text):
            taken.passed.append(PassedOver(line.number, name, named.words, plain_cell(cell), why))
        else:
            typed[named.words] = text
    typed |= _with_part(typed, filled)
    if not typed:
        return
    change = changed_record(taken.held, taken.sheet.kind, (name,), typed, record=record)
    if change.edits:
        taken.changes.append(change)


def _typed(taken: RecordLines, line: Line, named: NamedField, cell: str) -> str | None:
    """A cell as it is typed; None where it is refused."""
    if cell.strip() == CLEAR:
        return NONE
    try:
        read = read_cell(named, cell, taken.table.separator)
    except NotRight as wrong:
        taken.refuse_fields(line.number, [FieldError(named.words, plain_cell(cell), str(wrong))])
        return None
    if read.note:
        taken.notes[f"{named.words}: {read.note}"] = None
    return read.text


def _is_there(taken: RecordLines, named: NamedField, record: Record, text: str) -> bool:
    """Whether a cell comes to what the record has; one that does not read is refused where it is typed."""
    stood = value_at(record, named.path)
    try:
        value = plain_value(named, text, taken.held.typing, stood if named.unit == "date" else None)
    except NotRight:
        return False
    return is_same(named, stood, value)


def _stays(sheet: Sheet, name: str, record: Record, named: NamedField, text: str) -> str:
    """Why what stands in a record is not written over; "" where it is."""
    stood = value_at(record, named.path)
    table, stage = named.path[0], stage_text(named.key)
    if table in ("recorded", "not_yet"):
        look = " --not-yet" if table == "not_yet" else ""
        if stood is not None:
            return f"{typed_text(named, stood)} is recorded and stays; to correct it: record {name} {stage} DATE{look}"
        return f"a look is recorded by itself: record {name} {stage} {text}{look}"
    if table == "planned" and (day := record.get("recorded", {}).get(named.key)) is not None:
        return f"{stage} is recorded on {year_day_text(day)}, so it is not planned again"
    if sheet.fills and stood is not None:
        return f"{typed_text(named, stood)} stays; to correct it: set {sheet.kind} {name} {named.words} VALUE"
    return ""


def _with_part(typed: Mapping[str, str], filled: Sequence[tuple[NamedField, str]]) -> dict[str, str]:
    """The part of another place, where it is called as in the one before."""
    parts = [plain_cell(cell) for named, cell in filled if (named.kind, named.words) == ("cohort", "part")]
    return {"part": parts[0]} if "place" in typed and "part" not in typed and parts else {}


# --- a line of a new record


def _add(taken: RecordLines, line: Line, name: str, filled: Sequence[tuple[NamedField, str]]) -> None:
    kind = taken.sheet.kind
    none = f"there is no {kind} {shown(name)}{near(name, taken.records)}"
    if not taken.sheet.adds:
        taken.refuse(line.number, ID, f"{none}; {taken.sheet.instead}")
        return
    texts = {named.words: _typed(taken, line, named, cell) for named, cell in filled}
    typed = {words: text for words, text in texts.items() if text not in (None, NONE)}
    try:
        new = new_record(taken.held, kind, name, {words: str(text) for words, text in typed.items()})
    except FieldErrors as wrong:
        lacking = [e.words for e in wrong.errors if e.right.startswith(_NEEDED)]
        others = [e for e in wrong.errors if e.words not in lacking]
        if lacking:
            taken.refuse(line.number, ID, f"{none}; a new one needs {', '.join(lacking)} too")
        raise FieldErrors(others) from wrong
    taken.new.append(new)
