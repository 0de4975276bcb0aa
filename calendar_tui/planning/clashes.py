"""Clashes: two things that cannot both hold. Each small function finds one kind, for one cohort."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import date, timedelta
from functools import partial

from calendar_tui.planning.capacity.hours import largest, over_full, over_full_text
from calendar_tui.planning.capacity.over_full import (
    crowded_to_come,
    over_full_kind,
    over_full_use_text,
    over_full_uses,
)
from calendar_tui.planning.clash import Clash, Excess
from calendar_tui.planning.lamps.broken_count import broken_count_text, is_told
from calendar_tui.planning.lamps.by_day import by_day_texts
from calendar_tui.planning.lamps.dark_nights import missed_nights, outage_kind
from calendar_tui.planning.lamps.held_back import held_back_text, nights_lost
from calendar_tui.planning.lamps.long_days import long_days_text
from calendar_tui.planning.lamps.onset import is_in_question, outage_behind
from calendar_tui.planning.lamps.onset_words import outage_text
from calendar_tui.planning.lamps.tip_looks import tip_look_texts, tip_looks
from calendar_tui.planning.lamps.warnings import too_dark_texts, under_covers_texts
from calendar_tui.planning.laying_out.early import uses_lamps
from calendar_tui.planning.laying_out.light import Light
from calendar_tui.planning.laying_out.stages import range_of
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.tasks.week import recent_outages
from calendar_tui.planning.waiting import not_cut, not_recorded, not_seen
from calendar_tui.season.lots import lots_not_taken
from calendar_tui.season.records import Season
from calendar_tui.season.rules import OFFICIAL_CHORE
from calendar_tui.season.weeks import iso_week
from calendar_tui.season.wording import day_text, days_text, hours_against, hours_text, stage_text

# Starting values, common practice, no source: a planting this late is told, plants this young are small.
LATE_D = 3
FEW_GROWTH_D = 21
# The kind of clash that tells of plants that stay small.
SMALL = "small plants"
# A step down in day length at transplant that shocks plants, h. Common practice is 2 to 3 h, no source.
SHOCK_H = 2.5
# To 15 or 16 h is the step of common practice, no source.
COMMON_STEP_H = 15.0


def find_clashes(
    season: Season, timelines: Mapping[str, Timeline], light: Light, today: date
) -> Iterator[Clash]:
    """The clashes of every cohort, in file order; work that is needed first, and over-full weeks, come before the rest."""
    yield from _needed_first(season, timelines, today)
    yield from _crew(season, today)
    yield from _over_full(season, timelines, today)
    yield from _after_sprays(season, timelines, today)
    yield from _cuts_made(season, timelines, today)
    if season.officials:
        from calendar_tui.planning.cutting.rule_clashes import rule_clashes

        yield from rule_clashes(season, timelines, today)
    for timeline in timelines.values():
        yield from _held_back(season, timelines, timeline, light, today)
        for find in _KINDS:
            yield from find(season, timeline, light, today)


def _after_sprays(season: Season, timelines: Mapping[str, Timeline], today: date) -> Iterator[Clash]:
    if season.sprays:
        from calendar_tui.planning.spraying.closed_work import closed_work, uncut_harvests

        yield from closed_work(season, timelines, today)
        yield from uncut_harvests(season, timelines)


def _cuts_made(season: Season, timelines: Mapping[str, Timeline], today: date) -> Iterator[Clash]:
    if season.passes or season.profiles or season.sprays:
        from calendar_tui.planning.cutting.made_cuts import cut_clashes

        yield from cut_clashes(season, timelines)
    if season.batches:
        from calendar_tui.planning.cutting.dryer_clashes import dryer_clashes

        yield from dryer_clashes(season, timelines, today)


def _never(season: Season, timeline: Timeline, light: Light, today: date) -> Iterator[Clash]:
    if timeline.never:
        yield Clash("never flowers", (timeline.cohort.id,), timeline.never)


def _held_back(
    season: Season, timelines: Mapping[str, Timeline], timeline: Timeline, light: Light, today: date
) -> Iterator[Clash]:
    """A neighbour's lamps on a cohort that asks for none, from its lights-off (or arrival) to its trigger."""
    lost = nights_lost(season, timeline, light)
    if lost is not None:
        # Its ways out are worked out for those that are shown: re-planning asks only which clashes there are.
        text = partial(held_back_text, season, timelines, lost, today)
        yield Clash("held back", (timeline.cohort.id, *lost.others), text)


