"""The forms in which daily and hourly temperatures are handed out, a row each; one reader reads them all.

A form is known by the headings of its columns, and by a line above them or the beginning of its first line where it has
no headings. Headings are compared in small letters, without accents, signs and units. Sources stand beside the rows.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from calendar_tui.season.field import HEADING_ROLES
from calendar_tui.season.weather_files.cells import MISSING_NUMBERS, plain_heading

DATE, TIME, LOW, HIGH, TEMPERATURE, STATION = HEADING_ROLES
DAILY, HOURLY = "daily-table", "hourly-table"
_TENTHS_MISSING = frozenset({-9999.0, 9999.0})


class Form(NamedTuple):
    """A form of file. Patterns are regular expressions for whole headings, as `plain_heading` makes them.

    date: those of the columns that make the date together; low, high: the day's; temperature: that of an hour, in a form that has
    no low and high, or of a row of its own; station: whose it is. marks: further headings, without which it is another form. above: words
    in a line above the headings. begins: how a file of this form begins that has no headings, which would be these.
    unit: of its temperatures; "" where the heading or a person says it. is_utc: whether its times are UTC. scale: what one of its numbers is in that unit.
    element: the column that names what a row holds, in a form with a row for each; flags: columns that are not
    empty where the value failed a check. note: what to know of its days.
    """

    name: str
    title: str
    date: tuple[str, ...] = (DATE,)
    low: str = "tmin"
    high: str = "tmax"
    temperature: str = ""
    station: str = ""
    marks: tuple[str, ...] = ()
    above: str = ""
    begins: str = ""
    headings: tuple[str, ...] = ()
    unit: str = ""
    is_utc: bool = False
    scale: float = 1.0
    missing: frozenset[float] = MISSING_NUMBERS
    element: str = ""
    flags: str = ""
    note: str = ""


_T = r"(?:air |outdoor |outside )?(?:t|temp|temperature|temperatura|temperatur)"
_MIN, _MAX = r"(?:min|minimum|minima|low|lowest)", r"(?:max|maximum|maxima|high|highest)"


def _extreme(which: str) -> str:
    """A low or a high, with or without the word temperature before or behind it."""
    return rf"(?:{_T} ?)?(?:2m )?{which}(?: {_T})?(?: air)?"


_ANY_DATE = r"(?:obs |local |observation )?(?:date|day|fecha|datum|dia|tag)(?: local)?"
_ANY_TIME = (
    r"(?:date ?time|date and time|date|time|timestamp|time stamp|fecha(?: y)? hora|fecha|datum|"
    r"datum uhrzeit|local time)(?: local)?(?: gmt.*| utc.*)?"
)
_CLOCK = r"(?:time|hour|hora|uhrzeit|zeit)(?: local)?(?: gmt.*| utc.*)?"
_SOLAR = "its days are of solar time, or of UTC where that was asked for at the download"
_ANY_STATION = r"(?:station|station id|stations id|station name|estacion|location id)"
# Where a row is of; what tells rows of several places apart that have no station.
PLACE = (r"lat(?:itude)?", r"lon(?:g|gitude)?")

# Sources, by name; what was read, and where, stands beside the samples of tests/weather. ghcn-station and ghcn-by-station: NOAA NCEI,
# GHCN-Daily, readme-by_station.txt (ID, YYYYMMDD, element, value, M-, Q- and S-flag, time of observation) and readme.txt, part III
# (tenths of a degree C, -9999, flags); the headings of the public bucket. cdo: NOAA NCEI, files of its orders (metric or standard
# units by request). power: NASA POWER, daily interface, CSV (-BEGIN HEADER-, YEAR, DOY or YEAR, MO, DY; -999; "in LST", local solar
# time). open-meteo: the service's source, CsvWriter.swift. daymet: ORNL DAAC, Daymet single pixel extraction tool (year, yday,
# tmax (deg c); years of 365 days, 31 December is left out of leap years). prism: PRISM Climate Group, Oregon State University, time
# series (a day ends at 12:00 UTC; -9999 from memory). dwd-kl, dwd-hourly: Deutscher Wetterdienst, descriptions of the data (TXK,
# TNK, TT_TU in degrees C; -999; UTC). asos-daily: Iowa Environmental Mesonet, source of /cgi-bin/request/daily.py ("typically ...
# a 24 hour period over standard time"). asos-hourly: the same, asos.py. Loggers and the two tables: common practice, headings of exports.
FORMS: Sequence[Form] = (
    Form(
        "ghcn-by-station",
        "GHCN-Daily, a row for each element",
        ("date",),
        "",
        "",
        "data value",
        station="id",
        marks=("id", "element", "q flag"),
        begins=r'"?[A-Z]{2}[A-Z0-9_\-]{9}"?,"?\d{8}"?,"?[A-Z0-9]{4}"?,"?\s*-?\d+"?,',
        headings=("id", "date", "element", "data value", "m flag", "q flag", "s flag", "obs time"),
        unit="C",
        scale=0.1,
        missing=_TENTHS_MISSING,
        element="element",
        flags="q flag",
    ),
    Form(
        "ghcn-station",
        "GHCN-Daily, a file a station",
        station="station",
        marks=("latitude", "tmax attributes", "tmin attributes"),
        above=r'"?STATION"?,"?DATE"?,"?LATITUDE',
        unit="C",
        scale=0.1,
        missing=_TENTHS_MISSING,
        flags=r"(?:tmin|tmax) attributes",
    ),
    Form(
        "cdo",
        "NOAA climate data by request",
        station="station",
        marks=("station", "name"),
        flags=r"(?:tmin|tmax) attributes",
    ),
    Form(
        "power",
        "NASA POWER, day of the year",
        ("year", "doy"),
        "t2m min",
        "t2m max",
        unit="C",
        note=_SOLAR,
    ),
    Form(
        "power-dates",
        "NASA POWER, dates",
        ("year", "mo", "dy"),
        "t2m min",
        "t2m max",
        unit="C",
        note=_SOLAR,
    ),
    Form("open-meteo", "Open-Meteo, daily", ("time",), "temperature 2m min", "temperature 2m max"),
    Form(
        "open-meteo-hourly",
        "Open-Meteo, hourly",
        ("time",),
        "",
        "",
        "temperature 2m",
        above="utc_offset_seconds",
    ),
    Form(
        "daymet",
        "Daymet",
        ("year", "yday"),
        note="its years have 365 days: 31 Dec of a leap year is not in them",
    ),
    Form(
        "prism",
        "PRISM",
        above="PRISM",
        station="name",
        note="its day ends at 12:00 UTC of its date, so in America the high is mostly of the afternoon before",
    ),
    Form(
        "dwd-kl",
        "DWD, daily KL",
        ("mess datum",),
        "tnk",
        "txk",
        station="stations id",
        unit="C",
        note="its days go from 00:00 to 24:00 UTC",
    ),
    Form(
        "dwd-hourly",
        "DWD, hourly",
        ("mess datum",),
        "",
        "",
        "tt tu",
        station="stations id",
        unit="C",
        is_utc=True,
    ),
    Form(
        "asos-daily",
        "ASOS, daily",
        ("day",),
        "min temp",
        "max temp",
        station="station",
        unit="F",
        marks=("station",),
        note="its days are of standard time, an hour later by the clock in summer",
    ),
    Form(
        "asos-hourly",
        "ASOS, hourly",
        ("valid",),
        "",
        "",
        "tmpf|tmpc",
        station="station",
        note="its times are taken for the site's clock; the service gives UTC unless its zone is asked for at the download",
    ),
    Form(DAILY, "daily table", (_ANY_DATE,), _extreme(_MIN) + "|tn|tnk", _extreme(_MAX) + "|tx|txk"),
    Form(
        HOURLY,
        "hourly table, date and time apart",
        (_ANY_DATE, _CLOCK),
        "",
        "",
        rf"{_T}(?: air| 2m)?|tmpf|tmpc|ta",
    ),
    Form(HOURLY, "hourly table", (_ANY_TIME,), "", "", rf"{_T}(?: air| 2m)?|tmpf|tmpc|ta"),
)
TITLES: Mapping[str, str] = {form.name: form.title for form in FORMS}


class Layout(NamedTuple):
    """Where the columns of a file stand, counted from 0, as its form or a person has them; None or () where there is none.

    station: what says whose a row is: a station, or a latitude and a longitude.
    """

    form: Form
    headings: tuple[str, ...]
    date: tuple[int, ...]
    low: int | None
    high: int | None
    temperature: int | None
    station: tuple[int, ...]
    element: int | None
    flags: tuple[int, ...]


def layout_of(form: Form, headings: Sequence[str], above: str) -> Layout | None:
    """Where the columns of a form stand among these headings; None where they are not those of the form.

    above: the lines above them, and they themselves.
    """
    plain = [plain_heading(heading) for heading in headings]
    if form.above and not re.search(form.above, above, re.IGNORECASE):
        return None
    date = [_where(pattern, plain) for pattern in form.date]
    low, high, temperature = (_where(p, plain) for p in (form.low, form.high, form.temperature))
    measured = [temperature] if form.temperature else [low, high]
    marks = [_where(mark, plain) for mark in form.marks]
    if None in (*date, *measured, *marks) or len({*date, *measured}) < len(date) + len(measured):
        return None
    station = _where(form.station or _ANY_STATION, plain)
    place = [n for n in (_where(pattern, plain) for pattern in PLACE) if n is not None]
    names = (station,) if station is not None else tuple(place) if len(place) == len(PLACE) else ()
    flags = (
        tuple(n for n, heading in enumerate(plain) if re.fullmatch(form.flags, heading)) if form.flags else ()
    )
    at = tuple(n for n in date if n is not None)
    element = _where(form.element, plain)
    return Layout(form, tuple(headings), at, low, high, temperature, names, element, flags)


def layout_said(roles: Mapping[str, str], headings: Sequence[str]) -> Layout | None:
    """Where the columns stand that a person has given roles by their headings; None where not enough of them are there."""
    at = {role: n for n, heading in enumerate(headings) if (role := roles.get(heading.strip().strip('"')))}
    hourly = TEMPERATURE in at
    if (DATE not in at and TIME not in at) or not (hourly or {LOW, HIGH} <= at.keys()):
        return None
    form = next(one for one in FORMS if one.name == (HOURLY if hourly else DAILY))
    date = tuple(at[role] for role in (DATE, TIME) if role in at)
    station = (at[STATION],) if STATION in at else ()
    low, high = (None, None) if hourly else (at[LOW], at[HIGH])
    return Layout(form, tuple(headings), date, low, high, at.get(TEMPERATURE), station, None, ())


def _where(pattern: str, plain: Sequence[str]) -> int | None:
    """The first column whose heading the pattern fits."""
    if not pattern:
        return None
    return next((n for n, heading in enumerate(plain) if re.fullmatch(pattern, heading)), None)
