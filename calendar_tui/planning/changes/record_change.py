"""Whatever a season holds, added, copied, changed, renamed or taken out: proposed with what it moves.

The fields are named and typed as people do (`season/field_names.py`, `season/typed_values.py`). Each function gives a
`Proposal`, whose change is saved and undone as one, or raises `FieldErrors`, a `Refusal` whose errors name their fields.

    held = HeldSeason(plan, opened.data, date_order, opened.reading)
    add_record(held, "cohort", "B4", {"variety": "brook", "start": "seed", "place": "F2", "seeding": "12 Jan"})
    copy_record(held, "cohort", ("B3",), {"plants": "120"}, Copies(later_d=14, times=3))
    set_fields(held, "place", ("H3",), {"area": "200", "lit day": "16h30"})
    rename_record(held, "cohort", "B4", "B5")                 # renaming.py
    remove_records(held, "variety", [("amber",)])             # removal.py
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Any, NamedTuple

from calendar_tui.planning.changes.copying import NO_SHIFT, Copies, copied, shift_from, shifted
from calendar_tui.planning.changes.field_edits import (
    Path,
    Typed,
    edits_of,
    missing_errors,
    new_table,
    read_typed,
    with_response,
)
from calendar_tui.planning.changes.figure_marks import Marked, mark_edits, mark_of
from calendar_tui.planning.changes.held_season import HeldSeason, Ident, Record
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.record_notes import (
    change_notes,
    converted_notes,
    date_doubts_of,
    label,
    notes_after,
)
from calendar_tui.planning.changes.record_proposal import checked_season, proposed, value_text
from calendar_tui.planning.changes.record_questions import record_questions
from calendar_tui.planning.changes.replan import overdue_at_once
from calendar_tui.planning.changes.standing_values import value_standing
from calendar_tui.season.edits import Edit
from calendar_tui.season.field_errors import FieldError, FieldErrors
from calendar_tui.season.field_names import a_kind, fields_of, find_field
from calendar_tui.season.kind_words import has_names, kinds_text
from calendar_tui.season.kinds import BY_ID, identity, identity_keys
from calendar_tui.season.new_name import names_behind, new_name
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.typed_values import is_same
from calendar_tui.season.variety_types import DEFAULT, variety_types
from calendar_tui.season.wording import alike_text

_ID = "id"


def add_record(held: HeldSeason, kind: str, name: str, typed: Mapping[str, str], mark: str = "") -> Proposal:
    """The proposal that adds a record. name: its id; "" for a kind whose records have none. Raises FieldErrors."""
    return _added(held, kind, [_typed_anew(held, kind, name, typed)], "", mark)


def add_records(held: HeldSeason, kind: str, made: Mapping[str, Mapping[str, str]]) -> Proposal:
    """The proposal that adds several records with ids in one change. made: by id, what is typed. Raises FieldErrors."""
    return _added(held, kind, [_typed_anew(held, kind, name, typed) for name, typed in made.items()], "", "")


def new_record(
    held: HeldSeason, kind: str, name: str, typed: Mapping[str, str], mark: str = ""
) -> RecordChange:
    """A record of this id as it would be added. Raises FieldErrors, with all that it lacks."""
    return _new(held, kind, *_typed_anew(held, kind, name, typed), mark)


def _typed_anew(
    held: HeldSeason, kind: str, name: str, typed: Mapping[str, str]
) -> tuple[Record, Mapping[Path, Typed]]:
    fields = read_typed(held, kind, typed, {})
    if kind == "variety":
        fields = _with_type(fields)
    return ({_ID: _new_id(held, kind, name)} if identity_keys(kind) == BY_ID else {}), fields


def copy_record(
    held: HeldSeason,
    kind: str,
    like: Ident,
    typed: Mapping[str, str],
    copies: Copies = NO_SHIFT,
    mark: str = "",
) -> Proposal:
    """The proposal that adds one record or several like another, with what is planned, later by an interval.

    What is recorded of the other, and its note, are not copied. typed: fields that differ; a date that is planned, typed
    without an interval, shifts the others along, and one that is past is asked about. Raises FieldErrors.
    """
    source = held.record(kind, like)
    if not source:
        raise Refusal(f"there is no {kind} {' '.join(map(str, like))} to copy")
    fields = read_typed(held, kind, typed, source)
    if kind == "variety":
        fields = with_response(fields, source)
    names = _names(held, kind, like, copies)
    first_d = (
        shift_from(source, {p: t.value for p, t in fields.items()})
        if copies.later_d is None
        else copies.later_d
    )
    made = []
    for n in range(copies.times):
        days = first_d + n * copies.every(first_d)
        base = copied(kind, source, days)
        if names:
            base = {_ID: names[n], **base}
        made.append((base, fields if n == 0 else _later(fields, days - first_d)))
    whose = f"like {label(kind, like)}" + (f", {first_d} d later" if first_d else "")
    whose += f", then every {copies.every(first_d)} d" if copies.times > 1 else ""
    past = {p: f for p, f in fields.items() if isinstance(f.value, date) and f.value < held.plan.today}
    added = _added(held, kind, made, whose, mark)
    return replace(added, questions=(*date_doubts_of(held, kind, None, past), *added.questions))


def set_fields(
    held: HeldSeason, kind: str, ident: Ident, typed: Mapping[str, str], mark: str = ""
) -> Proposal:
    """The proposal that gives a record these fields, "none" for none. Raises FieldErrors."""
    return set_fields_of_several(held, kind, [ident], typed, mark)


def set_fields_of_several(
    held: HeldSeason, kind: str, idents: Sequence[Ident], typed: Mapping[str, str], mark: str = ""
) -> Proposal:
    """The proposal that gives records of a kind these fields in one change; +7 counts from each one's own date.

    Raises FieldErrors.
    """
    changes = [changed_record(held, kind, ident, typed, mark) for ident in idents]
    edits = [edit for change in changes for edit in change.edits]
    names = [str(ident[0]) for ident in idents if ident]
    about = [i for c in changes for i in (c.ident, _ident_after(kind, c.ident, c.edits))]
    season = checked_season(held, edits, {kind: about}, changes[0].fields)
    whats = [c.what for c in changes if c.edits] or [f"{label(kind, idents[0])}: nothing changed"]
    proposal = proposed(held, season, "; ".join(alike_text(whats, names)), edits, kind, idents)
    doubts = (d for c in changes for d in date_doubts_of(held, kind, c.ident, c.fields))
    notes = (
        n
        for c in changes
        for n in (*c.notes, *converted_notes(c.fields), *change_notes(held, kind, c.ident, c.fields))
    )
    asked = record_questions(held, season, kind, about)
    return replace(
        proposal,
        questions=(*asked, *proposal.questions),
        doubts=(*asked, *dict.fromkeys(doubts), *proposal.doubts),
        notes=(*dict.fromkeys(notes), *notes_after(season, kind, about), *proposal.notes),
    )


class RecordChange(NamedTuple):
    """What typed fields make of one record.

    fields: all that are typed; stood: what the record had there before; edits: () where nothing differs. what: in words.
    """

    ident: Ident
    fields: Mapping[Path, Typed]
    stood: Mapping[Path, Any]
    edits: Sequence[Edit]
    what: str
    notes: Sequence[str] = ()


def changed_record(
    held: HeldSeason,
    kind: str,
    ident: Ident,
    typed: Mapping[str, str],
    mark: str = "",
    record: Record | None = None,
) -> RecordChange:
    """What the typed fields change in one record. record: as it is, where it is at hand. Raises FieldErrors."""
    if record is None:
        record = held.record(kind, ident)
    if not record and identity_keys(kind):
        raise Refusal(f"there is no {kind} {' '.join(map(str, ident))}")
    typed, mark = mark_of(kind, typed, mark)
    fields = read_typed(held, kind, typed, record)
    if kind == "variety":
        fields = with_response(fields, record)
    stood = {path: value_standing(held, kind, ident, record, path) for path in fields}
    new = {path: f for path, f in fields.items() if not is_same(f.field, stood[path], f.value)}
    edits = edits_of(kind, ident, record, fields if kind == "place" else new)
    marks, notes = mark_edits(kind, _marked(held, kind, ident, record, fields, new), mark)
    texts = [f"{f.field.words} {value_text(f, stood[p])} -> {value_text(f, f.value)}" for p, f in new.items()]
    if marks and mark:
        texts.append(
            f"marked {mark}"
            if texts
            else f"{', '.join(f.field.words for f in fields.values())} marked {mark}"
        )
    between = " " if has_names(kind) else ": "
    what = f"{label(kind, ident)}{between}{', '.join(texts)}"
    return RecordChange(ident, fields, stood, [*edits, *marks], what, notes)


def _marked(
    held: HeldSeason,
    kind: str,
    ident: Ident,
    record: Record,
    fields: Mapping[Path, Typed],
    new: Mapping[Path, Typed],
) -> Marked:
    return Marked(
        ident,
        record,
        [path[0] for path in fields],
        [path[0] for path, f in new.items() if f.value is not None or kind == "chore"],
        [path[0] for path, f in new.items() if f.value is None],
        held.plan.season.varieties.get(str(ident[0])) if kind == "variety" else None,
    )


def _ident_after(kind: str, ident: Ident, edits: Sequence[Edit]) -> Ident:
    keys = identity_keys(kind)
    values = dict(zip(keys, ident, strict=True))
    values |= {
        e.field[0]: e.value for e in edits if len(e.field) == 1 and e.field[0] in keys and e.kind == kind
    }
    return tuple(values[key] for key in keys)


# --- new records


def _names(held: HeldSeason, kind: str, like: Ident, copies: Copies) -> tuple[str, ...]:
    if identity_keys(kind) != BY_ID:
        return ()
    taken = [str(r[_ID]) for r in held.records(kind)]
    if not copies.name:
        return names_behind(kind, str(like[0]), taken, copies.times, held.maker)
    first = _new_id(held, kind, copies.name)
    if copies.times == 1:
        return (first,)
    return (first, *names_behind(kind, first, [*taken, first], copies.times - 1, held.maker))


def _new_id(held: HeldSeason, kind: str, name: str) -> str:
    """The id of a new record. Raises FieldErrors."""
    taken = [str(r[_ID]) for r in held.records(kind)]
    read = new_name(kind, name, taken)
    for known in held.records(kind):
        if str(known[_ID]).casefold() == read.casefold():
            free = names_behind(kind, read, taken, maker=held.maker)[0]
            raise FieldErrors(
                [FieldError(_ID, name, f"there is {a_kind(kind)} {known[_ID]} already; {free} is free")]
            )
    return read


def _with_type(fields: dict[Path, Typed]) -> dict[Path, Typed]:
    """A new variety is of the default type, unless another or a response is typed."""
    if ("type",) not in fields and ("response",) not in fields:
        fields[("type",)] = Typed(find_field("variety", "type"), DEFAULT, DEFAULT)
    elif ("type",) not in fields:
        response = fields[("response",)].value
        of_response = next(t.id for t in variety_types().values() if t.response == response)
        fields[("type",)] = Typed(find_field("variety", "type"), of_response, of_response)
    return with_response(fields, {})


def _later(fields: Mapping[Path, Typed], days: int) -> dict[Path, Typed]:
    """What is typed for the first copy, as a further one has it: dates come later by so many days."""
    return {path: typed._replace(value=shifted(typed.value, days)) for path, typed in fields.items()}


def _values_text(path: Path, made: Sequence[tuple[Record, Mapping[Path, Typed]]]) -> str:
    """What new records have under a field, each value once: "H1, H2"."""
    return ", ".join(dict.fromkeys(value_text(fields[path], fields[path].value) for _, fields in made))


def _new(held: HeldSeason, kind: str, base: Record, fields: Mapping[Path, Typed], mark: str) -> RecordChange:
    order = fields_of(kind)
    table = new_table(kind, base, fields, order)
    if errors := missing_errors(held, kind, table, order):
        raise FieldErrors(errors)
    ident = identity(kind, table)
    typed = {path: f for path, f in fields.items() if f.value is not None}
    marks, notes = mark_edits(kind, _marked(held, kind, ident, table, typed, typed), mark)
    given = ", ".join(f"{f.field.words} {value_text(f, f.value)}" for f in typed.values())
    what = ": ".join(filter(None, (f"{label(kind, ident)} new", given)))
    return RecordChange(ident, fields, {}, [Edit("add", kind, ident, (), table), *marks], what, notes)


def _added(
    held: HeldSeason, kind: str, made: Sequence[tuple[Record, Mapping[Path, Typed]]], whose: str, mark: str
) -> Proposal:
    new = [_new(held, kind, base, fields, mark) for base, fields in made]
    idents, edits = [one.ident for one in new], [edit for one in new for edit in one.edits]
    season = checked_season(held, edits, {kind: idents}, made[0][1])
    names = " ".join(label(kind, ident).removeprefix(f"{kind} ") for ident in idents)
    given = ", ".join(
        f"{f.field.words} {_values_text(path, made[:1] if whose else made)}"
        for path, f in made[0][1].items()
        if f.value is not None
    )
    what = f"{kinds_text(kind, len(idents))} {names} added"
    what = ": ".join(filter(None, (f"{what}, {whose}" if whose else what, given)))
    proposal = proposed(held, season, what, edits, kind, idents)
    doubts = date_doubts_of(held, kind, None, made[0][1])
    asked = record_questions(held, season, kind, idents)
    return replace(
        proposal,
        questions=(*asked, *proposal.questions),
        doubts=(*asked, *doubts, *proposal.doubts),
        notes=(
            *dict.fromkeys(note for one in new for note in one.notes),
            *converted_notes(made[0][1]),
            *notes_after(season, kind, idents),
            *proposal.notes,
            *overdue_at_once(proposal.tasks, held.plan.today),
        ),
    )
