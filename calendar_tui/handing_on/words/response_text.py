"""The response of the date to hand on: sentences, and a line a week."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from calendar_tui.handing_on.words.plain_text import WIDTH, wrapped
from calendar_tui.planning.clash_words import FEW_GROWTH_D
from calendar_tui.planning.laying_out.stages import Range
from calendar_tui.planning.response.outcomes import RANGED, Curve, Outcome, closest, spread, stretches
from calendar_tui.season.wording import day_text, year_day_text

WEEK_D = 7
# Plantings that flower within so many days of one another are told as one; a starting value, no source.
CLOSE_D = 14
HEAD = "planted     trigger  flowering               harvest                 growth"
_PLANTED = 13  # cells up to what comes behind the date of planting
_SHOWN = tuple(stage for stage in RANGED if stage != "induced")


def response_text(curve: Curve, width: int = WIDTH) -> Iterator[str]:
    """What the curve comes to in sentences, and a line for every seventh date."""
    for sentence in (*summary(curve), *(f"temperatures: {gap}" for gap in curve.notes)):
        yield from wrapped(sentence, "  ", width)
    yield ""
    yield HEAD
    years = ""
    for outcome in curve.outcomes[::WEEK_D]:
        if (now := years_text(outcome)) and now != years:
            yield " " * _PLANTED + (years := now)
        yield from week_lines(outcome, width)


def years_text(outcome: Outcome) -> str:
    """ "trigger and flowering in 2026, harvest in 2027": the years of the likely dates on its line; "" where it has none."""
    stages: dict[int, list[str]] = {}
    for stage in _SHOWN:
        dates: Range | None = getattr(outcome, stage)
        if dates is not None:
            stages.setdefault(dates.likely.year, []).append(stage)
    return ", ".join(f"{_listed(names)} in {year}" for year, names in stages.items())


def _listed(names: Sequence[str]) -> str:
    return " and ".join(part for part in (", ".join(names[:-1]), names[-1]) if part)


def week_lines(outcome: Outcome, width: int = WIDTH) -> list[str]:
    """One planting date on a line, or why it does not flower."""
    if outcome.never or outcome.flowering is None or outcome.harvest is None:
        return wrapped(outcome.never, " " * _PLANTED, width, f"{year_day_text(outcome.planted):>11}  ")
    trigger = day_text(outcome.trigger.likely) if outcome.trigger else "by age"
    few = " small" if outcome.growth_d is not None and outcome.growth_d < FEW_GROWTH_D else ""
    return [
        f"{year_day_text(outcome.planted):>11}  {trigger:>6}  {_dates(outcome.flowering)}  {_dates(outcome.harvest)}"
        f"  {outcome.growth_d:>3} d{few}"
    ]


def _dates(of: Range) -> str:
    """ " 3 Jan (28 Dec- 9 Jan)", in 22 cells; a line above names the year of the likely date."""
    early, late = day_text(of.earliest), day_text(of.latest)
    return f"{day_text(of.likely):>6} ({early:>6}-{late:>6})"


def summary(curve: Curve) -> Iterator[str]:
    """Which planting dates make sense: how close they flower, which stay small, which never flower."""
    if curve.spread is None:
        yield f"Planted {_over(curve.outcomes[0].planted, curve.outcomes[-1].planted)}: none flowers."
    else:
        yield f"{curve.spread.text[:1].upper()}{curve.spread.text[1:]}, by likely dates."
    yield from _at_once(closest(curve.outcomes, CLOSE_D))
    grown = [(o.growth_d, o.planted) for o in curve.outcomes if o.growth_d is not None]
    if grown:
        yield _growth(min(grown), max(grown))
    few = stretches(curve.outcomes, lambda o: o.growth_d is not None and o.growth_d < FEW_GROWTH_D)
    if few:
        yield f"Planted {_all(few)}, plants have under {FEW_GROWTH_D} d of growth and stay small."
    never = stretches(curve.outcomes, lambda o: bool(o.never))
    if never and curve.spread is not None:
        yield f"Planted {_all(never)}, plants do not flower."


def _at_once(run: Sequence[Outcome]) -> Iterator[str]:
    """Many planting dates that flower nearly together, where staggering comes to little."""
    run_spread = spread(run)
    if run_spread is None or run_spread.planted_d < 2 * max(run_spread.flowering_d, CLOSE_D):
        return
    days = [o.flowering.likely for o in run if o.flowering]
    yield (
        f"Planted {_over(run[0].planted, run[-1].planted)}, over {run_spread.planted_d} days, they flower nearly at once: "
        f"{_over(min(days), max(days))}."
    )


def _growth(least: tuple[int, date], most: tuple[int, date]) -> str:
    if least[0] == most[0]:
        return f"Growth before induction: {least[0]} d on every date."
    fewest, more = (f"{days} d, planted {year_day_text(day)}" for days, day in (least, most))
    return f"Growth before induction: from {fewest}, to {more}."


def _all(runs: list[tuple[date, date]]) -> str:
    return ", ".join(_over(*run) for run in runs)


def _over(first: date, last: date) -> str:
    """ "1 May to 18 Jul 2019", the year of both where they are two."""
    if first == last:
        return year_day_text(first)
    begin = day_text(first) if first.year == last.year else year_day_text(first)
    return f"{begin} to {year_day_text(last)}"
