"""Quantities as a person reads and types them, metric or in US units; files are metric always.

Factors are exact: NIST SP 811 (2008), appendix B.8, and NIST Handbook 44, appendix C, with the international foot (0.3048 m) and
the acre of 43,560 square feet of it (in SP 811 it is of the survey foot, and 4 millionths larger); those of F, the gallon and the cubic
foot follow from their definitions there. Their tables could not be opened to read: tests/season/test_measures.py has what was.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

from calendar_tui.season.units_in_use import is_us
from calendar_tui.season.wording import number_text

Write = Callable[[float], str]
_FOOT_M, _POUND_KG, _GALLON_L = 0.3048, 0.45359237, 3.785411784
ACRE_M2 = 43_560 * _FOOT_M**2  # 4046.8564224
# Areas from a quarter of an acre on are told in acres.
_ACRES_FROM_M2 = ACRE_M2 / 4
_FREEZING_F = 32
# A figure is shown to a tenth and no finer; below this to three digits.
_FINE_BELOW = 10


class Unit(NamedTuple):
    """One of a unit in the unit of the file; zero: what it shows at the file's zero. names: how it is typed."""

    factor: float
    names: tuple[str, ...]
    zero: float = 0.0


class Measure(NamedTuple):
    """shown: the name of the US unit; units: all that are taken, by that name or the file's own."""

    shown: str
    units: Mapping[str, Unit]


_LENGTHS: Mapping[str, Unit] = {
    "m": Unit(1, ("m", "metre", "metres", "meter", "meters")),
    "cm": Unit(0.01, ("cm",)),
    "mm": Unit(0.001, ("mm",)),
    "ft": Unit(_FOOT_M, ("ft", "foot", "feet", "'")),
    "in": Unit(_FOOT_M / 12, ("in", "inch", "inches", '"', "''")),
    "yd": Unit(_FOOT_M * 3, ("yd", "yard", "yards")),
}
_AREAS: Mapping[str, Unit] = {
    "m2": Unit(1, ("m2", "m²", "sqm")),
    "ha": Unit(10_000, ("ha",)),
    "sq ft": Unit(_FOOT_M**2, ("sq ft", "sqft", "ft2", "ft²")),
    "acres": Unit(ACRE_M2, ("acres", "acre", "ac")),
}
_MASSES: Mapping[str, Unit] = {
    "kg": Unit(1, ("kg",)),
    "g": Unit(0.001, ("g",)),
    "lb": Unit(_POUND_KG, ("lb", "lbs", "pound", "pounds")),
    "oz": Unit(_POUND_KG / 16, ("oz", "ounce", "ounces")),
}


def _in(units: Mapping[str, Unit], file_unit: str) -> Mapping[str, Unit]:
    """The same units where the file has another of them."""
    one = units[file_unit].factor
    return {name: unit._replace(factor=unit.factor / one) for name, unit in units.items()}


# By the unit of the season file.
MEASURES: Mapping[str, Measure] = {
    "m": Measure("ft", _LENGTHS),
    "cm": Measure("in", _in(_LENGTHS, "cm")),
    "mm": Measure("in", _in(_LENGTHS, "mm")),
    "m2": Measure("sq ft", _AREAS),
    "kg": Measure("lb", _MASSES),
    "g": Measure("oz", _in(_MASSES, "g")),
    "L": Measure(
        "gal",
        {
            "L": Unit(1, ("L", "l", "litre", "litres", "liter", "liters")),
            "gal": Unit(_GALLON_L, ("gal", "gallon", "gallons")),
            "cu ft": Unit((10 * _FOOT_M) ** 3, ("cu ft", "cuft", "ft3")),
        },
    ),
    "C": Measure("F", {"C": Unit(1, ("C", "°C")), "F": Unit(1 / 1.8, ("F", "°F"), _FREEZING_F)}),
    # How much warmer, which has no zero of its own.
    "C more": Measure("F", {"C": Unit(1, ("C", "°C")), "F": Unit(1 / 1.8, ("F", "°F"))}),
    "kg per m2": Measure(
        "lb per sq ft",
        {
            "kg per m2": Unit(1, ("kg per m2", "kg/m2")),
            "lb per sq ft": Unit(_POUND_KG / _FOOT_M**2, ("lb per sq ft", "lb/sq ft", "lb/ft2")),
        },
    ),
}


# How a unit of weight is written, the longest first.
WEIGHT_UNITS = tuple(
    sorted((name for unit in _MASSES.values() for name in unit.names), key=len, reverse=True)
)


# --- to show


def unit_shown(unit: str) -> str:
    """The name of a unit of the file as it is shown: "ft" for "m" where US units are; any other as it is."""
    return MEASURES[unit].shown if is_us() and unit in MEASURES else unit


def figure(value: float, unit: str, write: Write = number_text) -> str:
    """The number of a quantity of the file alone, in the unit that `unit_shown` names. write: how, where it is metric."""
    if not is_us() or unit not in MEASURES:
        return write(value)
    measure = MEASURES[unit]
    shown = measure.units[measure.shown]
    return _rounded(value / shown.factor + shown.zero)


def measured(value: float, unit: str, write: Write = number_text) -> str:
    """A quantity of the file with the unit it is shown in: "180 m2", "1938 sq ft", "0.44 acres". write: as for `figure`."""
    if is_us() and unit == "m2" and abs(value) >= _ACRES_FROM_M2:
        return f"{_rounded(value / ACRE_M2)} acres"
    return f"{figure(value, unit, write)} {unit_shown(unit)}"


