"""Dates as people type them."""

from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calendar_tui.season.date_words import DAYS_FROM_TODAY, MONTHS, WEEKDAYS, plain_date_text
from calendar_tui.season.typed_dates import read_day_text, typed_date

ASKED = {
    "today": date(2026, 12, 8),  # a Tuesday
    "planned": date(2026, 11, 20),
    "first_day": date(2026, 9, 15),
    "last_day": date(2027, 5, 15),
}


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("2027-03-19", date(2027, 3, 19)),
        ("19 mar", date(2027, 3, 19)),
        ("5 Oct", date(2026, 10, 5)),
        ("19/3/2027", date(2027, 3, 19)),
        ("2027-3-9", date(2027, 3, 9)),
        ("2027/03/09", date(2027, 3, 9)),
        ("20270309", date(2027, 3, 9)),
        ("fri 19 mar", date(2027, 3, 19)),
        ("+9", date(2026, 11, 29)),
        ("-3", date(2026, 11, 17)),
        ("fri", date(2026, 12, 4)),
        ("Tuesday", date(2026, 12, 8)),
        ("today", date(2026, 12, 8)),
        ("yesterday", date(2026, 12, 7)),
        ("in 2 weeks", date(2026, 12, 22)),
        ("in a week", date(2026, 12, 15)),
        ("3 days ago", date(2026, 12, 5)),
        ("+3d", date(2026, 11, 23)),
        ("+2 weeks", date(2026, 12, 4)),
        ("-1w", date(2026, 11, 13)),
        ("last fri", date(2026, 12, 4)),
        ("last tuesday", date(2026, 12, 1)),
        ("next fri", date(2026, 12, 11)),
        ("the day after tomorrow", date(2026, 12, 10)),
    ],
)
def test_a_typed_date_is_read(text, expected):
    assert typed_date(text, **ASKED) == expected


def test_a_weekday_to_come_is_the_next_one():
    assert typed_date("fri", **ASKED, past=False) == date(2026, 12, 11)


# Spanish as it is spoken on American farms; no source for a list of such words is needed beside any dictionary.
SPANISH = {
    "hoy": date(2026, 12, 8),
    "ayer": date(2026, 12, 7),
    "anteayer": date(2026, 12, 6),
    "mañana": date(2026, 12, 9),
    "MANANA": date(2026, 12, 9),
    "pasado mañana": date(2026, 12, 10),
    "viernes": date(2026, 12, 4),
    "el viernes": date(2026, 12, 4),
    "vie": date(2026, 12, 4),
    "Miércoles": date(2026, 12, 2),
    "próximo lunes": date(2026, 12, 14),
    "el proximo lunes": date(2026, 12, 14),
    "lunes que viene": date(2026, 12, 14),
    "sábado pasado": date(2026, 12, 5),
    "próximo mar": date(2026, 12, 15),
    "15 ene 2027": date(2027, 1, 15),
    "15 de enero de 2027": date(2027, 1, 15),
    "15 ENE.": date(2027, 1, 15),
    "3 ago": date(2026, 8, 3),
    "4 de setiembre": date(2026, 9, 4),
    "mar 8 dic": date(2026, 12, 8),
    "mar 9 mar 2027": date(2027, 3, 9),
    "9 mar": date(2027, 3, 9),
    "mié, 9/12": date(2026, 12, 9),
    "en 2 semanas": date(2026, 12, 22),
    "dentro de 1 semana": date(2026, 12, 15),
    "hace 3 días": date(2026, 12, 5),
    "+3 días": date(2026, 11, 23),
}


@pytest.mark.parametrize("text", SPANISH)
def test_spanish_words_are_read_in_any_case_with_accents_or_without(text):
    assert typed_date(text, **ASKED) == SPANISH[text]
    bare = text.translate(str.maketrans("áéíóúñ", "aeioun"))
    assert typed_date(bare.upper(), **ASKED) == SPANISH[text]


