"""What the newest results of a variety come to, where the rules judge the mean of its samples and no lot by itself, as in the EU."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from calendar_tui.nature.legal_limits import OVER, UNCLEAR, written
from calendar_tui.nature.measured import Amount, Interval
from calendar_tui.planning.results.figures import factor_doubt
from calendar_tui.planning.results.used import Results, Used, rules_of
from calendar_tui.season.judging import judge_variety
from calendar_tui.season.records import Season
from calendar_tui.season.refusal import Refusal
from calendar_tui.season.rules import MEAN_OF_VARIETY, Profile


class VarietyVerdict(NamedTuple):
    """results: the newest of each lot, of its top where that was sampled. mean: of their totals, %, None where they have no one basis.

    verdict: within, over or unclear; why: what would decide it; after: what the rules allow for a variety over the limit.
    """

    variety: str
    profile: Profile
    results: tuple[Used, ...]
    mean: Interval | None
    verdict: str
    why: str
    after: tuple[str, ...]

    @property
    def written(self) -> Decimal | None:
        """The mean as the rules have it written; None where it is no one figure, or they set no decimals."""
        if self.mean is None or not self.mean.is_exact or self.profile.decimals is None:
            return None
        return written(self.mean.low, self.profile.decimals)


def variety_verdicts(season: Season, results: Results, day: date) -> tuple[VarietyVerdict, ...]:
    """Of each variety with results whose rules judge its mean. Own tests decide nothing: they show where it stands."""
    newest: dict[tuple[str, str], dict[str, Used]] = {}
    for one in results.used:
        profile = rules_of(season, one.sample, day)
        if profile is not None and profile.judged == MEAN_OF_VARIETY:
            lots = newest.setdefault((season.cohorts[one.sample.cohort].variety, profile.id), {})
            lot = one.sample.lot or one.sample.cohort
            lots[lot] = max(lots.get(lot, one), one, key=_counts)
    found = (
        _verdict(variety, season.profiles[profile], tuple(lots.values()))
        for (variety, profile), lots in newest.items()
    )
    return tuple(sorted(found, key=lambda one: one.variety))


def _counts(one: Used) -> tuple[bool, date, str]:
    """The top before any other position, then the newest; of one day the one with the last id."""
    return one.sample.position == "top", one.sample.date, one.result.id


def _verdict(variety: str, profile: Profile, several: tuple[Used, ...]) -> VarietyVerdict:
    amounts = list(_amounts(several))
    try:
        judged = judge_variety(amounts, profile)
    except Refusal as wrong:
        return VarietyVerdict(variety, profile, several, None, UNCLEAR, str(wrong), ())
    mean = Interval(judged.low, judged.high)
    if doubt := factor_doubt(profile):
        return VarietyVerdict(variety, profile, several, mean, UNCLEAR, doubt, ())
    after = profile.after_failure if judged.verdict == OVER else ()
    return VarietyVerdict(variety, profile, several, mean, judged.verdict, judged.missing, after)


def _amounts(several: tuple[Used, ...]) -> Iterator[Amount]:
    for one in several:
        assert one.figures.thc is not None, one.result.id  # else it is aside
        yield Amount(one.figures.thc, one.figures.basis)
