"""The day in lines of text: what waits, part by part; a part with nothing is left out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import tzinfo

from calendar_tui.handing_on.words.decisions_text import decision_text, record_text, rules_text
from calendar_tui.handing_on.words.field_book_text import to_observe_texts
from calendar_tui.handing_on.words.plain_text import hanging
from calendar_tui.handing_on.words.week_text import WeekLine, caution_lines, hold_lines, task_lines
from calendar_tui.language.speaking import marked, tr, tr_in, translated
from calendar_tui.planning.cutting.holds import Hold
from calendar_tui.planning.lamps.runs import LampRun
from calendar_tui.planning.lamps.tip_looks import tip_look_texts
from calendar_tui.planning.lamps.to_relight import to_relight_text
from calendar_tui.planning.tasks.week import NO_PLACE, cautions_by_task
from calendar_tui.planning.today import AtPlace, Failed, Today, Tonight
from calendar_tui.season.lamp_clock import lamps_text
from calendar_tui.season.records import Chore, Season
from calendar_tui.season.units_in_use import clock
from calendar_tui.season.wording import (
    WEEKDAYS,
    cohorts_text,
    day_text,
    full_day_text,
    night_count_text,
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
        (marked("Do not enter"), (decision_text(row, today.day) for row in today.closed)),
        (marked("To relight"), (to_relight_text(waiting, today.day) for waiting in today.relight)),
        (marked("To look at"), tip_look_texts(today.looks)),
        (marked("To decide"), decisions_of_today(today)),
        (marked("To record"), map(record_text, today.to_record)),
        (marked("To observe"), to_observe_texts(today.to_observe)),
        (marked("Lamps that failed"), map(failed_text, today.failed)),
    )
    for title, texts in listed:
        yield tr(title), _listed(map(translated, texts), width)
    for there in today.work:
        yield (
            place_text(there),
            _work_lines(there, season.chores, cautions, today.holds, width),
        )
    yield tr("Lamps tonight"), _listed(map(tonight_text, today.tonight), width)
    yield tr("Changed since yesterday"), _listed(changed, width)


def decisions_of_today(today: Today) -> tuple[str, ...]:
    """What is to be decided, and behind it the rules that set a day of it."""
    return (*(decision_text(one, today.day) for one in today.decisions), *rules_text(today.decisions))


def _listed(texts: Iterable[str], width: int) -> list[WeekLine]:
    return [line for text in texts for line in _wrapped(f"  {text}", width, "    ")]


def changed_text(entry: Entry, zone: tzinfo) -> str:
    """ "Mon 11:00 ana: A1 transplant recorded Sun 8 Nov 2026"."""
    when = entry.when.astimezone(zone)
    return f"{tr_in('weekday', WEEKDAYS[when.weekday()])} {clock(when)} {entry.who}: {translated(entry.what)}"


def place_text(there: AtPlace) -> str:
    """ "Work at H1"; "Work" of no place."""
    return tr("Work") if there.place == NO_PLACE else tr("Work at {place}", place=there.place)


def failed_text(failed: Failed) -> str:
    """ "H3: 2 nights, 3 Dec to 4 Dec; no harm done"."""
    first, last = day_text(failed.first), day_text(failed.last)
    if failed.nights == 1:
        text = tr("{light}: the night of {first}", light=failed.light, first=first)
    else:
        nights = night_count_text(failed.nights)
        text = tr(
            "{light}: {nights}, {first} to {last}", light=failed.light, nights=nights, first=first, last=last
        )
    return f"{text}; {tr('no harm done')}" if failed.harmless else text


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
        return tr("{light}: off; tonight is recorded as an outage", light=tonight.light)
    if not tonight.runs:
        if tonight.cohorts:
            return tr("{light}: off; the day is long enough", light=tonight.light)
        return tr("{light}: off", light=tonight.light)
    both = f" {tr('and')} "
    times = f"{tonight.light}: {both.join(map(_run_text, tonight.runs))}"
    if not tonight.cohorts:
        return times
    return tr("{times}, for {cohorts}", times=times, cohorts=cohorts_text(tonight.cohorts))


def _run_text(run: LampRun) -> str:
    if run.programme.method == "blackout":
        return tr("covers {drawn} to {opened}", drawn=clock(run.on), opened=clock(run.off))
    times = lamps_text(*run.timer)
    local = (run.on.replace(tzinfo=None), run.off.replace(tzinfo=None))
    return times if run.timer == local else tr("{times} standard time", times=times)


def _wrapped(text: str, width: int, indent: str, tone: str = "") -> Iterator[WeekLine]:
    for line in hanging(text, width, indent):
        yield WeekLine(line, tone)
