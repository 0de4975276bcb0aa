"""Cohorts of which the tips are to be looked at, since nights without lamps may have started their flowering."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from calendar_tui.language.speaking import phrase
from calendar_tui.planning.lamps.onset import Level, onset
from calendar_tui.planning.lamps.onset_words import HEADS, look_text
from calendar_tui.planning.laying_out.light import Light
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.season.records import Outage, Season
from calendar_tui.season.wording import cohorts_text, day_text


@dataclass(frozen=True, slots=True)
class TipLook:
    """A cohort to look at. since: the first day of looking; futures: in how many of `of` flowering has started."""

    cohort: str
    outage: Outage
    since: date
    level: Level
    futures: int
    of: int


def tip_looks(
    season: Season, outages: Iterable[Outage], timelines: Iterable[Timeline], light: Light, today: date
) -> Iterator[TipLook]:
    """What is to be looked at after these outages of the season, until a record or a look without it settles it.

    Nothing is once the cohort would be induced anyway in nine of ten futures.
    """
    shown = list(timelines)
    for outage in outages:
        for timeline in shown:
            begun, induced = onset(season, timeline, light, outage), timeline.stages.get("induced")
            if begun is None or begun.look is None or (induced is not None and today > induced.latest):
                continue
            yield TipLook(timeline.cohort.id, outage, begun.look, begun.level, begun.begun, len(begun.days))


def tip_look_texts(looks: Iterable[TipLook]) -> Iterator[str]:
    """ "A3 B1: look at the tips from 18 Jan, then twice a week; flowering may have started (H3 dark 12 Jan to 19 Jan)".

    With what is to be recorded.
    """
    alike: dict[tuple[Outage, date, Level], list[str]] = {}
    for look in looks:
        alike.setdefault((look.outage, look.since, look.level), []).append(look.cohort)
    for (outage, since, level), cohorts in alike.items():
        first, last = day_text(outage.first), day_text(outage.last)
        nights = first if first == last else phrase("{first} to {last}", first=first, last=last)
        yield (
            phrase(
                "{cohorts}: {look}; {head} ({place} dark {nights}). Record induced, or that it is not there yet",
                cohorts=cohorts_text(cohorts),
                look=look_text(since),
                head=phrase(HEADS[level]),
                place=outage.place,
                nights=nights,
            )
        )
