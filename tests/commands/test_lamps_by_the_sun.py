"""The `lamps` command's own rows against an independent sun and published lamp hours."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from lit_house import instant, one, rows_of_year, year_sum

from tests.skyfield_sun import mean_noon, pair_round

RALEIGH = (35.8, -78.7, "America/New_York")
SITES = [
    RALEIGH,
    (25.5, -80.5, "America/New_York"),
    # Far from Greenwich: both sides of the date line, and a zone that has the other side's date.
    (-36.8, 174.8, "Pacific/Auckland"),
    (-18.1, 178.4, "Pacific/Fiji"),
    (51.9, -176.6, "America/Adak"),
    (1.87, -157.4, "Pacific/Kiritimati"),
]
DAYS = [date(2026, 1, 5) + timedelta(days=29 * n) for n in range(12)]
# Timers are set to the minute, on rounded earlier and off later; and the two suns differ by up to 6 s.
MINUTE_S = 66.0


@pytest.mark.quick(3)
@pytest.mark.parametrize("site", SITES)
def test_lamps_after_sunset_switch_on_at_skyfields_sunset(
    tmp_path: Path, site: tuple[float, float, str]
) -> None:
    """Skyfield 1.55 with DE421, run here, once in each month of 2026."""
    latitude, longitude, zone = site
    rows = rows_of_year(tmp_path, site, 'target_h = 20.0, side = "after sunset"')
    for day in DAYS:
        _, sets = pair_round(latitude, longitude, -0.8333, mean_noon(longitude, day, ZoneInfo(zone)))
        on = instant(day, one(rows, day)["on"], zone)
        assert -6 <= (sets - on).total_seconds() < MINUTE_S, day


@pytest.mark.quick(3)
@pytest.mark.parametrize("site", SITES)
def test_lamps_before_sunrise_switch_off_at_skyfields_sunrise(
    tmp_path: Path, site: tuple[float, float, str]
) -> None:
    """Skyfield 1.55 with DE421, run here: the morning after the evening that names the night."""
    latitude, longitude, zone = site
    rows = rows_of_year(tmp_path, site, 'target_h = 20.0, side = "before sunrise"')
    for day in DAYS:
        morning = day + timedelta(days=1)
        rise, _ = pair_round(latitude, longitude, -0.8333, mean_noon(longitude, morning, ZoneInfo(zone)))
        off = instant(morning, one(rows, day)["off"], zone)
        assert -6 <= (off - rise).total_seconds() < MINUTE_S, day


def test_where_the_day_is_civil_twilight_lamps_switch_on_at_skyfields_dusk(tmp_path: Path) -> None:
    latitude, longitude, zone = RALEIGH
    rows = rows_of_year(tmp_path, RALEIGH, "target_h = 20.0", day="civil-twilight")
    for day in DAYS:
        _, dusk = pair_round(latitude, longitude, -6.0, mean_noon(longitude, day, ZoneInfo(zone)))
        assert -6 <= (dusk - instant(day, one(rows, day)["on"], zone)).total_seconds() < MINUTE_S, day


def test_a_day_from_7_to_18_with_lamps_to_15_hours_burns_them_from_18_to_22(tmp_path: Path) -> None:
    """Runkle, Michigan State University (read): sunrise 07:00, sunset 18:00, lamps 18:00-22:00 give 15 h.

    36 N, 4 W on 18 February 2026, in UTC, is such a day: sunrise 07:00, sunset 18:00 to the minute.
    """
    row = one(rows_of_year(tmp_path, (36.0, -4.0, "UTC"), "target_h = 15.0, kw = 2.0"), date(2026, 2, 18))
    day = date(2026, 2, 18)
    for key, clock in (("on", "18:00"), ("off", "22:00")):
        gap = instant(day, row[key], "UTC") - instant(day, clock, "UTC")
        assert abs(gap) <= timedelta(minutes=2), row
    assert row["lamp_h"] == pytest.approx(4, abs=3 / 60)
    assert row["dark_span_h"] == pytest.approx(9, abs=2 / 60)
    assert row["kwh"] == pytest.approx(2.0 * row["lamp_h"], abs=1e-3)  # kWh = kW x hours


@pytest.mark.parametrize(
    ("latitude", "target_h", "hours"),
    [(28, 16, 1400.9), (36, 16, 1391.8), (40, 16, 1385.9), (45, 16, 1376.8), (36, 18, 2121.8)],
)
def test_a_years_rows_sum_to_the_hours_that_extend_every_day(
    tmp_path: Path, latitude: float, target_h: float, hours: float
) -> None:
    """Computed from sunrise-sunset of 2026. Rounding a run to whole minutes adds up to 2 of them a night, 1 on average."""
    rows = rows_of_year(tmp_path, (latitude, 0.0, "UTC"), f"target_h = {target_h}, kw = 0.9")
    assert len(rows) == 365
    assert hours + 365 * 0.8 / 60 < year_sum(rows, "lamp_h") < hours + 365 * 1.2 / 60
    assert year_sum(rows, "kwh") == pytest.approx(0.9 * year_sum(rows, "lamp_h"), abs=0.1)
