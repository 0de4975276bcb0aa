"""The language that is spoken just now, and texts in it.

English is that of the program: its texts are the keys of every catalogue, and nothing is loaded for it. What a crew is shown is
made inside `speaking`; whatever is saved, and JSON, is made outside, so that files read the same in every language.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from functools import lru_cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from calendar_tui.language.catalogue import Catalogue

# So many texts are kept in their language; a large season has a few hundred.
MOST_KEPT = 4096
# The context of texts that may be made in English, and are put into the language where they are shown.
PHRASE = "phrase"
_SPOKEN: ContextVar[Catalogue | None] = ContextVar("spoken", default=None)
_MONTHS = "Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec"
_DATE = re.compile(
    rf"\b(?:(Mon|Tue|Wed|Thu|Fri|Sat|Sun) )?(?:(\d{{1,2}}) ({_MONTHS}|{_MONTHS.lower()}))\b(?: (\d{{4}}))?"
)
_WEEKDAY = re.compile(r"\b(Mon|Tue|Wed|Thu|Fri|Sat|Sun)\b(?= \d\d?:)")
_HALF_DAY = re.compile(r"\b(\d{1,2}:\d\d) ([ap]m)\b")
_NUMBER = re.compile(r"(?<![\w.,-])~?\d+\.\d+(?= |$)")
# What stands between the parts of a list that is made in English; a message of the context "list".
OR = ", or "
# A word with which a sentence begins, which is no id.
_CAPITAL = re.compile(r"[A-Z][a-z]+\b")
_SENTENCE_END = re.compile(r"(?<=[.!?])\s+(?=[A-Z])")


@contextmanager
def speaking(language: Catalogue | None) -> Iterator[None]:
    """Speak a language, None for English, in what is made inside; generators have to be used up inside too."""
    token = _SPOKEN.set(language)
    try:
        yield
    finally:
        _SPOKEN.reset(token)


def is_english() -> bool:
    return _SPOKEN.get() is None


def spoken_code() -> str:
    """The code of the language, as HTML's lang and others have it."""
    language = _SPOKEN.get()
    return "en" if language is None else language.code.replace("_", "-")


def marked(text: str) -> str:
    """The text as it is, marked for the catalogue: it stands in a table, and `tr` is given it from there."""
    return text


def tr(text: str, /, **values: object) -> str:
    """A text in the language, with its {names} filled in."""
    return tr_in("", text, **values)


def tr_in(context: str, text: str, /, **values: object) -> str:
    """The same for a word that means several things; context: in which of them."""
    language = _SPOKEN.get()
    if language is not None:
        text = language.text(context, text) or text
    return text.format(**values) if values else text


def tr_n(one: str, several: str, count: int, /, **values: object) -> str:
    """A counted text in the language: `one` or `several` in English; {count} is filled in besides the values."""
    return _counted("", one, several, count, values)


def _counted(context: str, one: str, several: str, count: int, values: Mapping[str, object]) -> str:
    language = _SPOKEN.get()
    text = one if count == 1 else several
    if language is not None:
        text = language.count(context, one, count) or text
    return text.format(count=count, **values)


# --- texts that are made in English and shown in the language


def phrase(text: str, /, **values: object) -> str:
    """A text that may be made in English, since a file or a plan keeps it; `translated` knows it again where it is shown."""
    return tr_in(PHRASE, text, **values)


def phrase_form(text: str) -> str:
    """The text as it is, marked for the catalogue: it stands in a table, and `phrase` is given it from there."""
    return text


def file_text(text: str, /, **values: object) -> str:
    """A text of a file, such as a change in the history: in English whatever is spoken; `translated` knows it again."""
    return text.format(**values)


def phrase_n(one: str, several: str, count: int, /, **values: object) -> str:
    """The same of a counted text."""
    return _counted(PHRASE, one, several, count, values)


def chore_text(text: str) -> str:
    """A text of a chore, in the language where it is the starter list's; a person's own stays as it was written."""
    language = _SPOKEN.get()
    if language is None or (exact := language.exact(text)) is not None:
        return text if language is None else str(exact)
    sentences = _SENTENCE_END.split(text)
    return (
        " ".join(language.exact(sentence) or sentence for sentence in sentences)
        if len(sentences) > 1
        else text
    )


