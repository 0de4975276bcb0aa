"""What a trend tells, in sentences, and its results in a table."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from calendar_tui.handing_on.words.plain_text import count_text, wrapped
from calendar_tui.handing_on.words.results_text import weighted_text
from calendar_tui.handing_on.words.trend_plot import legend, plain_lines, plot
from calendar_tui.nature.cannabinoid_trend.trend import AHEAD_D, PositionTrend
from calendar_tui.nature.canopy import LEAST_DATES
from calendar_tui.nature.measured import Interval
from calendar_tui.planning.results.trend import CohortTrend, is_passed, position_of
from calendar_tui.planning.results.used import Used
from calendar_tui.season.rules import ALONE, MEAN_OF_VARIETY
from calendar_tui.season.sample_ids import grouped
from calendar_tui.season.sampling import Sample
from calendar_tui.season.wording import day_text, full_day_text, some_text, year_day_text

PRETEST = "Pre-tests, not official: the authority's own sample decides, and takes other plants."
PASSED = "a result is over it, or the crop's likely curve is there"
HEIGHT, MOST_ASIDE = 16, 3


def trend_text(shown: CohortTrend, position: str, ascii_only: bool, width: int) -> Iterator[str]:
    """The whole of it: head, plot, sentences, results by date."""
    own = position_of(shown.thc, position)
    yield head_text(shown, position)
    if own is not None:
        grid = plot(shown, own, width, HEIGHT, ascii_only)
        yield from plain_lines(grid)
        yield from wrapped(legend(grid, ascii_only), "  ", width)
    for sentence in sentences(shown, position):
        yield from wrapped(sentence, "  ", width)
    if shown.used:
        yield ""
        yield from results_table(shown, position)


def head_text(shown: CohortTrend, position: str) -> str:
    """ "A1, top (decides): total THC, by what is known on Tue 20 Apr 2027"."""
    decides = " (decides)" if shown.thc.deciding == position else ""
    lot = shown.cohort if shown.lot == shown.cohort else f"{shown.cohort}, lot {shown.lot}"
    return f"{lot}, {position}{decides}: total THC, by what is known on {full_day_text(shown.today)}"


def sentences(shown: CohortTrend, position: str) -> Iterator[str]:
    """What holds, one thing a sentence: by which rules, so that it is in sight on every screen, then the most pressing first."""
    own = position_of(shown.thc, position)
    if shown.profile is not None:
        yield f"Rules: {shown.profile.citation}."
    yield from _cut(shown)
    yield from _limit_sentences(shown, own)
    yield from _to_come(shown)
    yield from _known(shown)
    if own is not None:
        yield from _doubts(shown, own)
    yield from (f"{weighted_text(one)}." for one in shown.weighted)
    if shown.earlier:
        yield f"What is expected beforehand takes in the results of {some_text(shown.earlier)}, of the same variety, in flower before it."
    yield from (f"{_bag(one.sample)} is not in the trend: {why}." for one, why in shown.left_out)
    yield from (f"Result {one.result.id} does not count: {one.why}." for one in shown.aside[:MOST_ASIDE])
    if len(shown.aside) > MOST_ASIDE:
        yield f"{count_text(len(shown.aside) - MOST_ASIDE, 'further result')} of this cohort do not count either."
    yield PRETEST


def _cut(shown: CohortTrend) -> Iterator[str]:
    if shown.cut is not None:
        yield (
            f"{shown.lot} is cut, since {full_day_text(shown.cut)}: its limit has no day to come. "
            "The bands show what its results foretold."
        )
    elif shown.parts_cut:
        until = f"it decides until what stands has results of {LEAST_DATES} dates"
        what = until if shown.thc.deciding in shown.parts_cut else "what still stands decides"
        yield f"Cut already: {some_text(shown.parts_cut)}; {what}."


def _to_come(shown: CohortTrend) -> Iterator[str]:
    """Of a lot that stands: the rules that begin later, by which the days of its cutting go then."""
    for one in shown.to_come if shown.cut is None else ():
        if one.starts is not None:
            yield (
                f"From {year_day_text(one.starts)} on other rules hold, with a limit of {one.limit} %: {one.citation}; what is "
                "shown here goes by those of today."
            )


def _limit_sentences(shown: CohortTrend, own: PositionTrend | None) -> Iterator[str]:
    missing = LEAST_DATES if own is None else own.missing
    if missing:
        yield f"No trend yet: samples of {count_text(missing, 'more date')} are needed, {LEAST_DATES} in all."
        yield from _guess(shown)
    elif own is not None and own.provisional:
        yield f"Provisional: {LEAST_DATES} dates only; the next one can move it a long way."
    if shown.limit is None:
        yield "No limit: the season has no rules in force; add a profile."
        return
    if is_passed(shown):
        yield f"The limit of {shown.limit:g} % is passed, by the position that decides: {PASSED}."
    if own is not None and not missing and shown.cut is None:
        yield limit_sentence(shown, own)
        if shown.profile is not None and shown.profile.judged == MEAN_OF_VARIETY:
            yield f"The limit's days are {ALONE}."
        yield from _chances(shown, own)


def limit_sentence(shown: CohortTrend, own: PositionTrend) -> str:
    """The three dates, or that none is in reach."""
    days = own.limit_days
    plain = ", with nothing taken off" if shown.allowance is not None else ""
    if days is None or days[1:] == (None, None, None):
        return f"Limit {shown.limit:g} %{plain}: not reached within {AHEAD_D} days after the last sample."
    earliest, likely, latest = (
        f"not within {AHEAD_D} d of the last sample" if on is None else full_day_text(on)
        for on in map(shown.on, days[1:])
    )
    return f"Limit {shown.limit:g} %{plain}: earliest {earliest}; likely {likely}; latest {latest}."


def _guess(shown: CohortTrend) -> Iterator[str]:
    guess = shown.guess
    if guess is None:
        return
    if guess.half_by is None:
        yield f"A guess, which moves nothing: hardly any such crop reaches {guess.limit:g} %."
        return
    on = shown.on(guess.half_by)
    when = f"day {guess.half_by} after flowering" + (f", {full_day_text(on)}" if on else "")
    yield f"A guess, which moves nothing: {guess.ever * 100:.0f} of 100 such crops reach {guess.limit:g} %, half of those by {when}."


def _chances(shown: CohortTrend, own: PositionTrend) -> Iterator[str]:
    over = {int(band.day): band.p_over for band in own.days if band.p_over is not None}
    if chances := _chances_text(shown, over):
        yield f"Chance that a bag cut then is found over {shown.limit:g} %: {chances}."
    allowed = shown.allowance
    if allowed is None or own.position != shown.thc.deciding:
        return
    chances = _chances_text(shown, allowed.p_over)
    on = shown.on(allowed.earliest)
    then = (
        ""
        if on is None
        else f", reached on {full_day_text(on)} at the earliest, by which the day to cut goes"
    )
    then += f"; chance to be over that: {chances}" if chances else ""
    yield (
        f"These rules take the laboratory's uncertainty off: with {allowed.uncertainty}, as of the last result, up to "
        f"{allowed.highest:.3g} % is acceptable{then}."
    )


def _chances_text(shown: CohortTrend, over: Mapping[int, float]) -> str:
    """ "today 26 %, in 7 d 32 %"; "" where these days are past what is worked out."""
    today = shown.today_day
    days = () if today is None else (("today", today), ("in 7 d", today + 7), ("in 14 d", today + 14))
    return ", ".join(f"{when} {_share(over[day])}" for when, day in days if day in over)


def _share(chance: float) -> str:
    """ "26 %"; under 1 and over 99 as such, since nothing is sure."""
    percent = 100 * chance
    return "under 1 %" if percent < 1 else "over 99 %" if percent > 99 else f"{percent:.0f} %"


def _known(shown: CohortTrend) -> Iterator[str]:
    if not shown.used:
        yield "There are no results yet."
        return
    last = max(one.sample.date for one in shown.used)
    old = (shown.today - last).days
    if shown.cut is not None:
        yield f"The last result is of the cut of {day_text(last)}."
        return
    yield f"Known today is the cut of {day_text(last)}, {count_text(old, 'day')} old: what stands in the field now has gone on."


def _doubts(shown: CohortTrend, own: PositionTrend) -> Iterator[str]:
    for odd in own.odd:
        on = shown.on(odd.result.day)
        when = "" if on is None else f" of {day_text(on)}"
        found = _percent(odd.result.low, odd.result.high)
        yield f"Odd: the result{when}, {found}, lies outside what the others foretell (99 in 100). It stays in; look at its bag."
    for laboratory in own.stepped:
        first = next(point for point in own.points if point.laboratory == laboratory)
        on = shown.on(first.day)
        when = "" if on is None else f" of {day_text(on)}"
        yield f"A step: from the bag{when} on the laboratory is {laboratory or 'not named'}; two laboratories may differ."


def _percent(low: float, high: float) -> str:
    return f"{low:g} %" if low == high else f"{low:g}-{high:g} %"


def _bag(sample: Sample) -> str:
    return f"The bag {grouped(sample.id)} of {day_text(sample.date)}"


class Line(NamedTuple):
    """The results of one date: by position, and CBD and the ratio of the position that is shown."""

    one: Used
    thc: dict[str, str]
    cbd: str
    ratio: str


def results_table(shown: CohortTrend, position: str) -> Iterator[str]:
    """A row a date: total THC by position (%), then CBD and CBD : THC of the position that is shown."""
    positions = [one.position for one in shown.thc.positions]
    rows = [("cut", "day", *positions, f"CBD {position}", "CBD : THC")]
    for line in table_lines(shown, position):
        cells = [line.thc.get(name, "") for name in positions]
        rows.append((year_day_text(line.one.sample.date), str(line.one.day), *cells, line.cbd, line.ratio))
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    for cells_of_row in rows:
        yield "  ".join(f"{cell:<{width}}" for cell, width in zip(cells_of_row, widths, strict=True)).rstrip()


def table_lines(shown: CohortTrend, position: str) -> Iterator[Line]:
    """The results by date. Bags of one date and position stand beside each other."""
    for day in dict.fromkeys(one.day for one in shown.used):
        of_day = [one for one in shown.used if one.day == day]
        by_position: dict[str, str] = {}
        for one in of_day:
            text = _interval(one.figures.thc)
            before = by_position.get(one.sample.position)
            by_position[one.sample.position] = text if before is None else f"{before} {text}"
        own = [one for one in of_day if one.sample.position == position]
        yield Line(of_day[0], by_position, _cbd(own), _ratio(own))


def _interval(found: Interval | None) -> str:
    if found is None:
        return "-"
    low, high = (f"{float(end):.3f}".rstrip("0").rstrip(".") for end in (found.low, found.high))
    return low if low == high else f"{low}-{high}"


def _cbd(own: Sequence[Used]) -> str:
    return " ".join(_interval(one.figures.cbd) for one in own)


def _ratio(own: Sequence[Used]) -> str:
    return " ".join("-" if one.figures.ratio is None else f"{one.figures.ratio:.1f}" for one in own)
