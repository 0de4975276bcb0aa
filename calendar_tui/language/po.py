"""Reads a catalogue: the text of a .po file as GNU gettext writes it. docs/languages.md says what is read of it.

Compiled .mo files are not needed: a language is one file of text that a person can write, and this reads it in milliseconds.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

_KEYWORD = re.compile(r"(msgctxt|msgid_plural|msgid|msgstr(?:\[\d\])?)\s+(\".*)")
_STRING = re.compile(r'"((?:[^"\\]|\\.)*)"')
_ESCAPE = re.compile(r"\\(.)")
_ESCAPED = {"n": "\n", "t": "\t", "r": "\r", '"': '"', "\\": "\\"}


class PoError(ValueError):
    """A line, from 1, that is no part of a catalogue, and what would be right."""

    def __init__(self, line: int, message: str) -> None:
        super().__init__(message)
        self.line = line


@dataclass(slots=True)
class Entry:
    """A message. line: of its msgid, from 1. forms: its msgstr by their numbers; fuzzy: not sure, and so not shown."""

    line: int = 0
    context: str = ""
    text: str = ""
    plural: str = ""
    forms: dict[int, str] = field(default_factory=dict)
    fuzzy: bool = False

    @property
    def is_translated(self) -> bool:
        return not self.fuzzy and bool(self.forms) and all(self.forms.values())


def entries(text: str) -> Iterator[Entry]:
    """The messages of a catalogue in turn, its header first. Raises PoError for a line that is none of its form."""
    entry, at = Entry(), ""
    for number, whole in enumerate(text.removeprefix("\N{BOM}").splitlines(), 1):
        line = whole.strip()
        # Lines that begin with #~ are messages that the program does not have any more.
        if not line or line.startswith("#"):
            if entry.forms:
                yield entry
                entry, at = Entry(), ""
            entry.fuzzy |= line.startswith("#,") and "fuzzy" in line
            continue
        begun = _KEYWORD.fullmatch(line)
        if begun:
            at = begun[1]
            if entry.forms and at in ("msgctxt", "msgid"):
                yield entry
                entry = Entry()
            entry.line = number if at == "msgid" else entry.line
        elif not at:
            raise PoError(
                number, f'{line[:40]} is no line of a catalogue; write msgid "...", then msgstr "..."'
            )
        _add(entry, at, _string(begun[2] if begun else line, number))
    if entry.forms:
        yield entry


def _string(line: str, number: int) -> str:
    found = _STRING.fullmatch(line.strip())
    if found is None:
        raise PoError(
            number, f'{line[:40]} does not end as a text; put it between quotes, and \\" for one inside'
        )
    return _ESCAPE.sub(lambda one: _ESCAPED.get(one[1], one[0]), found[1])


def _add(entry: Entry, keyword: str, text: str) -> None:
    """Add a text to what a keyword began; lines that follow it go on with it."""
    if keyword == "msgctxt":
        entry.context += text
    elif keyword == "msgid":
        entry.text += text
    elif keyword == "msgid_plural":
        entry.plural += text
    else:
        form = int(keyword[7]) if len(keyword) > 6 else 0
        entry.forms[form] = entry.forms.get(form, "") + text


def header_of(header: Entry) -> dict[str, str]:
    """The lines of a header, by their names in small letters."""
    lines: Iterable[str] = header.forms.get(0, "").splitlines()
    parted = (line.partition(":") for line in lines)
    return {name.strip().casefold(): value.strip() for name, _, value in parted}
