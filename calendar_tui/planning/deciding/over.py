"""Own tests over the limit: the first thing to know, with the lot and the figure that is judged."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from decimal import Decimal

from calendar_tui.language.speaking import phrase
from calendar_tui.nature.legal_limits import OVER as OVER_LINE
from calendar_tui.nature.legal_limits import WITHIN
from calendar_tui.nature.measured import without_noughts
from calendar_tui.planning.deciding.decision import OVER, Decision
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.planning.results.figures import percent_text
from calendar_tui.planning.results.told import bag_text
from calendar_tui.planning.results.used import Results, Used
from calendar_tui.planning.results.varieties import variety_verdicts
from calendar_tui.planning.results.verdicts import Verdict, verdict_of
from calendar_tui.season.lots import is_cut, lot_within
from calendar_tui.season.records import Season


def over_decisions(
    season: Season, timelines: Mapping[str, Timeline], today: date, results: Results
) -> Iterator[Decision]:
    """One row a lot that is not cut: of the newest result of each of its positions, the highest that is over the limit."""
    highest: dict[str, tuple[Used, Verdict]] = {}
    for one in _newest(results):
        verdict = _verdict_over(season, one, today)
        name = one.sample.lot or one.sample.cohort
        if verdict is not None and (name not in highest or _low(highest[name][0]) < _low(one)):
            highest[name] = one, verdict
    for name, (one, verdict) in highest.items():
        cohort, limit = one.sample.cohort, verdict.profile.limit or Decimal(0)
        what = phrase(
            "{name} OVER: own test {thc}, limit {limit_thc} %",
            name=name,
            thc=one.figures.thc_text,
            limit_thc=without_noughts(limit),
        )
        where = timelines[cohort].stay_on(today).light
        yield Decision(
            OVER,
            name,
            what,
            where,
            None,
            "; ".join(_why(one, verdict)),
            cohorts=(cohort,),
            record=one.result.id,
            rules=verdict.profile.citation,
        )


def variety_decisions(season: Season, today: date, results: Results) -> Iterator[Decision]:
    """One row a variety whose mean is over the limit while a lot of it is left to cut, and what its rules allow then."""
    for one in variety_verdicts(season, results, today):
        limit, samples = one.profile.limit, [used.sample for used in one.results]
        left = any(not is_cut(season, lot_within(season, of.cohort, of.lot), today) for of in samples)
        if one.verdict != OVER_LINE or one.mean is None or limit is None or not left:
            continue
        mean = percent_text(one.mean, limit)
        what = phrase(
            "{variety} OVER: mean of own tests {mean}, limit {limit_thc} %",
            variety=one.variety,
            mean=mean,
            limit_thc=without_noughts(limit),
        )
        allowed = ", or ".join(one.after) or phrase("what your authority allows")
        yield Decision(
            OVER,
            one.variety,
            what,
            "",
            None,
            f"{allowed}; {phrase('ask your authority before a cut')}",
            cohorts=tuple(dict.fromkeys(of.cohort for of in samples)),
            rules=one.profile.citation,
        )


def _newest(results: Results) -> Iterator[Used]:
    """The last of each lot and position, by the day on which its bag was cut."""
    newest = {(one.sample.cohort, one.sample.lot, one.sample.position): one for one in results.used}
    return iter(newest.values())


def _verdict_over(season: Season, one: Used, today: date) -> Verdict | None:
    """None for a result that is acceptable, may be under the limit, or is of a lot that is cut."""
    verdict = verdict_of(season, one, today)
    if verdict is None or verdict.verdict == WITHIN or not verdict.profile.limit:
        return None
    lot = lot_within(season, one.sample.cohort, one.sample.lot)
    return None if _low(one) <= verdict.profile.limit or is_cut(season, lot, today) else verdict


def _low(one: Used) -> Decimal:
    return Decimal(0) if one.figures.thc is None else one.figures.thc.low


def _why(one: Used, verdict: Verdict) -> Iterator[str]:
    yield bag_text(one.sample)
    if verdict.negligence == OVER_LINE and verdict.profile.negligence is not None:
        yield phrase(
            "over the {limit_thc} % of negligence too",
            limit_thc=without_noughts(verdict.profile.negligence),
        )
    if verdict.why:
        yield verdict.why
    yield phrase("ask your authority before a cut")
