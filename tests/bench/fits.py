"""How long a fit of a variety to its records takes, by the number of its cohorts."""

from __future__ import annotations

import time
from collections.abc import Iterator
from datetime import date, timedelta
from statistics import median

from calendar_tui.planning.plan import make_plan
from calendar_tui.planning.refit.fit import fit
from calendar_tui.season.reading import read_season
from tests.bench.rows import Row
from tests.planning.fields import field_data, true_days

TRUE = (14.0, 1.5, 25, 8)


def fit_rows(rounds: int) -> Iterator[Row]:
    """Six and twelve cohorts that were seen induced, and as many to come, of which each is asked what it would teach."""
    for count in (6, 12):
        first = date(2027, 4, 15)
        days = [first + timedelta(days=7 * n) for n in range(count)]
        sowings = [(day.month, day.day) for day in (*days, *days)]
        data = field_data(sowings, true_days(sowings[:count], TRUE))
        season = read_season(data).season
        assert season is not None
        plan = make_plan(season, date(2027, 12, 1))
        spent = median(_ms(plan) for _ in range(rounds))
        yield Row(f"a variety fitted to {count} cohorts", spent, "ms", 1000 if count == 6 else 0)


def _ms(plan: object) -> float:
    begun = time.process_time()
    fit([plan], "v")  # type: ignore[list-item]
    return (time.process_time() - begun) * 1000
