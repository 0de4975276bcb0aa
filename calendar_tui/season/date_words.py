"""The words of typed dates, in English and Spanish: in small letters, without accents. A further language is further words."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping

# In their order, as dateutil takes them.
MONTHS = [
    ("jan", "january", "ene", "enero"),
    ("feb", "february", "febrero"),
    ("mar", "march", "marzo"),
    ("apr", "april", "abr", "abril"),
    ("may", "mayo"),
    ("jun", "june", "junio"),
    ("jul", "july", "julio"),
    ("aug", "august", "ago", "agosto"),
    ("sep", "sept", "september", "septiembre", "set", "setiembre"),
    ("oct", "october", "octubre"),
    ("nov", "november", "noviembre"),
    ("dec", "december", "dic", "diciembre"),
]
# "mar" for martes is told from March by what stands behind it.
WEEKDAYS = [
    ("mon", "monday", "lun", "lunes"),
    ("tue", "tues", "tuesday", "martes"),
    ("wed", "wednesday", "mie", "miercoles"),
    ("thu", "thur", "thurs", "thursday", "jue", "jueves"),
    ("fri", "friday", "vie", "viernes"),
    ("sat", "saturday", "sab", "sabado"),
    ("sun", "sunday", "dom", "domingo"),
]
DAYS_FROM_TODAY: Mapping[str, int] = {
    **dict.fromkeys(("the day before yesterday", "anteayer", "antier"), -2),
    **dict.fromkeys(("yesterday", "ayer"), -1),
    **dict.fromkeys(("today", "hoy"), 0),
    **dict.fromkeys(("tomorrow", "manana"), 1),
    **dict.fromkeys(("the day after tomorrow", "pasado manana"), 2),
}
UNIT_DAYS: Mapping[str, int] = {
    **dict.fromkeys(("d", "day", "days", "dia", "dias"), 1),
    **dict.fromkeys(("w", "week", "weeks", "sem", "semana", "semanas"), 7),
}
# Before a weekday or behind it: the first after today, the last before it.
NEXT = ("next", "proximo", "proxima", "que viene")
LAST = ("last", "pasado", "pasada")
# Before a number of days or weeks, or behind it.
IN, BEFORE_AGO, AGO = ("in", "en", "dentro de"), ("hace",), ("ago", "atras")
# Before the number of a week of the year.
WEEK = ("w", "week ", "semana ", "sem ")
ONE = ("a", "one", "un", "una")
# Between the parts of a date.
LINKS = ("de", "del", "el", "la", "of", "on", "the")
_TUESDAY = "martes"


def any_of(words: tuple[str, ...] | Mapping[str, int]) -> str:
    """A pattern for any of the words, the longest first."""
    return f"(?:{'|'.join(sorted(map(re.escape, words), key=len, reverse=True))})"


def unaccented(text: str) -> str:
    """A typed text in small letters, without accents: "sí" is "si"."""
    apart = unicodedata.normalize("NFD", text.casefold())
    return "".join(c for c in apart if not unicodedata.combining(c))


def plain_date_text(text: str) -> str:
    """A typed date in small letters, without accents and further blanks, a Spanish Tuesday by its whole name."""
    plain = " ".join(unaccented(text).split())
    return _SHORT_TUESDAY.sub(_TUESDAY, plain)


def without_links(plain: str) -> str:
    """A plain text without the words that only join its parts: "15 de enero" is "15 enero"."""
    return " ".join(word for word in plain.split() if word not in LINKS)


# "mar 9 dic", "mar 9/3", "proximo mar": no month can stand there.
_MONTH_NAMES = any_of(tuple(name for names in MONTHS for name in names))
_SHORT_TUESDAY = re.compile(
    rf"^mar(?=[.,]? (?:\d[\d ]* (?:de )?{_MONTH_NAMES}\b|\d+[-/.]\d))|(?<={NEXT[1]} )mar$|(?<={LAST[1]} )mar$"
)


# Before the cause of a date.
_BECAUSE = re.compile(r"\s*\b(?:because|porque)\b:?\s*", re.IGNORECASE)


def day_and_cause(typed: str) -> tuple[str, str]:
    """A date as typed, and why it came on another day than planned: "8 dec because rain", "8 dic porque lluvia"; "" for no cause."""
    when, _, cause = _BECAUSE.sub("\n", typed, count=1).partition("\n")
    return when.strip(), cause.strip()
