"""What a person types for a field, as a season file has it, and what a season file has, as it is typed.

Dates are typed in any way of `typed_dates`, day lengths as 14:10, 14h10 or 14 h 10, spans as 10, 14, 20, and spacings as
1.5x0.6; shares as 0.12 or 12%. What comes of it is read by the reader of the season file, so nothing else is taken here than there.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from datetime import date, time
from decimal import Decimal
from functools import partial
from typing import Any, NamedTuple

from calendar_tui.season.date_words import UNIT_DAYS, any_of, plain_date_text
from calendar_tui.season.field_names import BEGIN_UNIT, NamedField, find_field
from calendar_tui.season.finders import (
    as_stage,
    find_light,
    find_lot,
    find_record,
    of_kind,
)
from calendar_tui.season.found_reading import AS_WRITTEN
from calendar_tui.season.kinds import KINDS
from calendar_tui.season.measures import MEASURES, figure, has_unit, typed_clock, typed_quantities, unit_shown
from calendar_tui.season.readers import Unreadable, clock_time, day, near, with_colon, yes_no
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.stages import STAGES, STAY_STAGES
from calendar_tui.season.trials import DATE
from calendar_tui.season.units_in_use import by_12_hours, clock, is_us
from calendar_tui.season.wording import stage_text, year_day_text
from calendar_tui.season.yes_no import NO, YES, is_yes, yes_no_text

# Typed in place of a value: the field is taken out of the record.
NONE = "none"
_NUMBER = re.compile(r"[+-]?(?:\d+(?:\.\d+)?|\.\d+)")
_BETWEEN = re.compile(r"\s*[x×,;]\s*|\s*(?<=\d)-(?=\d)\s*|\s+")
_DAYS = re.compile(rf"([+-]?\d{{1,4}}) ?({any_of(UNIT_DAYS)})?", re.ASCII)
_PERCENT = re.compile(r"([+-]?(?:\d+(?:\.\d+)?|\.\d+))\s*%")
_HOURS_UNIT, _CLOCK_UNIT, _SHARE_UNIT = "h a day", "h:min", "share"
_STAGE_UNITS = (BEGIN_UNIT, "stage")
# Where levels of trials stand, in a trial and in a plot.
_LEVELS = ("factors", "treatment")
_A_DATE = NamedField("trial", DATE, (DATE,), day, "date", "")


class Typing(NamedTuple):
    """What typed values are read against. order: which of day and month comes first in a date of numbers; "" where unset."""

    season: Season
    today: date
    order: str = ""


class NotRight(ValueError):
    """A typed value that cannot be. The message says what would be right, without the field and the value."""


def typed_days(text: str) -> int:
    """Days of an interval: "14", "14 d", "2 w". Raises NotRight."""
    interval = _DAYS.fullmatch(plain_date_text(text))
    if interval is None:
        raise NotRight("write a number of days, such as 14, or weeks, such as 2w")
    return int(interval[1]) * UNIT_DAYS[interval[2] or "d"]


def plain_value(field: NamedField, typed: str, at: Typing, planned: date | None = None) -> Any:
    """The value as a season file has it; None for none. planned: the date from which +N counts. Raises NotRight."""
    words = typed.strip()
    if words.casefold() in ("", NONE):
        if field.needed:
            raise NotRight(f"it is needed: {field.meaning}")
        return None
    if field.unit == "sample id":
        return _bag(at.season, words)
    if field.unit in _NAMES:
        return _name(_NAMES[field.unit][0], at.season, words)
    if field.unit in _STAGE_UNITS and (stage := as_stage(words)) in STAGES:
        return stage
    if field.unit in ("date", "dates", BEGIN_UNIT) or is_level_date(field):
        return _dates(field, words, at, planned)
    return _read(field, words)


def _name(find: Callable[[Season, str], Any], season: Season, words: str) -> str:
    try:
        named = find(season, words)
    except Refusal as wrong:
        raise NotRight(str(wrong)) from wrong
    return named if isinstance(named, str) else str(named.id)


# By the unit of a field that holds a name: how it is found, and the kinds whose names it may be.
_NAMES: dict[str, tuple[Callable[[Season, str], Any], tuple[str, ...]]] = {
    **{
        f"{k.name} id": (partial(find_record, k.name), (k.name,))
        for k in KINDS
        if k.by_id and k.name != "sample"
    },
    "place id": (find_light, ("place",)),
    "lot id": (find_lot, ("lot", "cohort")),
}


def _bag(season: Season, words: str) -> str:
    """The id of a bag as its label is read; of one that is not known too: its result is kept aside. Raises NotRight."""
    from calendar_tui.season.sample_ids import read_sample_id

    try:
        return read_sample_id(words, season.samples)
    except Unreadable as wrong:
        raise NotRight(str(wrong).partition(" and ")[2]) from wrong


def _dates(field: NamedField, words: str, at: Typing, planned: date | None) -> Any:
    from calendar_tui.season.typed_dates import typed_in_season

    def one_day(word: str) -> date:
        try:
            return typed_in_season(
                word, at.season, today=at.today, planned=planned, past=False, order=at.order
            )
        except ValueError as wrong:
            stage = "; or a stage, such as flowering" if field.unit == BEGIN_UNIT else ""
            raise NotRight(f"{wrong}{stage}") from wrong

    if is_level_date(field):
        return _taken(field, _level_dates(field, words, at), words)
    value: Any = (
        [one_day(w) for w in words.strip("[]").split(",") if w.strip()]
        if field.unit == "dates"
        else one_day(words)
    )
    return _taken(field, value, words)


def is_level_date(field: NamedField) -> bool:
    """Whether a field is of levels of a trial that are dates."""
    return field.path[0] in _LEVELS and field.key == DATE


def _level_dates(field: NamedField, words: str, at: Typing) -> str | list[str]:
    """Dates that are levels of a trial stand as text: of a plot one, of a trial several."""
    parts = [words] if field.path[0] == "treatment" else words.strip("[]").split(",")
    days = (
        _dates(_A_DATE, part.strip().strip("\"'"), at, None).isoformat() for part in parts if part.strip()
    )
    return next(days) if field.path[0] == "treatment" else list(days)


def _read(field: NamedField, words: str) -> Any:
    """The first reading of the words that the field's reader takes."""
    refused: dict[str, Unreadable] = {}
    for form, value in _readings(field, words):
        try:
            field.read(value)
        except Unreadable as wrong:
            refused[form] = wrong
        else:
            return value
    forms = ("number", "numbers", "list" if "," in words else "words", "words")
    likeliest = next(refused[form] for form in forms if form in refused)
    raise NotRight(right_text(field, likeliest, words)) from likeliest


