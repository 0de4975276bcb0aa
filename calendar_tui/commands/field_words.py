"""The words behind a record on the command line: names of fields, each with its value, of one word or several."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence
from itertools import chain

from calendar_tui.commands.parsing import Flags
from calendar_tui.season.field_names import (
    KINDS_BY_FIELDS,
    STAY,
    NamedField,
    a_kind,
    field_named,
    fields_of,
    find_field,
    plain_words,
)
from calendar_tui.season.fields import MARKS
from calendar_tui.season.readers import several_texts
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.typed_values import NotRight, typed_days

# The longest name of a field has five words, and that of a role or a variety may have one more.
_MOST_WORDS = 6
_FIELD = "field "


def flag_of(words: str) -> str:
    """ "--lit-day" of a field's name."""
    return f"--{words.replace(' ', '-').casefold()}"


def flag_name(words: str) -> str:
    """Under which name a command has what was given by the flag of a field."""
    return f"{_FIELD}{words}"


# A field may be given as a flag too: --area 180. They are as many as there are fields, so the help names none of them.
FIELD_FLAGS: Flags = {
    flag_of(field.words): {"metavar": "VALUE", "dest": flag_name(field.words), "help": argparse.SUPPRESS}
    for kind in (*KINDS_BY_FIELDS, STAY)
    for field in fields_of(kind)
    # That of a chore goes by the flag of all marks.
    if not field.takes_name and field.words != "mark"
}
NEW_FLAGS: Flags = {
    "--like": {"metavar": "NAME", "help": "copy this one: what is planned of it, not what is recorded"},
    "--later": {"metavar": "DAYS", "help": "with --like: days from it to the copy, such as 14d or 2w"},
    "--times": {"metavar": "N", "help": "with --like: so many copies"},
    "--every": {
        "metavar": "DAYS",
        "help": "with --times: days from one copy to the next; without it as --later",
    },
}
MARK_FLAG: Flags = {
    "--mark": {"metavar": "MARK", "help": f"where new figures of a variety come from: {', '.join(MARKS)}"}
}


def typed_fields(args: argparse.Namespace, kind: str, words: Sequence[str]) -> dict[str, str]:
    """The values by the names of their fields, of words and of flags. Raises Refusal."""
    typed: dict[str, str] = {}
    flags = ((name.removeprefix(_FIELD), v) for name, v in vars(args).items() if name.startswith(_FIELD))
    given = ((find_field(kind, name).words, value) for name, value in flags if value is not None)
    for name, value in chain(_of_words(kind, words), given):
        if name in typed:
            raise Refusal(f"{name} is given twice; give it once")
        typed[name] = value
    return typed


def one_field(kind: str, words: Sequence[str]) -> tuple[NamedField, str]:
    """The field that the first words name, and all behind it as its value, "" for none. Raises Refusal."""
    name, first, begin = _named(kind, words, 0)
    return find_field(kind, name or words[0]), " ".join([*first, *words[begin:]])


def _of_words(kind: str, words: Sequence[str]) -> Iterator[tuple[str, str]]:
    at = 0
    while at < len(words):
        name, first, begin = _named(kind, words, at)
        if not name:
            find_field(kind, words[at])  # says what fields there are
        # A word behind a name is its value, whatever else it may name: "from transplant".
        end = begin if first else begin + 1
        while end < len(words) and not _named(kind, words, end)[0]:
            end += 1
        if end > len(words):
            raise Refusal(f"{name} has no value; give one behind it, or none to take it out")
        _refuse_key(kind, name, words[begin + 1 : end])
        yield name, " ".join([*first, *words[begin:end]])
        at = end


def _refuse_key(kind: str, name: str, words: Sequence[str]) -> None:
    """Raise Refusal for a word behind the first of a list that is a key of the file, under which further names stand: "factors"."""
    if find_field(kind, name).read is not several_texts:
        return
    of = {f.path[0]: f.words for f in fields_of(kind) if f.takes_name}
    for word in words:
        if plain_words(word) in of:
            raise Refusal(
                f'{name}: "{word}" is no field of {a_kind(kind)} by itself; write "{of[plain_words(word)]} NAME" and its '
                f'values. Where it is a part of the list, put this between quotes: "one, two {word}"'
            )


def _named(kind: str, words: Sequence[str], at: int) -> tuple[str, list[str], int]:
    """The field's name that begins at a word, "" for none; what stands behind an = in its last word; the next word."""
    for count in range(min(_MOST_WORDS, len(words) - at), 0, -1):
        *before, last = words[at : at + count]
        name, equals, value = last.partition("=")
        # Glued to the front of a word, an = is the beginning of a text: note =1+1.
        joins = equals and (name or not value)
        if joins and (field := _field(kind, before, name)) is not None:
            return field.words, [value], at + count
        if (field := _field(kind, before, last)) is not None:
            return field.words, [], at + count
    return "", [], at


def _field(kind: str, before: Sequence[str], last: str) -> NamedField | None:
    """The field that words name; a name of its own, such as that of a role, is one word."""
    field = field_named(kind, " ".join([*before, last]))
    known = field is None or any(f.path == field.path for f in fields_of(kind))
    return field if known or (field is not None and last.split()[-1:] == [field.path[-1]]) else None


def fields_begin(kind: str, words: Sequence[str]) -> int:
    """How many words stand before the first that begins a field."""
    return next((at for at in range(len(words)) if _named(kind, words, at)[0]), len(words))


def interval_days(text: str, flag: str) -> int:
    """Days of "14d", "14 days", "2w" or "14". Raises Refusal."""
    try:
        return typed_days(text)
    except NotRight as wrong:
        raise Refusal(f'{flag} "{text}" is no number of days; {wrong}') from wrong
