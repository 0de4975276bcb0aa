"""Pieces of work for many sites: what they give is what the curve gives, in plain columns that any process can hand back."""

from __future__ import annotations

import pickle
from dataclasses import replace
from datetime import date, timedelta
from functools import partial

import pytest

from calendar_tui.planning.laying_out.warmth import season_warmth
from calendar_tui.planning.response.many import DATES, NO_GROWTH, OutcomeColumns, Piece, work
from calendar_tui.planning.response.outcomes import Outcome, Planting, response
from calendar_tui.season.records import Season, Span
from tests.counting import lines_run
from tests.planning.farm import season_at
from tests.planning.test_heat_plan import season as heat_season
from tests.planning.test_heat_plan import seattle
from tests.planning.test_published_crops import FLORIDA

FIRST, LAST = date(2026, 2, 1), date(2027, 1, 15)
DAY = timedelta(days=1)
FIELD = Planting(variety="plain", place="F1")


def day_of(found: OutcomeColumns, name: str, row: int) -> date | None:
    number = found.dates[name][row]
    return date.fromordinal(number) if number else None


def seen(found: OutcomeColumns, row: int) -> list[object]:
    days = [day_of(found, name, row) for name in DATES]
    grown = found.growth_d[row]
    return [*days, None if grown == NO_GROWTH else grown, found.never[row]]


def expected(of: Outcome) -> list[object]:
    out: list[object] = [of.planted, of.begun, of.up, of.transplant, of.lights_off]
    for dates in (of.trigger, of.induced, of.flowering, of.harvest):
        out += [None] * 3 if dates is None else [dates.likely, dates.earliest, dates.latest]
    return [*out, of.growth_d, of.never]


def field() -> Season:
    return season_at(FLORIDA, FIRST, LAST)


@pytest.mark.parametrize("every_d", [1, 7])
def test_the_rows_of_a_piece_are_the_dates_of_the_curve(every_d: int) -> None:
    found = work(Piece("here", field(), FIELD, FIRST, FIRST + 50 * DAY, every_d))
    curve = response(field(), FIELD, FIRST, FIRST + 50 * DAY)
    rows = curve.outcomes[::every_d]
    assert [seen(found, n) for n in range(len(found.years))] == [expected(o) for o in rows]
    assert set(found.years) == {""}


def test_a_piece_goes_to_another_process_and_comes_back() -> None:
    piece = Piece("here", field(), FIELD, FIRST, FIRST + 20 * DAY)
    assert pickle.loads(pickle.dumps(work(pickle.loads(pickle.dumps(piece))))) == work(piece)


def test_each_weather_year_is_a_row_as_if_it_were_the_only_one() -> None:
    season = heat_season(seattle())
    first = date(2027, 4, 10)
    piece = Piece("here", season, FIELD, first, first + 20 * DAY, 10)
    found = work(piece)
    years = ["2012-13", "2013-14", "2014-15"]  # from April 2015 on there is less than a year of record
    assert list(found.years) == [year for year in years for _ in range(3)]
    ups = {day_of(found, "up", row) for row in range(0, 9, 3)}
    assert len(ups) > 1
    together = work(replace(piece, each_year=False))
    assert set(together.years) == {""}
    assert [seen(together, n) for n in range(3)] == [
        expected(o) for o in response(season, FIELD, first, first + 20 * DAY).outcomes[::10]
    ]
    # The range over the years lies within what the years alone give.
    for name in ("up", "trigger", "flowering"):
        alone = [day_of(found, name, row) for row in range(0, 9, 3)]
        likely = day_of(together, name, 0)
        assert likely is not None
        assert min(filter(None, alone)) <= likely <= max(filter(None, alone))


def test_without_temperatures_there_is_one_row_a_date_and_it_is_told() -> None:
    season = replace(heat_season(seattle()), weather=None)
    assert season_warmth(season) is not None
    found = work(Piece("here", season, FIELD, FIRST, FIRST + DAY))
    assert found.years == ("", "")
    assert any("no temperatures" in said for said in found.notes)


def test_what_never_flowers_has_no_dates_and_says_why() -> None:
    season = field()
    long = replace(
        season.varieties["plain"], critical_day=Span.exactly(9.0), full_response_day=Span.exactly(8.0)
    )
    found = work(Piece("here", replace(season, varieties={"plain": long}), FIELD, FIRST, FIRST))
    assert day_of(found, "flowering", 0) is None
    assert found.growth_d[0] == NO_GROWTH
    assert "never under 9 h 00" in found.never[0]


@pytest.mark.slow
def test_work_grows_with_the_dates_and_a_second_variety_finds_the_sky_worked_out() -> None:
    pieces = [Piece("here", field(), FIELD, FIRST, FIRST + 364 * DAY, every_d) for every_d in (8, 4, 2)]
    for piece in pieces:
        work(piece)
    few, more, most = (lines_run(partial(work, piece)) for piece in pieces)
    assert most - more < 2.2 * (more - few)
    elsewhere = replace(field(), site=replace(field().site, latitude=25.25))
    fresh = replace(pieces[0], season=elsewhere)
    cold, warm = (lines_run(partial(work, fresh)) for _ in range(2))
    assert warm < cold
