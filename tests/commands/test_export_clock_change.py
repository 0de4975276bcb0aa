"""Lamps in a calendar file over the clock changes of 2026: on and off by the local clock, night after night.

The dates are those of the tz database: the United States on 8 March and 1 November, the European Union on 29 March and 25
October, New South Wales on 5 April and 4 October, Chile at midnight after 4 April and after 5 September.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from calendar_reading import made_at, read, where
from small_season import run

SEASON = """\
format = 3
[season]
name = "Lit"
first_day = {first}
last_day = {last}
[site]
latitude = {latitude}
longitude = {longitude}
timezone = "{zone}"
[[place]]
id = "H1"
kind = "hoop house"
lamps = {{ method = "night-break", on = "21:00", off = "03:30" }}
[[variety]]
id = "amber"
response = "short-day"
[[cohort]]
id = "A1"
variety = "amber"
start = "cutting"
place = "H1"
planned = {{ sticking = {first}, lights_on = {lights_on}, lights_off = {last} }}
"""
# Zone, latitude and longitude, the evening before the change, and the hours by which that night is shorter.
CHANGES = [
    ("America/New_York", 35.8, -78.6, date(2026, 3, 7), 1),
    ("America/New_York", 35.8, -78.6, date(2026, 10, 31), -1),
    ("Europe/Madrid", 37.4, -6.0, date(2026, 3, 28), 1),
    ("Europe/Madrid", 37.4, -6.0, date(2026, 10, 24), -1),
    ("Australia/Sydney", -33.9, 151.2, date(2026, 4, 4), -1),
    ("Australia/Sydney", -33.9, 151.2, date(2026, 10, 3), 1),
    ("America/Santiago", -33.4, -70.7, date(2026, 4, 4), -1),
    ("America/Santiago", -33.4, -70.7, date(2026, 9, 5), 1),
]


def lit(
    folder: Path, zone: str, latitude: float, longitude: float, evening: date, lights_on_d: int = -3
) -> Path:
    """A season around a change of the clock; lights_on_d: days from its evening to lights on."""
    first, last = evening - timedelta(days=3), evening + timedelta(days=60)
    path = folder / "lit.toml"
    path.write_text(
        SEASON.format(
            first=first,
            last=last,
            lights_on=evening + timedelta(days=lights_on_d),
            latitude=latitude,
            longitude=longitude,
            zone=zone,
        ),
        encoding="utf-8",
    )
    return path


@pytest.mark.quick(3)
@pytest.mark.parametrize(("zone", "latitude", "longitude", "evening", "shorter"), CHANGES)
def test_lamps_are_on_and_off_by_the_local_clock(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    zone: str,
    latitude: float,
    longitude: float,
    evening: date,
    shorter: int,
) -> None:
    made_at(monkeypatch, "2026-01-01T00:00+00:00")
    season, target = lit(tmp_path, zone, latitude, longitude, evening), tmp_path / "out.ics"
    ran = run("export", season, "--calendar", target, "--only", "lamps", "--lamp-alarm", "30")
    assert ran.status == 0, ran.said
    site = ZoneInfo(zone)
    nights = {}
    for event in where(read(target), lambda e: e["STATUS"] == "CONFIRMED"):
        on, off = event["DTSTART"].dt, event["DTEND"].dt
        assert event["DTSTART"].to_ical().endswith(b"Z"), (
            "an instant, which no reader takes for another zone's"
        )
        local_on, local_off = on.astimezone(site), off.astimezone(site)
        assert str(event["SUMMARY"]) == "Lamps H1 on 21:00 off 03:30"
        assert (f"{local_on:%H:%M}", f"{local_off:%H:%M}") == ("21:00", "03:30")
        nights[local_on.date()] = off - on
    usual = timedelta(hours=6.5)
    assert nights[evening] == usual - timedelta(hours=shorter)
    assert {span for day, span in nights.items() if day != evening} == {usual}


@pytest.mark.parametrize(("zone", "latitude", "longitude", "evening", "shorter"), CHANGES)
def test_an_alarm_on_the_evening_before_is_on_time(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    zone: str,
    latitude: float,
    longitude: float,
    evening: date,
    shorter: int,
) -> None:
    """18:00 two days before, with the change in between, counted back in real time from where the event's day begins."""
    made_at(monkeypatch, "2026-01-01T00:00+00:00")
    season, target = lit(tmp_path, zone, latitude, longitude, evening, 2), tmp_path / "out.ics"
    assert run("export", season, "--calendar", target, "--only", "dates", "--alarm", "18:00-2d").status == 0
    site, midnight = ZoneInfo(zone), datetime.min.time()
    called = {}
    for event in where(read(target), lambda e: bool(e.walk("VALARM"))):
        day, before = event["DTSTART"].dt, event.walk("VALARM")[0]["TRIGGER"].dt
        begins = datetime.combine(day, midnight, site).astimezone(UTC)
        called[day] = (begins + before).astimezone(site)
        assert f"{called[day]:%H:%M}" == "18:00"
        assert called[day].date() == day - timedelta(days=2)
    assert evening + timedelta(days=2) in called
