"""Sunrise, sunset and the length of the day at a place, from the sun's declination and the equation of time.

Everything is worked out around one solar noon: the noon of the local date, held as an instant in UTC. Sunrise is
the crossing before it and sunset the crossing after it, so the two always belong together, whatever the zone, and
a clock change cannot lengthen or shorten a day.

The declination and the equation of time are astral's (`astral.sun`, after the formulas of NOAA and Meeus,
"Astronomical Algorithms", 1991). Its ready-made sunrise and sunset pair events by calendar day, which gives a
sunset before the sunrise, or an error, where the zone and the sun disagree about the date; they are not used.

Measured against Skyfield with DE421 for every day of 2028: instants within 5.3 s and lengths within 5.1 s to 60
degrees of latitude; 8.2 s and 13.7 s at 65. Civil twilight, which skims its height at 60 degrees in June: 8.3 s and
14.1 s there, 5 s to 55. Beyond 60.4, where it only just touches its height on some days, a minute and a half: the
formulas leave out the pull of the planets, some thousandths of a degree.
"""

from datetime import UTC, date, datetime, timedelta, tzinfo
from functools import lru_cache
from math import acos, cos, pi, radians, sin, sqrt, tau
from typing import NamedTuple

SUNRISE_DEG = -0.8333  # the sun's centre: 34' of refraction and 16' of half-diameter below the horizon
CIVIL_DEG = -6.0  # the sun's centre at the ends of civil twilight

_JULIAN_DAY_OF_ORDINAL_0 = 1721424.5
_JULIAN_DAY_OF_2000 = 2451545.0
_DAYS_IN_CENTURY = 36525.0
_MINUTES_IN_DAY = 1440.0
_FIRST_DAY, _LAST_DAY = date(2, 1, 1).toordinal(), date(9998, 12, 31).toordinal()
_ARC_TOLERANCE = 1e-7  # radians of hour angle, 1.4 ms
_QUICK_ROUNDS = 8  # away from the polar circles three are enough
_HALVINGS = 36  # narrows half a day to under a microsecond

_MORNING, _EVENING = -1, 1


class Daylight(NamedTuple):
    """The natural light of one local date.

    sunrise, sunset, dawn and dusk are instants in UTC to the nearest second; the lengths, in hours, are not rounded.
    dawn and dusk are those of civil twilight. An instant is None when the sun does not cross that height on its
    side of noon; on the first and last day of a polar day one of the pair may be None and the other not, and the
    length then runs to, or from, the sun's lowest point.
    """

    date: date
    sunrise: datetime | None
    sunset: datetime | None
    natural_h: float  # sunrise to sunset: 0 in polar night, 24 in polar day
    dawn: datetime | None
    dusk: datetime | None
    civil_h: float  # civil dawn to civil dusk, the same way


class _Curve(NamedTuple):
    """A quantity around noon: at + x * slope + x * x * bend, x in days from mean noon."""

    at: float
    slope: float
    bend: float


_GREATEST_DECLINATION_DEG = 23.45
# The declination at sunrise and at sunset is not quite that of noon.
_SPARE_H = 0.02


class _Noon(NamedTuple):
    """Mean solar noon of one local date, and the sun around it."""

    day: int  # ordinal of the UTC date the noon is counted from
    fraction: float  # days from 0 h UTC of that date to mean noon; may be under 0 or over 1
    declination: _Curve  # radians
    equation: _Curve  # equation of time, days: true sun ahead of the mean sun


class _Horizon(NamedTuple):
    """The height that counts as a crossing, seen from one latitude."""

    sin_latitude: float
    cos_latitude: float
    sin_centre: float


class _Crossings(NamedTuple):
    """The sun above a horizon around one noon; None where it does not cross on that side."""

    rise_x: float | None  # days from mean noon
    set_x: float | None
    length_h: float


def day_length_h(
    latitude: float, longitude: float, day: date, zone: tzinfo, centre_deg: float = SUNRISE_DEG
) -> float:
    """Hours for which the sun's centre stands above `centre_deg` around the noon of the local date `day`.

    Latitude in degrees (north positive), longitude in degrees (east positive), centre_deg in degrees of true height
    (no refraction added). 0 when the sun stays below all day, 24 when it stays above.
    ValueError for a latitude, longitude or height outside its range.
    """
    horizon = _horizon(latitude, centre_deg)
    (noon,) = _noons_between(longitude, zone, day.toordinal(), day.toordinal())
    return _crossings(noon, horizon).length_h


