"""A cohort's timeline: every stage with its range, status and reason."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from math import inf
from typing import TYPE_CHECKING, NamedTuple

from calendar_tui.language.speaking import phrase, phrase_n, tr_in
from calendar_tui.nature.plant import induction
from calendar_tui.nature.rounding import whole
from calendar_tui.planning.laying_out.early import early_stages
from calendar_tui.planning.laying_out.figures import Figures, Futures
from calendar_tui.planning.laying_out.heat import (
    Heating,
    Moments,
    flower_sums,
    flowering,
    heat_text,
    heating,
    induced_moments,
    ready_moments,
    shoot_moments,
    shoot_of,
)
from calendar_tui.planning.laying_out.inductions import Growth, inductions
from calendar_tui.planning.laying_out.last_pass import days_of_passes, last_pass, standing_after
from calendar_tui.planning.laying_out.light import Light, felt_by
from calendar_tui.planning.laying_out.looks import POOLS, after_looks, agreeing_with, open_looks, with_looks
from calendar_tui.planning.laying_out.reasons import induced_reason, never_reason, trigger_reason
from calendar_tui.planning.laying_out.stages import (
    Course,
    Days,
    Laid,
    StageDate,
    Stages,
    When,
    likely_response,
    narrowed,
    point,
)
from calendar_tui.planning.laying_out.stays import Stay, stay_on, stays_of, stays_text
from calendar_tui.season.records import Cohort, Season, Span, Variety
from calendar_tui.season.stages import STAGES
from calendar_tui.season.wording import day_text, span_text, stage_text

if TYPE_CHECKING:
    from calendar_tui.planning.laying_out.warmth import Warmth

SAMPLE_EVERY_D = 7


@dataclass(frozen=True, slots=True)
class Timeline:
    """One cohort laid out in time.

    stages: in the order of the stage list. felt_h: the felt day (h) on each day of the season.
    never: why it does not flower within the season, or "". ready: from when a day can count; None for a day-neutral
    cohort, and where it does not emerge. futures: those it is laid out in. cut_through: the day of its last pass, where one
    is recorded; cut_on: the days of all that are. waits_to: up to when what waits behind its harvest's day is worked, or None.
    stays: where the plants stand from when to when.
    """

    cohort: Cohort
    variety: Variety
    stages: Mapping[str, StageDate]
    felt_h: tuple[float, ...]
    never: str = ""
    ready: When | None = None
    futures: Futures | None = None
    cut_through: date | None = None
    cut_on: tuple[date, ...] = ()
    waits_to: date | None = None
    stays: tuple[Stay, ...] = field(init=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        # Worked out once: there are tasks by the thousand, and each asks where it is.
        object.__setattr__(self, "stays", stays_of(self.cohort, self.stages))

    def likely(self, stage: str) -> date | None:
        stage_date = self.stages.get(stage)
        return None if stage_date is None else stage_date.likely

    def stay_on(self, day: date) -> Stay:
        """Where the plants stand on a day."""
        return stay_on(self.stays, day)

    @property
    def where_text(self) -> str:
        """ "N1, then H1"; with the dates where its record has stays."""
        stays = self.stays
        if self.cohort.written_stays:
            return stays_text(stays)
        return tr_in("list", ", then ").join(stay.light for stay in stays)

    @property
    def begun(self) -> date:
        """The likely day of its first stage."""
        return self.stages[self.cohort.first_stage].likely

    @property
    def planted(self) -> date:
        """The likely day of planting where it grows: the transplant, else its start there."""
        return self.likely("transplant") or self.begun

    @property
    def growth_d(self) -> int | None:
        """Days of growth: from transplant (sown in place: from emergence) to the likely induction (day-neutral: flowering)."""
        end = self.likely("induced") or self.likely("flowering")
        return None if end is None else self.growth_up_to(end)

    def growth_up_to(self, end: date) -> int | None:
        """Days of growth up to a day; None where it does not come up."""
        begin = self.likely("transplant") or self.likely("emergence") or self.likely("rooted")
        return None if begin is None else max((end - begin).days, 0)

    @property
    def growth_in_futures(self) -> tuple[int, ...]:
        """Days of growth in each future in which it comes up and gets to the end of its growth."""
        stages = self.stages
        begin = stages.get("transplant") or stages.get("emergence") or stages.get("rooted")
        end = stages.get("induced") or stages.get("flowering")
        if begin is None or end is None:
            return ()
        pairs = zip(begin.days, end.days, strict=True)
        return tuple([max(int(last - first), 0) for first, last in pairs if max(first, last) < inf])

    @property
    def growth_end(self) -> str:
        """What the days of growth are counted to, in words."""
        return phrase("induction") if "induced" in self.stages else phrase("flowering")


def lay_out(
    season: Season, cohort: Cohort, early: Stages, light: Light, warmth: Warmth | None = None
) -> Timeline:
    """The whole timeline of a cohort, from its early stages, and the light and the warmth where it stands.

    It has as many futures as its early stages; those that looks at its plants rule out are replaced by others.
    """
    count = len(early[cohort.first_stage].days)
    plain = _lay_out(season, cohort, early, light, warmth)
    if not open_looks(cohort):
        return plain
    if len(agreeing_with(cohort, plain.stages)) == count:
        return replace(plain, stages=with_looks(cohort, plain.stages))
    for size in POOLS:
        early = early_stages(season, cohort, warmth, max(count, size))
        pool = _lay_out(season, cohort, early, light, warmth)
        if len(agreeing_with(cohort, pool.stages)) >= count:
            break
    stages, numbers = after_looks(cohort, pool.stages, count, season.last_day)
    if "sampling" in stages and "harvest" in stages:
        stages["sampling"] = with_weeks(stages["sampling"], stages["harvest"].likely)
    never = pool.never
    if "flowering" in pool.stages and "flowering" not in stages:
        never = phrase(
            "in more than half of what agrees with the looks at its plants it does not flower by {day}",
            day=day_text(season.last_day),
        )
    ready = pool.ready and Course(pool.ready.likely, tuple([pool.ready.days[n] for n in numbers]))
    futures = Futures(pool.variety, cohort.start, len(early[cohort.first_stage].days), numbers)
    return replace(pool, stages=stages, never=never, ready=ready, futures=futures)


def _lay_out(season: Season, cohort: Cohort, early: Stages, light: Light, warmth: Warmth | None) -> Timeline:
    """The whole timeline, by as many futures as its early stages have, whatever looks at the plants did not see."""
    variety = season.varieties[cohort.variety]
    count = len(early[cohort.first_stage].days)
    cut = standing_after(season, cohort.id)
    laid = Laid(cohort, season.last_day, count, dict(early), cut)
    futures = Futures(variety, cohort.start, count, tuple(range(count)))
    growing = _Growing(season, variety, futures.figures, light, laid)
    felt = felt_by(light, cohort, early)
    heat = heating(season, cohort, warmth, early)
    ready, never = None, ""
    if cohort.start == "seed" and "emergence" not in laid.out:
        never = phrase(
            "does not come up by {day}: it gets too little heat; sow it when it is warmer",
            day=day_text(season.last_day),
        )
        for stage in ("trigger", "induced", "flowering"):
            laid.set(stage, None, "")
    elif variety.response == "day-neutral":
        never = _flower_by_age(growing, heat)
    else:
        ready = _ready(growing, heat)
        never = _induce(growing, felt, ready)
        if heat is None or "induced" not in laid.out:
            _follow(
                growing, "flowering", "induced", variety.induced_to_flowering_d, growing.figures.flowering_d
            )
        else:
            begun = induced_moments(heat, cohort, variety, laid.out, felt)
            never = _flower_by_heat(growing, heat, begun)
    _follow(growing, "sampling", "flowering", Span.exactly(0), (0.0,) * count)
    _follow(growing, "harvest", "flowering", variety.flowering_to_harvest_d, growing.figures.harvest_d)
    _follow(growing, "dried", "harvest", variety.drying_d, growing.figures.drying_d)
    if "sampling" in laid.out and "harvest" in laid.out:
        laid.out["sampling"] = with_weeks(laid.out["sampling"], laid.out["harvest"].likely)
    ordered = {stage: laid.out[stage] for stage in STAGES if stage in laid.out}
    never = "" if "flowering" in laid.out else never
    if any(isinstance(stay.begins, str) and stay.begins not in early for stay in cohort.written_stays[1:]):
        # A stay from flowering on moves no date before it, but its days are felt there.
        felt = felt_by(light, cohort, ordered)
    cuts = last_pass(season, cohort.id), days_of_passes(season, cohort.id)
    return Timeline(cohort, variety, ordered, felt, never, ready, futures, *cuts)


class _Growing(NamedTuple):
    """A cohort that is being laid out from its early stages on."""

    season: Season
    variety: Variety
    figures: Figures
    light: Light
    laid: Laid

    @property
    def cohort(self) -> Cohort:
        return self.laid.cohort


def _follow(growing: _Growing, stage: str, after: str, span: Span, by_future: Sequence[float]) -> None:
    """Set a stage that comes a span of days after another one."""
    laid, cohort = growing.laid, growing.cohort
    if after not in laid.out:
        laid.set(stage, None, "")
        return
    span = narrowed(span, cohort.start, growing.variety.cutting_spread)
    course = laid.out[after].course.plus(span.likely, by_future)
    laid.set(stage, course, phrase("{stage} + {span}", stage=stage_text(after), span=span_text(span)))


def _flower_by_age(growing: _Growing, heat: Heating | None) -> str:
    """Flowering of a day-neutral cohort; returns why it does not get there, or ""."""
    cohort, variety = growing.cohort, growing.variety
    if heat is None:
        figures, span = growing.figures.flowering_d, variety.emergence_to_flowering_d
        _follow(growing, "flowering", shoot_of(cohort), span, figures)
        return ""
    return _flower_by_heat(growing, heat, shoot_moments(heat, cohort, variety, growing.laid.out))


def _flower_by_heat(growing: _Growing, heat: Heating, begun: Moments) -> str:
    """Flowering, once the heat for it has come since it was begun; returns why it does not come, or ""."""
    cohort, variety = growing.cohort, growing.variety
    after = shoot_of(cohort) if variety.response == "day-neutral" else "induced"
    reason = f"{stage_text(after)} + {heat_text(heat, flower_sums(heat, cohort, variety))} ({heat.text})"
    growing.laid.set("flowering", heat.over_years(flowering(heat, cohort, variety, begun)), reason)
    last = heat.first + timedelta(days=heat.last)
    return phrase("does not flower by {day}: too little heat; {reason}", day=day_text(last), reason=reason)


def _ready(growing: _Growing, heat: Heating | None) -> Course:
    """From when a day can count: the recorded trigger, else the end of the juvenile time; cuttings have none."""
    cohort, variety, out = growing.cohort, growing.variety, growing.laid.out
    if "trigger" in cohort.recorded:
        return point(cohort.recorded["trigger"], growing.laid.count)
    if cohort.start == "cutting":
        return out["sticking"].course
    if heat is None:
        return out["emergence"].course.plus(variety.juvenile_d.likely, growing.figures.juvenile_d)
    never = point(heat.first + timedelta(days=heat.last + 1), growing.laid.count)
    return heat.over_years(ready_moments(heat, cohort, variety, out)) or never


def _induce(growing: _Growing, felt: tuple[float, ...], ready: Course) -> str:
    """Trigger and induced; returns why the plants never get there, or ""."""
    variety, light, laid = growing.variety, growing.light, growing.laid
    run = induction(felt, light.index(ready.likely), likely_response(variety))
    if run is None:
        for stage in ("trigger", "induced"):
            laid.set(stage, None, "")
        return never_reason(variety, felt, light, ready.likely)
    trigger, induced = _in_futures(growing, ready)
    first = light.first
    reason = trigger_reason(variety, felt, light, run, laid.cohort, laid.out)
    laid.set("trigger", Course(first + timedelta(days=run.trigger), trigger), reason)
    reason = induced_reason(variety, felt, light, run, laid.cohort)
    laid.set("induced", Course(first + timedelta(days=run.induced), induced), reason)
    return ""


def _in_futures(growing: _Growing, ready: Course) -> tuple[Days, Days]:
    """The day of the trigger and of induction in each future, by its own figures and its own light."""
    season, _, figures, light, laid = growing
    if not laid.count:
        return (), ()
    zero = light.first.toordinal()
    runs = inductions(season, light, Growth(laid.cohort, laid.out, ready.days, figures))
    triggers = tuple([inf if run is None else zero + run.trigger for run in runs])
    days = [
        inf if run is None else zero + max(run.trigger, run.induced + whole(error))
        for run, error in zip(runs, figures.record_d, strict=True)
    ]
    return triggers, tuple(days)


def with_weeks(sampling: StageDate, harvest: date) -> StageDate:
    """Sampling with its dates: weekly up to the harvest."""
    weeks = range(0, max((harvest - sampling.likely).days, 1), SAMPLE_EVERY_D)
    dates = tuple(sampling.likely + timedelta(days=d) for d in weeks)
    reason = phrase_n(
        "every {days} d from flowering to harvest, once",
        "every {days} d from flowering to harvest, {count} times",
        len(dates),
        days=SAMPLE_EVERY_D,
    )
    return StageDate(
        sampling.stage,
        *sampling.range,
        sampling.status,
        reason,
        sampling.intended,
        dates,
        sampling.days,
    )
