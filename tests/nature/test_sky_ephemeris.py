"""The sky against a full ephemeris, run here: Skyfield with the JPL ephemeris DE421 that skyfield-data carries.

The reference is asked for every sunrise and sunset of a leap year, in UTC, and knows nothing of local dates. The
pair that belongs to a date is the last sunrise before and the first sunset after mean noon at the place.
"""

from datetime import UTC, date, datetime, timedelta, timezone
from importlib.resources import files
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from calendar_tui.nature.sky import CIVIL_DEG, SUNRISE_DEG, day_lengths_h, daylights
from tests.skyfield_sun import crossings, sun_and_clock, wgs84

ephem = pytest.importorskip("ephem")

FIRST, LAST = date(2028, 1, 1), date(2028, 12, 31)
EPOCH = datetime(2027, 12, 25, tzinfo=UTC)
LATITUDES = [0, *(side * latitude for latitude in range(5, 70, 5) for side in (1, -1))]
LONGITUDES = [-180, -150, -120, -80, -45, 0, 30, 77, 105, 135, 165, 180]

# Coordinates of the principal places, from the tz database's zone.tab.
HARD_PLACES = [
    ("Pacific/Kiritimati", 1.87, -157.33),
    ("Pacific/Apia", -13.83, -171.73),
    ("Pacific/Honolulu", 21.31, -157.86),
    ("Asia/Kolkata", 22.53, 88.37),
    ("Asia/Kathmandu", 27.72, 85.32),
    ("America/Montevideo", -34.91, -56.21),
    ("Australia/Sydney", -33.87, 151.22),
    ("Pacific/Chatham", -43.95, -176.55),
    ("America/Denver", 39.74, -104.98),
    ("Atlantic/Reykjavik", 64.15, -21.85),
]


def seconds(instants) -> np.ndarray:
    return np.array([(instant - EPOCH).total_seconds() for instant in instants])


def reference_crossings(latitude, longitude, centre_deg):
    """Seconds since EPOCH of every rising and every setting of the sun's centre, the leap year and a bit round it."""
    span = datetime(2027, 12, 29, tzinfo=UTC), datetime(2029, 1, 4, tzinfo=UTC)
    for instants in crossings(latitude, longitude, centre_deg, *span):
        yield seconds(instants)


def mean_noons(longitude, zone):
    """Seconds since EPOCH of mean noon at the longitude, for each local date of the year."""
    instants = []
    for index in range(-1, 368):
        midnight = datetime.combine(FIRST + timedelta(index), datetime.min.time(), UTC)
        instants.append(midnight + timedelta(days=0.5 - longitude / 360))
    kept = [instant for instant in instants if FIRST <= instant.astimezone(zone).date() <= LAST]
    assert len(kept) == 366
    return seconds(kept)


def pairs_round_noon(events, noons):
    risings, settings = events
    return risings[np.searchsorted(risings, noons) - 1], settings[np.searchsorted(settings, noons)]


def check_natural(latitude, longitude, zone):
    """Every day of the year against the reference; 10 s to 60 degrees, 60 s to 65."""
    allowed = 10 if abs(latitude) <= 60 else 60
    rise, fall = pairs_round_noon(
        reference_crossings(latitude, longitude, SUNRISE_DEG), mean_noons(longitude, zone)
    )
    days = daylights(latitude, longitude, zone, FIRST, LAST)
    assert len(days) == 366
    assert all(day.natural_h > 0 and day.sunrise < day.sunset for day in days)
    lengths = np.array([day.natural_h for day in days]) * 3600
    assert np.abs(lengths - (fall - rise)).max() < allowed
    assert np.abs(seconds([day.sunrise for day in days]) - rise).max() < allowed
    assert np.abs(seconds([day.sunset for day in days]) - fall).max() < allowed


@pytest.mark.quick(1)
@pytest.mark.parametrize("latitude", LATITUDES)
def test_every_day_of_a_leap_year_all_round_the_globe_against_skyfield(latitude):
    for longitude in LONGITUDES:
        check_natural(latitude, longitude, timezone(timedelta(hours=round(longitude / 15))))


@pytest.mark.parametrize(("zone", "latitude", "longitude"), HARD_PLACES)
def test_every_day_of_a_leap_year_in_hard_zones_against_skyfield(zone, latitude, longitude):
    check_natural(latitude, longitude, ZoneInfo(zone))


@pytest.mark.quick(4)
@pytest.mark.parametrize("latitude", [n for n in LATITUDES if abs(n) <= 60])
def test_civil_twilight_every_day_against_skyfield(latitude):
    for longitude in (-150, 0, 105, 180):
        zone = timezone(timedelta(hours=round(longitude / 15)))
        dawn, dusk = pairs_round_noon(
            reference_crossings(latitude, longitude, CIVIL_DEG), mean_noons(longitude, zone)
        )
        days = daylights(latitude, longitude, zone, FIRST, LAST)
        lengths = np.array([day.civil_h for day in days]) * 3600
        assert np.abs(lengths - (dusk - dawn)).max() < 20
        assert np.abs(seconds([day.dawn for day in days]) - dawn).max() < 20
        assert np.abs(seconds([day.dusk for day in days]) - dusk).max() < 20


