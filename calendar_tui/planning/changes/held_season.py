"""What a change of records starts from, and the season that its edits lead to, with what is wrong told by field."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any, NamedTuple

from calendar_tui.planning.plan import Plan
from calendar_tui.season.edits import Data, Edit, EditError, apply_edits
from calendar_tui.season.field_errors import FieldError, FieldErrors
from calendar_tui.season.field_names import fields_of, words_for
from calendar_tui.season.kinds import identity, identity_keys
from calendar_tui.season.problems import KeyPath, Problem
from calendar_tui.season.reading import Reading, read_season
from calendar_tui.season.records import Season
from calendar_tui.season.stages import STAGES
from calendar_tui.season.typed_values import Typing
from calendar_tui.season.upgrades import upgraded
from calendar_tui.season.wording import days_in_words, stage_text

Record = Mapping[str, Any]
Ident = tuple[Any, ...]


class HeldSeason(NamedTuple):
    """A season as it is open: its plan, the data of its file, and how dates of numbers alone are read.

    reading: of these data, of which nothing is read again that stays; None where it is not at hand. maker: who makes the ids of
    new bags.
    """

    plan: Plan
    data: Data
    order: str = ""
    reading: Reading | None = None
    maker: str = ""

    @property
    def typing(self) -> Typing:
        return Typing(self.plan.season, self.plan.today, self.order)

    def records(self, kind: str) -> Sequence[Record]:
        """The records of a kind, as the data have them; the one table of a kind that stands once."""
        data = upgraded(self.data)
        if identity_keys(kind):
            return tuple(data.get(kind, ()))
        return (data[kind],) if kind in data else ()

    def record(self, kind: str, ident: Ident) -> Record:
        """The record of this identity; {} where there is none."""
        if not identity_keys(kind):
            return next(iter(self.records(kind)), {})
        return next((r for r in self.records(kind) if identity(kind, r) == ident), {})


def edited_season(held: HeldSeason, edits: Sequence[Edit], about: Mapping[str, Sequence[Ident]]) -> Season:
    """The season with the edits. about: by kind, the records that are typed, whose problems are told by field.

    Raises FieldErrors.
    """
    try:
        data = apply_edits(upgraded(held.data), edits)
    except EditError as wrong:
        raise FieldErrors([FieldError("", "", str(wrong))]) from wrong
    reading = read_season(data, held.reading)
    if reading.season is None:
        raise FieldErrors([_error(problem, data, about) for problem in reading.problems])
    return replace(reading.season, weather=held.plan.season.weather)


def _error(problem: Problem, data: Data, about: Mapping[str, Sequence[Ident]]) -> FieldError:
    kind = str(problem.path[0])
    if not _is_about(problem.path, data, about):
        return FieldError("", "", in_words(kind, problem.message, False))
    field = words_for(kind, _inside(problem.path))
    ident = identity(kind, data[kind][problem.path[1]]) if identity_keys(kind) else ()
    return FieldError(field, "", in_words(kind, problem.message, bool(field)), ident)


def _inside(path: KeyPath) -> KeyPath:
    return path[2:] if identity_keys(str(path[0])) else path[1:]


def _is_about(path: KeyPath, data: Data, about: Mapping[str, Sequence[Ident]]) -> bool:
    kind = str(path[0])
    if kind not in about or not identity_keys(kind):
        return kind in about
    at = path[1] if len(path) > 1 else None
    return isinstance(at, int) and identity(kind, data[kind][at]) in about[kind]


def in_words(kind: str, message: str, named: bool) -> str:
    """A problem of the file in the words of one who types: names of fields for keys.

    named: whether it stands beside a field, so that it need not name the record.
    """
    text = re.sub(rf"^(?:\w+: )?{kind} [^\s:]+: ", "", message) if named else message
    text = _FOR_THE_FILE.sub("", text)
    for key, words in _key_words(kind):
        text = re.sub(rf"\b{key}\b", words, text)
    return days_in_words(text)


# What to write into the file.
_FOR_THE_FILE = re.compile(r"; (?:add|write) [^;]*[={\[].*$")


def _key_words(kind: str) -> Iterator[tuple[str, str]]:
    try:
        fields = fields_of(kind)
    except KeyError:  # a kind that is not kept by fields in words
        fields = ()
    names = {f.key: f.words for f in fields if "_" in f.key and len(f.path) == 1}
    names |= {stage: stage_text(stage) for stage in STAGES if "_" in stage}
    yield from sorted(names.items(), key=lambda pair: -len(pair[0]))
