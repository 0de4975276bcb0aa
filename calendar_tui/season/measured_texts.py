"""Figures as laboratories write them, read exactly or refused: decimal marks, what is below a limit, uncertainty, dates."""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from calendar_tui.nature.legal_limits import ABSOLUTE, RELATIVE, Uncertainty
from calendar_tui.nature.measured import Interval, in_percent
from calendar_tui.season.analyte_names import folded, unit_named
from calendar_tui.season.readers import FIRST_DATE, LAST_DATE, Unreadable, shown
from calendar_tui.season.typed_dates import DAY_FIRST, MONTH_FIRST
from calendar_tui.season.wording import MONTHS, year_day_text

POINT, COMMA = DECIMAL_MARKS = (".", ",")
VALUE, BELOW, NOT_TESTED = STATES = ("value", "below", "not tested")
# What "-" stands for, which differs by laboratory.
DASH_NOT_TESTED, DASH_NOT_DETECTED = DASHES = ("not tested", "not detected")

_FIGURE = re.compile(r"\d+(?:\.\d+)?(?:e[+-]?\d\d?)?|\.\d+", re.ASCII)
_AMOUNT = re.compile(r"([\d.,]+(?:e[+-]?\d+)?)\s*(\D*)", re.ASCII | re.IGNORECASE)
_BELOW_FIGURE = re.compile(r"[<≤]\s*([\d.,].*)")
_NOT_TESTED_WORDS = {"", "na", "nt", "nottested", "notanalysed", "notanalyzed", "notreported"}
_NOT_DETECTED_WORDS = {"nd", "notdetected", "nondetect", "lod", "blod", "belowlod"}
_NOT_QUANTIFIED_WORDS = {"loq", "bloq", "belowloq", "nq"}
_BELOW_WORDS = _NOT_DETECTED_WORDS | _NOT_QUANTIFIED_WORDS
_DASHES = {"-", "–", "—", "--"}


class NoLimit(Unreadable):
    """A result is below a limit, and which is not known."""


class Measured(NamedTuple):
    """text: as it was written, kept for ever; state: one of STATES; percent: % as an interval.

    None where nothing was tested, or where a result is below a limit that is not known.
    """

    text: str
    state: str
    percent: Interval | None


class Limits(NamedTuple):
    """Of detection and of quantification, %; None where the file has none."""

    lod: Decimal | None = None
    loq: Decimal | None = None


NO_LIMITS = Limits()


def exact_figure(text: str, mark: str) -> Decimal:
    """A figure whose decimal mark is known. mark: one of DECIMAL_MARKS, "" where it is not. Raises Unreadable.

    No thousands marks are read: 1.234 with a decimal comma may be either.
    """
    plain = text.strip()
    if re.match(r"[-−]\s*[\d.,]", plain, re.ASCII):
        raise Unreadable(f"is {shown(text)}, under 0; an amount is 0 or more")
    points, commas = plain.count("."), plain.count(",")
    if points and commas:
        raise Unreadable(f"is {shown(text)}, with a point and a comma; write it without thousands marks")
    if not mark and points + commas:
        raise Unreadable(
            f"is {shown(text)}, and whether this file has a decimal point or a comma is not set; set the decimal mark"
        )
    if (mark == POINT and commas) or (mark == COMMA and points):
        here, other = ("point", "comma") if mark == POINT else ("comma", "point")
        raise Unreadable(
            f"is {shown(text)}, a {other} in a file with decimal {here}; it may be a decimal or a thousands mark: write it "
            f"with a {here}, or set the decimal mark of the file"
        )
    plain = plain.replace(",", ".").casefold()
    if not _FIGURE.fullmatch(plain):
        raise Unreadable(
            f'is {shown(text)}; write a figure, "<" and a figure, ND, <LOQ, or nothing if it was not tested'
        )
    return Decimal(plain)


