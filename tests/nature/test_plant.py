"""The graded count against published thresholds, field reports and open trial records."""

from datetime import date, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_tui.nature.plant import Response, counts, day_count, induction
from calendar_tui.nature.sky import day_lengths_h

FLORIDA = (25.5, -80.5, ZoneInfo("America/New_York"))
CAROLINA = (35.8, -78.7, ZoneInfo("America/New_York"))


def induced_on(site, first, response, last=date(2019, 12, 1)):
    days = day_lengths_h(*site, first, last)
    found = induction(days, 0, response)
    return (
        None
        if found is None
        else (first + timedelta(days=found.trigger), first + timedelta(days=found.induced))
    )


def test_a_day_counts_one_nothing_or_a_part():
    response = Response(14.0, 12.5, 8)
    assert day_count(12.5, response) == 1
    assert day_count(14.0, response) == 0
    assert day_count(13.25, response) == pytest.approx(0.5)


def test_a_long_day_takes_the_count_back_to_zero():
    felt = [12.0] * 7 + [16.0] + [12.0] * 8
    assert induction(felt, 0, Response(14.0, 12.5, 8)) == (8, 15)
    assert counts(felt, 0, Response(14.0, 12.5, 8))[7] == 0


def test_no_induction_within_the_days_given():
    assert induction([16.0] * 200, 0, Response(14.0, 12.5, 8)) is None
    assert induction([12.0] * 7, 0, Response(14.0, 12.5, 8)) is None


def test_transplanted_on_1_may_at_35_8_n_one_flowers_small_and_the_other_does_not():
    """North Carolina State 2019 field reports: one cultivar flowered small, another stayed vegetative.

    Thresholds: full response up to 13 h 45 (Zhang et al. 2021, Front. Plant Sci. 12:694153, where delay begins) with
    a critical day an hour more; 14 h 00 / 12 h 30 is common practice, no source.
    """
    may = date(2019, 5, 1)
    early = induced_on(CAROLINA, may, Response(14.75, 13.75, 8))
    assert early is not None
    assert early[1] - may < timedelta(days=14)
    late = induced_on(CAROLINA, may, Response(14.0, 12.5, 8))
    assert late is not None
    assert late[0] > date(2019, 7, 25)


@pytest.mark.parametrize(("critical", "expected"), [(14.0, date(2026, 7, 31)), (13.75, date(2026, 8, 9))])
def test_the_autumn_run_at_35_8_n_begins_when_the_day_crosses_the_critical_day(critical, expected):
    """Computed crossing dates, sunrise to sunset; within a day."""
    days = day_lengths_h(*CAROLINA, date(2026, 6, 21), date(2026, 12, 1))
    found = induction(days, 0, Response(critical, 12.5, 8))
    assert abs(date(2026, 6, 21) + timedelta(days=found.trigger) - expected) <= timedelta(days=1)


def test_twelve_hour_days_induce_within_the_inductive_days():
    """South Florida thesis: sensitive cultivars reproductive within a week of 12 h days; 8 days is this model's figure."""
    assert induction([12.0] * 30, 0, Response(14.0, 12.5, 8)).induced == 7


def days_under(felt_h, response):
    """Days of this length until plants are induced."""
    return induction([felt_h] * 200, 0, response).induced + 1


def test_an_hour_between_the_two_figures_gives_the_delays_of_essential_oil_cultivars():
    """Zhang et al. 2021, Front. Plant Sci. 12:694153 (read): what longer days cost most of the cultivars there.

    13 h 45 to 14 h 00: 5-13 days. Above 13 h: 1-2 days over 12 h. Above 14 h: a further 7-8 days. The figures that
    give it here, 13 h 30, an hour more, 8 days, are computed; with 13 h 45 and an hour more the first is 3 days.
    """
    response = Response(14.5, 13.5, 8)
    to_13_45, to_14_00 = (days_under(hours, response) for hours in (13.75, 14.0))
    assert 5 <= to_14_00 - to_13_45 <= 13
    assert 1 <= days_under(13 + 40 / 60, response) - days_under(12, response) <= 2
    assert 7 <= days_under(14 + 9 / 60, response) - to_14_00 <= 8
    assert days_under(14, Response(14.75, 13.75, 8)) - days_under(13.75, Response(14.75, 13.75, 8)) == 3


SOWINGS = [date(2019, 5, 1), date(2019, 5, 22), date(2019, 6, 21), date(2019, 7, 18)]


