"""Rule profiles as they are shipped and read. Figures of the two examples: sources stand in the data and beside each row."""

import tomllib
from datetime import date
from decimal import Decimal

import pytest

from calendar_tui.nature.analytes import acid_factor
from calendar_tui.nature.legal_limits import OVER, WITHIN, Uncertainty, judge_mean, judge_result
from calendar_tui.nature.measured import Interval, total
from calendar_tui.nature.spray_waits import RecordRule
from calendar_tui.season.reading import read_season, read_starter
from calendar_tui.season.rules import CHECK, LOT, MEAN_OF_VARIETY, NOT_SET, TAKEN_OFF
from calendar_tui.storage.starter_lists import starter_profiles
from tests.storage.three_versions import BASE

PROFILES = read_starter("profile", list(starter_profiles().values()))


def read(**keys):
    """A profile with these keys beside the least one, and the problems."""
    data = {**tomllib.loads(BASE), "profile": [{"id": "here", "name": "Here"} | keys]}
    reading = read_season(data)
    return reading.readable.profiles.get("here"), [(p.path, p.message) for p in reading.problems]


def test_the_shipped_profiles_read_without_a_problem():
    assert list(PROFILES) == ["us", "eu", "blank"]


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("limit", Decimal("0.3")),  # 7 CFR 990.1, read
        ("acid_factor", Decimal("0.877")),  # 7 CFR 990, read
        ("uncertainty", TAKEN_OFF),  # 7 CFR 990.1, read
        ("judged", LOT),  # 7 CFR 990, read
        ("basis", "dry"),  # 7 CFR 990, read
        ("sample_before_harvest_d", 30),  # 990.24(a), read
        ("harvest_within_d", 30),  # 990.26, read
        ("negligence", Decimal("1.0")),  # read
        ("keep_years", 3),  # read
        ("sampling", "standard"),
        ("spray_records", RecordRule(14, 30, 2)),  # 7 CFR 110.3 and 170.122, read; 170.311, memory
        ("starts", date(2026, 11, 12)),  # H.R. 5371 sec. 781, law-firm notes
        ("as_of", date(2026, 11, 28)),
    ],
)
def test_the_example_of_the_united_states(field, value):
    assert getattr(PROFILES["us"], field) == value


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("limit", Decimal("0.3")),  # 2021/2115 Art. 4(4), second
        ("judged", MEAN_OF_VARIETY),  # 2022/126 Art. 3, read
        ("decimals", 2),  # 2022/126 Art. 3, read
        ("uncertainty", NOT_SET),
        ("acid_factor", None),  # not read
        ("basis", "as tested"),  # dried to 8-13 % water, 2017/1155, second
        ("sample_from_flowering_start_d", 20),  # 639/2014 and 809/2014, read
        ("sample_to_flowering_end_d", 10),  # the same
        ("harvest_within_d", None),
        ("starts", date(2023, 1, 1)),  # second
    ],
)
def test_the_example_of_the_european_union(field, value):
    assert getattr(PROFILES["eu"], field) == value


def test_the_blank_one_sets_no_figure():
    blank = PROFILES["blank"]
    assert {
        blank.limit,
        blank.acid_factor,
        blank.harvest_within_d,
        blank.keep_years,
        blank.starts,
        blank.as_of,
    } == {None}
    assert blank.spray_records == RecordRule(None, None, None)


@pytest.mark.parametrize("profile", PROFILES.values(), ids=PROFILES)
def test_each_shows_its_date_and_to_check_with_the_authority(profile):
    assert profile.citation.endswith(CHECK)
    assert profile.caution.startswith("Check with your authority.")
    if profile.limit is not None:
        assert "as of 28 Nov 2026" in profile.citation
        assert len(profile.source) > 20
    else:
        assert "of no date" in profile.citation


def test_a_profile_holds_from_its_start():
    us = PROFILES["us"]
    assert [us.holds_on(day) for day in (date(2026, 11, 11), date(2026, 11, 12))] == [False, True]
    assert PROFILES["blank"].holds_on(date(1990, 1, 1))