def amount_in_percent(text: str, unit: str, mark: str) -> Decimal:
    """An amount in %, in its own unit where one stands behind it, else in that of its column. Raises Unreadable."""
    parts = _AMOUNT.fullmatch(text.strip())
    behind = parts[2].strip() if parts else ""
    own = unit_named(behind) if behind else ""
    if parts is None or (behind and not own):
        exact_figure(text, mark)  # a negative one, or words
    if own and unit and own != unit:
        raise Unreadable(f"is {shown(text)} in a column of {unit}; write one unit")
    if not (own or unit):
        raise Unreadable(f"is {shown(text)} without a unit; set the unit of the column: %, mg/g, g/kg or ppm")
    figure = exact_figure(parts[1] if parts else text, mark)
    try:
        return in_percent(figure, own or unit)
    except ValueError as error:
        raise Unreadable(f"is {shown(text)}: {error}") from None


def is_below(text: str) -> bool:
    """Whether a text without a unit, its decimal mark a point, is what lies below a limit: "<0.02", "<LOQ", "n.d."."""
    if below := _BELOW_FIGURE.fullmatch(text.strip()):
        try:
            exact_figure(below[1], POINT)
        except Unreadable:
            return False
        return True
    return folded(text) in _BELOW_WORDS


def read_measured(text: str, unit: str, mark: str, limits: Limits = NO_LIMITS, dash: str = "") -> Measured:
    """A result as it is written. unit: of its column, "" for none; dash: what "-" stands for, one of DASHES, "" if not set.

    What is below a limit is an interval from 0 up to it. Raises Unreadable.
    """
    plain = text.strip()
    word = folded(plain)
    if plain in _DASHES:
        if not dash:
            raise Unreadable(
                'is "-", which may be not tested or not detected; set which it is in this laboratory\'s files'
            )
        word = "" if dash == DASH_NOT_TESTED else "nd"
    elif not word and plain:
        exact_figure(plain, mark)
    if below := _BELOW_FIGURE.fullmatch(plain):
        return Measured(text, BELOW, Interval.below(amount_in_percent(below[1], unit, mark)))
    if plain.startswith((">", "≥")):
        raise Unreadable(f"is {shown(text)}, over what the method measures; ask the laboratory for a figure")
    if word in _NOT_TESTED_WORDS:
        return Measured(text, NOT_TESTED, None)
    if word in _BELOW_WORDS:
        return Measured(text, BELOW, Interval.below(_limit(text, word, limits)))
    return Measured(text, VALUE, Interval.exactly(amount_in_percent(plain, unit, mark)))


def _limit(text: str, word: str, limits: Limits) -> Decimal:
    """The limit that a result is below: of detection where nothing was seen, if there is one, else of quantification."""
    detected = limits.lod if word in _NOT_DETECTED_WORDS else None
    limit = limits.loq if detected is None else detected
    if limit is None:
        what = "detection" if word in _NOT_DETECTED_WORDS else "quantification"
        raise NoLimit(
            f"is {shown(text)}, below a limit of {what} that the file does not give; it is not zero: enter the limit"
        )
    return limit


_KIND_WORDS = {
    "abs": ABSOLUTE,
    "absolute": ABSOLUTE,
    "percentagepoints": ABSOLUTE,
    "pp": ABSOLUTE,
    "rel": RELATIVE,
    "relative": RELATIVE,
    "ofresult": RELATIVE,
    "oftheresult": RELATIVE,
}
# The coverage factor for which an uncertainty is expanded, about 95 %; a rule takes what the report gives with it.
_COVERAGE = re.compile(r"\s*[(,;]?\s*k\s*=\s*([\d.,]+)\s*\)?$", re.ASCII | re.IGNORECASE)
_UNCERTAINTY = re.compile(r"(±|\+/?-|)\s*([\d.,]+)\s*(.*)", re.ASCII)


