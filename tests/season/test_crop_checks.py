"""What must hold among sprays, bags, results, lots, passes and batches."""

from __future__ import annotations

import tomllib

import pytest

from calendar_tui.season.reading import read_season
from tests.season_data import crop_text
from tests.storage.three_versions import BASE

COHORT = tomllib.loads(BASE)["cohort"][0]
PLACE = COHORT["place"]
CROP = crop_text(COHORT["id"], PLACE)


def problems(old: str = "", new: str = "") -> list[str]:
    assert old in CROP
    text = BASE.replace("[records]", "[records_of_base]") + (CROP.replace(old, new, 1) if old else CROP)
    data = tomllib.loads(text)
    data.pop("records_of_base", None)
    return [problem.message for problem in read_season(data).problems]


def test_records_that_name_what_is_there_have_no_problem():
    assert problems() == []


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ('lot = "L1", fresh', 'lot = "L2", fresh', 'pass p1: lot "L2" is not a cohort or lot of this season'),
        (
            'rules = "us"',
            'rules = "su"',
            'lot L1: rules "su" is not a profile of this season. Known: us',
        ),
        (
            'batch = "D1" }',
            'batch = "D2" }',
            'pass p1: batch "D2" is not a batch of this season. Known: D1',
        ),
        ('laboratory = "lab" }', 'laboratory = "x" }', 'sample 26A1TA: laboratory "x" is not a laboratory'),
        (f'place = "{PLACE}"', 'place = "Q9"', 'spray s1: place "Q9" is not a place of this season'),
        (
            'end = "17:15"',
            'end = "16:15"',
            "spray s1 ends at 16:15, before it begins at 16:30; if it ended on the next day, give end_date",
        ),
        ('end = "17:15"', 'end = "17:15", end_date = 2026-11-30', "end_date 2026-11-30 is before its date"),
        ('end = "17:15"', 'end = "17:15", cleared = "08:00"', "cleared and cleared_date go together"),
        ("out = 2027-03-30", "out = 2027-03-20", "is out on 2027-03-20, before it went in on 2027-03-24"),
        (
            "top = 31.5",
            "top = 0",
            "pass p1: 0 kg of top is no weight; leave it out until it is weighed",
        ),
        ("top = 31.5", "top = 31.5, middle = 0", "pass p1: 0 kg of middle is no weight"),
        (
            "out = 2027-03-30",
            "out = 2027-03-30, dry_kg = 31.5",
            "batch D1: 31.5 kg dry is no less than the 31.5 kg fresh of its passes",
        ),
        (
            'batch = [{ id = "D1", date = 2027-03-24',
            'batch = [{ id = "D1", date = 2027-03-23',
            "pass p1 is cut on 2027-03-24, after batch D1 went in on 2027-03-23; nothing wet is added",
        ),
        (
            "out = 2027-03-30 }]",
            'out = 2027-03-30 }]\nreading = [{ id = "m1", date = 2027-03-23, batch = "D1", moisture = 0.5 }]',
            "reading m1 is of 2027-03-23, before batch D1 went in on 2027-03-24",
        ),
        (
            "out = 2027-03-30 }]",
            'out = 2027-03-30 }]\nreading = [{ id = "m1", date = 2027-03-25, batch = "D1", moisture = 1.05 }]',
            "must be from 0 to 0.99",
        ),
        ("top = 31.5 }", 'top = 31.5 }, plots = ["3", "3"]', "pass p1: plot 3 stands there twice"),
        ('id = "L1"', f'id = "{COHORT["id"]}"', "a cohort has this id"),
    ],
)
def test_what_does_not_hold_is_told_with_what_would_be_right(old, new, message):
    assert any(message in told for told in problems(old, new)), problems(old, new)


@pytest.mark.parametrize(
    ("name", "result", "message"),
    [
        (
            "26A1TB",
            "K7Q2RY",
            'sample "26A1TB": the id of a bag has a last sign that fits the others; near it is 26A1TA',
        ),
        (
            "62A1TA",
            "26A1TA",
            'sample "62A1TA": the id of a bag has a last sign that fits the others; near it is 26A1TA',
        ),
        (
            "26a-1ta",
            "26A1TA",
            'sample "26a-1ta": the id of a bag is written in capitals without dashes; near it is 26A1TA',
        ),
        (
            "BAG7",
            "26A1TA",
            'sample "BAG7": the id of a bag has a last sign that fits the others; near it is BAGT',
        ),
        ("USED", "26A1TA", "has a last sign that fits the others; calendar-tui sample COHORT makes ids"),
    ],
)
def test_a_bag_written_by_hand_with_a_wrong_check_is_told_with_the_nearest_sound_id(name, result, message):
    text = CROP.replace('id = "26A1TA"', f'id = "{name}"').replace(
        'sample = "26A1TA"', f'sample = "{result}"'
    )
    told = read_season(tomllib.loads(BASE.replace("[records]", "[records_of_base]") + text)).problems
    assert [message in one.message for one in told] == [True], told


def test_a_spray_that_ends_after_midnight_has_its_end_date():
    assert problems('end = "17:15"', 'end = "00:15", end_date = 2026-12-02') == []


def test_a_result_of_a_bag_that_is_not_known_stops_nobody():
    assert problems('sample = "26A1TA", found', 'sample = "ZZZZZZ", found') == []