def _taken(field: NamedField, value: Any, words: str) -> Any:
    try:
        field.read(value)
    except Unreadable as wrong:
        raise NotRight(right_text(field, wrong, words)) from wrong
    return value


def _readings(field: NamedField, words: str) -> Iterator[tuple[str, Any]]:
    """The plain values that words can be, the likeliest first."""
    inner = words.strip("[]")
    bare = _without_unit(field, inner)
    if field.read in AS_WRITTEN:
        yield "words", _unquoted(bare)
        return
    if (unit := measure_of(field)) and (values := typed_quantities(inner, unit)) is not None:
        plain = [int(value) if value.is_integer() else value for value in values]
        yield ("number", plain[0]) if len(plain) == 1 else ("numbers", plain)
    if field.unit == _SHARE_UNIT and (percent := _PERCENT.fullmatch(inner)):
        yield "number", float(Decimal(percent[1]) / 100)
    if _NUMBER.fullmatch(bare):
        yield "number", _number(bare)
    if field.unit == _HOURS_UNIT and (time_of := re.fullmatch(r"(\d{1,2}):([0-5]\d)", with_colon(inner))):
        yield "number", int(time_of[1]) + int(time_of[2]) / 60
    if (meant := is_yes(inner)) is not None:
        yield "yes or no", meant
    numbers = _BETWEEN.split(bare)
    if all(map(_NUMBER.fullmatch, numbers)):
        yield "numbers", [_number(n) for n in numbers]
    folded = {_folded(w): w for w in field.words_allowed}
    known = folded.get(_folded(words))
    if known is not None:
        yield "words", known
    write = _clock if field.unit.startswith(_CLOCK_UNIT) else str
    yield "words", write(_unquoted(words))
    several = [write(_unquoted(part)) for part in re.split(r"\s*,\s*", inner)]
    yield "list", [folded.get(_folded(part), part) for part in several]


