"""What a season takes of the farm, week by week and kind by kind, as plain text."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from itertools import groupby

from calendar_tui.handing_on.tables.load_rows import SUMS
from calendar_tui.handing_on.words.plain_text import hanging, unbroken
from calendar_tui.planning.capacity.by_week import KINDS, Share, WeekUse
from calendar_tui.planning.capacity.hours import figure_text, guessed_chores, hours_text
from calendar_tui.planning.capacity.over_full import not_counted
from calendar_tui.planning.laying_out.timeline import Timeline
from calendar_tui.season.measures import figure, unit_shown
from calendar_tui.season.records import Season, Task
from calendar_tui.season.weeks import iso_week, monday_of
from calendar_tui.season.wording import day_text, weekday_text

# Tasks or cohorts told of an over-full week, the largest first.
MOST_TASKS = 8
OVER, GUESS, MAY_BE_OVER = "!", "~", "?"
# What each kind is, and whether its figure is the week's sum or the most on one day.
TITLES: Mapping[str, str] = {
    "hours": "person-hours in the week, by role",
    "dryer": "fresh crop in the dryer, the most on one day",
    "trays": "trays on nursery benches, the most on one day",
    "room": "room that plants take where they grow, the most on one day",
    "lamps": "what lamps burn in the week",
    "circuits": "kW on each circuit while lamps burn, of what it may carry for hours on end",
    "samples": "samples for the laboratory in the week",
}
LEGEND = (
    (GUESS, "some of it rests on a guess: a placeholder, until you put in your own figure"),
    (OVER, "over-full: more than there is"),
    (MAY_BE_OVER, "fits as is likely, and is over-full in a fifth of the futures or more"),
)
RANGES = "In brackets: the 10th to the 90th percentile over the futures, where dates are uncertain."
_KIND_WIDTH = max(map(len, KINDS))


def load_text(
    season: Season,
    timelines: Mapping[str, Timeline],
    uses: Sequence[WeekUse],
    today: date,
    width: int = 80,
    kinds: Sequence[str] = KINDS,
) -> Iterator[str]:
    """A line a week and kind; over-full weeks to come with what is behind them; then what is not counted.

    kinds: those that are asked for.
    """
    yield "The load by week"
    if "hours" in kinds and not any(use.kind == "hours" for use in uses):
        yield "No hours are set on any saved task."
    shown = "".join(marks_of(use) for use in uses)
    for mark, meaning in LEGEND:
        if mark in shown:
            yield from hanging(f"{mark} {meaning}", width, "    ")
    if any(map(_range_of, uses)):
        yield from hanging(RANGES, width, "    ")
    for kind in dict.fromkeys(use.kind for use in uses):
        yield from hanging(f"{kind:<{_KIND_WIDTH}} {TITLES[kind]}", width, " " * (_KIND_WIDTH + 1))
    by_week = sorted(uses, key=lambda use: (use.monday, KINDS.index(use.kind)))
    for monday, of_week in groupby(by_week, key=lambda use: use.monday):
        yield from _week_lines(monday, list(of_week), width)
    over = [use for use in by_week if use.over and use.monday >= monday_of(today)]
    if over:
        yield "Over-full weeks"
    for use in over:
        yield from _over_lines(season, use, width)
    may_be = [use for use in by_week if use.may_be_over and use.monday >= monday_of(today)]
    if may_be:
        yield "Weeks that may be over-full"
    for use in may_be:
        yield from hanging(f"{_head(use)}, {over_in_text(use)}", width, "  ")
    uncounted = [(kind, text) for kind in kinds for text in not_counted(season, timelines, kind)]
    if uncounted:
        yield "Missing figures"
    for kind, text in uncounted:
        yield from hanging(f"  {kind:<{_KIND_WIDTH}} {text}", width, " " * (_KIND_WIDTH + 3))


def _week_lines(monday: date, of_week: Sequence[WeekUse], width: int) -> Iterator[str]:
    head = f"{iso_week(monday)}  {day_text(monday):<6}  "
    for kind, uses in groupby(of_week, key=lambda use: use.kind):
        start = f"{head}{kind:<{_KIND_WIDTH}} "
        texts = [" ".join(part for part in (use.of, use_figures(use)) if part) for use in uses]
        whole = ", ".join(map(unbroken, texts))
        yield from hanging(start + whole, width, " " * min(len(start), width // 3))
        head = " " * len(head)


def marks_of(use: WeekUse) -> str:
    """The marks of a use: "~", "!", both or none."""
    return (GUESS if use.guessed else "") + _over_mark(use)


def _over_mark(use: WeekUse) -> str:
    return OVER if use.over else MAY_BE_OVER if use.may_be_over else ""


def figures_of(use: WeekUse) -> str:
    """ "~41 (30-60) of 40 h"."""
    has = "" if use.has is None else f" of {figure(use.has, use.unit, figure_text)}"
    return f"{GUESS if use.guessed else ''}{figure(use.amount, use.unit, figure_text)}{_range_of(use)}{has} {unit_shown(use.unit)}"


def _range_of(use: WeekUse) -> str:
    """ " (30-60)"; "" where it is certain, or not worked out."""
    seen = use.futures
    if seen is None or seen.low == seen.high == use.amount:
        return ""
    return f" ({figure(seen.low, use.unit, figure_text)}-{figure(seen.high, use.unit, figure_text)})"


def use_figures(use: WeekUse) -> str:
    """ "~41 (30-60) of 40 h !"."""
    return " ".join(filter(None, (figures_of(use), _over_mark(use))))


def over_in_text(use: WeekUse) -> str:
    """ "over-full in 34 of 50 futures" of a week that is over-full or may be; "" where its amount is certain."""
    if not (use.over or use.may_be_over) or use.futures is None or not _range_of(use):
        return ""
    return f"over-full in {use.futures.over} of {use.futures.of} futures"


def behind_rows(season: Season, use: WeekUse) -> Iterator[tuple[str, str]]:
    """The id and the line of each task behind hours, and of each cohort behind all else, the largest first."""
    guesses = guessed_chores(season)
    for task in use.tasks:
        yield task.id, task_figures(task, task.chore in guesses)
    for share in use.shares:
        yield share.cohort, _share_text(share, use)


def task_figures(task: Task, guessed: bool) -> str:
    """ "~22 h  k66g  Fri 11 Dec  A3 H3  Harvest"."""
    where = " ".join((*task.about, task.place)).strip()
    hours = hours_text(task.hours, guessed)
    parts = (f"{hours:>7}", task.id, weekday_text(task.date), where, task.what)
    return "  ".join(part for part in parts if part) + ("" if task.state == "open" else f" ({task.state})")


def _share_text(share: Share, use: WeekUse) -> str:
    """ "30 kg  A1  Thu 5 Nov - Sun 22 Nov"."""
    amount = f"{figure(share.amount, use.unit, figure_text)} {unit_shown(use.unit)}"
    days = "" if use.kind == "samples" else f"  {weekday_text(share.first)} - {weekday_text(share.last)}"
    return f"{amount:>10}  {share.cohort}{days}"


def _head(use: WeekUse) -> str:
    what = " ".join(part for part in (use.kind, use.of, use_figures(use)) if part)
    return f"{iso_week(use.monday)}  {weekday_text(use.monday)}  {what}"


def _over_lines(season: Season, use: WeekUse, width: int) -> Iterator[str]:
    when = "" if use.kind in SUMS else f" on {weekday_text(use.day)}"
    over = f"{figure(use.over, use.unit, figure_text)} {unit_shown(use.unit)} over{when}"
    yield from hanging(", ".join(filter(None, (_head(use), over, over_in_text(use)))), width, "  ")
    if use.tasks and use.cohorts:
        yield from hanging(f"    cohorts: {', '.join(use.cohorts)}", width, " " * 6)
    lines = [text for _, text in behind_rows(season, use)]
    for line in lines[:MOST_TASKS]:
        yield from hanging("    " + line, width, " " * 12)
    if rest := lines[MOST_TASKS:]:
        left = use.tasks[MOST_TASKS:]
        guesses = guessed_chores(season)
        hours = (
            f", {hours_text(sum(t.hours for t in left), any(t.chore in guesses for t in left))}"
            if left
            else ""
        )
        yield f"    and {len(rest)} more{hours}"
