"""Stays in a cohort's record: how they read, and what cannot be."""

import tomllib
from datetime import date
from typing import Any

import pytest

from calendar_tui.season.reading import Reading, read_season
from calendar_tui.season.records import WrittenStay
from calendar_tui.season.stay_reading import stay_rows
from calendar_tui.season.upgrades import FORMAT
from calendar_tui.storage.toml.lines import locate

HEAD = f"""format = {FORMAT}
[season]
name = "Trial"
first_day = 2026-09-01
last_day = 2027-06-30
[site]
latitude = -34.3
longitude = -56.7
timezone = "America/Montevideo"
[[place]]
id = "N1"
kind = "nursery"
[[place]]
id = "H1"
kind = "hoop house"
screened = ["east", "west"]
lamps = {{ target_h = 16.0 }}
[[place]]
id = "F1"
kind = "field"
[[variety]]
id = "amber"
response = "short-day"
[[cohort]]
id = "A1"
variety = "amber"
start = "seed"
planned = {{ seeding = 2026-10-05, transplant = 2026-10-30 }}
"""
N1, H1 = '{ place = "N1" }', '{ place = "H1", part = "east", from = "transplant" }'


def reading_of(stays: str, more: str = "") -> tuple[str, Reading]:
    text = f"{HEAD}stays = {stays}\n{more}"
    return text, read_season(tomllib.loads(text))


def test_stays_read_in_turn() -> None:
    _, reading = reading_of(f'[{N1}, {H1}, {{ place = "F1", from = 2026-12-26 }}]')
    assert reading.problems == ()
    assert reading.season is not None
    own = reading.season.cohorts["A1"]
    assert own.stays == (
        WrittenStay("N1"),
        WrittenStay("H1", "east", "transplant"),
        WrittenStay("F1", "", date(2026, 12, 26)),
    )
    assert (own.nursery, own.place, own.part) == ("N1", "F1", "")


def test_stays_are_written_as_they_read() -> None:
    text, reading = reading_of(f'[{N1}, {H1}, {{ place = "F1", from = 2026-12-26 }}]')
    assert reading.season is not None
    assert stay_rows(reading.season.cohorts["A1"].stays) == tomllib.loads(text)["cohort"][0]["stays"]


# The stays, further keys of the record, words of the problem, and of the text at which it is told.
WRONG: dict[str, tuple[str, str, str, str]] = {
    "a place too": (f"[{N1}, {H1}]", 'place = "F1"', "place is given beside stays", 'place = "F1"'),
    "a nursery too": (f"[{N1}, {H1}]", 'nursery = "N1"', "nursery is given beside stays", 'nursery = "N1"'),
    "no list": ('"H1"', "", 'write a list such as [{ place = "N1" }', "stays"),
    "no stays": ("[]", "", "write a list such as", "stays"),
    "no place": ('[{ part = "east" }]', "", "has a stay without place", "stays"),
    "an unknown key": ('[{ place = "N1", form = "x" }]', "", 'did you mean "from"', "stays"),
    "an unknown place": ('[{ place = "NN1" }, ' + H1 + "]", "", 'did you mean "N1"', 'place = "NN1"'),
    "an unknown part": (
        f'[{N1}, {{ place = "H1", part = "easst", from = "transplant" }}]',
        "",
        'did you mean "east"',
        'part = "easst"',
    ),
    "no part": (f'[{N1}, {{ place = "H1", from = "transplant" }}]', "", 'add part = "east"', 'place = "H1"'),
    "a first stay from a date": (
        f'[{{ place = "N1", from = 2026-10-05 }}, {H1}]',
        "",
        "its first stay, in N1, begins with the cohort; leave its from out",
        "from = 2026-10-05",
    ),
    "a later stay from nothing": (
        f'[{N1}, {H1}, {{ place = "F1" }}]',
        "",
        "its stay in F1 has no from; add a stage or a date",
        'place = "F1"',
    ),
    "no stage": (f'[{N1}, {{ place = "F1", from = "transplnt" }}]', "", 'did you mean "transplant"', "stays"),
    "a stage of cuttings": (
        f'[{N1}, {{ place = "N1", from = "rooted" }}, {H1}]',
        "",
        "no stay begins with rooted; write a date, or one of: emergence, transplant,",
        'from = "rooted"',
    ),
    "a stage that rests on where it stands": (
        f'[{N1}, {H1}, {{ place = "F1", from = "trigger" }}]',
        "",
        "no stay begins with trigger; write a date, or one of:",
        'from = "trigger"',
    ),
    "after the harvest": (
        f'[{N1}, {H1}, {{ place = "F1", from = "harvest" }}]',
        "",
        "no stay begins with harvest",
        'from = "harvest"',
    ),
    "outside the season": (
        f'[{N1}, {H1}, {{ place = "F1", from = 2027-12-26 }}]',
        "",
        "its stay in F1 from 2027-12-26 is outside the season, 2026-09-01 to 2027-06-30",
        "from = 2027-12-26",
    ),
    "dates the wrong way round": (
        f'[{N1}, {H1}, {{ place = "F1", from = 2026-12-26 }}, {{ place = "N1", from = 2026-12-20 }}]',
        "",
        "its stay in N1 from 2026-12-20 must come after the one in F1 from 2026-12-26",
        "from = 2026-12-20",
    ),
    "stages the wrong way round": (
        f'[{N1}, {H1}, {{ place = "F1", from = "emergence" }}]',
        "",
        "its stay in F1 from emergence must come after the one in H1 east from transplant",
        'from = "emergence"',
    ),
}


@pytest.mark.parametrize("name", WRONG)
def test_what_cannot_be_is_told_where_it_stands(name: str) -> None:
    stays, more, words, at = WRONG[name]
    text, reading = reading_of(stays, more)
    assert reading.season is None
    (problem,) = [p for p in reading.problems if words in p.message]
    place = locate(text).place(problem.path)
    assert place is not None
    line, column = place
    assert text.splitlines()[line - 1][column - 1 :].startswith(at)


def test_a_transplant_needs_a_stay_that_begins_with_it() -> None:
    _, reading = reading_of('[{ place = "N1" }, { place = "F1", from = 2026-10-30 }]')
    (problem,) = reading.problems
    assert problem.path == ("cohort", 0, "planned", "transplant")
    assert 'A1 has no transplant: none of its stays has from = "transplant"' in problem.message


def test_lights_off_needs_lamps_in_one_of_the_places_in_which_it_grows() -> None:
    off = "replanned = { lights_off = 2027-01-10 }"
    _, reading = reading_of(f'[{N1}, {H1}, {{ place = "F1", from = 2026-12-26 }}]', off)
    assert reading.problems == ()
    dark: dict[str, Any] = tomllib.loads(
        HEAD + f'stays = [{N1}, {{ place = "F1", from = "transplant" }}]\n{off}'
    )
    (problem,) = read_season(dark).problems
    assert "has lights_off, but its place F1 has no lamps" in problem.message


def test_a_cohort_without_place_and_stays_is_told_the_place_it_lacks() -> None:
    (problem,) = read_season(tomllib.loads(HEAD)).problems
    assert "the cohort has no place; add place = ..." in problem.message
