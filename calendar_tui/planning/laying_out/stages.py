"""Stage dates with their ranges, and how they are kept in order."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import NamedTuple

from calendar_tui.nature.plant import Response
from calendar_tui.nature.rounding import whole
from calendar_tui.season.records import Cohort, Span, Variety
from calendar_tui.season.stages import AFTER, BEFORE
from calendar_tui.season.wording import day_text, delay_text, stage_text


class Range(NamedTuple):
    """Three dates, earliest <= likely <= latest."""

    earliest: date
    likely: date
    latest: date

    def plus(self, span: Span) -> Range:
        """Each date moved by the figure of its kind."""
        return Range(*(d + timedelta(days=whole(n)) for d, n in zip(self, span, strict=True)))


@dataclass(frozen=True, slots=True)
class StageDate:
    """One stage of one cohort.

    status: "recorded" (it happened), "planned" (the grower intends it) or "projected" (worked out).
    reason: why it is on its date; "" where the status says all. intended: the date the grower intends for it, whatever
    the status. dates: every date of a stage that has several.
    """

    stage: str
    earliest: date
    likely: date
    latest: date
    status: str
    reason: str
    intended: date | None = None
    dates: tuple[date, ...] = ()

    @property
    def range(self) -> Range:
        return Range(self.earliest, self.likely, self.latest)

    @property
    def status_text(self) -> str:
        """ "projected: flowering + 45 d (38-54)", "recorded: 2 d late; planned 9 Oct", "planned"."""
        return f"{self.status}: {self.reason}" if self.reason else self.status


Stages = dict[str, StageDate]


def point(day: date) -> Range:
    return Range(day, day, day)


def in_order(cohort: Cohort, settled: Mapping[str, StageDate], stage: str, wanted: Range) -> Range:
    """`wanted` moved just so far that the stage comes after settled stages and before recorded later ones."""
    before, lower = BEFORE[stage], wanted
    for name, stage_date in settled.items():
        if name in before and (
            stage_date.earliest > lower.earliest
            or stage_date.likely > lower.likely
            or stage_date.latest > lower.latest
        ):
            lower = Range(*map(max, lower, stage_date.range))
    if not cohort.recorded:
        return lower
    upper = min((cohort.recorded[s] for s in AFTER[stage] if s in cohort.recorded), default=date.max)
    return Range(*(min(day, upper) for day in lower))


def set_stage_date(cohort: Cohort, settled: Stages, stage: str, projected: Range | None, reason: str) -> None:
    """Add the stage to `settled`: as recorded, else as intended, else as projected; nothing where it has no date."""
    recorded, intended = cohort.recorded.get(stage), cohort.intended(stage)
    if recorded is not None:
        settled[stage] = StageDate(
            stage, *point(recorded), "recorded", _recorded_reason(recorded, intended), intended
        )
        return
    wanted = projected if intended is None else point(intended)
    if wanted is None:
        return
    dates = in_order(cohort, settled, stage, wanted)
    if intended is not None and dates.likely == intended:
        settled[stage] = StageDate(stage, *dates, "planned", _planned_reason(cohort, stage), intended)
        return
    if intended is not None:
        reason = f"planned {day_text(intended)} is out of order"
    if dates.likely != wanted.likely:
        reason += f"; held to {day_text(dates.likely)} by {_holder(cohort, settled, stage, dates.likely)}"
    settled[stage] = StageDate(stage, *dates, "projected", reason, intended)


def _recorded_reason(recorded: date, intended: date | None) -> str:
    if intended is None:
        return ""
    return f"{delay_text((recorded - intended).days)}; planned {day_text(intended)}"


def _planned_reason(cohort: Cohort, stage: str) -> str:
    first = cohort.planned.get(stage)
    now = cohort.replanned.get(stage)
    if first is None or now is None or first == now:
        return ""
    days = (now - first).days
    return f"{abs(days)} d {'later' if days > 0 else 'earlier'} than first planned, {day_text(first)}"


def _holder(cohort: Cohort, settled: Mapping[str, StageDate], stage: str, day: date) -> str:
    later = [s for s in AFTER[stage] if cohort.recorded.get(s) == day]
    if later:
        return f"{stage_text(min(later))}, recorded"
    return stage_text(
        max((s for s in BEFORE[stage] if s in settled and settled[s].likely == day), default=stage)
    )


def likely_response(variety: Variety) -> Response:
    """The response to day length by the variety's likely count of short days."""
    return Response(variety.critical_day, variety.full_response_day, variety.inductive_days.likely)


def narrowed(span: Span, cohort: Cohort, spread: float) -> Span:
    """The span as this cohort has it, in its own unit; spread: 0 to 1. As given from seed, drawn in towards the likely figure from cuttings."""
    if cohort.start == "seed":
        return span
    return Span(
        span.likely - spread * (span.likely - span.early),
        span.likely,
        span.likely + spread * (span.late - span.likely),
    )
