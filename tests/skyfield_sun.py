"""An independent sun for the tests: Skyfield with the JPL ephemeris DE421 that skyfield-data carries, no download."""

from datetime import UTC, datetime, timedelta
from functools import cache
from importlib.resources import files

import pytest

pytest.importorskip("skyfield")
pytest.importorskip("skyfield_data")

from skyfield import almanac
from skyfield.api import load, load_file, wgs84


@cache
def sun_and_clock():
    """Skyfield's ephemeris and time scale, from installed packages only."""
    return load_file(str(files("skyfield_data") / "data" / "de421.bsp")), load.timescale(builtin=True)


def crossings(latitude, longitude, centre_deg, first, last):
    """Every rising, then every setting, of the sun's centre through a height (degrees, no refraction).

    first, last: the instants in UTC between which they are sought. Two lists of instants in UTC.
    """
    ephemeris, clock = sun_and_clock()
    observer = ephemeris["earth"] + wgs84.latlon(latitude, longitude)
    span = clock.from_datetimes([first, last])
    for find in (almanac.find_risings, almanac.find_settings):
        instants, crosses = find(observer, ephemeris["sun"], span[0], span[1], horizon_degrees=centre_deg)
        yield list(instants.utc_datetime()[crosses])


def pair_round(latitude, longitude, centre_deg, noon):
    """The last rising before an instant and the first setting after it."""
    day = timedelta(days=1)
    risings, settings = crossings(latitude, longitude, centre_deg, noon - day, noon + day)
    return max(rise for rise in risings if rise < noon), min(sets for sets in settings if sets > noon)


def mean_noon(longitude, day, zone):
    """Mean solar noon at a longitude on the local date `day`, as an instant in UTC."""
    midnight = datetime.combine(day, datetime.min.time(), UTC)
    noons = (midnight + timedelta(days=shift + 0.5 - longitude / 360) for shift in (-1, 0, 1))
    (noon,) = (noon for noon in noons if noon.astimezone(zone).date() == day)
    return noon
