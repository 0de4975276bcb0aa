"""The timer's settings by week: one a row, that holds on each of its nights, and anew where the clock is changed."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from calendar_tui.handing_on.words.lamps_text import nights_text, sheet_text, week_text
from calendar_tui.planning.lamps.runs import LampSheet, lamp_runs, lamp_sheet
from calendar_tui.planning.lamps.weeks import LampWeek, lamp_weeks
from calendar_tui.season.records import Outage, Season
from tests.planning.lit_house import EXTEND, cohort, house, laid_out

BREAK = {"method": "night-break", "from": "22:00", "to": "02:00", "kw": 1.0}
CLOCK = {"method": "clock", "from": "05:00", "to": "21:00", "kw": 1.0}
STAYS = {"timer_follows_clock": False}
SUNDAY = date(2026, 11, 1)  # the clock of the US goes back


def late_house(lamps: dict[str, Any]) -> Season:
    """Lamps asked for from 1 September to 30 November."""
    planned = {"sticking": date(2026, 9, 1), "lights_off": date(2026, 12, 1)}
    return house(lamps, cohorts=[cohort("A1", planned=planned)])


def sheet_of(season: Season) -> LampSheet:
    plan = laid_out(season)
    return lamp_sheet(season, "H1", plan.light, plan.timelines)


def rows_of(season: Season) -> dict[date, LampWeek]:
    return {w.begins: w for w in lamp_weeks(sheet_of(season).runs, sheet_of(season).failed)}


def test_a_week_in_which_the_programme_changes_is_told_in_two_parts() -> None:
    """10 June 2026 is a Wednesday."""
    season = house(EXTEND, {"from": date(2026, 6, 10), "to": date(2026, 6, 30), "target_h": 18.0})
    weeks = list(lamp_weeks(lamp_runs(season, "H1", laid_out(season).light)))
    assert [w.begins for w in weeks[:4]] == [
        date(2026, 6, 1),
        date(2026, 6, 8),
        date(2026, 6, 10),
        date(2026, 6, 15),
    ]


@pytest.mark.parametrize(
    ("lamps", "begins"),
    [
        (EXTEND, [SUNDAY]),
        (EXTEND | {"side": "before sunrise"}, [date(2026, 10, 31)]),  # its lamps burn after the change
        (EXTEND | {"side": "both"}, [date(2026, 10, 31), SUNDAY]),
        (BREAK, []),  # this timer keeps its times by the clock
        (CLOCK, []),
        (BREAK | STAYS, [SUNDAY]),
        (CLOCK | STAYS, [SUNDAY]),
    ],
)
def test_a_row_begins_anew_on_the_evening_whose_clock_differs(
    lamps: dict[str, Any], begins: list[date]
) -> None:
    rows = rows_of(late_house(lamps))
    week = [begun for begun in rows if date(2026, 10, 26) <= begun <= SUNDAY]
    assert week == [date(2026, 10, 26), *begins]
    assert [begun for begun, row in rows.items() if row.anew] == begins
    assert sum(rows[begun].nights for begun in week) == 7


def test_the_row_of_the_changed_clock_has_its_own_setting_and_says_so() -> None:
    """Sunset at 35.8 N, 78.7 W is 22:20:12 UTC on 31 October and 22:19:11 on 1 November (PyEphem)."""
    season = late_house(EXTEND)
    rows, sheet = rows_of(season), sheet_of(season)
    before, after = (week_text(sheet, rows[d]) for d in (date(2026, 10, 26), SUNDAY))
    assert next(before).startswith("  Mon 26 Oct  on 18:20 off ")
    lines = list(after)
    assert lines[0].startswith("   Sun 1 Nov  on 17:19 off ")
    assert "1 night " in lines[0]
    assert "! set it anew on Sun 1 Nov: the clock is changed" in lines[1]


def test_a_timer_on_standard_time_is_set_anew_where_its_own_clock_is_to_show_another_time() -> None:
    season = late_house(BREAK | STAYS)
    rows, sheet = rows_of(season), sheet_of(season)
    told = [" ".join(" ".join(week_text(sheet, rows[d])).split()) for d in (date(2026, 10, 26), SUNDAY)]
    assert "on 22:00 off 02:00" in told[0]
    assert "set the timer, on standard time: on 21:00 off 01:00" in told[0]
    assert "set it anew" not in told[0]
    assert "set the timer, on standard time: on 22:00 off 02:00 ! set it anew on Sun 1 Nov" in told[1]


def test_a_timer_on_standard_time_that_the_sun_sets_needs_no_new_setting() -> None:
    rows = rows_of(late_house(EXTEND | STAYS))
    assert not any(row.anew for row in rows.values())


@pytest.mark.parametrize("lamps", [CLOCK, EXTEND])
def test_a_night_of_a_change_on_which_no_hours_change_has_no_hours_told(lamps: dict[str, Any]) -> None:
    season = late_house(lamps)
    (note,) = {r.note for r in lamp_runs(season, "H1", laid_out(season).light)} - {""}
    assert note == "the clock goes back 1 h this night"


def test_a_break_that_an_hour_is_added_to_tells_its_hours() -> None:
    season = late_house(BREAK)
    (note,) = {r.note for r in lamp_runs(season, "H1", laid_out(season).light)} - {""}
    assert note == "the clock goes back 1 h this night and the run lasts 5 h 00"


def test_a_row_is_on_for_its_earliest_night_and_off_for_its_latest() -> None:
    """In September the sun sets earlier and rises later from night to night: the last night has both ends."""
    season = late_house(EXTEND)
    runs = [r for r in sheet_of(season).runs if date(2026, 9, 7) <= r.date <= date(2026, 9, 13)]
    row = rows_of(season)[date(2026, 9, 7)]
    (setting,) = row.settings
    assert (setting.on.time(), setting.off.time()) == (runs[-1].on.time(), runs[-1].off.time())
    assert runs[0].on.time() > runs[-1].on.time()
    each_h = (setting.off - setting.on).total_seconds() / 3600
    assert row.lamp_h == pytest.approx(7 * each_h)
    assert row.kwh == pytest.approx(7 * each_h)
    assert row.dark_span_h <= 8


def test_the_sum_of_the_rows_stands_beside_that_of_the_nights() -> None:
    sheet = sheet_of(late_house(EXTEND))
    lines = list(sheet_text(sheet))
    assert f"{sum(r.lamp_h for r in sheet.runs):.1f} h" in lines[-1]
    assert "set anew every night" in lines[-1]
    assert "in all" in lines[-2]
    assert not any("set anew every night" in line for line in sheet_text(sheet_of(late_house(CLOCK))))
    assert any("reaches the target on each of its nights" in line for line in lines)


def test_nights_that_failed_are_told_with_their_rows_and_above() -> None:
    """A week that failed altogether has no row; that it failed stands above all."""
    nights = [(date(2026, 9, 9), date(2026, 9, 10)), (date(2026, 9, 14), date(2026, 9, 20))]
    failed = tuple(Outage(place="H1", first=a, last=b) for a, b in nights)
    season = replace(late_house(EXTEND), outages=failed)
    rows = rows_of(season)
    assert rows[date(2026, 9, 7)].failed == (date(2026, 9, 9), date(2026, 9, 10))
    assert rows[date(2026, 9, 7)].nights == 5
    assert date(2026, 9, 14) not in rows
    told = " ".join(" ".join(sheet_text(sheet_of(season))).split())
    assert "Lamps failed on 9 nights, 9 Sep to 10 Sep and 14 Sep to 20 Sep." in told
    assert "! lamps failed on 2 nights, 9 Sep to 10 Sep" in told


def test_an_outage_on_which_nothing_was_to_burn_is_none_of_the_lamps() -> None:
    nights = (Outage(place="H1", first=date(2026, 6, 20), last=date(2026, 6, 21)),)
    plan = replace(house({"target_h": 14.1}), outages=nights)  # the natural day is 14 h 36 then
    assert sheet_of(plan).failed == ()


@pytest.mark.parametrize(
    ("days", "says"),
    [
        ([5], "5 Sep"),
        ([5, 6], "2 nights, 5 Sep to 6 Sep"),
        ([5, 6, 7, 9, 11], "5 nights, 5 Sep to 7 Sep, 9 Sep and 11 Sep"),
    ],
)
def test_nights_that_follow_one_another_are_told_as_one(days: list[int], says: str) -> None:
    assert nights_text([date(2026, 9, d) for d in days]) == says


def test_a_timer_on_standard_time_is_set_for_the_night_after_an_on_time_that_the_clock_skips() -> None:
    """On 8 March 02:00 comes at 03:00 by the clock of the US: 02:00 standard time that night, 01:00 from the next on."""
    night_break = {"method": "night-break", "from": "02:00", "to": "03:30", "kw": 1.0} | STAYS
    planned = {"sticking": date(2026, 3, 1), "lights_off": date(2026, 6, 1)}
    season = house(night_break, cohorts=[cohort("A1", planned=planned)])
    plan = laid_out(season)
    runs = list(lamp_runs(season, "H1", plan.light))
    weeks = list(lamp_weeks(runs))
    for run in runs[:20]:
        row = [week for week in weeks if week.begins <= run.date][-1]
        assert row.settings[0].set_on.time() <= run.set_on.time(), run.date
