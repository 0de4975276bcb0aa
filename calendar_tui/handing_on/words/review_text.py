"""The review of a season as plain text."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import groupby

from calendar_tui.handing_on.words.plain_text import WIDTH, count_text, hanging, wrapped
from calendar_tui.handing_on.words.varieties_text import doubted_text
from calendar_tui.planning.review.carried import Carried
from calendar_tui.planning.review.delays import Cause, Slip
from calendar_tui.planning.review.lit import LampsBurnt, OutageReviewed
from calendar_tui.planning.review.review import Review
from calendar_tui.planning.review.scores import Score
from calendar_tui.planning.review.worked import ChoreHours
from calendar_tui.season.cells import cut_text, filled
from calendar_tui.season.measures import figure, unit_shown
from calendar_tui.season.wording import (
    day_text,
    delay_text,
    full_day_text,
    night_count_text,
    stage_text,
)

_NAME = 21
# What the columns of the scores mean; docs/review.md says more.
_SCORE_WORDS = (
    "bias: how many days later (+) or earlier (-) the records came than was said, by their median",
    "mean off: how many days the two were apart on average, later or earlier",
    "inside its range: how many records came between earliest and latest, meant to be 80 % of them; in brackets, the 95 % bounds "
    "of that share (Wilson)",
    "score: how wide the range was, and 10 times the days by which records missed it; lower is better",
    "default figures: what the variety's type, or else the program's own figures, would have said",
)
_SCORE_HEAD = f"{'':{_NAME}}   n   bias d  mean off d  inside its range     score d"
_WORK = 22


# Lines of a part, each with the id of the figure that it proposes to carry forward; "" for none.
Lines = list[tuple[str, str]]


def review_text(review: Review, width: int = WIDTH) -> Iterator[str]:
    """Everything that a review has, each part under its heading."""
    yield head_text(review)
    for heading, lines in parts(review, width):
        yield from ("", heading, *(text for text, _ in lines))


def head_text(review: Review) -> str:
    """ "Review of Two Rivers 2026-27, up to Tue 8 Dec 2026"."""
    return f"Review of {review.name}, up to {full_day_text(review.today)}"


def parts(review: Review, width: int = WIDTH) -> Iterator[tuple[str, Lines]]:
    """Each part with its heading and its lines; one without records is left out."""
    every = (
        ("Dates: records against what was said of them, in days", _scores(review.scores, width)),
        ("Hours: planned and really spent, of tasks that are done", _hours(review.hours)),
        ("Lamps: what they burnt, by the timers as worked out", _lamps(review.lamps)),
        ("Nights without lamps, and what they did", _outages(review.outages, width)),
        ("Other days than planned, by cause", _causes(review.causes, review.slips, width)),
    )
    for heading, lines in every:
        if found := [(line, "") for line in lines]:
            yield heading, found
    if review.carried:
        carried = [
            (line, "" if n else one.id)
            for one in review.carried
            for n, line in enumerate(_carried(one, width))
        ]
        yield "To carry forward, one by one: calendar-tui review --take ID", carried
    if review.missing:
        yield "Not known", [(line, "") for line in _missing(review.missing, width)]


def _scores(scores: Iterable[Score], width: int) -> Iterator[str]:
    known = tuple(scores)
    if not known:
        return
    for text in _SCORE_WORDS:
        yield from wrapped(text, "    ", width, "  ")
    yield _SCORE_HEAD
    for (group, name), of in groupby(known, key=lambda one: (one.group, one.name)):
        yield group_text(group, name)
        yield from map(score_line, of)


def group_text(group: str, name: str) -> str:
    """ "all records", "stage flowering", "place H1"."""
    return f"{group} {stage_text(name) if group == 'stage' else name}" if group else "all records"


def score_line(score: Score) -> str:
    """One basis: "  at the record   8   +1.0   2.1   7 of 8 (53-98 %)   14.2"."""
    figures = f"{score.n:>4}  {signed_text(score.bias_d):>7}  {score.mean_absolute_d:>10.1f}"
    if score.interval_d is None:
        return f"{f'  {score.basis}':{_NAME}}{figures}"
    return f"{f'  {score.basis}':{_NAME}}{figures}  {inside_text(score):<19}  {score.interval_d:>7.1f}"


def signed_text(days: float) -> str:
    """ "+1.0", "-2.5", "0.0"."""
    return f"{days:+.1f}" if round(days, 1) else "0.0"


def inside_text(score: Score) -> str:
    """ "7 of 10 (40-89 %)"; "" where nothing had a range."""
    if score.inside is None or score.low is None or score.high is None:
        return ""
    return f"{score.inside} of {score.ranged} ({100 * score.low:.0f}-{100 * score.high:.0f} %)"


def _hours(hours: Iterable[ChoreHours]) -> Iterator[str]:
    known = tuple(hours)
    if not known:
        return
    yield f"  {'':{_WORK}}  done  planned h  timed  planned  spent h  ratio"
    yield from map(hours_line, known)
    planned, spent = (sum(getattr(one, key) for one in known) for key in ("timed_planned_h", "spent_h"))
    done, timed, all_h = (sum(getattr(one, key) for one in known) for key in ("done", "timed", "planned_h"))
    yield f"  {'all':{_WORK}}  {done:>4}  {all_h:>9.1f}  {timed:>5}  {planned:>7.1f}  {spent:>7.1f}"
    yield "  ratio: the median over timed tasks of spent to planned hours, and of how many"


def hours_line(row: ChoreHours) -> str:
    """ "  Transplant by hand; water in   6   7.1   6   7.1   9.5   1.33 (6)"."""
    timed = f"{row.timed_planned_h:>7.1f}  {row.spent_h:>7.1f}" if row.timed else f"{'-':>7}  {'-':>7}"
    ratio = f"{row.ratio:.2f} ({row.ratios})" if row.ratio is not None else "-"
    return f"  {filled(cut_text(row.what, _WORK), _WORK)}  {row.done:>4}  {row.planned_h:>9.1f}  {row.timed:>5}  {timed}  {ratio}"


def _lamps(lamps: Iterable[LampsBurnt]) -> Iterator[str]:
    for one in lamps:
        kwh = "kWh not known, the lamp power is not set" if one.kwh is None else f"{one.kwh:.0f} kWh"
        cost = "" if one.cost is None else f", cost {one.cost:.2f}"
        yield f"  {one.light}: {night_count_text(one.nights)}, {one.h:.0f} h, {kwh}{cost}"


def _outages(outages: Iterable[OutageReviewed], width: int) -> Iterator[str]:
    for one in outages:
        last = "" if one.first == one.last else f" to {day_text(one.last)}"
        yield f"  {one.place}: {night_count_text(one.nights)}, {day_text(one.first)}{last}"
        for text in one.verdicts:
            yield from wrapped(text, "      ", width, "    ")
        if seen := [f"{c} {stage_text(s)} {day_text(d)}" for c, s, d in one.recorded]:
            yield from wrapped(f"recorded then: {', '.join(seen)}", "      ", width, "    ")


def _causes(causes: Iterable[Cause], slips: Iterable[Slip], width: int) -> Iterator[str]:
    for one in causes:
        yield from hanging(f"  {cause_text(one)}", width, "    ")
    for slip in slips:
        because = f": {slip.cause}" if slip.cause else ""
        yield from hanging(
            f"    {slip.cohort} {stage_text(slip.stage)} planned {day_text(slip.planned)}, recorded {day_text(slip.recorded)} "
            f"({delay_text(slip.days)}){because}",
            width,
            "      ",
        )


def cause_text(cause: Cause) -> str:
    """ "rain: 3 dates, 9 days late in all, median +3"."""
    days = [
        f"{cause.late_d} d late" if cause.late_d else "",
        f"{cause.early_d} d early" if cause.early_d else "",
    ]
    sums = " and ".join(filter(None, days))
    return f"{cause.cause or 'cause not set'}: {count_text(cause.n, 'date')}, {sums} in all, median {cause.median_d:+g} d"


def _carried(one: Carried, width: int) -> Iterator[str]:
    yield from hanging(f"  {one.id}  {carried_text(one)}", width, "    ")
    yield from wrapped(f"this season: {effect_text(one)}", "    ", width)


def carried_text(one: Carried) -> str:
    """ "chore scout: hours 0.5 -> 0.8 (12 records)"."""
    moves = "; ".join(f"{field} {old or 'not set'} -> {new}" for field, old, new in one.figures)
    return f"{one.kind} {one.name}: {moves} ({count_text(one.n, 'record')})"


def effect_text(one: Carried) -> str:
    """ "mean days off 6.2 -> 2.1 d; it is fitted to these records, and will be less good next season"."""
    effect = one.effect
    unit = unit_shown(effect.unit)

    def text_of(value: float) -> str:
        return figure(value, effect.unit, "{:.1f}".format)

    text = f"{effect.measure} {text_of(effect.before)} -> {text_of(effect.after)} {unit}"
    if effect.recorded is not None:
        text += f", recorded {text_of(effect.recorded)} {unit}"
    if effect.recorded is None and effect.after >= effect.before:
        text += ": it would not have helped"
    elif one.fit is not None:
        text += "; fitted to these very records, so next season it will do less well"
    if one.fit is not None and one.fit.doubted:
        text += f"; {doubted_text(one.name, one.fit.doubted)}"
    return text


def _missing(missing: Iterable[str], width: int) -> Iterator[str]:
    for text in missing:
        yield from wrapped(text, "    ", width, "  - ")
