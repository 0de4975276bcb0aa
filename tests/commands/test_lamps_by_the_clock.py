"""The `lamps` command's own rows of a night break, by the local clock and through the clock changes of 2026.

The nights are those of the tz database (tzdata 2026); the changes of the US, the EU, Sydney and Santiago.
"""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import NamedTuple
from zoneinfo import ZoneInfo

import pytest
from lit_house import Rows, instant, one, rows_of_year, year_sum

BREAK = 'method = "night-break", on = "22:00", off = "02:00", kw = 0.5'
LUBBOCK = (33.6, -101.9, "America/Chicago")


class Change(NamedTuple):
    """A night, named by its evening, on which the clock is changed, and what a run from 22:00 to 02:00 lasts then."""

    evening: date
    hours: float
    says: str


class Year(NamedTuple):
    site: tuple[float, float, str]
    forward: Change
    back: Change


MISSING = "02:00 does not exist and is taken as 03:00"
TWICE = "02:00 comes twice and the first is taken"
YEARS = [
    # US: 8 Mar at 02:00 to 03:00; 1 Nov at 02:00 to 01:00.
    Year(LUBBOCK, Change(date(2026, 3, 7), 4, MISSING), Change(date(2026, 10, 31), 5, "")),
    # EU: 29 Mar and 25 Oct at 01:00 UTC, which is 01:00 or 02:00 in London and 02:00 or 03:00 in Berlin.
    Year((51.5, -0.1, "Europe/London"), Change(date(2026, 3, 28), 3, ""), Change(date(2026, 10, 24), 5, "")),
    Year(
        (52.5, 13.4, "Europe/Berlin"),
        Change(date(2026, 3, 28), 4, MISSING),
        Change(date(2026, 10, 24), 4, TWICE),
    ),
    # Sydney: 4 Oct at 02:00 to 03:00; 5 Apr at 03:00 to 02:00.
    Year(
        (-33.9, 151.2, "Australia/Sydney"),
        Change(date(2026, 10, 3), 4, MISSING),
        Change(date(2026, 4, 4), 4, TWICE),
    ),
    # Santiago changes at midnight: 6 Sep at 00:00 to 01:00; 5 Apr at 00:00 to 23:00 of the 4th.
    Year(
        (-33.5, -70.6, "America/Santiago"), Change(date(2026, 9, 5), 3, ""), Change(date(2026, 4, 4), 5, "")
    ),
]
by_zone = pytest.mark.parametrize("year", YEARS, ids=[y.site[2] for y in YEARS])


def nights_of_change(zone: str) -> dict[date, timedelta]:
    """The evenings of 2026 from whose noon to the next the zone's offset changes, and by how much."""
    where = ZoneInfo(zone)
    noons = [datetime.combine(date(2026, 1, 1) + timedelta(days=n), time(12), where) for n in range(366)]
    offsets = [noon.utcoffset() for noon in noons]
    return {
        noon.date(): after - before
        for noon, before, after in zip(noons, offsets, offsets[1:], strict=False)
        if before is not None and after is not None and after != before
    }


def told(rows: Rows) -> set[str]:
    return {day for day, night in rows.items() for row in night if row["note"]}


@by_zone
def test_the_tz_database_changes_the_clock_on_these_nights(year: Year) -> None:
    hour = timedelta(hours=1)
    assert nights_of_change(year.site[2]) == {year.forward.evening: hour, year.back.evening: -hour}


@by_zone
def test_rows_tell_each_change_with_the_hours_that_burn(tmp_path: Path, year: Year) -> None:
    rows = rows_of_year(tmp_path, year.site, BREAK)
    assert told(rows) == {change.evening.isoformat() for change in (year.forward, year.back)}
    for change, way in ((year.forward, "forward"), (year.back, "back")):
        row = one(rows, change.evening)
        assert row["on"] == "22:00"
        assert row["lamp_h"] == change.hours
        assert row["kwh"] == 0.5 * change.hours
        assert f"the clock goes {way} 1 h this night" in row["note"]
        # Where the hours are those of every night, nothing is said of them.
        assert (f"and the run lasts {change.hours} h 00" in row["note"]) == (change.hours != 4)
        assert ("the run lasts" in row["note"]) == (change.hours != 4)
        assert change.says in row["note"]
        assert ("does not exist" in row["note"], "comes twice" in row["note"]) == (
            change.says == MISSING,
            change.says == TWICE,
        )


@by_zone
def test_a_night_break_of_four_hours_burns_1460_a_year_and_what_the_clock_changes_add(
    tmp_path: Path, year: Year
) -> None:
    """Computed: 365 nights of 4 h. A timer that follows the clock burns an hour more or less where 22:00-02:00 holds it."""
    changed = year.forward.hours + year.back.hours - 8
    follows = rows_of_year(tmp_path, year.site, BREAK)
    stays = rows_of_year(tmp_path, year.site, f"{BREAK}, timer_follows_clock = false")
    assert year_sum(follows, "lamp_h") == 1460 + changed
    assert year_sum(stays, "lamp_h") == 1460
    assert year_sum(stays, "kwh") == 730


