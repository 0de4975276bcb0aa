"""What nights without lamps come to for each cohort in the place, in a line each, before anything else is told of them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, timedelta
from operator import itemgetter

from calendar_tui.planning.lamps.onset import onset
from calendar_tui.planning.lamps.onset_words import Rank, Verdict, asked_verdict, look_text
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.plan import Plan
from calendar_tui.season.records import Outage
from calendar_tui.season.wording import day_move_text, day_text, days_text


def verdict_texts(before: Plan, after: Plan, outages: Iterable[Outage]) -> tuple[str, ...]:
    """A line for each cohort that stands in a failed place, or asks for its lamps, on these nights; the worst first.

    after: the plan with the outage in it; before: the one without.
    """
    verdicts = [
        (verdict.order, f"{name}: {verdict.text}")
        for outage in outages
        for name, timeline in after.timelines.items()
        for verdict in _verdict(before, after, timeline, outage)
    ]
    return tuple(text for _, text in sorted(verdicts, key=itemgetter(0)))


def stands_in(timeline: Timeline, place: str, first: date, last: date) -> bool:
    """Whether plants of a cohort stand in a place, or in one part of it (H2 east), on a date from first to last."""
    cut = timeline.likely("harvest") or date.max
    end = min(cut, last + timedelta(days=1))
    return any(
        max(timeline.begun, first, stay.first) < min(end, stay.end)
        for stay in timeline.stays
        if place in (stay.place, stay.light)
    )


def arrivals(timeline: Timeline, place: str) -> Iterator[date]:
    """The likely dates on which plants of a cohort come into a place, or into one part of it."""
    for stay in timeline.stays:
        if place in (stay.place, stay.light) and stay.first < stay.end:
            yield max(timeline.begun, stay.first)


def _verdict(before: Plan, after: Plan, timeline: Timeline, outage: Outage) -> Iterator[Verdict]:
    """The verdict on one cohort; nothing where it is not there."""
    harvest = _harvest_text(before, timeline)
    verdict = asked_verdict(after.season, timeline, after.light, outage, after.today, harvest)
    if verdict is not None:
        yield verdict
    elif stands_in(timeline, outage.place, outage.first, outage.last):
        yield _unasked(before, after, timeline, outage)


def _unasked(before: Plan, after: Plan, timeline: Timeline, outage: Outage) -> Verdict:
    """Of a cohort that asked for no lamps then: a neighbour's may have held it back."""
    was, now = before.timelines[timeline.cohort.id].likely("trigger"), timeline.likely("trigger")
    begun = onset(after.season, timeline, after.light, outage)
    parts = []
    if was != now and now is not None:
        parts.append(f"trigger {f'none -> {day_text(now)}' if was is None else day_move_text(was, now)}")
    if begun is not None and begun.begun:
        parts.append(f"flowering started in {begun.begun} of {len(begun.days)} futures")
    if parts:
        held = "asked for no lamps on these nights, but was held back by them"
        look = look_text(begun.look) if begun is not None and begun.look is not None else ""
        again = "lamps that are lit again hold it back again" if begun is not None and begun.begun else ""
        return Verdict(Rank.MOVES, "; ".join(filter(None, (f"{held}: {', '.join(parts)}", look, again))))
    if timeline.variety.response == "day-neutral":
        return Verdict(Rank.NO_HARM, "no harm: it flowers by age")
    return Verdict(Rank.NO_HARM, "no harm: it asked for no lamps on these nights")


def _harvest_text(before: Plan, timeline: Timeline) -> str:
    """ ", harvest 5 Apr -> 22 Mar (14 days sooner)"; "" where it does not move."""
    was, now = before.timelines[timeline.cohort.id].likely("harvest"), timeline.likely("harvest")
    if was is None or now is None or was == now:
        return ""
    by = f"{days_text(abs((was - now).days))} {'sooner' if now < was else 'later'}"
    return f", harvest {day_move_text(was, now)} ({by})"
