"""Cohorts under one light: none may be dark while another is lit."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from calendar_tui.planning.laying_out.light import Light
from calendar_tui.planning.laying_out.programmes import place_of
from calendar_tui.planning.laying_out.stays import growing
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.staggering.options import Option
from calendar_tui.season.records import Season


class Turn(NamedTuple):
    """Days of a light, from `first` up to, not including, `end`, on which a cohort wants it lit, or dark."""

    first: date
    end: date
    lit: bool

    def meets(self, other: Turn) -> bool:
        """Whether the two want different things on one day."""
        return self.lit != other.lit and self.first < other.end and other.first < self.end


@dataclass(frozen=True, slots=True)
class Dispute:
    """On a day the light is lit for one side, or dark for the other: numbers of options."""

    lit: tuple[int, ...]
    dark: tuple[int, ...]


def turns_of(option: Option) -> tuple[Turn, ...]:
    """Lit from its planting to lights off, and dark from there to its harvest; a day-neutral cohort asks for neither."""
    if option.timeline.variety.response == "day-neutral":
        return ()
    off = option.off or option.planted
    lit = (Turn(option.planted, off, True),) if option.planted < off else ()
    return (*lit, Turn(off, option.harvest, False))


def own_turns(season: Season, timelines: Mapping[str, Timeline], light: Light) -> dict[str, list[Turn]]:
    """What the season's own cohorts want of each light that has lamps."""
    turns: dict[str, list[Turn]] = {}
    for name, place in light.places.items():
        if place_of(season, name).lamps is None:
            continue
        turns[name] = [Turn(asked.first, asked.dark, True) for _, asked in place.asked]
        turns[name] += [turn for t in timelines.values() for turn in _dark(season, t, name)]
    return turns


def _dark(season: Season, timeline: Timeline, name: str) -> Iterator[Turn]:
    """When a cohort wants the light of this name dark: while it grows there, from lights off to its harvest."""
    if name not in timeline.cohort.growing_lights:
        return
    first = timeline.likely("lights_off") or timeline.planted
    asks_on = "lights_on" in timeline.stages and "lights_off" not in timeline.stages
    if timeline.variety.response == "short-day" and not asks_on:
        end = timeline.likely("harvest") or season.last_day
        for stay in growing(timeline.stays):
            turn = Turn(max(first, stay.first), min(end, stay.end), False)
            if stay.light == name and turn.first < turn.end:
                yield turn


def free(options: Iterable[Option], own: Mapping[str, Sequence[Turn]]) -> list[Option]:
    """The options that the season's own cohorts leave room for in the light."""
    return [
        o
        for o in options
        if not any(mine.meets(theirs) for mine in turns_of(o) for theirs in own.get(o.light, ()))
    ]


def disputes(season: Season, options: Sequence[Option]) -> tuple[Dispute, ...]:
    """Each day of a light with lamps on which some options want it lit and others dark, each pair of sides once."""
    pairs: dict[Dispute, None] = {}
    for light in dict.fromkeys(o.light for o in options):
        if place_of(season, light).lamps is None:
            continue
        turns = [(n, turn) for n, o in enumerate(options) if o.light == light for turn in turns_of(o)]
        for day in sorted({turn.first for _, turn in turns}):
            here = [(n, turn.lit) for n, turn in turns if turn.first <= day < turn.end]
            side = Dispute(tuple(n for n, lit in here if lit), tuple(n for n, lit in here if not lit))
            if side.lit and side.dark:
                pairs[side] = None
    return tuple(pairs)
