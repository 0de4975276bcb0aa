"""Values that are typed for one field and speak of several: a type that is to hold alone, a repeat with its end."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from calendar_tui.planning.changes.held_season import Record
from calendar_tui.season.field_names import field_named, field_words
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.typed_values import NONE, is_whole
from calendar_tui.season.variety_types import ALONE, find_type

_END = ("repeat", "until", "until_offset_d")


def spelled_out(kind: str, record: Record, typed: Mapping[str, str]) -> dict[str, str]:
    """What is typed, a field each, by the fields' names; what is typed for a field itself goes before what follows from another."""
    out: dict[str, str] = {}
    for words, text in typed.items():
        field = field_named(kind, words)
        spell = _SPELLED.get((kind, field.key)) if field else None
        out |= spell(record, text.strip()) if spell else {words: text}
    return out | {words: text for words, text in typed.items() if words in out and _is_plain(kind, words)}


def _is_plain(kind: str, words: str) -> bool:
    field = field_named(kind, words)
    return field is None or (kind, field.key) not in _SPELLED


def _type(record: Record, text: str) -> dict[str, str]:
    """ "oil-zhang alone" takes the figures out that the record gives in place of the type's."""
    words = text.split()
    alone = len(words) > 1 and words[-1].casefold() == ALONE
    try:
        kind = find_type(" ".join(words[:-1] if alone else words))
    except Refusal:
        return {"type": text}
    return {"type": kind.id, **_none("variety", [key for key in kind.figures if alone and key in record])}


def _repeat(record: Record, text: str) -> dict[str, str]:
    """ "FREQ=WEEKLY until harvest -3"; none takes the end out too."""
    if text.casefold() in ("", NONE):
        return _none("chore", [key for key in _END if key == "repeat" or key in record])
    rule, _, end = text.partition(" until ")
    return {"repeat": rule, **(_until(record, end.strip()) if end.strip() else {})}


def _until(record: Record, text: str) -> dict[str, str]:
    """ "harvest -3"; none takes the days before or after it out too."""
    if text.casefold() in ("", NONE):
        return _none("chore", [key for key in _END[1:] if key == "until" or key in record])
    stage, _, offset = text.rpartition(" ")
    return {"until": stage, "until offset": offset} if stage and is_whole(offset) else {"until": text}


def _none(kind: str, keys: Iterable[str]) -> dict[str, str]:
    return {field_words(kind, key): NONE for key in keys}


_SPELLED: Mapping[tuple[str, str], Callable[[Record, str], dict[str, str]]] = {
    ("variety", "type"): _type,
    ("chore", "repeat"): _repeat,
    ("chore", "until"): _until,
}