def test_the_factor_of_the_rule_stands_above_that_of_the_masses():
    assert (PROFILES["us"].acid_factor, acid_factor("THC")) == (Decimal("0.877"), Decimal("0.87723"))


def test_one_result_is_judged_by_each_rule_in_its_own_way():
    """0.35 +- 0.06 is acceptable in the US (7 CFR 990.1, read); as the only sample of a variety in the EU it is over."""
    us, eu = PROFILES["us"], PROFILES["eu"]
    result = Interval.exactly(Decimal("0.35"))
    in_us = judge_result(
        result, us.limit, Uncertainty(Decimal("0.06"), "absolute"), us.uncertainty == TAKEN_OFF
    )
    assert (in_us.verdict, judge_mean([result], eu.limit, eu.decimals).verdict) == (WITHIN, OVER)


def test_a_total_by_the_factor_of_the_profile():
    """THC 0.05, THCA 0.30: 0.3131 (formula)."""
    whole = total(
        Interval.exactly(Decimal("0.05")), Interval.exactly(Decimal("0.30")), PROFILES["us"].acid_factor
    )
    assert whole.low == Decimal("0.3131")


# --- reading


@pytest.mark.parametrize("written", [0.877, "0.877"])
def test_a_figure_is_exact_as_a_number_or_in_quotes(written):
    profile, problems = read(acid_factor=written)
    assert (profile.acid_factor, problems) == (Decimal("0.877"), [])


@pytest.mark.parametrize("figure", ["0", "100", 0, 100])
def test_the_ends_of_a_range_are_in_it(figure):
    profile, problems = read(limit_percent=figure, as_of=date(2026, 11, 28))
    assert (profile.limit, problems) == (Decimal(figure), [])


@pytest.mark.parametrize(
    ("keys", "path", "words"),
    [
        (
            {"limit_percent": "0,3", "as_of": date(2026, 11, 28)},
            "limit_percent",
            'is "0,3"; write a number with a decimal point',
        ),
        ({"limit_percent": -1}, "limit_percent", "is -1; it must be from 0 to 100"),
        ({"limit_percent": 101}, "limit_percent", "it must be from 0 to 100"),
        ({"limit_percent": "101"}, "limit_percent", "it must be from 0 to 100"),
        ({"limit_percent": True}, "limit_percent", "write a number from 0 to 100"),
        ({"acid_factor": 1.2}, "acid_factor", "it must be from 0 to 1"),
        ({"acid_factor": 0}, "acid_factor", "is 0; write how much THC"),
        ({"uncertainty": "absolute"}, "uncertainty", "it must be one of: taken off, not taken off, not set"),
        ({"judged": "plot"}, "judged", "it must be one of: lot, mean of a variety"),
        ({"basis": "as received"}, "basis", "it must be one of: dry, absolutely dry, as tested"),
        ({"harvest_within_d": 30.5}, "harvest_within_d", "write a whole number from 0 to 365"),
        ({"also_counted": "THC8"}, "also_counted", "write a list of: THC, THCA"),
        ({"also_counted": ["THC9"]}, "also_counted", "it must be one of: THC, THCA"),
        ({"sampling": "some"}, "sampling", "it must be one of: standard, performance, none"),
        ({"starts": "2026-11-12"}, "starts", "write a date without quotes"),
        (
            {"harvest_within": 30},
            "harvest_within",
            'is not a key of a profile; did you mean "harvest_within_d"?',
        ),
        (
            {"limit_percent": 1, "negligence_percent": 0.5, "as_of": date(2026, 11, 28)},
            "negligence_percent",
            "is 0.5, under the limit of 1",
        ),
    ],
)
def test_what_does_not_read_is_told_with_its_key_and_what_would_be_right(keys, path, words):
    _, [(found, message)] = read(**keys)
    assert found == ("profile", 0, path)
    assert words in message


def test_a_limit_without_the_day_on_which_it_was_read_is_a_problem():
    _, [(path, message)] = read(limit_percent=0.3)
    assert path == ("profile", 0)
    assert "has no as_of; write the day on which the rule was read" in message