def daylight(latitude: float, longitude: float, zone: tzinfo, day: date) -> Daylight:
    """Sunrise, sunset, civil dawn and dusk of one local date; units and errors as in `daylights`."""
    natural, civil = _horizon(latitude, SUNRISE_DEG), _horizon(latitude, CIVIL_DEG)
    (noon,) = _noons_between(longitude, zone, day.toordinal(), day.toordinal())
    return _daylight(day, noon, natural, civil)


def longest_day_h(latitude: float, centre_deg: float = SUNRISE_DEG) -> float:
    """Hours that no day of any year is longer than at a latitude (degrees): a little over its solstice day.

    By the sun's greatest declination, 23.45 degrees; quick, and without the sun's position on any date.
    """
    side = radians(abs(latitude)), radians(_GREATEST_DECLINATION_DEG)
    reach = (sin(radians(centre_deg)) - sin(side[0]) * sin(side[1])) / (cos(side[0]) * cos(side[1]))
    return 24 * acos(max(reach, -1.0)) / pi + _SPARE_H


@lru_cache(maxsize=32)
def daylights(
    latitude: float, longitude: float, zone: tzinfo, first: date, last: date
) -> tuple[Daylight, ...]:
    """One Daylight for each local date from first to last, both included; none when last is before first.

    Latitude in degrees (north positive), longitude in degrees (east positive).
    ValueError for a latitude or longitude outside its range.
    """
    natural, civil = _horizon(latitude, SUNRISE_DEG), _horizon(latitude, CIVIL_DEG)
    noons = _noons(longitude, zone, first.toordinal(), last.toordinal())
    start = first.toordinal()
    return tuple(
        _daylight(date.fromordinal(start + index), noon, natural, civil) for index, noon in enumerate(noons)
    )


@lru_cache(maxsize=256)
def day_lengths_h(
    latitude: float, longitude: float, zone: tzinfo, first: date, last: date, centre_deg: float = SUNRISE_DEG
) -> tuple[float, ...]:
    """Hours above `centre_deg` for each local date from first to last, both included; as `day_length_h`."""
    horizon = _horizon(latitude, centre_deg)
    noons = _noons(longitude, zone, first.toordinal(), last.toordinal())
    return tuple([_crossings(noon, horizon).length_h for noon in noons])


def _daylight(day: date, noon: _Noon, natural: _Horizon, civil: _Horizon) -> Daylight:
    sun, twilight = _crossings(noon, natural), _crossings(noon, civil)
    return Daylight(
        date=day,
        sunrise=_instant(noon, sun.rise_x),
        sunset=_instant(noon, sun.set_x),
        natural_h=sun.length_h,
        dawn=_instant(noon, twilight.rise_x),
        dusk=_instant(noon, twilight.set_x),
        civil_h=twilight.length_h,
    )


def _instant(noon: _Noon, x: float | None) -> datetime | None:
    """The UTC instant x days from mean noon, to the nearest second."""
    if x is None:
        return None
    midnight = datetime.combine(date.fromordinal(noon.day), datetime.min.time(), UTC)
    return midnight + timedelta(seconds=round((noon.fraction + x) * 86400))


def _horizon(latitude: float, centre_deg: float) -> _Horizon:
    if not -90 <= latitude <= 90:
        raise ValueError(
            f"Latitude {latitude} is not on the globe: give degrees from -90 (south) to 90 (north)."
        )
    if not -90 <= centre_deg <= 90:
        raise ValueError(
            f"The sun cannot stand at {centre_deg} degrees: give a height from -90 to 90 degrees."
        )
    return _Horizon(sin(radians(latitude)), cos(radians(latitude)), sin(radians(centre_deg)))


def _noons_between(longitude: float, zone: tzinfo, first: int, last: int) -> tuple[_Noon, ...]:
    """The noons of the local dates with ordinals first to last."""
    if not -180 <= longitude <= 180:
        raise ValueError(
            f"Longitude {longitude} is not on the globe: give degrees from -180 (west) to 180 (east)."
        )
    if first < _FIRST_DAY or last > _LAST_DAY:
        raise ValueError("The sun is worked out for the years 2 to 9998: give dates inside them.")
    fraction = 0.5 - longitude / 360
    start = first - 2
    declinations, equations = _sun_by_day(fraction, start, last + 2)
    noons = []
    for day in range(first, last + 1):
        noon_day = _noon_day(day, fraction, zone)
        index = noon_day - start
        noons.append(_Noon(noon_day, fraction, _curve(declinations, index), _curve(equations, index)))
    return tuple(noons)