def _no_lights_off(season: Season, timeline: Timeline, light: Light, today: date) -> Iterator[Clash]:
    cohort = timeline.cohort
    if uses_lamps(season, cohort) and "lights_off" not in timeline.stages:
        yield Clash(
            "no lights off",
            (cohort.id,),
            f"{cohort.id} has lights on and no lights off; plan a lights off",
        )


def _misses_flowering(season: Season, timeline: Timeline, light: Light, today: date) -> Iterator[Clash]:
    """A lights off, to come or recent, after which the days grow too long before the count is full."""
    if is_told(timeline, light, today):
        text = partial(broken_count_text, season, timeline, light, today)
        yield Clash("lights off misses flowering", (timeline.cohort.id,), text)


def _needed_first(season: Season, timelines: Mapping[str, Timeline], today: date) -> Iterator[Clash]:
    """Work that must be done before a stage, such as the official sample before the harvest, and is not.

    One pass over the tasks for all cohorts: there may be thousands.
    """
    needed = {c.id: c.needed_for for c in season.chores.values() if c.needed_for}
    for task in season.tasks:
        stage = needed.get(task.chore)
        if stage is None or task.state == "done" or task.cohort not in timelines:
            continue
        if task.chore == OFFICIAL_CHORE and not lots_not_taken(season, task.about):
            continue  # The sample itself is recorded, whatever became of its task.
        if stage in timelines[task.cohort].cohort.recorded or task.date < today:
            yield Clash(
                f"{task.chore} before {stage}",
                (task.cohort,),
                f"{task.cohort} {stage_text(stage)} must not come before: {task.what}. It "
                f"{'was' if task.date < today else 'is'} due {day_text(task.date)} and is not ticked as done; "
                "the authority's procedure comes first",
            )


def _crew(season: Season, today: date) -> Iterator[Clash]:
    """Weeks to come with more work than a role has hours, shown with the cohorts of the largest tasks."""
    for load in over_full(season, today):
        behind = dict.fromkeys(name for task in largest(load) for name in task.about)
        kind = f"crew: {load.role} {iso_week(load.monday)}"
        excess = Excess(f"crew: {load.role}", load.monday, load.hours, load.has_h or 0.0, "h")
        yield Clash(kind, (), over_full_text(load), tuple(behind), excess=excess)


def _over_full(season: Season, timelines: Mapping[str, Timeline], today: date) -> Iterator[Clash]:
    """More to come than the dryer, the benches, the laboratory or a growing place hold; where it is told what they do."""
    for week in over_full_uses(season, timelines, today):
        what = " ".join(part for part in (week.kind, week.of) if part)
        excess = Excess(what, week.day, week.amount, week.has or 0.0, week.unit)
        text = partial(over_full_use_text, week, season)
        yield Clash(over_full_kind(week), (), text, week.cohorts, excess=excess)
    for crowding in crowded_to_come(season, timelines, today):
        excess = Excess(
            f"crowded: {crowding.light}", crowding.first, crowding.needed_m2, crowding.area_m2, "m2"
        )
        text = partial(getattr, crowding, "text")
        yield Clash(f"crowded: {crowding.light}", crowding.cohorts, text, place=crowding.light, excess=excess)


def _out_of_order(season: Season, timeline: Timeline, light: Light, today: date) -> Iterator[Clash]:
    """An intention that what is recorded, or planned before it, no longer leaves room for."""
    name = timeline.cohort.id
    for stage_date in timeline.stages.values():
        if stage_date.status == "projected" and stage_date.intended is not None:
            yield Clash(
                f"{stage_date.stage} out of order",
                (name,),
                f"{name} {stage_text(stage_date.stage)} is planned for {day_text(stage_date.intended)}, which cannot be; it falls "
                f"on {day_text(stage_date.likely)}: plan it again",
            )


def _stays(season: Season, timeline: Timeline, light: Light, today: date) -> Iterator[Clash]:
    """A stay that never comes about: another begins before it would, or the crop is cut by then."""
    cohort, cut = timeline.cohort, timeline.likely("harvest")
    for n, stay in enumerate(timeline.stays[1:] if cohort.written_stays else (), 1):
        if stay.first == date.max:
            begins = stage_text(str(cohort.stays[n].begins))
            why = f"{begins} has no date"
        elif stay.first >= stay.end:
            why = f"it would begin on {day_text(stay.first)}, when the next one does, or later"
        elif cut is not None and stay.first >= cut and cohort.stays[n].begins != "transplant":
            why = f"it begins on {day_text(stay.first)}, and harvest is on {day_text(cut)}"
        else:
            continue
        yield Clash(
            f"stay {n + 1} left out",
            (cohort.id,),
            f"{cohort.id} never stands in {stay.light}: {why}; change what the stay begins with (from), or take it out",
        )


