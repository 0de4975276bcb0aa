"""Places, varieties and cohorts of a new season, each typed in one line."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

import pytest

from calendar_tui.planning.starting.typed_lines import Lines, record_text

SITE: dict[str, Any] = {
    "name": "Hill",
    "latitude": 44.5,
    "longitude": -123.2,
    "timezone": "America/Los_Angeles",
    "first_day": date(2027, 3, 1),
    "last_day": date(2027, 12, 15),
}


@pytest.fixture
def lines() -> Lines:
    return Lines(SITE, date(2026, 12, 8), "")


@pytest.fixture
def farm(lines: Lines) -> Lines:
    for kind, line in (
        ("place", "N1 nursery lamps 18 h"),
        ("place", "H1 hoop house 180 m2 lamps 16 h"),
        ("place", "F1 field"),
        ("variety", "amber"),
        ("variety", "Cedar day-neutral"),
    ):
        lines.add(kind, line)
    return lines


@pytest.mark.parametrize(
    ("line", "record"),
    [
        (
            "H1 hoop house 180 m2 lamps 16 h",
            {"kind": "hoop house", "area_m2": 180, "lamps": {"target_h": 16.0}},
        ),
        (
            "H1 hoop house, 180 m², lamps to 16h30",
            {"kind": "hoop house", "area_m2": 180, "lamps": {"target_h": 16.5}},
        ),
        (
            "H1 lamps 16:30 hoophouse 180m2",
            {"kind": "hoop house", "area_m2": 180, "lamps": {"target_h": 16.5}},
        ),
        (
            "H1 Greenhouse lamps 16,5 h, 90.5 m2",
            {"kind": "greenhouse", "area_m2": 90.5, "lamps": {"target_h": 16.5}},
        ),
        ("H1 field 0.5 ha", {"kind": "field", "area_m2": 5000}),
        ("H1 field 1 acre no lamps", {"kind": "field", "area_m2": 4046.9}),
        ("H1 nursery", {"kind": "nursery"}),
        ("H1: nursery without lamps", {"kind": "nursery"}),
    ],
)
def test_a_place_is_read_from_its_line(lines: Lines, line: str, record: dict[str, Any]) -> None:
    assert lines.add("place", line) == {"id": "H1", **record}


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("", "the line is empty; write place such as: H1 hoop house 180 m2 lamps 16 h"),
        (
            "H1",
            "place H1: its kind is missing; write one of field, hoop house, greenhouse, nursery, such as: H1 ",
        ),
        (
            "H1 hop house",
            'place H1: "hop house" is not a kind of place; did you mean "hoop house"? Kinds: field, ',
        ),
        ("H1 field 180", 'place H1: "180" has no unit; write m2 or h behind it, such as: H1 hoop house'),
        (
            "H1 field lamps",
            "place H1: lamps to how many hours of light a day? Write lamps 16 h, or leave lamps out",
        ),
        ("H1 field lamps 25 h", "target_h is 25.0; it must be from 1 to 24"),
        ("H/1 field", 'id is "H/1"; an id has 1 to 24 letters'),
    ],
)
def test_a_place_that_cannot_be_read_is_refused_with_what_would_be_right(
    lines: Lines, line: str, why: str
) -> None:
    with pytest.raises(ValueError, match=re.escape(why)):
        lines.add("place", line)
    assert lines.records["place"] == []


def test_a_second_place_of_the_same_name_is_refused(farm: Lines) -> None:
    with pytest.raises(ValueError, match="there is a place H1 already; give this one another name"):
        farm.add("place", "h1 field")


def test_a_variety_has_a_type_or_the_one_of_which_nothing_is_known(farm: Lines) -> None:
    assert farm.records["variety"] == [
        {"id": "amber", "response": "short-day", "type": "oil-unknown"},
        {"id": "Cedar", "response": "day-neutral", "type": "day-neutral"},
    ]
    with pytest.raises(ValueError, match='"oil-zang" is not a type of variety; did you mean "oil-zhang"'):
        farm.add("variety", "fern oil-zang")


@pytest.mark.parametrize(
    "line",
    [
        "A1 amber N1 H1 100 plants, seed 20 mar, transplant +25, lights off +30",
        "A1 100 amber from N1 to H1 seeding 2027-03-20 transplant 14 apr lights off 14 may",
        "A1: H1, N1, amber, 100; sow 20 mar; transplant 14 apr; lights-off 14 may",
    ],
)
def test_a_cohort_is_read_from_its_line(farm: Lines, line: str) -> None:
    assert farm.add("cohort", line) == {
        "id": "A1",
        "variety": "amber",
        "start": "seed",
        "nursery": "N1",
        "place": "H1",
        "plants": 100,
        "planned": {
            "seeding": date(2027, 3, 20),
            "transplant": date(2027, 4, 14),
            "lights_off": date(2027, 5, 14),
        },
    }


def test_cuttings_in_one_place_have_no_nursery(farm: Lines) -> None:
    record = farm.add("cohort", "C1 cedar F1 cuttings 1 may")
    assert record == {
        "id": "C1",
        "variety": "Cedar",
        "start": "cutting",
        "place": "F1",
        "planned": {"sticking": date(2027, 5, 1)},
    }


@pytest.mark.parametrize(
    ("line", "why"),
    [
        (
            "A1 ambr H1 seed 20 mar",
            'cohort A1: "ambr" is neither a variety nor a place of this season; did you mean "amber"? ',
        ),
        (
            "A1 amber seed 20 mar",
            "cohort A1: its place is missing; write, for one, A1 amber N1 H1 100 plants, seed 15 mar, transplant +25",
        ),
        ("A1 amber H1", "cohort A1: its date of seeding or sticking is missing; write, for one, A1 amber N1"),
        ("A1 amber H1 seed soon", 'cohort A1: seeding "soon" is not a date; write 2027-03-01, 1 mar'),
        ("A1 amber H1 seed 12/8", 'cohort A1: seeding "12/8" is '),
        ("A1 amber H1 seed 20 mar transplant 1 may", "cohort A1 has no transplant: it has no nursery"),
    ],
)
def test_a_cohort_that_cannot_be_read_is_refused_with_what_would_be_right(
    farm: Lines, line: str, why: str
) -> None:
    with pytest.raises(ValueError, match=f"^{re.escape(why)}"):
        farm.add("cohort", line)
    assert farm.records["cohort"] == []


def test_what_was_understood_is_read_back(farm: Lines) -> None:
    record = farm.add("cohort", "A1 amber N1 H1 100 plants, seed 20 mar, transplant +25")
    assert record_text("cohort", record) == (
        "A1: amber, N1 then H1, 100 plants, seeding Sat 20 Mar 2027, transplant Wed 14 Apr 2027"
    )
    assert [record_text("place", r) for r in farm.records["place"]] == [
        "N1: nursery, lamps 18 h",
        "H1: hoop house, 180 m2, lamps 16 h",
        "F1: field, no lamps",
    ]
    assert record_text("variety", farm.records["variety"][0]) == "amber: type oil-unknown, short-day"


@pytest.mark.parametrize(
    ("kind", "line", "right"),
    [
        ("place", "hoop house 180 m2", "H1 hoop house 180 m2 lamps 16 h"),
        ("place", "field", "H1 hoop house 180 m2 lamps 16 h"),
        ("place", "Tunnel, lamps 16 h", "H1 hoop house 180 m2 lamps 16 h"),
        ("variety", "oil-zhang", "amber oil-unknown"),
        ("cohort", "amber F1 100 plants seed 20 mar", "A1 amber"),
    ],
)
def test_a_line_without_a_name_is_told_that_its_name_is_missing(
    farm: Lines, kind: str, line: str, right: str
) -> None:
    with pytest.raises(ValueError, match=rf"^the {kind} has no name; write it first, such as: {right}"):
        farm.add(kind, line)


def test_a_place_may_be_named_as_its_kind(lines: Lines) -> None:
    assert lines.add("place", "field field")["id"] == "field"
