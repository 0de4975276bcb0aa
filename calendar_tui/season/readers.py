"""Readers: each turns one plain value of a season file into the value the records keep, or says what would be right."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from datetime import date, datetime, time
from functools import partial
from itertools import islice
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo, available_timezones

from calendar_tui.language.speaking import phrase
from calendar_tui.season.records import Span
from calendar_tui.season.stages import DRAFTED

if TYPE_CHECKING:
    from calendar_tui.season.capacity import Drafted

Reader = Callable[[Any], Any]
ID = re.compile(r"\w[\w-]{0,23}")
# Far enough from the ends of what a date can hold that no span of days counted from one runs over them.
FIRST_DATE, LAST_DATE = date(1900, 1, 1), date(2199, 12, 31)
_SHOWN_CHARS, _SHOWN_ITEMS, _SHOWN_LISTS, _SHOWN_BITS = 40, 4, 3, 100
_MOST_COMPARED, _MOST_LISTED = (
    700,
    60,
)  # all time zones are compared; all that a season has but the largest, listed
_NO_WORK = " is no working day"
_MOVED_OFF = rf"^(\w{{3}} \d{{1,2}} \w{{3}}){_NO_WORK}(?!; it stays)"
_LONGEST_SLIP = 64  # a word longer than this is no slip of a known one


class Unreadable(ValueError):
    """A value that is not what its field needs. The message says what it is and what would be right."""


def shown(value: Any) -> str:
    """A value as a message may show it: short, and with no control or direction characters."""
    line = plain(_as_toml(value)).replace("\n", "?")
    return line if len(line) <= _SHOWN_CHARS else line[: _SHOWN_CHARS - 3] + "..."


def plain(words: str) -> str:
    """Text as a terminal may be sent it: each character that steers a terminal becomes a "?"; lines stay lines.

    Joiners are left out: not all terminals draw them as wide as they count.
    """
    if words.isprintable():
        return words
    words = words.translate(_JOINERS)
    return words.translate({ord(c): "?" for c in set(words) if c != "\n" and _unseen(c)})


def _as_toml(value: Any, inside: int = 0) -> str:
    """About as a season file has it; short, however deep or long the value is. inside: how many lists it is in."""
    write = next((show for kinds, show in _SHOWS if isinstance(value, kinds)), None)
    return str(value) if write is None else write(value, inside)


def _list_text(value: list[Any], inside: int) -> str:
    if inside == _SHOWN_LISTS:
        return "[...]"
    items = [_as_toml(v, inside + 1) for v in value[:_SHOWN_ITEMS]]
    return f"[{', '.join(items)}{', ...' if len(value) > _SHOWN_ITEMS else ''}]"


def _whole_text(value: int, inside: int) -> str:
    # Python does not write out a number of thousands of digits.
    return str(value) if value.bit_length() <= _SHOWN_BITS else "a number of more than 30 digits"


_SHOWS: tuple[tuple[type | tuple[type, ...], Callable[[Any, int], str]], ...] = (
    (str, lambda value, _: f'"{value[:_SHOWN_CHARS]}"'),
    (bool, lambda value, _: "true" if value else "false"),
    (int, _whole_text),
    (date, lambda value, _: str(value.isoformat())),
    (time, lambda value, _: value.isoformat().removesuffix(":00")),
    (dict, lambda value, _: "a table"),
    (list, _list_text),
)


# The soft hyphen, and what joins letters or emoji or keeps them apart: the only characters of format that a text needs.
_JOINERS = dict.fromkeys(map(ord, "\u00ad\u200c\u200d"))


def _unseen(char: str) -> bool:
    from unicodedata import category

    return category(char) in ("Cc", "Cf", "Cs", "Zl", "Zp")


def text(value: Any) -> str:
    if not isinstance(value, str):
        raise Unreadable(f'is {shown(value)}; write text in quotes, such as "amber"')
    if not value.isprintable() and any(map(_unseen, set(value))):  # the first question is the quick one
        raise Unreadable("has a control or hidden character; write plain text on one line")
    return value


def words(value: Any) -> str:
    """What a person reads and no program compares: as text, and with joiners, which are left out of the record."""
    if not isinstance(value, str) or value.isprintable():  # joiners are not
        return text(value)
    return text(value.translate(_JOINERS))


def day_reason(value: Any) -> str:
    """Why a task is on its day, in the words of today: "moved from Sun 13 Dec, no working day".

    Files saved before have "Sun 13 Dec is no working day", as they still have of a task that stays there.
    """
    reason = words(value)
    return re.sub(_MOVED_OFF, r"moved from \1, no working day", reason) if _NO_WORK in reason else reason


def name_id(value: Any) -> str:
    if isinstance(value, str) and ID.fullmatch(value):  # letters and digits are never hidden characters
        return value
    raise Unreadable(f"is {shown(text(value))}; an id has 1 to 24 letters, digits, - or _, such as A1")


def light_id(value: Any) -> str:
    """A place, or a screened part of it behind a space."""
    return " ".join(map(name_id, text(value).split(" ", 1)))


def number(low: float, high: float) -> Reader:
    """The reader of a number from `low` to `high`, in the unit of its field."""

    def read(value: Any) -> float:
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            raise Unreadable(f"is {shown(value)}; write a number from {low:.10g} to {high:.10g}")
        if not low <= value <= high:  # nan too: it is neither
            raise Unreadable(f"is {shown(value)}; it must be from {low:.10g} to {high:.10g}")
        return float(value)

    return read


def whole(low: int, high: int) -> Reader:
    def read(value: Any) -> int:
        if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
            raise Unreadable(f"is {shown(value)}; write a whole number from {low} to {high}")
        return value

    return read


def yes_no(value: Any) -> bool:
    if not isinstance(value, bool):
        raise Unreadable(f"is {shown(value)}; write true or false")
    return value


def day(value: Any) -> date:
    if isinstance(value, datetime) or not isinstance(value, date):
        raise Unreadable(f"is {shown(value)}; write a date without quotes, such as 2026-10-05")
    if not FIRST_DATE <= value <= LAST_DATE:
        raise Unreadable(f"is {shown(value)}; it must be from {FIRST_DATE.year} to {LAST_DATE.year}")
    return value


def one_of(*words: str) -> Reader:
    return partial(_one_of, words)


def _one_of(words: tuple[str, ...], value: Any) -> str:
    if value not in words:
        raise Unreadable(f"is {shown(value)}; it must be one of: {', '.join(words)}{near(value, words)}")
    return str(value)


def variety_type(value: Any) -> str:
    """The id of a type that a variety starts from."""
    from calendar_tui.starter.variety_types import TYPES

    return str(one_of(*TYPES)(value))


def several_of(*words: str) -> Reader:
    return partial(_several_of, words)


def _several_of(words: tuple[str, ...], value: Any) -> tuple[str, ...]:
    if not isinstance(value, list) or not value:
        raise Unreadable(f"is {shown(value)}; write a list of: {', '.join(words)}")
    return tuple(_one_of(words, v) for v in value)


def words_of(read: Reader) -> tuple[str, ...]:
    """The words that a reader takes, where it takes no others; else ()."""
    return read.args[0] if isinstance(read, partial) and read.func in (_one_of, _several_of) else ()


def with_colon(words: str) -> str:
    """A time or a length of day in the form of the season file: "14:10" of 14h10, 14 h 10 and 14:10; 14 h is "14:00"."""
    hours = re.fullmatch(r"(\d{1,2}) ?h(?: ?([0-5]\d))?", words, re.ASCII | re.IGNORECASE)
    return f"{hours[1]}:{hours[2] or '00'}" if hours else words


def _hours_and_minutes(value: Any) -> tuple[int, int] | None:
    figures = re.fullmatch(r"(\d{1,2}):([0-5]\d)", with_colon(value)) if isinstance(value, str) else None
    return (int(figures[1]), int(figures[2])) if figures else None


def _unclear(value: Any, form: str, example: str) -> Unreadable:
    if isinstance(value, time):  # as TOML 1.1 reads 14:00 without quotes
        return Unreadable(f'is {shown(value)}; write it in quotes, "{value:%H:%M}"')
    quotes = "" if isinstance(value, str) else " in quotes"
    return Unreadable(f'is {shown(value)}; write {form}{quotes}, such as "{example}"')


def clock_hours(value: Any) -> Span:
    """A day length "HH:MM" as hours, or three of them in rising order."""
    hours = [day_length(v) for v in (value if isinstance(value, list) else [value])]
    if len(hours) not in (1, 3) or hours != sorted(hours):
        raise Unreadable(
            f"is {shown(value)}; write early, likely and late in rising order, such as "
            '["13:30", "14:00", "14:30"], or one day length, such as "14:00"'
        )
    return Span(*hours) if len(hours) == 3 else Span.exactly(hours[0])


def day_length(value: Any) -> float:
    """A day length "HH:MM", in h."""
    figures = _hours_and_minutes(value)
    if figures is None or figures[0] + figures[1] / 60 > 24:
        raise _unclear(value, "hours and minutes up to 24 h", "14:00")
    return figures[0] + figures[1] / 60


def clock_time(value: Any) -> time:
    """A time of the local clock, "HH:MM"."""
    figures = _hours_and_minutes(value)
    if figures is None or figures[0] > 23:
        raise _unclear(value, "a time of the 24-hour clock", "22:00")
    return time(*figures)


def span_days(value: Any) -> Span:
    figures = value if isinstance(value, list) else [value]
    days = [number(0, 400)(v) for v in figures]
    if len(days) not in (1, 3) or days != sorted(days):
        raise Unreadable(
            f"is {shown(value)}; write early, likely and late days in rising order, such as [10, 14, 20], or one number"
        )
    return Span(*days) if len(days) == 3 else Span.exactly(days[0])


def span_heat(value: Any) -> Span:
    """Three sums of heat in rising order, or one number."""
    figures = value if isinstance(value, list) else [value]
    sums = [number(1, 100_000)(v) for v in figures]
    if len(sums) not in (1, 3) or sums != sorted(sums):
        raise Unreadable(
            f"is {shown(value)}; write early, likely and late sums in rising order, such as [220, 270, 350], or one number"
        )
    return Span(*sums) if len(sums) == 3 else Span.exactly(sums[0])


def _two(low: float, high: float, right: str) -> Callable[[Any], tuple[float, float]]:
    def read(value: Any) -> tuple[float, float]:
        if not isinstance(value, list) or len(value) != 2:
            raise Unreadable(f"is {shown(value)}; {right}")
        first, second = (number(low, high)(v) for v in value)
        return first, second

    return read


two_metres = _two(0.01, 100, "write metres between rows and in the row, such as [1.5, 0.6]")
two_minutes = _two(1, 720, "write minutes on and minutes off, such as [6, 24]")
_low_and_high = _two(-20, 50, "write the lowest and the highest in C, such as [18, 26]")


def two_degrees(value: Any) -> tuple[float, float]:
    """The lowest and the highest temperature, in C."""
    low, high = _low_and_high(value)
    if low > high:
        raise Unreadable(f"is {shown(value)}; write the lowest first and then the highest, such as [18, 26]")
    return low, high


def twelve_degrees(value: Any) -> tuple[float, ...]:
    """A temperature (C) for each month, January first."""
    if not isinstance(value, list) or len(value) != 12:
        count = f"a list of {len(value)}" if isinstance(value, list) else shown(value)
        raise Unreadable(f"is {count}; write twelve temperatures in C, January first")
    return tuple(number(-60, 60)(v) for v in value)


def several_ids(value: Any) -> tuple[str, ...]:
    if not isinstance(value, list) or len(value) < 2 or len({str(v) for v in value}) < len(value):
        raise Unreadable(f'is {shown(value)}; write two or more different names, such as ["east", "west"]')
    return tuple(name_id(v) for v in value)


def several_texts(value: Any) -> tuple[str, ...]:
    if not isinstance(value, list):
        raise Unreadable(f'is {shown(value)}; write a list, such as ["A1", "A2"]')
    return tuple(map(text, value))


def several_days(value: Any) -> tuple[date, ...]:
    if not isinstance(value, list):
        raise Unreadable(f"is {shown(value)}; write a list of dates, such as [2026-12-25, 2027-01-01]")
    return tuple(day(v) for v in value)


def three_days(value: Any) -> tuple[date, date, date]:
    """The earliest, the likely and the latest date."""
    days = several_days(value) if isinstance(value, list) else ()
    if len(days) != 3 or list(days) != sorted(days):
        raise Unreadable(
            f"is {shown(value)}; write earliest, likely and latest date in rising order, such as "
            "[2026-12-20, 2026-12-24, 2027-01-02]"
        )
    return days[0], days[1], days[2]


_DRAFTED = 'a list of { place = "H1", plants = 120, seeding = 2026-10-05 }, with a date for each stage'
_DRAFTED_KEYS: Mapping[str, Reader] = {"place": name_id, "part": name_id, "plants": whole(1, 10_000_000)}


def drafted(value: Any) -> tuple[Drafted, ...]:
    """Cohorts of a draft, each a table on one line: its place, and its dates by stage."""
    if not isinstance(value, list) or not value or not all(isinstance(row, dict) for row in value):
        raise Unreadable(f"is {shown(value)}; write {_DRAFTED}")
    return tuple(_drafted_row(row) for row in value)


def _drafted_row(row: Mapping[str, Any]) -> Drafted:
    read: dict[str, Any] = {}
    dates: dict[str, date] = {}
    for key, value in row.items():
        try:
            if key in _DRAFTED_KEYS:
                read[key] = _DRAFTED_KEYS[key](value)
            else:
                dates[one_of(*DRAFTED)(key)] = day(value)
        except Unreadable as wrong:
            raise Unreadable(f"has a cohort of which {shown(key)} {wrong}") from None
    if "place" not in read or not dates:
        raise Unreadable(f"has a cohort without place or dates; write {_DRAFTED}")
    from calendar_tui.season.capacity import Drafted

    return Drafted(dates=dates, **read)


def file_name(value: Any) -> str:
    """The name of a file beside the season file: no folders, and so nowhere else."""
    name = text(value)
    if not name or name in (".", "..") or any(c in name for c in "/\\:"):
        raise Unreadable(
            f'is {shown(value)}; write the name of a file beside this one, such as "station.csv"'
        )
    return name


def timezone(value: Any) -> str:
    name = text(value)
    try:
        ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        guess = near(name, available_timezones()) or ";"
        raise Unreadable(
            f"is {shown(name)}, which is no known time zone{guess} write an IANA name, such as America/Montevideo"
        ) from None
    return name


def near(word: Any, known: Iterable[str]) -> str:
    """'; did you mean X?' where a known word is close, in whichever case, else nothing."""
    if not isinstance(word, str) or len(word) > _LONGEST_SLIP:
        return ""
    typed = word.casefold()
    by_fold = {one.casefold(): one for one in known}
    if len(by_fold) > _MOST_COMPARED:
        by_fold = dict(islice(((k, v) for k, v in by_fold.items() if k[:1] == typed[:1]), _MOST_COMPARED))
    from difflib import get_close_matches

    # Of words as close as one another, that with the same letters: two of them were swapped.
    close = sorted(get_close_matches(typed, by_fold, cutoff=0.6), key=lambda w: sorted(w) != sorted(typed))
    return phrase('; did you mean "{word}"?', word=by_fold[close[0]]) if close else ""


def meant(message: str) -> str:
    """The word that a message says was meant, as `near` has put it; "" where it says none."""
    return found[1] if (found := re.search(r'; did you mean "([^"]+)"\?', message)) else ""


def choices(word: Any, known: Iterable[str], label: str = "Known") -> str:
    """What ends a sentence about an unknown word: the known one that is close, if any, and then all or many of them."""
    known = list(known)
    listed = ", ".join(known[:_MOST_LISTED])
    if len(known) > _MOST_LISTED:
        listed = phrase("{listed} and {more} more", listed=listed, more=len(known) - _MOST_LISTED)
    return f"{near(word, known) or '.'} {phrase(label)}: {listed}"
