"""A field book of 6,000 observations: the week, the first picture beside it, and a cell saved as the full screen does."""

from __future__ import annotations

import gc
import time
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from statistics import median

from calendar_tui.cli import GARBAGE_AFTER
from calendar_tui.planning.field_book.entries import entry_of, observed_change
from calendar_tui.planning.plan import make_plan
from calendar_tui.storage.opening import SaveCheck, open_season
from calendar_tui.storage.season_file import Loaded, save_change
from tests.bench.big_season import example_today
from tests.bench.observed_season import OBSERVATIONS, PLOTS
from tests.bench.rows import Row

WHEN = datetime(2026, 12, 8, 12, tzinfo=UTC)


def cell_row(path: Path, rounds: int) -> Row:
    """CPU time from what is typed to the plan that is drawn anew, in the order of the full screen."""
    threshold = gc.get_threshold()
    gc.set_threshold(GARBAGE_AFTER)  # as in the program
    spent = list(_cells(path, rounds + 1))[1:]
    gc.set_threshold(*threshold)
    what = f"a cell saved beside {OBSERVATIONS:,} observations of {PLOTS} plots"
    return Row(what, median(spent), "ms", 150, f"{max(spent):.0f} at most, of {rounds}")


def _cells(path: Path, count: int) -> Iterator[float]:
    today, opened = example_today(), open_season(path)
    assert opened.season is not None
    plan = make_plan(opened.season, today)
    for plot in list(opened.season.plots)[:count]:
        began = time.process_time()
        entry = entry_of(plan.season, today, plot, plan.season.variables["height"], "55.5")
        change, _ = observed_change(plan.season, today, [entry], "Ana")
        check = SaveCheck(opened)
        read = Loaded(path, opened.text, opened.data)
        saved = save_change(path, change, who="Ana", when=WHEN, check=check, loaded=read)
        opened = check.saved(saved.text, saved.data)
        assert opened.season is not None
        plan = make_plan(opened.season, today, plan)
        yield (time.process_time() - began) * 1000