def _late(season: Season, timeline: Timeline, light: Light, today: date) -> Iterator[Clash]:
    cohort = timeline.cohort
    done, meant = cohort.recorded.get("transplant"), cohort.intended("transplant")
    if done is None or meant is None or (done - meant).days <= LATE_D:
        return
    left = (
        ""
        if timeline.growth_d is None
        else f"; {days_text(timeline.growth_d)} of growth before {timeline.growth_end}"
    )
    yield Clash(
        "late transplant",
        (cohort.id,),
        f"{cohort.id} was transplanted {days_text((done - meant).days)} late{left}",
    )


def _young(season: Season, timeline: Timeline, light: Light, today: date) -> Iterator[Clash]:
    """Plants that flower small: too few days between transplant and induction, or a trigger before lights off."""
    cohort = timeline.cohort
    if timeline.variety.response == "day-neutral" or "trigger" not in timeline.stages:
        return
    trigger = timeline.stages["trigger"].likely
    off = timeline.likely("lights_off")
    if off is not None and trigger < off and outage_behind(season, timeline) is None:
        yield Clash(
            "trigger before lights off",
            (cohort.id,),
            f"{cohort.id} is triggered on {day_text(trigger)}, {days_text((off - trigger).days)} before lights off; "
            f"{_before_off_text(season, timeline, trigger)}",
        )
    if timeline.growth_d is not None and timeline.growth_d < FEW_GROWTH_D:
        yield Clash(SMALL, (cohort.id,), _small_text(timeline, light))


def _before_off_text(season: Season, timeline: Timeline, trigger: date) -> str:
    """What to do where plants are triggered before lights off; carried out of the lamps, they may be meant to be."""
    here = timeline.stay_on(trigger)
    if here.first == trigger and season.places[here.place].lamps is None:
        return f"it is carried into {here.light} then, which has no lamps: carry it later, or plan lights off for that day"
    return "light it sooner, or let it flower"


def _small_text(timeline: Timeline, light: Light) -> str:
    """How few days of growth a cohort has, and whether its nursery took them."""
    cohort, trigger, growth = timeline.cohort, timeline.stages["trigger"].likely, timeline.growth_d or 0
    moved, induced = timeline.likely("transplant"), timeline.likely("induced") or trigger
    few = f"(under {FEW_GROWTH_D} d plants stay small)"
    if moved is None or trigger >= moved:
        return f"{cohort.id} has only {days_text(growth)} of growth before induction on {day_text(induced)} {few}; plant sooner, light longer, or take another variety"
    felt = timeline.felt_h[min(light.index(trigger), len(timeline.felt_h) - 1)]
    when = (
        f"triggered in its nursery {timeline.stay_on(trigger).light} on {day_text(trigger)}, by a day of {hours_against(felt, timeline.variety.critical_day.likely)}"
        if induced >= moved
        else f"induced in its nursery {timeline.stay_on(induced).light} on {day_text(induced)}, {days_text((moved - induced).days)} before "
        f"transplant"
    )
    way_out = (
        "let it flower, or start another cohort in its place"
        if "transplant" in cohort.recorded
        else f"give the nursery a day of {hours_text(timeline.variety.critical_day.likely)} or longer up to transplant, move it "
        f"out sooner, or start it when days are longer"
    )
    return f"{cohort.id} is {when}: it has {days_text(growth)} of growth after transplant {few}; {way_out}"


def _past_season(season: Season, timeline: Timeline, light: Light, today: date) -> Iterator[Clash]:
    harvest = timeline.stages.get("harvest")
    if harvest is not None and harvest.latest > season.last_day:
        yield Clash(
            "past the season",
            (timeline.cohort.id,),
            f"{timeline.cohort.id} may be harvested as late as {day_text(harvest.latest)}, after the season's last day "
            f"{day_text(season.last_day)}; trigger it sooner, or move the season's last day",
        )


def _harvest_wish(season: Season, timeline: Timeline, light: Light, today: date) -> Iterator[Clash]:
    cohort, variety = timeline.cohort, timeline.variety
    meant, flowering = cohort.intended("harvest"), timeline.stages.get("flowering")
    if meant is None or flowering is None or "harvest" in cohort.recorded:
        return
    figures = timeline.futures.figures.harvest_d if timeline.futures else ()
    ripe = range_of(flowering.course.plus(variety.flowering_to_harvest_d.likely, figures), season.last_day)
    if not ripe.earliest <= meant <= ripe.latest:
        yield Clash(
            "harvest wish",
            (cohort.id,),
            f"{cohort.id} harvest is planned for {day_text(meant)}; by flowering it falls on {day_text(ripe.likely)} "
            f"({day_text(ripe.earliest)} to {day_text(ripe.latest)})",
        )