def induced_dates(response):
    """Half induction of the four sowings, which can count from 30 days after sowing."""
    return [induced_on(FLORIDA, sown + timedelta(days=30), response)[1] for sown in SOWINGS]


def days_taken(dates):
    return [(day - sown).days for day, sown in zip(dates, SOWINGS, strict=True)]


def test_staggering_is_compressed_at_25_5_n():
    """Open trial records of the University of Florida tropical centre, 2019, natural days, direct-seeded.

    Sowings spread over 78 days reached half induction within 47-49 days of one another: the first took 77-79 days,
    the last 48. The published fits lie at full response 12.0-12.5 h, critical day 14.0-14.3 h, 8-12 days; the best
    figures inside those bounds must give all three, within the 3 days the fits mostly kept.
    """
    inside = [
        Response(critical, full, needed)
        for critical in (14.0, 14.1, 14.2, 14.3)
        for full in (12.0, 12.25, 12.5)
        for needed in (8, 9, 10, 11, 12)
    ]
    found = min(
        map(induced_dates, inside),
        key=lambda dates: abs(days_taken(dates)[0] - 78) + abs(days_taken(dates)[3] - 48),
    )
    first, *_, last = days_taken(found)
    assert abs(first - 78) <= 3
    assert abs(last - 48) <= 3
    assert abs((found[-1] - found[0]).days - 48) <= 3
    assert found == sorted(found)


def test_the_default_figures_compress_the_staggering():
    """14 h 00, 12 h 30, 8 d, the first defaults for essential-oil types: the spread of 47-49 days within 3 days.

    The dates themselves come 8-9 days early (69 and 40 days from sowing): a seed lot's own figures put that right.
    """
    found = induced_dates(Response(14.0, 12.5, 8))
    assert abs((found[-1] - found[0]).days - 48) <= 3
    assert days_taken(found) == sorted(days_taken(found), reverse=True)


felts = st.lists(st.floats(8, 18), min_size=1, max_size=120)
responses = st.builds(
    lambda critical, width, needed: Response(critical, critical - width, needed),
    st.floats(12, 16),
    st.floats(0.1, 3),
    st.floats(1, 15),
)


@given(felts, responses, st.integers(0, 40), st.integers(0, 40))
def test_plants_ready_later_are_never_induced_sooner(felt, response, start, more):
    early, late = (induction(felt, s, response) for s in (start, start + more))
    if late is not None:
        assert early is not None
        assert early.induced <= late.induced
        assert early.trigger <= late.trigger


@given(felts, responses, st.floats(12, 20), st.data())
def test_more_lit_nights_never_bring_the_trigger_earlier(felt, response, target, data):
    lit = data.draw(st.lists(st.booleans(), min_size=len(felt), max_size=len(felt)))
    more = [
        a or b
        for a, b in zip(
            lit, data.draw(st.lists(st.booleans(), min_size=len(felt), max_size=len(felt))), strict=True
        )
    ]
    some, many = (
        induction([max(h, target) if on else h for h, on in zip(felt, burning, strict=True)], 0, response)
        for burning in (lit, more)
    )
    if many is not None:
        assert some is not None
        assert some.induced <= many.induced


def test_a_felt_day_exactly_at_the_critical_day_puts_the_count_back_and_one_a_second_under_it_counts():
    response = Response(14.0, 12.5, 2)
    second = 1 / 3600
    assert induction([12.0, 14.0, 12.0, 12.0], 0, response) == (2, 3)
    assert counts([12.0, 14.0, 12.0], 0, response) == (1, 0, 1)
    assert induction([12.0, 14.0 - second, 12.0], 0, response) == (0, 2)
    assert counts([12.0, 14.0 - second], 0, response)[1] > 1


def test_a_felt_day_exactly_at_the_full_response_day_counts_whole_and_one_a_second_over_it_does_not():
    response = Response(14.0, 12.5, 1)
    assert induction([12.5], 0, response) == (0, 0)
    assert induction([12.5 + 1 / 3600], 0, response) is None


@pytest.mark.parametrize("needed", [1, 8, 40])
def test_short_days_count_one_each(needed):
    response = Response(14.0, 12.5, needed)
    assert induction([12.0] * needed, 0, response) == (0, needed - 1)
    assert induction([12.0] * (needed - 1), 0, response) is None
    assert counts([12.0] * needed, 0, response)[-1] == needed
