"""Bags that are cut, sent, lost or cut again: proposed, with ids that the program makes and the task of the trip ticked."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date
from typing import Any, NamedTuple

from calendar_tui.language.speaking import phrase, phrase_form
from calendar_tui.nature.canopy import POSITIONS
from calendar_tui.planning.changes.doubts import date_doubts
from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.new_bags import NewBag, new_bag, units_at
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.record_change import set_fields_of_several
from calendar_tui.planning.changes.record_proposal import checked_season, proposed
from calendar_tui.planning.changes.ticks import fact_edits, tick_edits, ticks_texts
from calendar_tui.planning.changes.trip_work import done_by, ids_text, known_limits
from calendar_tui.planning.sampling.bag_states import LOST, PLANNED, BagState, bag_states
from calendar_tui.planning.sampling.planned import is_lost, planned_bags, plans_of
from calendar_tui.planning.sampling.week import sampling_week
from calendar_tui.planning.spraying.closures import closed_on
from calendar_tui.season.edits import Edit
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.sample_ids import grouped, next_sample_id, read_sample_id
from calendar_tui.season.sampling import BagOf, Sample
from calendar_tui.season.wording import bag_count_text, cohorts_text, full_day_text, hour_of, weekday_text


class Cutting(NamedTuple):
    """day: on which bags are cut; one to come makes them planned. by: who cuts them; maker: who makes the ids."""

    day: date
    by: str = ""
    maker: str = ""


def bags_of_trip(held: HeldSeason, day: date) -> tuple[NewBag, ...]:
    """The bags of the trip that is planned for a day, or nearest to it, without ids, that the budget leaves. Raises Refusal."""
    season = held.plan.season
    near = [one for one in _states(held) if abs((one.bag.day - day).days) <= one.bag.near_d]
    if not near:
        days = sorted({bag.day for bag in planned_bags(season, held.plan.timelines)})
        nearest = sorted(sorted(days, key=lambda other: abs((other - day).days))[:2])
        right = f"; near it are {' and '.join(map(weekday_text, nearest))}: give --date" if nearest else ""
        none = "" if season.samplings else "; there is no sampling plan: add one, or name cohorts"
        raise Refusal(f"no plan asks for bags on {full_day_text(day)}{right or none}")
    first = min(one.bag.day for one in near)
    kept = set(sampling_week(season, held.plan.timelines, first, known_limits(held.plan)).kept.kept)
    left = [one.bag for one in near if one.bag in kept and one.sample is None]
    if not left:
        raise Refusal(f"all bags around {full_day_text(day)} that the budget leaves have their ids already")
    of_trip = min((bag.day for bag in left), key=lambda other: (abs((other - day).days), other))
    return tuple(new_bag(bag) for bag in left if bag.day == of_trip)


def bags_of_cohorts(
    held: HeldSeason,
    cohorts: Sequence[str],
    day: date,
    positions: Sequence[str] = (),
    plants: int | None = None,
) -> tuple[NewBag, ...]:
    """A bag of each position and lot of these cohorts: as its plans have them, else the top, middle and bottom.

    positions: in place of these. Without them bags that are recorded around the day already are left out; Raises Refusal where
    none is left.
    """
    units = [bag for name in cohorts for bag in units_at(held, name, positions)]
    bags = [bag for bag in units if not is_lost(held.plan.season, bag.of, day)]
    if not positions:
        there = _recorded_near(held, day)
        bags = [bag for bag in bags if bag.of not in there]
        if not bags:
            raise Refusal(
                f"bags of {cohorts_text(cohorts)} around {full_day_text(day)} are recorded already; for further ones "
                f"give --positions, such as: --positions {','.join(POSITIONS)}"
            )
    return tuple(bag if plants is None else bag._replace(plants=plants) for bag in bags)


def record_bags(
    held: HeldSeason, bags: Sequence[NewBag], cutting: Cutting
) -> tuple[Proposal, tuple[Sample, ...]]:
    """The proposal that adds these bags as one change, and ticks the tasks of the trip that they complete; and the bags.

    Raises FieldErrors.
    """
    season = held.plan.season
    state = PLANNED if cutting.day > held.plan.today else "taken"
    new = tuple(named_bags(season, bags, cutting, state))
    edits = [Edit("add", "sample", (s.id,), (), bag_table(s)) for s in new]
    about = {"sample": [(s.id,) for s in new]}
    checked = checked_season(held, edits, about, {})
    trips = {cutting.day, *(bag.planned for bag in bags if bag.planned is not None)}
    done = () if state == PLANNED else done_by(held.plan, checked, cutting.day, trips)
    facts = [(task, ids_text(checked, task, cutting.day)) for task in done]
    edits += tick_edits(done, cutting.day)
    edits += [edit for task, fact in facts for edit in fact_edits([task], fact)]
    if done:
        checked = checked_season(held, edits, about, {})
    proposal = proposed(held, checked, _what(new, state), edits, "sample", about["sample"])
    meant = {bag.planned for bag in bags if bag.planned not in (None, cutting.day)}
    planned = (f"planned for {full_day_text(day)}" for day in meant if day is not None)
    notes = (*planned, *ticks_texts(done), *proposal.notes)
    strange = tuple(_strange_positions(season, new))
    dates = date_doubts(season, held.plan.today, cutting.day, planned=state == PLANNED)
    doubts = (*dates, *strange, *bag_doubts(held, new, new), *proposal.doubts)
    entry = () if state == PLANNED else entry_questions(held, new)
    asked = (*entry, *strange)
    return replace(proposal, notes=notes, doubts=doubts, questions=(*asked, *proposal.questions)), new


def bag_doubts(held: HeldSeason, cut: Sequence[Sample], new: Sequence[Sample]) -> Iterator[str]:
    """What speaks against bags that are cut on one day. new: those of them that have no id so far."""
    if cut:
        yield from entry_questions(held, cut)
        yield from _twice(held.plan.season, new)
        yield from _of_lost_plots(held.plan.season, cut)
        yield from _early(held, cut)


def set_bags(held: HeldSeason, names: Sequence[str], state: str, sent: date | None = None) -> Proposal:
    """The proposal that gives bags a state: taken, sent on a day, or lost. Raises Refusal, FieldErrors."""
    early = [n for n in names if sent is not None and held.plan.season.samples[n].date > sent]
    if early:
        cut = held.plan.season.samples[early[0]].date
        raise Refusal(
            f"{grouped(early[0])} is cut on {full_day_text(cut)}, after {full_day_text(sent or cut)}; it cannot be sent before"
        )
    typed = {"state": state} | ({"sent": str(sent)} if sent is not None else {})
    if state == "taken":
        typed["sent"] = "none"
    proposal = _with_work(
        held, set_fields_of_several(held, "sample", [(name,) for name in names], typed), names
    )
    reported = {r.sample for r in held.plan.season.results.values()} & set(names)
    doubts = [f"{grouped(n)} has a result already" for n in names if n in reported]
    when = "" if sent is None else f" on {full_day_text(sent)}"
    what = f"{bag_count_text(len(names))} {state}{when}: {' '.join(map(grouped, names))}"
    change = replace(proposal.change, what=what if proposal.change.edits else proposal.change.what)
    asked = _entries(held, proposal.plan.season, names) if state == "taken" else ()
    return replace(
        proposal,
        change=change,
        questions=(*asked, *proposal.questions),
        doubts=(*asked, *doubts, *proposal.doubts),
    )


def _entries(held: HeldSeason, after: Season, names: Sequence[str]) -> tuple[str, ...]:
    """What is asked of bags that had their ids ahead and are cut now, day by day."""
    cut = [after.samples[name] for name in names if held.plan.season.samples[name].state == PLANNED]
    days = sorted({bag.date for bag in cut})
    return tuple(
        text for day in days for text in entry_questions(held, [bag for bag in cut if bag.date == day])
    )


def _with_work(held: HeldSeason, proposal: Proposal, names: Sequence[str]) -> Proposal:
    """The proposal with the work ticked of bags that had their ids ahead and are cut by it, never on a day to come."""
    season, today = held.plan.season, held.plan.today
    ahead = [name for name in names if season.samples[name].state == PLANNED]
    edits = [*proposal.change.edits]
    edits += [Edit("set", "sample", (n,), ("date",), today) for n in ahead if season.samples[n].date > today]
    about = {"sample": [(name,) for name in names]}
    checked = checked_season(held, edits, about, {})
    done = {
        task.id: (task, day)
        for day in sorted({checked.samples[name].date for name in ahead})
        for task in done_by(held.plan, checked, day, {day})
    }
    if len(edits) == len(proposal.change.edits) and not done:
        return proposal
    for task, day in done.values():
        edits += [*tick_edits([task], day), *fact_edits([task], ids_text(checked, task, day))]
    checked = checked_season(held, edits, about, {})
    ticked = proposed(held, checked, proposal.change.what, edits, "sample", about["sample"])
    return replace(ticked, notes=(*ticks_texts(task for task, _ in done.values()), *ticked.notes))


def find_sample(season: Season, typed: str) -> str:
    """The id of a recorded bag, as it is typed. Raises Unreadable, Refusal."""
    name = read_sample_id(typed, season.samples)
    if name not in season.samples:
        raise Refusal(f"{grouped(name)} is a sound id, but no bag of this season has it")
    return name


def _states(held: HeldSeason) -> tuple[BagState, ...]:
    return bag_states(held.plan.season, planned_bags(held.plan.season, held.plan.timelines))


def _recorded_near(held: HeldSeason, day: date) -> Collection[BagOf]:
    """What has a bag on a day, or one that stands for the sampling to which the day belongs."""
    season = held.plan.season
    on_day = {s.of for s in season.samples.values() if s.date == day and s.state != LOST}
    near = {o.bag.of for o in _states(held) if o.sample and abs((o.bag.day - day).days) <= o.bag.near_d}
    return on_day | near


def named_bags(season: Season, bags: Iterable[NewBag], cutting: Cutting, state: str) -> Iterator[Sample]:
    """Bags with the ids that the program makes for them."""
    taken = {*season.samples, *(result.sample for result in season.results.values())}
    for n, bag in enumerate(bags, 1):
        # A plot last: bags of none keep the ids that they had.
        what = (bag.cohort, bag.lot, bag.block, bag.position, *filter(None, (bag.plot,)))
        about = (season.name, *what, cutting.day.isoformat(), str(n), cutting.maker)
        name = next_sample_id(about, taken)
        taken.add(name)
        yield Sample(id=name, date=cutting.day, who=cutting.by, state=state, **_as_sample(bag))


def _as_sample(bag: NewBag) -> dict[str, Any]:
    return {key: value for key, value in bag._asdict().items() if key != "planned"}


def bag_table(sample: Sample) -> dict[str, Any]:
    """A bag as the file has it."""
    keys = (
        "id",
        "date",
        "cohort",
        "position",
        "lot",
        "block",
        "plot",
        "plants",
        "who",
        "laboratory",
        "state",
        "again",
    )
    pairs = ((key, getattr(sample, key)) for key in keys)
    return {key: value for key, value in pairs if value not in ("", None)}


def _what(bags: Sequence[Sample], state: str) -> str:
    names = cohorts_text(list(dict.fromkeys(bag.cohort for bag in bags)))
    ids = " ".join(grouped(bag.id) for bag in bags)
    return f"{bag_count_text(len(bags))} {'to cut' if state == PLANNED else 'cut'} of {names} on {full_day_text(bags[0].date)}: {ids}"


def entry_questions(held: HeldSeason, bags: Sequence[Sample]) -> Iterator[str]:
    """That a place where bags are cut is closed that day after a spray; bags: of one day."""
    day = bags[0].date if bags else held.plan.today
    for name in dict.fromkeys(bag.cohort for bag in bags) if held.plan.season.sprays else ():
        light = held.plan.timelines[name].stay_on(day).light
        closure = closed_on(held.plan.season, light, day)
        if closure is not None:
            if closure.until is None:
                yield phrase(
                    "nobody enters {light} to cut bags of {cohort}: it is closed after a spray until it is recorded: {waits}",
                    light=light,
                    cohort=name,
                    waits=", ".join(closure.waits_for),
                )
            else:
                yield phrase(
                    "nobody enters {light} to cut bags of {cohort}: it is closed after a spray until {time} on {day}",
                    light=light,
                    cohort=name,
                    time=hour_of(closure.until),
                    day=full_day_text(closure.until.date()),
                )


def _twice(season: Season, bags: Sequence[Sample]) -> Iterator[str]:
    there = {(s.of, s.date): s.id for s in season.samples.values() if s.state != LOST}
    for bag in bags:
        if (other := there.get((bag.of, bag.date))) and bag.again != other:
            yield phrase(
                "{cohort} {position} has a bag of this day already: {bag}",
                cohort=bag.cohort,
                position=bag.position,
                bag=grouped(other),
            )


def _of_lost_plots(season: Season, bags: Sequence[Sample]) -> Iterator[str]:
    for bag in bags:
        lost = season.plots[bag.plot].lost_by(bag.date) if bag.plot in season.plots else None
        if lost is not None:
            yield phrase(
                "plot {plot} is lost from {day} on: what is found in its bag does not count",
                plot=bag.plot,
                day=full_day_text(lost),
            )


def _early(held: HeldSeason, bags: Sequence[Sample]) -> Iterator[str]:
    """That a cohort does not flower yet: such a bag shows nothing of the trend."""
    for name in dict.fromkeys(bag.cohort for bag in bags):
        flowering = held.plan.timelines[name].likely("flowering")
        if flowering is None or bags[0].date < flowering:
            form = phrase_form(
                "50 % flowering of {cohort} has no day; a bag cut before it does not count in the trend"
            )
            if flowering is not None:
                form = phrase_form(
                    "50 % flowering of {cohort} is on {day}; a bag cut before it does not count in the trend"
                )
            yield phrase(form, cohort=name, day=flowering and full_day_text(flowering))


def _strange_positions(season: Season, bags: Iterable[Sample]) -> Iterator[str]:
    """Positions that neither a plan of their cohort nor a bag so far has: such a bag stands for none that is asked for."""
    there = {sample.position for sample in season.samples.values()}
    for cohort, position in dict.fromkeys((bag.cohort, bag.position) for bag in bags):
        planned = dict.fromkeys(name for plan in plans_of(season, cohort) for name in plan.positions)
        if position not in {*there, *(planned or POSITIONS)}:
            whose = f"its plans have {', '.join(planned)}" if planned else f"such are {', '.join(POSITIONS)}"
            yield f"{position} is no position of {cohort} so far; {whose}"
