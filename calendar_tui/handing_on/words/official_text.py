"""Official samples in words: by lot what is asked, booked, taken, reported, until when it holds, and what a failure allows."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from decimal import Decimal

from calendar_tui.handing_on.words.cautions import cautions
from calendar_tui.handing_on.words.plain_text import hanging, wrapped
from calendar_tui.nature.legal_limits import written
from calendar_tui.nature.measured import Interval
from calendar_tui.planning.cutting.official_state import (
    AGAIN,
    TAKEN,
    OfficialState,
    SampleDays,
    Verdict,
    by_other_rules,
    of_variety,
    official_state,
    rules_of,
    sample_days,
    valid_until,
    verdict_on,
    verdict_on_variety,
)
from calendar_tui.planning.plan import Plan
from calendar_tui.planning.results.figures import percent_text
from calendar_tui.season.lots import rules_for
from calendar_tui.season.rules import CHECK, REMEDIATION, Lot, Official, Profile
from calendar_tui.season.wording import full_day_text, year_day_text


def officials_text(plan: Plan, lots: Sequence[Lot], flowering_ends: date | None) -> Iterator[str]:
    """Each lot, then each variety whose mean is judged."""
    for lot in lots:
        profile = rules_for(plan.season, lot, plan.today)
        yield f"{lot.id} ({plan.season.cohorts[lot.cohort].variety})"
        for text in official_facts(plan, lot, profile, flowering_ends):
            yield from wrapped(text, "    ", first="  ")
    yield from _variety_lines(plan, lots)
    yield from hanging(cautions("agent", "producer", "over", "disposal", "verdicts", "aid"))


def official_facts(
    plan: Plan, lot: Lot, profile: Profile | None, flowering_ends: date | None
) -> Iterator[str]:
    """What there is to know of one lot's official samples, a sentence each, and the rules."""
    yield from sample_texts(plan, lot, profile, flowering_ends)
    yield f"rules: {CHECK if profile is None else profile.citation}"


def sample_texts(plan: Plan, lot: Lot, profile: Profile | None, flowering_ends: date | None) -> Iterator[str]:
    """What is asked, booked, taken and reported, when it is due, and what a failure allows."""
    state = official_state(plan.season, lot, plan.today)
    for one in state.all:
        yield _one_text(plan, lot, one)
    if state.coming is None and state.holding is None:
        yield "none is asked for" if not state.all else "no further one is asked for"
        yield from _when_texts(plan, lot, flowering_ends)
    elif state.coming is not None and state.coming.date < plan.today:
        yield f"{state.coming.state} for {full_day_text(state.coming.date)}, and not recorded as taken"
    yield from _failure_texts(state, profile)


def _one_text(plan: Plan, lot: Lot, one: Official) -> str:
    by = f" by {one.who}" if one.who else ""
    if one.state != TAKEN:
        asked = "" if one.asked is None else f", asked on {year_day_text(one.asked)}"
        return f"{one.state} for {full_day_text(one.date)}{by}{asked}"
    parts = [f"taken {full_day_text(one.date)}{by}"]
    parts.append(_result_text(one))
    profile = rules_of(plan.season, lot, one)
    if verdict := verdict_on(one, profile):
        parts.append(verdict_text(verdict, None if profile is None else profile.limit))
    until = valid_until(plan.season, lot, one)
    if until is not None and until < plan.today:
        parts.append(f"was valid until {full_day_text(until)}: what is left is cut only after a new sample")
    elif until is not None:
        parts.append(f"valid until {full_day_text(until)}: the harvest complete by then, or a new sample")
    return "; ".join(parts)


def _result_text(one: Official) -> str:
    total = f", total {one.total} %" if one.total else ""
    if one.uncertainty:
        total += f" +- {one.uncertainty} {'% of it' if one.uncertainty_is == 'relative' else '%'}"
    elif one.total:
        total += ", measurement uncertainty not set"
    if one.reported is None and not one.outcome and not total:
        return "no result yet"
    on = "" if one.reported is None else f" on {year_day_text(one.reported)}"
    after = f", then: {one.after}" if one.after else ""
    return f"result{on}: {one.outcome or 'not set'}{total}{after}"