def _rounded(number: float) -> str:
    """To a tenth, of small numbers to three digits, without zeros behind."""
    if abs(number) >= 10 * _FINE_BELOW:
        return f"{number:.0f}"
    return f"{round(number, 1):g}" if abs(number) >= _FINE_BELOW else f"{number:.3g}"


def area_text(area_m2: float) -> str:
    """ "108 m2", "0.5 m2": to a whole m2 from 100 on, to a tenth below."""
    return measured(area_m2, "m2", _whole if area_m2 >= 100 else number_text)


def degrees_apart_text(apart_c: float, write: Write = number_text) -> str:
    """A difference of temperatures: "4.2 C", "7.56 F". write: as for `figure`."""
    return f"{figure(apart_c, 'C more', write)} {unit_shown('C')}"


def degrees_range_text(low_c: float, high_c: float) -> str:
    """A low and a high: "12.1 to 27.3 C", "50 to 68 F"."""
    return f"{figure(low_c, 'C')} to {measured(high_c, 'C')}"


def as_written(value: float) -> str:
    """A number as a file has it, "0.35"."""
    return f"{value:g}"


def _whole(value: float) -> str:
    return f"{value:.0f}"


def spacing_text(rows_m: float, in_row_m: float) -> str:
    """Between rows and in the row: "1.5 m x 0.6 m"."""
    return f"{measured(rows_m, 'm', as_written)} x {measured(in_row_m, 'm', as_written)}"


def short_spacing_text(rows_m: float, in_row_m: float) -> str:
    """The same where there is little room: "1.5 x 0.6 m"."""
    return f"{figure(rows_m, 'm', as_written)} x {figure(in_row_m, 'm', as_written)} {unit_shown('m')}"


# --- as it is typed

# "2,000" is two thousand: a list has a blank behind its comma, or other than three digits.
_FIGURE = r"[+-]?(?:\d+[ -]\d+/[1-9]\d*|\d+/[1-9]\d*|\d{1,3}(?:,\d{3})+(?:\.\d+)?|\d+(?:\.\d+)?|\.\d+)"
_BETWEEN = re.compile(r"\s*(?:[x×;]|,(?!\d{3}(?!\d)))\s*")
_HALF_DAY = re.compile(r"(\d{1,2})(?:[:.h]([0-5]\d))?\s*([ap])\.?\s?m\.?", re.IGNORECASE)
# What is read is rounded to so many places: 1/32 in is 0.00079375 m.
_PLACES = 6


def typed_quantities(words: str, unit: str) -> list[float] | None:
    """The values that are typed with units, in the file's unit: "5 x 2 ft", "5 ft 6 in", "3 1/2 in", "70 F".

    What has no unit has that of the last one, or without any the one that is shown. None where it is no such quantity, and
    where it is metric without a unit, which is read like any number.
    """
    parts = _parts(words, unit)
    last = _last_unit(parts)
    if not parts or not (last or is_us()):
        return None
    measure = MEASURES[unit]
    return [round(_sum(terms, measure, last or measure.shown), _PLACES) for terms in parts]


def has_unit(words: str, unit: str) -> bool:
    """Whether a quantity is typed with a unit."""
    return bool(_last_unit(_parts(words, unit)))


# The numbers of one quantity, each with its unit, "" for none.
_Terms = list[tuple[str, str]]


def _parts(words: str, unit: str) -> list[_Terms]:
    """The quantities of which words consist; none where some of it is no quantity of this unit."""
    measure = MEASURES.get(unit)
    if measure is None:
        return []
    parts = [_terms(part, measure) for part in _BETWEEN.split(words.strip().strip("[]").strip())]
    return parts if all(parts) else []


def _last_unit(parts: Sequence[_Terms]) -> str:
    return next((terms[-1][1] for terms in reversed(parts) if terms[-1][1]), "")


def _terms(part: str, measure: Measure) -> _Terms:
    """The terms of a quantity: 5 ft 6 in has two. Without any it is no quantity."""
    names = {name.casefold(): key for key, unit in measure.units.items() for name in unit.names}
    units = "|".join(re.escape(name) for name in sorted(names, key=len, reverse=True))
    term = re.compile(rf"\s*({_FIGURE})\s*(?:({units})(?![a-z0-9²]))?", re.IGNORECASE)
    terms, at = [], 0
    while at < len(part):
        found = term.match(part, at)
        if found is None or found.end() == at:
            return []
        terms.append((found[1], names.get((found[2] or "").casefold(), "")))
        at = found.end()
        if part[at:].strip() == "":
            break
    return terms if len(terms) < 2 or all(name for _, name in terms) else []


def _sum(terms: Sequence[tuple[str, str]], measure: Measure, last: str) -> float:
    units = [measure.units[name or last] for _, name in terms]
    return sum(
        (_number(text) - unit.zero) * unit.factor for (text, _), unit in zip(terms, units, strict=True)
    )


def _number(text: str) -> float:
    """ "3 1/2", "1/2", "4.5"."""
    whole, _, part = text.replace("-", " ", 1).strip().rpartition(" ") if "/" in text else (text, "", "")
    if not part:
        return float(text.replace(",", ""))
    top, _, bottom = part.partition("/")
    return float(whole or 0) + int(top) / int(bottom)


def typed_clock(words: str) -> str:
    """ "7:30 pm" as the file has it, "19:30"; anything else as it is."""
    found = _HALF_DAY.fullmatch(words.strip())
    if found is None or not 1 <= int(found[1]) <= 12:
        return words
    hour = int(found[1]) % 12 + (12 if found[3] in "pP" else 0)
    return f"{hour:02d}:{found[2] or '00'}"
