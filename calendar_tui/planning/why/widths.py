"""Which figures make a range wide, from many futures of one cohort.

First-order shares of the variance over futures laid out at once (`nature/sensitivity.py`), and not one figure let vary at a
time: a range is wide from several figures at once, a trigger comes in leaps, and what a figure does while all others stand at
their likely values may be nothing at all (or all of a leap). Both agree where figures act apart; the tests hold them together.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from math import ceil, inf
from typing import NamedTuple

from calendar_tui.nature.futures import shares
from calendar_tui.nature.sensitivity import GROUPS, variance_share
from calendar_tui.planning.laying_out.early import early_stages
from calendar_tui.planning.laying_out.stages import Days
from calendar_tui.planning.laying_out.timeline import Timeline, lay_out
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.why.chain import chain
from calendar_tui.planning.why.looks import Step, best_look, best_record

# So many that a share is known to five hundredths; a cohort takes about 20 ms with them.
MANY = 4000
# A share under this is summed with the rest.
LEAST_SHARE = 0.1


# What each of nature/futures.py FIGURES is called.
NAMES: Mapping[str, str] = {
    "critical_h": "critical day",
    "width_h": "full-response day",
    "juvenile_d": "juvenile time",
    "inductive_d": "inductive days",
    "shoot_d": "days to emergence or rooting",
    "transplant_d": "days to the transplant",
    "slip_d": "slip of lights off",
    "flowering_d": "days to flowering",
    "harvest_d": "days from flowering to harvest",
    "drying_d": "days of drying",
    "record_d": "error of the count",
    "weather": "weather",
}
# The figures that go together where they were fitted to records: each future has one set, drawn by its critical day.
_IN_ONE = ("width_h", "juvenile_d", "inductive_d")
FITTED_NAME = "response to day length as fitted"


class FigureShare(NamedTuple):
    """The share, 0 to 1, of a range's width that is a figure's; figure: a key of NAMES."""

    figure: str
    share: float


@dataclass(frozen=True, slots=True)
class Width:
    """A range and what makes it wide.

    days: from the earliest to the latest date; shares: the largest first, those of a tenth and more; rest: of all other
    figures, and of what figures do together; look, record: what would narrow it most, None where none does by a tenth;
    fitted: whether the four figures of the response were fitted, and so vary as one.
    """

    days: int
    shares: tuple[FigureShare, ...]
    rest: float
    look: Step | None
    record: Step | None
    fitted: bool = False

    def name_of(self, figure: str) -> str:
        """What one of the shares is called."""
        return FITTED_NAME if self.fitted and figure == "critical_h" else NAMES[figure]

    def worth(self, step: Step | None) -> Step | None:
        """The look or record, where a day less at least is left after it."""
        return step if step is not None and self.left_d(step) < self.days else None

    def left_d(self, step: Step) -> int:
        """Days that the range is expected to have after a look or a record, rounded up: no more is promised."""
        return ceil(self.days * step.left)


def many_futures(plan: Plan, cohort_id: str, count: int = MANY) -> Timeline:
    """A cohort in so many futures."""
    season, cohort = plan.season, plan.season.cohorts[cohort_id]
    early = early_stages(season, cohort, plan.warmth, count)
    return lay_out(season, cohort, early, plan.light, plan.warmth)


def days_of(timeline: Timeline, last: date) -> Mapping[str, Days]:
    """The day of each stage in each future; what is not reached stands on the season's last day."""
    number = last.toordinal()
    return {
        stage: tuple([number if day == inf else day for day in at.days])
        for stage, at in timeline.stages.items()
    }


def width_of(plan: Plan, cohort_id: str, stage: str) -> Width | None:
    """What makes the range of a stage wide, and what would narrow it; None where it is one day or has none."""
    timeline = plan.timelines[cohort_id]
    at = timeline.stages.get(stage)
    if at is None or at.earliest == at.latest:
        return None
    many = many_futures(plan, cohort_id)
    days, futures = days_of(many, plan.season.last_day), many.futures
    assert futures is not None
    sets = timeline.variety.sets
    groups = {"critical_h": len(sets)} if sets else {}
    by_figure = {
        name: variance_share(futures.column(shares(name, futures.of)), days[stage], groups.get(name, GROUPS))
        for name in NAMES
        if not (sets and name in _IN_ONE)
    }
    open_stages = [s.stage for s in chain(timeline, stage) if s.status != "recorded"]
    width = Width((at.latest - at.earliest).days, *largest_shares(by_figure), None, None, bool(sets))
    look = best_look(days, stage, open_stages, plan.today)
    record = best_record(days, stage, open_stages)
    return replace(width, look=width.worth(look), record=width.worth(record))


def largest_shares(by_figure: Mapping[str, float]) -> tuple[tuple[FigureShare, ...], float]:
    """The shares of a tenth and more, at least the largest, and what is left of 1."""
    ranked: Sequence[FigureShare] = sorted(
        (FigureShare(*item) for item in by_figure.items()), key=lambda s: -s.share
    )
    named = tuple(s for s in ranked if s.share >= LEAST_SHARE) or tuple(ranked[:1])
    return named, max(1.0 - sum(s.share for s in named), 0.0)
