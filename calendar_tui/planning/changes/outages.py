"""Nights on which lamps failed: checked, and proposed with what they move."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta

from calendar_tui.planning.changes.doubts import date_doubts
from calendar_tui.planning.changes.outage_verdicts import arrivals, stands_in, verdict_texts
from calendar_tui.planning.changes.proposal import Proposal
from calendar_tui.planning.changes.replan import is_moved, propose
from calendar_tui.planning.clash import new_clashes
from calendar_tui.planning.lamps.dark_nights import facts_text, missed_nights, outage_kind
from calendar_tui.planning.plan import Plan
from calendar_tui.season.edits import Edit
from calendar_tui.season.readers import choices
from calendar_tui.season.records import Cohort, Outage, Place, Season
from calendar_tui.season.refusal import Refusal, refuse_all
from calendar_tui.season.wording import day_text, full_day_text, season_days_text


def lamp_places(season: Season, cohort: Cohort) -> Mapping[str, Place]:
    """Where lamps can fail for a cohort, by name: of each of its stays its part of a screened place, and the whole place."""
    places = {name: season.places[s.place] for s in cohort.stays for name in (s.light, s.place)}
    return {name: place for name, place in places.items() if place.lamps is not None}


def record_outages(plan: Plan, names: Sequence[str], first: date, last: date, cohort: str = "") -> Proposal:
    """The proposal that records that lamps failed on the evenings `first` to `last`, both included: one change.

    names: places' ids, or those of the lights of screened parts, as `find_light` gives them. cohort: the one whose days
    of growth are compared; "" for none. Raises Refusal with a line for each place whose nights cannot be.
    """
    outages = [Outage(place=name, first=first, last=last) for name in dict.fromkeys(names)]
    season, refused = plan.season, list[str]()
    for outage in outages:
        try:
            _refuse(plan, season, outage)
        except Refusal as wrong:
            refused.append(str(wrong))
        else:
            season = replace(season, outages=(*season.outages, outage))
    refuse_all(refused, len(outages))
    what = f"{' '.join(o.place for o in outages)} outage recorded {nights_text(outages[0], full_day_text)}"
    edits = [
        Edit("add", "outage", (o.place, first), (), {"place": o.place, "from": first, "to": last})
        for o in outages
    ]
    proposal = propose(plan, season, what, edits, (cohort,) if cohort else ())
    after = proposal.plan
    to_come = _to_come(plan, last)
    return replace(
        proposal,
        stages=tuple(move for move in proposal.stages if is_moved(move)),
        verdicts=verdict_texts(plan, after, outages),
        doubts=(*to_come, *dict.fromkeys(text for o in outages for text in _doubts(plan, o))),
        questions=to_come,
        new_clashes=tuple(_warnings(plan, after, outages)),
    )


def _warnings(before: Plan, after: Plan, outages: Sequence[Outage]) -> Iterator[str]:
    """The figures behind the verdicts, and the clashes that the outages bring."""
    for outage in outages:
        yield from _unasked_texts(after, outage)
        for name, timeline in after.timelines.items():
            if facts := facts_text(timeline, after.light, outage):
                yield f"{name}: {facts}"
    told = {outage_kind(outage) for outage in outages}
    yield from (c.text for c in new_clashes(before.clashes, after.clashes) if c.kind not in told)


def _unasked_texts(plan: Plan, outage: Outage) -> Iterator[str]:
    """That nobody asked for the failed lamps on these nights, and whether anything stood there."""
    if not any(missed_nights(t, plan.light, outage) for t in plan.timelines.values()):
        empty = nothing_stands_text(plan, outage.place, outage.first, outage.last)
        why = f" ({empty})" if empty else ""
        yield f"no cohort asked for the lamps of {outage.place} on these nights{why}: is it the right place?"


def standing(plan: Plan, place: str, first: date, last: date) -> tuple[str, ...]:
    """The cohorts of which plants stand in a place, or in one part of it, on one of these nights."""
    return tuple(name for name, t in plan.timelines.items() if stands_in(t, place, first, last))


def nothing_stands_text(plan: Plan, place: str, first: date, last: date) -> str:
    """ "nothing stands there then; A3 comes on 4 Dec", or "" where plants stand there on one of these nights.

    place: of `find_light`.
    """
    if standing(plan, place, first, last):
        return ""
    to_come = (
        (day, t.cohort.id) for t in plan.timelines.values() for day in arrivals(t, place) if day > last
    )
    day, name = min(to_come, default=(None, ""))
    return "nothing stands there then" + (f"; {name} comes on {day_text(day)}" if day else "")


def _doubts(plan: Plan, outage: Outage) -> Iterator[str]:
    """Why the nights may be mistyped."""
    for day in dict.fromkeys((outage.first, outage.last)):
        yield from date_doubts(plan.season, plan.today, day)


def _to_come(plan: Plan, last: date) -> tuple[str, ...]:
    """That the last night is tonight, which may be known by now or mistyped."""
    if last != plan.today:
        return ()
    return (f"the night of {full_day_text(last)} is tonight and still to come: did the lamps fail already?",)


def nights_text(outage: Outage, text: Callable[[date], str] = day_text) -> str:
    """ "28 Dec", or "28 Dec to 30 Dec (3 nights)"; text: words a day."""
    nights = (outage.last - outage.first).days + 1
    if nights == 1:
        return text(outage.first)
    return f"{text(outage.first)} to {text(outage.last)} ({nights} nights)"


def _refuse(plan: Plan, season: Season, outage: Outage) -> None:
    first, last, name = outage.first, outage.last, outage.place
    place = season.place_of(name)
    if place is None or place.lamps is None:
        lit = {p.id: p for p in season.places.values() if p.lamps is not None}
        raise Refusal(f"{name} has no lamps to fail{choices(name, lit, 'Places with lamps')}")
    if last < first:
        raise Refusal(
            f"the last night, {full_day_text(last)}, is before the first, {full_day_text(first)}; give the first night first"
        )
    for day in (first, last):
        if not season.first_day <= day <= season.last_day:
            raise Refusal(f"{full_day_text(day)} is outside the season, {season_days_text(season)}")
    if last > plan.today:
        raise Refusal(
            f"the night of {full_day_text(last)} is after today, {full_day_text(plan.today)}; record nights that have come"
        )
    same = (name, place.id, *(place.lights if name == place.id else ()))
    if saved := next((o for o in season.outages if o.place in same and _meet(o, outage)), None):
        raise Refusal(
            f"{saved.place} already has an outage from {full_day_text(saved.first)} to {full_day_text(saved.last)}, which these nights overlap or "
            f"touch; change its nights: set outage {saved.place} to DATE, or undo it and record all its nights at once"
        )


def _meet(one: Outage, other: Outage) -> bool:
    """Whether two outages share a night or follow one another without a lit night between."""
    day = timedelta(days=1)
    return one.first <= other.last + day and other.first <= one.last + day
