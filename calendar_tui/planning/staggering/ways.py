"""What would make a wish possible that cannot be planted: other wishes, each tried, so that none is offered that cannot be."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import NamedTuple

from calendar_tui.nature.quantities import plants_per_area
from calendar_tui.planning.clash_words import FEW_GROWTH_D
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.staggering.impossible import is_small
from calendar_tui.planning.staggering.options import Option, bench_of, options_in
from calendar_tui.planning.staggering.problem import HARD
from calendar_tui.planning.staggering.proposing import stagger
from calendar_tui.planning.staggering.room import room_of, rows_of
from calendar_tui.planning.staggering.scheme import Scheme
from calendar_tui.planning.staggering.shared_light import free, own_turns
from calendar_tui.planning.staggering.wish import GROWN_D, Wish, checked
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.wording import days_text, full_day_text

# Other harvests are looked for by weeks, so many to either side: a choice.
_WEEKS = 12
# At most so many ways are offered.
MOST_WAYS = 5


@dataclass(frozen=True, slots=True)
class Way:
    """text: what is other than in the wish that cannot be planted; scheme: what is proposed for it."""

    text: str
    wish: Wish
    scheme: Scheme


class _Choice(NamedTuple):
    """An option that keeps what is hard, once no more than so many plants are planted; None: as many as are wished for."""

    option: Option
    plants: int | None
    growth_d: int

    def rank(self, wanted: date) -> tuple[int, int, int]:
        """What comes first is nearest in date, then grows longest, then has most plants."""
        return abs((self.option.harvest - wanted).days), -self.option.growth_d, -(self.plants or 10**9)


def ways(plan: Plan, wish: Wish, blocked: Scheme | None) -> tuple[Way, ...]:
    """Wishes near this one that can be planted, the most alike first: fewer plants, another place, another date, less growth.

    blocked: the scheme for the wish that is over a hard limit; None where nothing could be proposed at all.
    None for a wish that cannot be meant so, such as one outside the season.
    """
    try:
        wish = checked(plan.season, wish)
    except Refusal:
        return ()
    near = _of_one(plan, wish) if wish.count == 1 and wish.first else _of_several(plan, wish, blocked)
    made: list[Way] = []
    for other in near:
        if (way := _tried(plan, wish, other)) is not None:
            made.append(way)
        if len(made) == MOST_WAYS:
            break
    return tuple(made)


def _tried(plan: Plan, wish: Wish, other: Wish) -> Way | None:
    try:
        scheme = stagger(plan, other)
    except Refusal:
        return None
    return None if scheme.hard_texts else Way(_text(wish, other, scheme), other, scheme)


def _text(wish: Wish, other: Wish, scheme: Scheme) -> str:
    """ "H1 in place of H2, harvest Thu 29 Apr 2027 (6 days sooner), 80 plants in place of 150"."""
    parts = []
    if other.lights != wish.lights:
        parts.append(f"{', '.join(other.lights)} in place of {', '.join(wish.lights)}")
    if wish.first is not None and other.first is not None and (days := (other.first - wish.first).days):
        side = "later" if days > 0 else "sooner"
        parts.append(f"harvest {full_day_text(other.first)} ({days_text(abs(days))} {side})")
    if other.last is not None and other.last != wish.last:
        parts.append(f"the last harvest by {full_day_text(other.last)}")
    if wish.count not in (None, len(scheme.sown)):
        parts.append(f"{len(scheme.sown)} of {wish.count} cohorts")
    if other.plants != wish.plants:
        parts.append(
            f"{other.plants} plants" + (f" in place of {wish.plants}" if wish.plants else " a cohort")
        )
    grown = scheme.measures.growth_d
    if other.grown_d != wish.grown_d and grown is not None:
        parts.append(f"{grown[0]} d of growth")
    return ", ".join(parts)


# --- one cohort for one harvest: all that can be planted is looked at


def _of_one(plan: Plan, wish: Wish) -> Iterator[Wish]:
    wanted = wish.first
    assert wanted is not None
    least = {min(wish.grown_d, days) for days in (wish.grown_d, GROWN_D, FEW_GROWTH_D)}
    choices = [
        c for d in sorted(least, reverse=True) for c in _choices(plan, replace(wish, grown_d=d), wanted)
    ]
    for choice in sorted(_best(choices, wish, wanted), key=lambda c: c.rank(wanted)):
        plants = wish.plants if choice.plants is None else choice.plants
        option = choice.option
        yield replace(
            wish,
            lights=(option.light,),
            first=option.harvest,
            plants=plants,
            grown_d=choice.growth_d,
            within_d=0,
        )


def _best(choices: Iterable[_Choice], wish: Wish, wanted: date) -> Iterable[_Choice]:
    """Of each place the nearest; of the places that are wished for, the nearest before the date and behind it."""
    best: dict[tuple[str, int], _Choice] = {}
    for choice in choices:
        harvest, light = choice.option.harvest, choice.option.light
        side = (harvest > wanted) - (harvest < wanted) if light in wish.lights else 0
        known = best.get((light, side))
        if known is None or choice.rank(wanted) < known.rank(wanted):
            best[light, side] = choice
    return best.values()


def _choices(plan: Plan, wish: Wish, wanted: date) -> Iterator[_Choice]:
    """What the light of its place leaves room for, that does not stay small, and of which the ground holds some plants."""
    season = plan.season
    bench = bench_of(season, wish, plan.warmth, plan.today)
    days = {n: wanted + timedelta(days=7 * n) for n in range(-_WEEKS, _WEEKS + 1)}
    targets = {n: day for n, day in days.items() if season.first_day <= day <= season.last_day}
    options = [o for light in _growing(season) for o in options_in(bench, light, targets)]
    grown = [o for o in options if not is_small(wish, o)]
    left = free(grown, own_turns(season, plan.timelines, plan.light))
    fitting = _plants_fitting(plan, wish, left)
    for number, option in enumerate(left):
        plants = fitting.get(number)
        if plants != 0:
            yield _Choice(option, plants, wish.grown_d)


def _growing(season: Season) -> Iterator[str]:
    return (light for place in season.growing_places for light in place.lights)


def _plants_fitting(plan: Plan, wish: Wish, options: list[Option]) -> Mapping[int, int]:
    """By the number of an option that has no room for all its plants: how many there is room for."""
    fitting: dict[int, int] = {}
    for row in rows_of(room_of(plan.season, plan.timelines, plan.today), options):
        if row.limit.kind in HARD:
            plants = 0 if wish.spacing_m is None else plants_per_area(row.left, *wish.spacing_m)
            for number, amount in row.amounts:
                if amount > row.left:
                    fitting[number] = min(plants, fitting.get(number, plants))
    return fitting


# --- several cohorts: a few other wishes are tried


def _of_several(plan: Plan, wish: Wish, blocked: Scheme | None) -> Iterator[Wish]:
    lights = tuple(dict.fromkeys((*wish.lights, *_growing(plan.season))))
    fitting = [] if blocked is None else [n for o in blocked.overs if (n := blocked.plants_that_fit(o))]
    if fitting:
        yield replace(wish, plants=min(fitting))
    if lights != wish.lights:
        yield replace(wish, lights=lights)
    if wish.grown_d > FEW_GROWTH_D:
        yield replace(wish, lights=lights, grown_d=FEW_GROWTH_D)
    if wish.count is not None and wish.every_d is not None and wish.first is not None:
        yield replace(wish, first=None, last=plan.season.last_day)
        yield from (
            replace(wish, count=n) for n in range(wish.count - 1, 0, -1) if n == wish.count - 1 or n == 1
        )
    if wish.first is not None:
        yield from _of_one(plan, replace(wish, count=1, last=None, every_d=None))
