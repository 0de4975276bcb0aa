"""The immutable records of a season's work: chores, the tasks they make, and when the crew works."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field

SEED_KINDS = ("feminised", "regular", "clone")
RESPONSES = ("short-day", "day-neutral")
PLACE_KINDS = ("field", "hoop house", "greenhouse", "nursery")
WORK_DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


# The fields of a task that follow from its chore and the dates of its cohorts.
LAID_OUT = ("date", "what", "cohorts", "place", "who", "hours", "amount", "why")


@dataclass(frozen=True, slots=True, kw_only=True)
class Chore:
    """A rule that makes tasks: from a stage and an offset in days, repeated by RFC 5545 until a stage and an offset.

    without_nursery: the stage it hangs on, in place of `stage`, for a cohort sown in place; "" for the same. nursery: whether only
    for cohorts that are raised in one, or only for those sown in place; None for both.
    together: "place" or "season": one task for all cohorts there, and not one for each; "variety": for all of one variety
    and start, which is a seed lot or clone line; "day": for all that need it on one day; "" for each. once: "first" or
    "last": of work together, one task in all, with that cohort. records: the stage that ticking a task of it records.
    observe: the variables of a field book that are due with its tasks. asks: what a tick asks for besides.
    loads_dryer: whether a pass that is put into a batch ticks it.
    """

    id: str
    what: str
    stage: str
    offset_d: int = 0
    repeat: str = ""
    until: str = ""
    until_offset_d: int = 0
    without_nursery: str = ""
    who: str = ""
    hours: float = 0.0
    per: str = "cohort"
    together: str = ""
    once: str = ""
    starts: tuple[str, ...] = ("seed", "cutting")
    seed_kinds: tuple[str, ...] = SEED_KINDS
    responses: tuple[str, ...] = RESPONSES
    place_kinds: tuple[str, ...] = PLACE_KINDS
    lamps: bool | None = None
    nursery: bool | None = None
    at: str = "plants"
    active: bool = True
    since: dt.date | None = None
    any_day: bool = False
    time: dt.time | None = None
    daylight: bool = False
    loads_dryer: bool = False
    shows: tuple[str, ...] = ()
    records: str = ""
    observe: tuple[str, ...] = ()
    asks: str = ""
    needed_for: str = ""
    caution: str = ""
    mark: str = "placeholder"
    hours_mark: str = ""

    @property
    def season_cohort(self) -> str:
        """Which cohort work of the season comes with, "first" or "last": where unset, the last after `dried`."""
        return self.once or ("last" if self.stage == "dried" else "first")

    @property
    def tends_uncut_crops(self) -> bool:
        """Whether it is work on what stands until it is cut: a repeat from before the harvest that ends with it or some days behind."""
        return (
            bool(self.repeat)
            and self.until == "harvest"
            and self.stage != "harvest"
            and self.until_offset_d >= 0
        )

    @property
    def guessed(self) -> bool:
        """Whether its hours are a guess."""
        return (self.hours_mark or self.mark) == "placeholder"


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """One piece of work on one date. `n` counts the dates of its chore, from 1.

    cohorts: all it is for, where it is for more than `cohort` alone; place work that repeats has no `cohort`. amount:
    the quantity worked out, in words. why: why it is not on the day its chore says, or what is wrong with its day.
    fact: what was found when it was done. spent: person-hours that it really took, None where nobody said.
    """

    id: str
    date: dt.date
    what: str
    chore: str = ""
    cohort: str = ""
    cohorts: tuple[str, ...] = ()
    place: str = ""
    n: int = 1
    who: str = ""
    hours: float = 0.0
    spent: float | None = None
    amount: str = ""
    why: str = ""
    state: str = "open"
    done_on: dt.date | None = None
    moved: bool = False
    fact: str = ""
    note: str = ""

    @property
    def about(self) -> tuple[str, ...]:
        """The ids of every cohort it is for."""
        return self.cohorts or ((self.cohort,) if self.cohort else ())


@dataclass(frozen=True, slots=True, kw_only=True)
class Crew:
    """When the farm works. blocked: dates on which it does not; hours_per_week: what each role has."""

    work_days: tuple[str, ...] = WORK_DAYS
    blocked: tuple[dt.date, ...] = ()
    hours_per_week: Mapping[str, float] = field(default_factory=dict)

    def works(self, day: dt.date) -> bool:
        return WORK_DAYS[day.weekday()] in self.work_days and day not in self.blocked
