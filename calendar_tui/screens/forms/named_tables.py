"""Tables of a record whose names are typed too: the factors of a trial, its levels of light. Each name has a line of its own for what it has."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from calendar_tui.planning.changes.held_season import Record
from calendar_tui.screens.forms.blank import FormField, Typed
from calendar_tui.season.field_errors import FieldError, FieldErrors
from calendar_tui.season.field_names import fields_of
from calendar_tui.season.trials import DATE, SPACING, VARIETY
from calendar_tui.season.typed_values import NONE, NotRight


class NamedTable(NamedTuple):
    """words: the line in which its names are typed. key: of the record. usual: the names of a new one. meaning: of that line.

    lacks: what a name needs in its own line.
    """

    words: str
    key: str
    usual: tuple[str, ...]
    meaning: str
    lacks: str


NAMED_TABLES: Mapping[str, tuple[NamedTable, ...]] = {
    "trial": (
        NamedTable(
            "factors",
            "factors",
            (DATE, VARIETY, SPACING),
            "what is compared, the hardest to change first; your own too, such as: date, soil. Each has a line for its levels",
            "its levels are needed, two or more, such as: bare, mulch",
        ),
        NamedTable(
            "light levels",
            "places",
            ("lit", "dark"),
            "where light is compared, its levels; each has a line for the places that get it",
            "its places are needed, such as: H1, H3",
        ),
    )
}


def names_in(text: str) -> tuple[str, ...]:
    """Names between commas. Raises NotRight for one that stands there twice."""
    names = tuple(name for part in text.split(",") if (name := " ".join(part.split())))
    if text.strip().casefold() == NONE:
        return ()
    known = [name.casefold() for name in names]
    twice = next((name for name in names if known.count(name.casefold()) > 1), "")
    if twice:
        raise NotRight(f'"{twice}" stands there twice; name each once')
    return names


def is_names_line(kind: str, words: str) -> bool:
    """Whether names are typed in a line of a form, and not what one of them has."""
    return any(table.words == words for table in NAMED_TABLES.get(kind, ()))


def with_names(kind: str, typed: Typed, record: Record) -> Record:
    """The record with the names that are typed: those that are new have nothing yet."""
    tables = {t.key: {name: _at(record, t, name) for name in _names(t, typed, record)} for t in _of(kind)}
    return {**record, **tables}


def with_name_lines(kind: str, record: Record, fields: Iterable[FormField]) -> list[FormField]:
    """The lines of a form, those in which names are typed before what the names have. record: as it is."""
    lines = list(fields)
    for table in _of(kind):
        value = ", ".join(record.get(table.key) or table.usual)
        at = next((n for n, line in enumerate(lines) if line.words.startswith(f"{_begin(kind, table)} ")), 0)
        lines.insert(at, FormField(table.words, value, "", table.meaning))
    return lines


def without_names(kind: str, typed: Typed, record: Record) -> dict[str, str]:
    """What is typed as fields of the record, those of a table in the order of its names; a name that is taken out has none.

    Raises FieldErrors where a name has nothing, or would come before one that stands already.
    """
    given = {words: text for words, text in typed.items() if not is_names_line(kind, words)}
    for table in _of(kind):
        lines = {name: f"{_begin(kind, table)} {name}" for name in _names(table, typed, record)}
        there = [str(name) for name in record.get(table.key, {})]
        own = [words for words in given if words.startswith(f"{_begin(kind, table)} ")]
        of_names = {line: given[line] for line in lines.values() if line in given}
        gone = {f"{_begin(kind, table)} {name}": NONE for name in there if name not in lines}
        if table.words in typed:
            _refuse_empty(table, lines, of_names, there)
            _refuse_moved(table, typed[table.words], list(lines), there)
        given = {words: text for words, text in given.items() if words not in own} | of_names | gone
    return given


def _of(kind: str) -> Sequence[NamedTable]:
    return NAMED_TABLES.get(kind, ())


def _names(table: NamedTable, typed: Typed, record: Record) -> tuple[str, ...]:
    there = tuple(map(str, record.get(table.key) or table.usual))
    try:
        return names_in(typed[table.words]) if table.words in typed else there
    except NotRight:  # told beside the line itself
        return there


def _at(record: Record, table: NamedTable, name: str) -> object:
    return (record.get(table.key) or {}).get(name, [])


def _begin(kind: str, table: NamedTable) -> str:
    """ "levels of" of the factors."""
    return next(field.words for field in fields_of(kind) if field.path == (table.key,))


def _refuse_empty(
    table: NamedTable, lines: Mapping[str, str], typed: Mapping[str, str], there: Sequence[str]
) -> None:
    empty = [
        line
        for name, line in lines.items()
        if (not typed[line].strip() if line in typed else name not in there)
    ]
    if empty:
        raise FieldErrors([FieldError(line, "", table.lacks) for line in empty])


def _refuse_moved(table: NamedTable, text: str, names: Sequence[str], there: Sequence[str]) -> None:
    """What stands keeps its order, since a file is changed name by name."""
    stay = [name for name in there if name in names]
    if [*stay, *(name for name in names if name not in there)] != list(names):
        right = f"what stands keeps its order and what is new comes behind: {', '.join(stay)}; take one out, save, and add it"
        raise FieldErrors([FieldError(table.words, text, right)])
