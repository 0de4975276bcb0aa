"""Seasons with very many records, some of them wrong: as many problems as records, and no more work than that."""

from __future__ import annotations

import tomllib
from functools import partial

import pytest

from calendar_tui.season.readers import choices, near
from calendar_tui.season.reading import read_season
from tests.counting import lines_run
from tests.season.test_checks import TEXT

OUTAGE = '[[outage]]\nplace = "H1"\nfrom = 2027-05-{:02}\nto = 2027-05-{:02}\n'
PROGRAMME = OUTAGE.replace("outage", "programme") + "target_h = 18.0\n"


def problems(text):
    return read_season(tomllib.loads(text)).problems


@pytest.mark.parametrize("kind", ["outage", "programme"])
def test_overlapping_nights_make_one_problem_each(kind):
    record = {"outage": OUTAGE, "programme": PROGRAMME}[kind].format(10, 12)
    one, many = (TEXT + record * n for n in (50, 100))
    found = [p for p in problems(many) if "overlaps" in p.message and p.path[0] == kind]
    assert 98 <= len(found) <= 101
    work = [lines_run(partial(read_season, tomllib.loads(text))) for text in (TEXT, one, many)]
    assert work[2] - work[0] < 2.2 * (work[1] - work[0])


def test_nights_that_overlap_are_found_in_any_order():
    bare = TEXT.replace("from = 2027-05-01\nto = 2027-05-02", "from = 2027-06-01\nto = 2027-06-02")
    nights = [(1, 20), (2, 3), (5, 6), (21, 22), (22, 23)]
    for turn in range(len(nights)):
        text = bare + "".join(OUTAGE.format(*n) for n in nights[turn:] + nights[:turn])
        found = [p for p in problems(text) if "overlaps" in p.message and p.path[0] == "outage"]
        assert len(found) == 3, turn


def test_a_sentence_lists_many_known_words_but_not_all():
    known = [f"v{n}" for n in range(5000)]
    said = choices("v49999", known)
    assert said.startswith('; did you mean "v4')
    assert said.endswith(", v59 and 4940 more")
    assert choices("zzz", known[:3]) == ". Known: v0, v1, v2"


def test_the_nearest_word_is_found_among_very_many():
    known = [f"{letter}{n}" for letter in "abc" for n in range(1000)]
    assert near("B77x", known) == '; did you mean "b77"?'
    assert lines_run(lambda: near("b7x", known * 2)) < 2 * lines_run(lambda: near("b7x", known))
