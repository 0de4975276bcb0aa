"""A cohort's timeline: every stage with its range, status and reason."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta

from calendar_tui.nature.plant import Induction, Response, induction
from calendar_tui.planning.laying_out.heat import (
    Heating,
    Moments,
    flower_amounts,
    heat_text,
    heating,
    induced_by_year,
    ready_by_year,
    shoot_by_year,
    shoot_of,
)
from calendar_tui.planning.laying_out.light import Light, felt_by
from calendar_tui.planning.laying_out.reasons import induced_reason, never_reason, trigger_reason
from calendar_tui.planning.laying_out.stages import Range, StageDate, Stages, narrowed, point, set_stage_date
from calendar_tui.planning.laying_out.stays import Stay, stay_on, stays_of, stays_text
from calendar_tui.planning.laying_out.warmth import Warmth
from calendar_tui.season.records import Cohort, Season, Span, Variety
from calendar_tui.season.stages import STAGES
from calendar_tui.season.wording import day_text, span_text, stage_text

SAMPLE_EVERY_D = 7


@dataclass(frozen=True, slots=True)
class Timeline:
    """One cohort laid out in time.

    stages: in the order of the stage list. felt_h: the felt day (h) on each day of the season.
    never: why it does not flower within the season, or "". ready: from when a day can count; None for a day-neutral
    cohort, and where it does not emerge. stays: where the plants stand from when to when.
    """

    cohort: Cohort
    variety: Variety
    stages: Mapping[str, StageDate]
    felt_h: tuple[float, ...]
    never: str = ""
    ready: Range | None = None
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
        return stays_text(stays) if self.cohort.written_stays else ", then ".join(s.light for s in stays)

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
    def growth_end(self) -> str:
        """What the days of growth are counted to, in words."""
        return "induction" if "induced" in self.stages else "flowering"


def lay_out(
    season: Season, cohort: Cohort, early: Stages, light: Light, warmth: Warmth | None = None
) -> Timeline:
    """The whole timeline of a cohort, from its early stages, and the light and the warmth where it stands."""
    variety = season.varieties[cohort.variety]
    felt = felt_by(light, cohort, early)
    heat = heating(season, cohort, warmth, early)
    out = dict(early)
    ready, never = None, ""
    if cohort.start == "seed" and "emergence" not in out:
        never = f"does not come up by {day_text(season.last_day)}: it gets too little heat; sow it when it is warmer"
        for stage in ("trigger", "induced", "flowering"):
            set_stage_date(cohort, out, stage, None, "")
    elif variety.response == "day-neutral":
        never = _settle_by_age(cohort, variety, out, heat)
    else:
        ready = _ready(cohort, variety, out, heat)
        never = _settle_by_light(cohort, variety, out, felt, light, ready)
        if heat is None or "induced" not in out:
            _follow(cohort, variety, out, "flowering", "induced", variety.induced_to_flowering_d)
        else:
            begun = induced_by_year(heat, cohort, variety, out, felt)
            never = _flower_by_heat(cohort, variety, out, heat, begun)
    _settle_crop(cohort, variety, out)
    ordered = {stage: out[stage] for stage in STAGES if stage in out}
    if any(isinstance(stay.begins, str) and stay.begins not in early for stay in cohort.written_stays[1:]):
        # A stay from flowering on moves no date before it, but its days are felt there.
        felt = felt_by(light, cohort, ordered)
    return Timeline(cohort, variety, ordered, felt, "" if "flowering" in out else never, ready)


def _span(cohort: Cohort, variety: Variety, span: Span) -> Span:
    return narrowed(span, cohort, variety.cutting_spread)


def _follow(cohort: Cohort, variety: Variety, out: Stages, stage: str, after: str, span: Span) -> None:
    """Settle a stage that comes a span of days after another one."""
    if after not in out:
        set_stage_date(cohort, out, stage, None, "")
        return
    span = _span(cohort, variety, span)
    set_stage_date(
        cohort, out, stage, out[after].range.plus(span), f"{stage_text(after)} + {span_text(span)}"
    )


def _settle_by_age(cohort: Cohort, variety: Variety, out: Stages, heat: Heating | None) -> str:
    """Flowering of a day-neutral cohort; returns why it does not get there, or ""."""
    if heat is None:
        _follow(cohort, variety, out, "flowering", shoot_of(cohort), variety.emergence_to_flowering_d)
        return ""
    return _flower_by_heat(cohort, variety, out, heat, shoot_by_year(heat, cohort, variety, out))


def _flower_by_heat(cohort: Cohort, variety: Variety, out: Stages, heat: Heating, begun: Moments) -> str:
    """Flowering, once the heat for it has come since it was begun; returns why it does not come, or ""."""
    after = shoot_of(cohort) if variety.response == "day-neutral" else "induced"
    needed = flower_amounts(heat, cohort, variety)
    reason = f"{stage_text(after)} + {heat_text(heat, needed)} ({heat.text})"
    set_stage_date(cohort, out, "flowering", heat.over_years(heat.after(begun, needed)), reason)
    last = heat.first + timedelta(days=heat.last)
    return f"does not flower by {day_text(last)}: too little heat; {reason}"


def _ready(cohort: Cohort, variety: Variety, out: Stages, heat: Heating | None) -> Range:
    """From when a day can count: the recorded trigger, else the end of the juvenile time; cuttings have none."""
    if "trigger" in cohort.recorded:
        return point(cohort.recorded["trigger"])
    if cohort.start == "cutting":
        return out["sticking"].range
    if heat is None:
        return out["emergence"].range.plus(variety.juvenile_d)
    never = point(heat.first + timedelta(days=heat.last + 1))
    return heat.over_years(ready_by_year(heat, cohort, variety, out)) or never


def _settle_by_light(
    cohort: Cohort, variety: Variety, out: Stages, felt: tuple[float, ...], light: Light, ready: Range
) -> str:
    """Trigger and induced; returns why the plants never get there, or ""."""
    runs = [
        induction(felt, light.index(start), Response(variety.critical_day, variety.full_response_day, needed))
        for start, needed in zip(ready, _span(cohort, variety, variety.inductive_days), strict=True)
    ]
    never = "" if runs[1] else never_reason(variety, felt, light, ready.likely)
    _settle_run(cohort, variety, out, felt, light, runs)
    return never


def _settle_run(
    cohort: Cohort,
    variety: Variety,
    out: Stages,
    felt: tuple[float, ...],
    light: Light,
    inductions: list[Induction | None],
) -> None:
    early, likely, late = inductions
    if early is None or likely is None:
        for stage in ("trigger", "induced"):
            set_stage_date(cohort, out, stage, None, "")
        return
    # Where the slowest plants are not induced by the season's last day, that day stands for their latest.
    last = len(felt) - 1
    late = late or Induction(last, last)
    runs = (early, likely, late)
    trigger = Range(*(light.first + timedelta(days=r.trigger) for r in runs))
    induced = Range(*(light.first + timedelta(days=r.induced) for r in runs))
    set_stage_date(cohort, out, "trigger", trigger, trigger_reason(variety, felt, light, likely, cohort, out))
    set_stage_date(cohort, out, "induced", induced, induced_reason(variety, felt, light, likely, cohort))


def _settle_crop(cohort: Cohort, variety: Variety, out: Stages) -> None:
    _follow(cohort, variety, out, "sampling", "flowering", Span(0, 0, 0))
    _follow(cohort, variety, out, "harvest", "flowering", variety.flowering_to_harvest_d)
    _follow(cohort, variety, out, "dried", "harvest", variety.drying_d)
    if "sampling" in out and "harvest" in out:
        out["sampling"] = _with_weeks(out["sampling"], out["harvest"].likely)


def _with_weeks(sampling: StageDate, harvest: date) -> StageDate:
    weeks = range(0, max((harvest - sampling.likely).days, 1), SAMPLE_EVERY_D)
    dates = tuple(sampling.likely + timedelta(days=d) for d in weeks)
    reason = f"every {SAMPLE_EVERY_D} d from flowering to harvest, {'once' if len(dates) == 1 else f'{len(dates)} times'}"
    return StageDate(
        sampling.stage,
        *sampling.range,
        sampling.status,
        reason,
        sampling.intended,
        dates,
    )