def read_uncertainty(text: str, unit: str, mark: str, kind: str = "") -> Uncertainty:
    """The uncertainty of a result as it is written: "0.06 abs", "10 % rel", "±0.06", "0.3 mg/g".

    unit: of the result; kind: ABSOLUTE or RELATIVE where that is set for the column, "" if not. A figure alone, and one in %, may be
    either and is refused with both readings; behind ± a figure alone is in the unit of the result. With
    "k = 2" behind it or nothing, for another k is refused. Raises Unreadable.
    """
    coverage = _COVERAGE.search(text)
    if coverage and coverage[1] != "2":
        raise Unreadable(f"is {shown(text)}; write the expanded uncertainty, with k = 2")
    parts = _UNCERTAINTY.fullmatch(_COVERAGE.sub("", text).strip())
    if parts is None:
        raise Unreadable(f'is {shown(text)}; write an uncertainty such as "0.06 abs" or "10 % rel"')
    sign, figure, behind = parts.groups()
    own, word = _unit_and_kind(behind, text)
    meant = word or kind or _kind_of(bool(sign), own)
    if not meant:
        raise Unreadable(
            f"is {shown(text)}, which may be {figure} % of the result or {figure} {own or unit or '%'} more and less; write "
            f'"{figure} % rel" or "{figure} abs"'
        )
    try:
        if meant == RELATIVE:
            return Uncertainty(exact_figure(figure, mark), RELATIVE)
        return Uncertainty(amount_in_percent(figure, own or unit, mark), ABSOLUTE)
    except ValueError as error:
        raise Unreadable(
            str(error) if isinstance(error, Unreadable) else f"is {shown(text)}: {error}"
        ) from None


def _kind_of(has_sign: bool, own_unit: str) -> str:
    """The kind that goes without saying, or ""."""
    if own_unit and own_unit != "%":
        return ABSOLUTE
    return ABSOLUTE if has_sign and not own_unit else ""


def _unit_and_kind(behind: str, text: str) -> tuple[str, str]:
    words = behind.strip(" ()")
    unit = unit_named(words)
    if unit or not words:
        return unit, ""
    first, _, rest = words.partition(" ")
    unit, rest = (unit_named(first), rest) if unit_named(first) else ("", words)
    kind = _KIND_WORDS.get(folded(rest), "")
    if not kind or (kind == RELATIVE and unit not in ("", "%")):
        raise Unreadable(f'is {shown(text)}; write an uncertainty such as "0.06 abs" or "10 % rel"')
    return unit, kind


_ISO = re.compile(r"(\d{4})-(\d\d?)-(\d\d?)(?:[T ].*)?", re.ASCII)
_NUMBERS = re.compile(r"(\d\d?)([/.-])(\d\d?)\2(\d{4})(?: .*)?", re.ASCII)
_NAMED = re.compile(r"(\d\d?)[ -]([A-Za-z]{3})[a-z]*[ -](\d{4})", re.ASCII)
_MONTH_NAMED = re.compile(r"([A-Za-z]{3})[a-z]*\.? (\d\d?),? (\d{4})", re.ASCII)


def read_file_date(text: str, order: str = "") -> date:
    """A date of a laboratory's file. order: DAY_FIRST or MONTH_FIRST, "" where it is not set.

    Numbers that may be two days are refused unless the order is set; with dots the day is first. Raises Unreadable.
    """
    days = _readings(text.strip())
    fitting = (day for read_as, day in days.items() if not order or read_as in ("", order))
    possible = list(dict.fromkeys(day for day in fitting if day is not None))
    if len(possible) > 1:
        either = " or ".join(map(year_day_text, possible))
        raise Unreadable(
            f"is {shown(text)}, which may be {either}; set whether the day or the month is first"
        )
    if not possible or not FIRST_DATE <= possible[0] <= LAST_DATE:
        against = f" with the {order.partition('-')[0]} first" if order and any(days.values()) else ""
        raise Unreadable(
            f"is {shown(text)}, no date{against}; write it such as 2026-09-01, the year in four digits"
        )
    return possible[0]


def _readings(text: str) -> dict[str, date | None]:
    """The dates that a text may be, by the order of day and month; "" where there is only one."""
    if iso := _ISO.fullmatch(text):
        return {"": _day(int(iso[1]), int(iso[2]), int(iso[3]))}
    if named := _NAMED.fullmatch(text):
        return {"": _day(int(named[3]), _month(named[2]), int(named[1]))}
    if named := _MONTH_NAMED.fullmatch(text):
        return {"": _day(int(named[3]), _month(named[1]), int(named[2]))}
    numbers = _NUMBERS.fullmatch(text)
    if numbers is None:
        return {}
    one, other, year = int(numbers[1]), int(numbers[3]), int(numbers[4])
    if numbers[2] == ".":
        return {"": _day(year, other, one)}
    return {DAY_FIRST: _day(year, other, one), MONTH_FIRST: _day(year, one, other)}


def _month(name: str) -> int:
    capital = name.capitalize()
    return MONTHS.index(capital) + 1 if capital in MONTHS else 0


def _day(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None
