"""A variety with a type: the figures not written come from it, a written one stands above it, and what cannot be is told."""

from __future__ import annotations

import pytest

from calendar_tui.season.reading import read_season
from calendar_tui.season.records import Span, Variety
from calendar_tui.season.variety_types import DEFAULT, from_type, variety_types, with_figures
from tests.planning.farm import farm_data

TYPES = variety_types()


def read(**keys):
    """What a season says whose variety plain has these keys; the problems, and the variety as far as it reads."""
    data = farm_data()
    data["variety"][1] = {"id": "plain", "response": "short-day"} | keys
    reading = read_season(data)
    return [p.message for p in reading.problems], reading.readable.varieties.get("plain")


@pytest.mark.parametrize("kind", [t for t in TYPES if TYPES[t].response == "short-day"])
def test_figures_that_are_not_written_come_from_the_type(kind):
    problems, variety = read(type=kind)
    assert problems == []
    assert {key: getattr(variety, key) for key in TYPES[kind].figures} == TYPES[kind].figures
    assert from_type(variety) == set(TYPES[kind].figures)


def test_a_variety_without_a_type_keeps_the_plain_figures_of_files_from_before():
    problems, variety = read()
    plain = Variety(id="plain", response="short-day")
    assert problems == []
    keys = TYPES[DEFAULT].figures
    assert {key: getattr(variety, key) for key in keys} == {key: getattr(plain, key) for key in keys}
    assert from_type(variety) == set()


def test_a_written_figure_stands_above_the_type():
    _, variety = read(type="oil-zhang", juvenile_d=[10, 12, 15])
    assert variety.juvenile_d == Span(10, 12, 15)
    assert variety.inductive_days == TYPES["oil-zhang"].figures["inductive_days"]
    assert "juvenile_d" not in from_type(variety)


def test_the_full_response_day_of_a_type_keeps_its_width_below_a_written_critical_day():
    problems, variety = read(type="oil-unknown", critical_day="12:30")
    assert problems == []
    assert [round(h * 60) for h in variety.full_response_day] == [
        626,
        672,
        718,
    ]  # 2:04, 1:18 and 0:32 below 12:30


def test_a_figure_given_later_is_as_one_that_was_written():
    _, variety = read(type="oil-zhang")
    _, written = read(type="oil-zhang", critical_day="14:30")
    assert with_figures(variety, critical_day=Span.exactly(14.5)) == written
    both = with_figures(written, full_response_day=Span.exactly(13.0))
    assert with_figures(both, critical_day=Span.exactly(15.0)).full_response_day == Span.exactly(13.0)


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        (
            {"type": "oil"},
            'type is "oil"; it must be one of: oil-unknown, oil-fitted, oil-zhang, fibre-subtropical, fibre-northern, '
            "day-neutral",
        ),
        ({"type": 3}, "type is 3; it must be one of: oil-unknown"),
        (
            {"type": "day-neutral"},
            'variety plain: type day-neutral is day-neutral, and response is short-day; write response = "day-neutral", or a '
            "type that is short-day: oil-unknown, oil-fitted, oil-zhang, fibre-subtropical, fibre-northern",
        ),
        (
            {"type": "oil-zhang", "response": "day-neutral"},
            'type oil-zhang is short-day, and response is day-neutral; write response = "short-day", or a type that is '
            "day-neutral: day-neutral",
        ),
        (
            {"type": "oil-zhang", "critical_day": ["14:30", "14:10", "14:00"]},
            "write early, likely and late in rising order",
        ),
        (
            {"type": "fibre-subtropical", "full_response_day": "13:30"},
            "full_response_day must be shorter than critical_day, which is 13 h 18 for the type fibre-subtropical; give "
            "critical_day too",
        ),
    ],
)
def test_what_a_type_cannot_be_is_told_with_what_would_be_right(keys, words):
    (problem,), _ = read(**keys)
    assert words in problem


def test_a_day_neutral_type_takes_a_critical_day_that_plays_no_part():
    problems, variety = read(type="day-neutral", response="day-neutral", critical_day="14:00")
    assert problems == []
    assert variety.emergence_to_flowering_d == TYPES["day-neutral"].figures["emergence_to_flowering_d"]


def test_every_type_has_words_a_source_and_a_mark_for_each_figure():
    assert DEFAULT == "oil-unknown"
    for kind in TYPES.values():
        assert kind.name
        assert kind.about
        assert len(kind.source) > 20
        assert set(kind.marks) == set(kind.figures)
        assert all(span.early < span.likely < span.late for span in kind.figures.values())