# A season asks for the same noons at each height of the sun. Single days are not kept: they would push these out.
_noons = lru_cache(maxsize=32)(_noons_between)


def _noon_day(day: int, fraction: float, zone: tzinfo) -> int:
    """The UTC day (ordinal) whose mean noon falls on the local date `day`.

    A zone that crossed the date line has left a date out (Apia, 30 December 2011): it takes the nearest noon.
    """
    midnight = datetime.combine(date.fromordinal(day), datetime.min.time(), UTC)
    for shift in (0, -1, 1):
        noon = midnight + timedelta(days=fraction + shift)
        if noon.astimezone(zone).toordinal() == day:
            return day + shift
    return day


def _sun_by_day(fraction: float, first: int, last: int) -> tuple[list[float], list[float]]:
    """Declination (radians) and equation of time (days) at `fraction` of each day from first to last."""
    # Not at the top: importing astral takes some 15 ms, and this week's work is read without any daylight.
    from astral.sun import eq_of_time, sun_declination

    origin = _JULIAN_DAY_OF_ORDINAL_0 + fraction - _JULIAN_DAY_OF_2000
    centuries = [(day + origin) / _DAYS_IN_CENTURY for day in range(first, last + 1)]
    declinations = [radians(sun_declination(century)) for century in centuries]
    equations = [eq_of_time(century) / _MINUTES_IN_DAY for century in centuries]
    return declinations, equations


def _curve(daily: list[float], index: int) -> _Curve:
    """The parabola through one day's value and its neighbours' (off by under 0.00001 degree or 2 ms)."""
    before, at, after = daily[index - 1 : index + 2]
    return _Curve(at, (after - before) / 2, (after + before) / 2 - at)


def _crossings(noon: _Noon, horizon: _Horizon) -> _Crossings:
    morning, evening = _arc(noon, _MORNING, horizon), _arc(noon, _EVENING, horizon)
    rise_x = _event_x(noon, _MORNING, morning)
    set_x = _event_x(noon, _EVENING, evening)
    if rise_x is None or set_x is None:
        return _Crossings(rise_x, set_x, 24 * (morning + evening) / tau)
    return _Crossings(rise_x, set_x, min(24.0, 24 * (set_x - rise_x)))


def _event_x(noon: _Noon, side: int, arc: float) -> float | None:
    """Days from mean noon to the moment the sun stands `arc` radians from the meridian; None for no crossing."""
    if not 0 < arc < pi:
        return None
    at, slope, bend = noon.equation
    turned = side * arc / tau
    x = turned - at
    return turned - (at + x * (slope + x * bend))


def _arc(noon: _Noon, side: int, horizon: _Horizon) -> float:
    """Radians the sun turns between noon and its crossing: 0 when it is below at noon, pi when above at midnight."""
    if _cos_arc(noon, side, 0, horizon) >= 1:
        return 0.0
    if _cos_arc(noon, side, pi, horizon) <= -1:
        return pi
    arc = pi / 2
    for _ in range(_QUICK_ROUNDS):
        closer = acos(max(-1.0, min(1.0, _cos_arc(noon, side, arc, horizon))))
        if abs(closer - arc) < _ARC_TOLERANCE:
            return closer
        arc = closer
    return _arc_by_halving(noon, side, horizon)


def _arc_by_halving(noon: _Noon, side: int, horizon: _Horizon) -> float:
    """The same crossing near the poles, where the day's drift rivals its turn and substitution swings."""
    above, below = 0.0, pi
    for _ in range(_HALVINGS):
        middle = (above + below) / 2
        if cos(middle) > _cos_arc(noon, side, middle, horizon):
            above = middle
        else:
            below = middle
    return (above + below) / 2


def _cos_arc(noon: _Noon, side: int, arc: float, horizon: _Horizon) -> float:
    """Cosine of the hour angle at the horizon, not clipped, with the declination `arc` radians from noon."""
    at, slope, bend = noon.declination
    x = side * arc / tau - noon.equation.at
    sin_declination = sin(at + x * (slope + x * bend))
    sin_latitude, cos_latitude, sin_centre = horizon
    return (sin_centre - sin_latitude * sin_declination) / (
        cos_latitude * sqrt(1 - sin_declination * sin_declination)
    )
