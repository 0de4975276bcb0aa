"""What a season made of another one has and has not, in words, before it is written."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from shlex import quote

from calendar_tui.handing_on.words.plain_text import WIDTH, count_text, hanging, wrapped
from calendar_tui.handing_on.words.varieties_text import doubted_text
from calendar_tui.planning.next_season.making import Drawn, NextSeason, kinds_carried_text
from calendar_tui.planning.next_season.varieties import Learnt
from calendar_tui.season.field_names import field_words
from calendar_tui.season.wording import full_day_text, some_text, stage_text

MOST_CLASHES = 5


def next_season_text(next_season: NextSeason, source: str, width: int = WIDTH) -> Iterator[str]:
    """Name and days, what is carried over, the dates, varieties and trials, what is not carried over, what to look at.

    source: the file that it is made of, as it is typed.
    """
    season = next_season.season
    yield from hanging(
        f"{season.name}: {full_day_text(season.first_day)} to {full_day_text(season.last_day)}", width
    )
    yield from hanging(f"Carried over: {kinds_carried_text(next_season.carried)}.", width)
    yield from _part(
        f"Planned dates, {_later(next_season.years)} by date; weekdays move:", _dates(next_season), width
    )
    yield from _part("Varieties:", (_variety(one) for one in next_season.varieties), width)
    yield from _part(
        "Trials drawn anew, by a seed that is written into the file:", map(_trial, next_season.trials), width
    )
    yield from _part("Not carried over:", (one.text for one in next_season.left), width)
    yield from _part("To look at:", (*_open_proposals(next_season, source), *next_season.notes), width)
    clashes = [clash.text for clash in next_season.plan.clashes]
    more = len(clashes) - MOST_CLASHES
    told = [
        *clashes[:MOST_CLASHES],
        *([f"{count_text(more, 'more clash', 'more clashes')}"] if more > 0 else []),
    ]
    yield from _part("Clashes of the new season:", told, width)
    yield from hanging(
        f"{count_text(len(season.tasks), 'task')} by its chores.{_past(next_season.past)}", width
    )


def _part(heading: str, lines: Iterable[str], width: int) -> Iterator[str]:
    told = [wrapped(line, "    ", width, "  ") for line in lines]
    if told:
        yield from hanging(heading, width)
        yield from (line for lines in told for line in lines)


def _later(years: int) -> str:
    return f"{count_text(years, 'year')} later"


def _dates(next_season: NextSeason) -> Iterator[str]:
    by_cohort: dict[str, list[str]] = {}
    for one in next_season.moved:
        by_cohort.setdefault(one.cohort, []).append(f"{stage_text(one.stage)} {full_day_text(one.new)}")
    return (f"{cohort}: {', '.join(dates)}" for cohort, dates in by_cohort.items())


def _variety(one: Learnt) -> str:
    figures = [
        f"{field_words('variety', figure.key)} {figure.old or 'not set'} -> {figure.new} ({figure.mark})"
        for figure in one.figures
    ]
    sets = [f"{one.sets} sets of figures that go together"] if one.sets else []
    as_it_was = [f"not fitted: {one.as_it_was}"] if one.as_it_was else []
    doubts = [doubted_text(one.variety, one.doubted)] if one.doubted else []
    return f"{one.variety}: {'; '.join([*figures, *sets, *as_it_was, *doubts]) or 'as it was'}"


def _trial(one: Drawn) -> str:
    if one.why_not:
        return f"{one.trial}: not drawn: {one.why_not}. Put that right, then: calendar-tui trial {one.trial} --draw"
    return f"{one.trial}: {count_text(one.plots, 'plot')} with seed {one.seed}"


def _open_proposals(next_season: NextSeason, source: str) -> Iterator[str]:
    """ "review proposes 3 figures that this season has not taken: calendar-tui review FILE", and which."""
    figures = [
        f"{one.name} {words} {old or 'not set'} -> {new}"
        for one in next_season.open_proposals
        for words, old, new in one.figures
    ]
    if figures:
        yield (
            f"review proposes {count_text(len(figures), 'figure')} that this season has not taken: calendar-tui review "
            f"{quote(source)} ({some_text(figures)}); take those you want there, then make the next season"
        )


def _past(count: int) -> str:
    if not count:
        return ""
    verb = "is" if count == 1 else "are"
    return f" {count_text(count, 'task')} that would lie before today {verb} not made."
