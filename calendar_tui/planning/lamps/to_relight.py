"""Cohorts whose lamps failed of late and do not burn again: what to do for them, and up to which night."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from typing import NamedTuple

from calendar_tui.language.speaking import phrase
from calendar_tui.planning.lamps.dark_nights import dark_nights
from calendar_tui.planning.lamps.onset_words import Rank, Verdict, asked_verdict, headed_text, is_past
from calendar_tui.planning.laying_out.light import Light
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.season.records import Outage, Season
from calendar_tui.season.wording import cohorts_text, day_text, days_text, weekday_text

# After which verdicts a look at the tips is asked for.
_LOOKED_AT = (Rank.MAY, Rank.PROBABLY)


class ToRelight(NamedTuple):
    """The cohorts for which an outage comes to the same. short_nights: its nights that count as their short days."""

    outage: Outage
    short_nights: int
    verdict: Verdict
    cohorts: tuple[str, ...]


def to_relight(
    season: Season, outages: Iterable[Outage], timelines: Iterable[Timeline], light: Light, today: date
) -> list[ToRelight]:
    """What is to be done after these outages of the season: where it is too late first, then by the last night to act."""
    shown = list(timelines)
    alike: dict[tuple[Outage, int, Verdict], list[str]] = {}
    for outage in outages:
        for timeline in shown:
            for short_nights, verdict in _waiting(season, timeline, light, outage, today):
                alike.setdefault((outage, short_nights, verdict), []).append(timeline.cohort.id)
    waiting = [ToRelight(*what, tuple(cohorts)) for what, cohorts in alike.items()]
    return sorted(waiting, key=lambda one: (one.verdict.by or date.min, one.verdict.order))


def _waiting(
    season: Season, timeline: Timeline, light: Light, outage: Outage, today: date
) -> Iterator[tuple[int, Verdict]]:
    """The verdict on a cohort for which there is still something to do, with its short nights."""
    nights = dark_nights(timeline, light, outage)
    if nights is None or not nights.short or is_past(timeline, today):
        return
    verdict = asked_verdict(season, timeline, light, outage, today)
    if verdict is not None and (verdict.by is not None or verdict.rank is Rank.STARTED):
        yield len(nights.short), verdict


def to_relight_text(waiting: ToRelight, today: date) -> str:
    """ "urgent: A1 A2, relight tonight: no harm done; ... (H2 dark 5 Dec to 7 Dec); last night to act Thu 10 Dec, in 2 days"."""
    first, last = day_text(waiting.outage.first), day_text(waiting.outage.last)
    nights = first if first == last else phrase("{first} to {last}", first=first, last=last)
    text = headed_text(waiting.verdict, waiting.short_nights, cohorts_text(waiting.cohorts))
    by = waiting.verdict.by
    dark = phrase(
        "{verdict} ({place} dark {nights})", verdict=text, place=waiting.outage.place, nights=nights
    )
    if by and by > today:
        act = phrase(
            "last night to act {day}, in {nights}", day=weekday_text(by), nights=days_text((by - today).days)
        )
        dark = f"{dark}; {act}"
    if waiting.verdict.rank in _LOOKED_AT:
        return f"{dark}. {phrase('Record induced, or that it is not there yet')}"
    return dark
