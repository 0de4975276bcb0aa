"""A language: its texts by those of the program, which are English, and the texts it knows again that are made already."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import cache, cached_property
from gettext import c2py
from string import Formatter
from typing import NamedTuple

from calendar_tui.language.po import Entry, PoError, entries, header_of
from calendar_tui.language.speaking import PHRASE

_ENGLISH_PLURAL = "n != 1"
_DAY = r"(?:[A-Z][a-z]{2} )?\d{1,2} [A-Z][a-z]{2}(?: \d{4})?"
_CLOCK = r"\d{1,2}:\d\d(?: [ap]m)?"
_HOURS = r"\d+ h \d\d(?: min \d\d s)?"
# What the {names} of a phrase stand for, where their name tells it.
_FORMS: Mapping[str, str] = {
    **dict.fromkeys(("count", "more"), r"\d+"),
    **dict.fromkeys(("day", "since", "first", "last"), _DAY),
    "moment": rf"{_DAY} {_CLOCK}(?: the second time)?",
    **dict.fromkeys(("time", "sun", "off_time"), _CLOCK),
    **dict.fromkeys(("cohort", "variety_id"), r"[\w-]+"),
    "lot": r"[\w-]+?(?: [\w-]+?)??",
    "end": rf"\w+ {_DAY}",
    "far": r"\d+ days?",
    "night_count": r"\d+ nights?",
    **dict.fromkeys(("before", "now"), "open|done|skipped"),
    "canopy": "top|middle|bottom",
    "cohort_of": r"cohort(?: of [\w-]+)?(?: in .+?)?",
    "task_id": r"[b-df-hj-np-tv-z2-9]{4,}",
    "ids": r"[b-df-hj-np-tv-z2-9, ]+",
    "near": r"\d{1,2} [a-z]{3}(?: \d{4})?",
    "iso": r"\d{4}-\d\d-\d\d",
    "dates": rf"{_DAY}|dates from {_DAY} to {_DAY}",
    "spent": r"spent [\d.]+ h",
    **dict.fromkeys(("doubt", "last_doubt"), r"(?:outside|before|\d+ days?) .+?"),
    "age": r"\d+ (?:d|h|min)",
    "elapsed": r"just now|\d+ (?:d|h|min) ago",
    "delay": r"on the day|\d+ d (?:late|early)",
    # Ids one after the other; the words of a stage, which follow them, are of small letters.
    "names": r"[\w-]+(?: [\w+-]*[A-Z0-9+][\w+-]*)*",
    "thc": r"[^A-Za-z]+",
    **dict.fromkeys(("cohorts", "whose"), r"[\w-]+(?: [\w+-]+)*"),
    **dict.fromkeys(("hours", "limit", "full"), _HOURS),
    **dict.fromkeys(("days", "length", "futures", "others", "total", "this", "so_far", "needed"), r"[\d.]+"),
}
_ANY = r".+?"


class Wrong(NamedTuple):
    """A message that is left in English, the line of it, and what would be right."""

    line: int
    message: str


class _Known(NamedTuple):
    """A phrase as it is in English, and the message it is one of. literals: its texts between what is filled in."""

    text: str
    entry: Entry
    literals: tuple[str, ...]


def names_in(text: str) -> list[str]:
    """The names in brackets that are filled in, in order. Raises ValueError where a bracket stands alone."""
    return [name for _, name, _, _ in Formatter().parse(text) if name is not None]


class Catalogue:
    """The messages of one language. code: such as "es"; wrong: what of its file does not hold."""

    def __init__(self, code: str, messages: Iterable[Entry], plural: Callable[[int], int]) -> None:
        self.code, self._plural = code, plural
        self.wrong: list[Wrong] = []
        self._texts: dict[tuple[str, str], Entry] = {}
        for entry in messages:
            if entry.is_translated and not self._is_wrong(entry):
                self._texts[entry.context, entry.text] = entry

    def _is_wrong(self, entry: Entry) -> bool:
        """Whether a message would not show what the English one shows; noted."""
        try:
            wanted = set(names_in(entry.text)) | set(names_in(entry.plural))
            there = [set(names_in(form)) for form in entry.forms.values()]
        except ValueError as broken:
            self.wrong.append(Wrong(entry.line, f"{broken}; write {{{{ for a bracket that is meant as one"))
            return True
        may_lack = {"count"} if entry.plural else set[str]()
        for names in there:
            if names - wanted or wanted - names - may_lack:
                right = ", ".join(f"{{{name}}}" for name in sorted(wanted)) or "none"
                self.wrong.append(Wrong(entry.line, f"the names in brackets differ; they must be {right}"))
                return True
        return False

    def text(self, context: str, text: str) -> str | None:
        """A text in this language; None where it has none."""
        entry = self._texts.get((context, text))
        return None if entry is None else entry.forms[0]

    def count(self, context: str, text: str, count: int) -> str | None:
        """The form of a counted text that goes with a count; None where there is none."""
        entry = self._texts.get((context, text))
        return None if entry is None else self._form(entry, count)

    def _form(self, entry: Entry, count: int) -> str:
        forms = entry.forms
        return forms.get(self._plural(count) if entry.plural else 0, forms[max(forms)])

    # --- texts that are made already

    def exact(self, made: str) -> str | None:
        """A phrase with nothing to fill in; None where the text is none."""
        entry = self._texts.get((PHRASE, made))
        return None if entry is None or entry.plural else entry.forms[0]

    def phrase(self, made: str, value: Callable[[str], str]) -> str | None:
        """A text that was made in English of a phrase and what is filled in, in this language; None where it is of none.

        value: puts what is filled in into the language.
        """
        for known in self._known:
            # Most phrases are told apart by their words alone: making a pattern takes a hundred times longer.
            if not all(literal in made for literal in known.literals):
                continue
            if found := _pattern(known.text).fullmatch(made):
                values = found.groupdict()
                form = self._form(known.entry, int(values.get("count") or 1))
                return form.format(**{name: value(text) for name, text in values.items()})
        return None

    @cached_property
    def _known(self) -> Sequence[_Known]:
        """The phrases with something to fill in, those with the most letters of their own first."""
        made = (
            one for (context, _), entry in self._texts.items() if context == PHRASE for one in _known(entry)
        )
        return sorted(made, key=lambda one: -sum(map(len, one.literals)))


def _known(entry: Entry) -> Iterator[_Known]:
    for text in filter(None, (entry.text, entry.plural)):
        if names_in(text) or entry.plural:
            yield _Known(text, entry, tuple(part for part, *_ in Formatter().parse(text) if part))


@cache
def _pattern(text: str) -> re.Pattern[str]:
    """What a phrase looks like once it is made; a name that stands in it twice is the same both times."""
    out, seen = "", set[str]()
    for literal, name, _, _ in Formatter().parse(text):
        out += re.escape(literal)
        if name is not None:
            out += f"(?P={name})" if name in seen else f"(?P<{name}>{_FORMS.get(name, _ANY)})"
            seen.add(name)
    return re.compile(out, re.DOTALL)


def read_catalogue(code: str, text: str) -> Catalogue:
    """The language of a .po file's text. Raises PoError where that is none."""
    header, messages = Entry(), []
    for entry in entries(text):
        if entry.text or entry.context:
            messages.append(entry)
        else:
            header = entry
    return Catalogue(code, messages, _plural_of(header))


def _plural_of(header: Entry) -> Callable[[int], int]:
    """The rule of the header's Plural-Forms, by which a count has its form; that of English where it has none."""
    rule = header_of(header).get("plural-forms", "")
    found = re.search(r"plural\s*=\s*([^;]+)", rule)
    try:
        return c2py(found[1].strip() if found else _ENGLISH_PLURAL)
    except ValueError as wrong:
        raise PoError(
            header.line, f"Plural-Forms: {wrong}; write such as nplurals=2; plural=(n != 1);"
        ) from None
