"""The longer sentences of clashes, with their ways out."""

from __future__ import annotations

from datetime import date

from calendar_tui.language.speaking import chore_text, phrase
from calendar_tui.planning.laying_out.light import Light
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.season.records import Season, Task
from calendar_tui.season.wording import day_text, days_text, hours_against, hours_text, stage_text

# A starting value, common practice, no source: plants this young are small.
FEW_GROWTH_D = 21
# A step down in day length at transplant that shocks plants, h. Common practice is 2 to 3 h, no source.
SHOCK_H = 2.5
# To 15 or 16 h is the step of common practice, no source.
COMMON_STEP_H = 15.0


def needed_text(task: Task, stage: str, today: date) -> str:
    """ "A1 harvest must not come before: Official sample. It was due 6 Dec and is not ticked as done; ..."."""
    due = {
        "cohort": task.cohort,
        "stage": stage_text(stage),
        "work": chore_text(task.what),
        "day": day_text(task.date),
    }
    if task.date < today:
        return phrase(
            "{cohort} {stage} must not come before: {work}. It was due {day} and is not ticked as done; "
            "the authority's procedure comes first",
            **due,
        )
    return phrase(
        "{cohort} {stage} must not come before: {work}. It is due {day} and is not ticked as done; "
        "the authority's procedure comes first",
        **due,
    )


def before_off_text(season: Season, timeline: Timeline, trigger: date) -> str:
    """What to do where plants are triggered before lights off; carried out of the lamps, they may be meant to be."""
    here = timeline.stay_on(trigger)
    if here.first == trigger and season.places[here.place].lamps is None:
        return phrase(
            "it is carried into {light} then, which has no lamps: carry it later, or plan lights off for that day",
            light=here.light,
        )
    return phrase("light it sooner, or let it flower")


def small_text(timeline: Timeline, light: Light) -> str:
    """How few days of growth a cohort has, and whether its nursery took them."""
    cohort, trigger, growth = timeline.cohort, timeline.stages["trigger"].likely, timeline.growth_d or 0
    moved, induced = timeline.likely("transplant"), timeline.likely("induced") or trigger
    if moved is None or trigger >= moved:
        return phrase(
            "{cohorts} has only {far} of growth before induction on {day} (under {number} d plants stay small); "
            "plant sooner, light longer, or take another variety",
            cohorts=cohort.id,
            far=days_text(growth),
            day=day_text(induced),
            number=FEW_GROWTH_D,
        )
    critical_h = timeline.variety.critical_day.likely
    if "transplant" in cohort.recorded:
        way_out = phrase("let it flower, or start another cohort in its place")
    else:
        way_out = phrase(
            "give the nursery a day of {hours} or longer up to transplant, move it out sooner, or start it when days are longer",
            hours=hours_text(critical_h),
        )
    after = phrase(
        "it has {far} of growth after transplant (under {number} d plants stay small); {way_out}",
        far=days_text(growth),
        number=FEW_GROWTH_D,
        way_out=way_out,
    )
    if induced < moved:
        return phrase(
            "{cohorts} is induced in its nursery {light} on {day}, {far} before transplant: {after}",
            cohorts=cohort.id,
            light=timeline.stay_on(induced).light,
            day=day_text(induced),
            far=days_text((moved - induced).days),
            after=after,
        )
    felt = timeline.felt_h[min(light.index(trigger), len(timeline.felt_h) - 1)]
    return phrase(
        "{cohorts} is triggered in its nursery {light} on {day}, by a day of {hours}: {after}",
        cohorts=cohort.id,
        light=timeline.stay_on(trigger).light,
        day=day_text(trigger),
        hours=hours_against(felt, critical_h),
        after=after,
    )


def step_text(timeline: Timeline, light: Light, day: date) -> str:
    """How a step down in day length is made smaller, without a nursery day so short that it induces."""
    name = timeline.stay_on(day).light
    own, critical_h = light.places[name], timeline.variety.critical_day.likely
    if own.covered(day):
        return phrase("begin the covers of {light} some days after the transplant", light=name)
    step_h = own.felt_h[light.index(day)] + SHOCK_H
    if step_h >= COMMON_STEP_H:
        return phrase("step down to 15-16 h before transplant")
    if step_h >= critical_h:
        return phrase(
            "step down to {hours} to {limit} before transplant",
            hours=hours_text(critical_h),
            limit=hours_text(step_h),
        )
    return phrase(
        "step down in {light}, under lamps there at first: in its nursery a day that short would induce it",
        light=name,
    )
