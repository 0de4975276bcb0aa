"""How long the response of planting dates takes: one curve, and a survey of many sites on one and on two processes."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import timedelta
from math import inf
from statistics import median

from calendar_tui.commands.response_many import handing_out, in_turn
from calendar_tui.nature import sky
from calendar_tui.planning.response.many import Piece
from calendar_tui.planning.response.outcomes import Planting, response
from calendar_tui.season.reading import read_season
from calendar_tui.season.records import Season
from tests.bench.big_season import heated, season_data
from tests.bench.rows import Row

YEAR_D, DATES = 365, 366
WORKERS = (1, 2)
HOUSE = Planting(variety="amber", place="H1-00", nursery="N1")
WAYS = (
    ("natural days", HOUSE),
    ("lamps for 28 d", replace(HOUSE, lights_off=28)),
    ("sown in place", replace(HOUSE, nursery=None)),
)


def response_rows(rounds: int) -> Iterator[Row]:
    """One curve of 366 dates, its sky worked out each time; then surveys by growing counts of sites and workers."""
    season = _season()
    for name, planting in WAYS:
        spent = median(_ms(lambda p=planting: _curve(season, p)) for _ in range(rounds))  # type: ignore[misc]
        yield Row(f"response of 366 dates, {name}", spent, "ms", 300)
    for years in (1, 30):
        warm = heated(season, years)
        spent = median(_ms(lambda s=warm: _curve(s, HOUSE)) for _ in range(rounds))  # type: ignore[misc]
        yield Row(f"response of 366 dates on heat, {years} years", spent, "ms", 0 if years > 1 else 300)
    yield from _surveys(season, rounds)


def _surveys(season: Season, rounds: int) -> Iterator[Row]:
    """The best of the rounds, in which one and two workers take turns: what the machine does when it is left alone."""
    for sites in (5, 10, 20, 40):
        spent = dict.fromkeys(WORKERS, inf)
        for _ in range(rounds):
            for workers in WORKERS:
                spent[workers] = min(spent[workers], _survey(season, sites, workers))
        for workers in WORKERS:
            noun = "worker" if workers == 1 else "workers"
            note = f"{spent[workers]:.2f} s"
            rows = sites * DATES / spent[workers]
            yield Row(f"response of {sites} sites, {workers} {noun}", rows, "rows/s", note=note)


def _survey(season: Season, sites: int, workers: int) -> float:
    """Seconds for a curve of 366 dates for each site, each at a latitude of its own, whose sky is worked out."""
    with handing_out(None, workers) as submit:
        # The first pieces start the processes.
        list(in_turn(submit, _pieces(season, 2 * workers, 0.001), 2 * workers))
        _forget()
        begun = time.perf_counter()
        rows = sum(
            len(columns.years) for columns in in_turn(submit, _pieces(season, sites, 0.0), 4 * workers)
        )
        spent = time.perf_counter() - begun
    assert rows == sites * DATES
    return spent


def _pieces(season: Season, sites: int, shift: float) -> Iterator[Piece]:
    for n in range(sites):
        site = replace(season.site, latitude=-50 + 100 * n / sites + shift)
        last = season.first_day + timedelta(days=YEAR_D)
        yield Piece(str(n), replace(season, site=site), HOUSE, season.first_day, last)


def _season() -> Season:
    season = read_season(season_data(1, 100)).season
    assert season is not None
    return replace(season, cohorts={}, chores={}, tasks=())


def _forget() -> None:
    """Have the sky worked out anew."""
    for function in vars(sky).values():
        if hasattr(function, "cache_clear"):
            function.cache_clear()


def _curve(season: Season, planting: Planting) -> None:
    _forget()
    response(season, planting, season.first_day, season.first_day + timedelta(days=YEAR_D))


def _ms(work: Callable[[], None]) -> float:
    begun = time.perf_counter()
    work()
    return (time.perf_counter() - begun) * 1000
