"""The day in lines of text: what waits, part by part; a part with nothing is left out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import tzinfo

from calendar_tui.handing_on.words.decisions_text import decision_text, record_text, rules_text
from calendar_tui.handing_on.words.field_book_text import to_observe_texts
from calendar_tui.handing_on.words.plain_text import hanging
from calendar_tui.handing_on.words.week_text import WeekLine, caution_lines, hold_lines, task_lines
from calendar_tui.planning.cutting.holds import Hold
from calendar_tui.planning.lamps.tip_looks import tip_look_texts
from calendar_tui.planning.lamps.to_relight import to_relight_text
from calendar_tui.planning.tasks.week import NO_PLACE, cautions_by_task
from calendar_tui.planning.today import AtPlace, Failed, Today, Tonight
from calendar_tui.season.records import Chore, Season
from calendar_tui.season.units_in_use import clock
from calendar_tui.season.wording import (
    WEEKDAYS,
    cohorts_text,
    day_text,
    full_day_text,
    weekday_text,
)
from calendar_tui.storage.journal.lines import Entry


def today_text(season: Season, today: Today, changed: Sequence[str], width: int = 80) -> Iterator[WeekLine]:
    """The day in lines of at most `width`. changed: what was changed since yesterday, a line a change."""
    heading = f"{season.name}  {full_day_text(today.day)}: {today.counts.text}"
    yield from _wrapped(heading, width, "  ", "heading")
    for title, part in _parts(season, today, changed, width):
        if lines := list(part):
            yield WeekLine("")
            yield WeekLine(title, "heading")
            yield from lines


_Part = tuple[str, Iterable[WeekLine]]


def _parts(season: Season, today: Today, changed: Sequence[str], width: int) -> Iterator[_Part]:
    cautions = cautions_by_task(
        [task for there in today.work for task in (*there.overdue, *there.today)],
        {name: chore.caution for name, chore in season.chores.items()},
    )
    listed: tuple[tuple[str, Iterable[str]], ...] = (
        ("Do not enter", (decision_text(row, today.day) for row in today.closed)),
        ("To relight", (to_relight_text(waiting, today.day) for waiting in today.relight)),
        ("To look at", tip_look_texts(today.looks)),
        ("To decide", decisions_of_today(today)),
        ("To record", map(record_text, today.to_record)),
        ("To observe", to_observe_texts(today.to_observe)),
        ("Lamps that failed", map(failed_text, today.failed)),
    )
    for title, texts in listed:
        yield title, _listed(texts, width)
    for there in today.work:
        yield (
            place_text(there),
            _work_lines(there, season.chores, cautions, today.holds, width),
        )
    yield "Lamps tonight", _listed(map(tonight_text, today.tonight), width)
    yield "Changed since yesterday", _listed(changed, width)


def decisions_of_today(today: Today) -> tuple[str, ...]:
    """What is to be decided, and behind it the rules that set a day of it."""
    return (*(decision_text(one, today.day) for one in today.decisions), *rules_text(today.decisions))


def _listed(texts: Iterable[str], width: int) -> list[WeekLine]:
    return [line for text in texts for line in _wrapped(f"  {text}", width, "    ")]


def changed_text(entry: Entry, zone: tzinfo) -> str:
    """ "Mon 11:00 ana: A1 transplant recorded Sun 8 Nov 2026"."""
    when = entry.when.astimezone(zone)
    return f"{WEEKDAYS[when.weekday()]} {clock(when)} {entry.who}: {entry.what}"


def place_text(there: AtPlace) -> str:
    """ "Work at H1"; "Work" of no place."""
    return "Work" if there.place == NO_PLACE else f"Work at {there.place}"


def failed_text(failed: Failed) -> str:
    """ "H3: 2 nights, 3 Dec to 4 Dec; no harm done"."""
    harm = "; no harm done" if failed.harmless else ""
    if failed.nights == 1:
        return f"{failed.light}: the night of {day_text(failed.first)}{harm}"
    return (
        f"{failed.light}: {failed.nights} nights, {day_text(failed.first)} to {day_text(failed.last)}{harm}"
    )


def _work_lines(
    there: AtPlace,
    chores: Mapping[str, Chore],
    cautions: Mapping[str, str],
    holds: Mapping[str, Hold],
    width: int,
) -> Iterator[WeekLine]:
    told: set[str] = set()
    for task in (*there.overdue, *there.today):
        late = task in there.overdue
        when = f"{weekday_text(task.date)}: " if late else ""
        for line in task_lines(task, chores, width, when):
            yield line._replace(tone="overdue" if late else "")
        yield from hold_lines(holds, task, width, told)
        yield from caution_lines(cautions, task, width)


def tonight_text(tonight: Tonight) -> str:
    """ "H2: on 19:50 off 20:47, for A2", "N1: covers 17:00 to 08:00", "H1: off"."""
    if tonight.failed:
        return f"{tonight.light}: off; tonight is recorded as an outage"
    if not tonight.runs:
        enough = "; the day is long enough" if tonight.cohorts else ""
        return f"{tonight.light}: off{enough}"
    texts = []
    for run in tonight.runs:
        if run.programme.method == "blackout":
            texts.append(f"covers {clock(run.set_on)} to {clock(run.set_off)}")
        else:
            standard = "" if run.follows or run.set_on == run.on else " standard time"
            texts.append(f"on {clock(run.set_on)} off {clock(run.set_off)}{standard}")
    whose = f", for {cohorts_text(tonight.cohorts)}" if tonight.cohorts else ""
    return f"{tonight.light}: {' and '.join(texts)}{whose}"


def _wrapped(text: str, width: int, indent: str, tone: str = "") -> Iterator[WeekLine]:
    for line in hanging(text, width, indent):
        yield WeekLine(line, tone)