def _clock(words: str) -> str:
    """ "14:10" of 14h10, "19:30" of 7:30 pm."""
    return with_colon(typed_clock(words))


def measure_of(field: NamedField) -> str:
    """The unit of a field by which its quantity is measured, a key of MEASURES; "" for what is counted, timed or named."""
    unit = "C more" if field.key in _DIFFERENCES else field.unit.partition(" [")[0]
    return unit if unit in MEASURES and field.read not in AS_WRITTEN else ""


# Temperatures above that of the site, which have no zero of their own.
_DIFFERENCES = ("warmer_c",)


def _folded(words: str) -> str:
    """Words as they are compared: "Split-Plot" is "split plot"."""
    return words.casefold().replace("-", " ")


def is_whole(words: str) -> bool:
    """Whether a whole number is typed."""
    return re.fullmatch(r"[+-]?\d+", words) is not None


def _number(words: str) -> int | float:
    return int(words) if is_whole(words) else float(words)


def _without_unit(field: NamedField, words: str) -> str:
    """The words without the field's own unit behind them: "180 m2", "14 days"."""
    first = field.unit.split(" ")[0]
    for unit in (field.unit, first, *_ALSO.get(first, ())):
        number = words[: -len(unit)].rstrip() if unit and words.casefold().endswith(unit.casefold()) else ""
        if number[-1:].isdigit():
            return number
    return words


_ALSO: Mapping[str, tuple[str, ...]] = {
    "days": ("d", "day"),
    "m2": ("m²",),
    "plants": ("plant",),
    "h": ("hours",),
}


def _unquoted(words: str) -> str:
    return words[1:-1] if len(words) > 1 and words[0] == words[-1] and words[0] in "\"'" else words


def right_text(field: NamedField, wrong: Unreadable, typed: str) -> str:
    """What would be right, in the words of one who types and does not write the file."""
    right = str(wrong).partition("; ")[2] or str(wrong)
    if allowed := _words_allowed(field):
        return f"it must be one of: {', '.join(allowed)}{near(typed, allowed)}"
    for of_file, typed_form in _FILE_WORDS:
        right = right.replace(of_file, typed_form)
    if field.unit == _SHARE_UNIT:
        return f"{right} share, or in percent, such as 12%"
    if field.kind == "result" and field.read in AS_WRITTEN and (behind := _unit_behind(typed)):
        return f"{right}; the unit of all figures stands behind the word unit: unit {behind}"
    unit = field.unit if re.search(r"number|must be from", right) and "[" not in field.unit else ""
    return f"{right} {unit}".strip()


def _unit_behind(typed: str) -> str:
    """The unit of a laboratory that stands behind a figure: "mg/g" of "7.1 mg/g"; "" for none."""
    units = find_field("result", "unit").words_allowed
    return next((unit for unit in units if re.fullmatch(rf"[<\d.]+\s*{re.escape(unit)}", typed, re.I)), "")


_FILE_WORDS = (
    (" in quotes", ""),
    (" without quotes", ""),
    ("write true or false", "write yes or no"),
    ("[", ""),
    ("]", ""),
    ('"', ""),
)