def _outages(season: Season, timeline: Timeline, light: Light, today: date) -> Iterator[Clash]:
    for outage in season.outages:
        if missed_nights(timeline, light, outage):
            text = partial(outage_text, season, timeline, light, outage, today)
            yield Clash(outage_kind(outage), (timeline.cohort.id,), text)
        elif outage in recent_outages(season, today):
            # Lamps of others held it back until they failed.
            for look in tip_look_texts(tip_looks(season, [outage], [timeline], light, today)):
                yield Clash(outage_kind(outage), (timeline.cohort.id,), look)


def _lamps_too_short(season: Season, timeline: Timeline, light: Light, today: date) -> Iterator[Clash]:
    for text in too_dark_texts(timeline, light):
        yield Clash("lamps too short", (timeline.cohort.id,), text)


def _lamps_under_covers(season: Season, timeline: Timeline, light: Light, today: date) -> Iterator[Clash]:
    for text in under_covers_texts(timeline, light):
        yield Clash("lamps under covers", (timeline.cohort.id,), text)


def _by_day(season: Season, timeline: Timeline, light: Light, today: date) -> Iterator[Clash]:
    """Covers or a night break by day, told with the first of the cohorts that stand there."""
    for name in timeline.cohort.lights:
        # Seldom is there anything to tell: most lamps extend the day, and who stands there is looked up only then.
        if all(programme.method == "extend" for programme in light.places[name].programmes):
            continue
        for n, text in enumerate(by_day_texts(season, name)):
            there = tuple(c.id for c in season.cohorts.values() if name in c.lights)
            if there[0] == timeline.cohort.id:
                yield Clash(f"by day {name} {n}", there, f"{name}: {text}", place=name)


def _shock(season: Season, timeline: Timeline, light: Light, today: date) -> Iterator[Clash]:
    """Nursery light much longer than that of the growing place, where the transplant is still to come.

    Plants that flower by age are not set back by it.
    """
    cohort = timeline.cohort
    if timeline.variety.response == "day-neutral":
        return
    day = timeline.likely("transplant")
    if not cohort.nursery or day is None or "transplant" in cohort.recorded:
        return
    n = light.index(day)
    if not 0 < n < len(light.natural_h):
        return
    nursery, place = timeline.stay_on(day - timedelta(days=1)).light, timeline.stay_on(day).light
    before, after = light.places[nursery].felt_h[n - 1], light.places[place].felt_h[n]
    if before - after > SHOCK_H:
        yield Clash(
            "shock",
            (cohort.id,),
            f"{cohort.id} moves from a day of {hours_against(before, after + SHOCK_H)} in {nursery} to "
            f"{hours_against(after, before - SHOCK_H)} in "
            f"{place} on {day_text(day)}, over {hours_text(SHOCK_H)} less; {_step_text(timeline, light, day)}",
        )


def _step_text(timeline: Timeline, light: Light, day: date) -> str:
    """How a step down in day length is made smaller, without a nursery day so short that it induces."""
    name = timeline.stay_on(day).light
    own, critical_h = light.places[name], timeline.variety.critical_day.likely
    if own.covered(day):
        return f"begin the covers of {name} some days after the transplant"
    step_h = own.felt_h[light.index(day)] + SHOCK_H
    if step_h >= COMMON_STEP_H:
        return "step down to 15-16 h before transplant"
    if step_h >= critical_h:
        return f"step down to {hours_text(critical_h)} to {hours_text(step_h)} before transplant"
    return f"step down in {name}, under lamps there at first: in its nursery a day that short would induce it"


def _long_days(season: Season, timeline: Timeline, light: Light, today: date) -> Iterator[Clash]:
    if "harvest" in timeline.cohort.recorded or is_in_question(season, timeline, light):
        return
    if text := long_days_text(timeline, light):
        yield Clash("long days after induction", (timeline.cohort.id,), text)


_Find = Callable[[Season, Timeline, Light, date], Iterator[Clash]]
_KINDS: tuple[_Find, ...] = (
    _never,
    _no_lights_off,
    _misses_flowering,
    _lamps_too_short,
    _lamps_under_covers,
    _by_day,
    _outages,
    _shock,
    _long_days,
    not_recorded,
    not_cut,
    not_seen,
    _out_of_order,
    _stays,
    _late,
    _young,
    _past_season,
    _harvest_wish,
)
