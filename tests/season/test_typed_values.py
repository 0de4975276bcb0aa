"""What is typed for a field, as the season file has it, and back."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from calendar_tui.season.field_names import KINDS_BY_FIELDS, fields_of, find_field
from calendar_tui.season.kinds import by_kind
from calendar_tui.season.reading import read_season
from calendar_tui.season.typed_values import (
    NotRight,
    Typing,
    allowed_words,
    plain_value,
    typed_days,
    typed_text,
)
from tests.planning.farm import TODAY, farm_data
from tests.season_data import data_of

SEASON = read_season(farm_data()).season
assert SEASON is not None
AT = Typing(SEASON, TODAY)
FILES = sorted((Path(__file__).parents[2] / "seasons").glob("*.toml"))


def plain(kind: str, words: str, typed: str, at: Typing = AT, planned: date | None = None):
    return plain_value(find_field(kind, words), typed, at, planned)


def wrong(kind: str, words: str, typed: str) -> str:
    with pytest.raises(NotRight) as raised:
        plain(kind, words, typed)
    return str(raised.value)


@pytest.mark.parametrize("typed", ["14:10", "14h10", "14 h 10", "14H10", '"14:10"'])
def test_day_lengths_are_read_in_every_way_they_are_written(typed):
    assert plain("variety", "critical day", typed) == "14:10"


@pytest.mark.parametrize(
    ("interval", "days"),
    [
        ("14", 14),
        ("14d", 14),
        (" 14 days ", 14),
        ("2w", 14),
        ("2  Weeks", 14),
        ("1 W", 7),
        ("-7 d", -7),
        ("+1 day", 1),
    ],
)
def test_intervals_are_read_in_days_and_weeks(interval, days):
    assert typed_days(interval) == days


@pytest.mark.parametrize("interval", ["", "soon", "d", "2 months", "1.5 w", "٣ d", "12345"])
def test_what_is_no_interval_is_refused_with_what_would_be_right(interval):
    with pytest.raises(NotRight, match="such as 14, or weeks, such as 2w"):
        typed_days(interval)


def test_three_day_lengths_and_three_spans():
    assert plain("variety", "critical day", "13h30, 14 h, 14:30") == ["13:30", "14:00", "14:30"]
    assert plain("variety", "drying", "7, 10, 14") == [7, 10, 14]
    assert plain("variety", "drying", "7-10-14") == [7, 10, 14]
    assert plain("variety", "drying", "[7, 10, 14]") == [7, 10, 14]
    assert plain("variety", "drying", "9 d") == 9


@pytest.mark.parametrize("typed", ["1.5x0.6", "1.5 x 0.6", "1.5, 0.6", "1.5 0.6", "1.5×0.6"])
def test_spacings(typed):
    assert plain("cohort", "spacing", typed) == [1.5, 0.6]


def test_numbers_with_and_without_their_unit():
    assert plain("place", "area", "180") == plain("place", "area", "180 m2") == 180
    assert plain("cohort", "plants", "120 plants") == 120
    assert plain("capacity", "dryer", "300 kg") == 300
    assert plain("place", "lit day", "16h30") == plain("place", "lit day", "16.5 h") == 16.5
    assert plain("place", "held at", "-2, 18") == [-2, 18]


def test_another_unit_is_not_taken_for_the_fields_own():
    assert wrong("place", "area", "180 ft3") == "write a number from 0.1 to 10000000 m2"


def test_dates_are_typed_as_people_type_them():
    assert plain("cohort", "transplant", "12 jan") == date(2027, 1, 12)
    assert plain("cohort", "transplant", "+9", planned=date(2026, 12, 4)) == date(2026, 12, 13)
    assert plain("crew", "days off", "25 dec, 1 Jan 2027") == [date(2026, 12, 25), date(2027, 1, 1)]
    assert wrong("cohort", "transplant", "12/8").startswith('"12/8" is ')
    assert plain("cohort", "transplant", "8/12", AT._replace(order="day-first")) == date(2026, 12, 8)


def test_words_are_taken_in_any_letters_and_the_nearest_is_told():
    assert plain("place", "kind", "Hoop House") == "hoop house"
    assert plain("crew", "work days", "Mon, tue") == ["mon", "tue"]
    assert plain("cohort", "place", "h1") == "H1"
    assert wrong("place", "kind", "hop house").endswith('did you mean "hoop house"?')
    assert wrong("cohort", "variety", "ambre").startswith(
        '"ambre" is not a variety of this season; did you mean "amber"?'
    )


def test_yes_and_no():
    assert plain("place", "timer follows clock", "no") is False
    assert wrong("place", "timer follows clock", "maybe") == "write yes or no"


def test_a_text_stays_a_text():
    assert plain("place", "name", "12") == "12"
    assert plain("place", "name", "12h") == "12h"
    assert plain("cohort", "note", "yes, both") == "yes, both"


def test_none_takes_a_value_out_but_not_one_that_is_needed():
    assert plain("cohort", "plants", "none") is None
    assert plain("cohort", "plants", "") is None
    assert wrong("cohort", "variety", "none") == "it is needed: what is grown"


def test_messages_speak_to_one_who_types_and_not_to_one_who_writes_the_file():
    for kind, words, typed in (
        ("variety", "critical day", "long"),
        ("variety", "drying", "9, 3"),
        ("cohort", "spacing", "wide"),
        ("crew", "work days", "always"),
        ("place", "lamps on", "noon"),
        ("place", "parts", "one"),
        ("cohort", "transplant", "soon"),
    ):
        text = wrong(kind, words, typed).replace('"soon"', "")
        assert not {*text} & {*'["]'}, text
        assert "quotes" not in text


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_every_value_of_a_season_reads_back_as_it_is_typed_out(file):
    data = by_kind(data_of(file.read_text(encoding="utf-8")))
    season = read_season(data).season
    assert season is not None
    at, count = Typing(season, TODAY), 0
    for kind in KINDS_BY_FIELDS:
        tables = data.get(kind, [])
        for record in [tables] if isinstance(tables, dict) else tables:
            for field in fields_of(kind):
                value = record
                for key in field.path:
                    value = value.get(key) if isinstance(value, dict) else None
                if value is None or field.takes_name:
                    continue
                count += 1
                back = plain_value(field, typed_text(field, value), at)
                assert field.read(back) == field.read(value), field.words
    assert count > 20


def test_what_completes_a_value():
    assert allowed_words(find_field("cohort", "place"), SEASON) == tuple(SEASON.places)
    assert allowed_words(find_field("cohort", "variety"), SEASON) == tuple(SEASON.varieties)
    assert "hoop house" in allowed_words(find_field("place", "kind"), SEASON)
    assert allowed_words(find_field("place", "timer follows clock"), SEASON) == ("yes", "no")
    assert allowed_words(find_field("cohort", "plants"), SEASON) == ()


@pytest.mark.parametrize(
    ("typed", "share"), [("12%", 0.12), ("12 %", 0.12), ("10.5%", 0.105), ("0.12", 0.12), ("0%", 0)]
)
def test_a_share_is_typed_in_percent_too(typed, share):
    field = find_field("variety", "water in dried crop")
    assert plain_value(field, typed, Typing(SEASON, TODAY)) == share


@pytest.mark.parametrize("typed", ["105%", "-1%", "12%%", "35"])
def test_a_share_out_of_its_range_is_refused_with_both_ways_to_type_it(typed):
    field = find_field("variety", "water in dried crop")
    with pytest.raises(NotRight, match=r"from 0 to 0.99 share, or in percent, such as 12%"):
        plain_value(field, typed, Typing(SEASON, TODAY))


@pytest.mark.parametrize("typed", ["split-plot", "Split plot", "SPLIT-PLOT"])
def test_a_design_is_typed_with_hyphens_or_without(typed):
    assert plain("trial", "design", typed) == "split plot"


def test_a_design_with_hyphens_of_its_own_is_read_likewise():
    assert plain("trial", "design", "split-split-plot") == "split-split plot"


def test_a_beginning_that_is_neither_a_stage_nor_a_date_is_refused_with_both():
    assert wrong("sampling", "from", "blooming").endswith("; or a stage, such as flowering")
    assert plain("sampling", "from", "flowering") == "flowering"
