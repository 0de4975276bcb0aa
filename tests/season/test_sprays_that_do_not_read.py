"""A spray of which not all reads keeps its place closed until its record is mended."""

from __future__ import annotations

import tomllib
from datetime import date

import pytest

from calendar_tui.planning.spraying.closed_work import closed_text
from calendar_tui.planning.spraying.closures import closures
from calendar_tui.season.reading import read_season
from tests.season.test_all_problems import TEXT

DAY = date(2026, 11, 9)
SPRAY = {
    "id": '"s1"', "date": "2026-11-09", "place": '"H2"', "product": '"Soap"', "start": '"07:00"', "end": '"08:00"',
    "reentry": '"4 h"', "preharvest": '"1 d"',
}  # fmt: skip


def read(*sprays: dict[str, str]):
    rows = ",\n".join("{ " + ", ".join(f"{k} = {v}" for k, v in one.items()) + " }" for one in sprays)
    return read_season(tomllib.loads(f"{TEXT}\n[records]\nspray = [{rows}]\n"))


def closed(*sprays: dict[str, str], day: date = date(2027, 2, 1)):
    reading = read(*sprays)
    assert reading.season is None
    return {one.light: closed_text(one) for one in closures(reading.readable, day)}


def test_the_spray_itself_reads_and_is_over():
    reading = read(SPRAY)
    assert reading.problems == ()
    assert closures(reading.season, date(2027, 2, 1)) == ()


@pytest.mark.parametrize(
    "wrong",
    [
        {"date": '"soon"'},
        {"end": '"late"'},
        {"end_date": '"later"'},
        {"end_is": '"third"'},
        {"reentry": '"a while"'},
        {"condition": "3"},
        {"product": "7"},
        {"id": "7"},
    ],
)
def test_a_spray_with_a_field_that_does_not_read_keeps_its_place_closed(wrong):
    told = closed(SPRAY | wrong)
    assert list(told) == ["H2"]
    assert "until it is recorded" in told["H2"]


@pytest.mark.parametrize("lacks", ["date", "end", "product"])
def test_a_spray_that_lacks_what_it_cannot_do_without_keeps_its_place_closed(lacks):
    told = closed({key: value for key, value in SPRAY.items() if key != lacks})
    assert list(told) == ["H2"]
    assert "its record in the season file is mended" in told["H2"]


@pytest.mark.parametrize("wrong", [{"total": "7"}, {"who": "[1]"}, {"area_m2": '"much"'}])
def test_a_field_that_closes_nothing_keeps_nothing_closed(wrong):
    assert closed(SPRAY | wrong) == {}
    assert list(closed(SPRAY | wrong, day=DAY)) == ["H2"]


@pytest.mark.parametrize("place", ['"H9"', "7", None])
def test_of_a_spray_in_a_place_that_is_not_known_every_place_is_closed(place):
    spray = {key: value for key, value in (SPRAY | {"place": place}).items() if value is not None}
    told = closed(spray, day=DAY)
    assert set(told) == {light for p in read(SPRAY).season.places.values() for light in p.lights}


def test_a_record_that_is_no_table_keeps_every_place_closed():
    data = tomllib.loads(f"{TEXT}\n[records]\nspray = [3]\n")
    assert closures(read_season(data).readable, DAY)


def test_a_closure_of_no_known_day_names_none():
    assert " from " not in closed(SPRAY | {"date": '"soon"'})["H2"]


def test_of_two_sprays_with_one_id_both_close_their_places():
    other = SPRAY | {"place": '"F1"', "reentry": '"48 h"'}
    assert set(closed(other, SPRAY, day=DAY)) == {"H2", "H1"}
    assert set(closed(SPRAY, other, day=DAY)) == {"H2", "H1"}
