"""The cells of weather files: temperatures, marks for what was not measured, and units in headings."""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Callable, Collection, Mapping

# How files mark that nothing was measured: in words, and as numbers that no day has. -99 F is taken as one too: it was
# never measured where a crop grows. Common practice, no source.
MISSING_WORDS = frozenset(("", "-", "--", "---", "m", "t", "na", "n/a", "nan", "null", "none", "missing"))
MISSING_NUMBERS = frozenset(
    {-99.0, -99.9, -99.99}
    | {sign * nines for sign in (-1, 1) for nines in (999.0, 999.9, 9999.0, 9999.9, 99999.0)}
)
UNITS: Mapping[str, str] = {"C": "degrees Celsius", "F": "degrees Fahrenheit"}
TO_CELSIUS: Mapping[str, Callable[[float], float]] = {
    "C": lambda degrees: degrees,
    "F": lambda degrees: (degrees - 32) / 1.8,
}
# The lowest and highest air temperature known are -89.2 and 56.7 degrees C (WMO, as pages of records quote it); with room at both ends.
LEAST_C, MOST_C = -90.0, 60.0
_DECIMAL_COMMA = re.compile(r"[+-]?\d*,\d+")
_UNIT_AT_END = re.compile(
    r"[\s(\[_,]+(?:â?[°º]|deg(?:rees?)?\.?)?[\s_]*(c|f|celsius|fahrenheit)\s*[)\]]*$", re.IGNORECASE
)
# What loggers write behind a unit: which logger and sensor it is.
_SERIAL = re.compile(r"\s*(?:\((?:LGR|SEN)\b[^)]*\)|#\s*\d+)$", re.IGNORECASE)
_OF_NAMES = {"tmpf": "F", "tmpc": "C"}


def degrees_of(cell: str, missing: Collection[float] = MISSING_NUMBERS) -> float:
    """The number in a cell, with a decimal point or comma; nan for a mark that nothing was measured.

    Raises ValueError for anything else.
    """
    text = cell.strip()
    if text.casefold() in MISSING_WORDS:
        return math.nan
    value = float(text.replace(",", ".") if _DECIMAL_COMMA.fullmatch(text) else text)
    if math.isinf(value):
        raise ValueError(text)
    return math.nan if value in missing else value


def unit_in(heading: str) -> str:
    """ "C" or "F" where a heading ends in a unit, as in "tmax (deg c)", "max_temp_f" and "Temp, °C"; else ""."""
    bare = _SERIAL.sub("", heading.strip())
    found = _UNIT_AT_END.search(bare)
    return found[1][0].upper() if found else _OF_NAMES.get(bare.casefold(), "")


def plain_heading(heading: str) -> str:
    """A heading in small letters without its unit, accents and signs: "T mín. [°C]" is "t min"."""
    bare = _UNIT_AT_END.sub("", _SERIAL.sub("", heading.strip().strip('"')))
    bare = re.sub(r"[(\[].*?[)\]]", " ", bare)
    letters = unicodedata.normalize("NFKD", bare.casefold())
    return " ".join(re.sub(r"[^a-z0-9]+", " ", letters.encode("ascii", "ignore").decode()).split())
