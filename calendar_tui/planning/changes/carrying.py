"""A further stay of a cohort, where its pots are carried into another place: checked, and proposed with what it moves."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date, timedelta

from calendar_tui.planning.changes.doubts import MOST_LISTED, date_doubts
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.replan import propose, with_dates
from calendar_tui.planning.laying_out.stays import always_in_pots, stays_text
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan
from calendar_tui.season.edits import Edit
from calendar_tui.season.fields import INSTEAD
from calendar_tui.season.records import Cohort, Season, WrittenStay, light_name
from calendar_tui.season.refusal import Refusal, refuse_all
from calendar_tui.season.stay_checks import begin_problem
from calendar_tui.season.stay_reading import stay_rows
from calendar_tui.season.wording import cohorts_text, day_text, full_day_text, season_days_text, stage_text


def add_stays(
    plan: Plan, cohorts: Sequence[Cohort], light: str, begins: date | str, *, done: bool
) -> Proposal:
    """The proposal that puts cohorts under another light from a date, or a stage, each up to its next stay.

    light: as `find_light` gives it. done: it happened, and is not to come. A stay there that begins on another date is
    moved to this one. Raises Refusal with a line for each cohort whose stay cannot be.
    """
    stay, season = _written(plan.season, light, begins), plan.season
    edits, doubts, refused = list[Edit](), list[str](), list[str]()
    for cohort in cohorts:
        try:
            day = _day_of(plan, cohort, stay, done)
            new = _with_stay(plan, cohort, stay, day, done)
        except Refusal as wrong:
            refused.append(str(wrong))
        else:
            season = with_dates(season, new)
            edits += _edits(cohort, new.written_stays)
            doubts += _doubts(plan, cohort, day, done)
    refuse_all(refused, len(cohorts))
    names = tuple(cohort.id for cohort in cohorts)
    proposal = propose(plan, season, _what(names, light, begins, done), edits, names)
    stands = (
        f"{name} stands in {stays_text(proposal.plan.timelines[name].stays)}" for name in names[:MOST_LISTED]
    )
    return replace(proposal, doubts=tuple(dict.fromkeys(doubts)), notes=tuple(stands))


def _what(names: Sequence[str], light: str, begins: date | str, done: bool) -> str:
    """The change in words."""
    when = full_day_text(begins) if isinstance(begins, date) else f"with {stage_text(begins)}"
    if done:
        return f"{cohorts_text(names)} carried into {light} {when}"
    return (
        f"{cohorts_text(names)} stay in {light} planned {when if isinstance(begins, str) else f'from {when}'}"
    )


def _written(season: Season, light: str, begins: date | str) -> WrittenStay:
    place = season.place_of(light)
    assert place is not None
    if light not in place.lights:
        raise Refusal(f"{place.id} is screened into parts; name one: {', '.join(place.lights)}")
    part = next((part for part in place.screened if light_name(place.id, part) == light), "")
    return WrittenStay(place.id, part, begins)


def _day_of(plan: Plan, cohort: Cohort, stay: WrittenStay, done: bool) -> date:
    """The date on which a stay would begin."""
    season, begins, timeline = plan.season, stay.begins, plan.timelines[cohort.id]
    day = begins if isinstance(begins, date) else timeline.likely(begins)
    if day is None:
        raise Refusal(
            f"{cohort.id} has no date for {stage_text(str(begins))}; give the date on which it is carried"
        )
    if not season.first_day <= day <= season.last_day:
        raise Refusal(f"{full_day_text(day)} is outside the season, {season_days_text(season)}")
    if done and day > plan.today:
        raise Refusal(
            f"{full_day_text(day)} is after today, {full_day_text(plan.today)}; record what has happened, plan what is to come"
        )
    begun, cut = timeline.begun, cohort.recorded.get("harvest")
    if day <= begun:
        raise Refusal(f"{cohort.id} begins on {full_day_text(begun)}; a further stay comes after that")
    if cut is not None and day >= cut:
        raise Refusal(f"{cohort.id} was harvested on {full_day_text(cut)}; a further stay comes before that")
    return day


def _with_stay(plan: Plan, cohort: Cohort, stay: WrittenStay, day: date, done: bool) -> Cohort:
    """The cohort with this stay among its own, in the order in which they come."""
    written, dated = cohort.stays, plan.timelines[cohort.id].stays
    number = next((n for n, there in enumerate(dated) if there.first >= day), len(dated))
    for n in (number - 1, number):
        if n < len(written) and written[n].light == stay.light:
            _refuse_to_move(plan, cohort, written[n], done)
            return replace(cohort, written_stays=(*written[:n], stay, *written[n + 1 :]))
    if number < len(dated) and dated[number].first == day:
        raise Refusal(
            f"{cohort.id} comes into {dated[number].light} on {full_day_text(day)}; give another date"
        )
    new = replace(cohort, written_stays=(*written[:number], stay, *written[number:]))
    if problem := begin_problem(plan.season, new, number, stay):
        raise Refusal(f"cohort {cohort.id}: {problem}")
    return new


def _refuse_to_move(plan: Plan, cohort: Cohort, there: WrittenStay, done: bool) -> None:
    """Only a stay from a date, which is to come or was recorded wrongly, is put on another one."""
    if not isinstance(there.begins, date):
        begins = stage_text(there.begins or cohort.first_stage)
        raise Refusal(f"{cohort.id} stands in {there.light} from its {begins} on; record or plan that stage")
    if there.begins <= plan.today and not done:
        raise Refusal(
            f"{cohort.id} stands in {there.light} since {day_text(there.begins)}; to correct that date, record it"
        )


def _edits(cohort: Cohort, stays: tuple[WrittenStay, ...]) -> Iterator[Edit]:
    """What writes these stays into the record, in place of its nursery, place and part."""
    if not cohort.written_stays:
        for key in INSTEAD["cohort"]["stays"]:
            if getattr(cohort, key):
                yield Edit("unset", "cohort", (cohort.id,), (key,))
    yield Edit("set", "cohort", (cohort.id,), ("stays",), stay_rows(stays))


def _doubts(plan: Plan, cohort: Cohort, day: date, done: bool) -> Iterator[str]:
    """Why the stay may be mistaken: a date far off, or plants that are in the ground."""
    yield from date_doubts(plan.season, plan.today, day, cohort, planned=not done)
    yield from _ground_doubts(plan.season, plan.timelines[cohort.id], day)


def _ground_doubts(season: Season, timeline: Timeline, day: date) -> Iterator[str]:
    before = [stay for stay in timeline.stays if stay.first < day]
    if not always_in_pots(season, before):
        place = season.places[timeline.stay_on(day - timedelta(days=1)).place]
        yield (
            f"{timeline.cohort.id} grows in the ground of {place.id} ({place.kind}), where no pot size is set: only plants in pots "
            f"can be carried"
        )
