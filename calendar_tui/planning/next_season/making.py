"""The next season made of one that is there: edits in two steps, its plan, and what to know before it is written."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any, NamedTuple

from calendar_tui.planning.changes.held_season import HeldSeason
from calendar_tui.planning.changes.replan import new_before, refresh
from calendar_tui.planning.next_season.carried import carried_edits, is_left, records_of
from calendar_tui.planning.next_season.dates import is_date, last_on, name_on, years_on
from calendar_tui.planning.next_season.left_behind import Left, left_behind, planned_as_it_was
from calendar_tui.planning.next_season.proposals import open_proposals
from calendar_tui.planning.next_season.trials import date_edits, drawn_trials, seed_edits
from calendar_tui.planning.next_season.varieties import Learnt, learnt
from calendar_tui.planning.plan import Plan, make_plan
from calendar_tui.planning.review.carried import Carried
from calendar_tui.planning.trials.drawing import draw_trial, plots_of_trial
from calendar_tui.season.edits import Data, Edit, apply_edits
from calendar_tui.season.kind_words import kinds_text
from calendar_tui.season.kinds import KINDS
from calendar_tui.season.reading import read_season
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.upgrades import upgraded
from calendar_tui.season.wording import full_day_text, some_text, stage_text, weekday_text, year_day_text

MOST_YEARS = 50


class Wish(NamedTuple):
    """What is asked for. years: how much later; name: "" for the name with its years moved; seed: of the first trial, None
    for today's date as a number; refit: whether the varieties learn from their records.
    """

    years: int = 1
    name: str = ""
    seed: int | None = None
    refit: bool = True


class MovedDate(NamedTuple):
    """A planned date of a cohort before and after."""

    cohort: str
    stage: str
    old: date
    new: date


class Drawn(NamedTuple):
    """A trial drawn anew. plots: how many; "" or why it could not be drawn."""

    trial: str
    seed: int
    plots: int
    why_not: str = ""


@dataclass(frozen=True, slots=True)
class NextSeason:
    """A season to be written. steps: edits on the text of the old file, one step after the other; plan: of the new season.

    carried: kinds of record with how many, as they are; moved: planned dates; varieties: what they learnt; left: what stays
    behind; open_proposals: what a review of the old season proposes, and the new one has not; notes: what to look at. past: how many
    tasks would lie before today and are not made.
    """

    steps: tuple[tuple[Edit, ...], ...]
    plan: Plan
    years: int
    carried: tuple[tuple[str, int], ...]
    moved: tuple[MovedDate, ...]
    varieties: tuple[Learnt, ...]
    trials: tuple[Drawn, ...]
    left: tuple[Left, ...]
    open_proposals: tuple[Carried, ...]
    notes: tuple[str, ...]
    past: int

    @property
    def season(self) -> Season:
        return self.plan.season


def next_season(plans: Sequence[Plan], data: Data, wish: Wish, today: date) -> NextSeason:
    """The season of `wish.years` later. plans: of the season, then of further ones whose records count for its varieties.

    data: of the season's file. today: at the new season's site. Raises Refusal where it would be over already, or the dates
    do not fit when moved.
    """
    plan, old = plans[0], upgraded(data)
    _refuse_years(plan.season, wish.years, today)
    varieties = tuple(
        learnt(plans, one) if wish.refit else Learnt(one.id, (), 0, "as asked", ())
        for one in plan.season.varieties.values()
    )
    first = (
        *carried_edits(old, wish.years),
        *(edit for one in varieties for edit in one.edits),
        *_season_edits(plan.season, wish, today),
        *seed_edits(plan.season, wish.seed, today),
    )
    draft = _Draft(plan, apply_edits(old, first), today)
    trials = tuple(_drawn(draft, plan.season))
    whole = refresh(make_plan(replace(draft.plan.season, since=None), today, draft.plan))
    refreshed = refresh(draft.plan)
    draft.add(refreshed.change.edits)
    return NextSeason(
        (first, tuple(draft.edits)),
        draft.plan,
        wish.years,
        tuple(_carried(old)),
        tuple(_moved_dates(plan.season, draft.plan.season)),
        varieties,
        trials,
        tuple(left_behind(old)),
        tuple(open_proposals(plan, varieties)),
        tuple(_notes(old, plan.season, draft.plan, wish)),
        new_before(whole.tasks, today),
    )


def _refuse_years(season: Season, years: int, today: date) -> None:
    if not 1 <= years <= MOST_YEARS:
        raise Refusal(f"{years} years: write how many years later the season is to be, 1 to {MOST_YEARS}")
    last = last_on(season.last_day, years)
    if last < today:
        right = next(n for n in range(years, years + 1000) if last_on(season.last_day, n) >= today)
        raise Refusal(
            f"a season {years} {'year' if years == 1 else 'years'} after {season.name} ended on {full_day_text(last)}, before "
            f"today, {full_day_text(today)}; write --years {right}, which is the first that has not passed"
        )


def _season_edits(season: Season, wish: Wish, today: date) -> Iterator[Edit]:
    """No task is made before today, as in every new season."""
    yield Edit("set", "season", (), ("name",), wish.name or name_on(season, wish.years))
    yield Edit("set", "season", (), ("since",), today)


class _Draft:
    """The new season under way: its data after each change, and its plan."""

    def __init__(self, old: Plan, data: Data, today: date) -> None:
        self._weather, self._today = old.season.weather, today
        self.data, self.edits = data, list[Edit]()
        self.plan = self._planned()

    def add(self, edits: Sequence[Edit]) -> None:
        self.edits += edits
        self.data = apply_edits(self.data, edits)
        self.plan = self._planned()

    def _planned(self) -> Plan:
        reading = read_season(self.data)
        if reading.season is None:
            texts = "; ".join(problem.message for problem in reading.problems[:3])
            raise Refusal(f"the dates do not fit a year later: {texts}. Put that right in the season first")
        return make_plan(replace(reading.season, weather=self._weather), self._today)


def _drawn(draft: _Draft, old: Season) -> Iterator[Drawn]:
    for before in drawn_trials(old):
        trial = draft.plan.season.trials[before.id]
        draft.add(tuple(date_edits(trial, old, draft.plan.season)))
        seed = trial.seed or 0
        try:
            proposal = draw_trial(HeldSeason(draft.plan, draft.data), trial.id)
        except Refusal as wrong:
            yield Drawn(trial.id, seed, 0, str(wrong))
            continue
        draft.add(proposal.change.edits)
        yield Drawn(trial.id, seed, len(plots_of_trial(draft.plan.season, trial.id)))


# --- what is told of it


def _carried(data: Data) -> Iterator[tuple[str, int]]:
    for kind in KINDS:
        if (records := records_of(data, kind)) and not is_left(kind):
            yield kind.name, len(records)


def _moved_dates(old: Season, new: Season) -> Iterator[MovedDate]:
    for cohort in new.cohorts.values():
        before = old.cohorts.get(cohort.id)
        for stage, day in cohort.planned.items():
            was = None if before is None else before.planned.get(stage) or before.fixed(stage)
            if was is not None:
                yield MovedDate(cohort.id, stage, was, day)


def _notes(data: Data, old: Season, plan: Plan, wish: Wish) -> Iterator[str]:
    new = plan.season
    if plan.today <= old.last_day:
        yield (
            f"{old.name} runs to {full_day_text(old.last_day)}: what is recorded from now on is not in the figures; make the next "
            "season once more then, or fit the varieties there"
        )
    yield from planned_as_it_was(data)
    yield from _leap_days(data, wish.years)
    yield from _not_worked(new)
    for profile in new.profiles.values():
        read = f"as they were read on {year_day_text(profile.as_of)}" if profile.as_of else "as they stand"
        yield f"rules {profile.id} are {read}: ask your authority what holds in the new season"
    if new.crew is not None and new.crew.blocked:
        yield "days off keep their dates; set those anew that do not, such as Easter"
    if plan.today > new.first_day:
        yield f"its first day, {full_day_text(new.first_day)}, has passed: look at the dates of the first cohorts"
    if unknown := [key for key in data if key not in _KNOWN]:
        yield f"kept as they stand, not read by this version: {some_text(unknown)}"
    if old.station is not None:
        yield f"temperatures are read from {old.station.file}, which must stand beside the new file too"
    yield "comments of the file stay where they are; those about the old season are yours to take out"


_KNOWN = frozenset(("format", "records", *(kind.name for kind in KINDS)))


def _leap_days(data: Data, years: int) -> Iterator[str]:
    days = {
        day
        for kind in KINDS
        if not is_left(kind)
        for record in records_of(data, kind)
        for day in _days_in(record)
        if (day.month, day.day) == (2, 29)
        and (years_on(day, years).month, years_on(day, years).day) == (3, 1)
    }
    if days:
        yield f"{some_text([year_day_text(day) for day in sorted(days)])} becomes 1 Mar: the new year has no 29 Feb"


def _days_in(value: Any) -> Iterator[date]:
    if is_date(value):
        yield value
    elif isinstance(value, Mapping | list):
        for part in value.values() if isinstance(value, Mapping) else value:
            yield from _days_in(part)


def _not_worked(season: Season) -> Iterator[str]:
    """The planned dates that fall on days that are not worked: by date, a weekday is another each year."""
    if season.crew is None:
        return
    texts = [
        f"{cohort.id} {stage_text(stage)} {weekday_text(day)}"
        for cohort in season.cohorts.values()
        for stage, day in cohort.planned.items()
        if not season.crew.works(day)
    ]
    if texts:
        yield f"{len(texts)} planned {'date falls' if len(texts) == 1 else 'dates fall'} on days that are not worked: {some_text(texts)}"


def kinds_carried_text(carried: Sequence[tuple[str, int]]) -> str:
    """ "5 places, 3 varieties, 18 chores, crew": what stands once without a number."""
    once = {kind.name for kind in KINDS if not kind.identity}
    return ", ".join(
        name if name in once else f"{count} {kinds_text(name, count)}"
        for name, count in carried
        if name not in ("season", "site")
    )
