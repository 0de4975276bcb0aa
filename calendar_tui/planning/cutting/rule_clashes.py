"""Harvests to come that the authority's sample does not cover: planned before it, or after it has run out; cuts that are made are in `made_cuts.py`."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, timedelta

from calendar_tui.nature.cutting_days import earliest_sample, needs_new_sample
from calendar_tui.planning.clash import Clash
from calendar_tui.planning.cutting.cutting_work import cutting_work
from calendar_tui.planning.cutting.official_state import FAILED, TAKEN, OfficialState, official_state
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.season.lots import lots_of_cohort, passes_in, rules_for
from calendar_tui.season.records import Season
from calendar_tui.season.rules import Lot, Official, Profile
from calendar_tui.season.wording import full_day_text, year_day_text


def rule_clashes(season: Season, timelines: Mapping[str, Timeline], today: date) -> Iterator[Clash]:
    """Of every lot with an official sample."""
    for timeline in timelines.values():
        for lot in lots_of_cohort(season, timeline.cohort.id):
            state, ends = official_state(season, lot), _harvest_end(season, timeline, lot)
            if not state.all or ends is None:
                continue
            profile = rules_for(season, lot, max(ends, today))
            if profile is None or profile.harvest_within_d is None:
                continue
            if text := _uncovered(state, profile, profile.harvest_within_d, ends):
                yield Clash("official sample harvest", (timeline.cohort.id,), f"{lot.id}: {text}")


def _harvest_end(season: Season, timeline: Timeline, lot: Lot) -> date | None:
    """The day on which the cutting that is to come ends; None where the harvest is recorded, or the last pass."""
    harvest = timeline.stages.get("harvest")
    if harvest is None or harvest.status != "planned" or any(one.last for one in passes_in(season, lot)):
        return None
    return harvest.likely + timedelta(days=cutting_work(season, timeline, lot).days - 1)


def _uncovered(state: OfficialState, profile: Profile, within_d: int, ends: date) -> str:
    """Why no sample covers a cut that ends on a day, and what would be right; "" where one does, or one is to come in time."""
    counts = state.for_cut_on(ends)
    if counts is not None and counts.outcome == FAILED:
        return _failed(counts, profile, ends)
    if counts is not None and not needs_new_sample(ends, counts.date, within_d):
        return ""
    coming = [one for one in state.all if one.state != TAKEN and one.date <= ends]
    if any(not needs_new_sample(ends, one.date, within_d) for one in coming):
        return ""
    if last := max(
        (one for one in (*coming, counts) if one is not None), key=lambda one: one.date, default=None
    ):
        return _run_out(last, profile, within_d, ends)
    first = full_day_text(state.all[0].date)
    return f"the harvest on {full_day_text(ends)} is before the official sample of {first}; no cut before it. {profile.citation}"


def _failed(official: Official, profile: Profile, ends: date) -> str:
    return (
        f"the harvest is on {full_day_text(ends)}, and the official sample of {full_day_text(official.date)} failed; right would "
        f"be what the authority allows, before anything is cut, moved or mixed. {profile.citation}"
    )


def _run_out(last: Official, profile: Profile, within_d: int, ends: date) -> str:
    valid = last.date + timedelta(days=within_d)
    first = earliest_sample(ends, within_d)
    return (
        f"the harvest ends on {full_day_text(ends)}, and the official sample of {year_day_text(last.date)} is valid until "
        f"{full_day_text(valid)}; right would be a new sample from {year_day_text(first)} to {full_day_text(ends)}, or all cut by "
        f"{year_day_text(valid)}. {profile.citation}"
    )
