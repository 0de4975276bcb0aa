"""Dates that came on another day than planned, and what was the cause."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from statistics import median

from calendar_tui.season.records import Season
from calendar_tui.season.stages import DECIDED


@dataclass(frozen=True, slots=True)
class Slip:
    """A stage that came on another day than first planned. days: over 0 where it was later. cause: "" where it is not set."""

    cohort: str
    stage: str
    planned: date
    recorded: date
    cause: str

    @property
    def days(self) -> int:
        return (self.recorded - self.planned).days


@dataclass(frozen=True, slots=True)
class Cause:
    """Slips of one cause; cause: "" where none is set. later: of how many the date came later; late_d, early_d: sums of days;
    median_d: the median of their days, over 0 where later.
    """

    cause: str
    n: int
    later: int
    late_d: int
    early_d: int
    median_d: float


def slips(season: Season) -> Iterator[Slip]:
    """Every stage that the grower decides on and that came on another day, by cohort."""
    for cohort in season.cohorts.values():
        for stage in DECIDED:
            planned, recorded = cohort.planned.get(stage), cohort.recorded.get(stage)
            if planned is not None and recorded is not None and planned != recorded:
                yield Slip(cohort.id, stage, planned, recorded, cohort.causes.get(stage, "").strip())


def causes(slips: Iterable[Slip]) -> tuple[Cause, ...]:
    """By cause, written alike but for the case of letters; the most days late first, those without a cause last."""
    by_cause: dict[str, list[Slip]] = {}
    for slip in slips:
        by_cause.setdefault(slip.cause.strip().casefold(), []).append(slip)
    sums = [_sum(of) for of in by_cause.values()]
    return tuple(sorted(sums, key=lambda one: (not one.cause, -one.late_d, one.cause)))


def _sum(of: list[Slip]) -> Cause:
    days = [slip.days for slip in of]
    late = [n for n in days if n > 0]
    # Of several spellings one is shown, whatever the order of the cohorts.
    name = min(slip.cause.strip() for slip in of)
    return Cause(name, len(of), len(late), sum(late), -sum(n for n in days if n < 0), float(median(days)))
