"""How the authority's own samples of a lot stand: which one counts, until when, and what it comes to."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from decimal import Decimal
from typing import NamedTuple

from calendar_tui.language.speaking import phrase_form
from calendar_tui.nature.cutting_days import earliest_sample, flowering_window, harvest_complete_by
from calendar_tui.nature.legal_limits import Judgement, Uncertainty
from calendar_tui.nature.measured import Amount
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.season.judging import is_negligent, judge_lot, judge_variety
from calendar_tui.season.lots import RulesInTurn, officials_of, rules_for, rules_in_turn
from calendar_tui.season.measured_texts import POINT, Limits, read_measured
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.rules import MEAN_OF_VARIETY, Lot, Official, Profile
from calendar_tui.season.wording import year_day_text

TAKEN, BOOKED, ASKED = "taken", "booked", "asked"
PASSED, FAILED = "passed", "failed"
# What remediation asks for; where it makes no biomass, the file says so by another word in `after`.
AGAIN = phrase_form(
    "biomass of shredded plants is sampled again by the agent, and none of it is used, moved or sold before it passes; where the "
    "flowers were removed and destroyed instead, record it as: failed, after flowers removed"
)


class OfficialState(NamedTuple):
    """taken: the newest that was taken; coming: the one asked for or booked after it; all: in order of their dates.

    until: the last day of a harvest under the newest that was taken, where that is past; None else.
    """

    taken: Official | None
    coming: Official | None
    all: tuple[Official, ...]
    until: date | None = None

    def for_cut_on(self, day: date) -> Official | None:
        """The sample by which a cut on a day stands or falls: the newest of those taken by then; None before the first."""
        before = [one for one in self.all if one.state == TAKEN and one.date <= day]
        return before[-1] if before else None

    @property
    def holding(self) -> Official | None:
        """The newest that was taken, if it did not fail and its days are not over."""
        return None if self.failed or self.until is not None else self.taken

    @property
    def bearing(self) -> Official | None:
        """The one by which there are days to cut: that which holds, else one to come, else one that ran out; never one that failed."""
        return self.holding or self.coming or (None if self.failed else self.taken)

    @property
    def failed(self) -> bool:
        """Whether the newest one that was taken failed."""
        return self.taken is not None and self.taken.outcome == FAILED


def official_state(season: Season, lot: Lot, today: date = date.min) -> OfficialState:
    """How the official samples of a lot stand. today: by which one may have run out."""
    in_order = officials_of(season, lot)
    taken = next((one for one in reversed(in_order) if one.state == TAKEN), None)
    coming = [one for one in in_order if one.state != TAKEN and (taken is None or one.date >= taken.date)]
    until = None if taken is None else valid_until(season, lot, taken)
    over = until if until is not None and until < today else None
    return OfficialState(taken, coming[0] if coming else None, in_order, over)


class HeldUntil(NamedTuple):
    """The last day of a harvest under a sample, and the rule that ends it, behind the words for the sample."""

    day: date
    rule: str


def holds_until(season: Season, lot: Lot, sampled: date) -> HeldUntil | None:
    """The last day of a harvest under a sample of a day: each day of cutting goes by the rules that hold on it; None where none ends it."""
    for turn in rules_in_turn(season, lot, sampled):
        within = None if turn.profile is None else turn.profile.harvest_within_d
        if turn.profile is None or within is None:
            continue
        last = harvest_complete_by(sampled, within)
        if turn.until is None or last < turn.until:
            rule = f"+ {within} d{by_other_rules(turn, sampled)}"
            return HeldUntil(max(last, turn.begins - timedelta(days=1)), rule)
    return None


def by_other_rules(turn: RulesInTurn, since: date) -> str:
    """ ", by other rules (us-2) from 12 Nov 2026 on"; "" for those that hold on the day `since` already."""
    if turn.begins == since or turn.profile is None:
        return ""
    return f", by other rules ({turn.profile.id}) from {year_day_text(turn.begins)} on"


def valid_until(season: Season, lot: Lot, official: Official) -> date | None:
    """The last day of a harvest under a sample that was taken; None where the rules set none, or it failed."""
    if official.state != TAKEN or official.outcome == FAILED:
        return None
    held = holds_until(season, lot, official.date)
    return None if held is None else held.day


class SampleDays(NamedTuple):
    """The first and the last day of a sample; None while the end of flowering, from which it counts, is not known.

    turn: the rules that have it taken on these days.
    """

    first: date | None
    last: date | None
    turn: RulesInTurn

    def has(self, day: date) -> bool:
        """Whether a day is one of them; an end that is not known shuts none out."""
        return (self.first is None or self.first <= day) and (self.last is None or day <= self.last)


def sample_days(
    season: Season, timeline: Timeline, lot: Lot, since: date, flowering_ends: date | None = None
) -> tuple[SampleDays, ...]:
    """The days on which the rules have a sample taken, by those that hold from a day on, each on its own days.

    flowering_ends: in place of what is kept of the lot, or of its cohort. None where no rules set such days, or the cohort has no
    harvest or flowering. Raises Refusal for an end before the start that is given here.
    """
    days = (
        _held_days(turn, timeline, lot, since, flowering_ends) for turn in rules_in_turn(season, lot, since)
    )
    return tuple(one for one in days if one is not None)


def _held_days(
    turn: RulesInTurn, timeline: Timeline, lot: Lot, since: date, flowering_ends: date | None
) -> SampleDays | None:
    """The days of one of the rules, as far as it holds on them; what it had before the day `since` stands."""
    days = None if turn.profile is None else _days_under(turn.profile, timeline, lot, flowering_ends)
    if days is None:
        return None
    first, last = days
    if turn.begins > since:
        if last is not None and last < turn.begins:
            return None
        first = None if first is None else max(first, turn.begins)
    if turn.until is not None:
        if first is not None and first >= turn.until:
            return None
        last = None if last is None else min(last, turn.until - timedelta(days=1))
    return SampleDays(first, last, turn)


def _days_under(
    profile: Profile, timeline: Timeline, lot: Lot, flowering_ends: date | None
) -> tuple[date | None, date | None] | None:
    harvest, flowering = timeline.likely("harvest"), timeline.likely("flowering")
    if profile.sample_before_harvest_d is not None and harvest is not None:
        return earliest_sample(harvest, profile.sample_before_harvest_d), harvest
    starts, ends = profile.sample_from_flowering_start_d, profile.sample_to_flowering_end_d
    if ends is None or flowering is None:
        return None
    kept = lot.flowering_ends or timeline.cohort.flowering_ends
    # The plants may turn out to flower after what was kept; that is no end then.
    end = flowering_ends or (kept if kept is not None and kept >= flowering else None)
    try:
        first, last = flowering_window(flowering, end or flowering, starts or 0, ends)
    except ValueError as wrong:
        raise Refusal(f"--flowering-ends: {wrong}") from wrong
    return end if starts is None else first, None if end is None else last


def rules_of(season: Season, lot: Lot, official: Official) -> Profile | None:
    """The rules that hold on the day of a sample, by which it is judged."""
    return rules_for(season, lot, official.date)


def rules_at_harvest(season: Season, timeline: Timeline, lot: Lot, today: date) -> Profile | None:
    """The rules that hold on the day on which the harvest of a lot is likely, from today on."""
    return rules_for(season, lot, max(today, timeline.likely("harvest") or today))


class Verdict(NamedTuple):
    """What a reported total comes to under the rules, by their arithmetic alone; the authority decides.

    judgement: None where `why` tells what is missing. negligent: WITHIN, OVER, UNCLEAR or "".
    """

    judgement: Judgement | None
    why: str = ""
    negligent: str = ""


def verdict_on(official: Official, profile: Profile | None) -> Verdict | None:
    """Of one sample; None without a reported total, or where the rules judge a variety."""
    if not official.total or (profile is not None and profile.judged == MEAN_OF_VARIETY):
        return None
    if profile is None:
        return Verdict(None, "no rules hold for its lot")
    try:
        amount = _amount(official, profile)
        plus_minus = (
            Uncertainty(Decimal(official.uncertainty), official.uncertainty_is)
            if official.uncertainty
            else None
        )
        return Verdict(judge_lot(amount, plus_minus, profile), "", is_negligent(amount, profile))
    except (Refusal, ValueError) as wrong:
        return Verdict(None, str(wrong))


def verdict_on_variety(officials: Sequence[Official], profile: Profile) -> Verdict | None:
    """Of all samples of a variety, where the rules judge their mean; None where they do not, or nothing is reported."""
    reported = [one for one in officials if one.total]
    if profile.judged != MEAN_OF_VARIETY or not reported:
        return None
    try:
        return Verdict(judge_variety([_amount(one, profile) for one in reported], profile))
    except (Refusal, ValueError) as wrong:
        return Verdict(None, str(wrong))


def _amount(official: Official, profile: Profile) -> Amount:
    percent = read_measured(official.total, "%", POINT, Limits()).percent
    if percent is None:
        raise Refusal(f'the total "{official.total}" of {official.id} is no figure')
    return Amount(percent, profile.basis)


def of_variety(season: Season, variety: str) -> Iterator[Official]:
    """The official samples of a variety, in order of their dates."""
    for one in sorted(season.officials.values(), key=lambda official: (official.date, official.id)):
        cohort = season.lots[one.lot].cohort if one.lot in season.lots else one.lot
        if cohort in season.cohorts and season.cohorts[cohort].variety == variety:
            yield one
