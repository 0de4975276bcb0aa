"""A season file of one house whose lamps a cohort asks for every night of 2026, and the rows that `lamps` tells of it."""

from __future__ import annotations

import json
from datetime import date, datetime, time
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from small_season import run

_TEXT = """\
format = 3

[season]
name = "A year of lamps"
first_day = 2026-01-01
last_day = 2027-01-31

[site]
latitude = {latitude}
longitude = {longitude}
timezone = "{zone}"
day = "{day}"

[[place]]
id = "H1"
kind = "hoop house"
lamps = {{ {lamps} }}

[[variety]]
id = "amber"
response = "short-day"

[[cohort]]
id = "A1"
variety = "amber"
start = "seed"
place = "H1"
planned = {{ seeding = 2026-01-01, lights_off = 2027-01-01 }}
"""
Rows = dict[str, list[dict[str, Any]]]


def rows_of_year(
    folder: Path, site: tuple[float, float, str], lamps: str, day: str = "sunrise-sunset"
) -> Rows:
    """The command's rows by their date ("2026-06-21"); site: latitude, longitude, zone; lamps: the keys as written."""
    latitude, longitude, zone = site
    path = folder / "year.toml"
    path.write_text(
        _TEXT.format(latitude=latitude, longitude=longitude, zone=zone, day=day, lamps=lamps),
        encoding="utf-8",
    )
    ran = run("lamps", path, "H1", "--json")
    assert ran.status == 0, ran.said
    found: Rows = {}
    for row in json.loads(ran.out):
        found.setdefault(row["date"], []).append(row)
    return found


def one(rows: Rows, day: date) -> dict[str, Any]:
    """The only row of a night."""
    (row,) = rows[day.isoformat()]
    return row


def year_sum(rows: Rows, key: str) -> float:
    return float(sum(row[key] for night in rows.values() for row in night))


def instant(day: date, text: str, zone: str) -> datetime:
    """What the local clock shows as "HH:MM" on a date."""
    return datetime.combine(day, time.fromisoformat(text), ZoneInfo(zone))
