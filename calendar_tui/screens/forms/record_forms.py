"""The forms in which a record is added, copied, or changed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial

from calendar_tui.planning.changes.copying import Copies, copied
from calendar_tui.planning.changes.field_change import read_mark
from calendar_tui.planning.changes.held_season import HeldSeason, Ident, Record
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.record_change import add_record, copy_record, set_fields
from calendar_tui.planning.changes.renaming import rename_record
from calendar_tui.planning.changes.spelled_out import spelled_out
from calendar_tui.screens.forms.blank import Blank, FormField, Typed
from calendar_tui.screens.forms.named_tables import (
    NAMED_TABLES,
    is_names_line,
    names_in,
    with_name_lines,
    with_names,
    without_names,
)
from calendar_tui.screens.forms.record_fields import (
    ID,
    field_of,
    form_fields,
    ident_text,
    understood,
)
from calendar_tui.season.field_errors import FieldError, FieldErrors
from calendar_tui.season.field_names import a_kind
from calendar_tui.season.fields import MARKS
from calendar_tui.season.kinds import BY_ID, BY_NAME, identity_keys
from calendar_tui.season.marks import GUESS_MARK
from calendar_tui.season.new_name import names_behind

_SHORT_NAME = "a short name of letters, digits, - or _, such as {}"
_EXAMPLES: Mapping[str, str] = {"cohort": "B4", "place": "H3", "variety": "amber", "chore": "mulch"}
# Where figures of a variety come from that are typed; not a field of the record, which has a mark for each of them.
_MARK = FormField(
    "mark",
    "",
    "of what is typed",
    f"where new figures come from; without one they are marked {GUESS_MARK}, a guess",
    tuple(mark for mark in MARKS if mark != GUESS_MARK),
)
# Kinds that come in numbers, whose ids the program makes: s1, s2, or as the last one is called.
_NUMBERED = ("official", "pass", "batch", "spray", "sample")
_RENAMED_ALONE = "a new name is saved on its own; save or take back the other fields first"


def id_field(kind: str, value: str) -> FormField:
    return FormField(ID, value, "", _SHORT_NAME.format(_EXAMPLES.get(kind, "one")))


def typed_record(kind: str, typed: Typed, base: Record) -> Record:
    """What a record has that decides which fields there are: as it is, with the start or the names that are typed."""
    start = typed.get("start", "").strip().casefold()
    if kind in NAMED_TABLES:
        return with_names(kind, typed, base)
    return {**base, "start": start} if kind == "cohort" and start in ("seed", "cutting") else base


# --- a new record


def adding(kind: str) -> Blank:
    """A form for a new record of a kind."""
    return Blank(
        f"Add {a_kind(kind)}",
        "",
        partial(_new_fields, kind),
        partial(_read_new, kind),
        partial(_add, kind),
    )


def _new_fields(kind: str, held: HeldSeason, typed: Typed) -> Sequence[FormField]:
    first = [id_field(kind, new_id(kind, held))] if identity_keys(kind) == BY_ID else []
    return [*first, *_lines(kind, held, typed, {})]


def _lines(kind: str, held: HeldSeason, typed: Typed, record: Record) -> Sequence[FormField]:
    return with_name_lines(kind, record, form_fields(kind, held, typed_record(kind, typed, record)))


def new_id(kind: str, held: HeldSeason) -> str:
    """The id that the program makes for a new record; "" for a kind that people name."""
    if kind not in _NUMBERED:
        return ""
    taken = [str(record[ID]) for record in held.records(kind)]
    return names_behind(kind, taken[-1] if taken else f"{kind[0]}0", taken, maker=held.maker)[0]


def _read_new(kind: str, held: HeldSeason, words: str, text: str) -> str:
    return "" if words == ID else _note(kind, held, words, text, {})


def _add(kind: str, held: HeldSeason, typed: Typed) -> Proposal:
    fields = without_names(kind, typed, {})
    given = {words: text for words, text in fields.items() if words != ID and text.strip()}
    name = typed.get(ID, new_id(kind, held)).strip()
    if identity_keys(kind) == BY_ID and not name:
        raise FieldErrors([FieldError(ID, "", f"it is needed: {id_field(kind, '').meaning}")])
    return add_record(held, kind, name, given)


def like(kind: str, source: Ident) -> Blank:
    """A form for a new record like this one."""
    return Blank(
        f"Add {a_kind(kind)}",
        f"like {ident_text(source)}",
        partial(_copied_fields, kind, source),
        partial(_read_own, kind, source),
        partial(_copy, kind, source),
        whole=identity_keys(kind) == BY_ID,
    )


def _copied_fields(kind: str, source: Ident, held: HeldSeason, typed: Typed) -> Sequence[FormField]:
    record = held.record(kind, source)
    if not record:
        return ()
    names = [str(ident) for r in held.records(kind) if (ident := r.get("id"))]
    first = [id_field(kind, names_behind(kind, str(source[0]), names, maker=held.maker)[0])] if names else []
    return [*first, *_lines(kind, held, typed, copied(kind, record, 0))]


def _copy(kind: str, source: Ident, held: HeldSeason, typed: Typed) -> Proposal:
    fields = without_names(kind, typed, held.record(kind, source))
    given = {words: text for words, text in fields.items() if words != ID}
    return copy_record(held, kind, source, given, Copies(0, name=typed.get(ID, "").strip()))


# --- a change of one


def changing(kind: str, ident: Ident) -> Blank:
    """A form for the fields of a record that is there; of a kind that stands once, also where it is not yet."""
    name = f"{BY_NAME[kind].name} {ident_text(ident)}".strip()
    return Blank(
        f"Change {name}",
        "",
        partial(_own_fields, kind, ident),
        partial(_read_own, kind, ident),
        partial(_set, kind, ident),
    )


def _own_fields(kind: str, ident: Ident, held: HeldSeason, typed: Typed) -> Sequence[FormField]:
    record = held.record(kind, ident)
    first = [id_field(kind, str(ident[0]))] if identity_keys(kind) == BY_ID else []
    mark = [_MARK] if kind == "variety" else []
    return [*first, *mark, *_lines(kind, held, typed, record)]


def _read_own(kind: str, ident: Ident, held: HeldSeason, words: str, text: str) -> str:
    if words == _MARK.words and text:
        return read_mark(text)
    return "" if words == ID else _note(kind, held, words, text, held.record(kind, ident))


def _note(kind: str, held: HeldSeason, words: str, text: str, record: Record) -> str:
    """What a typed value is taken for, with what else follows from it."""
    if is_names_line(kind, words):
        names_in(text)
        return ""
    spelled = spelled_out(kind, record, {words: text})
    notes = [understood(held, field_of(kind, name), value, record) for name, value in spelled.items()]
    if len(spelled) == 1:
        return notes[0]
    return "; ".join(
        f"{name} {note or value}" for (name, value), note in zip(spelled.items(), notes, strict=True)
    )


def _set(kind: str, ident: Ident, held: HeldSeason, typed: Typed) -> Proposal:
    if ID not in typed:
        fields = without_names(kind, typed, held.record(kind, ident))
        given = {words: text for words, text in fields.items() if words != _MARK.words}
        return set_fields(held, kind, ident, given, typed.get(_MARK.words, "").strip())
    if len(typed) > 1:
        raise FieldErrors([FieldError(ID, typed[ID], _RENAMED_ALONE)])
    return rename_record(held, kind, str(ident[0]), typed[ID])