@pytest.mark.parametrize("latitude", [60.55, 60.6, 60.65, 61, 66, -60.6, -62])
def test_where_civil_twilight_only_touches_its_height_it_is_within_a_minute_and_a_half(latitude):
    """There a thousandth of a degree of declination is tens of seconds; up to 60 degrees it is 14 s."""
    events = np.sort(np.concatenate(list(reference_crossings(latitude, 0, CIVIL_DEG))))
    days = daylights(latitude, 0, UTC, FIRST, LAST)
    ours = seconds([at for day in days for at in (day.dawn, day.dusk) if at is not None])
    after = np.clip(np.searchsorted(events, ours), 1, len(events) - 1)
    apart = np.minimum(np.abs(events[after] - ours), np.abs(events[after - 1] - ours))
    assert apart.max() < 100
    assert np.median(apart) < 5


@pytest.mark.slow
@pytest.mark.parametrize("latitude", [67, 70, 78, -69])
def test_midnight_sun_and_polar_night_last_as_long_as_in_skyfield(latitude):
    ephemeris, clock = sun_and_clock()
    observer = ephemeris["earth"] + wgs84.latlon(latitude, 20)
    # The lowest and the highest of a day are within an hour of midnight and of noon by the sun, at 20 degrees east.
    near = 12 - 20 / 15 + np.arange(-1, 1, 0.125)
    hours = np.add.outer(np.arange(366) * 24, [*near, *near + 12])
    sun = observer.at(clock.utc(2028, 1, 1, hours.ravel())).observe(ephemeris["sun"])
    heights = sun.apparent().altaz()[0].degrees.reshape(hours.shape)
    lengths = day_lengths_h(latitude, 20, UTC, FIRST, LAST)
    assert abs(lengths.count(24.0) - int((heights.min(axis=1) > SUNRISE_DEG).sum())) <= 1
    assert abs(lengths.count(0.0) - int((heights.max(axis=1) < SUNRISE_DEG).sum())) <= 1


@pytest.mark.parametrize("latitude", [66, 70, 80, 89, 89.9, -89.5])
def test_the_sun_stands_at_its_height_at_every_instant_near_the_poles(latitude):
    ephemeris, clock = sun_and_clock()
    observer = ephemeris["earth"] + wgs84.latlon(latitude, 20)
    days = daylights(latitude, 20, UTC, FIRST, LAST)
    instants = [instant for day in days for instant in (day.sunrise, day.sunset) if instant]
    assert instants
    seen = observer.at(clock.from_datetimes(instants)).observe(ephemeris["sun"]).apparent()
    assert np.abs(seen.altaz()[0].degrees - SUNRISE_DEG).max() < 0.01


def test_every_third_day_against_pyephem():
    # A second, independent ephemeris (PyEphem's VSOP87), the sun's centre at -0:50 with no refraction.
    observer, sun = ephem.Observer(), ephem.Sun()
    observer.pressure, observer.horizon = 0, "-0:50"
    for latitude, longitude in ((0, 0), (28, -82), (-34.3, -56.7), (44, 1), (60, 25)):
        observer.lat, observer.lon = str(latitude), str(longitude)
        lengths = day_lengths_h(latitude, longitude, UTC, FIRST, LAST)
        for index in range(0, 366, 3):
            noon = datetime(2028, 1, 1, 12) + timedelta(days=index - longitude / 360)
            observer.date = noon
            risen = observer.previous_rising(sun, use_center=True)
            observer.date = noon
            length = (observer.next_setting(sun, use_center=True) - risen) * 24
            assert lengths[index] == pytest.approx(length, abs=10 / 3600), (latitude, index)


def coordinates(text: str) -> float:
    """Degrees from the +-DDMM, +-DDDMM or +-DDMMSS notation of zone.tab."""
    sign = -1 if text[0] == "-" else 1
    digits = text[1:]
    size = {4: 2, 5: 3, 6: 2, 7: 3}[len(digits)]
    parts = [int(digits[:size])] + [int(digits[at : at + 2]) for at in range(size, len(digits), 2)]
    return sign * sum(part / 60**index for index, part in enumerate(parts))


def places_of_all_zones():
    """Zone name, latitude and longitude of every zone of the tz database, at its principal place."""
    for line in (files("tzdata") / "zoneinfo" / "zone.tab").read_text().splitlines():
        if not line.startswith("#"):
            _, place, zone = line.split("\t")[:3]
            split = max(place.rfind("+"), place.rfind("-"))
            yield zone, coordinates(place[:split]), coordinates(place[split:])


@pytest.mark.slow
def test_every_zone_of_the_world_has_a_pair_for_every_third_day():
    places = list(places_of_all_zones())
    assert len(places) > 380
    for zone, latitude, longitude in places:
        for day in daylights(latitude, longitude, ZoneInfo(zone), FIRST, LAST)[::3]:
            if abs(latitude) > 65:
                assert 0 <= day.natural_h <= 24
                continue
            assert day.natural_h > 0
            assert day.sunrise < day.sunset
            noon = day.sunrise + (day.sunset - day.sunrise) / 2
            assert noon.astimezone(ZoneInfo(zone)).date() == day.date
