"""Values that stand in a text without the quotes or the form that TOML needs: which they are, and what would be right.

A reader of TOML names the place where it gives up, which for `transplant = 15 jan 2027` is the brace after it. Here each
value is read by itself, so that the message names the value, and another can stand in for it while the rest is read.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date
from functools import lru_cache
from pathlib import Path
from typing import NamedTuple

import tomli

from calendar_tui.season.readers import plain
from calendar_tui.season.yes_no import is_yes
from calendar_tui.storage.problems import FileProblem, SeasonFileError
from calendar_tui.storage.toml.lines import Lines, TextEntry, members

_BEYOND_COMMENT = re.compile(r"[^#\n]*+")
_NUMBER = r"[+-]?\d+(?:\.\d+)?"
# A date without a year is read too, so that it can be said what it lacks.
_SOME_DAY = date(2000, 1, 1)
_DEEPEST, _LONGEST = 20, 60  # of lists in lists; in characters


class Right(NamedTuple):
    """What would be right in place of a value, in words, and a value of TOML that stands in for it."""

    words: str
    value: str


class BareValue(NamedTuple):
    """A value that is not TOML, from the offset `start` to `end`. path: of the data; key: the offset of its key."""

    path: tuple[str | int, ...]
    key: int
    start: int
    end: int
    right: Right


class NotToml(SeasonFileError):
    """A text that is not TOML, with the values in it that lack their quotes or form; there may be none."""

    def __init__(self, problems: Sequence[FileProblem], text: str, values: tuple[BareValue, ...]) -> None:
        super().__init__(problems)
        self.text = text
        self.values = values


def bare_values(lines: Lines) -> tuple[BareValue, ...]:
    """All values that stand by themselves and are not TOML, in their order in the text."""
    bare = [
        value
        for block in lines.blocks
        for entry in lines.entries(block)
        for value in _of_entry(lines.text, (*block.path, *entry.parts), entry, whole_line=True)
    ]
    return tuple(sorted(bare, key=lambda value: value.start))


def bare_problems(path: Path, lines: Lines, values: Iterable[BareValue]) -> tuple[FileProblem, ...]:
    """What is wrong with each of these values of a text, and what would be right, at the place of its key."""
    return tuple(_problem(path, lines, value) for value in values)


def _problem(path: Path, lines: Lines, value: BareValue) -> FileProblem:
    line = lines.line_at(value.key)
    written = _brief(lines.text[value.start : value.end])
    key = next(part for part in reversed(value.path) if isinstance(part, str))
    named = plain(f"{key} = {written}" if value.path[-1] == key else f"{written} in {key}").replace("\n", "?")
    message = f"not TOML: {named}; {value.right.words}"
    return FileProblem(str(path), line + 1, message, value.key - lines.starts[line] + 1)


def stood_in(text: str, values: Iterable[BareValue]) -> str:
    """The text with other values in place of these, on the same lines."""
    for value in sorted(values, key=lambda v: -v.start):
        text = text[: value.start] + value.right.value + text[value.end :]
    return text


def _of_entry(
    text: str, path: tuple[str | int, ...], entry: TextEntry, *, whole_line: bool
) -> Iterator[BareValue]:
    """The values of a key that are not TOML. whole_line: no other key stands behind it on its line."""
    first = text[entry.value : entry.value + 1]
    if first in ("[", "{"):
        yield from _inside(text, path, entry)
    elif first not in ('"', "'") or not first:
        rest = _BEYOND_COMMENT.match(text, entry.value) if whole_line else None
        end = rest.end() if rest else entry.end
        end = entry.value + len(text[entry.value : end].rstrip())
        value = text[entry.value : end]
        right = right_for(value) if value.isprintable() else None  # of other characters TOML's reader tells
        if right is not None:
            yield BareValue(path, entry.start, entry.value, end, right)


def _inside(text: str, path: tuple[str | int, ...], entry: TextEntry) -> Iterator[BareValue]:
    """Those in an array or inline table; of one of several lines, which may be left open, only in tables of one line."""
    if len(path) > _DEEPEST:
        return
    one_line = "\n" not in text[entry.value : entry.end]
    if text[entry.value] == "{" and not one_line:
        return
    for member in members(text, entry.value):
        is_table = text[member.value : member.value + 1] == "{"
        if one_line or (is_table and "\n" not in text[member.value : member.end]):
            yield from _of_entry(text, (*path, *member.parts), member, whole_line=False)


@lru_cache(maxsize=1024)
def right_for(value: str) -> Right | None:
    """What would be right in place of a bare value; None where it is TOML as it stands."""
    if _is_toml(value):
        return None
    return next(right for guess in _GUESSES if (right := guess(value)) is not None)


def _is_toml(value: str) -> bool:
    try:
        tomli.loads(f"k = {value}")
    except tomli.TOMLDecodeError:
        return False
    except ValueError:  # a number of thousands of digits
        return True
    return True


def _nothing(value: str) -> Right | None:
    return None if value else Right("write a value behind the =, or take the line away", '""')


def _yes_no(value: str) -> Right | None:
    yes = is_yes(value)
    if yes is None:
        return None
    meant = "true" if yes else "false"
    return Right(f"write {meant}", meant)


def _clock(value: str) -> Right | None:
    figures = re.fullmatch(r"(\d{1,2})(?::| ?h ?)([0-5]\d)", value, re.ASCII)
    if figures is None:
        return None
    meant = f'"{int(figures[1]):02d}:{figures[2]}"'
    return Right(f"write a time or a length of day in quotes, {meant}", meant)


def _date(value: str) -> Right | None:
    """A date with its year, in one order of day and month or in both."""
    if not re.search(r"\d{4}|\b\d{1,2}[-/.]\d{1,2}", value, re.ASCII) and not _with_month(value):
        return None
    meant = list(
        dict.fromkeys(day for order in ("day-first", "month-first") if (day := _typed(value, order)))
    )
    if not meant:
        wrong = re.fullmatch(r"\d{4}-\d\d?-\d\d?", value, re.ASCII)
        return Right("write a day of the calendar as 2026-10-05", _SOME_DAY.isoformat()) if wrong else None
    if not re.search(r"\d{4}", value, re.ASCII):
        return Right("write a date with its year, such as 2027-01-15", meant[0].isoformat())
    return Right(f"write a date as {' or '.join(d.isoformat() for d in meant)}", meant[0].isoformat())


def _with_month(value: str) -> bool:
    return re.match(r"\d{1,2}\.? [a-z]{3}|[a-z]{3,9} \d", value, re.ASCII | re.IGNORECASE) is not None


def _typed(value: str, order: str) -> date | None:
    from calendar_tui.season.typed_dates import typed_date

    try:
        return typed_date(
            value, today=_SOME_DAY, planned=None, first_day=_SOME_DAY, last_day=_SOME_DAY, order=order
        )
    except ValueError:
        return None


def _comma(value: str) -> Right | None:
    if re.fullmatch(r"[+-]?\d+,\d+", value, re.ASCII) is None:
        return None
    meant = value.replace(",", ".")
    return Right(f"write a number with a point, {meant}", meant)


def _unit(value: str) -> Right | None:
    """A number with its unit behind it."""
    figure = re.fullmatch(rf"({_NUMBER}) ?(?![xX])[A-Za-z%][A-Za-z%/.0-9]*", value, re.ASCII)
    if figure is None:
        return None
    number = _without_zeros(figure[1])
    return Right(f"write the number alone, {number}, or text in quotes, {_quoted(value)}", number)


def _zeros(value: str) -> Right | None:
    if re.fullmatch(_NUMBER, value, re.ASCII) is None:
        return None
    number = _without_zeros(value)
    return Right(f"write the number without zeros before it, {number}", number)


def _without_zeros(number: str) -> str:
    return re.sub(r"^([+-]?)0+(?=\d)", r"\1", number)


def _text(value: str) -> Right:
    number = " or a number" if value[:1].isdigit() else ""
    return Right(
        f"write text in quotes, {_quoted(_brief(value))}{',' if number else ''}{number}", _quoted(value)
    )


def _quoted(value: str) -> str:
    return json.dumps(value, ensure_ascii=False)


def _brief(value: str) -> str:
    return value if len(value) <= _LONGEST else f"{value[:_LONGEST]}..."


# What a bare value is taken for, the surest first; at last for text.
_GUESSES: tuple[Callable[[str], Right | None], ...] = (
    _nothing,
    _yes_no,
    _clock,
    _comma,
    _zeros,
    _date,
    _unit,
    _text,
)
