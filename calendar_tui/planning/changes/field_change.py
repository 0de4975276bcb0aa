"""What changes of one field of a record share: its key, and what is typed read as the season file's reader does."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import Any, NamedTuple

from calendar_tui.season.checks import CHECKS
from calendar_tui.season.field import Field
from calendar_tui.season.field_names import field_named, field_words, plain_words
from calendar_tui.season.fields import MARKS
from calendar_tui.season.readers import Unreadable, choices, one_of
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.wording import days_in_words


class Keys(NamedTuple):
    """The keys of a kind of record that may be changed. what: "a figure of a variety"; label: of the list of them."""

    kind: str
    keys: Collection[str]
    what: str
    label: str

    def find(self, typed: str) -> str:
        """The key that is meant, by its name in words or as the file has it. Raises Refusal."""
        if (key := self._named(typed)) is not None:
            return key
        names = [field_words(self.kind, key) for key in self.keys]
        raise Refusal(f'"{typed}" is not {self.what}{choices(plain_words(typed), names, self.label)}')

    def split(self, words: Sequence[str]) -> tuple[str, tuple[str, ...]]:
        """The key that is typed in one word or several, and the words behind it. Raises Refusal."""
        for end in range(len(words), 0, -1):
            if (key := self._named(" ".join(words[:end]))) is not None:
                return key, tuple(words[end:])
        return self.find(words[0]), ()

    def _named(self, typed: str) -> str | None:
        field = field_named(self.kind, typed)
        return field.key if field is not None and field.key in self.keys else None


def read_as(field: Field, value: Any) -> Any:
    """A plain value as the record keeps it. Raises Refusal with what would be right."""
    assert field.read is not None
    try:
        return field.read(value)
    except Unreadable as wrong:
        raise Refusal(f"{field.key} {wrong}") from wrong


def number(word: str) -> int | float | str:
    """The number that is written, or else the word, for the field's reader to refuse."""
    for kind in (int, float):
        try:
            return kind(word)
        except ValueError:
            continue
    return word


def short(figure: float) -> float:
    """12.0 as 12; in whatever unit the figure has."""
    return int(figure) if figure == int(figure) else figure


def read_mark(typed: str) -> str:
    """One of MARKS. Raises Refusal."""
    try:
        return str(one_of(*MARKS)(typed.strip().casefold()))
    except Unreadable as wrong:
        raise Refusal(f"mark {wrong}") from wrong


def checked(season: Season) -> Season:
    """The season, where it makes sense. Raises Refusal with the first problem."""
    for check in CHECKS:
        for problem in check(season):
            raise Refusal(days_in_words(problem.message))
    return season
