"""Every recorded date beside what was projected or planned for it, and when that was said."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from calendar_tui.planning.laying_out.stages import Range
from calendar_tui.planning.plan import Plan
from calendar_tui.season.records import Cohort, Season
from calendar_tui.season.stages import DECIDED, DRAFTED

AT_RECORD, PLANNED, DEFAULTS = "at the record", "plan dates", "default figures"
# When a projection was made, by the key of the cohort that keeps it, in order of time.
LEADS: Mapping[str, str] = {
    "forecast_at_start": "at the start",
    "forecast_at_transplant": "at the transplant",
    "forecast_at_lights_off": "at lights off",
    "forecast": AT_RECORD,
}
# All that records are compared with, in the order in which it is shown.
BASES = (PLANNED, *LEADS.values(), DEFAULTS)


@dataclass(frozen=True, slots=True)
class Outcome:
    """A recorded date of a cohort beside what was said of it.

    basis: what said it, one of BASES. said: the day that was planned, or the likely one; earliest, latest: of its range, None
    where it had none: a plan date is one day.
    """

    cohort: str
    variety: str
    place: str
    stage: str
    basis: str
    recorded: date
    said: date
    earliest: date | None = None
    latest: date | None = None

    @property
    def error_d(self) -> int:
        """Days by which the record is later than was said; negative: it was earlier."""
        return (self.recorded - self.said).days

    @property
    def inside(self) -> bool | None:
        """Whether the record lies in the range, both ends included; None without a range."""
        if self.earliest is None or self.latest is None:
            return None
        return self.earliest <= self.recorded <= self.latest


def outcomes(season: Season) -> Iterator[Outcome]:
    """Of every cohort and stage with a record: against its plan date, and against every projection that is kept of it."""
    for cohort in season.cohorts.values():
        for stage, day in cohort.recorded.items():
            if stage in DECIDED and stage in cohort.planned:
                yield outcome(cohort, stage, PLANNED, day, cohort.planned[stage])
            for key, basis in LEADS.items():
                kept = getattr(cohort, key).get(stage)
                if kept is not None and stage not in DRAFTED:
                    yield outcome(cohort, stage, basis, day, kept)


def outcome(
    cohort: Cohort, stage: str, basis: str, recorded: date, said: date | tuple[date, date, date]
) -> Outcome:
    """One comparison. said: a day, or the earliest, likely and latest one."""
    earliest, likely, latest = (None, said, None) if isinstance(said, date) else said
    return Outcome(cohort.id, cohort.variety, cohort.place, stage, basis, recorded, likely, earliest, latest)


def projected(plan: Plan, cohort: Cohort, stage: str) -> Range | None:
    """What a plan says of a stage that it projects; None where it has a date of its own, or none."""
    stage_date = plan.ripe[cohort.id].stages.get(stage)
    return stage_date.range if stage_date is not None and stage_date.status == "projected" else None
