"""Clashes: two things that cannot both hold. Each small function finds one kind, for one cohort."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import date, timedelta
from functools import partial

from calendar_tui.language.speaking import phrase
from calendar_tui.planning.capacity.hours import largest, over_full, over_full_text
from calendar_tui.planning.capacity.over_full import (
    crowded_to_come,
    over_full_kind,
    over_full_use_text,
    over_full_uses,
)
from calendar_tui.planning.clash import Clash, Excess
from calendar_tui.planning.clash_words import (
    FEW_GROWTH_D,
    SHOCK_H,
    before_off_text,
    needed_text,
    small_text,
    step_text,
)
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
from calendar_tui.season.lots import lots_without_official_sample
from calendar_tui.season.records import Season
from calendar_tui.season.rules import OFFICIAL_CHORE
from calendar_tui.season.weeks import iso_week
from calendar_tui.season.wording import day_text, days_text, hours_against, hours_text, stage_text

# A starting value, common practice, no source: a planting this late is told.
LATE_D = 3
# The kind of clash that tells of plants that stay small.
SMALL = "small plants"


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
            phrase("{cohorts} has lights on and no lights off; plan a lights off", cohorts=cohort.id),
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
        if task.chore == OFFICIAL_CHORE and not lots_without_official_sample(season, task.about):
            continue  # The sample itself is recorded, whatever became of its task.
        if stage in timelines[task.cohort].cohort.recorded or task.date < today:
            yield Clash(
                f"{task.chore} before {stage}",
                (task.cohort,),
                needed_text(task, stage, today),
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
                phrase(
                    "{cohort} {stage} is planned for {first}, which cannot be; it falls on {last}: plan it again",
                    cohort=name,
                    stage=stage_text(stage_date.stage),
                    first=day_text(stage_date.intended),
                    last=day_text(stage_date.likely),
                ),
            )


def _stays(season: Season, timeline: Timeline, light: Light, today: date) -> Iterator[Clash]:
    """A stay that never comes about: another begins before it would, or the crop is cut by then."""
    cohort, cut = timeline.cohort, timeline.likely("harvest")
    for n, stay in enumerate(timeline.stays[1:] if cohort.written_stays else (), 1):
        if stay.first == date.max:
            begins = stage_text(str(cohort.stays[n].begins))
            why = phrase("{stage} has no date", stage=begins)
        elif stay.first >= stay.end:
            why = phrase(
                "it would begin on {day}, when the next one does, or later", day=day_text(stay.first)
            )
        elif cut is not None and stay.first >= cut and cohort.stays[n].begins != "transplant":
            why = phrase(
                "it begins on {first}, and harvest is on {last}",
                first=day_text(stay.first),
                last=day_text(cut),
            )
        else:
            continue
        yield Clash(
            f"stay {n + 1} left out",
            (cohort.id,),
            phrase(
                "{cohorts} never stands in {light}: {why}; change what the stay begins with (from), or take it out",
                cohorts=cohort.id,
                light=stay.light,
                why=why,
            ),
        )


def _late(season: Season, timeline: Timeline, light: Light, today: date) -> Iterator[Clash]:
    cohort = timeline.cohort
    done, meant = cohort.recorded.get("transplant"), cohort.intended("transplant")
    if done is None or meant is None or (done - meant).days <= LATE_D:
        return
    text = phrase(
        "{cohorts} was transplanted {far} late", cohorts=cohort.id, far=days_text((done - meant).days)
    )
    if timeline.growth_d is not None:
        growth = days_text(timeline.growth_d)
        left = phrase("{far} of growth before {growth_end}", far=growth, growth_end=timeline.growth_end)
        text = f"{text}; {left}"
    yield Clash("late transplant", (cohort.id,), text)


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
            phrase(
                "{cohorts} is triggered on {day}, {far} before lights off; {way_out}",
                cohorts=cohort.id,
                day=day_text(trigger),
                far=days_text((off - trigger).days),
                way_out=before_off_text(season, timeline, trigger),
            ),
        )
    if timeline.growth_d is not None and timeline.growth_d < FEW_GROWTH_D:
        yield Clash(SMALL, (cohort.id,), small_text(timeline, light))


def _past_season(season: Season, timeline: Timeline, light: Light, today: date) -> Iterator[Clash]:
    harvest = timeline.stages.get("harvest")
    if harvest is not None and harvest.latest > season.last_day:
        yield Clash(
            "past the season",
            (timeline.cohort.id,),
            phrase(
                "{cohorts} may be harvested as late as {first}, after the season's last day {last}; "
                "trigger it sooner, or move the season's last day",
                cohorts=timeline.cohort.id,
                first=day_text(harvest.latest),
                last=day_text(season.last_day),
            ),
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
            phrase(
                "{cohorts} harvest is planned for {since}; by flowering it falls on {day} ({first} to {last})",
                cohorts=cohort.id,
                since=day_text(meant),
                day=day_text(ripe.likely),
                first=day_text(ripe.earliest),
                last=day_text(ripe.latest),
            ),
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
            phrase(
                "{cohorts} moves from a day of {full} in {nursery} to {hours} in {light} on {day}, over {limit} less; {way_out}",
                cohorts=cohort.id,
                full=hours_against(before, after + SHOCK_H),
                nursery=nursery,
                hours=hours_against(after, before - SHOCK_H),
                light=place,
                day=day_text(day),
                limit=hours_text(SHOCK_H),
                way_out=step_text(timeline, light, day),
            ),
        )


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
