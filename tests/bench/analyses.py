"""How long a trial of 192 plots takes to be analysed: the dearest designs, whole and with plots missing."""

from __future__ import annotations

import time
from collections.abc import Iterator
from statistics import median

from calendar_tui.planning.plan import Plan
from calendar_tui.planning.trial_analysis.working_out import every_analysis
from tests.bench.rows import Row
from tests.planning.large_trials import DESIGNS, large_plan

GONE = (1, 20, 44, 80, 121, 150)


def analysis_rows(rounds: int) -> Iterator[Row]:
    """CPU of each design, the budget that of one second."""
    for design in DESIGNS:
        for gone, how in (((), ""), (GONE, ", 6 missing")):
            plan = large_plan(design, gone)
            spent = median(_ms(plan) for _ in range(rounds))
            yield Row(f"{design}, 192 plots{how}, analysed", spent, "ms", 1000)


def _ms(plan: Plan) -> float:
    begun = time.process_time()
    every_analysis(plan.season, plan.season.trials["K1"])
    return (time.process_time() - begun) * 1000
