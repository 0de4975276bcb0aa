"""The review of a season: all that its records say, and what is missing from it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from calendar_tui.planning.plan import Plan
from calendar_tui.planning.review.carried import Carried, carried
from calendar_tui.planning.review.delays import Cause, Slip, causes, slips
from calendar_tui.planning.review.lit import LampsBurnt, OutageReviewed, lamps_burnt, outages_reviewed
from calendar_tui.planning.review.outcomes import LEADS, Outcome, outcomes
from calendar_tui.planning.review.replays import by_default, replayed
from calendar_tui.planning.review.scores import Score, scores
from calendar_tui.planning.review.worked import ChoreHours, hours_by_chore
from calendar_tui.season.records import Season
from calendar_tui.season.stages import BEFORE, DRAFTED


@dataclass(frozen=True, slots=True)
class Review:
    """What a season taught up to `today`.

    outcomes: every record beside what was said of it, cohort by cohort; scores: of these, by basis and group. hours: by
    chore. lamps: what they burnt, by light. outages: what each did. slips, causes: dates that came on another day. carried:
    figures old and new, for the next season. missing: what cannot be said, and why, in sentences.
    """

    name: str
    today: date
    outcomes: tuple[Outcome, ...]
    scores: tuple[Score, ...]
    hours: tuple[ChoreHours, ...]
    lamps: tuple[LampsBurnt, ...]
    outages: tuple[OutageReviewed, ...]
    slips: tuple[Slip, ...]
    causes: tuple[Cause, ...]
    carried: tuple[Carried, ...]
    missing: tuple[str, ...]


def review_of(plan: Plan, further: Sequence[Outcome] = ()) -> Review:
    """The review of a season as its records stand. It lays the season out some ten times: not for the event loop.

    further: records beside what was said at other times, such as `earlier.earlier_projections` finds.
    """
    season = plan.season
    defaults = {name: by_default(variety) for name, variety in season.varieties.items()}
    every = (*outcomes(season), *further, *replayed(plan, defaults))
    forward, lacking = carried(plan)
    hours, slipped = hours_by_chore(season), tuple(slips(season))
    return Review(
        season.name,
        plan.today,
        every,
        scores(every),
        hours,
        tuple(lamps_burnt(plan)),
        tuple(outages_reviewed(plan)),
        slipped,
        causes(slipped),
        forward,
        (*_missing(season, every, hours, slipped), *lacking),
    )


def _missing(
    season: Season, every: Sequence[Outcome], hours: Sequence[ChoreHours], slipped: Sequence[Slip]
) -> Iterator[str]:
    """What the records do not allow to say, in sentences."""
    seen = [(c.id, stage) for c in season.cohorts.values() for stage in c.recorded if stage not in DRAFTED]
    if not any(cohort.recorded for cohort in season.cohorts.values()):
        yield "no date is recorded, so there is nothing to compare: calendar-tui record COHORT STAGE DATE"
    elif not seen:
        yield "no date that the plants decide is recorded: emergence, flowering, harvest ..."
    if lost := list(_lost(season, every, seen)):
        yield (
            f"what was projected is not kept {', '.join(lost)}; the program keeps it as it records seeding, sticking, transplant, "
            "lights off and the stage itself, and it cannot be told afterwards"
        )
    if not any(row.done for row in hours):
        yield "no task is ticked, so no hours can be compared"
    elif not any(row.timed for row in hours):
        yield "no hours spent are noted: calendar-tui done TASK --spent 3.5"
    if lacking_cause := sum(not slip.cause for slip in slipped):
        yield (
            f"{lacking_cause} of {len(slipped)} dates that came on another day {'has' if lacking_cause == 1 else 'have'} no "
            "cause: calendar-tui record COHORT STAGE DATE --cause rain"
        )


def _lost(season: Season, every: Sequence[Outcome], seen: Sequence[tuple[str, str]]) -> Iterator[str]:
    """Of how many records what was projected at each time is not kept: "at the start for 3 of 8 records"."""
    for basis in LEADS.values():
        kept = {(one.cohort, one.stage) for one in every if one.basis == basis}
        could = [one for one in seen if one in kept or _could_keep(season, one, basis)]
        if lacking := sum(one not in kept for one in could):
            yield f"{basis} for {lacking} of {len(could)} records"


def _could_keep(season: Season, seen: tuple[str, str], basis: str) -> bool:
    """Whether a projection can have been kept then: a cohort without a transplant has none at its transplant."""
    cohort, stage = season.cohorts[seen[0]], seen[1]
    needs = {"at the transplant": "transplant", "at lights off": "lights_off"}.get(basis)
    if needs is None:
        return True
    there = needs in cohort.recorded and cohort.recorded[needs] <= cohort.recorded[stage]
    return there and stage not in BEFORE[needs]
