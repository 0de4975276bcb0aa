"""What a field book comes to: the day on which half a cohort had come to a stage, and what is there of what was planned."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from calendar_tui.language.speaking import phrase, tr, tr_n
from calendar_tui.nature.rises import Half, Share, around_half, half_date
from calendar_tui.planning.field_book.walking import is_measured
from calendar_tui.season.observing import PERCENT, Observation, Variable, amount_of, counted_in
from calendar_tui.season.records import Season
from calendar_tui.season.wording import day_text, stage_text


class Rise(NamedTuple):
    """How a stage rises through a cohort by one variable. half: None where the looks do not pass a half.

    not_yet: the last day on which it was under a half, where no later look was over it.
    """

    cohort: str
    stage: str
    variable: str
    shares: tuple[Share, ...]
    half: Half | None
    not_yet: date | None


class Offer(NamedTuple):
    """What a rise tells of its stage, to be recorded: its day, or that on a day it was not yet."""

    cohort: str
    stage: str
    day: date
    not_yet: bool

    @property
    def words(self) -> str:
        """As the command record takes it."""
        return f"{self.cohort} {self.stage} {self.day}{' --not-yet' if self.not_yet else ''}"


class Stand(NamedTuple):
    """How many were planned in a plot or cohort, and how many were found on a day."""

    at: str
    variable: str
    planned: int
    day: date
    recorded: Decimal


class StandSum(NamedTuple):
    """The counts of the plots of a cohort together. last: the newest of them; plots: how many were counted."""

    cohort: str
    variable: str
    planned: int
    recorded: Decimal
    plots: int
    last: date


def stand_sums(season: Season, counted: Sequence[Stand]) -> list[StandSum]:
    """Of each cohort with plots that were counted; a guard and what is lost by the day of its count are not among them."""
    by_cohort: dict[tuple[str, str], list[Stand]] = {}
    for one in counted:
        plot = season.plots.get(one.at)
        if plot is not None and plot.cohort and is_measured(plot, one.day):
            by_cohort.setdefault((plot.cohort, one.variable), []).append(one)
    return [
        StandSum(
            *key,
            sum(one.planned for one in counts),
            sum((one.recorded for one in counts), Decimal(0)),
            len(counts),
            max(one.day for one in counts),
        )
        for key, counts in by_cohort.items()
    ]


def stand_sum_text(one: StandSum) -> str:
    """ "E2 stand: 263 of 272 planned, in 11 plots, by 5 Jun"."""
    return tr_n(
        "{cohort} {variable}: {recorded} of {planned} planned, in {count} plot, by {day}",
        "{cohort} {variable}: {recorded} of {planned} planned, in {count} plots, by {day}",
        one.plots,
        cohort=one.cohort,
        variable=one.variable,
        recorded=f"{one.recorded:f}",
        planned=one.planned,
        day=day_text(one.last),
    )


def rises(season: Season) -> list[Rise]:
    """Of each cohort and each variable of a stage, in the order of the file."""
    return [
        rise
        for variable in season.variables.values()
        if variable.stage
        for cohort in season.cohorts
        if (rise := _rise(season, cohort, variable)) is not None
    ]


def _rise(season: Season, cohort: str, variable: Variable) -> Rise | None:
    by_day: dict[date, list[Observation]] = {}
    for one in season.observations:
        if one.variable == variable.id and one.value and _is_of(season, one, cohort):
            by_day.setdefault(one.date, []).append(one)
    shares = tuple(
        share
        for day, observations in sorted(by_day.items())
        if (share := share_of(variable, day, observations)) is not None
    )
    if not shares:
        return None
    pair = around_half(list(shares))
    not_yet = shares[-1].day if shares[-1].share < 0.5 else None
    return Rise(cohort, variable.stage, variable.id, shares, half_date(*pair) if pair else None, not_yet)


def offer_of(season: Season, rise: Rise) -> Offer | None:
    """None where the stage is recorded, or a look as late is noted already."""
    cohort = season.cohorts[rise.cohort]
    if rise.stage in cohort.recorded:
        return None
    if rise.half is not None:
        return Offer(rise.cohort, rise.stage, rise.half.likely, False)
    seen = cohort.not_yet.get(rise.stage)
    if rise.not_yet is None or (seen is not None and seen >= rise.not_yet):
        return None
    return Offer(rise.cohort, rise.stage, rise.not_yet, True)


def rise_text(rise: Rise) -> str:
    """ "B1 flowering: 13 Jan, 9 Jan to 17 Jan (95 %), from 10 Jan 3 of 10 and 16 Jan 7 of 10"."""
    what = f"{rise.cohort} {stage_text(rise.stage)}"
    if (half := rise.half) is not None:
        return tr(
            "{stage}: {day}, {first} to {last} ({sure}), from {before} and {after}",
            stage=what,
            day=day_text(half.likely),
            first=day_text(half.first),
            last=day_text(half.last),
            sure="95 %" if half.counted else tr("between the two looks"),
            before=_share_text(half.before),
            after=_share_text(half.after),
        )
    if rise.not_yet is not None:
        return tr("{stage}: not yet on {look}", stage=what, look=_share_text(rise.shares[-1]))
    return tr(
        "{stage}: over a half at the first look, {look}; the day is not known",
        stage=what,
        look=_share_text(rise.shares[0]),
    )


def _share_text(one: Share) -> str:
    """ "12 Jan 3 of 10", "12 Jan 30 %"."""
    if one.of is None:
        return f"{day_text(one.day)} {100 * one.share:.0f} %"
    share = phrase("{so_far} of {needed}", so_far=round(one.share * one.of), needed=one.of)
    return f"{day_text(one.day)} {share}"


def _is_of(season: Season, one: Observation, cohort: str) -> bool:
    plot = season.plots.get(one.unit)
    if plot is None:
        return one.unit == cohort
    return plot.cohort == cohort and is_measured(plot, one.date)


def share_of(variable: Variable, day: date, observations: Sequence[Observation]) -> Share | None:
    """All that was found of a variable on a day together: by plants where they were counted in each, else the mean of the shares."""
    counted = [counted_in(one.value) for one in observations]
    pairs = [pair for pair in counted if pair is not None]
    if len(pairs) == len(observations):
        of = sum(n for _, n in pairs)
        return Share(day, sum(k for k, _ in pairs) / of, of)
    amounts = [amount for one in observations if (amount := amount_of(one.value, variable.unit)) is not None]
    if not amounts:
        return None
    whole = 100 if variable.unit == PERCENT else 1
    return Share(day, float(sum(amounts) / len(amounts) / whole))


def stands(season: Season) -> Iterator[Stand]:
    """The latest count of each plot or cohort whose plants are planned, plots in the order of the file."""
    counted = {name for name, variable in season.variables.items() if variable.planned}
    latest: dict[tuple[str, str], Observation] = {}
    for one in season.observations:
        if one.variable in counted and one.value:
            last = latest.get((one.at, one.variable))
            latest[one.at, one.variable] = one if last is None or last.date <= one.date else last
    for at in (*season.plots, *season.cohorts):
        planned = (season.plots.get(at) or season.cohorts[at]).plants
        for name in sorted(counted):
            one_there = latest.get((at, name))
            recorded = amount_of(one_there.value, "1") if one_there else None
            if planned is not None and one_there and recorded is not None:
                yield Stand(at, name, planned, one_there.date, recorded)