def typed_text(field: NamedField, value: Any) -> str:
    """A value of the file as it is typed: "120", "1.5x0.6", "25 Dec 2026", "mon, tue"; "" for none."""
    text = text_in_file_unit(field, value)
    # Where a bare number is read as US units, a value of the file has its own unit behind it.
    return f"{text} {file_unit(field)}" if text and is_us() and measure_of(field) else text


def text_in_file_unit(field: NamedField, value: Any) -> str:
    """The same without its unit, whatever units are shown: for a table, whose heading has the unit."""
    if not isinstance(value, list | tuple):
        return _one_text(field, value)
    between = "x" if field.unit == "m" else ", "
    return between.join(_one_text(field, part) for part in value)


def with_file_unit(field: NamedField, typed: str) -> str:
    """A quantity of such a table as a person would type it: with its unit behind it, where a bare number has another."""
    unit = measure_of(field)
    bare = unit and typed_quantities(typed, unit) is not None and not has_unit(typed, unit)
    return f"{typed} {file_unit(field)}" if bare else typed


def file_unit(field: NamedField) -> str:
    """The unit that the file has a field in."""
    return field.unit.partition(" [")[0]


def _one_text(field: NamedField, value: Any) -> str:
    if field.unit in _STAGE_UNITS and isinstance(value, str):
        return stage_text(value)
    write = next((text for kinds, text in _TEXTS if isinstance(value, kinds)), str)
    return write(value)


def converted_text(field: NamedField, typed: str, value: Any) -> str:
    """ "5x2 ft is 1.524x0.6096 m": a quantity typed in other units than the file's, or where US units are shown; "" for any other."""
    unit = measure_of(field)
    values = typed_quantities(typed, unit) if unit else None
    if values is None or value is None:
        return ""
    in_file = f"{text_in_file_unit(field, value)} {file_unit(field)}"
    words = typed.strip()
    whole = words if has_unit(words, unit) else f"{words} {unit_shown(unit)}"
    return "" if whole.replace(" ", "") == in_file.replace(" ", "") else f"{whole} is {in_file}"


def shown_text(field: NamedField, value: Any) -> str:
    """A measured value or a time as it is shown: "4.92x1.97 ft", "7:30 pm"; "" for any other, or where it is as in the file."""
    if field.read is clock_time and value is not None:
        return clock(clock_time(value)) if by_12_hours() else ""
    unit = measure_of(field)
    if not unit or not is_us() or value is None:
        return ""
    between = "x" if field.unit == "m" else ", "
    parts = value if isinstance(value, list | tuple) else [value]
    return f"{between.join(figure(part, unit) for part in parts)} {unit_shown(unit)}"


_TEXTS: tuple[tuple[type, Callable[[Any], str]], ...] = (
    (type(None), lambda _: ""),
    (bool, yes_no_text),
    (date, year_day_text),
    (time, lambda value: f"{value:%H:%M}"),
    (float, lambda value: f"{value:.10g}"),
)


def is_same(field: NamedField, one: Any, other: Any) -> bool:
    """Whether two values of the file come to the same: 16 and 16.0, "14:10" and "14h10"; None for none."""
    if one is None or other is None:
        return one is other
    try:
        return bool(field.read(one) == field.read(other))
    except Unreadable:
        return False


def allowed_words(field: NamedField, season: Season) -> tuple[str, ...]:
    """The words that complete a value of the field: those it takes, or the names in the season; () for any other."""
    if field.unit in _NAMES:
        return tuple(name for kind in _NAMES[field.unit][1] for name in of_kind(season, kind))
    if field.unit == BEGIN_UNIT:
        return STAY_STAGES
    return (YES, NO) if field.read is yes_no else _words_allowed(field)


def _words_allowed(field: NamedField) -> tuple[str, ...]:
    """The words that a field takes, as they are typed: "lights off" of a stage."""
    words = field.words_allowed
    return tuple(map(stage_text, words)) if field.unit in _STAGE_UNITS else words
