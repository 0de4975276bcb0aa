"""What a staggering is asked for, and the harvest dates that follow from it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta

from calendar_tui.nature.rounding import whole
from calendar_tui.season.finders import find_light, find_place, find_variety
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.wording import days_text, full_day_text, season_days_text, year_day_text

MOST_COHORTS = 60
MOST_EVERY_D = 120
MOST_GROWN_D = 200
EVERY_D = 7
# Days of growth before induction that are wished for where none are given: four weeks under lamps and two from lights
# off to induction; a placeholder, no source.
GROWN_D = 42
# How far a harvest may lie from the date wished for: half a week either way, a choice.
WITHIN_D = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """What is asked for.

    lights: names of the places, or of parts of screened ones, that may be used. plants: of each cohort; None: as many as
    its place holds, which is then its own. count: of cohorts; None: as many as fit. first, last: harvests wished for; None:
    as early as can be, and as late. every_d: days between harvests. grown_d: days of growth wished for; within_d: how far a
    harvest may lie from its date.
    """

    variety: str
    lights: tuple[str, ...]
    start: str = "seed"
    nursery: str | None = None
    plants: int | None = None
    spacing_m: tuple[float, float] | None = None
    count: int | None = None
    first: date | None = None
    last: date | None = None
    every_d: int | None = None
    grown_d: int = GROWN_D
    within_d: int = WITHIN_D

    @property
    def as_many_as_fit(self) -> bool:
        return self.count is None


def checked(season: Season, wish: Wish) -> Wish:
    """The wish with its names as the season has them. Raises Refusal where it cannot be meant so."""
    if not wish.lights:
        raise Refusal(f"name the places that may be used; this season has {', '.join(season.places)}")
    variety = find_variety(season, wish.variety)
    nursery = None if wish.nursery is None else find_place(season, wish.nursery)
    lights = dict.fromkeys(name for given in wish.lights for name in _lights_of(season, given))
    if nursery is not None and (nursery.id in lights or nursery.screened):
        raise Refusal(f"{nursery.id} cannot be the nursery: it is a place to grow in, or screened into parts")
    if wish.start == "seed" and variety.seed_kind == "clone":
        raise Refusal(f"{variety.id} is a clone and has no seed; start it from cuttings")
    _check_figures(wish)
    _check_dates(season, wish)
    named = None if nursery is None else nursery.id
    return replace(wish, variety=variety.id, lights=tuple(lights), nursery=named)


def _lights_of(season: Season, given: str) -> tuple[str, ...]:
    """The lights that a name means: all parts of a screened place that is named as a whole."""
    name = find_light(season, given)
    return season.places[name].lights if name in season.places else (name,)


def _check_figures(wish: Wish) -> None:
    for what, figure, most in (
        ("cohorts", wish.count, MOST_COHORTS),
        ("days between harvests", wish.every_d, MOST_EVERY_D),
        ("days of growth", wish.grown_d, MOST_GROWN_D),
        ("plants", wish.plants, 10_000_000),
    ):
        if figure is not None and not 1 <= figure <= most:
            raise Refusal(f"{figure} {what} cannot be; give 1 to {most}")
    if not 0 <= wish.within_d <= 30:
        raise Refusal(f"within {days_text(wish.within_d)} cannot be; give 0 to 30")


def _check_dates(season: Season, wish: Wish) -> None:
    for what, day in (("first harvest", wish.first), ("last harvest", wish.last)):
        if day is not None and not season.first_day <= day <= season.last_day:
            raise Refusal(
                f"the {what} {full_day_text(day)} is outside the season, {season_days_text(season)}"
            )
    if wish.first is not None and wish.last is not None and wish.last < wish.first:
        raise Refusal(
            f"the last harvest {full_day_text(wish.last)} is before the first, {full_day_text(wish.first)}; give them in order"
        )
    if None not in (wish.count, wish.every_d, wish.first, wish.last):
        raise Refusal("cohorts, days between them, first and last harvest are one too many; leave one out")
    if wish.count is not None and wish.count > 1 and wish.every_d is None and wish.last is None:
        raise Refusal(f"{wish.count} cohorts need a last harvest too, or days between them (every 14d)")


def harvests(wish: Wish, earliest: date, latest: date) -> tuple[date, ...]:
    """The harvest dates wished for, in order. earliest, latest: what can be at all, where the wish leaves an end open."""
    first = wish.first or earliest
    if wish.count == 1:
        return (first if wish.first or not wish.last else wish.last,)
    if wish.count is None:
        step, last = wish.every_d or EVERY_D, wish.last or latest
        return tuple(first + timedelta(days=n) for n in range(0, (last - first).days + 1, step))[
            :MOST_COHORTS
        ]
    if wish.every_d is not None:
        if wish.first is None and wish.last is not None:
            first = wish.last - timedelta(days=wish.every_d * (wish.count - 1))
        return tuple(first + timedelta(days=wish.every_d * n) for n in range(wish.count))
    days = ((wish.last or latest) - first).days
    return tuple(first + timedelta(days=whole(n * days / (wish.count - 1))) for n in range(wish.count))


def spacing_of(season: Season, variety: str) -> tuple[float, float] | None:
    """The spacing of the season's last cohort of a variety, else of its last cohort that has one."""
    given = [c for c in season.cohorts.values() if c.spacing_m is not None]
    own = [c for c in given if c.variety.casefold() == variety.casefold()]
    return next((c.spacing_m for c in reversed(own or given)), None)


def wish_text(wish: Wish) -> str:
    """ "4 cohorts of amber in H1, H2, 60 plants each, harvests from 1 Mar 2027, every 14 days"."""
    one = wish.count == 1
    many = "as many cohorts as fit" if wish.count is None else f"{wish.count} cohort{'' if one else 's'}"
    parts = [f"{many} of {wish.variety} in {', '.join(wish.lights)}"]
    if wish.plants is not None:
        parts.append(f"{wish.plants} plants{'' if one else ' each'}")
    parts += filter(None, (_harvests_text(wish),))
    if wish.every_d is not None:
        parts.append(f"every {days_text(wish.every_d)}")
    return ", ".join(parts)


def _harvests_text(wish: Wish) -> str:
    """ "harvest on 1 Mar 2027", "harvests from 1 Mar 2027 to 12 Apr 2027"; "" where they are left open."""
    if wish.count == 1:
        day = wish.first or wish.last
        return "" if day is None else f"harvest on {year_day_text(day)}"
    ends = (("from", wish.first), ("to", wish.last))
    texts = [f"{word} {year_day_text(day)}" for word, day in ends if day is not None]
    return f"harvests {' '.join(texts)}" if texts else ""
