"""What is to be decided in lines of text, each with the last day on which it is in time."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date

from calendar_tui.handing_on.words.plain_text import hanging
from calendar_tui.handing_on.words.week_text import WeekLine
from calendar_tui.language.speaking import marked, tr, translated
from calendar_tui.planning.deciding.decision import (
    BAGS,
    CLOSED,
    OFFICIAL,
    OVER,
    RECORD,
    RESULT,
    SPRAY,
    STAGE,
    Decision,
)
from calendar_tui.planning.deciding.listing import tally_of, urgent_rows
from calendar_tui.season.wording import (
    cohorts_text,
    day_text,
    days_text,
    full_day_text,
    stage_text,
    weekday_text,
)

NOTHING = marked("nothing to decide")
# What is past is worded by its kind.
_PAST: Mapping[str, str] = {
    BAGS: marked("overdue since {day}"),
    OFFICIAL: marked("overdue since {day}"),
    RESULT: marked("overdue since {day}"),
    SPRAY: marked("late since {day}"),
}
TOO_LATE = marked("too late since {day}")


def decision_text(row: Decision, today: date) -> str:
    """ "A2 lights off by Sat 12 Dec, in 4 days: why", "A1 cut, too late since Sun 6 Dec: why"."""
    why = f": {translated(row.why)}" if row.why else ""
    return f"{_what_text(row)}{_when_text(row, today)}{why}"


def _what_text(row: Decision) -> str:
    if row.kind in (RECORD, STAGE):
        return f"{cohorts_text(row.cohorts)} {stage_text(row.stage)}"
    return translated(row.what)


def _when_text(row: Decision, today: date) -> str:
    if row.by is None or row.kind == CLOSED:
        return ""
    since = row.past_since(today)
    if since is not None:
        return f", {tr(_PAST.get(row.kind, TOO_LATE), day=weekday_text(since))}"
    days = (row.by - today).days
    if days:
        return f" {tr('by {day}, in {days}', day=weekday_text(row.by), days=days_text(days))}"
    return f" {tr('by {day}, today', day=weekday_text(row.by))}"


def record_text(row: Decision) -> str:
    """ "A1 transplant, planned for 30 Oct, 10 days ago"."""
    return f"{_what_text(row)}, {translated(row.why)}"


def decisions_text(season: str, rows: Sequence[Decision], today: date, width: int = 80) -> Iterator[WeekLine]:
    """The list in lines of at most `width`: what is past, by its day, and what has no day last."""
    waits = tally_of(rows).text or tr(NOTHING)
    yield from _wrapped(f"{season}  {full_day_text(today)}: {waits}", width, "  ", "heading")
    for row in rows:
        tone = "overdue" if row.kind == OVER or row.past_since(today) else "today" if row.by == today else ""
        yield from _wrapped(f"  {_listed_text(row, today)}", width, "    ", tone)
    for rules in rules_text(rows):
        yield from _wrapped(f"  {rules}", width, "    ", "caution")


def rules_text(rows: Iterable[Decision]) -> tuple[str, ...]:
    """The rules that set a day of these rows, each once with its date."""
    return tuple(dict.fromkeys(translated(row.rules) for row in rows if row.rules))


def _listed_text(row: Decision, today: date) -> str:
    """A row with its place: "H2: A2 lights off by Sat 12 Dec, in 4 days"."""
    where = "" if not row.where or row.kind == CLOSED else f"{row.where}: "
    if row.kind == RECORD:
        return where + tr("{what} to record: {why}", what=_what_text(row), why=translated(row.why))
    return f"{where}{decision_text(row, today)}"


def brief_decisions_text(rows: Sequence[Decision], today: date) -> str:
    """ "decide: 3, first by 14 Mar: A1 cut", with the day before what may be cut off; "" where there is nothing."""
    urgent = urgent_rows(rows)
    if not urgent:
        return ""
    first = urgent[0]
    since = first.past_since(today)
    what = _what_text(first)
    if first.by is not None and since is None:
        what = f"{tr('by {day}', day=day_text(first.by))}: {what}"
    elif since is not None:
        what = f"{tr(_PAST.get(first.kind, TOO_LATE), day=day_text(since))}: {what}"
    return tr("decide: {count}, first {what}", count=len(urgent), what=what)


def _wrapped(text: str, width: int, indent: str, tone: str) -> Iterable[WeekLine]:
    return (WeekLine(line, tone) for line in hanging(text, width, indent))
