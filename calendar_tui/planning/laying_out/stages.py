"""Stage dates, in the likely run and in each future, and how they are kept in order."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from math import inf
from typing import NamedTuple, Protocol

from calendar_tui.language.speaking import phrase, tr, translated
from calendar_tui.nature.futures import tenths
from calendar_tui.nature.plant import Response
from calendar_tui.nature.rounding import whole
from calendar_tui.season.records import Cohort, Span, Variety
from calendar_tui.season.stages import AFTER, BEFORE, EARLY
from calendar_tui.season.wording import day_text, delay_text, stage_text

# A day's number (date.toordinal) in each future; infinite where it does not come within the season.
Days = tuple[float, ...]


class Range(NamedTuple):
    """Three dates, earliest <= likely <= latest."""

    earliest: date
    likely: date
    latest: date


class Course(NamedTuple):
    """When something comes: in the likely run, and in each future."""

    likely: date
    days: Days

    def plus(self, likely: float, by_future: Sequence[float]) -> Course:
        """So many days later in the likely run, and in each future."""
        return Course(
            self.likely + timedelta(days=whole(likely)),
            tuple([day + whole(more) for day, more in zip(self.days, by_future, strict=True)]),
        )


class When(Protocol):
    """What a course says."""

    @property
    def likely(self) -> date: ...

    @property
    def days(self) -> Days: ...


def point(day: date, count: int) -> Course:
    """The same day in all of so many futures."""
    return Course(day, (day.toordinal(),) * count)


def range_of(course: Course, last: date) -> Range:
    """The 10th percentile over the futures, the likely run, and the 90th percentile, in this order.

    last: the season's last day, which stands for what does not come within it.
    """
    likely, days = course
    if not days or days[0] == days[-1] == likely.toordinal() == min(days) == max(days):
        return Range(likely, likely, likely)
    early, late = (last if n == inf else date.fromordinal(int(n)) for n in tenths(days))
    return Range(min(early, likely), likely, max(late, likely))


@dataclass(frozen=True, slots=True)
class StageDate:
    """One stage of one cohort.

    status: "recorded" (it happened), "planned" (the grower intends it) or "projected" (worked out).
    reason: why it is on its date; "" where the status says all. intended: the date the grower intends for it, whatever
    the status. dates: every date of a stage that has several. days: its day in each future.
    """

    stage: str
    earliest: date
    likely: date
    latest: date
    status: str
    reason: str
    intended: date | None = None
    dates: tuple[date, ...] = ()
    days: Days = field(default=(), repr=False)

    @property
    def range(self) -> Range:
        return Range(self.earliest, self.likely, self.latest)

    @property
    def course(self) -> Course:
        """When it comes, in the likely run and in each future."""
        return Course(self.likely, self.days)

    @property
    def status_text(self) -> str:
        """ "projected: flowering + 45 d (38-54)", "recorded: 2 d late; planned 9 Oct", "planned"."""
        status = tr(self.status)
        return f"{status}: {translated(self.reason)}" if self.reason else status


Stages = dict[str, StageDate]


@dataclass(frozen=True, slots=True)
class Laid:
    """A cohort that is being laid out. last: the season's last day; count: of its futures; out: its stages so far.

    cut: the day of its latest pass, after which something is left to cut.
    """

    cohort: Cohort
    last: date
    count: int
    out: Stages
    cut: date | None = None

    def set(self, stage: str, course: Course | None, reason: str, meant: Course | None = None) -> None:
        """Add the stage: as recorded, else as intended, else as projected; nothing where it has no date.

        meant: where what is intended slips; without it, it comes on its day.
        """
        cohort = self.cohort
        recorded, intended = cohort.recorded.get(stage), cohort.intended(stage)
        if recorded is not None:
            course = self._first_seen(stage, course or point(recorded, self.count))
            self._add(stage, course, "recorded", _recorded_reason(cohort, stage, recorded))
            return
        if intended is not None:
            course = meant or point(intended, self.count)
        if course is None:
            return
        if stage in EARLY and stage in cohort.not_yet:
            # The light waits for no other stage; for one that the light decides, the futures that agree are asked.
            course = Course(max(course.likely, cohort.not_yet[stage] + timedelta(days=1)), course.days)
        if stage == "harvest" and self.cut is not None:
            course, reason = _after_pass(course, reason, self.cut)
        dates = self._in_order(stage, course)
        if intended is not None and dates.likely == intended:
            self._add(stage, dates, "planned", _planned_reason(cohort, stage))
            return
        if intended is not None:
            reason = phrase("planned {day} is out of order", day=day_text(intended))
        if dates.likely != course.likely:
            holder = _holder(cohort, self.out, stage, dates.likely)
            held = phrase("held to {day} by {holder}", day=day_text(dates.likely), holder=holder)
            reason += f"; {held}"
        self._add(stage, dates, "projected", reason)

    def _add(self, stage: str, course: Course, status: str, reason: str) -> None:
        self.out[stage] = StageDate(
            stage,
            *range_of(course, self.last),
            status,
            reason,
            self.cohort.intended(stage),
            days=course.days,
        )

    def _first_seen(self, stage: str, projected: Course) -> Course:
        """When a recorded stage came: on its day; after a look without it, as near to its projection as both allow."""
        recorded, looked = self.cohort.recorded[stage], self.cohort.not_yet.get(stage)
        if looked is None:
            return point(recorded, self.count)
        first, last = looked.toordinal() + 1, recorded.toordinal()
        days = self._in_order(stage, projected).days
        return Course(recorded, tuple([min(max(day, first), last) for day in days]))

    def _in_order(self, stage: str, wanted: Course) -> Course:
        """`wanted` moved just so far that the stage comes after those before it, and before recorded later ones.

        In the likely run as in each future.
        """
        likely, days = wanted
        before = BEFORE[stage]
        for name, other in self.out.items():
            if name in before:
                likely = max(likely, other.likely)
                if days and max(other.days) > min(days):
                    days = tuple(map(max, days, other.days))
        recorded = self.cohort.recorded
        upper = min((recorded[s] for s in AFTER[stage] if s in recorded), default=None)
        if upper is None:
            return Course(likely, days)
        number = upper.toordinal()
        return Course(min(likely, upper), tuple([min(day, number) for day in days]))


def _after_pass(course: Course, reason: str, cut: date) -> tuple[Course, str]:
    """The harvest of a cohort with something left to cut after a day, and its reason: on none up to that day."""
    first = cut + timedelta(days=1)
    moved = Course(max(course.likely, first), tuple([max(day, first.toordinal()) for day in course.days]))
    more = phrase("more to cut after the pass of {day}", day=day_text(cut))
    return moved, reason if moved == course else f"{reason}; {more}"


def _recorded_reason(cohort: Cohort, stage: str, recorded: date) -> str:
    intended, looked = cohort.intended(stage), cohort.not_yet.get(stage)
    forecast = cohort.forecast.get(stage)
    reasons = []
    if intended is not None:
        reasons += [delay_text((recorded - intended).days), phrase("planned {day}", day=day_text(intended))]
    if forecast is not None:
        early, likely, late = map(day_text, forecast)
        reasons.append(
            phrase("forecast was {likely} ({early} to {late})", likely=likely, early=early, late=late)
        )
    if looked is not None:
        reasons.append(phrase("not yet on {day}", day=day_text(looked)))
    return "; ".join(reasons)


def _planned_reason(cohort: Cohort, stage: str) -> str:
    first = cohort.planned.get(stage)
    now = cohort.replanned.get(stage)
    if first is None or now is None or first == now:
        return ""
    days = (now - first).days
    if days > 0:
        return phrase("{days} d later than first planned, {day}", days=days, day=day_text(first))
    return phrase("{days} d earlier than first planned, {day}", days=-days, day=day_text(first))


def _holder(cohort: Cohort, settled: Mapping[str, StageDate], stage: str, day: date) -> str:
    later = [s for s in AFTER[stage] if cohort.recorded.get(s) == day]
    if later:
        return phrase("{stage}, recorded", stage=stage_text(min(later)))
    return stage_text(
        max((s for s in BEFORE[stage] if s in settled and settled[s].likely == day), default=stage)
    )


def likely_response(variety: Variety) -> Response:
    """The response to day length by the variety's likely count of short days."""
    return Response(
        variety.critical_day.likely, variety.full_response_day.likely, variety.inductive_days.likely
    )


def narrowed(span: Span, start: str, spread: float) -> Span:
    """The span as plants from seed or cuttings have it, in its own unit; spread: 0 to 1.

    As given from seed, drawn in towards the likely figure from cuttings.
    """
    if start == "seed":
        return span
    return Span(
        span.likely - spread * (span.likely - span.early),
        span.likely,
        span.likely + spread * (span.late - span.likely),
    )
