"""How the authority's own samples of a lot stand: which one counts, until when, and what it comes to."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from calendar_tui.nature.cutting_days import earliest_sample, flowering_window, harvest_complete_by
from calendar_tui.nature.legal_limits import Judgement, Uncertainty
from calendar_tui.nature.measured import Amount
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.season.judging import is_negligent, judge_lot, judge_variety
from calendar_tui.season.lots import officials_of
from calendar_tui.season.measured_texts import POINT, Limits, read_measured
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.rules import MEAN_OF_VARIETY, Lot, Official, Profile

TAKEN, BOOKED, ASKED = "taken", "booked", "asked"
PASSED, FAILED = "passed", "failed"


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
    def failed(self) -> bool:
        """Whether the newest one that was taken failed."""
        return self.taken is not None and self.taken.outcome == FAILED


def official_state(
    season: Season, lot: Lot, profile: Profile | None = None, today: date = date.min
) -> OfficialState:
    """How the official samples of a lot stand. profile, today: the rules on that day, by which one may have run out."""
    in_order = officials_of(season, lot)
    taken = next((one for one in reversed(in_order) if one.state == TAKEN), None)
    coming = [one for one in in_order if one.state != TAKEN and (taken is None or one.date >= taken.date)]
    until = None if taken is None else valid_until(taken, profile)
    over = until if until is not None and until < today else None
    return OfficialState(taken, coming[0] if coming else None, in_order, over)


def valid_until(official: Official, profile: Profile | None) -> date | None:
    """The last day of a harvest under a sample that was taken; None where its rules set none, or it failed."""
    if profile is None or profile.harvest_within_d is None or official.state != TAKEN:
        return None
    return (
        None if official.outcome == FAILED else harvest_complete_by(official.date, profile.harvest_within_d)
    )


class SampleDays(NamedTuple):
    """The first and the last day of a sample; None while the end of flowering, from which it counts, is not known."""

    first: date | None
    last: date | None


def sample_days(
    timeline: Timeline, lot: Lot, profile: Profile, flowering_ends: date | None = None
) -> SampleDays | None:
    """The days on which the rules have a sample taken. flowering_ends: in place of what is kept of the lot, or of its cohort.

    None where the rules set no such days, or the cohort has no harvest or flowering. Raises Refusal for an end before the start
    that is given here.
    """
    harvest, flowering = timeline.likely("harvest"), timeline.likely("flowering")
    if profile.sample_before_harvest_d is not None and harvest is not None:
        return SampleDays(earliest_sample(harvest, profile.sample_before_harvest_d), harvest)
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
    return SampleDays(end if starts is None else first, None if end is None else last)


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