def translated(text: str) -> str:
    """A text that the program made in English, in the language; what a person wrote and stands in it stays.

    It is read as a phrase with what is filled in, or by its sentences and what stands between semicolons: whichever leaves
    the fewest letters that are no phrase.
    """
    language = _SPOKEN.get()
    return text if language is None or not text else _translated(language, text)[0]


@lru_cache(maxsize=MOST_KEPT)
def _translated(language: Catalogue, text: str) -> tuple[str, int]:
    """The text, and how many letters of it are of no phrase: looked through once, since a week has few texts many times over."""
    if (exact := language.exact(text)) is not None:
        return exact, 0
    readings = []
    for between, parts in _parted(text):
        shown = [_translated(language, part) for part in parts]
        readings.append((between.join(part for part, _ in shown), sum(left for _, left in shown)))
    if sides := _alternatives(language, text):
        readings.append((tr_in("list", OR).join(side for side, _ in sides), sum(left for _, left in sides)))
    left: list[int] = []

    def value(part: str) -> str:
        out, letters = _translated(language, part)
        left.append(letters)
        return out

    if (whole := language.phrase(text, value)) is not None:
        readings.append((whole, sum(left)))
    # What stands first is taken of readings that are alike.
    readings.append((_dated(text), _letters(text)))
    if text.endswith("."):
        inside, letters = _translated(language, text[:-1])
        readings.append((f"{inside}.", letters))
    if _CAPITAL.match(text):
        inside, letters = _translated(language, text[0].lower() + text[1:])
        readings.append((inside[0].upper() + inside[1:], letters))
    best = min(readings, key=lambda reading: reading[1])
    return best if not best[1] else min((best, *_regrouped(language, text)), key=lambda reading: reading[1])


def _regrouped(language: Catalogue, text: str) -> Iterator[tuple[str, int]]:
    """The text at each semicolon in two: a phrase, or what is filled in, may have semicolons of its own."""
    parts = text.split("; ")
    for n in range(1, len(parts)) if len(parts) > 2 else ():
        sides = [_translated(language, "; ".join(side)) for side in (parts[:n], parts[n:])]
        yield "; ".join(side for side, _ in sides), sum(left for _, left in sides)


def _parted(text: str) -> Iterator[tuple[str, list[str]]]:
    """The text by its sentences, then by its semicolons, with what stands between; only where it has several."""
    for between, parts in (
        (" ", _SENTENCE_END.split(text)),
        ("; ", text.split("; ")),
        (", ", text.split(", ")),
    ):
        if len(parts) > 1:
            yield between, parts


def _alternatives(language: Catalogue, text: str) -> list[tuple[str, int]]:
    """Each side of an "or", where the program made it: none is a person's own words, of which the "or" would be one too."""
    sides = text.split(OR)
    shown = [_translated(language, side) for side in sides] if len(sides) > 1 else []
    own = (
        left == _letters(side) and not _DATE.fullmatch(side)
        for side, (_, left) in zip(sides, shown, strict=False)
    )
    return [] if any(own) else shown


def _letters(text: str) -> int:
    return sum(map(str.isalpha, text))


def _dated(text: str) -> str:
    """What no phrase is, with its dates, hours and decimal figures as the language writes them."""
    text = _DATE.sub(
        lambda found: date_text(found[1] or "", int(found[2]), found[3].title(), found[4] or ""), text
    )
    text = _HALF_DAY.sub(lambda found: half_day_text(found[1], found[2]), text)
    text = _WEEKDAY.sub(lambda found: tr_in("weekday", found[1]), text)
    return _NUMBER.sub(lambda found: decimal_text(found[0]), text)


# --- dates and figures


def date_text(weekday: str, day: int, month: str, year: str | int) -> str:
    """A date in the language from its English names; weekday, year: "" for none."""
    text = tr_in("date", "{day} {month}", day=day, month=tr_in("month", month))
    text = tr_in("date", "{date} {year}", date=text, year=year) if year else text
    return (
        tr_in("date", "{weekday} {date}", weekday=tr_in("weekday", weekday), date=text) if weekday else text
    )


def half_day_text(time: str, half: str) -> str:
    """A time of the clock of 12 hours: "7:13 pm"; half: "am" or "pm"."""
    text = tr_in("clock", "{time} am") if half == "am" else tr_in("clock", "{time} pm")
    return text.format(time=time)


def decimal_text(figure: str) -> str:
    """A figure with the decimal sign of the language."""
    return figure if is_english() else figure.replace(".", tr_in("number", "."))
