"""What looks at the plants rule out: of many futures of a cohort, those stay that agree with every look.

"Not yet on D" rules out each future in which the stage came by D. What stays is what is known of the cohort then, by Bayes'
rule with futures that were equally likely before (rejection sampling). The likely run stays as it is where it agrees.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from math import inf
from typing import NamedTuple

from calendar_tui.language.speaking import phrase
from calendar_tui.nature.futures import middle, shares
from calendar_tui.planning.laying_out.stages import Course, Days, Laid, StageDate, Stages, range_of
from calendar_tui.season.records import Cohort
from calendar_tui.season.stages import BEFORE
from calendar_tui.season.wording import day_text

# Of so many futures those are chosen that agree with what was seen: of more where fewer agree than are needed.
POOLS = (200, 1000, 4000)
# A likely date stays while so many of what agrees come by then, or as many as before the looks where these were fewer.
LEAST_SHARE = 0.25


def open_looks(cohort: Cohort) -> dict[str, date]:
    """The looks that did not see a stage that is not recorded yet."""
    return {stage: day for stage, day in cohort.not_yet.items() if stage not in cohort.recorded}


def after_looks(
    cohort: Cohort, pool: Mapping[str, StageDate], count: int, last: date
) -> tuple[Stages, tuple[int, ...]]:
    """The stages by `count` of the futures in `pool`, and their numbers: of those that agree with the looks; where none
    does, each is put off by them.

    last: the season's last day. A likely date that was ruled out becomes the middle of what agrees, one that most of it
    leaves behind the end of its first quarter; what follows moves with it. Where more than half of what agrees does not
    get there, that stage and all after it have no date.
    """
    looks = {stage: day for stage, day in open_looks(cohort).items() if stage in pool}
    everything, agreeing = range(len(pool[cohort.first_stage].days)), agreeing_with(cohort, pool)
    picked = _as_in_others(_evenly(agreeing or everything, count), len(everything))
    days = _put_off(pool, picked, looks)
    left = {stage: tuple([pool[stage].days[n] for n in agreeing]) for stage in pool} if agreeing else days
    moved = _moved(pool, looks, left, bool(agreeing))
    laid, later = Laid(cohort, last, count, {}), timedelta()
    for stage, was in pool.items():
        if any(s in moved and moved[s].day == inf for s in (stage, *BEFORE[stage])):
            continue
        likely = was.likely + (later if was.status == "projected" else timedelta())
        if stage in moved:
            likely = date.fromordinal(int(moved[stage].day))
            later = likely - was.likely
        course, reason = Course(likely, days[stage]), was.reason
        if stage in moved:
            look = looks.get(stage) or looks["induced"]
            by_figures = phrase(
                "by its likely figures {day}: {reason}", day=day_text(was.likely), reason=reason
            )
            reason = f"{phrase('not yet on {day}', day=day_text(look))}{moved[stage].why}; {by_figures}"
        elif stage in looks:
            reason += f"; {phrase('not yet on {day}', day=day_text(looks[stage]))}"
        if (
            likely
            == was.likely
            >= max((laid.out[s].likely for s in BEFORE[stage] if s in laid.out), default=likely)
        ):
            early, _, late = range_of(course, last)
            laid.out[stage] = replace(was, earliest=early, latest=late, reason=reason, days=course.days)
        else:
            laid.set(stage, course, reason)
    return laid.out, picked


def with_looks(cohort: Cohort, stages: Mapping[str, StageDate]) -> Mapping[str, StageDate]:
    """The stages with the looks that did not see them in their reasons, where these rule nothing out."""
    looks = {stage: day for stage, day in open_looks(cohort).items() if stage in stages}
    named = {
        stage: replace(
            stages[stage], reason=f"{stages[stage].reason}; {phrase('not yet on {day}', day=day_text(day))}"
        )
        for stage, day in looks.items()
    }
    return {**stages, **named} if named else stages


def agreeing_with(cohort: Cohort, pool: Mapping[str, StageDate]) -> list[int]:
    """The numbers of the futures that agree with every look at a cohort."""
    looks = [
        (pool[stage].days, day.toordinal()) for stage, day in open_looks(cohort).items() if stage in pool
    ]
    count = len(pool[cohort.first_stage].days)
    return [n for n in range(count) if all(days[n] > number for days, number in looks)]


def _evenly(numbers: Sequence[int], count: int) -> tuple[int, ...]:
    """So many of these numbers of futures, some of them several times where there are fewer."""
    return tuple([numbers[n * len(numbers) // count] for n in range(count)])


def _as_in_others(picked: Sequence[int], of: int) -> tuple[int, ...]:
    """These futures, of so many, in the order in which the critical day lies in those of cohorts without looks.

    So future by future cohorts of a variety stay early and late together.
    """
    ranked = iter(sorted(picked, key=shares("critical_h", of).__getitem__))
    own = shares("critical_h", len(picked))
    by_place = {place: next(ranked) for place in sorted(range(len(picked)), key=own.__getitem__)}
    return tuple([by_place[n] for n in range(len(picked))])


def _put_off(
    pool: Mapping[str, StageDate], picked: Sequence[int], looks: Mapping[str, date]
) -> dict[str, Days]:
    """The days of each stage in these futures; one that a look rules out is late by as much from there on."""
    late, out = [0.0] * len(picked), dict[str, Days]()
    for stage, was in pool.items():
        days = [was.days[n] for n in picked]
        if was.status == "projected":
            days = [day + more for day, more in zip(days, late, strict=True)]
        if stage in looks:
            first = looks[stage].toordinal() + 1
            late = [more + max(first - day, 0) for day, more in zip(days, late, strict=True)]
            days = [max(day, first) for day in days]
        out[stage] = tuple(map(max, days, *(out[s] for s in BEFORE[stage] if s in out), days))
    return out


class _Moved(NamedTuple):
    """A likely day that looks move. why: how it was chosen, in words that follow the look."""

    day: float
    why: str


def _moved(
    pool: Mapping[str, StageDate], looks: Mapping[str, date], days: Mapping[str, Days], agree: bool
) -> dict[str, _Moved]:
    """The likely days that the looks rule out or leave far behind, by stage.

    The trigger of such a count is as in the tenth of the futures that are induced next to that day.
    """
    moved = {
        stage: new for stage, day in looks.items() if (new := _likely(pool[stage], day, days[stage], agree))
    }
    if "induced" in moved and "trigger" in pool:
        day, why = moved["induced"]
        pairs = sorted(
            zip(days["induced"], days["trigger"], strict=True), key=lambda pair: abs(pair[0] - day)
        )
        nearest = [trigger for _, trigger in pairs[: max(len(pairs) // 10, 1)]]
        moved["trigger"] = _Moved(min(middle(nearest), day) if day < inf else inf, why)
    return moved


def _likely(was: StageDate, look: date, days: Days, agree: bool) -> _Moved | None:
    """The middle of what agrees, of a likely date that is ruled out; else the end of its first quarter, where that is later."""
    if was.likely <= look:
        why = "; the middle of the futures that agree" if agree else ", which its figures do not allow"
        return _Moved(middle(days), why)
    before = sum(day <= was.likely.toordinal() for day in was.days) / len(was.days)
    first = sorted(days)[int(min(before, LEAST_SHARE) * len(days))]
    if was.likely.toordinal() < first < inf:
        return _Moved(first, "; most of the futures that agree come as late or later")
    return None
