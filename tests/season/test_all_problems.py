"""Every problem in one reading: those among records that read, beside records that do not; none that only follows."""

from __future__ import annotations

import tomllib
from collections.abc import Callable

import pytest

from calendar_tui.season.reading import read_season

TEXT = """
format = 3
[season]
name = "Two Rivers"
first_day = 2026-09-15
last_day = 2027-05-15
[site]
latitude = -34.3
longitude = -56.7
timezone = "America/Montevideo"
[crew]
hours_per_week = { crew = 40 }
[[place]]
id = "H1"
kind = "hoop house"
lamps = { target_h = 16.0 }
[[place]]
id = "H2"
kind = "hoop house"
[[variety]]
id = "amber"
response = "short-day"
[[variety]]
id = "brook"
response = "short-day"
[[cohort]]
id = "A1"
variety = "amber"
start = "seed"
place = "H1"
planned = { seeding = 2026-10-05 }
[[cohort]]
id = "B1"
variety = "brook"
start = "seed"
place = "H2"
planned = { seeding = 2026-10-05 }
[[outage]]
place = "H1"
from = 2026-12-01
to = 2026-12-02
[[chore]]
id = "hoe"
what = "Hoe"
stage = "transplant"
who = "crew"
"""


def told(*swaps: tuple[str, str]) -> list[tuple[tuple[object, ...], str]]:
    text = TEXT
    for old, new in swaps:
        assert old in text
        text = text.replace(old, new, 1)
    return [(p.path, p.message) for p in read_season(tomllib.loads(text)).problems]


def test_the_season_itself_is_sound() -> None:
    assert told() == []


def test_a_wrong_value_hides_no_wrong_reference_and_each_has_its_place() -> None:
    problems = told(
        ('id = "A1"\nvariety = "amber"\nstart = "seed"', 'id = "A1"\nvariety = "amber"\nstart = "sed"'),
        ('variety = "brook"\nstart', 'variety = "broke"\nstart'),
        ('place = "H1"\nfrom', 'place = "H3"\nfrom'),
        ("latitude", "lat"),
    )
    assert [path for path, _ in problems] == [
        ("site",),
        ("cohort", 0, "start"),
        ("cohort", 1, "variety"),
        ("outage", 0, "place"),
    ]
    assert 'did you mean "brook"?' in problems[2][1]


FOLLOWING: dict[str, tuple[tuple[str, str], ...]] = {
    "a variety that does not read": (
        ('id = "brook"\nresponse = "short-day"', 'id = "brook"\nresponse = "sort"'),
    ),
    "a place that does not read": (('id = "H1"\nkind = "hoop house"', 'id = "H1"\nkind = "hoop"'),),
    "the last chore that does not read": (('stage = "transplant"', 'stage = "planting"'),),
    "a place without a name": (('id = "H1"\n', ""),),
    "places that are no list": (
        ('[[place]]\nid = "H2"\nkind = "hoop house"\n', ""),
        ("[[place]]", "[place]"),
    ),
    "no site": (('[site]\nlatitude = -34.3\nlongitude = -56.7\ntimezone = "America/Montevideo"\n', ""),),
    "days of the season that do not read": (("first_day = 2026-09-15", 'first_day = "September"'),),
    "a site that does not read, under lamps": (("latitude = -34.3", "latitude = -340"), ("16.0", "3.0")),
    "a misspelt name of a name": (('id = "amber"', 'ident = "amber"'),),
}


@pytest.mark.parametrize("swaps", FOLLOWING.values(), ids=FOLLOWING.keys())
def test_what_only_follows_from_another_problem_is_not_told(swaps: tuple[tuple[str, str], ...]) -> None:
    firsts = {path[0] for path, _ in told(*swaps)}
    assert len(firsts) == 1


def test_no_format_is_told_beside_all_else() -> None:
    problems = told(("format = 3", ""), ('place = "H2"', 'place = "H9"'))
    assert [path for path, _ in problems] == [("format",), ("cohort", 1, "place")]


def test_two_records_of_one_id_keep_the_places_of_those_behind_them() -> None:
    twice = '[[cohort]]\nid = "A1"\nvariety = "amber"\nstart = "seed"\nplace = "H1"\nplanned = { seeding = 2026-10-05 }\n'
    problems = told(
        ('[[cohort]]\nid = "B1"', twice + '[[cohort]]\nid = "B1"'), ('place = "H2"', 'place = "H9"')
    )
    assert [path for path, _ in problems] == [("cohort", 1, "id"), ("cohort", 2, "place")]


ONE_LETTER: dict[str, Callable[[str], str]] = {
    "a table": lambda t: t.replace("[[outage]]", "[[outages]]"),
    "a key of a table": lambda t: t.replace("timezone", "timezon"),
    "a key of a record": lambda t: t.replace("response", "respons", 1),
    "a key of an inner table": lambda t: t.replace("target_h", "traget_h"),
    "a stage": lambda t: t.replace("{ seeding", "{ seedling", 1),
    "a word": lambda t: t.replace('"hoop house"', '"hop house"', 1),
    "the variety of a cohort": lambda t: t.replace('variety = "amber"', 'variety = "ambre"'),
    "the place of a cohort": lambda t: t.replace('place = "H1"\nplanned', 'place = "h1"\nplanned'),
    "the nursery of a cohort": lambda t: t.replace('place = "H1"\nplanned', 'place = "H1"\nnursery = "h2"\nplanned'),
    "the place of an outage": lambda t: t.replace('place = "H1"\nfrom', 'place = "h1"\nfrom'),
    "the place of a programme": lambda t: t + '[[programme]]\nplace = "h1"\nfrom = 2026-12-01\nto = 2026-12-02\n'
    + 'target_h = 16\n',
    "the part of a cohort": lambda t: t.replace('kind = "hoop house"\n', 'kind = "hoop house"\nscreened = ["east", "west"]\n', 1)
    .replace('place = "H1"\nplanned', 'place = "H1"\npart = "eats"\nplanned'),
    "the stage of a chore": lambda t: t.replace('"transplant"', '"transplnt"'),
    "the role of hours": lambda t: t.replace("{ crew = 40 }", "{ cew = 40 }"),
    "a time zone": lambda t: t.replace("Montevideo", "Montevidio"),
    "a figure's mark": lambda t: t.replace('response = "short-day"', 'response = "short-day"\nmarks = { critical_dy = "own" }', 1),
    "a mark": lambda t: t.replace('response = "short-day"', 'response = "short-day"\nmarks = { critical_day = "owm" }', 1),
    "the variety of seeds in stock": lambda t: t.replace("[[place]]", '[stock]\nseeds = { ambre = 100 }\n[[place]]', 1),
}  # fmt: skip


@pytest.mark.parametrize("slip", ONE_LETTER.values(), ids=ONE_LETTER.keys())
def test_a_slip_in_a_key_or_a_name_is_told_with_what_was_meant(slip: Callable[[str], str]) -> None:
    text = slip(TEXT)
    assert text != TEXT
    problems = read_season(tomllib.loads(text)).problems
    assert any("; did you mean" in p.message for p in problems), problems