@by_zone
def test_a_timer_on_standard_time_is_set_an_hour_earlier_in_summer(tmp_path: Path, year: Year) -> None:
    rows = rows_of_year(tmp_path, year.site, f"{BREAK}, timer_follows_clock = false")
    where = ZoneInfo(year.site[2])
    for day in (date(2026, 1, 20), date(2026, 7, 20)):
        summer = datetime.combine(day, time(22), where).dst()
        row = one(rows, day)
        assert (row["on"], row["off"]) == ("22:00", "02:00")
        assert (row["set_on"], row["set_off"]) == (("21:00", "01:00") if summer else ("22:00", "02:00"))


def test_settings_at_the_changed_hour_of_santiago_are_told(tmp_path: Path) -> None:
    """Its clock goes back from midnight to 23:00 and forward from midnight to 01:00, so these times are its own."""
    santiago = YEARS[-1]
    late = 'method = "night-break", on = "23:30", off = "00:30"'
    rows = rows_of_year(tmp_path, santiago.site, late)
    assert "23:30 comes twice and the first is taken" in one(rows, santiago.back.evening)["note"]
    assert one(rows, santiago.back.evening)["lamp_h"] == 2
    assert "00:30 does not exist and is taken as 01:30" in one(rows, santiago.forward.evening)["note"]
    assert one(rows, santiago.forward.evening)["lamp_h"] == 1


@by_zone
def test_lamps_set_by_the_sun_burn_as_long_on_the_night_of_a_change_as_the_night_before(
    tmp_path: Path, year: Year
) -> None:
    rows = rows_of_year(tmp_path, year.site, "target_h = 20.0")
    for evening in (year.forward.evening, year.back.evening):
        before, changed = one(rows, evening - timedelta(days=1)), one(rows, evening)
        # A night differs from the one before by up to 4 minutes here; each run is rounded by up to 2.
        assert changed["lamp_h"] == pytest.approx(before["lamp_h"], abs=6 / 60)
        assert changed["dark_span_h"] == pytest.approx(4, abs=2 / 60)


def test_the_night_break_at_33_6_n_leaves_the_measured_dark(tmp_path: Path) -> None:
    """33.6 N, 101.9 W, 21 June, 22:00-02:00 by the clock (measured): 0:59 of dark before and 4:38 after."""
    row = one(rows_of_year(tmp_path, LUBBOCK, BREAK), date(2026, 6, 21))
    assert (row["on"], row["off"], row["lamp_h"]) == ("22:00", "02:00", 4)
    assert row["dark_span_h"] * 60 == pytest.approx(4 * 60 + 38, abs=1)
    # The dark before it: lamps after sunset switch on at the sunset of the same evening.
    by_sun = one(rows_of_year(tmp_path, LUBBOCK, "target_h = 20.0"), date(2026, 6, 21))
    begins = instant(date(2026, 6, 21), by_sun["on"], LUBBOCK[2])
    before = instant(date(2026, 6, 21), row["on"], LUBBOCK[2]) - begins
    assert before / timedelta(minutes=1) == pytest.approx(59, abs=1)


@by_zone
@pytest.mark.parametrize("follows", [True, False])
def test_each_row_says_by_which_clock_it_is_with_its_date_and_offset(
    tmp_path: Path, year: Year, follows: bool
) -> None:
    """The same instants by the local clock and in standard time; a row of a timer says which of them it is set by."""
    lamps = BREAK if follows else f"{BREAK}, timer_follows_clock = false"
    where = ZoneInfo(year.site[2])
    for (row,) in rows_of_year(tmp_path, year.site, lamps).values():
        assert row["timer"] == ("local clock" if follows else "standard time")
        for key in ("on", "off"):
            at, set_at = (datetime.fromisoformat(row[k]) for k in (f"{key}_at", f"set_{key}_at"))
            assert at == set_at
            assert f"{at:%H:%M}" == row[key]
            assert f"{set_at:%H:%M}" == row[f"set_{key}"]
            assert at.utcoffset() == at.astimezone(where).utcoffset()
            standard = at.astimezone(where).dst() or timedelta()
            assert at.utcoffset() - standard == set_at.utcoffset()


def test_a_run_of_the_morning_has_the_date_of_its_own_clock_beside_the_evening_it_stands_under(
    tmp_path: Path,
) -> None:
    rows = rows_of_year(tmp_path, LUBBOCK, 'target_h = 16.0, side = "before sunrise"')
    row = one(rows, date(2026, 1, 20))
    assert row["date"] == "2026-01-20"
    assert row["on_at"].startswith("2026-01-21T0")
    assert row["on_at"].endswith("-06:00")
