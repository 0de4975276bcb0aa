"""What looks at the plants rule out: of many futures of a cohort, those stay that agree with every look.

"Not yet on D" rules out each future in which the stage came by D. What stays is what is known of the cohort then, by Bayes'
rule with futures that were equally likely before (rejection sampling). The likely run stays as it is where it agrees.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from math import inf

from calendar_tui.nature.futures import middle, shares
from calendar_tui.planning.laying_out.stages import Course, Days, Laid, StageDate, Stages, range_of
from calendar_tui.season.records import Cohort
from calendar_tui.season.stages import BEFORE
from calendar_tui.season.wording import day_text

# Of at least so many futures those are chosen that agree with what was seen.
POOL = 200


def open_looks(cohort: Cohort) -> dict[str, date]:
    """The looks that did not see a stage that is not recorded yet."""
    return {stage: day for stage, day in cohort.not_yet.items() if stage not in cohort.recorded}


def after_looks(
    cohort: Cohort, pool: Mapping[str, StageDate], count: int, last: date
) -> tuple[Stages, tuple[int, ...]]:
    """The stages by `count` of the futures in `pool`, and their numbers: of those that agree with the looks; where none
    does, each is put off by them.

    last: the season's last day. A likely date that was ruled out becomes the middle of what agrees, and what follows moves
    with it; where more than half of what agrees does not get there, that stage and all after it have no date.
    """
    looks = {stage: day for stage, day in open_looks(cohort).items() if stage in pool}
    everything = range(len(pool[cohort.first_stage].days))
    agreeing = [
        n for n in everything if all(pool[stage].days[n] > day.toordinal() for stage, day in looks.items())
    ]
    picked = _as_in_others(_evenly(agreeing or everything, count), len(everything))
    days = _put_off(pool, picked, looks)
    middles = _middles(pool, looks, days)
    why = "; the middle of the futures that agree" if agreeing else ", which its figures do not allow"
    laid, moved = Laid(cohort, last, count, {}), timedelta()
    for stage, was in pool.items():
        if any(middles.get(s) == inf for s in (stage, *BEFORE[stage])):
            continue
        likely = was.likely + (moved if was.status == "projected" else timedelta())
        if stage in middles:
            likely = date.fromordinal(int(middles[stage]))
            moved = likely - was.likely
        course, reason = Course(likely, days[stage]), was.reason
        if stage in middles:
            look = looks.get(stage) or looks["induced"]
            reason = (
                f"not yet on {day_text(look)}{why}; by its likely figures {day_text(was.likely)}: {reason}"
            )
        elif stage in looks:
            reason += f"; not yet on {day_text(looks[stage])}"
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


def _middles(
    pool: Mapping[str, StageDate], looks: Mapping[str, date], days: Mapping[str, Days]
) -> dict[str, float]:
    """The middle day of each stage whose likely date a look rules out, and of the trigger of a count that is ruled out."""
    ruled_out = [stage for stage, day in looks.items() if pool[stage].likely <= day]
    counted = ["trigger"] if "trigger" in pool and "induced" in ruled_out else []
    return {stage: middle(days[stage]) for stage in (*counted, *ruled_out)}