def verdict_text(verdict: Verdict, limit: Decimal | None) -> str:
    """ "by the rules' arithmetic within: 0.29 to 0.41 %", in as many digits as figures of a laboratory."""
    if verdict.judgement is None:
        return f"by the rules' arithmetic not known: {verdict.why}"
    judged = verdict.judgement
    missing = f"; missing: {judged.missing}" if judged.missing else ""
    line = (
        f"; over the negligence line: {verdict.negligent}" if verdict.negligent not in ("", "within") else ""
    )
    ends = percent_text(Interval(judged.low, judged.high), limit)
    return f"by the rules' arithmetic {judged.verdict}: {ends}{missing}{line}"


def _when_texts(plan: Plan, lot: Lot, flowering_ends: date | None) -> Iterator[str]:
    """When the rules have it taken, in turn where others begin."""
    timeline = plan.timelines[lot.cohort]
    lead = "to be taken"
    for days in sample_days(plan.season, timeline, lot, plan.today, flowering_ends):
        if days.turn.profile is not None:
            text = _days_text(days, days.turn.profile, timeline.likely("harvest"), lot)
            yield f"{lead} {text}{by_other_rules(days.turn, plan.today)}"
            lead = "or"


def _days_text(days: SampleDays, profile: Profile, harvest: date | None, lot: Lot) -> str:
    first, last = days.first, days.last
    if profile.sample_before_harvest_d is not None and first is not None:
        by = f"{profile.sample_before_harvest_d} d before the harvest expected"
        on = "" if harvest is None else f" {full_day_text(harvest)}"
        to = "on" if last is None or last == harvest else f"to {full_day_text(last)}"
        return f"from {full_day_text(first)} {to}, {by}{on}"
    begins = profile.sample_from_flowering_start_d
    since = "the end of flowering" if begins is None else f"{begins} d after flowering"
    ends = f"{profile.sample_to_flowering_end_d} d after flowering ends"
    missing = "" if last is not None else f": that day is not set; set flowering ends of {lot.id}"
    return f"from {_on(first, since)}, to {_on(last, ends)}{missing}"


def _on(day: date | None, what: str) -> str:
    return what if day is None else f"{full_day_text(day)}, {what}"


def _failure_texts(state: OfficialState, profile: Profile | None) -> Iterator[str]:
    if not state.failed:
        return
    yield "failed: leave the lot where it is; do not cut, move or mix it; follow the authority's procedure"
    if state.taken is not None and state.taken.after == REMEDIATION and state.coming is None:
        yield AGAIN
    if profile is not None and profile.after_failure:
        yield f"the rules allow: {'; '.join(profile.after_failure)}"


def _variety_lines(plan: Plan, lots: Sequence[Lot]) -> Iterator[str]:
    judged = dict.fromkeys(
        (plan.season.cohorts[lot.cohort].variety, profile)
        for lot in lots
        if (profile := rules_for(plan.season, lot, plan.today)) is not None
    )
    for variety, profile in judged:
        samples = [*of_variety(plan.season, variety)]
        verdict = verdict_on_variety(samples, profile)
        if verdict is None:
            continue
        totals = ", ".join(one.total for one in samples if one.total)
        yield from wrapped(
            f"{variety}, mean of {totals} %: {_mean_text(verdict, profile)}{_after(verdict, profile)}; {profile.citation}",
            "  ",
        )


def _mean_text(verdict: Verdict, profile: Profile) -> str:
    """The mean, to be read, and as the rules have it written; it is judged as it is."""
    judged = verdict.judgement
    if judged is None:
        return verdict_text(verdict, profile.limit)
    ends = dict.fromkeys((judged.low, judged.high))
    mean = percent_text(Interval(judged.low, judged.high), profile.limit)
    as_written = " to ".join(f"{written(end, profile.decimals):f}" for end in ends)
    shown = mean if profile.decimals is None else f"{mean}, written {as_written} %"
    missing = f"; missing: {judged.missing}" if judged.missing else ""
    return f"{shown}; by the rules' arithmetic {judged.verdict}{missing}"


def _after(verdict: Verdict, profile: Profile) -> str:
    over = verdict.judgement is not None and verdict.judgement.verdict == "over"
    return f"; then: {'; '.join(profile.after_failure)}" if over and profile.after_failure else ""
