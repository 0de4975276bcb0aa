"""The days of a lot side by side: each bar stands under its dates, and what is not known has none."""

from datetime import date, timedelta

import pytest

from calendar_tui.handing_on.words.lot_strip import LABEL, legend, strip_lines
from tests.planning.cut_farm import TODAY, bags, cut, official, planned

WIDTH = 78


def bars(width=WIDTH, ascii_only=True, **more):
    lines = [*strip_lines(cut(planned(**more)), TODAY, width, ascii_only)]
    return {line[:LABEL].strip(): line[LABEL:] for line in lines}


def column(drawn, day):
    """The column of a day: the first line begins two days before the earliest of all, one column a day."""
    first = drawn[""].split()[:2]
    begin = date(2027, {"Mar": 3, "Apr": 4, "May": 5}[first[1]], int(first[0]))
    return (day - begin).days


def test_each_bar_stands_under_its_dates():
    drawn = bars(official=[official(date(2027, 3, 20))])
    assert set(drawn) == {"", "ripe", "may be cut", "sample holds"}
    cuttable = drawn["may be cut"]
    assert cuttable.index("#") == column(drawn, date(2027, 3, 20))
    assert len(cuttable) - 1 == column(drawn, date(2027, 4, 19))
    assert drawn["ripe"].index("o") == column(drawn, date(2027, 4, 10))
    assert drawn["ripe"].index("-") == column(drawn, date(2027, 4, 3))


def test_a_conflict_is_drawn_from_the_day_that_is_too_late_to_the_one_that_is_too_early():
    drawn = bars(official=[official(date(2027, 4, 14))], **bags())
    assert "may be cut" not in drawn
    assert drawn["conflict"].index("x") == column(drawn, date(2027, 4, 8))
    assert drawn["conflict"].count("x") == 7
    assert "limit" in drawn


def test_a_lot_that_waits_has_no_bar_of_days_to_cut():
    assert set(bars()) == {"", "ripe"}


@pytest.mark.parametrize("width", [32, 40, 78, 160])
def test_it_keeps_to_its_width_and_to_plain_signs_where_these_are_asked_for(width):
    drawn = bars(width, official=[official(date(2027, 3, 20))], **bags())
    assert max(LABEL + len(line) for line in drawn.values()) <= width
    assert "".join(drawn.values()).isascii()
    assert legend(True).isascii()


def test_without_room_or_with_nothing_left_to_cut_there_is_none():
    assert bars(20) == {}
    done = {"pass": [{"id": "p1", "date": TODAY - timedelta(days=1), "lot": "A1", "last": True}]}
    assert bars(**done) == {}


def test_of_a_lot_whose_days_are_all_far_off_none_is_drawn():
    """An axis without a bar on it would tell nothing; the sentences have the days."""
    far = TODAY - timedelta(days=150)
    assert [*strip_lines(cut(planned()), far, WIDTH, True)] == []
