"""Re-entry, pre-harvest and record dates. Sources and marks stand beside each row; the label governs."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.nature.local_times import FIRST, SECOND, instant, local_time
from calendar_tui.nature.spray_waits import (
    Application,
    PreHarvest,
    RecordDates,
    RecordRule,
    ReEntry,
    Wait,
    closed,
    closed_between,
    harvest_from,
    is_closed,
    pre_harvest_end,
    re_entry_end,
    record_dates,
    uncut,
    years_after,
)

NEW_YORK, MONTEVIDEO = ZoneInfo("America/New_York"), ZoneInfo("America/Montevideo")
US_RECORDS = RecordRule(write_d=14, show_d=30, keep_years=2)
CONDITION = "until the acceptable exposure level of 5 ppm is reached"


def applied(
    end,
    zone=NEW_YORK,
    *,
    product="soap",
    which="",
    begin=None,
    hours=None,
    condition="",
    met=None,
    days=0,
    pre_hours=None,
):
    """An application whose times are of the local clock."""
    ended = instant(end, zone, which)
    return Application(
        product,
        ended - timedelta(hours=1) if begin is None else instant(begin, zone),
        ended,
        ReEntry(None if hours is None else Decimal(hours), condition),
        PreHarvest(days if pre_hours is None else None, None if pre_hours is None else Decimal(pre_hours)),
        None if met is None else instant(met, zone),
    )


@pytest.mark.parametrize(
    ("zone", "end", "which", "hours", "clears"),
    [
        # clock forward; then clock back (computed by the zones' tables)
        ("America/New_York", datetime(2027, 3, 13, 20), "", 12, datetime(2027, 3, 14, 9)),
        ("America/New_York", datetime(2027, 3, 13, 10), "", 24, datetime(2027, 3, 14, 11)),
        ("Europe/Berlin", datetime(2026, 10, 24, 18), "", 12, datetime(2026, 10, 25, 5)),
        ("Australia/Sydney", datetime(2027, 4, 3, 16), "", 24, datetime(2027, 4, 4, 15)),
        ("America/New_York", datetime(2026, 10, 31, 20), "", 12, datetime(2026, 11, 1, 7)),
        # an hour that exists twice
        ("America/New_York", datetime(2026, 11, 1, 1, 30), FIRST, 4, datetime(2026, 11, 1, 4, 30)),
        ("America/New_York", datetime(2026, 11, 1, 1, 30), SECOND, 4, datetime(2026, 11, 1, 5, 30)),
        # no change of the clock
        ("America/Montevideo", datetime(2026, 12, 20, 17), "", 48, datetime(2026, 12, 22, 17)),
        ("America/New_York", datetime(2026, 8, 20, 17, 30), "", 12, datetime(2026, 8, 21, 5, 30)),
    ],
)
def test_re_entry_counts_real_hours_from_the_end(zone, end, which, hours, clears):
    one = applied(end, ZoneInfo(zone), which=which, hours=hours)
    assert local_time(re_entry_end(one), ZoneInfo(zone)) == clears


def test_a_fraction_of_an_hour_never_opens_a_place_a_second_early():
    one = applied(datetime(2026, 8, 20, 12), hours="0.33333")
    assert re_entry_end(one) - one.end == timedelta(seconds=1200)


@pytest.mark.parametrize(
    ("last", "days", "from_day"),
    [
        (date(2026, 8, 28), 7, date(2026, 9, 4)),
        (date(2028, 2, 10), 30, date(2028, 3, 11)),
        (date(2026, 8, 20), 14, date(2026, 9, 3)),
        (date(2026, 8, 28), 0, date(2026, 8, 28)),
    ],
)
def test_pre_harvest_days_count_from_the_last_application_as_day_0(last, days, from_day):
    """(computed)"""
    assert harvest_from(last, days) == from_day


def test_pre_harvest_of_no_days_waits_for_re_entry_alone():
    """PHI 0: the same day once the re-entry interval is over."""
    one = applied(datetime(2026, 8, 28, 7), hours=4, days=0)
    assert local_time(uncut([one], NEW_YORK).until, NEW_YORK) == datetime(2026, 8, 28, 11)


def test_of_re_entry_and_pre_harvest_the_longer_holds():
    """REI 72 h and PHI 48 h: wait 72 h (extension example, read)."""
    one = applied(datetime(2026, 8, 20, 12), hours=72, pre_hours=48)
    assert uncut([one], NEW_YORK).until == one.end + timedelta(hours=72)


def test_pre_harvest_hours_count_from_the_end():
    one = applied(datetime(2026, 8, 20, 12), hours=4, pre_hours=48)
    assert uncut([one], NEW_YORK) == Wait(one.end + timedelta(hours=48), (), "soap")


def test_a_pre_harvest_interval_in_days_opens_at_the_midnight_of_the_farm():
    one = applied(datetime(2026, 12, 20, 17), MONTEVIDEO, hours=4, days=7)
    assert local_time(pre_harvest_end(one, MONTEVIDEO), MONTEVIDEO) == datetime(2026, 12, 27)


def test_the_day_of_a_spray_over_midnight_is_the_one_it_ended_on():
    one = applied(datetime(2026, 8, 21, 0, 30), begin=datetime(2026, 8, 20, 23), hours=4, days=7)
    assert local_time(uncut([one], NEW_YORK).until, NEW_YORK) == datetime(2026, 8, 28)


# --- several, and what is not known


def test_of_several_applied_together_the_longest_holds():
    end = datetime(2026, 8, 20, 12)
    several = [applied(end, product=name, hours=hours) for name, hours in (("a", 4), ("b", 24), ("c", 12))]
    assert closed(several) == Wait(several[0].end + timedelta(hours=24), (), "b")


def test_a_condition_keeps_a_place_closed_until_somebody_records_it():
    open_end = applied(datetime(2026, 8, 20, 12), product="fume", condition=CONDITION)
    assert closed([open_end]) == Wait(None, (f"fume: {CONDITION}",))
    assert is_closed([open_end], open_end.end + timedelta(days=300))
    met = applied(
        datetime(2026, 8, 20, 12), product="fume", condition=CONDITION, met=datetime(2026, 8, 22, 9)
    )
    assert local_time(closed([met]).until, NEW_YORK) == datetime(2026, 8, 22, 9)


def test_a_condition_that_is_met_soon_does_not_shorten_the_hours_beside_it():
    one = applied(datetime(2026, 8, 20, 12), hours=48, condition=CONDITION, met=datetime(2026, 8, 20, 15))
    assert local_time(closed([one]).until, NEW_YORK) == datetime(2026, 8, 22, 12)


def test_a_condition_beside_a_short_interval_of_another_product_still_blocks():
    both = [
        applied(datetime(2026, 8, 20, 12), product="soap", hours=4),
        applied(datetime(2026, 8, 20, 12), product="fume", condition=CONDITION),
    ]
    assert closed(both).until is None
    assert uncut(both, NEW_YORK).waits_for == (f"fume: {CONDITION}",)


def test_intervals_that_nobody_entered_are_not_zero():
    one = applied(datetime(2026, 8, 20, 12), days=None)
    assert closed([one]).waits_for == ("soap: its re-entry interval is not set; enter what the label says",)
    assert is_closed([one], one.end + timedelta(days=30))
    assert uncut([one], NEW_YORK).waits_for == (
        "soap: its pre-harvest interval is not set; enter what the label says",
        "soap: its re-entry interval is not set; enter what the label says",
    )


def test_no_spray_closes_nothing():
    assert closed([]) == uncut([], NEW_YORK) == Wait(None)
    assert not is_closed([], datetime(2026, 8, 20, tzinfo=UTC))


def test_a_place_is_closed_from_the_begin_and_open_at_the_end_of_its_interval():
    one = applied(datetime(2026, 8, 20, 12), hours=4)
    seconds = (-3601, -3600, 0, 4 * 3600 - 1, 4 * 3600)
    assert [is_closed([one], one.end + timedelta(seconds=s)) for s in seconds] == [
        False,
        True,
        True,
        True,
        False,
    ]


def test_an_earlier_short_spray_does_not_open_a_place_that_a_later_one_closes():
    first = applied(datetime(2026, 8, 20, 8), hours=4)
    second = applied(datetime(2026, 8, 20, 11), hours=4)
    assert is_closed([first, second], first.end + timedelta(hours=5))


def test_a_visit_is_held_against_all_of_its_time():
    one = applied(datetime(2026, 8, 20, 12), hours=4)
    hours = [(-3, -2), (-3, -1), (-2, 9), (3, 5), (4, 5), (-1, 0)]
    visits = [(one.end + timedelta(hours=a), one.end + timedelta(hours=b)) for a, b in hours]
    assert [closed_between([one], *visit) for visit in visits] == [False, False, True, True, False, True]
    open_end = applied(datetime(2026, 8, 20, 12), condition=CONDITION)
    assert closed_between([one, open_end], one.end + timedelta(days=90), one.end + timedelta(days=91))


# --- what cannot be


def test_a_spray_that_ends_before_it_begins_is_refused():
    with pytest.raises(ValueError, match="soap ends before it begins; change them round"):
        applied(datetime(2026, 8, 20, 12), begin=datetime(2026, 8, 20, 13), hours=4)


def test_a_condition_that_was_met_before_the_end_is_refused():
    with pytest.raises(ValueError, match="recorded before the spray ended"):
        applied(datetime(2026, 8, 20, 12), condition=CONDITION, met=datetime(2026, 8, 20, 11))


@pytest.mark.parametrize("hours", ["-1", "8761", "NaN", "Infinity"])
def test_an_interval_that_cannot_be_is_refused(hours):
    with pytest.raises(ValueError, match="must be from 0 to 8760 h"):
        ReEntry(Decimal(hours))
    with pytest.raises(ValueError, match="must be from 0 to 8760 h"):
        PreHarvest(hours=Decimal(hours))


def test_a_pre_harvest_interval_is_in_days_or_in_hours():
    with pytest.raises(ValueError, match="give the one on the label"):
        PreHarvest(days=2, hours=Decimal(48))
    with pytest.raises(ValueError, match="from 0 to 365 d"):
        PreHarvest(days=-1)


# --- records


def test_dates_of_the_record():
    """Sprayed 2026-08-20, re-entry over 08-21 (7 CFR 110.3 and 170.122, read; 2 years of 170.311, memory)."""
    assert record_dates(date(2026, 8, 20), date(2026, 8, 21), US_RECORDS) == RecordDates(
        date(2026, 9, 3), date(2026, 9, 20), date(2028, 8, 20)
    )


def test_a_record_is_shown_without_an_end_while_a_condition_waits():
    assert record_dates(date(2026, 8, 20), None, US_RECORDS).show_until is None


def test_a_rule_that_is_not_set_gives_no_date():
    assert record_dates(date(2026, 8, 20), date(2026, 8, 21), RecordRule(None, None, None)) == RecordDates(
        None, None, None
    )


def test_a_record_of_29_february_is_kept_a_day_longer():
    assert years_after(date(2028, 2, 29), 2) == date(2030, 3, 1)
    assert years_after(date(2028, 2, 29), 4) == date(2032, 2, 29)


# --- a longer interval never opens a place earlier

HOURS = st.none() | st.decimals(0, 200, places=2)
ENDS = st.datetimes(datetime(2026, 10, 30), datetime(2026, 11, 3)) | st.datetimes(
    datetime(2027, 3, 12), datetime(2027, 3, 16)
)
_LATE = datetime(2100, 1, 1, tzinfo=UTC)


@st.composite
def applications(draw):
    end = draw(ENDS).replace(tzinfo=UTC)
    condition = draw(st.sampled_from(["", CONDITION]))
    met = draw(st.none() | st.integers(0, 300)) if condition else None
    return Application(
        "soap",
        end - timedelta(hours=1),
        end,
        ReEntry(draw(HOURS), condition),
        PreHarvest(draw(st.none() | st.integers(0, 30))),
        None if met is None else end + timedelta(hours=met),
    )


def opens(wait):
    return _LATE if wait.waits_for else wait.until


@pytest.mark.slow
@given(
    st.lists(applications(), min_size=1, max_size=4),
    st.decimals(0, 100, places=2),
    st.integers(0, 30),
    st.data(),
)
def test_a_longer_interval_never_opens_a_place_earlier(several, hours, days, data):
    at = data.draw(st.integers(0, len(several) - 1))
    one = several[at]
    longer = Application(
        one.product,
        one.begin,
        one.end,
        ReEntry(None if one.re_entry.hours is None else one.re_entry.hours + hours, one.re_entry.condition),
        PreHarvest(None if one.pre_harvest.days is None else one.pre_harvest.days + days),
        one.condition_met,
    )
    instead = [*several[:at], longer, *several[at + 1 :]]
    assert opens(closed(instead)) >= opens(closed(several))
    assert opens(uncut(instead, NEW_YORK)) >= opens(uncut(several, NEW_YORK))


@pytest.mark.slow
@given(st.lists(applications(), max_size=4), applications())
def test_one_more_spray_never_opens_a_place_earlier(several, more):
    assert not several or opens(closed([*several, more])) >= opens(closed(several))
    assert not several or opens(uncut([*several, more], NEW_YORK)) >= opens(uncut(several, NEW_YORK))


@given(st.lists(applications(), min_size=1, max_size=4), st.integers(0, 400))
def test_a_place_is_closed_until_it_opens_and_no_longer(several, hours):
    moment = max(one.begin for one in several) + timedelta(hours=hours)
    assert is_closed(several, moment) == (moment < opens(closed(several)))


@given(st.lists(applications(), min_size=1, max_size=4))
def test_nothing_is_cut_in_a_closed_place(several):
    assert opens(uncut(several, NEW_YORK)) >= opens(closed(several))
