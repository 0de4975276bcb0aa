"""Where typed figures come from: the marks that go with the fields of a variety or of a chore as they are changed."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from typing import Any, NamedTuple

from calendar_tui.planning.changes.field_change import read_mark
from calendar_tui.planning.changes.held_season import Ident, Record
from calendar_tui.season.edits import Edit
from calendar_tui.season.field_names import field_named, field_words
from calendar_tui.season.fields import FIELDS, MARKS
from calendar_tui.season.fitted_sets import loses_sets
from calendar_tui.season.marks import GUESS_MARK
from calendar_tui.season.records import Variety
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.wording import some_text

# What a mark of a chore speaks of: when its tasks come, and how long they take.
DATE_KEYS = ("stage", "offset_d", "repeat", "until", "until_offset_d", "without_nursery")
HOURS_KEYS = ("hours", "per")
_NO_FIGURES = ("id", "response", "type", "seed_kind", "sets", "before_fit", "marks")
FIGURE_KEYS = tuple(field.key for field in FIELDS["variety"] if field.key not in _NO_FIGURES)
_SETS_GONE = (
    "the sets that were fitted to records have another figure, so they are taken away: its figures are taken as independent "
    "again; to fit them anew: calendar-tui variety {} --fit"
)
_MARK = "mark"
KNOWN_MARKS = tuple(mark for mark in MARKS if mark != GUESS_MARK)


class Marked(NamedTuple):
    """Fields of one record as they are typed. typed: their keys, in order; changed, taken: of these, what gets another value, or none."""

    ident: Ident
    record: Record
    typed: Collection[str]
    changed: Collection[str]
    taken: Collection[str]
    variety: Variety | None = None


def mark_of(kind: str, typed: Mapping[str, str], mark: str) -> tuple[dict[str, str], str]:
    """What is typed, and its mark: of a chore the field of this name is that of the dates and hours typed with it."""
    fields = dict(typed)
    keys = [field.key for words in fields if (field := field_named(kind, words))]
    if kind == "chore" and not mark and any(key in _BEARING[kind] for key in keys):
        mark = fields.pop(_MARK, "")
    return fields, mark


def mark_edits(kind: str, of: Marked, typed_mark: str) -> tuple[list[Edit], list[str]]:
    """The edits of the marks of what is typed, and what is to be known of them.

    typed_mark: one of MARKS, for all that is typed, changed or not; "" makes what is changed a guess. Raises Refusal.
    """
    mark = read_mark(typed_mark) if typed_mark else ""
    bearing = _BEARING.get(kind, ())
    bear = [key for key in of.typed if key in bearing]
    if mark and not bear:
        raise Refusal(_NO_MARK.get(kind, f"no field of a {kind} has a mark; leave it out"))
    if kind not in _EDITS or _MARK in of.typed:
        return [], []
    edits = list(_EDITS[kind](of, bear if mark else [k for k in bear if k in of.changed], mark or GUESS_MARK))
    marked = [k for k in of.changed if k in bearing]
    return edits, [*(_guess_text(kind, of, marked) if marked and not mark else ()), *_sets_text(kind, of)]


def _variety_marks(of: Marked, keys: Collection[str], mark: str) -> Iterator[Edit]:
    before = of.record.get("marks", {})
    for key in keys:
        if before.get(key) != mark:
            yield Edit("set", "variety", of.ident, ("marks", key), mark)
    for key in of.taken:
        if key in before:
            yield Edit("unset", "variety", of.ident, ("marks", key))
    yield from (Edit("unset", "variety", of.ident, (key,)) for key in _fitted(of))


def _fitted(of: Marked) -> tuple[str, ...]:
    """What a fit left that goes with figures that are changed or taken out."""
    if of.variety is None or not loses_sets(of.variety, (*of.changed, *of.taken)):
        return ()
    return ("sets", "before_fit") if of.taken and of.variety.before_fit else ("sets",)


def _chore_marks(of: Marked, keys: Collection[str], mark: str) -> Iterator[Edit]:
    """The mark of its dates, or of its hours, given anew; the other keeps the one it had."""
    record = of.record
    dates = record.get("mark", GUESS_MARK)
    hours = record.get("hours_mark", "") or dates
    if any(key in HOURS_KEYS for key in keys) and "hours_mark" not in of.typed:
        hours = mark
    if any(key in DATE_KEYS for key in keys):
        dates = mark
    own_hours = "" if hours == dates or not (record.get("hours") or "hours" in of.changed) else hours
    for key, value, default in (("mark", dates, GUESS_MARK), ("hours_mark", own_hours, "")):
        if value == record.get(key, default) or key in of.typed:
            continue
        if value == default:
            yield Edit("unset", "chore", of.ident, (key,))
        else:
            yield Edit("set", "chore", of.ident, (key,), value)


_BEARING: Mapping[str, Collection[str]] = {"variety": FIGURE_KEYS, "chore": (*DATE_KEYS, *HOURS_KEYS)}
_EDITS: Mapping[str, Callable[[Marked, Collection[str], str], Iterator[Edit]]] = {
    "variety": _variety_marks,
    "chore": _chore_marks,
}
_NO_MARK: Mapping[str, str] = {
    "variety": "a type has the marks of its own figures, and a mark is for figures; leave the mark out",
    "chore": "a mark says where dates and hours come from, and neither is typed; leave the mark out",
}


def _guess_text(kind: str, of: Marked, keys: Collection[str]) -> Iterator[str]:
    marks: Mapping[str, Any] = of.record.get("marks", {})
    was = next((marks[key] for key in keys if marks.get(key, GUESS_MARK) != GUESS_MARK), "")
    before = f" (it was {was})" if was else ""
    names = some_text([field_words(kind, key) for key in keys])
    yield (
        f"no mark is given with the new {names}: marked {GUESS_MARK}, a guess{before}. Marks: {', '.join(KNOWN_MARKS)}"
    )


def _sets_text(kind: str, of: Marked) -> Iterator[str]:
    if kind == "variety" and _fitted(of):
        yield _SETS_GONE.format(of.ident[0])
