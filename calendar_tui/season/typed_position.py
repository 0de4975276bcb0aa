"""A position as a GPS or a map shows it: 44.5 N, 123W, 44° 30' 12" N, -123, or both at once: 44.5, -123.2."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from calendar_tui.season.readers import shown

LATITUDE, LONGITUDE = "latitude", "longitude"
# By key: the letters of its hemispheres, positive and negative, and what would be right.
_HEMISPHERES: Mapping[str, tuple[str, str, str]] = {
    LATITUDE: ("N", "S", "write degrees, north positive, such as -34.3 or 34.3 S"),
    LONGITUDE: ("E", "W", "write degrees, east positive, such as -56.7 or 56.7 W"),
}
_LETTERS = {letter: key for key, (*letters, _) in _HEMISPHERES.items() for letter in letters}
# Signs that phones, maps and word processors write, as the plain ones.
_PLAIN_SIGNS = str.maketrans(
    {"−": "-", "º": "°", "˚": "°", "′": "'", "’": "'", "″": '"', "”": '"', "\u00a0": " "}
)
_NUMBER = r"\d+(?:[.,]\d+)?"
_DEGREES = re.compile(
    r"(?P<before>[NSEW])? ?(?P<sign>[-+]?) ?"
    rf"(?P<degrees>{_NUMBER}) ?(?P<mark>°?) ?(?:(?P<minutes>{_NUMBER}) ?'? ?(?:(?P<seconds>{_NUMBER}) ?(?:\"|''|) ?)?)?"
    r"(?P<behind>[NSEW])?",
    re.ASCII | re.IGNORECASE,
)
# Between two coordinates: a comma, a semicolon, a slash or a blank; or nothing, beside a letter.
_BETWEEN = re.compile(r" ?[,;/] ?| |(?<=[NSEWnsew])|(?=[NSEWnsew])")
_BOTH = "write both, such as 44.5 N, 123.2 W or 44.5, -123.2"


class Coordinate(NamedTuple):
    """degrees: signed. key: latitude or longitude where a letter tells, else "". marked: whether a letter or the sign for
    degrees stands there, without which `44 30` may be two coordinates.
    """

    degrees: float
    key: str
    marked: bool
    parts: int


def degrees(typed: str, key: str) -> float:
    """Degrees of a latitude or longitude as people write them: -34.3, 44.5 N, 123W, 44 30 N, 44° 30' 12" N.

    key: latitude or longitude. Raises ValueError.
    """
    right = _HEMISPHERES[key][2]
    coordinate = _coordinate(_plain(typed))
    if coordinate is None:
        raise ValueError(
            f"{shown(typed)} is not {key}: {right}" if _has_number(typed) else _no_number(typed, right)
        )
    if coordinate.key not in (key, ""):
        raise ValueError(f"{shown(typed)} is not {key}: {right}")
    return coordinate.degrees


def position(typed: str) -> tuple[float, float | None]:
    """The latitude and longitude typed, in degrees; the longitude is None where the latitude stands alone.

    Raises ValueError where it is no position, and where it may be two: `44 30` is 44 degrees 30 minutes, or 44 N 30 E.
    """
    plain = _plain(typed)
    readings = list(dict.fromkeys(_readings(plain)))
    if len(readings) == 1:
        return readings[0]
    if len(readings) > 1:
        texts = " or ".join(dict.fromkeys(position_text(*reading) for reading in readings))
        raise ValueError(f"position {shown(typed)} may be {texts}; write it with letters, as there")
    alone = _coordinate(plain)
    if alone is not None and alone.key == LONGITUDE:
        raise ValueError(f"position {shown(typed)} is a longitude alone; {_BOTH}")
    if not _has_number(typed):
        raise ValueError(f"position {_no_number(typed, _BOTH)}")
    raise ValueError(f"position {shown(typed)} is not one; {_BOTH}")


def position_text(latitude: float, longitude: float | None) -> str:
    """ "44.5 N 123.2 W"; the latitude alone where there is no longitude."""
    pairs = [(LATITUDE, latitude)] + ([] if longitude is None else [(LONGITUDE, longitude)])
    return " ".join(f"{_short(abs(n))} {_HEMISPHERES[key][n < 0]}" for key, n in pairs)


def latitude_text(latitude: float) -> str:
    """ "44.5 N"."""
    return position_text(latitude, None)


def _short(number: float) -> str:
    """At most four places behind the point, which is some ten metres."""
    return f"{number:.4f}".rstrip("0").rstrip(".")


def _readings(plain: str) -> Iterator[tuple[float, float | None]]:
    """Every way to read a text: as a latitude, or parted into two coordinates."""
    alone = _coordinate(plain)
    if alone is not None and alone.key != LONGITUDE:
        yield alone.degrees, None
    for gap in _BETWEEN.finditer(plain):
        one, other = _coordinate(plain[: gap.start()]), _coordinate(plain[gap.end() :])
        if one is None or other is None or not all(c.marked or c.parts == 1 for c in (one, other)):
            continue
        if (one.key, other.key) == (LONGITUDE, LATITUDE):
            one, other = other, one
        if one.key in (LATITUDE, "") and other.key in (LONGITUDE, ""):
            yield one.degrees, other.degrees


def _plain(typed: str) -> str:
    return " ".join(typed.translate(_PLAIN_SIGNS).split())


def _coordinate(plain: str) -> Coordinate | None:
    """The one coordinate that a text is; None where it is none: of two letters, of a letter and a sign, of 60 minutes."""
    match = _DEGREES.fullmatch(plain)
    if match is None:
        return None
    letters = [letter.upper() for letter in (match["before"], match["behind"]) if letter]
    sizes = [
        float(match[part].replace(",", ".")) for part in ("degrees", "minutes", "seconds") if match[part]
    ]
    whole = all(size == int(size) for size in sizes[:-1])
    if len(letters) > 1 or (letters and match["sign"]) or not whole or any(size >= 60 for size in sizes[1:]):
        return None
    size = sum(part / 60**n for n, part in enumerate(sizes))
    key = _LETTERS[letters[0]] if letters else ""
    negative = match["sign"] == "-" or (bool(letters) and letters[0] == _HEMISPHERES[key][1])
    return Coordinate(-size if negative else size, key, bool(letters or match["mark"]), len(sizes))


def _has_number(typed: str) -> bool:
    return any(letter.isdigit() for letter in typed)


def _no_number(typed: str, right: str) -> str:
    return f"{shown(typed)} is not a number; {right}"