@settings(max_examples=200, deadline=None, derandomize=True)
@given(st.dates(date(1999, 1, 4), date(2200, 1, 1)))
def test_a_week_is_its_monday_as_iso_8601_counts_weeks(day):
    """Against the standard library's reader of ISO 8601 dates."""
    week = f"{day:%G-W%V}"
    assert typed_date(week, **ASKED) == date.fromisoformat(f"{week}-1")
    assert typed_date(f"{week}-{day:%u}".lower(), **ASKED) == day
    assert typed_date(f"{day:%GW%V}", **ASKED).weekday() == 0


@pytest.mark.parametrize(
    ("text", "expected"),
    [("w2", date(2027, 1, 11)), ("week 50", date(2026, 12, 7)), ("semana 53", date(2026, 12, 28))],
)
def test_a_week_without_a_year_is_the_one_in_the_season(text, expected):
    assert typed_date(text, **ASKED) == expected


def test_numbers_are_told_with_their_order_where_they_may_be_meant_otherwise():
    assert read_day_text("8/12", date(2026, 12, 8)) == "Tue 8 Dec 2026, the day first"
    assert read_day_text("12/8", date(2026, 12, 8)) == "Tue 8 Dec 2026, the month first"
    assert read_day_text("12/12", date(2026, 12, 12)) == "Sat 12 Dec 2026"
    assert read_day_text("13/12", date(2026, 12, 13)) == "Sun 13 Dec 2026"


def test_a_week_is_told_with_its_monday():
    assert read_day_text("2027-W02", date(2027, 1, 11)) == "Mon 11 Jan 2027, the Monday of week 2"
    assert read_day_text("2027-W02-3", date(2027, 1, 13)) == "Wed 13 Jan 2027"


def test_a_word_that_is_a_month_or_a_weekday_is_told():
    with pytest.raises(ValueError, match=r'"mar" is March or martes; write 2026-12-08, 8 dec, .* a weekday'):
        typed_date("mar", **ASKED)


def test_no_word_is_of_two_months_or_weekdays():
    words = [word for names in (*MONTHS, *WEEKDAYS, *DAYS_FROM_TODAY) for word in
             (names if isinstance(names, tuple) else (names,))]  # fmt: skip
    assert len(words) == len({*words})
    assert all(plain_date_text(word) == word for word in words)


@pytest.mark.parametrize(
    "text", ["2027-W54", "2027-W00", "w60", "viernes 8 dic", "+999w 3", "el 5", "next week"]
)
def test_what_is_typed_wrong_is_told_with_examples_of_every_way(text):
    with pytest.raises(ValueError, match=r"a weekday, in 2 weeks, 2026-W50 \(its Monday\), or today"):
        typed_date(text, **ASKED)


@pytest.mark.parametrize(
    "text", ["", "foo", "12", "mar", "mar 2027", "2027-02-30", "next week", "32 mar", "mon 19 mar"]
)
def test_what_is_no_date_is_told_with_what_would_be_right(text):
    with pytest.raises(ValueError, match="write 2026-12-08, 8 dec"):
        typed_date(text, **ASKED)


def test_a_day_of_no_year_near_the_season_is_told():
    with pytest.raises(ValueError, match="not in the calendar of this season"):
        typed_date("29 feb", **{**ASKED, "first_day": date(2026, 1, 1), "last_day": date(2026, 12, 31)})


def test_days_from_the_plan_need_a_planned_date():
    with pytest.raises(ValueError, match="none is planned; write ") as refused:
        typed_date("+9", **{**ASKED, "planned": None})
    assert "days from the plan)" not in str(refused.value)


@settings(max_examples=300, deadline=None, derandomize=True)
@given(
    st.one_of(
        st.text(max_size=12),
        st.lists(
            st.sampled_from(
                [
                    "19",
                    "3",
                    "mar",
                    "2027",
                    "/",
                    "-",
                    ".",
                    " ",
                    "+9",
                    "fri",
                    "29 feb",
                    "ene",
                    "próximo",
                    "mar",
                    "W53",
                    "in 999 weeks",
                    "hace",
                    "24:00",
                    "T",
                    "Z",
                    "am",
                    "1e9",
                ]
            ),
            max_size=6,
        ).map("".join),
    )
)
def test_whatever_is_typed_gives_a_date_or_a_sentence(text):
    try:
        found = typed_date(text, **ASKED)
    except ValueError as wrong:
        assert "write " in str(wrong)  # noqa: PT017 - a date is as good an answer
    else:
        assert type(found) is date


