"""What a result that counts comes to under the rules of its lot."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple

from calendar_tui.nature.legal_limits import UNCLEAR, Judgement
from calendar_tui.nature.measured import Amount
from calendar_tui.planning.results.figures import factor_doubt
from calendar_tui.planning.results.used import Used, rules_of
from calendar_tui.season.judging import is_negligent, judge_lot
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.rules import MEAN_OF_VARIETY, Profile


class Verdict(NamedTuple):
    """verdict: within, over or unclear; why: what would decide it, "" where it is decided. negligence: the same of that line."""

    verdict: str
    why: str
    profile: Profile
    negligence: str = ""


def verdict_of(season: Season, one: Used, day: date) -> Verdict | None:
    """A result under the rules in force on a day; None where none are. An own test decides nothing: it shows where a lot stands."""
    profile = rules_of(season, one.sample, day)
    if profile is None or one.figures.thc is None:
        return None
    amount = Amount(one.figures.thc, one.figures.basis)
    if profile.judged == MEAN_OF_VARIETY:
        return Verdict(UNCLEAR, "the mean of all samples of its variety is judged", profile)
    if doubt := factor_doubt(profile):
        return Verdict(UNCLEAR, doubt, profile)
    try:
        found: Judgement = judge_lot(amount, one.figures.uncertainty, profile)
        return Verdict(found.verdict, found.missing, profile, is_negligent(amount, profile))
    except (Refusal, ValueError) as wrong:
        return Verdict(UNCLEAR, str(wrong), profile)
