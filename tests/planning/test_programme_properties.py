"""Any programmes anywhere: the timers' settings and the felt days are two tellings of the same nights."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calendar_tui.planning.lamps.runs import LampRun, lamp_runs, lamp_sheet
from calendar_tui.planning.lamps.weeks import LampWeek, lamp_weeks
from calendar_tui.planning.plan import make_plan
from calendar_tui.season.fields import LAMP_SIDES
from calendar_tui.season.records import Lamps, Outage, Programme, Season
from tests.planning.lit_house import EXTEND, FIRST, LAST, house

DAY = timedelta(days=1)
MINUTE_H = 1 / 60
# Both hemispheres, clocks that change in the night (Chile's at midnight), and a site without a change.
SITES = (
    (35.8, -78.7, "America/New_York"),
    (52.5, 13.4, "Europe/Berlin"),
    (-33.9, 151.2, "Australia/Sydney"),
    (-33.4, -70.7, "America/Santiago"),
    (28.0, -16.5, "Atlantic/Canary"),
    (2.0, 102.0, "Asia/Kuala_Lumpur"),
)
clock_times = st.builds(time, st.integers(0, 23), st.sampled_from([0, 17, 30]))


@st.composite
def programmes(draw: st.DrawFn) -> Programme:
    method = draw(st.sampled_from(["extend", "night-break", "clock", "blackout"]))
    on, off = draw(st.lists(clock_times, min_size=2, max_size=2, unique=True))
    timed = {} if method == "extend" else {"on": on, "off": off}
    target = {"target_h": draw(st.floats(8, 24)), "side": draw(st.sampled_from(LAMP_SIDES))}
    return Programme(
        place="H1", first=FIRST, last=FIRST, method=method, **(target if method == "extend" else timed)
    )


@st.composite
def seasons(draw: st.DrawFn) -> Season:
    """One house in which lamps are asked for up to a drawn evening, with up to three periods one after another."""
    latitude, longitude, zone = draw(st.sampled_from(SITES))
    season = house(EXTEND)
    site = replace(season.site, latitude=latitude, longitude=longitude, timezone=zone)
    starts = sorted(draw(st.lists(st.integers(0, 250), min_size=1, max_size=3, unique=True)))
    ends = [n - 1 for n in starts[1:]] + [300]
    given_ones = tuple(
        replace(draw(programmes()), first=FIRST + a * DAY, last=FIRST + b * DAY)
        for a, b in zip(starts, ends, strict=True)
    )
    dark = FIRST + draw(st.integers(100, 300)) * DAY
    planned = {"sticking": FIRST + draw(st.integers(0, 90)) * DAY, "lights_off": dark}
    one = replace(season.cohorts["A1"], planned=planned)
    own = replace(season.places["H1"], lamps=Lamps(target_h=16.0, timer_follows_clock=draw(st.booleans())))
    return replace(
        season, site=site, programmes=given_ones, cohorts={"A1": one}, places=season.places | {"H1": own}
    )


@pytest.mark.slow
@settings(deadline=None, max_examples=60)
@given(seasons())
def test_the_felt_day_is_what_the_longest_dark_of_the_programme_leaves(season: Season) -> None:
    plan = make_plan(season, FIRST)
    for run in lamp_runs(season, "H1", plan.light):
        n = plan.light.index(run.date)
        felt, natural = plan.light.places["H1"].felt_h[n], plan.light.natural_h[n]
        by_dark = 24 - run.dark_span_h
        told = (
            max(0.0, min(natural, by_dark)) if run.programme.method == "blackout" else max(natural, by_dark)
        )
        # Whole minutes at either end; a night is not quite 24 h less the day before it.
        assert felt == pytest.approx(told, abs=6 * MINUTE_H), (run, felt, natural)


@pytest.mark.slow
@settings(deadline=None, max_examples=40)
@given(seasons(), st.integers(0, 300))
def test_an_outage_of_zero_nights_changes_nothing_and_one_of_all_leaves_the_dark_days(
    season: Season, at: int
) -> None:
    first = FIRST + at * DAY
    none = Outage(place="H1", first=first, last=first - DAY)
    every = Outage(place="H1", first=FIRST, last=LAST)
    plain, same, dark = (
        make_plan(replace(season, outages=o), FIRST).light.places["H1"] for o in ((), (none,), (every,))
    )
    assert (plain.lit, plain.felt_h) == (same.lit, same.felt_h)
    assert dark.felt_h == dark.dark_h == plain.dark_h
    assert dark.unfailed_h == plain.felt_h


def rows_of(season: Season) -> Iterator[tuple[LampWeek, list[LampRun]]]:
    """Each row with the runs of its nights."""
    runs = list(lamp_runs(season, "H1", make_plan(season, FIRST).light))
    weeks = list(lamp_weeks(runs))
    ends = [*(w.begins for w in weeks[1:]), date.max]
    for week, end in zip(weeks, ends, strict=False):
        yield week, [r for r in runs if week.begins <= r.date < end]


@pytest.mark.slow
@settings(deadline=None, max_examples=60)
@given(seasons())
def test_the_one_setting_of_a_row_is_on_and_off_in_time_for_each_of_its_nights_left_alone(
    season: Season,
) -> None:
    zone = ZoneInfo(season.site.timezone)
    for week, runs in rows_of(season):
        begun = week.first[0].date
        for night in {r.date for r in runs}:
            own = [r for r in runs if r.date == night]
            for run, setting in zip(own, week.settings, strict=True):
                if not run.follows:
                    assert setting.set_on + (night - begun) <= run.set_on
                    assert setting.set_off + (night - begun) >= run.set_off
                    continue
                # What the local clock shows is what this timer goes by; a reading that comes twice is its first.
                on, off = (
                    (reading + (night - begun)).replace(tzinfo=zone).astimezone(UTC)
                    for reading in (setting.on, setting.off)
                )
                assert on <= run.on.astimezone(UTC)
                assert off >= run.off.astimezone(UTC)


@pytest.mark.slow
@settings(deadline=None, max_examples=60)
@given(seasons())
def test_a_row_left_alone_burns_at_least_what_its_nights_need_and_leaves_no_more_dark(season: Season) -> None:
    for week, runs in rows_of(season):
        least_h = sum(r.lamp_h for r in runs)
        assert week.nights == len({r.date for r in runs})
        assert week.dark_span_h <= max(r.dark_span_h for r in runs)
        if runs[0].programme.on is None:
            assert week.lamp_h >= least_h - 1e-9
            assert 24 - week.dark_span_h >= (runs[0].programme.target_h or 0) - 1e-9
        else:
            assert week.lamp_h == pytest.approx(least_h)
            assert week.dark_span_h == max(r.dark_span_h for r in runs)


@settings(deadline=None, max_examples=30)
@given(seasons())
def test_weeks_hold_every_run_once_and_every_lit_or_covered_night_has_its_rows(season: Season) -> None:
    plan = make_plan(season, FIRST)
    sheet = lamp_sheet(season, "H1", plan.light, plan.timelines)
    weeks = list(lamp_weeks(sheet.runs))
    assert sum(w.nights for w in weeks) == len({r.date for r in sheet.runs})
    assert [w.begins for w in weeks] == sorted({w.begins for w in weeks})
    told = {r.date for r in sheet.runs}
    place = plan.light.places["H1"]
    for n, lit in enumerate(place.lit):
        day = FIRST + n * DAY
        programme = place.programme_on(day)
        if place.covered(day) or (
            lit and programme is not None and programme.method in ("clock", "night-break")
        ):
            assert day in told
        elif not lit:
            assert day not in told
