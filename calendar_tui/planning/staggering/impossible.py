"""Why a harvest cannot be had under natural light, and which lamps would make it possible."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from math import ceil

from calendar_tui.planning.clash_words import FEW_GROWTH_D
from calendar_tui.planning.laying_out.programmes import place_of
from calendar_tui.planning.staggering.options import (
    Bench,
    Option,
    begun_for,
    bench_of,
    days_of,
    lamps_of,
    lit_planting,
    may_harvest,
    may_plant,
    tried,
)
from calendar_tui.planning.staggering.wish import Wish
from calendar_tui.season.records import Lamps, Season
from calendar_tui.season.wording import days_text, hours_text, year_day_text

# Lamps that are proposed make the day so much longer than the critical day: common practice is 16 h for 14 h, no source.
_LONGER_H = 2.0


def impossible_text(bench: Bench, wanted: Sequence[date]) -> str:
    """That no planting comes to a harvest about these dates, what natural days give, and which lamps would help."""
    lights = bench.wish.lights
    within_d = bench.wish.within_d
    about = f"within {days_text(within_d)} of" if within_d else "on"
    head = f"no planting in {', '.join(lights)} is harvested {about} {', '.join(map(year_day_text, wanted))}"
    by_text: dict[str, list[str]] = {}
    for light in lights:
        by_text.setdefault(_natural_text(bench, light, wanted[0]), []).append(light)
    natural = [f"in {', '.join(names)} on natural days, {text}" for text, names in by_text.items()]
    return "; ".join((head, *natural, lamps_text(bench, wanted[0], lights)))


def _natural_text(bench: Bench, light: str, wanted: date) -> str:
    """ "plantings from 1 Oct 2026 to 3 Feb 2027 are harvested from 8 Apr 2027 to 25 Apr 2027, the nearest on 8 Apr 2027"."""
    harvests = []
    for day in days_of(bench):
        if may_plant(bench, light, day):
            harvest = tried(bench, light, begun_for(bench, day), day, None).likely("harvest")
            if harvest is not None and may_harvest(bench, light, harvest):
                harvests.append((day, harvest))
    if not harvests:
        return "nothing comes to a harvest"
    first, last = min(h for _, h in harvests), max(h for _, h in harvests)
    planted, nearest = min(harvests, key=lambda pair: (abs((pair[1] - wanted).days), pair[0]))
    return (
        f"plantings from {year_day_text(harvests[0][0])} to {year_day_text(harvests[-1][0])} are harvested from "
        f"{year_day_text(first)} to {year_day_text(last)}, the nearest on {year_day_text(nearest)}, planted {year_day_text(planted)}"
    )


def lamps_text(bench: Bench, wanted: date, lights: Sequence[str]) -> str:
    """Which lamps would bring a harvest about this date, or that none can."""
    season = bench.season
    variety = season.varieties[bench.wish.variety]
    if variety.response == "day-neutral":
        return f"{variety.id} is day-neutral: lamps do not hold it back, only its planting date counts"
    dark = [light for light in lights if lamps_of(bench, light) is None]
    target_h = min(ceil((variety.critical_day.likely + _LONGER_H) * 2) / 2, 24.0)
    for light in dark:
        lit = _with_lamps(season, light, Lamps(target_h=target_h))
        if first_lit := _first_lit(bench_of(lit, bench.wish, bench.warmth, bench.begin), light, wanted):
            planted, off = first_lit
            return (
                f"for {year_day_text(wanted)}, lamps to {hours_text(target_h)} in {light} would make it possible with "
                f"{bench.wish.grown_d} d of growth: planted {year_day_text(planted)}, lights off {year_day_text(off)}"
            )
    if not dark:
        return "other lights-off dates do not help either: start sooner, or wish for another harvest"
    return (
        f"lamps do not help either: they only hold plants back, and with {bench.wish.grown_d} d of growth nothing that is started from "
        f"{year_day_text(bench.begin)} on and planted inside the windows is harvested then; start sooner, wish for a later harvest, or "
        f"shorten the days with covers (a programme of blackout)"
    )


def _with_lamps(season: Season, light: str, lamps: Lamps) -> Season:
    place = place_of(season, light)
    return replace(season, places={**season.places, place.id: replace(place, lamps=lamps)})


def _first_lit(bench: Bench, light: str, wanted: date) -> tuple[date, date] | None:
    """Planting and lights off of the nearest harvest within the days that are allowed; None for none."""
    near = []
    for off in days_of(bench):
        planted = lit_planting(bench, light, off)
        if planted is None or not may_plant(bench, light, planted):
            continue
        harvest = tried(bench, light, begun_for(bench, planted), planted, off).likely("harvest")
        if harvest is None or not may_harvest(bench, light, harvest):
            continue
        if abs((harvest - wanted).days) <= bench.wish.within_d:
            near.append((abs((harvest - wanted).days), planted, off))
    return min(near)[1:] if near else None


def small_text(bench: Bench, taken: Sequence[Option]) -> Iterator[str]:
    """For each place without lamps: plants that natural days induce while they are small, and the lamps that would help."""
    by_light: dict[str, list[Option]] = {}
    for option in taken:
        short_day = option.timeline.variety.response == "short-day"
        if short_day and option.growth_d < FEW_GROWTH_D and lamps_of(bench, option.light) is None:
            by_light.setdefault(option.light, []).append(option)
    for light, small in by_light.items():
        grown = sorted({o.growth_d for o in small})
        days = f"{grown[0]} d" if len(grown) == 1 else f"{grown[0]} to {grown[-1]} d"
        last = max(small, key=lambda o: o.harvest)
        yield (
            f"natural days in {light} leave {_counted(len(small))} with {days} of growth, under {FEW_GROWTH_D} d; "
            f"{lamps_text(bench, last.harvest, (light,))}"
        )


def is_small(wish: Wish, option: Option) -> bool:
    """Whether plants stay too small to be worth planting; who wishes for less growth gets it."""
    short_day = option.timeline.variety.response == "short-day"
    return short_day and option.growth_d < min(wish.grown_d, FEW_GROWTH_D)


def is_left_out(wish: Wish, option: Option) -> bool:
    """Where as many as fit are wanted, none is planted that stays small."""
    return wish.as_many_as_fit and is_small(wish, option)


def left_out_text(bench: Bench, possible: Sequence[Option], kept: Sequence[Option]) -> Iterator[str]:
    """The places in which all that could be planted stays too small, and the lamps that would help."""
    least = min(bench.wish.grown_d, FEW_GROWTH_D)
    used = {option.light for option in kept}
    for light in bench.wish.lights:
        small = [option for option in possible if option.light == light]
        if small and light not in used:
            most = max(option.growth_d for option in small)
            help_ = lamps_text(bench, small[-1].harvest, (light,))
            yield (
                f"nothing is planted in {light}: natural days leave what is harvested then at most {days_text(most)} of growth, "
                f"under {least} d; {help_}"
            )


def _counted(cohorts: int) -> str:
    return "1 cohort" if cohorts == 1 else f"{cohorts} cohorts"