AMBIGUOUS = {
    "12/8": '"12/8" is 12 Aug 2026 or 8 Dec 2026; write 12 aug or 8 dec',
    "1/4": '"1/4" is 1 Apr 2027 or 4 Jan 2027; write 1 apr or 4 jan',
    "3-4": '"3-4" is 3 Apr 2027 or 4 Mar 2027; write 3 apr or 4 mar',
    "12 8": '"12 8" is 12 Aug 2026 or 8 Dec 2026; write 12 aug or 8 dec',
    "12/8/2026": '"12/8/2026" is 12 Aug 2026 or 8 Dec 2026; write 12 aug 2026 or 8 dec 2026',
    "12/8/26": '"12/8/26" is 12 Aug 2026 or 8 Dec 2026; write 12 aug 2026 or 8 dec 2026',
}


@pytest.mark.parametrize("text", AMBIGUOUS)
def test_numbers_that_are_two_dates_are_refused_with_both_written_out(text):
    with pytest.raises(ValueError) as refused:  # noqa: PT011 - the sentence is compared whole
        typed_date(text, **ASKED)
    assert str(refused.value) == AMBIGUOUS[text]


@pytest.mark.parametrize(
    ("text", "order", "expected"),
    [
        ("20/12", "", date(2026, 12, 20)),
        ("12/20", "", date(2026, 12, 20)),
        ("8/8", "", date(2026, 8, 8)),
        ("12.8.", "", date(2026, 8, 12)),
        ("12. 8. 2026", "", date(2026, 8, 12)),
        ("tue 12/8", "", date(2026, 12, 8)),  # the weekday leaves one of the two
        ("12/8", "day-first", date(2026, 8, 12)),
        ("12/8", "month-first", date(2026, 12, 8)),
        ("12/8/2026", "month-first", date(2026, 12, 8)),
        ("8/8", "month-first", date(2026, 8, 8)),
        ("20/12", "day-first", date(2026, 12, 20)),
        ("12/20", "month-first", date(2026, 12, 20)),
    ],
)
def test_numbers_that_are_one_date_are_taken(text, order, expected):
    assert typed_date(text, **ASKED, order=order) == expected


@pytest.mark.parametrize(
    ("text", "order", "right"),
    [
        ("12/20", "day-first", "write 20 dec"),
        ("20/12", "month-first", "write 20 dec"),
        ("12.8.", "month-first", "write 12 aug"),
        ("12.20.", "", "not a day of the calendar"),
    ],
)
def test_numbers_of_another_order_than_the_one_set_are_refused(text, order, right):
    with pytest.raises(ValueError, match=right):
        typed_date(text, **ASKED, order=order)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("tomorrow", date(2026, 12, 9)),
        ("next friday", date(2026, 12, 11)),
        ("next fri", date(2026, 12, 11)),
        ("next tue", date(2026, 12, 15)),
    ],
)
def test_tomorrow_and_a_next_weekday_are_after_today(text, expected):
    assert typed_date(text, **ASKED) == typed_date(text, **ASKED, past=False) == expected


@pytest.mark.parametrize(
    ("today", "example"),
    [
        (date(2026, 12, 8), "2026-12-08, 8 dec"),
        (date(2026, 7, 1), "2026-09-15, 15 sep"),
        (date(2028, 7, 1), "2027-05-15, 15 may"),
    ],
)
def test_the_date_shown_as_an_example_is_one_of_the_season(today, example):
    with pytest.raises(ValueError, match=f"write {example}"):
        typed_date("32 oct", **{**ASKED, "today": today})
